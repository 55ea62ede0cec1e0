"""How far the work has come: sets, rounds and parts as they fill up.

The fold's own mutable half, never seen outside the fold.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.counting import SetNow
from judgekit.core.timeline import Ends, Timeline, failed_round, lane_end, timeline

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.state import SetDone, Work
    from judgekit.core.timeline import RoundKey


class Progress:
    """Sets that fill, and the cursor that moves on to the next one with work left."""

    def __init__(self, plan: Plan, work: Work, over_ms: int | None) -> None:
        self.plan = plan
        self.over_ms = over_ms
        self.cursor = work.cursor
        self._sets = {s.key: s for s in work.sets}
        # The sets touched since, which stand for those of the same key.
        self._live: dict[SetKey, SetNow] = {}
        self._ends = dict(work.part_ends)
        self._pressed = dict(work.pressed)
        self._round_ends = {(p, r): ms for p, r, ms in work.round_ends}
        self._done_ms = work.done_ms
        self._line: Timeline | None = None

    @property
    def line(self) -> Timeline:
        """The timeline, laid out anew only when a part or round has ended."""
        if self._line is None:
            self._line = timeline(self.plan, self._all_ends(self.over_ms))
        return self._line

    def pressed(self, key: SetKey, at: int) -> None:
        """A press that was taken back later still tells when a part was left."""
        self._pressed[key.part] = max(at, self._pressed.get(key.part, at))

    def sets(self) -> tuple[SetDone, ...]:
        """Every set touched, in the plan's order."""
        sets = self._sets | {k: now.frozen() for k, now in self._live.items()}
        return tuple(sets[key] for key in sorted(sets))

    def set_now(self, key: SetKey) -> SetNow:
        """The set, to be changed in place."""
        now = self._live.get(key)
        if now is None:
            now = self._live[key] = self.untouched(key)
        return now

    def forget(self, key: SetKey) -> None:
        """The set is as if nothing had been done in it; the later ones first."""
        self._sets.pop(key, None)
        self._live.pop(key, None)
        if self.cursor is None or key < self.cursor:
            self.reopen(key)

    def untouched(self, key: SetKey) -> SetNow:
        """A copy of the set as it was when the fold began."""
        done = self._sets.get(key)
        return SetNow.of(done) if done else SetNow(key, self.plan.target(key))

    def horn_ms(self, key: SetKey) -> int | None:
        """When the clock ends the work of that set, or None."""
        return (self._line or self.line).horn(key)

    def by_the_horn(self, key: SetKey, at: int) -> int:
        """The time, but no later than the horn of that set."""
        horn = self.horn_ms(key)
        return at if horn is None else min(at, horn)

    # --- filling ------------------------------------------------------------------

    def touch(self, key: SetKey, at: int) -> None:
        """Somebody works in that set at that time."""
        now = self.set_now(key)
        if now.first_ms is None:
            now.first_ms = at
        now.last_ms = at
        self.reach(key, at)

    def reach(self, key: SetKey, at: int) -> None:
        """The work has come to that set by that time."""
        self.pressed(key, at)
        # Whoever works in a later part has left this one, short or not.
        for earlier in self.left_by(key):
            self._end_part(earlier, self._pressed.get(earlier, at))
        if self._done_ms is None:
            self.cursor = key

    def left_by(self, key: SetKey) -> list[int]:
        """The parts ended by work that work in a later one leaves unfinished."""
        parts = self.plan.parts
        return [
            number
            for number in range(1, key.part)
            if number not in self._ends
            and parts[number - 1].is_work
            and parts[number - 1].ends_by_work
        ]

    def add(self, key: SetKey, by: int, at: int) -> None:
        """The set's count moves; once full, the work moves on."""
        now = self.set_now(key)
        good = min(now.target, max(0, now.good + by))
        full = good == now.target
        now.good, now.done_ms = good, at if full else None
        if full:
            self.advance(key, at)

    def spend(self, key: SetKey, at: int) -> None:
        """An attempt or hold is over, failed or not; what is left stays undone."""
        for other in self.plan.round_sets(key.part, key.round):
            if other.movement >= key.movement:
                self.set_now(other).spent = True
        self.advance(key, at)

    def advance(self, key: SetKey, at: int) -> None:
        """That set takes no more: on to the next with work left."""
        part = self.plan.part(key)
        if (part.rest_ms or part.kind == "every") and self._round_done(key):
            self._round_ends.setdefault((key.part, key.round), at)
            self._line = None
        if part.ends_by_work and self._part_done(key):
            self._end_part(key.part, at)
        if self.cursor != key:
            return
        following = self.next_open(key)
        self.cursor = following
        if following is None:
            self._done_ms = at

    def next_open(self, key: SetKey) -> SetKey | None:
        """The next set with work left; a part is not left with a short set in it."""
        following = self.plan.after(key)
        while following is not None and following.part == key.part:
            if self.is_open(following):
                return following
            following = self.plan.after(following)
        for number in range(key.part, 0, -1):
            short = self._first_short(number)
            if short is not None:
                return short
        while following is not None and not self.is_open(following):
            following = self.plan.after(following)
        return following

    def reopen(self, key: SetKey) -> None:
        """Work goes on in that set, so nothing of it has ended."""
        self.cursor = key
        self._done_ms = None
        touched = self._touched()
        later = any(other.part > key.part for other in touched)
        if not later and self._ends.pop(key.part, None) is not None:
            self._line = None
        onward = any(
            o.part == key.part and o.round > key.round for o in self._touched()
        )
        if not onward and self._round_ends.pop((key.part, key.round), None) is not None:
            self._line = None

    def end_round(self, part: int, round_: int, at: int) -> None:
        """The round was done whole by that time, as somebody wrote down."""
        last = self.set_now(self.plan.round_sets(part, round_)[-1])
        if last.good == last.target:
            last.done_ms = at
        of = self.plan.parts[part - 1]
        if of.rest_ms or of.kind == "every":
            self._round_ends.setdefault((part, round_), at)
            self._line = None

    def end_part(self, number: int, at: int) -> None:
        """The part was done by that time, as somebody wrote down."""
        part = self.plan.parts[number - 1]
        if part.rounds:
            self.end_round(number, part.rounds, at)
        self._end_part(number, at)

    def end_work(self, at: int) -> None:
        """All was done by that time, as somebody wrote down."""
        self.cursor, self._done_ms = None, at

    def is_open(self, key: SetKey) -> bool:
        """Whether there is work left in that set."""
        now = self._live.get(key)
        if now is not None:
            return now.open
        done = self._sets.get(key)
        return done is None or done.is_open

    def clock_end(self) -> int | None:
        """When the clock by itself ends the lane's last work, time called or not."""
        ends = self._all_ends(None)
        return lane_end(self.plan, timeline(self.plan, ends), self._failed())

    # --- inner workings -------------------------------------------------------------

    def _all_ends(self, over_ms: int | None) -> Ends:
        rounds: dict[RoundKey, int] = dict(self._round_ends)
        return Ends(parts=self._ends, rounds=rounds, over_ms=over_ms)

    def _touched(self) -> Iterable[SetKey]:
        return (*self._sets, *self._live)

    def _end_part(self, number: int, at: int) -> None:
        """A part ends once: what is made good in it later moves no rest."""
        if number not in self._ends:
            self._ends[number] = at
            self._line = None

    def _first_short(self, number: int) -> SetKey | None:
        if not self.plan.parts[number - 1].ends_by_work:
            return None
        keys = self.plan.sets_of(number)
        return next((key for key in keys if self.is_open(key)), None)

    def _part_done(self, key: SetKey) -> bool:
        """Whether the part is, now that this set of it is."""
        following = self.plan.after(key)
        # Mostly the next set is still to do, and no other need be looked at.
        if following and following.part == key.part and self.is_open(following):
            return False
        return self._first_short(key.part) is None

    def _round_done(self, key: SetKey) -> bool:
        keys = self.plan.round_sets(key.part, key.round)
        return not any(self.is_open(other) for other in keys)

    def _failed(self) -> RoundKey | None:
        return failed_round(self.plan, self.is_open)
