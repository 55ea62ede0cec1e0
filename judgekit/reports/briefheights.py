"""Heights: of each division, and of each athlete whose mark is an own one."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports.briefloads import movements_of
from judgekit.reports.names import shown_name

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.core.floorplan import FloorMark
    from judgekit.core.plan import Plan

ABOVE_REACH = "above reach"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """The height that one athlete has to reach in one movement.

    `height` says how it is made; `mark` only where it is, or that it is to be measured.
    """

    bib: str
    name: str
    movement: str
    height: str
    mark: str


def height_words(heights: Iterable[FloorMark]) -> list[tuple[str, str]]:
    """Each movement, with its divisions' heights and to which edge they are.

    A height without an edge says of what it is: "Box: Women 50 cm; Men 60 cm".
    """
    said: dict[tuple[str, str, str], list[str]] = {}
    for mark in heights:
        what = "" if mark.edge else f"{mark.what}: "
        edge = f", to the {mark.edge} of the mark" if mark.edge else ""
        sizes = said.setdefault((mark.movement, what, edge), [])
        sizes.append(f"{mark.division} {mark.size}".lstrip())
    return [
        (movement, f"{what}{'; '.join(sizes)}{edge}")
        for (movement, what, edge), sizes in said.items()
    ]


def own_marks(plans: Sequence[Plan], written: Sequence[Plan]) -> Iterator[Mark]:
    """Heights that are one athlete's own, by lane: above reach, or said today.

    `written` has one plan of each division, as its files have it.
    """
    usual = {plan.division: set(_heights(plan)) for plan in written}
    for plan in plans:
        for movement, height in _heights(plan):
            if ABOVE_REACH in height or (movement, height) not in usual[plan.division]:
                yield Mark(
                    bib=plan.bib,
                    name=shown_name(plan.name, plan.show, plan.bib),
                    movement=movement,
                    height=height,
                    mark=_where(height),
                )


def _where(height: str) -> str:
    """Of "6 in above reach 2.14 m ≈ 2.30 m" the "2.30 m"."""
    above, found, reach = height.partition(f" {ABOVE_REACH} ")
    if not found:
        return height
    made = re.search(r"[=≈] (.+)$", reach)
    return made[1] if made else f"to be measured: reach and {above}"


def _heights(plan: Plan) -> tuple[tuple[str, str], ...]:
    named = ((plan.card(m.card).name, m.height) for m in movements_of(plan))
    return tuple(dict.fromkeys(row for row in named if row[1]))
