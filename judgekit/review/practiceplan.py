"""What is rehearsed: the movements of workouts or of cards, in short sets.

Short sets bring every movement up soon, whatever the workout's rounds, rests and cap.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.people import Athlete, HeatLane
from judgekit.core.plan import Plan
from judgekit.core.setup import resolve
from judgekit.core.values import dataclass
from judgekit.core.workout import ByDivision, Movement, Part, Rounds, Workout
from judgekit.review.performing import Repertoire, repertoire

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from judgekit.core.card import Card
    from judgekit.core.people import Division, Event

HEAT, LANE = "practice", 1
_ID = "practice"
# Good reps of a movement before the next one comes; and reps for each movement.
_SET = 3
_EACH = 10
_LEAST, _MOST = 20, 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """A plan to rehearse, what is shown of its cards, and what was left out and why."""

    plan: Plan
    shows: Mapping[str, Repertoire]
    left_out: tuple[str, ...] = ()

    def usual_reps(self) -> int:
        """How many reps let every movement come up often enough."""
        return max(_LEAST, min(_MOST, _EACH * len(self.shows)))


def of_cards(ids: Iterable[str]) -> Workout:
    """Cards as a workout of one round."""
    movements = tuple(
        Movement(
            card=ByDivision(same=id_), unit="reps", amounts=ByDivision(same=(_SET,))
        )
        for id_ in ids
    )
    return _workout("Practice", movements)


def practice(
    event: Event, workouts: Iterable[Workout], cards: Mapping[str, Card], reps: int = 0
) -> Practice | None:
    """The movements of the workouts, each once; None where none can be shown.

    Loads and heights are those of the event's first division. `reps` is how many will
    be shown; without it the usual number.
    """
    chosen = list(workouts)
    division = event.divisions[0]
    kept: dict[str, Movement] = {}
    left_out: dict[str, str] = {}
    for movement in _movements(chosen):
        id_ = movement.card.value_for(division.id, division.standard) or ""
        if id_ in kept or id_ in left_out or id_ not in cards:
            continue
        if movement.unit == "reps" and "reps" in cards[id_].counts:
            kept[id_] = movement
        else:
            left_out[id_] = f"{cards[id_].name} is not counted rep by rep"
    if not kept:
        return None
    name = chosen[0].name if len(chosen) == 1 else event.name
    workout = _workout(name, (_short(one) for one in kept.values()), chosen)
    plan = _plan(event, division, workout, cards)
    shows = {
        body.id: found
        for body in plan.cards
        if (found := repertoire(cards[body.id], body)) is not None
    }
    return _as_shown(plan, shows, tuple(left_out.values()), reps)


def changed_settings(
    practice: Practice, cards: Mapping[str, Card]
) -> tuple[tuple[str, str], ...]:
    """Settings that are not at the card's own value: ("box-jump.top", "tall")."""
    return tuple(
        (f"{body.id}.{name}", value)
        for body in practice.plan.cards
        for setting in cards[body.id].settings
        for name, value in body.settings
        if name == setting.id and value != setting.default
    )


def _movements(workouts: Iterable[Workout]) -> Iterator[Movement]:
    return (m for w in workouts for part in w.parts for m in part.movements)


def _short(movement: Movement) -> Movement:
    amounts: ByDivision[tuple[int, ...]] = ByDivision(same=(_SET,))
    return replace(movement, amounts=amounts, pieces=(), rise=0, per=1)


def _workout(
    name: str, movements: Iterable[Movement], of: Iterable[Workout] = ()
) -> Workout:
    part = Part(id="A", shape=Rounds(rounds=1), movements=tuple(movements))
    settings = tuple(pair for workout in of for pair in workout.settings)
    return Workout(
        id=_ID,
        name=name,
        revision=1,
        score="time",
        parts=(part,),
        settings=settings,
    )


def _plan(
    event: Event, division: Division, workout: Workout, cards: Mapping[str, Card]
) -> Plan:
    heat = HeatLane(
        heat=HEAT,
        date=event.date,
        start_ms=0,
        workout=workout.id,
        lane=LANE,
        bib="0",
        judge="",
    )
    athlete = Athlete(bib="0", name="Practice", division=division.id)
    return resolve(
        event=event, heat=heat, athlete=athlete, workout=workout, cards=cards
    )


def _as_shown(
    plan: Plan,
    shows: Mapping[str, Repertoire],
    left_out: tuple[str, ...],
    reps: int,
) -> Practice | None:
    """With what can be shown alone, in more rounds than even two presses a rep fill."""
    if not shows:
        return None
    names = {body.id: body.name for body in plan.cards if body.id not in shows}
    more = tuple(f"{name} has no described reps to show" for name in names.values())
    (part,) = plan.parts
    movements = tuple(m for m in part.movements if m.card in shows)
    found = Practice(plan=plan, shows=shows, left_out=(*left_out, *more))
    rounds = 1 + 2 * (reps or found.usual_reps()) // (_SET * len(movements))
    part = replace(part, rounds=rounds, movements=movements)
    kept = tuple(body for body in plan.cards if body.id in shows)
    return replace(found, plan=replace(plan, parts=(part,), cards=kept))
