"""What a head coach says and hangs on the wall before a workout, as facts.

Names are as athletes chose to have them shown; nothing private is read.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.bodies import card_body
from judgekit.core.people import Emergency
from judgekit.core.plates import change, mass_kg, rack_for
from judgekit.core.plates import load as discs_for
from judgekit.core.quantity import parse, rounded, show_time
from judgekit.core.setup import athlete_of, is_absent
from judgekit.core.values import dataclass
from judgekit.reports.inforce import cautions_of, settings_of
from judgekit.reports.names import shown_name

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from judgekit.core.card import Card
    from judgekit.core.entry import Entry
    from judgekit.core.people import Event
    from judgekit.core.plan import Plan, PlanCard, PlanMovement, PlanPart
    from judgekit.core.plates import Rack, Side
    from judgekit.core.quantity import Quantity
    from judgekit.core.workout import Workout
    from judgekit.files.folder import EventFolder

    Cards = Mapping[str, Card]

_BARBELL = "barbell"
_WATCHED = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One load of a division or an athlete, and the discs on each side of its bar."""

    who: str
    movement: str
    load: str
    discs: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """The height that one athlete has to reach in one movement."""

    bib: str
    name: str
    movement: str
    height: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """A fault of the day: its key and call, what must be there, one cue."""

    key: str
    call: str
    says: str
    cue: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """One movement of the workout as it is said aloud."""

    name: str
    start: str
    finish: str
    criteria: tuple[str, ...]
    watched: tuple[Watched, ...]
    pieces: str
    good: str
    bad: str
    instead: tuple[str, ...]
    signs: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """How much of a movement one division does; in a window, in each round."""

    division: str
    movement: str
    amount: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Briefing:
    """One workout's briefing. `work` is the workout in words, a line for each."""

    event: str
    date: str
    place: str
    workout: str
    aim: str
    facts: tuple[tuple[str, str], ...]
    work: tuple[str, ...]
    bars: tuple[Bar, ...]
    marks: tuple[Mark, ...]
    standards: tuple[Standard, ...]
    totals: tuple[Total, ...]
    settings: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    emergency: Emergency


def briefing(
    folder: EventFolder, workout: Workout, day: Mapping[str, Sequence[Entry]]
) -> Briefing:
    """The briefing of one workout; `day` holds each heat's own day entries.

    Raises InputError where a lane's plan cannot be made.
    """
    plans = _plans(folder, workout, day)
    written = _plans(folder, workout, {})
    event = folder.event
    here = {plan.division for plan in plans}
    divisions = [d for d in event.divisions if d.id in here]
    first = [next(p for p in written if p.division == d.id) for d in divisions]
    return Briefing(
        event=event.name,
        date=event.date,
        place=event.place,
        workout=workout.name,
        aim=workout.aim,
        facts=_facts(first),
        work=_work(first),
        bars=tuple(_bars(event, plans, first, folder.cards)),
        marks=tuple(_marks(plans)),
        standards=tuple(_standards(folder, workout, first)),
        totals=tuple(_totals(first)),
        settings=settings_of(first[0]) if first else (),
        cautions=tuple(dict.fromkeys(c for plan in first for c in cautions_of(plan))),
        emergency=event.emergency,
    )


def _plans(
    folder: EventFolder, workout: Workout, day: Mapping[str, Sequence[Entry]]
) -> list[Plan]:
    """The plan of every lane of the workout whose athlete is here."""
    plans = []
    for row in folder.heats:
        said = day.get(row.heat, ())
        if row.workout == workout.id and not is_absent(row, said):
            athlete_of(row, folder.athletes, said)
            plans.append(folder.plan_of(row, said))
    return plans


# --- the workout in words ------------------------------------------------------------


def _facts(plans: Sequence[Plan]) -> tuple[tuple[str, str], ...]:
    if not plans:
        return ()
    plan = plans[0]
    caps = _by_division((p, show_time(p.cap_ms) if p.cap_ms else "none") for p in plans)
    scored = {"time": "your time; less is better", "reps": "your reps; more is better"}
    ties = [
        f"the time at the end of part {plan.parts[tie.part - 1].id}"
        if tie.kind == "after-part"
        else "the time of the last full round"
        for tie in plan.tiebreaks
    ]
    facts = [("score", scored[plan.score])]
    if any(p.cap_ms for p in plans):
        facts.append(("cap", caps))
    if ties:
        facts.append(("ties are parted by", ", then ".join(ties)))
    return tuple(facts)


def _work(plans: Sequence[Plan]) -> tuple[str, ...]:
    if not plans:
        return ()
    lines: list[str] = []
    for number, part in enumerate(plans[0].parts):
        lines.append(_part_words(part, plans[0].parts[:number]))
        alike = [plan.parts[number] for plan in plans]
        for at in range(len(part.movements)):
            one = [
                (p, part.movements[at]) for p, part in zip(plans, alike, strict=True)
            ]
            lines.append(f"  {_movement_words(one)}")
    return tuple(lines)


def _part_words(part: PlanPart, before: Sequence[PlanPart]) -> str:
    match part.kind:
        case "rounds" if part.rounds == 1:
            return f"{part.id}: once through"
        case "rounds":
            return f"{part.id}: {part.rounds} rounds of"
        case "window":
            length = show_time(part.length_ms)
            return f"{part.id}: as many rounds and reps as fit into {length} of"
        case "rest-until":
            return f"Rest until the clock shows {show_time(part.until_ms)}"
        case _:
            own = next((p.id for p in reversed(before) if p.movements), "")
            return f"Rest {show_time(part.length_ms)}, from your own end of part {own}"


def _movement_words(rows: Sequence[tuple[Plan, PlanMovement]]) -> str:
    amounts = _by_division((p, _amount(m)) for p, m in rows)
    names = _by_division((p, p.card(m.card).name.casefold()) for p, m in rows)
    words = f"{amounts} {names}"
    loads = _by_division((p, _in_turn(m.loads)) for p, m in rows)
    heights = _by_division(
        (p, m.height if "above reach" not in m.height else "") for p, m in rows
    )
    return ", ".join(filter(None, (words, loads, heights)))


def _amount(movement: PlanMovement) -> str:
    unit = "" if movement.unit == "reps" else f" {movement.unit}"
    return _in_turn([str(target) for target in movement.targets]) + unit


def _in_turn(values: Sequence[str]) -> str:
    """One value where all are the same, else each round's: "11, 8, 6"."""
    return ", ".join(values if len(set(values)) > 1 else values[:1])


def _by_division(values: Iterable[tuple[Plan, str]]) -> str:
    """One value where all divisions have the same, else each with its name."""
    rows = [(plan.division_name, value) for plan, value in values]
    if len({value for _name, value in rows}) == 1:
        return rows[0][1]
    return " / ".join(f"{name} {value}" for name, value in rows if value)


# --- loads and heights ---------------------------------------------------------------


def _bars(
    event: Event, plans: Sequence[Plan], written: Sequence[Plan], cards: Cards
) -> Iterator[Bar]:
    """Each division's loads in the order of the work, then athletes' own for today."""
    usual = {plan.division: plan for plan in written}
    for plan in written:
        yield from _loads(plan, plan.division_name, _rack(event, plan), cards)
    for plan in plans:
        name = shown_name(plan.name, plan.show, plan.bib)
        who = plan.bib if name == plan.bib else f"{plan.bib} {name}"
        division = _loads(usual[plan.division], who, _rack(event, plan), cards)
        known = set(division)
        for bar in _loads(plan, who, _rack(event, plan), cards):
            if bar not in known:
                yield bar


def _rack(event: Event, plan: Plan) -> Rack:
    division = event.division(plan.division)
    bar = division.bar if division is not None else None
    return rack_for(bar, event.plates, event.units)


def _loads(plan: Plan, who: str, rack: Rack, cards: Cards) -> Iterator[Bar]:
    for movement in _movements(plan):
        card = cards[movement.card]
        before: Side | None = None
        for load in dict.fromkeys(filter(None, movement.loads)):
            discs = ""
            if _BARBELL in card.equipment:
                discs = _discs(load, before, rack)
                before = _loaded(load, rack)
            yield Bar(who=who, movement=card.name, load=load, discs=discs)


def _mass(load: str) -> Quantity | None:
    """The first marking of a load as a plan shows it; None where it is in words."""
    try:
        return parse(load.partition(" ≈ ")[0].partition(" / ")[0])
    except ValueError:
        return None


def _loaded(load: str, rack: Rack) -> Side | None:
    target = _mass(load)
    return None if target is None else discs_for(target, rack).side


def _discs(load: str, before: Side | None, rack: Rack) -> str:
    """The discs of each side: "bar 20 kg, each side 15 kg + 5 kg".

    After another load of the same movement it is what comes off and goes on.
    """
    target = _mass(load)
    if target is None:
        return ""
    moved = None if before is None else change(before, target, rack)
    if moved is not None:
        return f"each side: off {_side(moved.off)}, on {_side(moved.on)}"
    found = discs_for(target, rack)
    bar = f"bar {rack.bar.written}"
    if rack.collar is not None:
        bar += f", collars {rack.collar.written} each"
    if found.side is not None:
        return f"{bar}, each side {_side(found.side)}"
    near = [
        f"{rounded(mass_kg(side, rack), 2)} kg ({_side(side)})"
        for side in (found.below, found.above)
        if side is not None
    ]
    return f"{bar}: cannot be made with these discs; nearest {' or '.join(near)}"


def _side(side: Side) -> str:
    """Discs in order, the unit once where they share it: "10 + 2.5 kg"."""
    if not side:
        return "nothing"
    units = {disc.unit for disc in side}
    if len(units) > 1:
        return " + ".join(disc.written for disc in side)
    unit = units.pop()
    masses = (disc.written.removesuffix(unit).strip() for disc in side)
    return f"{' + '.join(masses)} {unit}"


def _marks(plans: Sequence[Plan]) -> Iterator[Mark]:
    """Heights that are one athlete's own, by lane; a division's stand in the work."""
    for plan in plans:
        for movement in _movements(plan):
            if "above reach" in movement.height:
                yield Mark(
                    bib=plan.bib,
                    name=shown_name(plan.name, plan.show, plan.bib),
                    movement=plan.card(movement.card).name,
                    height=movement.height,
                )


def _movements(plan: Plan) -> Iterator[PlanMovement]:
    """Every movement of a plan in its order."""
    return (m for part in plan.parts for m in part.movements)


# --- movement by movement ------------------------------------------------------------


def _standards(
    folder: EventFolder, workout: Workout, plans: Sequence[Plan]
) -> Iterator[Standard]:
    chosen = {**dict(folder.event.card_settings), **dict(workout.settings)}
    seen: set[str] = set()
    for plan in plans:
        for movement in _movements(plan):
            if movement.card not in seen:
                seen.add(movement.card)
                card = folder.cards[movement.card]
                body = card_body(card, chosen)
                yield _standard(card, body, movement, folder.cards)


def _standard(
    card: Card, body: PlanCard, movement: PlanMovement, cards: Mapping[str, Card]
) -> Standard:
    examples = {example.fault: example.says for example in reversed(card.examples)}
    shown_bad = next((f for f in movement.watch if f in examples), None)
    if shown_bad is None:
        shown_bad = next((f for f in examples if f is not None), None)
    # A criterion that a setting waives is broken by no fault, and so is not asked.
    asked = {fault.breaks for fault in body.faults}
    return Standard(
        name=body.name,
        start=body.start,
        finish=body.finish,
        criteria=tuple(c.says for c in body.criteria if c.id in asked),
        watched=tuple(_watched(body, movement.watch[:_WATCHED])),
        pieces=", ".join("+".join(map(str, piece)) for piece in movement.pieces),
        good=examples.get(None, ""),
        bad=examples.get(shown_bad, "") if shown_bad else "",
        instead=tuple(
            f"{cards[s.card].name}: {s.why}" + (f" ({s.caution})" if s.caution else "")
            for s in card.substitutes
            if s.card in cards
        ),
        signs=body.stop_signs,
    )


def _watched(body: PlanCard, watch: Sequence[str]) -> Iterator[Watched]:
    for fault_id in watch:
        fault = body.fault(fault_id)
        if fault is None:
            continue
        criterion = body.criterion_of(fault)
        yield Watched(
            key=fault.key,
            call=fault.call,
            says=criterion.says if criterion is not None else "",
            cue=fault.cues[0],
        )


def _totals(plans: Sequence[Plan]) -> Iterator[Total]:
    for plan in plans:
        sums: dict[tuple[str, str, bool], int] = {}
        for part in plan.parts:
            for movement in part.movements:
                open_ended = part.kind == "window"
                key = (plan.card(movement.card).name, movement.unit, open_ended)
                many = movement.targets[:1] if open_ended else movement.targets
                sums[key] = sums.get(key, 0) + sum(many)
        for (name, unit, open_ended), amount in sums.items():
            each = " a round" if open_ended else ""
            yield Total(
                division=plan.division_name,
                movement=name,
                amount=f"{amount} {unit}{each}",
            )


def box(emergency: Emergency) -> tuple[tuple[str, str], ...]:
    """The emergency box, only what is known."""
    rows = (
        ("call", emergency.call),
        ("say", emergency.say),
        ("defibrillator", emergency.defibrillator),
        ("first aid", emergency.first_aid),
    )
    return tuple((what, says) for what, says in rows if says)
