"""What later entries say about earlier ones: take-backs, moved starts, signatures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import TYPE_CHECKING

from judgekit.core.entry import (
    Accept,
    Body,
    Entry,
    Extra,
    Go,
    Judged,
    NoRep,
    PutBack,
    Reading,
    Rep,
    Rule,
    TakeBack,
    Undoing,
    WallSet,
)
from judgekit.core.kinds import kinds_in
from judgekit.core.ruling import Close, Ref, Reopen, StartBy
from judgekit.core.state import Signature
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Container, Sequence

    from judgekit.core.state import Lane

# A take-back later than this, or after another attempt, is marked late.
LATE_MS = 5000
_TRIED = (Rep, NoRep, Reading)


def reaches_back(body: Body) -> bool:
    """Whether an entry changes what earlier ones are worth."""
    match body:
        case TakeBack() | PutBack() | Go() | WallSet() | Rule(effect=StartBy()):
            return True
        case Extra(one_too_many=yes):
            return yes
        case _:
            return False


@dataclass(slots=True)
class Foreknown:
    """What later entries say about earlier ones."""

    dead: set[Ref] = field(default_factory=set)
    offset_ms: int = 0
    shift_ms: int = 0
    moved: Mapping[Ref, int] = field(default_factory=dict)
    zero_moved_ms: int = 0

    @property
    def later_ms(self) -> int:
        """By how much the lane's own clock started later than the heat's."""
        return self.offset_ms + self.shift_ms

    def when(self, entry: Entry) -> int:
        """Its heat time by the clock as it is set in the end."""
        by = self.moved.get(entry.ref, 0) if self.moved else 0
        return (entry.at or 0) + by


def known_in(lane: Lane) -> Foreknown:
    """What the entries of a lane have said, for one more that reaches back to none."""
    return Foreknown(
        dead={taken.target for taken in lane.taken_back},
        offset_ms=lane.offset_ms,
        shift_ms=lane.start_shift_ms,
        moved=lane.moved,
        zero_moved_ms=lane.zero_moved_ms,
    )


def foreknown(entries: Sequence[Entry]) -> Foreknown:
    """What all of them say, read before any is folded."""
    moved, zero_moved = _clock_set(entries)
    known = Foreknown(moved=moved, zero_moved_ms=zero_moved)
    signing = Signing()
    for entry in entries:
        # Almost every entry is a judgement that tells nothing of another one.
        if type(entry.body) not in _HEARD and not signing.signatures:
            continue
        closed = signing.closed
        signing.take(entry.body)
        match entry.body:
            case TakeBack(target=target) if not closed:
                known.dead.add(target)
            case Extra(target=target, one_too_many=True) if not closed:
                known.dead.add(target)
            case PutBack(target=target) if not closed:
                known.dead.discard(target)
            case Go(offset_ms=offset) if entry.lane is not None and not closed:
                # A late start stands where it stood on the clock that was set since.
                known.offset_ms = offset and offset + moved.get(entry.ref, 0)
            case Rule(effect=StartBy(by_ms=by)):
                known.shift_ms += by
            case _:
                pass
    return known


def _clock_set(entries: Sequence[Entry]) -> tuple[dict[Ref, int], int]:
    """By how much each stamp moves, and heat times made since the newest go.

    Each setting of the clock was stamped by the zero that the ones before it had
    moved; it moves everything back to the newest go before it. A closed scorecard
    keeps its times.
    """
    moved: dict[Ref, int] = {}
    if WallSet not in kinds_in(entries):
        return moved, 0
    zero = 0
    since: list[Ref] = []
    signing = Signing()
    for entry in entries:
        closed = signing.closed
        signing.take(entry.body)
        if isinstance(entry.body, Go) and not entry.body.offset_ms:
            zero, since = 0, []
        if entry.at is not None:
            since.append(entry.ref)
        if isinstance(entry.body, WallSet):
            by = entry.body.shows_ms - (entry.at or 0)
            zero += by
            for ref in since if not closed else ():
                moved[ref] = moved.get(ref, 0) + by
    return moved, zero


def first_closing(entries: Sequence[Entry]) -> int | None:
    """The index of the entry that closed the scorecard first, or None."""
    if kinds_in(entries).isdisjoint(_SIGNING):
        return None
    signing = Signing()
    for index, entry in enumerate(entries):
        if type(entry.body) in _SIGNING or signing.signatures:
            signing.take(entry.body)
        if signing.closed:
            return index
    return None


def is_late(
    entries: Sequence[Entry], target: Ref, gone: Container[Ref], known: Foreknown
) -> bool:
    """Whether the last of the entries takes `target` back late.

    That is after 5 s, or after another attempt that is not `gone` itself.
    """
    for earlier in reversed(entries):
        if earlier.ref == target:
            return known.when(entries[-1]) - known.when(earlier) > LATE_MS
        if isinstance(earlier.body, _TRIED) and earlier.ref not in gone:
            return True
    return False


_SIGNING = frozenset({Accept, Rule})
_HEARD = _SIGNING | {TakeBack, Extra, PutBack, Go}


class Signing:
    """Whether a scorecard is closed: both roles have answered, and nobody reopened."""

    def __init__(
        self, signatures: tuple[Signature, ...] = (), *, closed: bool = False
    ) -> None:
        self.signatures = signatures
        self.closed = closed

    def take(self, body: Body) -> None:
        """One more entry's body."""
        # Almost every entry is a judgement that nobody has signed yet.
        if self.signatures or type(body) in _SIGNING:
            self._take(body)

    def _take(self, body: Body) -> None:
        match body:
            case Accept(who=who, signed=signed, covers=covers):
                kept = tuple(s for s in self.signatures if s.who != who)
                mine = Signature(who=who, signed=signed, covers=covers)
                self.signatures = (*kept, mine)
                both = {s.who for s in self.signatures}
                self.closed = self.closed or both == {"athlete", "judge"}
            case Rule(effect=Reopen()):
                self.signatures = ()
                self.closed = False
            case Rule(effect=Close()):
                self.closed = True
            case _:
                if not self.closed and isinstance(body, Judged | Undoing):
                    # Whoever signed first signed another count.
                    self.signatures = ()
