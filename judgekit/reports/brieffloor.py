"""What the floor crew reads: marks to tape, heights to set, equipment of each heat."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.floorplan import LaneSetup, Need, is_floor, needs_of, unmade_of
from judgekit.core.values import dataclass
from judgekit.reports.briefloads import movements_of, rack_of
from judgekit.reports.briefwork import as_written

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from judgekit.core.card import Card
    from judgekit.core.floorplan import FloorMark
    from judgekit.core.people import Event
    from judgekit.core.plan import Plan

    Cards = Mapping[str, Card]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatFloor:
    """Heats that need the same, and what that is.

    `unmade` says which loads have no discs among them, and what can be made instead.
    """

    heats: tuple[str, ...]
    needs: tuple[Need, ...]
    unmade: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What one movement needs of floor or wall, and what is laid out there."""

    movement: str
    says: tuple[str, ...]


def setup_of(event: Event, plan: Plan) -> LaneSetup:
    """A lane with its division and its rack; its division is one of the event's."""
    division = next(d for d in event.divisions if d.id == plan.division)
    return LaneSetup(plan=plan, division=division, rack=rack_of(event, plan))


def floors_of(event: Event, plans: Sequence[Plan], cards: Cards) -> Iterator[HeatFloor]:
    """Each heat's equipment, those with the same needs together, in their order."""
    heats: dict[tuple[tuple[Need, ...], tuple[str, ...]], list[str]] = {}
    for heat in dict.fromkeys(plan.heat for plan in plans):
        lanes = [setup_of(event, plan) for plan in plans if plan.heat == heat]
        needs = needs_of(lanes, cards, dict(event.shared))
        unmade = tuple(one.says for one in unmade_of(lanes, cards))
        heats.setdefault((needs, unmade), []).append(heat)
    for (needs, unmade), names in heats.items():
        if needs:
            yield HeatFloor(heats=tuple(names), needs=needs, unmade=unmade)


def grounds_of(
    plans: Sequence[Plan], cards: Cards, marks: Iterable[FloorMark]
) -> Iterator[Ground]:
    """Of each movement: floor and wall, then distances, and loads that nobody set."""
    laid: dict[str, dict[FloorMark, list[str]]] = {}
    for mark in marks:
        if mark.kind != "height":
            # One line for all divisions: what differs between them is its size.
            same = replace(mark, division="", size="")
            sizes = laid.setdefault(mark.movement, {}).setdefault(same, [])
            sizes.append(f"{mark.division} {mark.size}".lstrip())
    used = dict.fromkeys(m.card for plan in plans for m in movements_of(plan))
    for card in (cards[card_id] for card_id in used):
        floor = [words for words in card.equipment if is_floor(words)]
        found = laid.get(card.name, {}).items()
        says = (*floor, *(_laid_words(mark, sizes) for mark, sizes in found))
        if says:
            yield Ground(movement=card.name, says=says)


def _laid_words(mark: FloorMark, sizes: Sequence[str]) -> str:
    usual = " (usual; none is set)" if mark.kind == "load" else ""
    return f"{mark.what}: {'; '.join(sizes)}{usual}"


def need_words(need: Need) -> str:
    """One thing to bring: "6 x disc 10 kg", and how many if lanes share."""
    size = f" {as_written(need.size)}" if need.size else ""
    shared = "" if need.lanes == 1 else f" ({need.shared} if {need.lanes} lanes share)"
    return f"{need.each} x {need.what}{size}{shared}"


def shared_words(event: Event, plans: Sequence[Plan], cards: Cards) -> str:
    """What several of these lanes have to share; empty where each has its own."""
    needs = (need for floor in floors_of(event, plans, cards) for need in floor.needs)
    shared = [
        f"{need.shared} x {need.what} {as_written(need.size)}".rstrip()
        for need in needs
        if need.lanes > 1
    ]
    return f"Shared by {len(plans)} lanes: {', '.join(shared)}" if shared else ""
