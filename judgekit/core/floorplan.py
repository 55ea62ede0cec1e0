"""What the floor needs for a heat: marks and heights from the cards, and equipment.

Equipment is counted twice: each lane with its own, and with as many lanes to one piece
as the event says. In one part of the work two different things are two things; from
part to part the same one serves again. Discs are those with which `barbells` loads.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import TYPE_CHECKING

from judgekit.core import quantity
from judgekit.core.barbells import barbells, steps
from judgekit.core.card import MeasuredTo, MeasureKind
from judgekit.core.people import Division
from judgekit.core.plan import Plan
from judgekit.core.plates import Loading, Rack, load_mass, unmade_words
from judgekit.core.quantity import Quantity
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from judgekit.core.barbells import Barbell
    from judgekit.core.card import Card, Criterion, Measure
    from judgekit.core.plan import PlanMovement

    Cards = Mapping[str, Card]

BARBELL = "barbell"
# Whose value a measure has where it is the same for everybody.
EVERYBODY = "all"
_FULL_SIZE = "full-size plates"
_ON_BARS = frozenset({BARBELL, "plates", _FULL_SIZE, "collars"})
# Words in the name of equipment: a part of the floor or wall; what stands on it
# nevertheless; what has a load; what has a height.
_FLOOR = frozenset({"floor", "wall", "lane", "line", "lines"})
_STANDS = frozenset({"target"})
_HEAVY = frozenset(
    {"ball", "kettlebell", "kettlebells", "dumbbell", "dumbbells"}
    | {"sandbag", "sled", "barbell", "plate"}
)
_HIGH = frozenset({"box", "bench", "chair", "target", "mark"})
_ABOVE_REACH = "above reach"
_OWN_HEIGHT = "at own height"
# A lane with more lines than this is told by the distance between two of them.
_MOST_LINES = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorMark:
    """One height, distance or load that a card or workout sets.

    `division` is empty where all have the same; `edge` is the edge of a mark to which
    its height is measured.
    """

    division: str
    movement: str
    kind: MeasureKind
    what: str
    size: str
    edge: MeasuredTo | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One thing that the floor needs: how many if no lane shares it, and if they do.

    `lanes` is how many share one piece, 1 where the event says nothing.
    """

    what: str
    size: str
    each: int
    shared: int
    lanes: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Unmade:
    """A load that a lane's discs cannot make, and the nearest that they can."""

    movement: str
    load: str
    rack: Rack
    loading: Loading

    @property
    def says(self) -> str:
        """In words, with the bar: each division may have its own."""
        load = self.load.partition(" ≈ ")[0]
        what = f"{self.movement} {load}, bar {self.rack.bar.written}"
        return f"{what}: {unmade_words(self.loading, self.rack)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneSetup:
    """One lane: its plan, its division, and the bar, collars and discs at hand."""

    plan: Plan
    division: Division
    rack: Rack


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kit:
    """One piece of equipment; a bar comes with discs, as (mass, pairs of it)."""

    what: str
    size: str = ""
    collar: str = ""
    discs: tuple[tuple[Quantity, int], ...] = ()
    full_size: bool = False


def is_floor(equipment: str) -> bool:
    """Whether a card's equipment is a part of the floor or wall, to be marked."""
    words = _words(equipment)
    return bool(words & _FLOOR) and not words & _STANDS


def marks_of(lanes: Sequence[LaneSetup], cards: Cards) -> tuple[FloorMark, ...]:
    """Marks, heights and usual loads of a workout, from one lane of each division.

    What the workout sets goes before the card's own. A height above reach is told as
    the card has it, since each athlete's is another.
    """
    found: dict[tuple[str, MeasureKind, str], list[FloorMark]] = {}
    for lane in lanes:
        for movement in _movements(lane.plan):
            for mark in _marks(cards[movement.card], movement, lane.division):
                rows = found.setdefault((mark.movement, mark.kind, mark.what), [])
                if mark not in rows:
                    rows.append(mark)
    divisions = {lane.division.name for lane in lanes}
    return tuple(m for rows in found.values() for m in _joined(rows, divisions))


def needs_of(
    lanes: Sequence[LaneSetup], cards: Cards, shared: Mapping[str, int]
) -> tuple[Need, ...]:
    """The equipment of one heat; `shared` says how many lanes share one of a kind."""
    kits = Counter(kit for lane in lanes for kit in _kits(lane, cards))
    found: dict[tuple[str, str], Need] = {}
    for kit, many in kits.items():
        by = shared.get(kit.what, 1)
        for what, size, of_each in _pieces(kit):
            known = found.get((what, size))
            found[what, size] = Need(
                what=what,
                size=size,
                each=many * of_each + (known.each if known else 0),
                shared=-(-many // by) * of_each + (known.shared if known else 0),
                lanes=by,
            )
    kinds = list(dict.fromkeys(need.what for need in found.values()))
    return tuple(
        sorted(found.values(), key=lambda n: (kinds.index(n.what), -_amount(n.size)))
    )


def unmade_of(lanes: Sequence[LaneSetup], cards: Cards) -> tuple[Unmade, ...]:
    """The loads of which `needs_of` counts no discs, as these make none of them."""
    found: dict[Unmade, None] = {}
    for lane in lanes:
        for bar in barbells(lane.plan, _on_bars(lane.plan, cards)):
            for step in steps(bar, lane.rack):
                if step.loading is not None and step.side is None:
                    unmade = Unmade(
                        movement=cards[step.card].name,
                        load=step.load,
                        rack=lane.rack,
                        loading=step.loading,
                    )
                    found.setdefault(unmade)
    return tuple(found)


def lines_of(metres: int, segment: Quantity) -> tuple[Fraction, ...]:
    """Where lines lie on a straight lane, in m from its start; the last is the end."""
    whole = int(metres // segment.amount)
    places = (segment.amount * number for number in range(whole + 1))
    return tuple(dict.fromkeys((*places, Fraction(metres))))


def _amount(size: str) -> Fraction:
    """By which sizes are told, the largest first; those in words come last."""
    amount = load_mass(size)
    return Fraction(-1) if amount is None else amount.amount


def _words(equipment: str) -> frozenset[str]:
    return frozenset(equipment.replace(",", " ").split())


def _movements(plan: Plan) -> Iterator[PlanMovement]:
    return (m for part in plan.parts for m in part.movements)


def _joined(rows: Sequence[FloorMark], divisions: set[str]) -> Sequence[FloorMark]:
    """One mark instead of each division's where all have the same."""
    first = rows[0]
    alike = len({(mark.size, mark.edge) for mark in rows}) == 1
    if not alike or {mark.division for mark in rows} != divisions:
        return rows
    return [
        FloorMark(
            division="",
            movement=first.movement,
            kind=first.kind,
            what=first.what,
            size=first.size,
            edge=first.edge,
        )
    ]


def _marks(
    card: Card, movement: PlanMovement, division: Division
) -> Iterator[FloorMark]:
    target = next((c for c in card.criteria if c.height is not None), None)
    sizes: list[tuple[MeasureKind, str, str, MeasuredTo | None]] = []
    if target is not None and movement.height:
        height = _height_said(target, movement)
        sizes.append(("height", "Mark", height, target.measured_to))
    for measure in card.measures:
        if target is None or measure.kind != "height":
            size = _size(measure, movement, division)
            sizes.append((measure.kind, measure.says, size, None))
    for kind, what, size, edge in sizes:
        if size:
            yield FloorMark(
                division=division.name,
                movement=card.name,
                kind=kind,
                what=what,
                size=size,
                edge=edge,
            )


def _height_said(target: Criterion, movement: PlanMovement) -> str:
    above = target.height.above_reach if target.height is not None else None
    if above is None or _ABOVE_REACH not in movement.height:
        return movement.height
    return f"{quantity.shown(above)} {_ABOVE_REACH}"


def _size(measure: Measure, movement: PlanMovement, division: Division) -> str:
    """A measure for one division: the workout's own instead of the card's usual one."""
    if measure.kind == "load" and any(movement.loads):
        return ""
    if measure.kind == "height" and movement.height:
        return movement.height
    table = dict(measure.by_key)
    keys = (division.id, division.standard, EVERYBODY)
    size = next((table[key] for key in keys if key in table), None)
    if size is None:
        return ""
    shown = quantity.shown(size)
    if measure.id == "segment" and movement.unit == "metres":
        return f"{shown}: {_lines_said(max(movement.targets), size)}"
    return shown


def _lines_said(metres: int, segment: Quantity) -> str:
    places = lines_of(metres, segment)
    if len(places) > _MOST_LINES:
        return f"a line after each, to {metres} m"
    said = (quantity.rounded(place, 2) for place in places[1:])
    return f"lines at 0, {', '.join(said)} m"


def _on_bars(plan: Plan, cards: Cards) -> set[str]:
    """The cards that are done with a barbell and with nothing else."""
    used = {movement.card for movement in _movements(plan)}
    return {card for card in used if BARBELL in cards[card].equipment}


def _kits(lane: LaneSetup, cards: Cards) -> Iterator[_Kit]:
    """What one lane uses; of each thing as many as its fullest part."""
    plan = lane.plan
    for bar in barbells(plan, _on_bars(plan, cards)):
        yield _bar(bar, lane.rack, cards)
    used: dict[_Kit, None] = {}
    for movement in _movements(plan):
        card = cards[movement.card]
        for kit in _things(card, movement, lane.division):
            used.setdefault(kit)
    yield from used


def _bar(bar: Barbell, rack: Rack, cards: Cards) -> _Kit:
    """A bar with, of each disc, the most pairs that it has on at any time."""
    pairs: Counter[Quantity] = Counter()
    for step in steps(bar, rack):
        pairs |= Counter(step.side or ())
    heavy_first = sorted(pairs.items(), key=lambda row: row[0].amount, reverse=True)
    loaded = any(use.loads for use in bar)
    return _Kit(
        what=BARBELL,
        size=rack.bar.written,
        collar=rack.collar.written if rack.collar is not None and loaded else "",
        discs=tuple(heavy_first),
        full_size=not loaded
        and any(_FULL_SIZE in cards[use.card].equipment for use in bar),
    )


def _things(card: Card, movement: PlanMovement, division: Division) -> Iterator[_Kit]:
    """The equipment of one movement apart from bars: with its load, or its height."""
    on_bar = BARBELL in card.equipment
    # Where a bar is one of two ways, nobody knows yet what it is loaded with.
    with_bars = any(BARBELL in _words(what) for what in card.equipment)
    loads = () if on_bar else tuple(dict.fromkeys(filter(None, movement.loads)))
    height = _stand(card, movement, division)
    for what in card.equipment:
        if is_floor(what) or (with_bars and what in _ON_BARS):
            continue
        if loads and _words(what) & _HEAVY:
            yield from (_Kit(what=what, size=load) for load in loads)
            loads = ()
        elif height and _words(what) & _HIGH:
            yield _Kit(what=what, size=height)
            height = ""
        else:
            yield _Kit(what=what)
    yield from (_Kit(what="weight", size=load) for load in loads)


def _stand(card: Card, movement: PlanMovement, division: Division) -> str:
    """How high a box or target is; empty if nothing says so, or if reach decides."""
    if _ABOVE_REACH in movement.height:
        return _OWN_HEIGHT
    measures = (
        m for m in card.measures if m.kind == "height" and "reach" not in m.says
    )
    usual = (_size(measure, movement, division) for measure in measures)
    return movement.height or next(usual, "")


def _pieces(kit: _Kit) -> Iterable[tuple[str, str, int]]:
    """What a kit is made of, each with how many of it."""
    yield kit.what, kit.size, 1
    if kit.collar:
        yield "collar", kit.collar, 2
    for mass, pairs in kit.discs:
        yield "disc", mass.written, 2 * pairs
    if kit.full_size:
        yield "pair of full-size plates", "", 1
