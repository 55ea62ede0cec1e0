"""What is looked at in a lane before go: items, from the plan and what stands there."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from judgekit.core.card import Card
from judgekit.core.checkentry import Check
from judgekit.core.measuring import Wanted, above_reach, markings, reached
from judgekit.core.people import Event
from judgekit.core.plates import (
    load,
    load_mass,
    rack_for,
    side_words,
    unmade_words,
)
from judgekit.core.quantity import Dimension, Quantity, parse
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.core.entry import Entry
    from judgekit.core.measuring import AboveReach
    from judgekit.core.plan import Plan, PlanCard, PlanMovement
    from judgekit.core.plates import Loading, Rack

Kind = Literal[
    "athlete",
    "load",
    "reach",
    "personal target",
    "target",
    "height",
    "machine",
    "place",
    "limits",
]
# What nobody may wave through together with other things.
ONE_BY_ONE: frozenset[Kind] = frozenset(
    {"athlete", "load", "reach", "personal target", "target", "machine"}
)
REACH = "reach"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """What is known of the lanes beyond their plans: the event, and its cards."""

    event: Event
    cards: Mapping[str, Card]


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing to look at: `planned` is what should be there, `how` how to look.

    `takes` is the dimension of a value that may be typed; one that `must` be has no
    other answer. `wanted` is what that value is compared with, where it is known, and
    `on_file` what it will hardly be far from.
    `unmade`: no discs here make that load, so it cannot be as planned.
    """

    id: str
    kind: Kind
    name: str
    planned: str
    how: str
    takes: Dimension | None = None
    must: bool = False
    wanted: Wanted | None = None
    on_file: Quantity | None = None
    unmade: bool = False

    @property
    def one_by_one(self) -> bool:
        """Whether it is never covered by "all as planned"."""
        return self.kind in ONE_BY_ONE or self.id == OWN_MARKS


_MARKED = "Read what is marked on it; kilograms and pounds are easily confused"
_BOTH_SIDES = "Both sides alike, collars on, other discs off the lane"
_TAPE = "Tape from the floor the athlete stands on, not from a mat's edge"
_FACE = "Right face up, stable, not on a seam of the floor"
_AT_ZERO = "Awake, at zero, unit right; fan, strap and seat set, flywheel still"
OWN_MARKS = "marks"
_WORD = r"[\w'-]+"
# Of each place its name, what is planned, how to look, and the tools that ask for it.
PLACES: Mapping[str, tuple[str, str, str, tuple[str, ...]]] = {
    OWN_MARKS: (
        "Own marks",
        "set for {bib}",
        "Heel line, hand zone or bar height measured for this athlete, today",
        ("heel line", "athlete's height"),
    ),
    "box": (
        "Box",
        "right face up",
        _FACE,
        ("box", "boxes"),
    ),
    "hanging-gear": (
        "Hanging gear",
        "high and level",
        "Feet clear of the floor; rings level; rope free, marks there to be seen",
        ("pull-up bar", "pull-up bars", "rings", "climbing rope", "climbing ropes"),
    ),
    "floor-lines": (
        "Floor lines",
        "there, taped down",
        "Start, finish, turn and segment lines there and taped down",
        ("line", "lines", "lane", "lanes", "tape", "taped"),
    ),
}


def items(
    plan: Plan, checks: Sequence[Entry] = (), gear: Gear | None = None
) -> tuple[Item, ...]:
    """What is to be looked at in the plan's lane, in the order of the walk there.

    `checks` tell a reach that was measured; without `gear` nothing is known of discs,
    tools and the way to first aid.
    """
    found = [_athlete(plan)]
    movements = list(_movements(plan))
    found += _loads(plan, movements, gear)
    found += _heights(plan, movements, checks, gear)
    found += _machines(plan, movements)
    found += _places(plan, movements, gear)
    return (*found, _safety(gear), _clock(), _limits(plan))


def _movements(plan: Plan) -> Iterator[PlanMovement]:
    for part in plan.parts:
        yield from part.movements


def _athlete(plan: Plan) -> Item:
    return Item(
        id="athlete",
        kind="athlete",
        name="Athlete",
        planned=f"{plan.bib}, {plan.division_name}",
        how="Ask the name: number and division match, and nobody from another heat",
    )


def _loads(
    plan: Plan, movements: Iterable[PlanMovement], gear: Gear | None
) -> Iterator[Item]:
    texts: dict[str, dict[str, None]] = {}
    for movement in movements:
        given = dict.fromkeys(filter(None, movement.loads))
        if given:
            texts.setdefault(movement.card, {}).update(given)
    for card, given in texts.items():
        first, *_ = given
        found = markings(first, "mass")
        how, unmade = _discs(plan, card, first, gear)
        yield Item(
            id=f"load-{card}",
            kind="load",
            name=f"{plan.card(card).name} load",
            planned=", then ".join(given),
            how=how,
            takes="mass" if found else None,
            wanted=Wanted(markings=found) if found else None,
            unmade=unmade,
        )


def _discs(plan: Plan, card: str, text: str, gear: Gear | None) -> tuple[str, bool]:
    """How a load is made up, where a bar with discs makes it; and whether none do."""
    known = gear.cards.get(card) if gear is not None else None
    mass = load_mass(text)
    if gear is None or known is None or "barbell" not in known.equipment or not mass:
        return _MARKED, False
    division = gear.event.division(plan.division)
    bar = division.bar if division is not None else None
    rack = rack_for(bar, gear.event.plates, gear.event.units)
    loading = _loading(mass, rack)
    said = f"Bar {rack.bar.written}"
    if rack.collar:
        said += f", collars {rack.collar.written} each"
    if loading.side is None:
        no = unmade_words(loading, rack)
        return f"{no[0].upper()}{no[1:]}. {said}. n says what it carries", True
    return f"{said}, each side {side_words(loading.side)}. {_BOTH_SIDES}", False


@lru_cache(maxsize=64)
def _loading(mass: Quantity, rack: Rack) -> Loading:
    """The discs of each side: found once, as screens ask with every key."""
    return load(mass, rack)


def _heights(
    plan: Plan,
    movements: Iterable[PlanMovement],
    checks: Sequence[Entry],
    gear: Gear | None,
) -> Iterator[Item]:
    pairs = dict.fromkeys((m.card, m.height) for m in movements if m.height)
    own = [above_reach(height) for _, height in pairs]
    reaches = [above.reach for above in own if above is not None]
    measured = None
    if reaches:
        reach = _reach(plan, reaches[0])
        measured = _measured_reach(checks, reach)
        yield reach
    seen: list[str] = []
    for (card, height), above in zip(pairs, own, strict=True):
        edge = _edge(card, gear)
        if above is not None:
            item = _own_target(plan, card, _with(above, measured), edge)
        else:
            item = _height(plan.card(card), height, edge)
        seen.append(card)
        many = seen.count(card)
        yield item if many == 1 else replace(item, id=f"{item.id}-{many}")


def _with(above: AboveReach, measured: Quantity | None) -> AboveReach:
    """The height above the reach as it was measured, if it was."""
    return replace(above, reach=measured or above.reach)


def _own_target(plan: Plan, card: str, above: AboveReach, edge: str) -> Item:
    made = f"{above.above.written} above reach"
    # Whose mark it is: another athlete's may have the same figures.
    planned, wanted = f"{made}, for {plan.bib}", None
    if above.reach is not None:
        total = reached(above.above, above.reach)
        planned = f"{total.written} for {plan.bib}, {made} {above.reach.written}"
        wanted = Wanted(markings=(total,), least=True)
    return Item(
        id=f"target-{card}",
        kind="personal target",
        name=f"{plan.card(card).name} own mark",
        planned=planned,
        how=f"{_TAPE}, to {edge}; higher is fine",
        takes="length",
        wanted=wanted,
    )


def _height(card: PlanCard, height: str, edge: str) -> Item:
    found = markings(height, "length")
    aimed = any(c.kind == "target-height" for c in card.criteria)
    return Item(
        id=f"target-{card.id}" if aimed else f"height-{card.id}",
        kind="target" if aimed else "height",
        name=f"{card.name} {'target' if aimed else 'height'}",
        planned=height,
        how=f"{_TAPE}, to {edge}" if aimed else _FACE,
        takes="length" if found else None,
        wanted=Wanted(markings=found) if found else None,
    )


def _reach(plan: Plan, known: Quantity | None) -> Item:
    """The athlete's reach: whatever is measured counts, and makes the own marks."""
    return Item(
        id=REACH,
        kind="reach",
        name="Reach",
        planned=f"{'not known yet' if known is None else known.written} for {plan.bib}",
        how="Standing flat, arms up, in the shoes of the heat; own marks follow it",
        takes="length",
        must=known is None,
        on_file=known,
    )


def _edge(card: str, gear: Gear | None) -> str:
    known = gear.cards.get(card) if gear is not None else None
    criteria = known.criteria if known is not None else ()
    edge = next((c.measured_to for c in criteria if c.measured_to), None)
    return f"the {edge} of the mark" if edge else "the mark"


def _measured_reach(checks: Sequence[Entry], reach: Item) -> Quantity | None:
    """The reach as it was measured last, of this athlete and no other."""
    for entry in reversed(checks):
        body = entry.body
        if not isinstance(body, Check) or body.item != REACH:
            continue
        measured = body.answer == "measured" and body.planned == reach.planned
        return parse(body.value) if measured else None
    return None


def _machines(plan: Plan, movements: Iterable[PlanMovement]) -> Iterator[Item]:
    units = dict.fromkeys(
        (m.card, m.unit)
        for m in movements
        if m.unit in ("calories", "metres") and plan.card(m.card).ends == "monitor"
    )
    for card, unit in units:
        yield Item(
            id=f"machine-{card}-{unit}",
            kind="machine",
            name=f"{plan.card(card).name} machine",
            planned=f"at 0, counts {unit}",
            how=_AT_ZERO,
        )


def place(plan: Plan, id_: str) -> Item:
    """One of the places, for the plan's athlete."""
    name, planned, how, _ = PLACES[id_]
    planned = planned.format(bib=plan.bib)
    return Item(id=id_, kind="place", name=name, planned=planned, how=how)


def _places(
    plan: Plan, movements: Sequence[PlanMovement], gear: Gear | None
) -> Iterator[Item]:
    """What the tools of the movements ask for; a box with a height has it already."""
    if gear is None:
        return
    tools = [
        (_whole(tool), bool(movement.height))
        for movement in movements
        if movement.card in gear.cards
        for tool in gear.cards[movement.card].equipment
    ]
    for id_, (*_, names) in PLACES.items():
        found = [
            height for tool, height in tools if any(_whole(n) in tool for n in names)
        ]
        if found and not (id_ == "box" and all(found)):
            yield place(plan, id_)


def _whole(words: str) -> str:
    """Words to be found as a whole: a line is not in an incline."""
    return f" {' '.join(re.findall(_WORD, words.casefold()))} "


def _safety(gear: Gear | None) -> Item:
    how = (
        "Nothing behind the athlete, no rope over a neighbour, no chalk on the floor, "
        "the exit free, first aid and defibrillator known"
    )
    if gear is not None:
        box = gear.event.emergency
        known = (
            ("first aid", box.first_aid),
            ("defibrillator", box.defibrillator),
            ("call", box.call),
        )
        how += "".join(f"; {what}: {where}" for what, where in known if where)
    return Item(
        id="safety", kind="place", name="Safety", planned="lane and exit free", how=how
    )


def _clock() -> Item:
    return Item(
        id="clock",
        kind="place",
        name="Clock",
        planned="shows the hall's time",
        how="Compare the two; after go w sets this one by the hall's",
    )


def _limits(plan: Plan) -> Item:
    return Item(
        id="limits",
        kind="limits",
        name="Limits",
        planned=f"none told by {plan.bib}",
        how="Ask: a joint that does not straighten, an old injury? n writes it down, "
        "with who of the officials agreed",
    )
