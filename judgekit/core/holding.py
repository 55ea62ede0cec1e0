"""What stops and freezes hold back: the work as it goes on, and as the hold left it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import judging
from judgekit.core.counting import with_uncounted
from judgekit.core.entry import Cue, NoRep, Reading, Rep
from judgekit.core.running import Running

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.core.entry import Counting, Entry, Judged
    from judgekit.core.plan import SetKey
    from judgekit.core.ruling import Ref
    from judgekit.core.state import Hold, Lane, Work

# What counts before a hold that does not sort, though it came to the log after it.
_JUDGED = (Rep, NoRep, Reading, Cue)


class Course:
    """The fold's own: `now` goes on; under a hold the score is what that has left."""

    def __init__(self, lane: Lane) -> None:
        self._plan = lane.plan
        work = lane.onward or lane.work
        held = bool(lane.holds)
        self.now = Running(lane.plan, work, lane.over_ms, holding=held)
        self.holds = list(lane.holds)
        self.held = lane.held
        self.dropping = lane.dropping
        self._base = lane.work if lane.onward is not None else None

    def works(self) -> tuple[Work, Work | None]:
        """What the score is made of; and under a hold the work that goes on."""
        now = self.now.frozen()
        return (now, None) if self._base is None else (self._base, now)

    def on_both(self, say: Callable[[Running], object]) -> None:
        """What is said of a press before a hold is said for the score there, too."""
        say(self.now)
        if self._base is not None:
            score = Running(self._plan, self._base, self.now.over_ms)
            say(score)
            self._base = score.frozen()

    def is_overtaken(self, body: Judged, at: int) -> bool:
        """Whether a judgement is from before the hold in force, which sorts nothing."""
        first = self.holds[0] if self.holds else None
        overtook = first is not None and not first.sorts and at < first.at
        return overtook and isinstance(body, _JUDGED)

    def count(self, entry: Entry, body: Counting, key: SetKey | None, at: int) -> bool:
        """A judgement, in what goes on; as `judging.count`."""
        if self._base is None or not self.is_overtaken(body, at):
            return judging.count(self.now, entry, body, key, at)
        score = Running(self._plan, self._base, self.now.over_ms)
        asks = judging.count(score, entry, body, key, at)
        judging.count(self.now, entry, body, key, at)
        left, place = score.frozen(), len(self._base.attempts)
        if len(left.attempts) > place:
            self.now.put_newest(place, left.attempts[place])
        self._base = left
        return asks

    def hold(self, hold: Hold) -> None:
        """One more hold, unless one of its kind is in force."""
        if any(h.kind == hold.kind for h in self.holds):
            return
        if not self.holds:
            self._base = judging.as_it_stands(self.now, hold.at)
            self.now.holding = True
        self.holds.append(hold)

    def release(self, kind: str, *, mistake: bool) -> frozenset[Ref]:
        """That hold is over; the attempts that count no more, once the last one is."""
        if not any(h.kind == kind for h in self.holds):
            return frozenset()
        self.holds = [h for h in self.holds if h.kind != kind]
        self.dropping = self.dropping or not mistake
        if self.holds:
            return frozenset()
        dropped = self._drop() if self.dropping else frozenset()
        self.now.holding = False
        self._base = None
        self.held = 0
        self.dropping = False
        return dropped

    def _drop(self) -> frozenset[Ref]:
        base = self._base
        if base is None:
            return frozenset()
        kept = with_uncounted(base, self.now.frozen())
        self.now = Running(self._plan, kept, self.now.over_ms)
        return frozenset(a.ref for a in kept.attempts[len(base.attempts) :])
