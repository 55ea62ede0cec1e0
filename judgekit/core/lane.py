"""The fold: a plan and its entries make a lane, the same one on any machine.

`fold` reads nothing but its arguments. `evolve` adds one entry to a lane and gives
exactly what folding all entries would give.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from judgekit.core import judging
from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.entry import (
    Absent,
    Accept,
    BackTo,
    Claim,
    ClockJump,
    CloseCall,
    Counting,
    Dispute,
    Early,
    Entry,
    Extra,
    FollowedUp,
    Freeze,
    Gap,
    Go,
    GoOn,
    Horn,
    Ignored,
    Is,
    Judged,
    MoveOn,
    NameFault,
    Note,
    Odd,
    OfDay,
    Official,
    OfHeat,
    PutBack,
    Recall,
    Rule,
    Scale,
    Session,
    Steering,
    Stop,
    TakeBack,
    Time,
    Undoing,
    Unfreeze,
    WallSet,
    Withdraw,
)
from judgekit.core.hindsight import (
    Foreknown,
    Signing,
    first_closing,
    foreknown,
    is_late,
    known_in,
    reaches_back,
)
from judgekit.core.holding import Course
from judgekit.core.overtaking import in_their_place, is_overtaken
from judgekit.core.ruling import (
    Close,
    Credit,
    Effect,
    Percent,
    Reopen,
    RepsInSet,
    RestoreAttempt,
    RunCounts,
    Stands,
    StartBy,
    StatusIs,
    TimeBy,
    VoidAttempt,
)
from judgekit.core.state import Hold, Lane, Ruling, TakenBack, Work
from judgekit.core.tryentry import Works

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.running import Running


def fold(plan: Plan, entries: Iterable[Entry]) -> Lane:
    """The lane that these entries make, in the order given."""
    given = tuple(entries)
    signed: Lane | None = None
    closing = first_closing(given)
    if closing is not None and any(reaches_back(e.body) for e in given[closing + 1 :]):
        # What was signed stays as it was signed, whatever later entries reach back to.
        signed = fold(plan, given[: closing + 1]).accepted
    fore = foreknown(given)
    folding = _Folding(empty(plan), fore, signed)
    # What is heard of after signing was not in what was signed.
    end = len(given) if closing is None else closing + 1
    folding.take_all([*in_their_place(given[:end], fore), *given[end:]])
    return _in_log_order(folding.lane(), given)


def _in_log_order(lane: Lane, given: tuple[Entry, ...]) -> Lane:
    """The lane with its entries as the log has them, whatever a hold overtook."""
    accepted = lane.accepted
    if accepted is not None:
        accepted = replace(accepted, entries=given[: len(accepted.entries)])
    return replace(lane, entries=given, accepted=accepted)


def empty(plan: Plan) -> Lane:
    """A lane before its first entry: the first set waits."""
    return Lane(plan=plan, work=Work(cursor=plan.first_from(1)))


def evolve(lane: Lane, entry: Entry) -> Lane:
    """The lane with one more entry, in a single step.

    Only what reaches back (a take-back, a moved start) folds again from the first, and
    what was made before a stop that came first to the log.
    """
    if reaches_back(entry.body) or is_overtaken(lane, entry):
        return fold(lane.plan, (*lane.entries, entry))
    folding = _Folding(lane, known_in(lane))
    folding.take(entry)
    return folding.lane()


def own_ms(lane: Lane, at: int) -> int:
    """A heat time on the lane's own clock: a later start is taken off."""
    return at - lane.offset_ms - lane.start_shift_ms


class _Folding:
    """One fold under way: mutable, private, gone when the lane is made."""

    def __init__(self, lane: Lane, fore: Foreknown, signed: Lane | None = None) -> None:
        self._from = lane
        self._signed = signed
        self._fore = fore
        self._entries = list(lane.entries)
        self._course = Course(lane)
        self._started = lane.started
        self._recalled = lane.recalled
        self._absent = lane.absent
        self._judge = lane.judge
        self._withdrawn = lane.withdrawn_ms
        self._taken = list(lane.taken_back)
        self._gone = {taken.target for taken in lane.taken_back}
        self._asks = list(lane.horn_asks)
        self._stops = list(lane.stops)
        self._rulings = list(lane.rulings)
        self._disputes = list(lane.disputes)
        self._flags = list(lane.flags)
        self._signing = Signing(lane.signatures, closed=lane.closed)
        self._accepted = lane.accepted
        self._amended = lane.amended

    def take_all(self, entries: Sequence[Entry]) -> None:
        """Many more entries: streaks of one set in one go, each of the others alone."""
        taken = 0
        while taken < len(entries):
            start, taken = taken, self._go_on(entries, taken)
            self._entries += entries[start:taken]
            if taken < len(entries):
                self.take(entries[taken])
                taken += 1

    def _go_on(self, entries: Sequence[Entry], start: int) -> int:
        if self._course.holds or self._recalled or self._accepted or self._fore.moved:
            return start
        if self._signing.closed or self._signing.signatures:
            return start
        return self._now.go_on(entries, start, self._fore.later_ms, self._fore.dead)

    def take(self, entry: Entry) -> None:
        """One more entry."""
        self._entries.append(entry)
        body = entry.body
        closed = self._signing.closed
        self._signing.take(body)
        if isinstance(body, Judged):
            self._judged(entry, body)
        elif isinstance(body, OfHeat | OfDay):
            if not closed:
                self._of_heat_or_day(entry, body)
        elif isinstance(body, Undoing):
            self._undoing(entry, body)
        elif isinstance(body, Official):
            self._official(entry, body, closed=closed)
        elif isinstance(body, Odd):
            self._odd(body)
        else:
            assert_never(body)

    def lane(self) -> Lane:
        """The lane as it stands."""
        work, onward = self._course.works()
        return Lane(
            plan=self._from.plan,
            entries=tuple(self._entries),
            work=work,
            onward=onward,
            started=self._started,
            offset_ms=self._fore.offset_ms,
            start_shift_ms=self._fore.shift_ms,
            moved=self._fore.moved,
            zero_moved_ms=self._fore.zero_moved_ms,
            judge=self._judge,
            holds=tuple(self._course.holds),
            held=self._course.held,
            dropping=self._course.dropping,
            over_ms=self._now.over_ms,
            withdrawn_ms=self._withdrawn,
            recalled=self._recalled,
            absent=self._absent,
            taken_back=tuple(self._taken),
            horn_asks=tuple(self._asks),
            stops=tuple(self._stops),
            rulings=tuple(self._rulings),
            disputes=tuple(self._disputes),
            signatures=self._signing.signatures,
            closed=self._signing.closed,
            amended=self._amended,
            accepted=self._accepted,
            flags=tuple(self._flags),
        )

    @property
    def _now(self) -> Running:
        return self._course.now

    def _own(self, entry: Entry) -> int:
        return self._fore.when(entry) - self._fore.later_ms

    # --- judged -------------------------------------------------------------------

    def _judged(self, entry: Entry, body: Judged) -> None:
        key = entry.set or self._now.cursor
        if not self._is_open_to(key):
            return
        if self._accepted is not None:
            self._amended = True
        if self._fore.dead and entry.ref in self._fore.dead:
            if key is not None:
                self._now.pressed(key, self._own(entry))
            return
        if self._course.holds:
            at = self._own(entry)
            self._course.held += not self._course.is_overtaken(body, at)
        if isinstance(body, Counting):
            self._counting(entry, body, key)
        else:
            self._steering(entry, body, key)

    def _is_open_to(self, key: SetKey | None) -> bool:
        """Not recalled, not signed, and of a set that the plan holds."""
        if self._recalled or self._signing.closed:
            return False
        return key is None or self._from.plan.holds(key)

    def _counting(self, entry: Entry, body: Counting, key: SetKey | None) -> None:
        if self._course.count(entry, body, key, self._own(entry)):
            self._asks.append(entry.ref)

    def _steering(self, entry: Entry, body: Steering, key: SetKey | None) -> None:
        at = self._own(entry)
        match body:
            case NameFault(target=target, fault=fault):
                self._course.on_both(lambda work: work.name_fault(target, fault))
            case MoveOn() | BackTo():
                if key is not None:
                    judging.move(self._now, body, key, at)
            case CloseCall(target=target):
                self._course.on_both(lambda work: work.mark(target, "close"))
            case Horn(target=target, counts=counts):
                self._asks = [ref for ref in self._asks if ref != target]
                if counts:
                    self._course.on_both(lambda work: work.answer_horn(target))
            case Withdraw() | Works():
                self._who_works(body, at)
            case _:
                assert_never(body)

    def _who_works(self, body: Withdraw | Works, at: int) -> None:
        if isinstance(body, Works):
            self._now.works(body.bib, at)
        else:
            self._withdrawn = at
            self._now.let_go(at)

    # --- the heat -----------------------------------------------------------------

    def _of_heat_or_day(self, entry: Entry, body: OfHeat | OfDay) -> None:
        if isinstance(body, OfHeat):
            self._of_heat(entry, body)
        else:
            self._of_day(body)

    def _of_heat(self, entry: Entry, body: OfHeat) -> None:
        match body:
            case Go():
                self._started = True
            case Recall():
                self._recalled = True
            case Time():
                as_pressed = (entry.at or 0) - self._fore.offset_ms
                self._now.call_time(self._own(entry), as_pressed)
            case Stop():
                self._stop(entry, body)
            case WallSet():
                pass  # foreknown: it moves what came before it
            case Freeze(why=why, sorts=sorts):
                at = self._own(entry)
                self._course.hold(Hold(kind="freeze", at=at, why=why, sorts=sorts))
            case GoOn(by_mistake=mistake) | Unfreeze(by_mistake=mistake):
                kind = "stop" if isinstance(body, GoOn) else "freeze"
                dropped = self._course.release(kind, mistake=mistake)
                self._asks = [ref for ref in self._asks if ref not in dropped]
            case _:
                assert_never(body)

    def _stop(self, entry: Entry, body: Stop) -> None:
        """A stop; said once more with its sign, it is still the same one."""
        if any(hold.kind == "stop" for hold in self._course.holds):
            said = Stop(sign=body.sign, sorts=body.sorts)
            self._stops[-1] = replace(self._stops[-1], body=said)
            return
        self._stops.append(entry)
        hold = Hold(kind="stop", at=self._own(entry), why=body.sign, sorts=body.sorts)
        self._course.hold(hold)

    # --- everything else ------------------------------------------------------------

    def _of_day(self, body: OfDay) -> None:
        match body:
            case Claim(judge=judge):
                self._judge = judge
            case Absent(absent=absent):
                self._absent = absent
            case Scale() | Is() | Check() | Unchecked():
                pass  # another plan is read in its place; a check moves no score
            case _:
                assert_never(body)

    def _undoing(self, entry: Entry, body: Undoing) -> None:
        if self._signing.closed:
            return
        if self._accepted is not None:
            self._amended = True
        match body:
            case PutBack(target=target):
                self._taken = [t for t in self._taken if t.target != target]
                self._gone.discard(target)
            case Extra(target=target, one_too_many=False):
                self._course.on_both(lambda work: work.mark(target, "own"))
            case TakeBack(target=target) | Extra(target=target):
                self._gone.add(target)
                late = is_late(self._entries, target, self._gone, self._fore)
                late = late and self._from.plan.watching == "judged"
                self._taken.append(
                    TakenBack(
                        target=target,
                        by=entry.ref,
                        at=self._own(entry),
                        late=late,
                        extra=isinstance(body, Extra),
                    )
                )
            case _:
                assert_never(body)

    def _official(self, entry: Entry, body: Official, *, closed: bool) -> None:
        match body:
            case Rule(effect=effect):
                made = Ruling(ref=entry.ref, rule=body, who=entry.who, wall=entry.wall)
                self._rulings.append(made)
                self._rule(entry, effect, body.why)
            case Dispute():
                self._disputes.append(entry)
            case Accept() | Note() | FollowedUp():
                pass
            case _:
                assert_never(body)
        if self._signing.closed and not closed and self._accepted is None:
            self._accepted = self._signed or self.lane()

    def _rule(self, entry: Entry, effect: Effect, why: str) -> None:
        at = self._own(entry)
        match effect:
            case Reopen() | Close() | Stands():
                return
            case RepsInSet(set=key, by=by):
                self._course.on_both(
                    lambda work: work.rule_reps(entry, key, at, by, why)
                )
            case VoidAttempt(target=target) | RestoreAttempt(target=target):
                self._asks = [ref for ref in self._asks if ref != target]
                how = isinstance(effect, RestoreAttempt)
                self._course.on_both(
                    lambda work: work.rule_attempt(entry, target, at, why, restore=how)
                )
            case StartBy() | TimeBy() | Credit() | Percent() | StatusIs() | RunCounts():
                pass  # a moved start is foreknown; the rest is the score's affair
            case _:
                assert_never(effect)
        if self._accepted is not None:
            self._amended = True

    def _odd(self, body: Odd) -> None:
        match body:
            case Gap(off_ms=off):
                self._flags.append(f"away; the clock may be off by {off / 1000:g} s")
            case ClockJump(by_ms=by):
                self._flags.append(f"clock jumped {by / 1000:g} s")
            case Session() | Early() | Ignored():
                pass
            case _:
                assert_never(body)
