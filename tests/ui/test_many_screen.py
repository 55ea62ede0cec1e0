"""A Floor of several lanes under its keys, and what it shows at each size."""

from __future__ import annotations

import threading
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import (
    Accept,
    ClassOver,
    Ignored,
    NameFault,
    NoRep,
    Rep,
    Stop,
    TakeBack,
    Withdraw,
)
from judgekit.core.lane import empty
from judgekit.core.looking import is_over
from judgekit.core.people import Emergency, Event
from judgekit.desk import Coming
from judgekit.files.folder import EventFolder
from judgekit.ui.app import FloorApp
from judgekit.ui.manykeys import CHOICE_MS
from judgekit.ui.openpanel import PANEL_MS
from judgekit.ui.screens.messages import Shared
from judgekit.ui.screens.scorecard import ScorecardScreen
from tests.support import for_time, movement, simple
from tests.ui.fake_desk import Floor, faint, rows, text, until
from tests.ui.many_desk import ClassFloor

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.pilot import Pilot

    from judgekit.core.entry import Body
    from judgekit.core.plan import Plan
    from judgekit.core.ruling import Ref
    from judgekit.desk import Desk

SIZE = (80, 24)
NORMAL = """\
 Quayside   heat 3  12 lanes                    cap 10:00   9:19 left      0:41
   1    20  Ines Varga  A 1/3  FRONT SQUAT           3/12
   2    21  Bo Lindt    A 1/3  FRONT SQUAT           4/12
   3    22  Zoé Marr    A 1/3  FRONT SQUAT           6/12  ✗2 last lock
 ▶ 4    23  Ana Ruiz    A 1/3  FRONT SQUAT           7/12  ✗ NO REP depth  ✗1
   5    24  Cy Ohm      A 1/3  TOES TO BAR           5/20
   6    25  Dag Holm    A 1/3  FRONT SQUAT           8/12
   7    26  Eva Brook   A 1/3  FRONT SQUAT           2/12
   8    27  Finn Askew  A 1/3  FRONT SQUAT           3/12
   9    28  Gil Noor    A 1/3  FRONT SQUAT           4/12
  ⇥1 10 29  Hana Weiss  A 1/3  FRONT SQUAT           5/12
  ⇥2 11 30  Ivo Tamm    A 1/3  FRONT SQUAT           6/12
  ⇥3 12 31  Jo Alder    A 1/3  FRONT SQUAT           7/12

 ▶ 4  23  Ana Ruiz   Women   FRONT SQUAT  47.5 kg              7/12   no-reps 1
 d  DEPTH  hip crease below the knee
 k  LOCK   knees and hips straight
 n no rep, why next   0 STOP
 next  toes to bar 20


 0:41.6  NO REP depth     0:41.4  rep 7     0:05.4  rep 6

 space good rep   backspace take back   tab, 1: lane 10   ? keys          saved
"""


@pytest.fixture(autouse=True)
def _exact(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key is handled in the very instant in which it was pressed."""
    monkeypatch.setattr("judgekit.ui.screens.heard.monotonic", lambda: 0.0)


def work(*reps: int, **changes: object) -> Plan:
    """Three rounds of squats and toes to bar, then a rest of a minute."""
    plan = for_time(**changes)
    squats = replace(
        movement("front-squat", *(reps or (12, 10, 8))),
        loads=("47.5 kg",),
        watch=("depth",),
    )
    part = replace(
        plan.parts[0], rounds=3, movements=(squats, movement("toes-to-bar", 20, 16))
    )
    return replace(plan, parts=(part, *plan.parts[1:]))


def judged(floor: ClassFloor, number: int) -> list[Body]:
    """What was judged in a lane, in order."""
    kinds = (Rep, NoRep, NameFault, TakeBack, Stop)
    return [e.body for e in floor.lane(number).entries if isinstance(e.body, kinds)]


def class_of(many: int = 12) -> ClassFloor:
    """A class at work for some time, with something of everything."""
    floor = ClassFloor(many=many, plan=work())
    floor.go()
    for number in range(1, many + 1):
        floor.act(number, *[Rep()] * (number % 7 + 2), after=300)
    floor.act(3, NoRep(faults=("depth",)), Rep(), NoRep(faults=("lock",)))
    floor.act(5, *[Rep()] * 10, after=1300)
    floor.clock.pass_(4000)
    return floor


async def test_every_lane_stands_in_a_row_and_the_chosen_one_in_full_below() -> None:
    floor = class_of()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "4", "space", "d")
        assert "\n".join(rows(floor.app)) == NORMAL.removesuffix("\n")


async def test_in_a_small_window_every_count_stands_still() -> None:
    floor = class_of()
    async with floor.app.run_test(size=(40, 12)) as pilot:
        await floor.tap(pilot, "4", "space")
        assert rows(floor.app) == [
            " Quayside   heat 3  12 lanes       0:41",
            "   1 Ines   3/12      7 Eva    2/12",
            "   2 Bo L.  4/12      8 Finn   3/12",
            "   3 Zoé    6/12 ✗2   9 Gil    4/12",
            " ▶ 4 Ana    7/12 ✓  ⇥10 Hana   5/12",
            "   5 Cy O.  5/20    ⇥11 Ivo    6/12",
            "   6 Dag    8/12    ⇥12 Jo A.  7/12",
            "",
            " ▶ 4  23  Ana Ruiz   FRONT SQUAT   7/12",
            " d DEPTH   k LOCK   n no rep, why next",
            " next  toes to bar 20",
            " space good rep   tab, 1: lane 10 saved",
        ]


async def test_a_large_window_has_two_lines_for_each_and_the_count_large() -> None:
    floor = class_of()
    async with floor.app.run_test(size=(120, 40)) as pilot:
        await floor.tap(pilot, "3", "space")
        shown = rows(floor.app)
        first = (
            " ▶ 3    22  Zoé Marr               A 1/3  FRONT SQUAT  47.5 kg"
            "              7/12  ✓ good"
        )
        second = (
            "        ■ ■ ■ ■ ■ ■ ■ □ □ □ □ □    next  toes to bar 20"
            "                           no-reps 2: depth 1, lock 1, last lock"
        )
        assert shown[5:7] == [first, second]
        assert shown[26].startswith(" ▶ 3  22  Zoé Marr   Women   FRONT SQUAT  47.5 kg")
        assert "of 12" in shown[28]


async def test_no_lane_is_chosen_at_first_and_an_act_asks_which() -> None:
    floor = class_of()
    before = floor.good()
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "Watched: d DEPTH   then the lane's digit" in text(floor.app)
        await floor.tap(pilot, "space")
        asked = "space   Which lane? Press its digit; escape drops it"
        assert (asked in text(floor.app), floor.good()) == (True, before)
        made = floor.desk.heat_ms()
        await floor.tap(pilot, "2", after=900)
        assert floor.lane(2).work.attempts[-1].at == made
        assert asked not in text(floor.app)
        before[1] += 1
        assert floor.good() == before


async def test_an_act_for_which_no_lane_came_is_kept_in_the_log() -> None:
    floor = class_of()
    before = floor.good()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "d", "escape")
        assert "d counted nothing: no lane was named." in text(floor.app)
        ignored = [e.body for e in floor.book.entries() if isinstance(e.body, Ignored)]
        assert [(b.key, b.why) for b in ignored] == [("d", "came without a lane")]
        assert floor.good() == before


async def test_the_panel_of_an_act_that_waited_stands_its_whole_time() -> None:
    floor = class_of()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "w")
        await floor.tap(pilot, "4", after=7000)
        for passed, stands in ((PANEL_MS - 1, True), (1, False)):
            floor.clock.pass_(passed)
            floor.screen._tick()
            await pilot.pause()
            assert (floor.screen._controls[4].panel is not None) == stands


async def test_the_choice_lapses_on_the_screen_too() -> None:
    floor = class_of()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "4")
        assert "▶ 4" in text(floor.app)
        floor.clock.pass_(8000)
        floor.screen._tick()
        await pilot.pause()
        assert "▶" not in text(floor.app)


async def test_without_colour_the_chosen_and_the_stopped_lane_are_told_by_signs() -> (
    None
):
    floor = class_of()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "7", "0", "escape", "2")
        shown = rows(floor.app)
        assert shown[1].startswith("   7    26  Eva Brook   A 1/3  FRONT SQUAT")
        assert shown[1].endswith("■ STOP 0:41")
        assert shown[3].startswith(" ▶ 2    21  Bo Lindt")
        assert faint(floor.app) == []


async def test_each_key_counts_in_its_lane_and_in_no_other() -> None:
    floor = ClassFloor(many=12, plan=work(200))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        for key in ("4", "space", "d", "5", "space", "space", "tab", "3", "k", "n"):
            await floor.tap(pilot, key, after=2100)
        await floor.tap(pilot, "d", "backspace")
        await floor.tap(pilot, "1")
        assert judged(floor, 4) == [Rep(), NoRep(faults=("depth",))]
        assert judged(floor, 5) == [Rep(), Rep()]
        lane = [type(body) for body in judged(floor, 12)]
        assert lane == [NoRep, NoRep, NameFault, TakeBack]
        assert [n for n in range(1, 13) if judged(floor, n)] == [4, 5, 12]


async def test_the_same_key_for_another_lane_is_no_held_key() -> None:
    floor = ClassFloor(many=3, plan=work(200))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, *"123", after=200)
        await floor.tap(pilot, "1", "space", "2", "space", "3", "space", after=30)
        assert floor.good() == [1, 1, 1]
        await floor.tap(pilot, "space", "space", after=40)
        assert floor.good() == [1, 1, 1]
        assert "space is held: repeats do not count." in text(floor.app)


async def test_a_digit_is_never_a_fault_whatever_is_open() -> None:
    floor = ClassFloor(many=3, plan=work(200))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "?")
        assert "choose a lane; page" in text(floor.app)
        await floor.tap(pilot, "1")
        assert "KEYS" not in text(floor.app)
        await floor.tap(pilot, "space", "l", "9", "escape", "3", "w", "8", "escape")
        assert floor.good() == [1, 0, 0]
        assert [judged(floor, n) for n in (1, 2, 3)] == [[Rep()], [], []]


async def test_a_panel_is_about_its_lane_and_says_so() -> None:
    floor = class_of()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "4", "w")
        shown = rows(floor.app)
        assert shown[1].endswith("▶ 4  23  Ana Ruiz")
        assert [line[49:].rstrip() for line in shown[2:5]] == [
            "MORE",
            "1  that was close",
            "2  correct the count",
        ]
        await floor.tap(pilot, "2", "8", "enter")
        assert floor.good()[3] == 8
        # Correcting is done; the next digit is a lane again.
        await floor.tap(pilot, "6", "space")
        assert (floor.good()[3], floor.good()[5]) == (8, 9)


async def test_q_then_another_key_then_y_closes_nothing() -> None:
    floor = class_of()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "q")
        assert "Close this desk?" in text(floor.app)
        await floor.tap(pilot, "4", "y")
        assert floor.app._ending is None
        await floor.tap(pilot, "q", "y")
        assert floor.app._ending is not None


async def test_go_is_for_all_lanes_and_a_late_starter_has_an_own_clock() -> None:
    floor = ClassFloor(many=3, plan=work(200))
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space")
        assert "space: adds one to the count" in text(floor.app)
        await floor.tap(pilot, "g", "y")
        await floor.tap(pilot, "escape", after=4000)
        assert [row[58:].strip() for row in rows(floor.app)[1:4]] == ["» GO in 6"] * 3
        floor.clock.pass_(36_000)
        await floor.tap(pilot, "3", "w", "7", "1")
        assert floor.lane(3).offset_ms == 30_800
        await floor.tap(pilot, "1", "space", "3", "space", after=6000)
        shown = rows(floor.app)
        assert shown[3].endswith("✓ good  own 0:24")
        # The clock above is the heat's, whichever lane is chosen.
        assert shown[0].endswith("cap 10:00   9:06 left      0:54")
        assert [floor.lane(n).work.attempts[-1].at for n in (1, 3)] == [42_800, 24_000]


async def test_an_own_rest_runs_down_to_go() -> None:
    plan = for_time()
    part = replace(plan.parts[0], rounds=1, movements=(movement("front-squat", 2),))
    plan = replace(plan, parts=(part, *plan.parts[1:]))
    floor = ClassFloor(many=3, plan=plan)
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        floor.act(1, Rep(), Rep(), after=5000)
        floor.act(2, Rep(), Rep(), after=10_000)
        await pilot.pause()
        assert [row[58:].strip() for row in rows(floor.app)[1:3]] == [
            "… REST 0:40",
            "… REST 1:00",
        ]
        goes = "Next: lane 1 in 0:40, row 4 cal; lane 2 in 1:00, row 4 cal"
        assert goes in text(floor.app)
        seen = []
        for wait in (37_200, 2000, 2000, 4000):
            floor.clock.pass_(wait)
            floor.screen._tick()
            await pilot.pause()
            seen.append(rows(floor.app)[1][58:].strip())
        assert seen == ["» GO in 3", "» GO in 1", "» GO", ""]
        assert rows(floor.app)[1][30:58].split() == ["ROW", "0/4", "cal"]


async def test_a_lane_that_is_over_opens_its_own_scorecard() -> None:
    floor = ClassFloor(many=3, plan=simple(reps=2))
    floor.go()
    floor.act(2, Rep(), Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2")
        assert "✓ DONE 0:04" in text(floor.app)
        await floor.tap(pilot, "g")
        await until(pilot, lambda: isinstance(floor.app.screen, ScorecardScreen))
        await pilot.pause()
        assert "Bo Lindt" in text(floor.app)
        assert "Ines Varga" not in text(floor.app)


async def test_enter_on_a_lane_that_is_over_opens_nothing_over_the_others() -> None:
    floor = ClassFloor(many=3, plan=simple(reps=2))
    floor.go()
    floor.act(2, Rep(), Rep())
    floor.act(3, Withdraw(why="shoulder"))
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "enter")
        assert "Bo Lindt is done; g opens the scorecard." in text(floor.app)
        # Without a choice the digit comes after the key.
        await floor.tap(pilot, "escape", "enter", "3")
        assert "Zoé Marr withdrew; g opens the scorecard." in text(floor.app)
        await floor.tap(pilot, "1", "space")
        assert (floor.app.screen, floor.good()) == (floor.screen, [1, 2, 0])
        await floor.tap(pilot, "3", "g")
        await until(pilot, lambda: isinstance(floor.app.screen, ScorecardScreen))


@pytest.mark.parametrize("size", [(40, 12), SIZE, (120, 40)])
async def test_the_count_of_work_that_is_over_is_never_cut(
    size: tuple[int, int],
) -> None:
    floor = ClassFloor(many=12, plan=simple(reps=198))
    floor.go()
    floor.act(2, Rep(n=198))
    async with floor.app.run_test(size=size) as pilot:
        await pilot.pause()
        row = next(row for row in rows(floor.app) if "Bo" in row)
        assert ("198" in row, "…" in row.partition("198")[2][:6]) == (True, False)
        assert "✓" in row


async def test_stop_without_a_lane_freezes_every_lane_and_asks_whose() -> None:
    floor = class_of()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "0")
        made = floor.desk.heat_ms()
        assert all(floor.lane(n).holds for n in floor.desk.lanes)
        asked = "STOP, all frozen. Whose? Press a digit"
        assert asked in text(floor.app)
        await floor.tap(pilot, "6", after=20_000)
        lane = floor.lane(6)
        stops = [hold.at for hold in lane.holds if hold.kind == "stop"]
        assert stops == [made]
        assert [n for n in floor.desk.lanes if floor.lane(n).stopped] == [6]
        assert all(floor.lane(n).holds for n in floor.desk.lanes)
        assert asked not in text(floor.app)


# --- STOP -----------------------------------------------------------------------------

EMERGENCY = Emergency(
    call="112",
    say="Boat shed, Quay 4, gate on the water side",
    defibrillator="left of the door",
    first_aid="Kim Brandt",
)
BOX = """\
   ████ ██████   ██   ████                              ██████    ██  ██   ██
 ██       ██   ██  ██ ██  ██                            ██  ██ ██ ██  ██ ████
   ██     ██   ██  ██ ████                              ██  ██    ██████   ██
     ██   ██   ██  ██ ██                                ██  ██ ██     ██   ██
 ████     ██     ██   ██                                ██████        ██ ██████

 lane 7   26  Eva Brook                                              clock 0:41
 Front squat frozen at 2 of 12

 CALL           112
 SAY            Boat shed, Quay 4, gate on the water side
 DEFIBRILLATOR  left of the door
 FIRST AID      Kim Brandt

 Which sign?
 1  Sharp pain







 escape back   f freeze all   g by mistake   w let go on                  saved"""


async def test_the_box_of_a_frozen_lane_says_how_work_goes_on() -> None:
    floor = with_box()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "0", "7")
        assert "f work goes on" in rows(floor.app)[-1]
        await floor.tap(pilot, "f", "2")
        assert "f freeze all" in rows(floor.app)[-1]


def with_box(many: int = 12) -> ClassFloor:
    floor = class_of(many)
    event = Event(name="E", date="2027-05-08", divisions=(), emergency=EMERGENCY)
    floor.app.behind.folder = EventFolder(
        folder=Path(), event=event, athletes=(), heats=(), workouts={}, cards={}
    )
    return floor


async def test_after_stop_the_emergency_box_fills_the_screen() -> None:
    floor = with_box()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "7", "0")
        assert "\n".join(rows(floor.app)) == BOX
        assert faint(floor.app) == []
        await floor.tap(pilot, "space")
        assert "Front squat frozen at 2 of 12, 1 held" in text(floor.app)
        await floor.tap(pilot, "1")
        shown = text(floor.app)
        assert ("Sign: Sharp pain" in shown, "Which sign?" in shown) == (True, False)
        lane = floor.lane(7)
        assert [stop.body for stop in lane.stops] == [Stop(sign="Sharp pain")]
        assert [hold.at for hold in lane.holds] == [41_400]
        await floor.tap(pilot, "escape")
        assert rows(floor.app)[1].endswith("■ STOP 0:41, 1 held")


@pytest.mark.parametrize("size", [(40, 12), (30, 8), (20, 5), (120, 40)])
async def test_the_box_says_whom_to_call_at_every_size(size: tuple[int, int]) -> None:
    floor = with_box()
    async with floor.app.run_test(size=size) as pilot:
        await floor.tap(pilot, "7", "0")
        shown = rows(floor.app)
        assert any("CALL" in row and row.endswith("112") for row in shown)
        assert len(shown) == size[1]


async def test_the_box_stays_until_the_coach_turns_away_or_it_was_a_mistake() -> None:
    floor = with_box()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "7", "0")
        floor.clock.pass_(60_000)
        floor.screen._tick()
        await pilot.pause()
        assert "FIRST AID" in text(floor.app)
        # One key freezes every lane, and the box and its signs stay.
        await floor.tap(pilot, "f")
        assert all(floor.lane(n).holds for n in floor.desk.lanes)
        assert all(w in text(floor.app) for w in ("FIRST AID", "Which sign?"))
        await floor.tap(pilot, "g")
        assert "FIRST AID" not in text(floor.app)
        assert not floor.lane(7).stopped


async def test_a_stop_that_waited_for_its_lane_opens_the_box_of_that_lane() -> None:
    floor = with_box()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "0", "3")
        assert "lane 3   22  Zoé Marr" in text(floor.app)
        await floor.tap(pilot, "escape", "3", "w", "1")
        assert not floor.lane(3).stopped
        # The others stay frozen until the coach lets them go on.
        assert len(floor.lane(4).holds) == 1


async def test_a_press_that_waits_for_its_lane_is_older_than_the_stop_after_it() -> (
    None
):
    floor = class_of(12)
    before = floor.good()[1]
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "0", "2", after=1500)
        assert (floor.good()[1], floor.lane(2).held) == (before + 1, 0)
        assert floor.lane(2).stopped


@pytest.mark.parametrize(
    ("many", "says"),
    [(2, "? 10 so soon? y takes off all 10"), (12, "? y takes off 10")],
)
async def test_a_row_says_how_many_reps_of_one_press_yes_takes_off(
    many: int, says: str
) -> None:
    floor = ClassFloor(many=many, plan=simple(30))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "1", "space", "+", "enter", after=1000)
        assert says in text(floor.app)
        assert floor.good()[0] == 11
        await floor.tap(pilot, "y")
        assert floor.good()[0] == 1
        assert says not in text(floor.app)


async def test_yes_takes_off_the_press_of_the_lane_that_asks() -> None:
    floor = ClassFloor(many=2, plan=simple(30))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, ",", after=4000)
        await floor.tap(pilot, "z", after=2000)
        await floor.tap(pilot, "z", after=300)
        assert "? one too many: y" in text(floor.app)
        await floor.tap(pilot, ",", after=1500)
        assert floor.good() == [2, 2]
        await floor.tap(pilot, "y", after=500)
        assert floor.good() == [1, 2]


async def test_of_two_questions_yes_answers_the_newest_first() -> None:
    floor = ClassFloor(many=2, plan=simple(30))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "z", after=5000)
        await floor.tap(pilot, ",", "z", ",", after=200)
        # The key stands in the row that it answers.
        asking = [row for row in rows(floor.app) if "? one too many" in row]
        assert asking[0].count("? one too many") == 2
        assert [part.count(": y") for part in asking[0].split("│")] == [0, 1]
        await floor.tap(pilot, "y", after=400)
        assert floor.good() == [2, 1]
        await floor.tap(pilot, "y", after=400)
        assert floor.good() == [1, 1]


async def test_one_then_zero_stops_lane_one_and_says_how_lane_ten_is_chosen() -> None:
    floor = class_of()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "1", "0")
        assert [n for n in floor.desk.lanes if floor.lane(n).stopped] == [1]
        assert "Lane 1 is STOPPED. Meant lane 10? g, then tab, 1" in text(floor.app)
        await floor.tap(pilot, "g", "tab", "1", "0")
        assert [n for n in floor.desk.lanes if floor.lane(n).stopped] == [10]
        assert "Meant lane 10?" not in text(floor.app)


@pytest.mark.parametrize(("many", "after"), [(9, 200), (12, 4000)])
async def test_a_stop_that_can_be_meant_for_no_other_lane_names_none(
    many: int, after: int
) -> None:
    floor = class_of(many)
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "1")
        await floor.tap(pilot, "0", after=after)
        assert floor.lane(1).stopped
        assert "Meant lane" not in text(floor.app)


async def test_a_number_typed_without_a_lane_is_asked_whose_it_is() -> None:
    floor = class_of(4)
    async with floor.app.run_test(size=SIZE) as pilot:
        before = floor.good()
        await floor.tap(pilot, "+", "3")
        assert "+3   How many? enter, then its lane" in text(floor.app)
        await floor.tap(pilot, "enter")
        assert "+3   Which lane? Press its digit" in text(floor.app)
        assert floor.good() == before
        await floor.tap(pilot, "2")
        assert floor.good() == [before[0], before[1] + 3, *before[2:]]
        assert floor.screen._controls[2].panel is None


async def test_after_a_stop_by_mistake_a_digit_chooses_a_lane_again() -> None:
    floor = with_box()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "1", "0", "g")
        assert "Which sign?" not in text(floor.app)
        await floor.tap(pilot, "3", "space")
        assert floor.good()[2] == 7
        assert (floor.lane(1).stopped, len(floor.lane(1).stops)) == (False, 1)
        # The choice goes by itself, as no panel keeps it.
        floor.clock.pass_(CHOICE_MS)
        floor.screen._expire()
        assert floor.screen._keys.chosen is None


# --- many at once, sets as reported, looks --------------------------------------------


async def test_plus_and_enter_are_ten_reps_at_once_or_as_many_as_are_typed() -> None:
    floor = ClassFloor(many=3, plan=work(50))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "+", "enter", after=6000)
        assert floor.good() == [0, 10, 0]
        await floor.tap(pilot, "2", "+", "2", "5", "enter", after=6000)
        assert [e.body for e in floor.lane(2).entries[-2:]] == [Rep(n=10), Rep(n=25)]
        assert floor.good() == [0, 35, 0]
        await floor.tap(pilot, "2", "+", "4", "0", "enter")
        assert "Lane 2: Front squat: 15 left in this set, not 40." in text(floor.app)


async def test_where_sets_are_reported_enter_says_that_the_set_is_done() -> None:
    floor = ClassFloor(many=3, plan=work(watching="reported"))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "enter", after=7500)
        await floor.tap(pilot, "3", "+", "7", "enter", after=2000)
        assert floor.good() == [0, 12, 7]
        shown = rows(floor.app)
        assert shown[2][30:58].split() == ["TOES", "TO", "BAR", "0/20"]
        assert shown[3][30:58].split() == ["FRONT", "SQUAT", "7/12"]
        assert "enter set done   + how many   * look" in shown[-1]
        await floor.tap(pilot, "space")
        assert "No look is on: * begins one." in text(floor.app)
        assert floor.good() == [0, 12, 7]


async def test_a_floor_of_reported_sets_speaks_of_them_and_of_no_monitor() -> None:
    floor = ClassFloor(many=3, plan=work(watching="reported"))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert rows(floor.app)[-1].startswith(" digit, then enter: set done   0 STOP")
        await floor.tap(pilot, "?")
        assert "enter +   set done; how many" in text(floor.app)
        assert "space     seen good, in a look" in text(floor.app)
        await floor.tap(pilot, "?", "f", "2", "enter", after=3000)
        assert "Front squat: how many of 12" in text(floor.app)
        await floor.tap(pilot, "3", "enter")
        told = "Lane 2: Front squat, part A round 1: 3 by the freeze."
        assert told in text(floor.app)
        assert floor.good() == [0, 3, 0]


async def test_what_is_seen_in_a_look_counts_nothing_and_stands_in_its_row() -> None:
    floor = ClassFloor(many=3, plan=work(watching="reported"))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "*", "space", "space", "d", after=3000)
        assert rows(floor.app)[2].endswith("○ LOOK 3 seen  ✗1")
        assert "0/12   no-reps 1" in text(floor.app)
        await floor.tap(pilot, "*")
        assert "enter 3" in text(floor.app)
        await floor.tap(pilot, "5", "enter")
        [look] = floor.lane(2).work.looks
        assert (look.seen, len(look.presses), floor.good()) == (5, 3, [0, 0, 0])
        assert "LOOK" not in rows(floor.app)[2]


async def test_a_look_in_a_judged_lane_is_refused_with_words() -> None:
    floor = class_of(3)
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "*")
        assert "Lane 2: Every rep is judged in this lane" in text(floor.app)


# --- two lanes ------------------------------------------------------------------------

TWO = """\
 Quayside   heat 3  2 lanes                     cap 10:00   9:48 left      0:12
   1  20  Ines Varga   Women           │    2  21  Bo Lindt   Women
 FRONT SQUAT  47.5 kg            A 1/3 │  FRONT SQUAT  47.5 kg            A 1/3
 ████████████  ████████████            │  ████████████  ████████████
 ████████████  ████████████            │  ████████████  ████████████
 ████    ████          ████            │  ████    ████          ████
 ████    ████          ████            │  ████    ████          ████
 ████    ████  ████████████            │  ████    ████      ████████
 ████    ████  ████████████            │  ████    ████      ████████
 ████    ████  ████                    │  ████    ████          ████
 ████    ████  ████                    │  ████    ████          ████
 ████████████  ████████████            │  ████████████  ████████████
 ████████████  ████████████            │  ████████████  ████████████
 of 12                                 │  of 12
 ✗ NO REP depth  no-reps 1: depth 1    │  ✓ good
 ■ ■ □ □ □ □ □ □ □ □ □ □               │  ■ ■ ■ □ □ □ □ □ □ □ □ □
 next  toes to bar 20                  │  next  toes to bar 20
 z good   x no rep                     │  , good   . no rep
 d DEPTH   k LOCK   n why next         │  d DEPTH   k LOCK   n why next
 0 STOP                                │  0 STOP



 backspace take back right   a digit chooses   0 STOP   ? keys            saved"""
TWO_SMALL = """\
 Quayside   heat 3  2 lanes        0:12
   1  20  Ines Va… │    2  21  Bo Lindt
 FRONT SQUAT A 1/3 │  FRONT SQUAT A 1/3
 ██████ ██████     │  ██████ ██████
 ██  ██     ██     │  ██  ██     ██
 ██  ██ ██████     │  ██  ██   ████
 ██  ██ ██         │  ██  ██     ██
 ██████ ██████     │  ██████ ██████
 of 12             │  of 12
 ✗ NO REP depth    │  ✓ good
 z good   x no rep │  , good   . no rep
 backspace take back right        saved"""


@pytest.mark.parametrize(("size", "shown"), [(SIZE, TWO), ((40, 12), TWO_SMALL)])
async def test_two_lanes_stand_side_by_side_and_need_no_choosing(
    size: tuple[int, int], shown: str
) -> None:
    floor = ClassFloor(many=2, plan=work())
    floor.go()
    floor.act(1, Rep(), Rep())
    floor.act(2, Rep(), Rep())
    async with floor.app.run_test(size=size) as pilot:
        await floor.tap(pilot, "x", after=2200)
        await floor.tap(pilot, "d", after=900)
        await floor.tap(pilot, ",", after=900)
        # The no-rep's second is over: its lane is not turned over any more.
        floor.screen._lane_timers._flashing.clear()
        floor.screen.show_soon()
        await pilot.pause()
        assert "\n".join(rows(floor.app)) == shown
        assert judged(floor, 1)[2:] == [
            NoRep(),
            NameFault(target=ref(floor), fault="depth"),
        ]
        assert faint(floor.app) == []


def ref(floor: ClassFloor) -> Ref:
    """The no-rep of the first lane."""
    return next(e.ref for e in floor.lane(1).entries if isinstance(e.body, NoRep))


async def test_of_two_lanes_the_left_one_stays_left_whoever_is_stopped() -> None:
    floor = ClassFloor(many=2, plan=work())
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "0", "escape")
        shown = rows(floor.app)
        assert (shown[1].index("Ines"), shown[1].index("Bo")) == (10, 51)
        await floor.tap(pilot, "z", ",", after=2200)
        assert (floor.good(), floor.lane(2).held) == ([1, 0], 1)
        assert "■ STOP 0:00, 1 held" in text(floor.app)


async def test_what_lanes_share_is_said_while_none_is_chosen() -> None:
    floor = class_of(3)
    async with floor.app.run_test(size=SIZE) as pilot:
        floor.screen.post_message(Shared("Shared by 3 lanes: 1 x rowing machine"))
        await pilot.pause()
        assert "Shared by 3 lanes: 1 x rowing machine" in text(floor.app)
        await floor.tap(pilot, "2")
        assert "Shared by" not in text(floor.app)


async def test_stop_without_a_lane_freezes_the_others_too_while_one_is_stopped() -> (
    None
):
    floor = class_of(3)
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "1", "0", "escape")
        await floor.tap(pilot, "0", after=9000)
        kinds = [{hold.kind for hold in floor.lane(n).holds} for n in (1, 2, 3)]
        assert kinds == [{"stop", "freeze"}, {"freeze"}, {"freeze"}]


async def test_who_leaves_early_is_told_so_in_the_row_and_the_others_go_on() -> None:
    floor = class_of(3)
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "w", "3", "2", "3", "space")
        shown = rows(floor.app)
        assert shown[2][58:].strip() == "- withdrew 0:27"
        assert shown[3][50:58].strip() == "7/12"


async def test_who_withdraws_after_a_stop_is_told_so_in_the_row() -> None:
    floor = class_of(3)
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "0", "escape", "space", "w")
        assert "■ STOP" in rows(floor.app)[1]
        await floor.tap(pilot, "4", "1")
        row = next(row for row in rows(floor.app) if "Bo Lindt" in row)
        assert ("STOP" in row, "- withdrew 0:28" in row) == (False, True)


async def test_who_is_done_stays_done_while_all_are_frozen() -> None:
    floor = ClassFloor(many=3, plan=simple(reps=2))
    floor.go()
    floor.act(2, Rep(), Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "f", after=5000)
        states = [row[58:].strip() for row in rows(floor.app)[1:4]]
        assert states == ["■ FROZEN, 0 held", "✓ DONE 0:04", "■ FROZEN, 0 held"]


@pytest.mark.parametrize("lanes", [2, 3])
async def test_keys_pressed_while_the_log_is_read_go_to_their_lanes(lanes: int) -> None:
    floor = ClassFloor(many=lanes, plan=work(50))
    floor.go()
    go_on = threading.Event()

    def opened(_tell: Callable[[int], None]) -> tuple[Desk, None]:
        go_on.wait()
        return floor.desk, None

    planned = {number: empty(floor.lane(number).plan) for number in floor.desk.lanes}
    coming = Coming(opened, planned=planned, clock=floor.clock)
    app = FloorApp(coming)
    try:
        async with app.run_test(size=SIZE) as pilot:
            await pilot.pause()
            assert "Reading the log, 0 %. Keys are kept" in text(app)
            for key in ("2", "space", "d", "1", "space"):
                floor.clock.pass_(300)
                await pilot.press(key)
            go_on.set()
            await until(pilot, lambda: floor.good()[:2] == [1, 1])
            assert judged(floor, 2) == [Rep(), NoRep(faults=("depth",))]
    finally:
        go_on.set()
        coming.handed_over()
        coming.close()


async def test_a_panel_in_a_small_window_keeps_its_lane_and_says_what_it_hides() -> (
    None
):
    floor = class_of()
    async with floor.app.run_test(size=(40, 12)) as pilot:
        await floor.tap(pilot, "4", "w")
        shown = rows(floor.app)
        assert shown[1:4] == [
            " ▶ 4 23  Ana Ruiz   6/12    … 11 hidden",
            " MORE",
            " 1  that was close",
        ]
        assert shown[9] == " 7  late start, clock"


@pytest.mark.parametrize("size", [(30, 8), (20, 5), (10, 3), (5, 1), (1, 1), (39, 12)])
async def test_too_small_a_window_counts_on_and_shows_what_has_room(
    size: tuple[int, int],
) -> None:
    floor = class_of()
    async with floor.app.run_test(size=size) as pilot:
        await floor.tap(pilot, "4", "space")
        shown = rows(floor.app)
        assert (len(shown), floor.good()[3]) == (size[1], 7)
        assert "▶4:7/12"[: size[0] - 1] in "".join(shown)
        await floor.tap(pilot, "w")
        if size[1] > 3:
            assert "MORE:" in text(floor.app)


async def test_go_stands_when_the_own_rest_ends_and_not_with_the_next_second(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    plan = for_time()
    part = replace(plan.parts[0], rounds=1, movements=(movement("front-squat", 2),))
    floor = ClassFloor(many=3, plan=replace(plan, parts=(part, *plan.parts[1:])))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        floor.act(2, Rep(), after=5400)
        await pilot.pause()
        looks: list[tuple[float, Callable[[], None]]] = []
        with monkeypatch.context() as patched:
            patched.setattr(
                floor.screen, "set_timer", lambda wait, look: looks.append((wait, look))
            )
            floor.act(2, Rep(), after=5400)
            await pilot.pause()
        waits = [wait for wait, _ in looks if wait > 10]
        assert waits == [60.005, 59.005, 58.005, 57.005]
        # Half a second before the clock's own next one.
        floor.clock.pass_(60_005)
        looks[[wait for wait, _ in looks].index(60.005)][1]()
        await pilot.pause()
        assert rows(floor.app)[2][58:].strip() == "» GO"


async def test_a_class_without_a_cap_is_over_by_one_list_and_a_second_key() -> None:
    floor = ClassFloor(many=3, plan=work(cap_ms=0))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "space", after=2000)
        await floor.tap(pilot, "w", "w", "1")
        assert "TIME for all lanes?" in text(floor.app)
        assert not any(is_over(floor.lane(number)) for number in (1, 2, 3))
        await floor.tap(pilot, "1")
        assert not any(is_over(floor.lane(number)) for number in (1, 2, 3))
        await floor.tap(pilot, "w", "w", "1", "y")
        assert all(is_over(floor.lane(number)) for number in (1, 2, 3))
        times = [e for e in floor.book.entries() if isinstance(e.body, ClassOver)]
        assert [entry.lane for entry in times] == [None]
        assert text(floor.app).count("■ TIME") == 3
        assert "class over" in rows(floor.app)[0]
        assert "left" not in rows(floor.app)[0]
        await floor.tap(pilot, "escape")
        assert "▶" not in text(floor.app)
        assert "Watched" not in text(floor.app)
        await floor.tap(pilot, "2", "space", "g", after=2000)
        await until(pilot, lambda: isinstance(floor.app.screen, ScorecardScreen))
        assert floor.good() == [0, 1, 0]


async def close_lane_1(floor: ClassFloor, pilot: Pilot[None]) -> None:
    """Both accept its scorecard."""
    for who in ("athlete", "judge"):
        floor.desk.submit(1, Accept(who=who, signed=True), boot_ms=floor.clock.boot_now)
    await until(pilot, lambda: floor.lane(1).closed)


async def test_stop_is_never_lost_on_a_chosen_lane_that_is_closed() -> None:
    floor = ClassFloor(many=3, plan=simple(1))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "1", "space", after=2000)
        await close_lane_1(floor, pilot)
        await floor.tap(pilot, "0")
        assert "■ FROZEN" in rows(floor.app)[2]
        assert "Whose" in text(floor.app)
        await floor.tap(pilot, "3")
        assert "Sharp pain" in text(floor.app)
        assert [hold.kind for hold in floor.lane(3).holds] == ["freeze", "stop"]


async def test_all_lanes_are_frozen_also_while_a_closed_one_is_chosen() -> None:
    floor = ClassFloor(many=3, plan=simple(1))

    def held() -> list[list[str]]:
        return [[hold.kind for hold in floor.lane(n).holds] for n in (2, 3)]

    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "1", "space", after=2000)
        await close_lane_1(floor, pilot)
        await floor.tap(pilot, "f", "y")
        assert held() == [["freeze"], ["freeze"]]


async def test_class_over_stands_on_top_also_where_the_first_lane_was_done() -> None:
    floor = ClassFloor(many=3, plan=simple(1, cap_ms=600_000))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "1", "space", after=2000)
        await close_lane_1(floor, pilot)
        assert "left" in rows(floor.app)[0]
        await floor.tap(pilot, "w", "w", "1", "y", after=2000)
        assert is_over(floor.lane(3))
        assert "class over" in rows(floor.app)[0]
        assert "left" not in rows(floor.app)[0]


@pytest.mark.parametrize("when", ["before go", "in the countdown"])
async def test_no_class_is_over_before_its_clock_runs(when: str) -> None:
    floor = ClassFloor(many=3)
    if when == "in the countdown":
        floor.desk.call_go(boot_ms=floor.clock.boot_now)
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "w", "w")
        assert "ALL LANES" in text(floor.app)
        assert "class over" not in text(floor.app)


async def test_who_was_stopped_on_an_earlier_day_is_told_before_work_counts() -> None:
    floor = ClassFloor(many=3, folder=nobody(), plan=work())
    told = threading.Event()

    def stopped() -> dict[str, int]:
        told.wait()
        return {"20": 1, "21": 3}

    floor.app.behind.stopped = stopped
    async with floor.app.run_test(size=SIZE) as pilot:
        # The Floor stands, and keys are taken, before anybody knows.
        await floor.tap(pilot, "2")
        assert "▶ 2" in text(floor.app)
        told.set()
        await until(pilot, lambda: "! stopped 3 days ago" in text(floor.app))
        assert rows(floor.app)[1].endswith("! stopped yesterday")
        assert "Stopped 3 days ago: ask first." in text(floor.app)
        floor.go()
        await floor.tap(pilot, "2", "space", after=3000)
        assert "! stopped 3 days ago" not in text(floor.app)
        assert rows(floor.app)[1].endswith("! stopped yesterday")


async def test_one_lanes_floor_says_it_too_before_go() -> None:
    floor = Floor(simple(20), folder=nobody())
    floor.app.behind.stopped = lambda: {floor.lane.plan.bib: 3}
    async with floor.app.run_test(size=SIZE) as pilot:
        says = "Stopped 3 days ago: ask first."
        await until(pilot, lambda: says in text(floor.app))


def nobody() -> EventFolder:
    """An event of which only the name is known."""
    event = Event(name="E", date="2027-05-08", divisions=())
    return EventFolder(
        folder=Path("e"), event=event, athletes=(), heats=(), workouts={}, cards={}
    )


# --- scorecards and those who still work ----------------------------------------------


async def test_after_class_over_g_on_a_stopped_lane_opens_its_scorecard() -> None:
    floor = ClassFloor(many=3, plan=work(cap_ms=0))
    floor.go()
    floor.act(2, Rep(), Stop(), Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "w", "w", "1", "y", "2", "g")
        await until(pilot, lambda: isinstance(floor.app.screen, ScorecardScreen))
        await pilot.pause()
        assert floor.lane(2).stopped
        # It can still be said, by two keys.
        await floor.tap(pilot, "g")
        assert "STOP a mistake? y: 1 held count" in text(floor.app)
        assert floor.lane(2).stopped
        await floor.tap(pilot, "y")
        assert (floor.lane(2).stopped, floor.lane(2).work.good) == (False, 2)
        assert isinstance(floor.app.screen, ScorecardScreen)


async def card_in_mid_class(floor: ClassFloor, pilot: Pilot[None]) -> None:
    """The scorecard of lane 2, stopped, while 1 and 3 work."""
    await floor.tap(pilot, "2", "0", "w", "5")
    await until(pilot, lambda: isinstance(floor.app.screen, ScorecardScreen))
    await pilot.pause()


@pytest.mark.parametrize(("key", "stopped"), [("0", [3]), ("f", [])])
async def test_stop_and_freeze_work_on_a_scorecard_while_others_work(
    key: str, stopped: list[int]
) -> None:
    floor = ClassFloor(many=3, plan=work())
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await card_in_mid_class(floor, pilot)
        assert "0 STOP, all lanes" in text(floor.app)
        await floor.tap(pilot, key)
        await until(pilot, lambda: not isinstance(floor.app.screen, ScorecardScreen))
        await pilot.pause()
        assert all(floor.lane(number).holds for number in (1, 3))
        await floor.tap(pilot, "3")
        assert [n for n in (1, 3) if floor.lane(n).stopped] == stopped


async def test_a_digit_alone_signs_no_scorecard_while_others_work() -> None:
    floor = ClassFloor(many=3, plan=work())
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await card_in_mid_class(floor, pilot)
        await floor.tap(pilot, "1")
        assert not floor.lane(2).signatures
        assert "athlete accepts? y signs" in text(floor.app)
        await floor.tap(pilot, "y")
        assert [(s.who, s.signed) for s in floor.lane(2).signatures] == [
            ("athlete", True)
        ]
        await floor.tap(pilot, "d")
        assert "Others are at work" in text(floor.app)
        await floor.tap(pilot, "escape")
        assert floor.app.screen is floor.screen


async def test_who_was_stopped_by_mistake_works_again_on_the_floor() -> None:
    floor = ClassFloor(many=3, plan=work())
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await card_in_mid_class(floor, pilot)
        await floor.tap(pilot, "g", "y")
        assert not floor.lane(2).stopped
        assert floor.app.screen is floor.screen


async def test_a_dead_key_is_kept_for_the_lane_that_was_chosen() -> None:
    floor = ClassFloor(many=3, plan=work())
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "j", after=2000)
        kept = [
            (entry.lane, entry.body.key)
            for entry in floor.book.entries()
            if isinstance(entry.body, Ignored)
        ]
        assert kept == [(2, "j")]


async def test_a_set_reported_before_it_can_be_done_is_asked_about() -> None:
    floor = ClassFloor(many=3, plan=work(watching="reported"))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "enter", after=900)
        assert "12 so soon? enter, or how many" in text(floor.app)
        assert floor.good() == [0, 0, 0]
        await floor.tap(pilot, "enter", after=900)
        assert floor.good() == [0, 12, 0]


async def test_a_number_being_typed_says_how_stop_is_reached() -> None:
    floor = ClassFloor(many=3, plan=work())
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "2", "+", after=2000)
        assert "escape, then 0: STOP" not in text(floor.app)
        await floor.tap(pilot, "2")
        assert "escape, then 0: STOP" in text(floor.app)
        await floor.tap(pilot, "escape", "0")
        assert [floor.lane(n).stopped for n in (1, 2, 3)] == [False, True, False]
