"""What a desk owes the other desks of its heat: one go, and what all must obey."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.entry import (
    Claim,
    Entry,
    Freeze,
    Go,
    Recall,
    Ref,
    Stop,
    Time,
    Unfreeze,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from judgekit.core.state import Lane

OBEYED = Recall | Freeze | Unfreeze | Stop | Time
# A go without a cap is old news after this long.
_OPEN_ENDED_MS = 7_200_000


@dataclass(slots=True)
class Others:
    """Keeps which entries of other books this desk has copied already."""

    book: str
    boot: str
    copied: set[Ref] = field(default_factory=set)

    def remember(self, entries: Iterable[Entry]) -> None:
        """Copies that this desk's own book holds from before."""
        for entry in entries:
            body = entry.body
            if isinstance(body, Go | OBEYED) and body.copies is not None:
                self.copied.add(body.copies)

    def takes_go(
        self, entry: Entry, *, zero: int | None, lane: Lane, now_boot_ms: int
    ) -> Go | None:
        """Another desk's go that this one must take as its own, or None.

        Of two gos the earlier zero wins, then the lower book id. A go of another
        boot, of an earlier run, or whose work is long over, is not this start.
        """
        go = entry.body
        if not isinstance(go, Go) or go.copies is not None or entry.lane is not None:
            return None
        if entry.ref in self.copied or go.boot != self.boot:
            return None
        if zero is not None and (go.boot_ms, entry.book) >= (zero, self.book):
            return None
        if _of_earlier_run(entry, lane):
            return None
        end = looking.end_ms(lane)
        long_over = _OPEN_ENDED_MS if end is None else end
        if now_boot_ms - go.boot_ms > long_over:
            return None
        self.copied.add(entry.ref)
        return go

    def obeys(self, entry: Entry, lanes: Mapping[int, Lane]) -> bool:
        """Whether an entry of another book is about this desk's lanes, and new."""
        body = entry.body
        if not isinstance(body, OBEYED) or body.copies is not None:
            return False
        if entry.lane is not None and entry.lane not in lanes:
            return False
        if entry.ref in self.copied:
            return False
        self.copied.add(entry.ref)
        return not any(_of_earlier_run(entry, lane) for lane in lanes.values())


def _of_earlier_run(entry: Entry, lane: Lane) -> bool:
    claims = [e for e in lane.entries if isinstance(e.body, Claim)]
    reruns = [e.wall for e in claims if isinstance(e.body, Claim) and e.body.why]
    started = [
        e.wall for e in lane.entries if isinstance(e.body, Go) and e.lane is None
    ]
    if isinstance(entry.body, Go):
        return any(entry.wall < wall for wall in reruns)
    return any(entry.wall < wall for wall in [*reruns, *started[:1]])
