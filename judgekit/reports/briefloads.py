"""The loads of each division, then of single athletes, and the discs of every bar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.barbells import barbells, steps
from judgekit.core.plates import Rack, colour_of, rack_for, side_words, unmade_words
from judgekit.core.values import dataclass
from judgekit.reports.names import numbered_name

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from judgekit.core.barbells import Step
    from judgekit.core.card import Card
    from judgekit.core.people import Event
    from judgekit.core.plan import Plan, PlanMovement
    from judgekit.core.plates import Change, Side

    Cards = Mapping[str, Card]

BARBELL = "barbell"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One load of a division or an athlete, and the discs on each side of its bar."""

    who: str
    movement: str
    load: str
    discs: str


def bars_of(
    event: Event, plans: Sequence[Plan], written: Sequence[Plan], cards: Cards
) -> Iterator[Bar]:
    """Each division's loads in the order of the work, then athletes' own for today."""
    usual = {plan.division: plan for plan in written}
    for plan in written:
        yield from _loads(event, plan, plan.division_name, cards)
    for plan in plans:
        who = numbered_name(plan)
        known = set(_loads(event, usual[plan.division], who, cards))
        for bar in _loads(event, plan, who, cards):
            if bar not in known:
                yield bar


def rack_of(event: Event, plan: Plan) -> Rack:
    """The bar of the plan's division, with the event's collars and discs."""
    division = event.division(plan.division)
    bar = division.bar if division is not None else None
    return rack_for(bar, event.plates, event.units)


def barbell_cards(cards: Cards, plan: Plan) -> frozenset[str]:
    """The cards of a plan that are done with a barbell and with nothing else."""
    used = {movement.card for movement in movements_of(plan)}
    return frozenset(card for card in used if BARBELL in cards[card].equipment)


def movements_of(plan: Plan) -> Iterator[PlanMovement]:
    """Every movement of a plan in its order."""
    return (m for part in plan.parts for m in part.movements)


def _loads(event: Event, plan: Plan, who: str, cards: Cards) -> Iterator[Bar]:
    """Bars first, each through its work; then what is loaded with no discs."""
    on_bars = barbell_cards(cards, plan)
    words = _Words(rack=rack_of(event, plan), coloured=event.plates.coloured)
    for bar in barbells(plan, on_bars):
        for step in steps(bar, words.rack):
            name = cards[step.card].name
            yield Bar(who=who, movement=name, load=step.load, discs=words.of(step))
    for movement in movements_of(plan):
        if movement.card not in on_bars:
            name = cards[movement.card].name
            for load in dict.fromkeys(filter(None, movement.loads)):
                yield Bar(who=who, movement=name, load=load, discs="")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Words:
    """How the discs of a bar are said: "bar 20 kg, each side 15 + 5 kg"."""

    rack: Rack
    coloured: bool

    def of(self, step: Step) -> str:
        """The discs of each side; after another load, what goes off and on."""
        if step.loading is None:
            return ""
        if step.moved is not None:
            return self._moved(step.moved)
        bar = f"bar {self.rack.bar.written}"
        if self.rack.collar is not None:
            bar += f", collars {self.rack.collar.written} each"
        if step.side is not None:
            return f"{bar}, each side {self._side(step.side)}"
        return f"{bar}, {unmade_words(step.loading, self.rack, self._side)}"

    def _moved(self, moved: Change) -> str:
        if not moved.off and not moved.on:
            return "the same bar, as it is"
        ways = (("off", moved.off), ("on", moved.on))
        said = [f"{way} {self._side(discs)}" for way, discs in ways if discs]
        return f"the same bar, each side: {', '.join(said)}"

    def _side(self, side: Side) -> str:
        """Discs in order, with their colours where the event's have them."""
        if not side or not self.coloured:
            return side_words(side)
        return " + ".join(f"{d.written} {colour_of(d)}".strip() for d in side)
