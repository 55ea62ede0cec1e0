"""Sheets of lanes that were played, as the command makes them from a log."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.twojudges import score_of_both, second_lane
from judgekit.reports.explain import others_to_go
from judgekit.reports.sheet import Sheet, Worked, parts_equal, sheet
from judgekit.reports.standings import Result, standings

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.core.card import Card
    from judgekit.core.entry import Entry
    from judgekit.core.state import Lane
    from judgekit.reports.sheetsince import Before


def worked(
    *lanes: Lane,
    wall: int | None = None,
    code: str = "",
    beside: Sequence[Entry] = (),
) -> list[Worked]:
    """Each lane with its place among all that are given.

    `beside` is what the second judge of the first lane wrote.
    """
    results = [_result(lane, wall, ()) for lane in lanes[1:]]
    results.append(_result(lanes[0], wall, tuple(beside)))
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


def _result(lane: Lane, wall: int | None, beside: tuple[Entry, ...]) -> Result:
    second = second_lane(lane, beside) if beside else None
    return Result(lane=lane, score=score_of_both(lane, second, wall), beside=beside)


def sheet_of(  # noqa: PLR0913 - what a test may say of a sheet
    lane: Lane,
    *others: Lane,
    bib: str = "",
    before: Before | None = None,
    wall: int | None = None,
    code: str = "",
    beside: Sequence[Entry] = (),
    cards: Mapping[str, Card] | None = None,
) -> Sheet:
    """The sheet of one lane; others took part in the same workout."""
    found = worked(lane, *others, wall=wall, code=code, beside=beside)
    mine = [replace(one, cards=cards) for one in found if one.lane is lane]
    return sheet(bib or lane.plan.bib, mine, before=before, wall=wall)
