"""The lane check on screen: a whole one by counted keys, refusals, sizes, go."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.checkitems import Gear
from judgekit.core.entry import Go, Rep
from judgekit.core.people import Emergency
from judgekit.desk import Started
from judgekit.ui.screens.floor import FloorScreen
from judgekit.ui.screens.lanecheck import Earlier, LaneCheckScreen
from judgekit.ui.widgets.painted import Painted
from tests.core.test_lanecheck import UNKNOWN, aimed, gear
from tests.ui.fake_desk import Floor, faint, grounds, rows, text

if TYPE_CHECKING:
    from textual.pilot import Pilot

    from judgekit.core.plan import Plan

SIZE = (80, 24)
OWN = "target-toes-to-bar"
SIZES = [(80, 24), (120, 40), (40, 12), (60, 20), (20, 5), (3, 2)]


def checked(plan: Plan | None = None) -> Floor:
    return Floor(aimed() if plan is None else plan, gear=gear())


def said(floor: Floor) -> list[tuple[str, str, str]]:
    """What the log holds of the check: item, answer, and value or reason."""
    return [
        (body.item, body.answer, body.value or body.why)
        for body in floor.bodies()
        if isinstance(body, Check)
    ]


async def typed(floor: Floor, pilot: Pilot[None], value: str) -> None:
    keys = {" ": "space", ".": "full_stop", ",": "comma"}
    await floor.tap(pilot, *(keys.get(sign, sign) for sign in value), "enter")


def focus(floor: Floor) -> str:
    """The row of the item in focus: the one that is turned over."""
    screen = floor.app.screen
    [row] = [
        "".join(segment.text for segment in strip)
        for strip in screen._compositor.render_strips()
        if any(s.style is not None and s.style.reverse for s in strip)
    ]
    return row.split("  ")[0].strip()


async def test_a_whole_check_takes_nineteen_keys_with_one_value_typed() -> None:
    """At four seconds for each look and key it is well under ninety seconds."""
    floor = checked()
    async with floor.app.run_test(size=SIZE) as pilot:
        assert "enter lane check" in text(floor.app)
        before = floor.clock.boot_now
        await floor.tap(pilot, "enter")
        assert "9 of 9 open" in text(floor.app)
        await floor.tap(pilot, "space", "space", "space")
        await typed(floor, pilot, "2.30 m")
        await floor.tap(pilot, *["space"] * 5)
        assert "all answered" in text(floor.app)
        await floor.tap(pilot, "escape")
        assert isinstance(floor.app.screen, FloorScreen)
        await floor.tap(pilot, "g")
        assert "GO? y starts all lanes in ten seconds" in text(floor.app)
        await floor.tap(pilot, "y")
        assert floor.lane.started
        keys = (floor.clock.boot_now - before) // 2000
    assert keys == 19
    assert said(floor) == [
        ("athlete", "as planned", ""),
        ("load-front-squat", "as planned", ""),
        ("reach", "as planned", ""),
        (OWN, "measured", "2.30 m"),
        ("machine-row-calories", "as planned", ""),
        ("hanging-gear", "as planned", ""),
        ("safety", "as planned", ""),
        ("clock", "as planned", ""),
        ("limits", "as planned", ""),
    ]
    assert not any(isinstance(body, Unchecked) for body in floor.bodies())


async def test_a_centimetre_short_is_refused_measured_again_and_accepted() -> None:
    floor = checked()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "down", "down", "down")
        assert focus(floor) == "□ Toes to bar own mark"
        await typed(floor, pilot, "2.29 m")
        shown = text(floor.app)
        assert "2.29 m is 1 cm under 2.30 m; raise it and measure again." in shown
        assert "2.29 m refused" in shown
        assert "9 of 9 open" in shown
        assert focus(floor) == "✗ Toes to bar own mark"
        await typed(floor, pilot, "2.30 m")
        assert "Toes to bar own mark: 2.30 m fits." in text(floor.app)
        assert "8 of 9 open" in text(floor.app)
    assert said(floor) == [(OWN, "refused", "2.29 m"), (OWN, "measured", "2.30 m")]


async def test_a_reach_that_nobody_wrote_down_is_typed_first() -> None:
    floor = checked(aimed(UNKNOWN))
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "down", "down", "space")
        assert "Reach: type what the tape shows, with its unit." in text(floor.app)
        await floor.tap(pilot, "down")
        await typed(floor, pilot, "2.30 m")
        assert "Measure the reach first" in text(floor.app)
        await floor.tap(pilot, "escape", "up")
        await typed(floor, pilot, "2.14 m")
        await typed(floor, pilot, "90 in")
    assert said(floor) == [("reach", "measured", "2.14 m"), (OWN, "refused", "90 in")]


async def test_a_number_alone_that_is_no_reach_in_metres_is_asked_about() -> None:
    floor = checked(aimed(UNKNOWN))
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "down", "down")
        await typed(floor, pilot, "245")
        assert "245 what? Type 245 cm." in text(floor.app)
        assert "Reach measures: 245_" in text(floor.app)
        assert said(floor) == []
        await floor.tap(pilot, "c", "m", "enter")
    assert said(floor) == [("reach", "measured", "245cm")]


async def test_a_reach_far_from_the_one_on_file_is_asked_about() -> None:
    floor = checked()
    off = "1.84 m is 30 cm under the reach on file, 2.14 m. y: that is it."
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "down", "down")
        await typed(floor, pilot, "1.84")
        assert off in text(floor.app)
        # The same key again answers nothing, as it may be held.
        await floor.tap(pilot, "enter", "backspace", "3", "y", "backspace", "enter")
        assert "1.83 m is 31 cm under" in text(floor.app)
        assert said(floor) == []
        await floor.tap(pilot, "y", "up")
        await typed(floor, pilot, "2.15 m")
    assert said(floor) == [
        ("reach", "measured", "1.83 m"),
        ("reach", "measured", "2.15 m"),
    ]


async def test_what_cannot_be_read_stays_to_be_mended() -> None:
    floor = checked()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "down", "down", "down")
        await typed(floor, pilot, "2,30 m")
        assert "has a comma; write decimals with a full stop" in text(floor.app)
        assert "own mark measures: 2,30 m_" in text(floor.app)
        await floor.tap(pilot, *["backspace"] * 5)
        await typed(floor, pilot, ".30 m")
    assert said(floor) == [(OWN, "measured", "2.30 m")]


async def test_a_limit_is_written_down_with_who_agreed() -> None:
    floor = checked()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "up", "n")
        assert "Which limit: _" in text(floor.app)
        await floor.tap(pilot, *"Left elbow".replace(" ", "_"))
        await floor.tap(pilot, "enter")
        assert "Who agreed? 1 head judge; space: nobody yet" in text(floor.app)
        await floor.tap(pilot, "9")
        assert "Press 1: who agreed. space: nobody yet." in text(floor.app)
        await floor.tap(pilot, "1")
        assert "≠ Limits" in text(floor.app)
    [check] = [body for body in floor.bodies() if isinstance(body, Check)]
    assert (check.why, check.by) == ("Left_elbow", "head judge")


async def test_what_nobody_agreed_to_stays_open_and_escape_leaves_nothing() -> None:
    floor = checked()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "n", "x", "escape", "escape")
        assert isinstance(floor.app.screen, FloorScreen)
        assert said(floor) == []
        await floor.tap(pilot, "enter", "n", *"chalk", "enter", "space")
        assert "✗ Athlete" in text(floor.app)
        assert "9 of 9 open" in text(floor.app)


async def test_all_unchanged_says_what_it_covers_and_nothing_else() -> None:
    before = checked()
    async with before.app.run_test(size=SIZE) as pilot:
        await before.tap(pilot, "enter", *["space"] * 9)
    floor = checked()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "a")
        assert "Nothing is unchanged since a check of this lane today" in (
            text(floor.app)
        )
        floor.app.screen.post_message(Earlier(tuple(before.book.entries())))
        await pilot.pause()
        assert "a all 4 unchanged" in text(floor.app)
        await floor.tap(pilot, "a")
        assert "As planned, unchanged: Hanging gear, Safety, Clock, Limits." in (
            text(floor.app)
        )
    assert [item for item, *_ in said(floor)] == [
        "hanging-gear",
        "safety",
        "clock",
        "limits",
    ]


async def test_go_with_open_items_asks_why_and_logs_it() -> None:
    floor = checked()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "space", "escape", "g")
        assert "GO? 8 items of the lane check open: y asks why and goes" in (
            text(floor.app)
        )
        await floor.tap(pilot, "y")
        assert "8 ITEMS OPEN, why go?" in text(floor.app)
        assert not floor.lane.started
        await floor.tap(pilot, "3")
        assert floor.lane.started
    *_, unchecked, go = floor.bodies()
    assert isinstance(unchecked, Unchecked)
    assert (len(unchecked.items), unchecked.why) == (8, "no time left")
    assert isinstance(go, Go)


async def test_a_question_that_is_left_alone_starts_nothing() -> None:
    floor = checked()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "g", "y", "escape", "1")
        await floor.tap(pilot, "y")
        assert not floor.lane.started
        await floor.tap(pilot, "g", "y", "g", "4")
        assert not floor.lane.started


async def test_a_go_from_another_desk_takes_the_judge_to_the_floor() -> None:
    floor = checked()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter")
        assert isinstance(floor.app.screen, LaneCheckScreen)
        floor.desk._sitting.tell(Started(zero_boot_ms=floor.clock.boot_now + 10_000))
        await pilot.pause()
        assert isinstance(floor.app.screen, FloorScreen)
        # Hidden by now, it leaves nothing.
        floor.desk._sitting.tell(Started(zero_boot_ms=floor.clock.boot_now + 10_000))
        await pilot.pause()
        assert isinstance(floor.app.screen, FloorScreen)


@pytest.mark.parametrize("begun", [("down", "2"), ("n", "x"), ("n", "x", "enter")])
async def test_a_go_from_another_desk_ends_what_is_being_typed(
    begun: tuple[str, ...],
) -> None:
    floor = checked()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", *begun)
        floor.desk._sitting.tell(Started(zero_boot_ms=floor.clock.boot_now + 10_000))
        await pilot.pause()
        assert isinstance(floor.app.screen, FloorScreen)
        # That start is called back, and the lane is looked at once more.
        await floor.tap(pilot, "enter")
        assert isinstance(floor.app.screen, LaneCheckScreen)
        assert "space as planned" in text(floor.app)
        await floor.tap(pilot, "space")
    assert said(floor) == [("athlete", "as planned", "")]


async def test_in_mid_heat_w_measures_again_while_counting_goes_on() -> None:
    floor = checked()
    floor.desk.call_go(boot_ms=floor.clock.boot_now, why="no time left")
    floor.clock.pass_(10_000)
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "w")
        assert "5  measure again" in text(floor.app)
        await floor.tap(pilot, "5", "2")
        assert "Toes to bar own mark, in m" in text(floor.app)
        await floor.tap(pilot, "2", "full_stop", "2", "9")
        assert "2.29 m" in text(floor.app)
        await floor.tap(pilot, "enter")
        assert "2.29 m is 1 cm under 2.30 m" in text(floor.app)
        await floor.tap(pilot, "space", "w", "5", "2", *"230", "backspace")
        await floor.tap(pilot, "backspace", "full_stop", "3", "0", "enter")
        assert "Toes to bar own mark: 2.30 m fits." in text(floor.app)
        await floor.tap(pilot, "space")
    found = [(item, answer, value) for item, answer, value in said(floor)]
    assert found == [(OWN, "refused", "2.29 m"), (OWN, "measured", "2.30 m")]
    assert sum(isinstance(body, Rep) for body in floor.bodies()) == 3


async def test_an_event_without_a_lane_check_shows_none() -> None:
    floor = Floor(aimed())
    async with floor.app.run_test(size=SIZE) as pilot:
        assert "lane check" not in text(floor.app)
        await floor.tap(pilot, "enter")
        assert "enter: types what the machine's monitor shows" in text(floor.app)
        assert isinstance(floor.app.screen, FloorScreen)
        await floor.tap(pilot, "g", "y")
        assert floor.lane.started


@pytest.mark.parametrize("size", SIZES)
async def test_what_is_in_focus_is_on_the_screen_at_every_size(
    size: tuple[int, int],
) -> None:
    floor = checked()
    async with floor.app.run_test(size=size) as pilot:
        await floor.tap(pilot, "enter")
        for _ in range(8):
            await floor.tap(pilot, "down")
            paper = floor.app.screen.query_one(Painted)
            assert len(paper.rows) == size[1]
            widths = {sum(len(part) for part, _ in row) for row in paper.rows}
            assert widths == {size[0]}
            assert any(tone == "ask" for row in paper.rows for _, tone in row)
        await floor.tap(pilot, "down", "down", "2")
        if size[0] >= 40:
            assert "measures: 2_" in text(floor.app)
        assert faint(floor.app) == []
        assert len(set(grounds(floor.app))) <= 2


async def test_at_80_by_24_the_whole_list_and_all_keys_are_readable() -> None:
    floor = checked(aimed(UNKNOWN))
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "down")
        shown = rows(floor.app)
        assert [row.split("  ")[0].strip() for row in shown[3:12]] == [
            "□ Athlete",
            "□ Front squat load",
            "□ Reach",
            "□ Toes to bar own mark",
            "□ Row machine",
            "□ Hanging gear",
            "□ Safety",
            "□ Clock",
            "□ Limits",
        ]
        assert "Bar 15 kg, collars 2.5 kg each, each side 10 + 1.25 kg." in (
            " ".join(row.strip() for row in shown)
        )
        for words in ("space as planned", "n not as planned", "enter Floor"):
            assert words in "\n".join(shown)


async def test_a_list_longer_than_its_place_says_so() -> None:
    floor = checked()
    async with floor.app.run_test(size=(40, 12)) as pilot:
        await floor.tap(pilot, "enter")
        head = rows(floor.app)[0]
        assert head.endswith("9 of 9 open ↕")
        # Which lane it is goes before the workout's name.
        assert "lane 4" in head
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert rows(floor.app)[0].endswith("9 of 9 open")


async def test_safety_says_where_help_is() -> None:
    known = gear()
    box = Emergency(call="112", first_aid="Kim, front desk", defibrillator="the door")
    event = replace(known.event, emergency=box)
    floor = Floor(aimed(), gear=Gear(event=event, cards=known.cards))
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "up", "up", "up")
        shown = " ".join(row.strip() for row in rows(floor.app))
        assert "first aid: Kim, front desk; defibrillator: the door" in shown


async def test_a_failure_while_drawing_is_told_and_escape_leaves(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor = checked()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter")
        with monkeypatch.context() as broken:
            broken.setattr("judgekit.ui.screens.lanecheck.check_view", lambda *_: 1 / 0)
            await floor.tap(pilot, "space")
            assert "Drawing failed (ZeroDivisionError)" in text(floor.app)
        await floor.tap(pilot, "space")
        assert "7 of 9 open" in text(floor.app)


async def test_hostile_words_are_text_and_no_order() -> None:
    bad = "[@click=app.quit]\x1b[2J"
    plan = replace(aimed(), name=bad, division_name=bad, workout_name=bad)
    floor = checked(plan)
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "n", "left_square_bracket", "slash", "enter")
        shown = text(floor.app)
        assert "[@click=app.quit]" in shown
        assert "\x1b" not in shown
