"""Everything a judge does, by fingers alone: what pads mean and where they lie."""

from __future__ import annotations

from time import monotonic

import pytest

from judgekit.core.entry import Accept, Dispute, Freeze, GoOn, NoRep, Reading, Rep, Stop
from judgekit.core.plan import SetKey
from judgekit.core.press import Called
from judgekit.core.ruling import RepsInSet
from judgekit.ui.actions import ACTIONS
from judgekit.ui.panels import Typing
from judgekit.ui.screens.floor import FloorScreen
from judgekit.ui.screens.lanecheck import LaneCheckScreen
from judgekit.ui.screens.scorecard import ScorecardScreen
from judgekit.ui.views.pads import STOP_BOARD, check_board
from judgekit.ui.webdriver import Tapped
from judgekit.ui.widgets.padlaying import pad_at, pad_rows
from judgekit.ui.widgets.row import written
from tests.core.test_lanecheck import gear
from tests.support import for_time, simple
from tests.ui.fake_desk import Floor, text, until
from tests.ui.fingers import cells, finger, pads, where
from tests.ui.test_box import judging
from tests.ui.test_lanecheck_screen import checked, said

PHONE, TABLET = (43, 40), (82, 51)
SIZES = [PHONE, TABLET, (117, 24), (48, 34), (80, 24), (20, 9), (3, 2)]


def padded(**given: object) -> Floor:
    return Floor(simple(reps=20), pads=True, **given)  # type: ignore[arg-type]


def kinds(floor: Floor) -> list[str]:
    """What the log holds after the go, by the names of the entries."""
    names = [type(body).__name__ for body in floor.bodies()]
    return names[names.index("Go") + 1 :]


async def test_ten_quick_taps_are_ten() -> None:
    """No finger repeats by itself, so the guard against held keys lets taps pass."""
    floor = padded()
    floor.go()
    # A tap is as old as its handling is late: well after zero, none is too early.
    floor.clock.pass_(60_000)
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, *["GOOD REP"] * 10, after=30)
        assert floor.good == 10
        assert "held" not in text(floor.app)


async def test_taps_that_a_slow_line_hands_over_together_are_all_counted() -> None:
    floor = padded()
    floor.go()
    floor.clock.pass_(60_000)
    async with floor.app.run_test(size=PHONE) as pilot:
        x, y = where(floor, "GOOD REP")
        now = monotonic()
        for late in (3.0, 2.0, 1.0):
            floor.app.post_message(Tapped(x, y, now - late))
        await until(pilot, lambda: floor.good == 3)
        kept = [e for e in floor.book.entries() if isinstance(e.body, Rep)]
        made = [entry.at or 0 for entry in kept]
    # The clock stands still here while the taps are handled, which is soon.
    assert made[2] - made[0] > 1000


async def test_a_pointer_counts_once_as_it_comes_down() -> None:
    floor = padded()
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        at = where(floor, "GOOD REP")
        floor.clock.pass_(2000)
        await pilot.mouse_down(offset=at)
        await pilot.pause()
        assert floor.good == 1
        await pilot.mouse_up(offset=at)
        await pilot.click(offset=at)
        await pilot.pause()
    assert floor.good == 2


async def test_a_call_names_its_fault_and_no_rep_waits_for_one() -> None:
    floor = padded()
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "DEPTH")
        assert "NO REP" in text(floor.app)
        await finger(floor, pilot, "NO REP why next", "LOCK", after=900)
        await finger(floor, pilot, "TAKE BACK", "COUNT AGAIN")
    no_reps = [body.faults for body in floor.bodies() if isinstance(body, NoRep)]
    assert no_reps == [("depth",), ()]
    assert kinds(floor)[-3:] == ["NameFault", "TakeBack", "PutBack"]


async def test_stop_is_stop_also_where_a_number_is_typed() -> None:
    floor = Floor(for_time(), pads=True)
    floor.go()
    for _ in range(10):
        floor.act(Rep())
    floor.clock.pass_(61_000)
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "TYPE NUMBER", "1")
        assert isinstance(floor.app.screen._controls.panel, Typing)  # type: ignore[attr-defined]
        await finger(floor, pilot, "STOP")
        assert floor.lane.stopped
        await finger(floor, pilot, "LET go on")
        assert "1 let go on by head judge" in pads(floor)
        await finger(floor, pilot, "CLOSE", "MISTAKE go on")
    assert [b for b in floor.bodies() if isinstance(b, Stop | GoOn | Reading)] == [
        Stop(),
        GoOn(by_mistake=True),
    ]


async def test_a_reading_is_typed_on_our_own_pads() -> None:
    floor = Floor(for_time(), pads=True)
    floor.go()
    for _ in range(10):
        floor.act(Rep())
    floor.clock.pass_(61_000)
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "TYPE NUMBER")
        # A first 0 is STOP on a keyboard; here STOP has a pad of its own.
        assert "0" not in pads(floor)
        await finger(floor, pilot, "1", "0", "DEL", "DEL", "4", "ENTER")
    assert [b for b in floor.bodies() if isinstance(b, Reading)] == [Reading(shows=4)]


async def test_go_takes_two_pads_and_a_tap_before_it_counts_nothing() -> None:
    floor = padded()
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "GOOD REP")
        assert "adds one to the count" in text(floor.app)
        await finger(floor, pilot, "GO", "GO")
        assert not floor.lane.started
        go, yes = where(floor, "GO"), where(floor, "YES")
        assert go != yes
        await finger(floor, pilot, "YES y")
        assert (floor.lane.started, floor.good) == (True, 0)


async def test_what_is_seldom_done_is_one_pad_further() -> None:
    floor = padded()
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        good = where(floor, "GOOD REP")
        await finger(floor, pilot, "MORE", "freeze all")
        assert [type(b) for b in floor.bodies()][-1] is Freeze
        assert "DEPTH" in pads(floor)
        await finger(floor, pilot, "WORK goes on", "2 work goes on", "MORE")
        assert (where(floor, "GOOD REP"), "LESS" in pads(floor)) == (good, True)
        await finger(floor, pilot, "GOOD REP")
        assert floor.good == 1
        await finger(floor, pilot, "MORE", ["who", "more"][0])
        await finger(floor, pilot, "athlete withdraws", "own choice")
        assert kinds(floor)[-1] == "Withdraw"


async def test_a_panel_is_closed_with_a_finger_and_good_rep_goes_on_below() -> None:
    floor = padded()
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "MORE", "all keys", "GOOD REP", "CLOSE")
        assert (floor.good, "KEYS" in text(floor.app)) == (1, False)


async def test_the_desk_is_closed_with_two_pads() -> None:
    floor = padded()
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "MORE", "close desk")
        await finger(floor, pilot, "YES y", after=500)
        assert await floor.ended() == 0


async def test_a_lane_is_checked_by_fingers_alone() -> None:
    floor = checked()
    floor = Floor(floor.plan, gear=gear(), pads=True)
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "LANE CHECK")
        assert isinstance(floor.app.screen, LaneCheckScreen)
        await finger(floor, pilot, *["AS PLANNED"] * 3)
        await finger(floor, pilot, "MEASURED", "CLOSE", "MEASURED")
        assert "ENTER" not in pads(floor)
        await finger(floor, pilot, *"2.39", "DEL", "0", "ENTER")
        await finger(floor, pilot, "DOWN", "UP", "NOT AS PLANNED", *"worn")
        await finger(floor, pilot, "space", *"rope")
        # What is typed stands above the pads.
        assert "worn rope" in text(floor.app)
        await finger(floor, pilot, "ENTER", "1 head judge")
        await finger(floor, pilot, "ALL unchanged", "TO THE FLOOR")
        assert isinstance(floor.app.screen, FloorScreen)
    found = said(floor)
    assert [answer for _, answer, _ in found] == [
        "as planned",
        "as planned",
        "as planned",
        "measured",
        "not as planned",
    ]
    assert [value for _, _, value in found][-2:] == ["2.30 m", "worn rope"]


async def test_yes_is_lit_while_it_is_asked_for() -> None:
    floor = Floor(simple(reps=2), pads=True)
    async with floor.app.run_test(size=PHONE) as pilot:

        def lit() -> bool:
            return any(p.key == "y" and p.kind == "ask" for p, _, _ in cells(floor))

        assert not lit()
        await finger(floor, pilot, "GO")
        assert lit()
        floor.go()
        await finger(floor, pilot, "GOOD REP")
        assert not lit()
        await finger(floor, pilot, "GOOD REP", after=300)
        # The work is over, but the last rep came too soon.
        assert (floor.good, lit()) == (2, True)
        floor.clock.pass_(7000)
        floor.app.screen.show_soon()  # type: ignore[attr-defined]
        # Nobody answered: only the scorecard is offered.
        await until(pilot, lambda: not lit())


async def test_yes_is_not_lit_while_a_reason_is_asked_for() -> None:
    floor = padded()
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "NO REP why next")
        assert "Why?" in text(floor.app)
        assert not [pad for pad, _, _ in cells(floor) if pad.kind == "ask"]


async def test_the_emergency_box_names_no_key_and_a_finger_closes_it() -> None:
    floor = Floor(simple(reps=20), pads=True, folder=judging().folder)
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "GOOD REP", "STOP")
        shown = text(floor.app)
        assert "112" in shown
        assert not [words for words in ("escape", "larger window") if words in shown]
        [sign] = [says for says in pads(floor) if says.startswith("1 ")]
        await finger(floor, pilot, sign, "CLOSE")
        assert "112" not in text(floor.app)
        assert floor.lane.stopped


async def test_only_what_can_be_measured_lights_its_pad() -> None:
    floor = Floor(checked().plan, gear=gear(), pads=True)

    def lit() -> bool:
        return any(
            p.says == ("MEASURED",) and p.kind == "ask" for p, _, _ in cells(floor)
        )

    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "LANE CHECK")
        found = [lit()]
        for _ in range(3):
            await finger(floor, pilot, "DOWN")
            found.append(lit())
        assert set(found) == {False, True}
        # The pads say what keys do.
        assert "as planned  n not" not in text(floor.app)


async def test_a_scorecard_is_signed_by_fingers_alone() -> None:
    floor = Floor(simple(reps=2), pads=True)
    floor.go()
    floor.act(Rep())
    floor.act(Called(fault="depth"))
    floor.act(Rep())
    async with floor.app.run_test(size=PHONE) as pilot:
        await finger(floor, pilot, "SCORE CARD")
        assert isinstance(floor.app.screen, ScorecardScreen)
        # It stands apart from the edge, as without pads.
        assert not [row for row in text(floor.app).split("\n") if row[:1].strip()]
        await finger(floor, pilot, "DOWN", "UP", "dispute", "the count", "1", "ENTER")
        await finger(floor, pilot, "n", "o", "space", "DEL", "ENTER", "ENTER")
        [asked] = [b for b in floor.bodies() if isinstance(b, Dispute)]
        assert asked.about == "no"
        assert asked.claims == RepsInSet(set=SetKey(1, 1, 1), by=-1)
        await finger(floor, pilot, "athlete accepts", "judge accepts")
        signed = [b.who for b in floor.bodies() if isinstance(b, Accept)]
        assert (signed, floor.lane.closed) == (["athlete", "judge"], True)
        await finger(floor, pilot, "to the Floor")
        assert isinstance(floor.app.screen, FloorScreen)


async def test_no_pad_moves_while_work_goes_on() -> None:
    floor = padded()
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        lie = pads(floor)
        # After a STOP these two say how work goes on.
        del lie["COUNT AGAIN"], lie["YES y"]
        for words in ("GOOD REP", "DEPTH", "NO REP why next", "STOP", "MISTAKE go on"):
            await finger(floor, pilot, words)
            now = pads(floor)
            assert {name: now[name] for name in lie} == lie, words


async def test_on_a_wide_screen_pads_lie_beside_the_count_and_stop_above_it() -> None:
    floor = padded()
    floor.go()
    async with floor.app.run_test(size=(106, 33)) as pilot:
        await until(pilot, lambda: floor.app.screen.has_class("-wide"))
        await pilot.pause()
        lie = pads(floor)
        left = {says for says, (x, _) in lie.items() if x < 53}
        assert left == {"STOP"}
        # Nothing of the count is cut off below.
        assert max(y for _, _, y in cells(floor)) == 32
        assert "saved" in text(floor.app).split("\n")[32][:64]


async def test_stop_lies_farthest_from_the_thumb() -> None:
    floor = padded()
    floor.go()
    async with floor.app.run_test(size=PHONE):
        lowest = {name: y for name, (_, y) in pads(floor).items()}
        assert lowest["STOP"] == 0
        assert max(lowest, key=lambda name: lowest[name]) == "GOOD REP"


async def test_every_action_of_the_table_has_a_pad() -> None:
    floor = padded()
    async with floor.app.run_test(size=PHONE) as pilot:
        keys = {pad.key for pad, _, _ in cells(floor)}
        floor.go()
        await finger(floor, pilot, "GOOD REP")
        keys |= {pad.key for pad, _, _ in cells(floor)}
        await finger(floor, pilot, "MORE")
        keys |= {pad.key for pad, _, _ in cells(floor)}
    wanted = {action.key for action in ACTIONS} - {"0"}
    assert wanted - keys == set()
    assert "stop pad" in keys


@pytest.mark.parametrize("size", SIZES)
async def test_pads_fill_their_part_of_any_screen_and_the_floor_stays(
    size: tuple[int, int],
) -> None:
    floor = padded()
    floor.go()
    floor.act(Rep())
    async with floor.app.run_test(size=size) as pilot:
        await pilot.pause()
        if size[1] >= 20:
            assert {"STOP", "DEPTH", "LOCK", "GOOD REP", "TAKE BACK"} <= set(
                pads(floor)
            )
            assert "FRONT SQUAT" in text(floor.app)
        await pilot.press("space")
    assert floor.lane.started


@pytest.mark.parametrize("size", [(40, 18), (82, 23), (20, 8), (3, 3)])
def test_each_cell_of_pads_is_drawn_and_belongs_to_one(size: tuple[int, int]) -> None:
    columns, rows = size
    for board in (
        STOP_BOARD,
        check_board("list", "", ()),
        check_board("words", "", ()),
    ):
        drawn = pad_rows(board, columns, rows)
        assert [len(written(row)) for row in drawn] == [columns] * rows
        met = {
            pad.key
            for y in range(rows)
            for x in range(columns)
            if (pad := pad_at(board, size, x, y))
        }
        if columns >= 20:
            assert met >= {pad.key for row in board for pad in row.pads if pad.key}
        assert pad_at(board, size, 0, rows) is None


async def test_without_pads_the_floor_stays_one_widget_and_loads_nothing_more() -> None:
    floor = Floor()
    async with floor.app.run_test(size=(80, 24)):
        [only] = floor.app.screen.children
        assert only.id == "face"
        assert type(floor.app.screen) is FloorScreen


async def test_a_finger_does_nothing_where_there_are_no_pads() -> None:
    floor = Floor(simple(reps=3))
    floor.go()
    async with floor.app.run_test(size=(80, 24)) as pilot:
        floor.app.post_message(Tapped(3, 20, monotonic()))
        await pilot.pause()
    assert floor.lane.work.attempts == ()


async def test_calls_keep_their_places_while_why_is_asked() -> None:
    floor = padded()
    floor.go()
    async with floor.app.run_test(size=PHONE) as pilot:
        lie = pads(floor)
        await finger(floor, pilot, "NO REP why next")
        assert pads(floor) == lie
