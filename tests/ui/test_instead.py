"""Absence, another athlete and other work, said on a Floor of several lanes."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Rep, Scale
from judgekit.core.plan import SetKey
from tests.ui.fake_desk import text, until
from tests.ui.test_arrivals import Class, a_class

if TYPE_CHECKING:
    from pathlib import Path

    from textual.pilot import Pilot

    from judgekit.core.plan import Plan

WORK = """\
id = "towpath"
name = "Towpath"
revision = 1
score = "time"
[[part]]
rounds = 2
[[part.movement]]
card = "toes-to-bar"
reps = 5
[[part.movement]]
card = "front-squat"
reps = [4, 3]
load = "40 kg"
[[part.movement]]
card = "row"
calories = 9
"""
# The list of the chosen lane's athlete before go, and once the clock runs.
BEFORE, AFTER = ("w", "2"), ("w", "5")


@pytest.fixture(autouse=True)
def _exact(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key is handled in the very instant in which it was pressed."""
    monkeypatch.setattr("judgekit.ui.screens.heard.monotonic", lambda: 0.0)


@pytest.fixture
def made(tmp_path: Path) -> Class:
    return Class(a_class(tmp_path, "Ana, Bo, Cy", WORK))


def done(plan: Plan) -> list[str]:
    return [
        f"{m.card} {m.targets[0]} {m.loads[0] if m.loads else ''}".strip()
        for part in plan.parts
        for m in part.movements
    ]


async def choose(
    made: Class, pilot: Pilot[None], first: tuple[str, ...], *says: str
) -> None:
    """Open the list of more and follow the lines that begin so."""
    await made.tap(pilot, *first)
    for line in says:
        shown = text(made.app)
        rows = [row.partition(f"  {line}") for row in shown.splitlines()]
        found = [before.strip()[-1:] for before, there, _ in rows if there]
        assert found, shown
        await made.tap(pilot, found[0])


async def scaled(made: Class, pilot: Pilot[None], lane: int, many: int) -> None:
    await until(
        pilot,
        lambda: (
            sum(isinstance(e.body, Scale) for e in made.desk.lane(lane).entries) == many
        ),
    )


async def test_before_go_an_athlete_does_something_else_and_the_row_says_so(
    made: Class,
) -> None:
    with closing(made):
        async with made.app.run_test(size=(80, 24)) as pilot:
            await choose(
                made, pilot, ("2", *BEFORE), "does something", "Toes", "hanging"
            )
            await scaled(made, pilot, 2, 1)
            assert done(made.desk.lane(2).plan)[0] == "hanging-knee-raise 5"
            assert done(made.desk.lane(1).plan)[0] == "toes-to-bar 5"
            await until(pilot, lambda: "HANGING" in text(made.app))
            assert "Lane 2: Toes to bar: hanging knee raise." in text(made.app)
            made.go()
            await until(pilot, lambda: made.desk.lane(2).started)
            assert done(made.desk.lane(2).plan)[0] == "hanging-knee-raise 5"


async def test_in_mid_class_the_load_changes_and_what_counted_stays(
    made: Class,
) -> None:
    with closing(made):
        made.go()
        for _ in range(6):
            made.clock.pass_(3000)
            made.desk.submit(2, Rep(), boot_ms=made.clock.boot_now)
        async with made.app.run_test(size=(80, 24)) as pilot:
            await until(pilot, lambda: made.desk.lane(2).work.good == 6)
            await choose(
                made, pilot, ("2", *AFTER), "does something", "Front", "another load"
            )
            await made.tap(pilot, "3", "2", ".", "5", "enter")
            await scaled(made, pilot, 2, 1)
            lane = made.desk.lane(2)
            assert done(lane.plan)[1].startswith("front-squat 4 32.5 kg")
            assert lane.work.good == 6
            assert lane.work.cursor == SetKey(part=1, round=1, movement=2)
            last = lane.entries[-1].body
            assert isinstance(last, Scale)
            assert last.plan in made.desk._sitting.book.plans()


async def test_a_number_keeps_the_movement_chosen_before_and_all_goes_back(
    made: Class,
) -> None:
    with closing(made):
        async with made.app.run_test(size=(80, 24)) as pilot:
            first = ("2", *BEFORE)
            await choose(made, pilot, first, "does something", "Toes", "hanging")
            await scaled(made, pilot, 2, 1)
            await choose(made, pilot, first, "does something", "Toes", "another number")
            await made.tap(pilot, "3", "enter")
            await scaled(made, pilot, 2, 2)
            assert done(made.desk.lane(2).plan)[0] == "hanging-knee-raise 3"
            await choose(made, pilot, first, "does something", "Toes", "as written")
            await scaled(made, pilot, 2, 3)
            assert done(made.desk.lane(2).plan)[0] == "toes-to-bar 5"


async def test_instead_of_a_machine_the_number_is_asked_for(made: Class) -> None:
    with closing(made):
        async with made.app.run_test(size=(80, 24)) as pilot:
            await choose(made, pilot, ("2", *BEFORE), "does something", "Row", "bike")
            assert "enter alone" in " ".join(text(made.app).split())
            await made.tap(pilot, "enter")
            await scaled(made, pilot, 2, 1)
            assert done(made.desk.lane(2).plan)[2] == "bike 9"


async def test_a_chosen_athlete_is_absent_and_here_after_all(made: Class) -> None:
    with closing(made):
        async with made.app.run_test(size=(80, 24)) as pilot:
            await choose(made, pilot, ("3", "w"), "athlete is absent")
            await until(pilot, lambda: made.desk.lane(3).absent)
            await until(pilot, lambda: "- absent" in text(made.app))
            await choose(made, pilot, ("3", "w"), "here after all")
            await until(pilot, lambda: not made.desk.lane(3).absent)


async def test_two_chosen_athletes_change_places(made: Class) -> None:
    with closing(made):
        async with made.app.run_test(size=(80, 24)) as pilot:
            await choose(made, pilot, ("1", *BEFORE), "swap with")
            await made.tap(pilot, "3", "enter")
            await until(pilot, lambda: made.desk.lane(3).plan.name == "Ana")
            assert made.desk.lane(1).plan.name == "Cy"


async def test_another_athlete_is_named_by_number(made: Class) -> None:
    with closing(made):
        async with made.app.run_test(size=(80, 24)) as pilot:
            await choose(made, pilot, ("1", *BEFORE), "type the number")
            await made.tap(pilot, "3")
            assert "Cy" in text(made.app)
            await made.tap(pilot, "enter")
            await until(pilot, lambda: made.desk.lane(1).plan.name == "Cy")
