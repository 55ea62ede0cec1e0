"""Work under way: the fold's own mutable half, never seen outside the fold."""

from __future__ import annotations

from sys import maxsize
from typing import TYPE_CHECKING

from judgekit.core.counting import SetNow, Streak
from judgekit.core.pace import pace_mark
from judgekit.core.state import (
    Attempt,
    Correction,
    CueGiven,
    EarlyWork,
    Mark,
    Work,
)
from judgekit.core.timeline import Timeline, lane_end, thumb_lag_ms, timeline

if TYPE_CHECKING:
    from collections.abc import Container, Sequence

    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.ruling import Ref


class Running:
    """Work that grows by one judged entry at a time; `frozen()` gives it away."""

    def __init__(
        self, plan: Plan, work: Work, over_ms: int | None, *, holding: bool = False
    ) -> None:
        self.plan = plan
        self.holding = holding
        self.over_ms = over_ms
        self._sets = {s.key: s for s in work.sets}
        # The sets touched since, which stand for those of the same key.
        self._live: dict[SetKey, SetNow] = {}
        self.cursor = work.cursor
        self._attempts = list(work.attempts)
        self._cues = list(work.cues)
        self._corrections = list(work.corrections)
        self._early = list(work.early)
        self._ends = dict(work.part_ends)
        self._pressed = dict(work.pressed)
        self._done_ms = work.done_ms
        self._line: Timeline | None = None

    def frozen(self) -> Work:
        """The work as it stands."""
        sets = self._sets | {k: now.frozen() for k, now in self._live.items()}
        return Work(
            sets=tuple(sets[key] for key in sorted(sets)),
            cursor=self.cursor,
            attempts=tuple(self._attempts),
            cues=tuple(self._cues),
            corrections=tuple(self._corrections),
            rests=self.line.rests,
            early=tuple(self._early),
            part_ends=tuple(sorted(self._ends.items())),
            pressed=tuple(sorted(self._pressed.items())),
            done_ms=self._done_ms,
        )

    @property
    def line(self) -> Timeline:
        """The timeline, laid out anew only when a part has ended or reopened."""
        if self._line is None:
            self._line = timeline(self.plan, self._ends, self.over_ms)
        return self._line

    def call_time(self, at: int, as_pressed: int) -> None:
        """Time is called: an earlier horn than the plan's own counts.

        `as_pressed` is the same moment before the start was moved: a call that the
        clock made stays the clock's own, wherever the start is moved to.
        """
        end = lane_end(self.plan, timeline(self.plan, self._ends, None))
        if end is not None and end <= max(at, as_pressed):
            at = end
        self.over_ms = at if self.over_ms is None else min(self.over_ms, at)
        self._line = None

    def pressed(self, key: SetKey, at: int) -> None:
        """A press that was taken back later still tells when a part was left."""
        self._pressed[key.part] = max(at, self._pressed.get(key.part, at))

    # --- judged entries ---------------------------------------------------------

    def go_on(
        self, entries: Sequence[Entry], start: int, later_ms: int, dead: Container[Ref]
    ) -> int:
        """Take a streak of the set under way; the index of the first not taken."""
        key = self.cursor
        if key is None or entries[start].set is not key or not self._attempts:
            return start
        now = self._live.get(key)
        if now is None or self._attempts[-1].set is not key or self._left_by(key):
            return start
        line = self.line
        horn = line.horns.get(key.part)
        opens = line.opens.get(key.part)
        streak = Streak(
            now=now,
            attempts=self._attempts,
            floor_ms=self.plan.card_of(key).floor_ms,
            opens_ms=-maxsize if opens is None else opens,
            horn_ms=maxsize if horn is None else horn,
        )
        end = streak.take(entries, start, later_ms, dead)
        if end > start:
            self.pressed(key, self._attempts[-1].at)
        return end

    def rep(self, entry: Entry, key: SetKey, at: int, n: int) -> None:
        """`n` good reps; what does not count is kept with its mark."""
        marks = self._marks(key, at, n=n)
        counts = True
        if marks:
            counts = not _NEVER & set(marks)
            if "early" in marks:
                self._note_early(key, at)
                counts = counts and self.plan.early_start != "no-rep"
        self._attempts.append(
            Attempt(
                ref=entry.ref,
                set=key,
                at=at,
                good=True,
                n=n,
                faults=(),
                counts=counts,
                marks=marks,
            )
        )
        self._touch(key, at)
        if counts:
            self._add(key, n, at)

    def no_rep(
        self, entry: Entry, key: SetKey, at: int, faults: tuple[str, ...]
    ) -> None:
        """A rep tried that does not count."""
        marks = self._marks(key, at, n=0)
        attempt = Attempt(
            ref=entry.ref,
            set=key,
            at=at,
            good=False,
            n=1,
            faults=faults,
            counts=False,
            marks=marks,
        )
        self._attempts.append(attempt)
        self._touch(key, at)
        self._set(key).no_reps += 1

    def name_fault(self, target: Ref, fault: str) -> None:
        """One more reason for a no-rep."""
        for index in self._indexes(target):
            attempt = self._attempts[index]
            if fault not in attempt.faults:
                faults = (*attempt.faults, fault)
                self._attempts[index] = attempt._replace(faults=faults)

    def reading(self, entry: Entry, key: SetKey, at: int, shows: int) -> None:
        """What the monitor shows; read after the horn, it is what the horn left."""
        when = self._by_the_horn(key, at)
        more = max(0, min(shows, self.plan.target(key)) - self._set(key).good)
        marks: list[Mark] = ["held"] if self.holding else []
        pace = self._pace_mark(key, when, more)
        if when < at:
            marks.append("at the horn")
        elif pace:
            marks.append(pace)
        counts = True
        if self._is_early(key, at):
            marks.append("early")
            self._note_early(key, at)
            counts = self.plan.early_start != "no-rep"
        attempt = Attempt(
            ref=entry.ref,
            set=key,
            at=when,
            good=True,
            n=more,
            faults=(),
            counts=counts,
            marks=tuple(marks),
            shows=shows,
        )
        self._attempts.append(attempt)
        self._touch(key, when)
        if counts:
            self._add(key, more, when)

    def cue(self, entry: Entry, key: SetKey, at: int, fault: str) -> None:
        """A cue fault; the count stays."""
        self._cues.append(CueGiven(ref=entry.ref, set=key, at=at, fault=fault))

    def correct(self, entry: Entry, key: SetKey, at: int, by: int, why: str) -> None:
        """The judge moves the count; a full set that loses a rep opens again."""
        self._note_correction(entry, key, at, by, why)
        if by < 0:
            self._reopen(key)
        self._add(key, by, self._by_the_horn(key, at))

    def move_on(self, key: SetKey, at: int, why: str) -> None:
        """The set is left short."""
        self._set(key).moved_on = why
        self._advance(key, at)

    def back_to(self, key: SetKey) -> None:
        """Work goes on in an earlier set."""
        self._set(key).moved_on = ""
        self._reopen(key)

    def answer_horn(self, target: Ref) -> None:
        """The rep kept at the horn was finished in time: it counts at the horn."""
        for index in self._indexes(target):
            attempt = self._attempts[index]
            if attempt.counts:
                continue
            when = self._by_the_horn(attempt.set, attempt.at)
            self._attempts[index] = attempt._replace(counts=True, at=when)
            self._add(attempt.set, attempt.n, when)

    def waits_for_horn(self, target: Ref) -> bool:
        """Whether the newest attempt is that one, kept at the horn."""
        last = self._attempts[-1]
        return last.ref == target and "at the horn" in last.marks

    def mark(self, target: Ref, mark: Mark) -> None:
        """One more mark on an attempt."""
        for index in self._indexes(target):
            attempt = self._attempts[index]
            if mark not in attempt.marks:
                marks = (*attempt.marks, mark)
                self._attempts[index] = attempt._replace(marks=marks)

    # --- rulings ----------------------------------------------------------------

    def rule_reps(self, entry: Entry, key: SetKey, at: int, by: int, why: str) -> bool:
        """A ruling moves a set's count, not the clock; says whether it moved at all."""
        if not self.plan.holds(key):
            return False
        # A ruling that moves nothing begins no set.
        done = self._live.get(key) or self._untouched(key)
        good = min(done.target, max(0, done.good + by))
        if good == done.good:
            return False
        self._note_correction(entry, key, at, good - done.good, why)
        self._live[key] = done
        done.good = good
        if key == self.cursor and good == done.target:
            self.cursor = self._next_open(key)
        return True

    def rule_attempt(
        self, entry: Entry, target: Ref, at: int, why: str, *, restore: bool
    ) -> None:
        """A ruling voids an attempt that counts, or restores one that does not."""
        for index in self._indexes(target):
            attempt = self._attempts[index]
            if not attempt.good and not _NOT_A_NO_REP & set(attempt.marks):
                done = self._set(attempt.set)
                done.no_reps = max(0, done.no_reps - 1)
                if not restore:
                    self.mark(target, "voided")
                    continue
            if attempt.counts == restore:
                continue
            mark: Mark = "restored" if restore else "voided"
            by = attempt.n if restore else -attempt.n
            # A full set takes no more: what does not count cannot be voided again.
            moved = self.rule_reps(entry, attempt.set, at, by, why)
            marks = (*attempt.marks, mark)
            counts = restore and moved
            self._attempts[index] = attempt._replace(counts=counts, marks=marks)

    # --- inner workings ----------------------------------------------------------

    def _indexes(self, target: Ref) -> list[int]:
        # The newest attempts are the ones asked for, so look from the end.
        for index in range(len(self._attempts) - 1, -1, -1):
            if self._attempts[index].ref == target:
                return [index]
        return []

    def _by_the_horn(self, key: SetKey, at: int) -> int:
        horn = self.line.horn(key.part)
        return at if horn is None else min(at, horn)

    def _set(self, key: SetKey) -> SetNow:
        now = self._live.get(key)
        if now is None:
            now = self._live[key] = self._untouched(key)
        return now

    def _untouched(self, key: SetKey) -> SetNow:
        done = self._sets.get(key)
        return SetNow.of(done) if done else SetNow(key, self.plan.target(key))

    def _touch(self, key: SetKey, at: int) -> None:
        done = self._set(key)
        if done.first_ms is None:
            done.first_ms = at
        done.last_ms = at
        self.pressed(key, at)
        # Whoever works in a later part has left this one, short or not.
        for earlier in self._left_by(key):
            self._end_part(earlier, self._pressed.get(earlier, at))
        if self._done_ms is None:
            self.cursor = key

    def _left_by(self, key: SetKey) -> list[int]:
        """The parts done for rounds that work in a later one leaves unfinished."""
        return [
            number
            for number in range(1, key.part)
            if number not in self._ends and self.plan.parts[number - 1].kind == "rounds"
        ]

    def _add(self, key: SetKey, by: int, at: int) -> None:
        done = self._set(key)
        good = min(done.target, max(0, done.good + by))
        full = good == done.target
        done.good, done.done_ms = good, at if full else None
        if full:
            self._advance(key, at)

    def _advance(self, key: SetKey, at: int) -> None:
        if self.plan.part(key).kind == "rounds" and self._part_done(key):
            self._end_part(key.part, at)
        if self.cursor != key:
            return
        following = self._next_open(key)
        self.cursor = following
        if following is None:
            self._done_ms = at

    def _end_part(self, number: int, at: int) -> None:
        """A part ends once: what is made good in it later moves no rest."""
        if number not in self._ends:
            self._ends[number] = at
            self._line = None

    def _next_open(self, key: SetKey) -> SetKey | None:
        """The next set with work left; a part is not left with a short set in it."""
        following = self.plan.after(key)
        while following is not None and following.part == key.part:
            if self._open(following):
                return following
            following = self.plan.after(following)
        for number in range(key.part, 0, -1):
            short = self._first_short(number)
            if short is not None:
                return short
        while following is not None and not self._open(following):
            following = self.plan.after(following)
        return following

    def _open(self, key: SetKey) -> bool:
        now = self._live.get(key)
        if now is not None:
            return now.open
        done = self._sets.get(key)
        return done is None or not (done.moved_on or done.good >= done.target)

    def _first_short(self, number: int) -> SetKey | None:
        if self.plan.parts[number - 1].kind != "rounds":
            return None
        sets = (key for key in self.plan.all_sets() if key.part == number)
        return next((key for key in sets if self._open(key)), None)

    def _part_done(self, key: SetKey) -> bool:
        """Whether the part is, now that this set of it is."""
        following = self.plan.after(key)
        # Mostly the next set is still to do, and no other need be looked at.
        if following and following.part == key.part and self._open(following):
            return False
        return self._first_short(key.part) is None

    def _reopen(self, key: SetKey) -> None:
        self.cursor = key
        self._done_ms = None
        touched = (*self._sets, *self._live)
        later = any(other.part > key.part for other in touched)
        if not later and self._ends.pop(key.part, None) is not None:
            self._line = None

    def _note_correction(
        self, entry: Entry, key: SetKey, at: int, by: int, why: str
    ) -> None:
        self._corrections.append(
            Correction(ref=entry.ref, set=key, at=at, by=by, why=why)
        )

    def _note_early(self, key: SetKey, at: int) -> None:
        if any(early.part == key.part for early in self._early):
            return
        due = self.line.opens[key.part] - at
        self._early.append(EarlyWork(part=key.part, at=at, due_ms=due))

    # --- marks --------------------------------------------------------------------

    def _marks(self, key: SetKey, at: int, *, n: int) -> tuple[Mark, ...]:
        """The marks of an attempt; `n` is 0 for a no-rep, whose pace says nothing."""
        marks: list[Mark] = ["held"] if self.holding else []
        last = self._attempts[-1] if self._attempts else None
        if last is not None and at < last.at:
            marks.append("out of order")
        horn = (self._line or self.line).horns.get(key.part)
        if horn is not None and at > horn:
            marks.append(self._horn_mark(key, at, horn))
        if self._is_early(key, at):
            marks.append("early")
        pace = self._pace_mark(key, at, n)
        if pace:
            marks.append(pace)
        return tuple(marks)

    def _horn_mark(self, key: SetKey, at: int, horn: int) -> Mark:
        if at > horn + thumb_lag_ms(self.plan, key):
            return "after the horn"
        already = any(
            "at the horn" in a.marks and a.good and a.set.part == key.part
            for a in reversed(self._attempts[-4:])
        )
        return "after the horn" if already else "at the horn"

    def _is_early(self, key: SetKey, at: int) -> bool:
        before = key.part - 1
        if before < 1 or self.plan.parts[before - 1].movements:
            return False
        opens = self.line.opens.get(key.part)
        return opens is not None and at < opens

    def _pace_mark(self, key: SetKey, at: int, n: int) -> Mark | None:
        """The mark of `n` reps for following too soon; a no-rep has none (n is 0)."""
        last = self._attempts[-1] if self._attempts else None
        if last is None or not n or not last.good:
            return None
        return pace_mark(self.plan, self._attempts, self.line.rests, (key, at, n))


_NEVER: frozenset[Mark] = frozenset({"at the horn", "after the horn"})
_NOT_A_NO_REP: frozenset[Mark] = frozenset({"voided", "restored", "not counted"})
