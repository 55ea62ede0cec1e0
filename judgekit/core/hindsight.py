"""What later entries say about earlier ones: take-backs, moved starts, signatures."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from judgekit.core.entry import (
    Accept,
    Body,
    Entry,
    Go,
    Judged,
    PutBack,
    Rule,
    TakeBack,
    Undoing,
)
from judgekit.core.ruling import Close, Ref, Reopen, StartBy
from judgekit.core.state import Signature

if TYPE_CHECKING:
    from collections.abc import Sequence


def reaches_back(body: Body) -> bool:
    """Whether an entry changes what earlier ones are worth."""
    match body:
        case TakeBack() | PutBack() | Go() | Rule(effect=StartBy()):
            return True
        case _:
            return False


@dataclass(slots=True)
class Foreknown:
    """What later entries say about earlier ones."""

    dead: set[Ref] = field(default_factory=set)
    offset_ms: int = 0
    shift_ms: int = 0


def foreknown(entries: Sequence[Entry]) -> Foreknown:
    """What all of them say, read before any is folded."""
    known = Foreknown()
    signing = Signing()
    for entry in entries:
        closed = signing.closed
        signing.take(entry.body)
        match entry.body:
            case TakeBack(target=target) if not closed:
                known.dead.add(target)
            case PutBack(target=target) if not closed:
                known.dead.discard(target)
            case Go(offset_ms=offset) if entry.lane is not None and not closed:
                known.offset_ms = offset
            case Rule(effect=StartBy(by_ms=by)):
                known.shift_ms += by
            case _:
                pass
    return known


def first_closing(entries: Sequence[Entry]) -> int | None:
    """The index of the entry that closed the scorecard first, or None."""
    signing = Signing()
    for index, entry in enumerate(entries):
        signing.take(entry.body)
        if signing.closed:
            return index
    return None


class Signing:
    """Whether a scorecard is closed: both roles have answered, and nobody reopened."""

    def __init__(
        self, signatures: tuple[Signature, ...] = (), *, closed: bool = False
    ) -> None:
        self.signatures = signatures
        self.closed = closed

    def take(self, body: Body) -> None:
        """One more entry's body."""
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
