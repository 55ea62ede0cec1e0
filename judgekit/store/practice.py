"""What was rehearsed: books in a folder of their own, and beside each what was shown.

No event's log is read from here, and nothing here is read with a log.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from judgekit.core.entry import Claim, Recall
from judgekit.core.errors import BookError
from judgekit.core.lane import fold
from judgekit.core.plan import Plan
from judgekit.core.values import dataclass
from judgekit.review.calling import Marks, marks
from judgekit.review.performing import Performed
from judgekit.store.codec import canonical
from judgekit.store.folder import look
from judgekit.store.shape import shape_of
from judgekit.store.whole import write_whole

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from judgekit.core.entry import Entry
    from judgekit.store.folder import BookCopy

FORMAT = 1
_SUFFIX = ".shown.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Performance:
    """What an athlete showed: the seed, the pace in per cent, and each rep."""

    format: int
    seed: int
    percent: int
    performed: tuple[Performed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rehearsed:
    """One rehearsal that is over: when (UTC in ms since 1970), whose, and its marks."""

    wall: int
    judge: str
    plan: Plan
    shown: Performance
    marks: Marks

    @property
    def cards(self) -> frozenset[str]:
        """The movements that could come up."""
        return frozenset(card.id for card in self.plan.cards)


def keep(folder: Path, book: str, shown: Performance) -> None:
    """Write down what was shown, beside its book."""
    data = canonical(shape_of(Performance).encode(shown))
    write_whole(folder / f"{book}{_SUFFIX}", data, over=True)


def rehearsed(folder: Path) -> tuple[Rehearsed, ...]:
    """Every rehearsal of a folder, oldest first; what cannot be read is left out."""
    if not folder.is_dir():
        return ()
    found = [one for copy in look(folder).copies if (one := _one(folder, copy))]
    return tuple(sorted(found, key=lambda one: one.wall))


def _since_recall(entries: Sequence[Entry]) -> Sequence[Entry]:
    """What was judged after everybody was called back for the last time."""
    recalls = [n for n, e in enumerate(entries) if isinstance(e.body, Recall)]
    return entries[recalls[-1] + 1 :] if recalls else entries


def _one(folder: Path, copy: BookCopy) -> Rehearsed | None:
    claims = [entry for entry in copy.entries if isinstance(entry.body, Claim)]
    try:
        written = json.loads((folder / f"{copy.id}{_SUFFIX}").read_bytes())
        shown: Performance = shape_of(Performance).decode(written)
    except (OSError, ValueError, RecursionError, BookError):
        return None
    if not claims or not copy.plans or shown.format != FORMAT:
        return None
    plan = list(copy.plans.values())[-1]
    lane = fold(plan, _since_recall(copy.entries))
    return Rehearsed(
        wall=claims[0].wall,
        judge=claims[0].who,
        plan=plan,
        shown=shown,
        marks=marks(shown.performed, lane.work.attempts),
    )
