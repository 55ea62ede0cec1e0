"""What is seen where sets are reported: the fold's own mutable half, as `running.py`.

Within an open look a press is seen; a fault outside of one is noticed. Neither is an
attempt, so that no count, score or pace can come of it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.entry import NoRep, Rep
from judgekit.core.state import Attempt, LookMade

if TYPE_CHECKING:
    from judgekit.core.entry import Entry
    from judgekit.core.plan import SetKey
    from judgekit.core.ruling import Ref
    from judgekit.core.state import Work


class Seeing:
    """Looks and noticed faults that grow by one entry at a time."""

    def __init__(self, work: Work) -> None:
        self._looks = list(work.looks)
        self._noticed = list(work.noticed)

    @property
    def looks(self) -> tuple[LookMade, ...]:
        """Every look, the newest last."""
        return tuple(self._looks)

    @property
    def noticed(self) -> tuple[Attempt, ...]:
        """The faults seen outside of looks."""
        return tuple(self._noticed)

    def begin(self, entry: Entry, key: SetKey, at: int) -> None:
        """A look begins; one that was open stays unclosed, and has no rate."""
        self._looks.append(LookMade(ref=entry.ref, set=key, from_ms=at))

    def end(self, at: int, seen: int) -> None:
        """The look that is open is over."""
        if self._looks and self._looks[-1].until_ms is None:
            seen = max(seen, seen_in(self._looks[-1].presses))
            self._looks[-1] = replace(self._looks[-1], until_ms=at, seen=seen)

    def press(self, entry: Entry, body: Rep | NoRep, key: SetKey, at: int) -> None:
        """A rep or a fault seen; a good rep outside of a look says nothing."""
        good = isinstance(body, Rep)
        seen = Attempt(
            ref=entry.ref,
            set=key,
            at=at,
            good=good,
            n=body.n if isinstance(body, Rep) else 1,
            faults=() if isinstance(body, Rep) else body.faults,
            counts=False,
            marks=(),
        )
        look = self._looks[-1] if self._looks else None
        if look is not None and look.until_ms is None:
            self._looks[-1] = replace(look, presses=(*look.presses, seen))
        elif not good:
            self._noticed.append(seen)

    def name_fault(self, target: Ref, fault: str) -> None:
        """One more reason for a fault seen."""
        self._noticed = [_named(one, target, fault) for one in self._noticed]
        for index, look in enumerate(self._looks):
            if any(one.ref == target for one in look.presses):
                presses = tuple(_named(one, target, fault) for one in look.presses)
                self._looks[index] = replace(look, presses=presses)


def seen_in(presses: tuple[Attempt, ...]) -> int:
    """How many attempts the presses of a look stand for."""
    return sum(one.n for one in presses)


def _named(seen: Attempt, target: Ref, fault: str) -> Attempt:
    if seen.ref != target or fault in seen.faults:
        return seen
    return seen._replace(faults=(*seen.faults, fault))
