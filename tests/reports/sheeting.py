"""Sheets of lanes that were played, as the command makes them from a log."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.score import score
from judgekit.reports.explain import others_to_go
from judgekit.reports.sheet import Sheet, Worked, parts_equal, sheet
from judgekit.reports.standings import Result, standings

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.core.card import Card
    from judgekit.core.state import Lane
    from judgekit.reports.sheetsince import Before


def worked(*lanes: Lane, wall: int | None = None, code: str = "") -> list[Worked]:
    """Each lane with its place among all that are given."""
    results = [Result(lane=lane, score=score(lane, wall)) for lane in lanes]
    return [
        Worked(
            lane=place.row.lane,
            place=place,
            of=len(one.places),
            log_code=code,
            so_far=others_to_go(one.places),
            parted=parts_equal(place, one.places),
        )
        for one in standings(results)
        for place in one.places
    ]


def sheet_of(
    lane: Lane,
    *others: Lane,
    bib: str = "",
    before: Before | None = None,
    wall: int | None = None,
    code: str = "",
    cards: Mapping[str, Card] | None = None,
) -> Sheet:
    """The sheet of one lane; others took part in the same workout."""
    found = worked(lane, *others, wall=wall, code=code)
    mine = [replace(one, cards=cards) for one in found if one.lane is lane]
    return sheet(bib or lane.plan.bib, mine, before=before, wall=wall)
