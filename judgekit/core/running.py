"""Work under way: the fold's own mutable half, never seen outside the fold."""

from __future__ import annotations

from sys import maxsize
from typing import TYPE_CHECKING

from judgekit.core.counting import Streak
from judgekit.core.marking import early_due, marks_of, pace_of
from judgekit.core.pace import is_unlikely
from judgekit.core.progress import Progress
from judgekit.core.resulting import misfit, sets_told
from judgekit.core.seeing import Seeing
from judgekit.core.state import (
    NOT_A_NO_REP,
    Attempt,
    Correction,
    CueGiven,
    EarlyWork,
    Given,
    Holding,
    Mark,
    OnBar,
    SetSaid,
    Work,
)

if TYPE_CHECKING:
    from collections.abc import Container, Sequence

    from judgekit.core.entry import Entry, Reading
    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.ruling import Ref
    from judgekit.core.watchentry import Result


class Running(Progress):
    """Work that grows by one judged entry at a time; `frozen()` gives it away."""

    def __init__(
        self, plan: Plan, work: Work, over_ms: int | None, *, holding: bool = False
    ) -> None:
        super().__init__(plan, work, over_ms)
        self.holding = holding
        self._attempts = list(work.attempts)
        self._cues = list(work.cues)
        self._corrections = list(work.corrections)
        self._early = list(work.early)
        self._bars = {(bar.part, bar.round): bar for bar in work.bars}
        self._hold = work.hold
        self._turns = list(work.turns)
        self._reported = list(work.reported)
        self._given = work.given
        self.paper = work.paper
        self.seeing = Seeing(work)

    def frozen(self) -> Work:
        """The work as it stands."""
        return Work(
            sets=self.sets(),
            cursor=self.cursor,
            attempts=tuple(self._attempts),
            cues=tuple(self._cues),
            corrections=tuple(self._corrections),
            rests=self.line.rests,
            early=tuple(self._early),
            part_ends=tuple(sorted(self._ends.items())),
            pressed=tuple(sorted(self._pressed.items())),
            round_ends=tuple((p, r, ms) for (p, r), ms in self._round_ends.items()),
            done_ms=self._done_ms,
            bars=tuple(self._bars.values()),
            hold=self._hold,
            turns=tuple(self._turns),
            reported=tuple(self._reported),
            looks=self.seeing.looks,
            noticed=self.seeing.noticed,
            given=self._given,
            paper=self.paper,
        )

    def call_time(self, at: int, as_pressed: int) -> None:
        """Time is called: an earlier horn than the plan's own counts.

        `as_pressed` is the same moment before the start was moved: a call that the
        clock made stays the clock's own, wherever the start is moved to.
        """
        end = self.clock_end()
        if end is not None and end <= max(at, as_pressed):
            at = end
        self.over_ms = at if self.over_ms is None else min(self.over_ms, at)
        self._line = None
        self.let_go(at)

    # --- judged entries ---------------------------------------------------------

    def go_on(
        self, entries: Sequence[Entry], start: int, later_ms: int, dead: Container[Ref]
    ) -> int:
        """Take a streak of the set under way; the index of the first not taken."""
        key = self.cursor
        if key is None or entries[start].set is not key or not self._attempts:
            return start
        if self.plan.watching == "reported":
            return start
        now = self._live.get(key)
        if now is None or self._attempts[-1].set is not key or self.left_by(key):
            return start
        if self.plan.part(key).kind in _TRIED:
            return start
        horn = self.horn_ms(key)
        opens = self.line.opening(key)
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
                counts = counts and self._counts_early(key)
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
        self.touch(key, at)
        if counts:
            self.add(key, n, at)

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
        self.touch(key, at)
        self.set_now(key).no_reps += 1
        if self.plan.part(key).kind == "attempts" and not _NEVER & set(marks):
            self.spend(key, at)

    def name_fault(self, target: Ref, fault: str) -> None:
        """One more reason for a no-rep."""
        self.seeing.name_fault(target, fault)
        for index in self._indexes(target):
            attempt = self._attempts[index]
            if fault not in attempt.faults:
                faults = (*attempt.faults, fault)
                self._attempts[index] = attempt._replace(faults=faults)

    def report(self, entry: Entry, key: SetKey, at: int, n: int) -> None:
        """So much of a set is done, as the athlete says; nobody saw when."""
        when = self.by_the_horn(key, at)
        n = min(n, self.plan.target(key))
        self._reported.append(SetSaid(ref=entry.ref, set=key, at=when, n=n))
        self.reach(key, when)
        self.add(key, max(0, n - self.set_now(key).good), when)
        if self.plan.part(key).kind in _TRIED and self.is_open(key):
            self.spend(key, when)

    def give(self, ref: Ref, result: Result) -> None:
        """The whole result, as reported: what it tells of sets has no times.

        It tells all that was done, so a count that was moved before is in it.
        """
        if misfit(self.plan, result):
            return
        for key in sorted({moved.set for moved in self._corrections}, reverse=True):
            self.forget(key)
        self._corrections.clear()
        self._given = Given(ref=ref, result=result)
        for key, n in sets_told(self.plan, result):
            self.set_now(key).good = n
        self.cursor = None if result.unit == "ms" else self.cursor
        if result.unit == "ms":
            self._done_ms = result.amount

    def reading(self, entry: Entry, key: SetKey, at: int, body: Reading) -> None:
        """What the monitor shows; read after the horn, it is what the horn left."""
        when = self.by_the_horn(key, at)
        shows = body.shows
        more = min(shows, self.plan.target(key)) - self.set_now(key).good
        # It goes up, but where a reason says that the one before was wrong.
        more = more if body.why else max(0, more)
        marks: list[Mark] = ["held"] if self.holding else []
        if when < at:
            marks.append("at the horn")
        marks += self._marks_of_reading(key, (when, at), more, shows)
        counts = True
        if early_due(self.line, key, at):
            marks.append("early")
            self._note_early(key, at)
            counts = self._counts_early(key)
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
        self.touch(key, when)
        if counts:
            if more < 0:
                self.reopen(key)
            self.add(key, more, when)

    def bar(self, key: SetKey, load: str, *, confirmed: bool) -> None:
        """The load of an attempt, as said; or the bar checked for it."""
        here = key.part, key.round
        self._bars[here] = OnBar(
            part=key.part, round=key.round, load=load, confirmed=confirmed
        )

    def hold_on(self, ref: Ref, key: SetKey, at: int) -> None:
        """A hold begins."""
        self.touch(key, at)
        self._hold = Holding(ref=ref, set=key, from_ms=at)

    def hold_off(self, ref: Ref, at: int, faults: tuple[str, ...]) -> None:
        """The hold ends: its whole seconds count, whatever ended it."""
        hold = self._hold
        if hold is None:
            return
        self._hold = None
        key = hold.set
        left = self.plan.target(key) - self.set_now(key).good
        end = min(self.by_the_horn(key, at), hold.from_ms + left * 1000)
        seconds = max(0, end - hold.from_ms) // 1000
        due = early_due(self.line, key, hold.from_ms)
        marks: tuple[Mark, ...] = ("held",) if self.holding else ()
        marks = (*marks, "early") if due else marks
        if due:
            self._note_early(key, hold.from_ms)
        counts = not due or self._counts_early(key)
        held = (ref, key, end, True, seconds, (), counts, marks)
        self._attempts.append(Attempt(*held))
        if faults:
            # What ended it is a fault like any other, with its reason.
            self._attempts.append(
                Attempt(ref, key, end, False, 1, faults, False, marks)
            )
            self.set_now(key).no_reps += 1
        self.touch(key, end)
        if counts:
            self.add(key, seconds, end)
        if self.plan.part(key).kind == "hold" and self.is_open(key):
            self.spend(key, end)

    def works(self, bib: str, at: int) -> None:
        """That member of the team works from now on."""
        self._turns.append((at, bib))

    def let_go(self, at: int) -> None:
        """Whatever is held is let go of, as the work is over or stopped."""
        if self._hold is not None:
            self.hold_off(self._hold.ref, at, ())

    def cue(self, entry: Entry, key: SetKey, at: int, fault: str) -> None:
        """A cue fault; the count stays."""
        self._cues.append(CueGiven(ref=entry.ref, set=key, at=at, fault=fault))

    def correct(self, entry: Entry, key: SetKey, at: int, by: int, why: str) -> None:
        """The judge moves the count; a full set that loses a rep opens again."""
        self._note_correction(entry, key, at, by, why)
        if by < 0:
            self.reopen(key)
        self.add(key, by, self.by_the_horn(key, at))

    def move_on(self, key: SetKey, at: int, why: str) -> None:
        """The set is left short."""
        self.set_now(key).moved_on = why
        self.advance(key, at)

    def back_to(self, key: SetKey) -> None:
        """Work goes on in an earlier set."""
        self.set_now(key).moved_on = ""
        self.reopen(key)

    def put_newest(self, place: int, attempt: Attempt) -> None:
        """The newest attempt was made before what was pressed since a hold."""
        self._attempts.pop()
        self._attempts.insert(place, attempt)

    def answer_horn(self, target: Ref) -> None:
        """The rep kept at the horn was finished in time: it counts at the horn."""
        for index in self._indexes(target):
            attempt = self._attempts[index]
            if attempt.counts:
                continue
            when = self.by_the_horn(attempt.set, attempt.at)
            self._attempts[index] = attempt._replace(counts=True, at=when)
            self.add(attempt.set, attempt.n, when)

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
        done = self._live.get(key) or self.untouched(key)
        good = min(done.target, max(0, done.good + by))
        if good == done.good:
            return False
        self._note_correction(entry, key, at, good - done.good, why)
        self._live[key] = done
        done.good = good
        if key == self.cursor and good == done.target:
            self.cursor = self.next_open(key)
        return True

    def rule_attempt(
        self, entry: Entry, target: Ref, at: int, why: str, *, restore: bool
    ) -> None:
        """A ruling voids an attempt that counts, or restores one that does not."""
        for index in self._ruled(target):
            attempt = self._attempts[index]
            if not attempt.good and not NOT_A_NO_REP & set(attempt.marks):
                done = self.set_now(attempt.set)
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

    def _ruled(self, target: Ref) -> list[int]:
        """The attempt that a ruling is about: of a hold its seconds, not its fault."""
        found = self._indexes(target)
        before = found[0] - 1 if found else -1
        if before >= 0 and self._attempts[before].ref == target:
            return [before]
        return found

    def _note_correction(
        self, entry: Entry, key: SetKey, at: int, by: int, why: str
    ) -> None:
        self._corrections.append(
            Correction(ref=entry.ref, set=key, at=at, by=by, why=why)
        )

    def _counts_early(self, key: SetKey) -> bool:
        """Whether work before its time counts; an interval has no rest to make good."""
        if self.plan.part(key).kind == "every":
            return self.plan.early_start == "counts"
        return self.plan.early_start != "no-rep"

    def _note_early(self, key: SetKey, at: int) -> None:
        here = key.part, key.round
        if any((early.part, early.round) == here for early in self._early):
            return
        due = early_due(self.line, key, at)
        self._early.append(EarlyWork(part=key.part, round=key.round, at=at, due_ms=due))

    def _marks_of_reading(
        self, key: SetKey, when: tuple[int, int], more: int, shows: int
    ) -> list[Mark]:
        """Whether it came too soon: a press by its pace, any number by its time.

        `when` is what the horn left, and when it was pressed.
        """
        counted_at, at = when
        pace = None
        # Only a space says that the target shows, in time; all else was typed.
        if counted_at == at and shows == self.plan.target(key):
            pace = pace_of(self.line, self._attempts, (key, at, more))
        if pace:
            return [pace]
        unlikely = is_unlikely(self.line, self._attempts, (key, counted_at, shows))
        return ["unlikely"] if unlikely else []

    def _marks(self, key: SetKey, at: int, *, n: int) -> tuple[Mark, ...]:
        """The marks of an attempt; `n` is 0 for a no-rep, whose pace says nothing."""
        marks = marks_of(self.line, self._attempts, (key, at, n))
        return ("held", *marks) if self.holding else tuple(marks)


_NEVER: frozenset[Mark] = frozenset({"at the horn", "after the horn"})
# Parts of which each round is one try.
_TRIED = ("attempts", "hold")
