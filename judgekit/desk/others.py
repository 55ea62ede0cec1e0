"""What a desk owes the other desks of its heat: one go, and what all must obey."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.entry import (
    Claim,
    Entry,
    Freeze,
    Go,
    Recall,
    Stop,
    Time,
    Unfreeze,
    WallSet,
)
from judgekit.core.ruling import Ref
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from judgekit.core.state import Lane

COUNTDOWN_MS = 10_000
OBEYED = Recall | Freeze | Unfreeze | Stop | Time | WallSet
# A go without a cap is old news after this long.
_OPEN_ENDED_MS = 7_200_000


@dataclass(slots=True)
class Others:
    """What this desk knows of the heat's other books.

    `copied` are the entries it has made its own, `recalled` the wall time of the
    newest recall anywhere: a go before it is no start any more.
    """

    book: str
    boot: str
    second: bool = False
    copied: set[Ref] = field(default_factory=set)
    recalled: int = -1
    claimed: dict[int, tuple[int, str]] = field(default_factory=dict)

    def remember(self, entries: Iterable[Entry]) -> None:
        """What this desk's own book says, from before or just now."""
        for entry in entries:
            body = entry.body
            if isinstance(body, Go | OBEYED) and body.copies is not None:
                self.copied.add(body.copies)
            if isinstance(body, Claim) and entry.lane is not None:
                self.claimed[entry.lane] = (entry.wall, entry.book)
        self.note(entries)

    def note(self, entries: Iterable[Entry]) -> None:
        """Recalls among entries of any book, before any of them is obeyed."""
        walls = [e.wall for e in entries if isinstance(e.body, Recall)]
        self.recalled = max([self.recalled, *walls])

    def takes_go(
        self, entry: Entry, *, zero: int | None, lane: Lane, now_boot_ms: int
    ) -> Go | None:
        """Another desk's go that this one must take as its own, or None.

        Of two gos the earlier zero wins, then the lower book id. A go of another
        boot, recalled, of an earlier run, or whose work is long over, is no start.
        """
        go = entry.body
        if not isinstance(go, Go) or go.copies is not None or entry.lane is not None:
            return None
        if entry.ref in self.copied or go.boot != self.boot:
            return None
        if zero is not None and (go.boot_ms, entry.book) >= (zero, self.book):
            return None
        if entry.wall <= self.recalled or _before_rerun(entry, lane):
            return None
        end = looking.end_ms(lane)
        if now_boot_ms - go.boot_ms > (_OPEN_ENDED_MS if end is None else end):
            return None
        self.copied.add(entry.ref)
        return go

    def obeys(self, entry: Entry, lanes: Collection[int], began: int) -> bool:
        """Whether an entry of another book is about this start and these lanes.

        `began` is the wall time at which the present start was called.
        """
        body = entry.body
        if not isinstance(body, OBEYED) or body.copies is not None:
            return False
        if entry.lane is not None and entry.lane not in lanes:
            return False
        if entry.ref in self.copied or entry.wall < began:
            return False
        self.copied.add(entry.ref)
        return True

    def loses_to(self, entry: Entry) -> bool:
        """Whether a claim of another book takes its lane from this desk."""
        claim = entry.body
        if not isinstance(claim, Claim) or entry.lane not in self.claimed:
            return False
        if any(ref.book == self.book for ref in claim.covers):
            return True
        if self.second or claim.source != "live":
            return False
        return (entry.wall, entry.book) > self.claimed[entry.lane]


def _before_rerun(entry: Entry, lane: Lane) -> bool:
    return any(
        isinstance(e.body, Claim) and e.body.why and entry.wall < e.wall
        for e in lane.entries
    )
