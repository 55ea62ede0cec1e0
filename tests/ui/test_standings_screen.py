"""Standings on the wall: who is where, who is to come, and newer ones as they come."""

from __future__ import annotations

import asyncio
from threading import Event

import pytest

from judgekit.core.entry import Accept, Rep, Withdraw
from judgekit.core.score import score
from judgekit.reports.standings import Result, standings
from judgekit.ui.views.standings import NOTHING_YET, standing_sheets
from judgekit.ui.views.wall import Said, Sheet
from judgekit.ui.wall_app import WallApp
from tests.support import Played, simple
from tests.ui.fake_desk import text, until

OPEN = "provisional: not accepted yet"


def timed(bib: str, name: str, last: float | None, *, signed: bool = True) -> Played:
    played = Played(simple(1, bib=bib, name=name), book=bib)
    if last is None:
        return played
    played.go().press(last, Rep())
    if signed:
        played.press(99, Accept(who="athlete", signed=True))
        played.press(99, Accept(who="judge", signed=True))
    return played


def sheets(*lanes: Played) -> tuple[Sheet, ...]:
    results = [Result(lane=p.lane, score=score(p.lane)) for p in lanes]
    return standing_sheets(standings(results))


def test_a_division_is_a_sheet_with_those_to_come_at_its_end() -> None:
    gone = timed("5", "Dora", None).go()
    gone.press(30, Withdraw())
    found = sheets(
        timed("2", "Bo", 12),
        timed("1", "Ana", 10, signed=False),
        timed("4", "Cy", 12),
        timed("3", "Eve", None),
        gone,
    )
    assert found == (
        Sheet(
            of="Quayside",
            heading="Women",
            rows=(
                Said(label="  1  1 Ana", lines=(f"0:10, {OPEN}",)),
                Said(label=" 2=  2 Bo", lines=("0:12, official",)),
                Said(label=" 2=  4 Cy", lines=("0:12, official",)),
                Said(
                    label="  -  5 Dora",
                    lines=(f"0 of 1, 1 short, withdrawn, {OPEN}",),
                ),
                Said(label="to come", lines=("3 Eve",)),
            ),
        ),
    )


def test_before_anything_there_is_one_sheet_that_says_so() -> None:
    assert standing_sheets(()) == (NOTHING_YET,)


async def test_newer_standings_take_the_place_of_older_ones() -> None:
    first, then = sheets(timed("1", "Ana", 10)), sheets(timed("1", "Ana", 8))
    asked = Event()

    def again() -> tuple[Sheet, ...]:
        asked.set()
        return then

    app = WallApp(first, again)
    async with app.run_test(size=(80, 24)) as pilot:
        assert "0:10" in text(app)
        await asyncio.to_thread(asked.wait)
        while "0:08" not in text(app):
            await pilot.pause()


async def test_a_log_that_cannot_be_read_leaves_what_is_shown() -> None:
    asked = Event()

    def again() -> None:
        asked.set()

    app = WallApp(sheets(timed("1", "Ana", 10)), again)
    async with app.run_test(size=(80, 24)) as pilot:
        await asyncio.to_thread(asked.wait)
        await pilot.pause()
        assert "0:10" in text(app)


@pytest.mark.parametrize("size", [(80, 24), (40, 12)])
async def test_the_workout_is_named_at_every_size(size: tuple[int, int]) -> None:
    app = WallApp(sheets(timed("1", "Ana", 10)))
    async with app.run_test(size=size) as pilot:
        await until(pilot, lambda: "Quayside" in text(app))
