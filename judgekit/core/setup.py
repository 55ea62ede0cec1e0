"""Before the heat: one lane's plan, resolved from event, workout, cards and the day.

The order of athletes, heats and cards never matters; the day's latest entry wins.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, NoReturn, TypeVar, get_args

from judgekit.core import quantity
from judgekit.core.bodies import card_body
from judgekit.core.card import Card
from judgekit.core.entry import Absent, Body, Entry, Is, Scale
from judgekit.core.errors import InputError, Problem
from judgekit.core.people import Athlete, Division
from judgekit.core.plan import (
    Plan,
    PlanCard,
    PlanMovement,
    PlanPart,
)
from judgekit.core.shaping import plan_tiebreaks, shaped
from judgekit.core.teaming import as_one, plan_team, wrong_with
from judgekit.core.values import dataclass
from judgekit.core.workout import (
    ByDivision,
    Movement,
    Part,
    Unit,
    Workout,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.core.people import Event, HeatLane

_UNITS: tuple[Unit, ...] = get_args(Unit)
_WATCHED = 2
_PLACE = "heats.csv"

T = TypeVar("T")
B = TypeVar("B", bound=Body)


class _MissingError(Exception):
    """Something a movement needs is not there; the words say what."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Need:
    """What every movement of the lane is resolved against."""

    division: Division
    athlete: Athlete
    cards: Mapping[str, Card]
    scales: Mapping[str, Scale]
    settings: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Choice:
    """The card a movement is done by, and what the day changed about it."""

    card: Card
    written: Card
    scale: Scale

    @property
    def keeps_things(self) -> bool:
        """Whether load and height as written still make sense.

        They do for the written card, and for a substitute that is done with some of
        the same equipment (a step-up keeps the box; an air squat has no bar).
        """
        shared = set(self.card.equipment) & set(self.written.equipment)
        return self.card.id == self.written.id or bool(shared)


def resolve(
    *,
    event: Event,
    heat: HeatLane,
    athlete: Athlete,
    workout: Workout,
    cards: Mapping[str, Card],
    day: Sequence[Entry] = (),
) -> Plan:
    """The whole plan of one lane.

    `cards` are the library with the event's overlays; `day` the heat's own day
    entries, in any order. Raises InputError, with every problem found, when a card, a
    setting's value or a division's value is missing; the place is the heat list.
    """
    division = event.division(athlete.division)
    if division is None:
        _refuse(
            f'bib {athlete.bib}: the event has no division "{athlete.division}"',
            "use one of " + ", ".join(sorted(d.id for d in event.divisions)),
        )
    need = _Need(
        division=division,
        athlete=athlete,
        cards=cards,
        scales=_scales(heat.lane, day),
        settings={**dict(event.card_settings), **dict(workout.settings)},
    )
    team = workout.team
    wrong = wrong_with(team, athlete) if team else []
    parts = tuple(_part(part, need, wrong) for part in workout.parts)
    plan_cards = _cards(parts, need, wrong)
    tiebreaks = plan_tiebreaks(workout, wrong)
    cap_ms = _cap(workout, division, wrong)
    if wrong:
        where = f"workout {workout.id}, bib {athlete.bib}"
        raise InputError(
            [
                Problem(file=_PLACE, line=1, what=f"{where}: {what}")
                for what in dict.fromkeys(wrong)
            ]
        )
    rules = event.rules
    return Plan(
        event=event.name,
        date=heat.date,
        zone=event.zone,
        heat=heat.heat,
        lane=heat.lane,
        bib=athlete.bib,
        name=athlete.name,
        show=athlete.show,
        division=division.id,
        division_name=division.name,
        workout=workout.id,
        workout_name=workout.name,
        revision=workout.revision,
        score=workout.score,
        rest=workout.rest,
        cap_ms=cap_ms,
        capped=workout.capped,
        precision_ms=workout.precision_ms,
        parts=parts,
        cards=plan_cards,
        tiebreaks=tiebreaks,
        doubt=rules.doubt,
        early_start=rules.early_start,
        cues=rules.cues,
        horn_lag_ms=rules.horn_lag_ms,
        second_reason_ms=rules.second_reason_ms,
        repeat_ms=rules.repeat_ms,
        last_lift=workout.last_lift,
        body_grams=_grams(athlete),
        units=event.units,
        disputes=rules.disputes,
        dispute_ms=rules.dispute_ms,
        team=plan_team(team, athlete),
        watching=workout.watching or rules.watching,
        substituted=any(_changes(s) for s in _used(workout, division, need.scales)),
    )


def bib_in(heat: HeatLane, day: Sequence[Entry] = ()) -> str:
    """The heat list's bib of the lane, or the day's latest word on it."""
    said = _latest(Is, heat.lane, day)
    return said.bib if said else heat.bib


def athlete_of(
    heat: HeatLane,
    athletes: Iterable[Athlete],
    day: Sequence[Entry] = (),
) -> Athlete:
    """Who stands in the lane: the heat list's athlete, or the day's latest word on it.

    Raises InputError when nobody has that bib.
    """
    bib = bib_in(heat, day)
    found = next((athlete for athlete in athletes if athlete.bib == bib), None)
    if found is None:
        _refuse(
            f'heat {heat.heat}, lane {heat.lane}: nobody has bib "{bib}"',
            "add the athlete to people.csv or mend the bib",
        )
    return found


def team_of(
    heat: HeatLane,
    athletes: Iterable[Athlete],
    day: Sequence[Entry] = (),
) -> Athlete:
    """The team that stands in the lane, which the heat list names in place of a bib.

    Raises InputError when there is no such team.
    """
    name = bib_in(heat, day)
    team = as_one(name, athletes)
    if team is None:
        _refuse(
            f'heat {heat.heat}, lane {heat.lane}: nobody is in the team "{name}"',
            "write the team beside its members in people.csv or mend the name",
        )
    return team


def is_absent(heat: HeatLane, day: Sequence[Entry]) -> bool:
    """Whether the day's latest word is that the lane's athlete is not here."""
    said = _latest(Absent, heat.lane, day)
    return said is not None and said.absent


def height_text(card: Card, division: Division, athlete: Athlete) -> str:
    """The card's own target height for one athlete, as shown; empty if it has none.

    A height above reach is added up exactly and shown in metres to the centimetre
    above (≈ where that rounds): a mark may be too high, never too low. KeyError when
    the card's table lacks the division.
    """
    height = next((c.height for c in card.criteria if c.height is not None), None)
    if height is None:
        return ""
    if height.above_reach is None:
        table = dict(height.by_key)
        key = division.id if division.id in table else division.standard
        return quantity.shown(table[key])
    above = height.above_reach
    if athlete.reach is None:
        return f"{above.written} above reach (measure at the lane check)"
    total = above.amount + athlete.reach.amount
    sign = "=" if (total * 100).denominator == 1 else "≈"
    sum_text = f"{sign} {quantity.rounded_up(total, 2)} m"
    return f"{above.written} above reach {athlete.reach.written} {sum_text}"


def _grams(athlete: Athlete) -> int:
    """The athlete's own mass in whole grams, 0 where nobody weighed it."""
    mass = athlete.body_mass
    return int(mass.amount * 1000) if mass is not None else 0


def _refuse(what: str, right: str) -> NoReturn:
    raise InputError([Problem(file=_PLACE, line=1, what=what, right=right)])


def _when(entry: Entry) -> tuple[int, str, int]:
    return entry.wall, entry.book, entry.number


def _latest(kind: type[B], lane: int, day: Sequence[Entry]) -> B | None:
    """The newest body of that kind about that lane; on a tie the later book wins."""
    bodies = [
        entry.body
        for entry in sorted(day, key=_when)
        if entry.lane == lane and isinstance(entry.body, kind)
    ]
    return bodies[-1] if bodies else None


def _scales(lane: int, day: Sequence[Entry]) -> dict[str, Scale]:
    """The scale in force for each card of the workout; the newest replaces older."""
    return {
        entry.body.card: entry.body
        for entry in sorted(day, key=_when)
        if entry.lane in (lane, None) and isinstance(entry.body, Scale)
    }


def _changes(scale: Scale) -> bool:
    """Whether anything differs; a card that stands in for itself is as written."""
    other = scale.substitute not in ("", scale.card)
    return bool(other or scale.reps or scale.load or scale.height)


def _used(
    workout: Workout, division: Division, scales: Mapping[str, Scale]
) -> list[Scale]:
    written = [
        movement.card.value_for(division.id, division.standard)
        for part in workout.parts
        for movement in part.movements
    ]
    return [scales[card] for card in written if card is not None and card in scales]


def _value(table: ByDivision[T], division: Division, what: str) -> T:
    value = table.value_for(division.id, division.standard)
    if value is None:
        raise _MissingError(
            f"no {what} for division {division.id} (standard {division.standard})"
        )
    return value


def _cap(workout: Workout, division: Division, wrong: list[str]) -> int:
    if workout.cap_ms is None:
        return 0
    try:
        return _value(workout.cap_ms, division, "cap")
    except _MissingError as missing:
        wrong.append(str(missing))
        return 0


def _part(part: Part, need: _Need, wrong: list[str]) -> PlanPart:
    plan = shaped(part)
    movements = []
    for movement in part.movements:
        try:
            movements.append(_movement(movement, plan, need))
        except _MissingError as missing:
            wrong.append(f"part {part.id}: {missing}")
    return replace(plan, movements=tuple(movements))


def _movement(movement: Movement, part: PlanPart, need: _Need) -> PlanMovement:
    choice, rounds = _choice(movement, need), part.rounds
    unit = _unit(movement, choice)
    scale = choice.scale
    if part.kind == "hold" and unit != "seconds":
        raise _MissingError(f"{choice.card.id} is no hold; choose one that is")
    return PlanMovement(
        card=choice.card.id,
        unit=unit,
        targets=_targets(movement, choice, rounds, need.division),
        loads=_loads(movement, choice, rounds, need.division),
        height=_height(movement, choice, need),
        pieces=() if scale.reps else movement.pieces,
        watch=_watch(movement, choice.card),
        rise=0 if scale.reps else movement.rise,
        # Its own unit is of another size.
        per=movement.per if unit == movement.unit else 1,
        instead_of=choice.written.name if choice.card.id != choice.written.id else "",
    )


def _choice(movement: Movement, need: _Need) -> _Choice:
    written = _card(_value(movement.card, need.division, "card"), need.cards)
    scale = need.scales.get(written.id, Scale(card=written.id))
    card = _card(scale.substitute, need.cards) if scale.substitute else written
    return _Choice(card=card, written=written, scale=scale)


def _card(card_id: str, cards: Mapping[str, Card]) -> Card:
    card = cards.get(card_id)
    if card is None:
        raise _MissingError(f'there is no card "{card_id}"')
    return card


def _unit(movement: Movement, choice: _Choice) -> Unit:
    """The movement's unit; a substitute that cannot count it brings its own unit.

    Its own unit needs a number of its own: 15 calories are not 15 step-ups.
    """
    counts = choice.card.counts
    if movement.unit in counts or choice.card.id == choice.written.id:
        return movement.unit
    own = next((unit for unit in _UNITS if unit in counts), None)
    if own is None or not choice.scale.reps:
        raise _MissingError(
            f"{choice.card.id} is not counted in {movement.unit}; "
            f"say how many {own or 'units'} stand in for {choice.written.id}"
        )
    return own


def _per_round(values: tuple[T, ...], rounds: int) -> tuple[T, ...]:
    """One value for each round where one stands for all; a window's stay as given."""
    return values * rounds if len(values) == 1 and rounds else values


def _targets(
    movement: Movement, choice: _Choice, rounds: int, division: Division
) -> tuple[int, ...]:
    if choice.scale.reps:
        return _per_round((choice.scale.reps,), rounds)
    what = f"{movement.unit} of {choice.written.id}"
    return _per_round(_value(movement.amounts, division, what), rounds)


def _loads(
    movement: Movement, choice: _Choice, rounds: int, division: Division
) -> tuple[str, ...]:
    if choice.scale.load:
        return _per_round((_as_shown(choice.scale.load),), rounds)
    if movement.load is None or not choice.keeps_things:
        return ()
    loads = _value(movement.load, division, f"load of {choice.written.id}")
    return _per_round(tuple(quantity.shown(load) for load in loads), rounds)


def _height(movement: Movement, choice: _Choice, need: _Need) -> str:
    """The day's height, else the workout's own, else the card's."""
    if choice.scale.height:
        return _as_shown(choice.scale.height)
    if movement.height is not None and choice.keeps_things:
        what = f"height of {choice.written.id}"
        return quantity.shown(_value(movement.height, need.division, what))
    try:
        return height_text(choice.card, need.division, need.athlete)
    except KeyError as error:
        raise _MissingError(
            f"card {choice.card.id} has no height for division {need.division.id} "
            f"(standard {need.division.standard})"
        ) from error


def _as_shown(text: str) -> str:
    """A load or height said on the day: converted where it is a quantity.

    Words such as "empty bar" are as good as a number there, and stay.
    """
    try:
        return quantity.shown(quantity.parse(text))
    except ValueError:
        return text


def _watch(movement: Movement, card: Card) -> tuple[str, ...]:
    """The faults of the day that the card has, else its first two voiding ones."""
    chosen = tuple(fault for fault in movement.watch if card.fault(fault))
    voiding = tuple(fault.id for fault in card.faults if fault.weight == "void")
    return chosen or voiding[:_WATCHED]


def _cards(
    parts: tuple[PlanPart, ...], need: _Need, wrong: list[str]
) -> tuple[PlanCard, ...]:
    """The body of each card in use, in the order of first use."""
    used = dict.fromkeys(m.card for part in parts for m in part.movements)
    bodies = []
    for card_id in used:
        try:
            bodies.append(card_body(need.cards[card_id], need.settings))
        except ValueError as error:
            wrong.append(str(error))
    return tuple(bodies)
