"""What a coach may want to know of a workout before the day: advice, never an error."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.estimate import passages, round_ms, rounds_in, totals
from judgekit.core.pace import least_ms
from judgekit.core.plan import OPEN
from judgekit.core.plates import load as discs_for
from judgekit.core.plates import load_mass, mass_kg
from judgekit.core.quantity import rounded, show_time, shown
from judgekit.core.values import dataclass
from judgekit.core.workout import Attempts

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from judgekit.core.card import Card
    from judgekit.core.people import Division
    from judgekit.core.plan import Plan, PlanPart
    from judgekit.core.plates import Rack
    from judgekit.core.quantity import Quantity
    from judgekit.core.workout import Movement, Workout

_MINUTE_MS = 60_000
# A load so far from what the card names was meant in another unit.
_TOO_HEAVY, _TOO_LIGHT = 3, 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Aid:
    """One piece of advice: what there is, and what could be done about it."""

    what: str
    right: str = ""


def aids(
    workout: Workout, plan: Plan, division: Division, cards: Mapping[str, Card]
) -> tuple[Aid, ...]:
    """All advice on a workout for the athletes of one division."""
    return (
        *_out_of_time(plan, cards),
        *_short_intervals(plan, cards),
        *_loads(workout, division, cards),
    )


def unmade(plan: Plan, cards: Mapping[str, Card], rack: Rack) -> Iterator[Aid]:
    """Loads of bars that the discs of the event cannot make, and the nearest ones."""
    said = dict.fromkeys(
        (movement.card, written)
        for part in plan.parts
        for movement in part.movements
        for written in movement.loads
    )
    for card, written in said:
        mass = load_mass(written)
        if "barbell" not in cards[card].equipment or mass is None:
            continue
        made = discs_for(mass, rack)
        near = [side for side in (made.below, made.above) if side is not None]
        if made.side is None:
            nearest = " or ".join(f"{rounded(mass_kg(s, rack), 2)} kg" for s in near)
            what = f"{plan.card(card).name} {written}: the discs cannot make that load"
            right = f"the nearest: {nearest}" if nearest else "see [plates]"
            yield Aid(what=what, right=right)


def outline(plan: Plan, cards: Mapping[str, Card]) -> str:
    """What there is to do in all, and how long that takes by the cards."""
    work = [
        f"{number} {unit} of {cards[card].name.lower()}"
        for (card, unit), number in totals(plan).items()
    ]
    work += _rounds_in_windows(plan, cards)
    brisk, ordinary = (
        passages(plan, cards, "brisk")[-1].until_ms,
        passages(plan, cards, "ordinary")[-1].until_ms,
    )
    if brisk is not None and ordinary is not None:
        work.append(_range(brisk, ordinary))
    return ", ".join(work) or "the cards do not tell how long it takes"


def _rounds_in_windows(plan: Plan, cards: Mapping[str, Card]) -> Iterator[str]:
    fast, slow = (passages(plan, cards, "brisk"), passages(plan, cards, "ordinary"))
    for quick, steady in zip(fast, slow, strict=True):
        part = plan.parts[quick.part - 1]
        if part.kind != "window":
            continue
        most = rounds_in(plan, cards, quick, "brisk")
        least = rounds_in(plan, cards, steady, "ordinary")
        if most is not None and least is not None:
            yield f"part {part.id}: {most} rounds brisk, {least} ordinary"


def _range(brisk: int, ordinary: int) -> str:
    if brisk == ordinary:
        return f"{show_time(brisk)} by the clock"
    return f"{show_time(brisk)} brisk to {show_time(ordinary)} ordinary"


def _out_of_time(plan: Plan, cards: Mapping[str, Card]) -> Iterator[Aid]:
    """A cap that nobody meets, and parts that begin when hardly any time is left."""
    brisk = passages(plan, cards, "brisk")[-1].until_ms
    if plan.cap_ms and brisk is not None and brisk > plan.cap_ms:
        yield Aid(
            what=f"the cap of {show_time(plan.cap_ms)} cannot be met: a brisk athlete "
            f"takes {show_time(brisk)}",
            right="make the cap longer or the work shorter, if all should finish",
        )
        return
    for passage in passages(plan, cards, "ordinary"):
        part = plan.parts[passage.part - 1]
        end = _end(plan, part)
        if not part.is_work or passage.from_ms is None or not end:
            continue
        if passage.part > 1 and end - passage.from_ms < _MINUTE_MS:
            yield Aid(
                what=f"an ordinary athlete comes to part {part.id} at "
                f"{show_time(passage.from_ms)}, and {show_time(end)} ends it",
                right="leave it a minute at least",
            )


def _end(plan: Plan, part: PlanPart) -> int:
    """What the clock must show for a part to be over, 0 if that is not written."""
    ends = [ms for ms in (plan.cap_ms, part.until_ms) if ms]
    return min(ends, default=0)


def _short_intervals(plan: Plan, cards: Mapping[str, Card]) -> Iterator[Aid]:
    """Intervals that hold more than even a brisk athlete does."""
    for number, part in enumerate(plan.parts, 1):
        if part.kind != "every" or part.until_failed:
            continue
        for round_ in range(1, part.rounds + 1):
            brisk = round_ms(plan, cards, (number, round_), "brisk")
            if brisk is None:
                yield from _beyond_anybody(plan, number, round_)
            elif brisk > part.work_ms:
                yield Aid(
                    what=f"interval {round_} of part {part.id} takes a brisk athlete "
                    f"{show_time(brisk)}, and there are {show_time(part.work_ms)}",
                    right="write less work, or a longer interval",
                )
                break


def _beyond_anybody(plan: Plan, number: int, round_: int) -> Iterator[Aid]:
    """Sets of an interval of which no card's pace tells, but a formula."""
    part = plan.parts[number - 1]
    for key in plan.round_sets(number, round_):
        target, movement = plan.target(key), plan.movement(key)
        if target != OPEN and least_ms(plan, key, target) > part.work_ms:
            name = plan.card_of(key).name.lower()
            yield Aid(
                what=f"interval {round_} of part {part.id} asks for {target} "
                f"{movement.unit} of {name} in {show_time(part.work_ms)}, "
                "which nobody does",
                right="write less work, or a longer interval",
            )


def _loads(
    workout: Workout, division: Division, cards: Mapping[str, Card]
) -> Iterator[Aid]:
    """Loads that a division lacks, or that can hardly be meant."""
    for part in workout.parts:
        if isinstance(part.shape, Attempts):
            continue  # there the load is said at each attempt
        for movement in part.movements:
            card = cards[movement.card.value_for(division.id, division.standard) or ""]
            usual = _usual_loads(card, division)
            if usual:
                yield from _load(part.id, card, usual, _written(movement, division))


def _written(movement: Movement, division: Division) -> tuple[Quantity, ...]:
    if movement.load is None:
        return ()
    return movement.load.value_for(division.id, division.standard) or ()


def _usual_loads(card: Card, division: Division) -> tuple[Quantity, ...]:
    """What a card names as usual loads for a division."""
    keys = (division.id, division.standard, "all")
    return tuple(
        load
        for measure in card.measures
        if measure.kind == "load"
        for key, load in measure.by_key
        if key in keys
    )


def _load(
    part: str, card: Card, usual: tuple[Quantity, ...], written: tuple[Quantity, ...]
) -> Iterator[Aid]:
    named = " or ".join(shown(load) for load in usual)
    if not written:
        yield Aid(
            what=f"part {part}: {card.name.lower()} has no load; "
            f"the card names {named}",
            right='add load = "..." to the movement',
        )
    heaviest = max(load.amount for load in usual) * _TOO_HEAVY
    lightest = min(load.amount for load in usual) / _TOO_LIGHT
    for load in written:
        if not lightest <= load.amount <= heaviest:
            yield Aid(
                what=f"part {part}: {card.name.lower()} has {load.written}; the card "
                f"names {named}",
                right="check the number and its unit",
            )
            return
