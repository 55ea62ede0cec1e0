"""What athletes are to do today, beside what they did before, and stops since.

It advises; the coach decides. Days are calendar days as each event dates its heats:
what was done seven days ago is within the last seven days, what is dated today is
planned. A session is all that one person did on one day. Work is what counted, so
that a doubtful rep never makes anybody look used to more; rates are of reps that were
judged, as everywhere.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import field
from typing import TYPE_CHECKING, Literal, NamedTuple

from judgekit.core.entry import GoOn, Stop
from judgekit.core.lane import own_ms
from judgekit.core.plan import OPEN, Plan, SetKey
from judgekit.core.teams import worker
from judgekit.core.values import dataclass
from judgekit.core.workout import Unit
from judgekit.review.attempts import lane_rows
from judgekit.review.faults import Rate, rate
from judgekit.review.judged import is_judged, is_missed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.core.entry import Entry
    from judgekit.core.plan import PlanMovement
    from judgekit.core.state import Attempt, Lane

SPANS = (7, 28, 56)
STOP_DAYS = 14
# Trainers halve the work of a first week back: more than twice is the other side of it.
JUMP = 2
JUMP_DAYS = 28
_SECOND_MS = 1000
# More rounds than anybody does; and tries where any number is free (from memory).
MOST_ROUNDS = 1000
USUAL_ATTEMPTS = 6

# none: nothing of it in the longest span; jump: today is more than JUMP times the
# most in one session of the last 28 days. Empty where neither holds, and where the
# card has no volume caution.
Little = Literal["", "none", "jump"]


class Kind(NamedTuple):
    """What is counted together: a movement, and what it is counted in."""

    card: str
    unit: Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkDone:
    """What one lane did of one movement: units that counted, and what was judged."""

    kind: Kind
    done: int
    attempts: int = 0
    no_reps: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class StopMade:
    """A STOP that was no mistake: at which movement, and the sign that was seen."""

    movement: str
    sign: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PastLane:
    """One lane of the past. `who` is the person; `day` numbers the days."""

    who: str
    day: int
    work: tuple[WorkDone, ...] = ()
    stops: tuple[StopMade, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedLane:
    """One lane that is to go on `day`; `joined` if other events know the person.

    The `plan` of a member of a team has that member's name; `among` how many share its
    work.
    """

    who: str
    day: int
    plan: Plan
    joined: bool = True
    among: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """What was done of a movement in the last so many days."""

    days: int
    sessions: int
    most: int
    total: int
    rate: Rate


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """One athlete and one movement of today.

    `plans` are those of the athlete's lanes that hold the movement. `planned` is the
    day's whole volume; where a window has no end to it, `each_round` is what one
    round adds and `planned` what fits in at the card's ordinary pace.
    """

    who: str
    day: int
    joined: bool
    plans: tuple[Plan, ...]
    card: str
    movement: str
    instead_of: str
    caution: str
    unit: Unit
    planned: int
    each_round: int
    spans: tuple[Span, ...]
    little: Little

    @property
    def longest(self) -> Span:
        """The longest span."""
        return self.spans[-1]

    @property
    def recent(self) -> Span:
        """The span against which today's volume is held."""
        return next(span for span in self.spans if span.days == JUMP_DAYS)


@dataclass(frozen=True, slots=True, kw_only=True)
class StopSince:
    """A stop of the last fourteen days, of somebody who goes today."""

    plan: Plan
    days_ago: int
    day: int
    stop: StopMade


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Rows and stops in an order of their own; `alone` are those no event can join."""

    rows: tuple[Exposure, ...]
    stops: tuple[StopSince, ...]
    alone: tuple[Plan, ...]


@dataclass(slots=True)
class _Planned:
    """One movement of one athlete's day, as the lanes are gone through."""

    plans: list[Plan] = field(default_factory=list)
    total: int = 0
    each_round: int = 0
    instead_of: str = ""


def past_lane(who: str, day: int, lane: Lane, member: str = "") -> PastLane:
    """What a lane adds to what a person did; `member` is their bib in a team.

    A member has what it is known that they did. Where nobody said who worked, it is an
    even share of what counted, and no attempts: whose they were is not known.
    """
    done: Counter[Kind] = Counter()
    attempts: Counter[Kind] = Counter()
    no_reps: Counter[Kind] = Counter()
    own = _own_attempts(lane, member)
    if own is None or own == lane.work.attempts:
        for one in lane.work.sets:
            done[_kind(lane.plan.movement(one.key))] += one.good
    if own is None:
        shares = len(lane.plan.team.members)
        done = Counter({kind: many // shares for kind, many in done.items()})
    for attempt in own or ():
        kind = _kind(lane.plan.movement(attempt.set))
        if own != lane.work.attempts and attempt.counts:
            done[kind] += attempt.n
        if kind.unit == "reps" and is_judged(attempt):
            attempts[kind] += attempt.n
            no_reps[kind] += is_missed(attempt)
    if own == () and lane.work.paper is not None:
        attempts, no_reps = _on_paper(lane)
    return PastLane(
        who=who,
        day=day,
        work=tuple(
            WorkDone(
                kind=kind,
                done=done.get(kind, 0),
                attempts=attempts.get(kind, 0),
                no_reps=no_reps.get(kind, 0),
            )
            for kind in sorted({*done, *attempts})
            if done.get(kind) or attempts.get(kind)
        ),
        stops=tuple(_stop(lane, entry) for entry in _stops(lane)),
    )


def _on_paper(lane: Lane) -> tuple[Counter[Kind], Counter[Kind]]:
    """The attempts and no-reps of a lane kept on paper, in movements by the rep."""
    attempts: Counter[Kind] = Counter()
    no_reps: Counter[Kind] = Counter()
    for row in lane_rows(lane).attempts:
        if row.set.rated:
            kind = Kind(row.set.card, row.set.unit)
            attempts[kind] += row.n
            no_reps[kind] += 0 if row.good else row.n
    return attempts, no_reps


def _own_attempts(lane: Lane, member: str) -> tuple[Attempt, ...] | None:
    """A member's attempts, or all where they are everybody's; None if unknown."""
    every = lane.work.attempts
    if not member or lane.plan.team.how == "together":
        return every
    whose = [worker(lane, attempt) for attempt in every]
    if not any(whose):
        return None
    return tuple(a for a, bib in zip(every, whose, strict=True) if bib == member)


def exposure(planned: Iterable[PlannedLane], past: Iterable[PastLane]) -> Found:
    """What everybody of today is to do and did before; the order never matters."""
    lanes = sorted(planned, key=_lane_order)
    history: dict[str, list[PastLane]] = {}
    for one in past:
        history.setdefault(one.who, []).append(one)
    people: dict[tuple[int, str], list[PlannedLane]] = {}
    for lane in lanes:
        people.setdefault((lane.day, lane.who), []).append(lane)
    rows: list[Exposure] = []
    stops: list[StopSince] = []
    for (day, who), own in people.items():
        before = [one for one in history.get(who, ()) if one.day < day]
        rows += _rows(own, before)
        stops += _stops_since(own[0], before)
    alone = {lane.plan.bib: lane.plan for lane in reversed(lanes) if not lane.joined}
    return Found(
        rows=tuple(rows),
        stops=tuple(stops),
        alone=tuple(alone[bib] for bib in sorted(alone)),
    )


def _lane_order(lane: PlannedLane) -> tuple[int, str, str, str, int]:
    return lane.day, lane.plan.bib, lane.who, lane.plan.heat, lane.plan.lane


def _kind(movement: PlanMovement) -> Kind:
    return Kind(movement.card, movement.unit)


# --- today ---------------------------------------------------------------------------


def _rows(own: Sequence[PlannedLane], before: Sequence[PastLane]) -> Iterator[Exposure]:
    today: dict[Kind, _Planned] = {}
    for lane in own:
        for number in range(1, len(lane.plan.parts) + 1):
            _add_part(today, lane, number)
    first = own[0]
    for kind, planned in today.items():
        card = planned.plans[0].card(kind.card)
        spans = tuple(_span(days, kind, first.day, before) for days in SPANS)
        yield Exposure(
            who=first.who,
            day=first.day,
            joined=first.joined,
            plans=tuple(planned.plans),
            card=kind.card,
            movement=card.name,
            instead_of=planned.instead_of,
            caution=card.caution,
            unit=kind.unit,
            planned=planned.total,
            each_round=planned.each_round,
            spans=spans,
            little=_little(planned.total, spans) if card.caution else "",
        )


def _add_part(today: dict[Kind, _Planned], lane: PlannedLane, number: int) -> None:
    plan = lane.plan
    part = plan.parts[number - 1]
    amounts = _amounts(plan, number)
    for place, movement in enumerate(part.movements):
        planned = today.setdefault(_kind(movement), _Planned())
        if plan not in planned.plans:
            planned.plans.append(plan)
        planned.instead_of = planned.instead_of or movement.instead_of
        # A share is rounded up: somebody does the odd one.
        planned.total += -(-amounts[place] // lane.among)
        if part.kind == "window" and movement.targets[0]:
            planned.each_round += -(-movement.targets[0] // lane.among)


def _amounts(plan: Plan, number: int) -> list[int]:
    """How much of each movement a part asks for, at each card's ordinary pace.

    What has no number of its own is as much as fits into the time there is.
    """
    part = plan.parts[number - 1]
    places = range(1, len(part.movements) + 1)
    if part.kind == "window":
        time = part.until_ms or part.length_ms
        return _in_time(plan, number, time, 1, MOST_ROUNDS)
    if part.kind == "every":
        each = [
            _in_time(plan, number, part.work_ms, r, r)
            for r in range(1, part.rounds + 1)
        ]
        return [sum(one[place - 1] for one in each) for place in places]
    if part.kind == "attempts":
        return [
            plan.target(SetKey(number, 1, p)) * (part.rounds or USUAL_ATTEMPTS)
            for p in places
        ]
    keys = plan.sets_of(number)
    return [
        sum(t for k in keys if k.movement == p and (t := plan.target(k)) != OPEN)
        for p in places
    ]


def _in_time(plan: Plan, number: int, left: int, first: int, last: int) -> list[int]:
    """What fits into that time from one round to another, one round at the least."""
    part = plan.parts[number - 1]
    done = [0] * len(part.movements)
    for round_ in range(first, last + 1):
        for place in part.movements_of(round_):
            target = plan.target(SetKey(number, round_, place))
            each = _unit_ms(plan, part.movements[place - 1])
            fits = min(target, left // each)
            done[place - 1] += fits if round_ > first or target == OPEN else target
            # What does not fit ends the time.
            left = left - fits * each if fits == target else 0
        if left <= 0:
            break
    return done


def _unit_ms(plan: Plan, movement: PlanMovement) -> int:
    if movement.unit == "seconds":
        return _SECOND_MS
    return plan.card(movement.card).ordinary_ms or _SECOND_MS


def _little(planned: int, spans: Sequence[Span]) -> Little:
    if not spans[-1].sessions:
        return "none"
    recent = next(span for span in spans if span.days == JUMP_DAYS)
    return "jump" if planned > JUMP * recent.most else ""


# --- before --------------------------------------------------------------------------


def _span(days: int, kind: Kind, today: int, before: Sequence[PastLane]) -> Span:
    sessions: dict[int, int] = {}
    attempts = no_reps = 0
    for lane in before:
        for work in lane.work:
            if work.kind == kind and today - lane.day <= days:
                sessions[lane.day] = sessions.get(lane.day, 0) + work.done
                attempts += work.attempts
                no_reps += work.no_reps
    return Span(
        days=days,
        sessions=len(sessions),
        most=max(sessions.values(), default=0),
        total=sum(sessions.values()),
        rate=rate(no_reps, attempts if kind.unit == "reps" else None),
    )


def _stops_since(first: PlannedLane, before: Sequence[PastLane]) -> Iterator[StopSince]:
    for lane in sorted(before, key=lambda one: -one.day):
        if first.day - lane.day <= STOP_DAYS:
            for stop in lane.stops:
                yield StopSince(
                    plan=first.plan,
                    days_ago=first.day - lane.day,
                    day=lane.day,
                    stop=stop,
                )


def _stops(lane: Lane) -> list[Entry]:
    """The stops of a lane without those that were a mistake."""
    standing: list[Entry] = []
    stops = {stop.ref: stop for stop in lane.stops}
    for entry in lane.entries:
        if entry.ref in stops:
            # With the sign, which was said later.
            standing.append(stops[entry.ref])
        elif isinstance(entry.body, GoOn) and entry.body.by_mistake:
            standing = standing[:-1]
    return standing


def _stop(lane: Lane, entry: Entry) -> StopMade:
    key = _set_at(lane, own_ms(lane, lane.when(entry) or 0))
    sign = entry.body.sign if isinstance(entry.body, Stop) else ""
    name = lane.plan.card_of(key).name if key is not None else ""
    return StopMade(movement=name, sign=sign)


def _set_at(lane: Lane, at: int) -> SetKey | None:
    """The set under way at a time: the last one worked in, or the next if full."""
    work = lane.work
    worked = [(one.at, one.set) for one in work.attempts]
    worked += [(one.at, one.set) for one in work.reported]
    tried = [key for when, key in sorted(worked) if when <= at]
    if not tried:
        return lane.plan.first_from(1)
    done = lane.work.set_done(tried[-1])
    full = done is not None and done.done_ms is not None and done.done_ms <= at
    return (lane.plan.after(tried[-1]) if full else None) or tried[-1]
