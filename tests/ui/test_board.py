"""The board: what the hall sees at each moment, and how large at each size."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Absent, Freeze, Rep, Stop
from judgekit.core.plan import PlanTeam
from judgekit.ui.screens.board import BoardScreen
from judgekit.ui.views.board import (
    NOTHING,
    BoardComing,
    BoardHeat,
    BoardLane,
    BoardView,
    board_view,
)
from judgekit.ui.views.heats import STAYS_MS, late_words, schedule
from judgekit.ui.watch_app import WatchApp
from judgekit.ui.widgets.boardlaying import board_rows
from judgekit.ui.widgets.row import written
from tests.desk.fakes import FakeClock
from tests.support import ZERO_WALL, Played, for_time, simple
from tests.ui.fake_desk import faint, rows, until
from tests.ui.heats_seen import at, heat

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from judgekit.core.plan import Plan
    from judgekit.desk.onlooker import HeatSeen
    from judgekit.ui.widgets.row import Row

MINUTE = 60_000
UTC = "UTC"


def plan(lane: int, name: str, reps: int = 10, **changes: object) -> Plan:
    return simple(reps, lane=lane, bib=str(20 + lane), name=name, **changes)


def busy() -> HeatSeen:
    """Five lanes of which each stands otherwise."""
    ana, bo, cy, dora, eve = (
        Played(plan(1, "Ana Roth")).go(),
        Played(plan(2, "Bo Lindt", 2)).go(),
        Played(plan(3, "Cy Umar", show="initials")).go(),
        Played(plan(4, "Dora Ek", show="number")).go(),
        Played(plan(5, "Eve Oster")),
    )
    ana.each(Rep(), 4, 8)
    bo.each(Rep(), 4, 9)
    cy.each(Rep(), 5)
    cy.press(6, Stop(sign="grey face"))
    dora.press(7, Freeze(why="the bar"))
    eve.put(Absent(), None)
    return heat("3", ana, bo, cy, dora, eve)


def waits(name: str, lane: int, who: str, *, planned: int) -> HeatSeen:
    return heat(name, Played(plan(lane, who)), planned=planned)


def test_each_lane_says_what_goes_on_there_and_never_why_somebody_is_stopped() -> None:
    view = board_view([busy()], at(12), UTC)
    [found] = view.heats
    assert found == BoardHeat(
        title="heat 3",
        workout="Quayside",
        clock="0:12",
        lanes=(
            BoardLane(
                number=1,
                place="2",
                who="21 Ana Roth",
                big="2",
                says="front squat 2 of 10",
            ),
            BoardLane(
                number=2,
                place="1",
                who="22 Bo Lindt",
                big="0:09",
                says="finished",
                weight="strong",
            ),
            BoardLane(
                number=3,
                place="3",
                who="23 C. U.",
                big="1",
                says="stopped",
                weight="strong",
            ),
            BoardLane(
                number=4, place="", who="24", big="0", says="frozen", weight="strong"
            ),
            BoardLane(
                number=5,
                place="",
                who="25 Eve Oster",
                big="",
                says="not here",
                weight="soft",
            ),
        ),
    )
    assert "grey" not in repr(view)
    assert "bar" not in repr(view)


def test_a_rest_runs_down_and_work_goes_on_after_it() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), *range(3, 60, 3))
    [rest] = played.lane.work.rests
    seen = heat("3", played)
    [during] = board_view([seen], at(rest.from_ms / 1000 + 1), UTC).heats
    [after] = board_view([seen], at(rest.until_ms / 1000), UTC).heats
    assert during.lanes[0].says.startswith("REST ")
    assert not after.lanes[0].says.startswith("REST")


def test_the_clock_counts_down_to_zero_and_stands_once_all_are_done() -> None:
    seen = heat("3", done(1, 9))
    assert board_view([heat("3", Played(plan(1, "Ana")).go())], at(-2.5), UTC).heats[
        0
    ].clock in {"-3", "-2"}
    assert board_view([seen], at(100), UTC).heats[0].clock == "0:09"


def done(lane: int, last: float) -> Played:
    played = Played(plan(lane, "Ana", 1)).go()
    played.press(last, Rep())
    return played


def test_a_heat_stays_for_a_while_after_its_end_and_then_the_next_one_stands() -> None:
    heats = [heat("1", done(1, 9)), waits("2", 1, "Bo", planned=ZERO_WALL + MINUTE)]
    soon = schedule(heats, at(60))
    assert [s.heat for s in (*soon.now, *soon.coming)] == ["1", "2"]
    later = schedule(heats, at(10 + STAYS_MS / 1000))
    assert [s.heat for s in later.now] == ["2"]
    assert later.coming == ()


def test_two_heats_at_once_both_stand_and_the_others_wait() -> None:
    going = [heat(n, Played(plan(1, "Ana")).go()) for n in ("1", "2")]
    waiting = [waits(n, 1, "Bo", planned=ZERO_WALL + MINUTE) for n in ("3", "4")]
    found = schedule([*going, *waiting], at(5))
    assert [s.heat for s in found.now] == ["1", "2"]
    view = board_view([*going, *waiting], at(5), UTC)
    assert [one.says.split(" at ")[0] for one in view.coming] == [
        "ON DECK heat 3",
        "WARMING UP heat 4",
    ]
    assert view.coming[0].who == ("21 Bo",)
    only = schedule([*going, *waiting], at(5), "3")
    assert [s.heat for s in (*only.now, *only.coming)] == ["3", "4"]


def test_a_heat_that_was_called_back_waits_again() -> None:
    from judgekit.core.entry import Recall

    played = Played(plan(1, "Ana")).go()
    played.put(Recall(), 3000)
    view = board_view([heat("1", played)], at(9), UTC)
    assert [lane.says for lane in view.heats[0].lanes] == ["ready"]


def test_before_go_a_heat_is_named_with_its_planned_start() -> None:
    planned = waits("2", 1, "Bo", planned=ZERO_WALL + 60 * MINUTE)
    [seen] = board_view([planned], at(0), UTC).heats
    assert seen.title.startswith("heat 2 at ")
    assert (seen.clock, seen.lanes[0].says) == ("", "ready")


def test_few_lanes_stand_together_as_one_list() -> None:
    found = [row.strip() for row in texts(board_rows(view(2, lambda _: ""), 0, 80, 24))]
    first = next(n for n, row in enumerate(found) if "21 Ana" in row)
    assert "22 Ana" in found[first + 3]


@pytest.mark.parametrize(
    ("late_ms", "words"),
    [
        (None, ""),
        (20_000, "on time"),
        (-59_999, "on time"),
        (4 * MINUTE, "4 min late"),
        (-2 * MINUTE, "2 min early"),
    ],
)
def test_how_late_it_is_in_words(late_ms: int | None, words: str) -> None:
    assert late_words(late_ms) == words


def test_how_late_is_measured_at_the_last_start_and_grows_while_the_next_waits() -> (
    None
):
    began = heat("1", Played(plan(1, "Ana")).go(), late=3 * MINUTE)
    following = waits("2", 1, "Bo", planned=ZERO_WALL + 10 * MINUTE)
    assert schedule([began, following], at(30)).late_ms == 3 * MINUTE
    assert schedule([began, following], at(11 * 60)).late_ms == 3 * MINUTE
    assert schedule([began, following], at(15 * 60)).late_ms == 5 * MINUTE
    old = waits("1", 1, "Bo", planned=ZERO_WALL - 3 * 24 * 60 * MINUTE)
    assert schedule([old], at(0)).late_ms is None


# --- sizes ---------------------------------------------------------------------------


def view(
    many: int,
    big: Callable[[int], str] = str,
    coming: tuple[str, ...] = ("32 Cy Umar",),
) -> BoardView:
    return BoardView(
        heats=(
            BoardHeat(
                title="heat 3",
                workout="Quayside",
                clock="4:07",
                lanes=tuple(
                    BoardLane(
                        number=n,
                        place="2=" if n > 2 else "1",
                        who=f"{20 + n} Ana Roth",
                        big=big(n + 90),
                        says="front squat 2 of 10",
                    )
                    for n in range(1, many + 1)
                ),
            ),
        ),
        coming=(
            BoardComing(says="ON DECK heat 4 at 10:20", who=("31 Bo Lindt",)),
            BoardComing(says="WARMING UP heat 5 at 10:40", who=coming),
        ),
        time="10:07",
        late="3 min late",
    )


def texts(found: Sequence[Row]) -> list[str]:
    return [written(row) for row in found]


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 12), (160, 45), (33, 7)])
@pytest.mark.parametrize("many", [1, 5, 12, 20])
def test_every_size_is_filled_to_the_cell_and_shows_every_lane_in_its_turn(
    size: tuple[int, int], many: int
) -> None:
    columns, high = size
    shown = set()
    for turn in range(20):
        found = texts(board_rows(view(many), turn, columns, high))
        assert {len(row) for row in found} == {columns}
        assert len(found) == high
        whole = "\n".join(found)
        shown |= {
            n
            for n in range(1, many + 1)
            if f"lane {n} " in whole or f" {20 + n} A" in whole
        }
    assert shown == {*range(1, many + 1)}


def test_a_television_shows_every_count_in_block_figures() -> None:
    found = texts(board_rows(view(12), 0, 160, 45))
    blocks = [row for row in found if "█" in row]
    assert len(blocks) >= 6 * 5
    whole = "\n".join(found)
    assert all(f"lane {n} " in whole for n in range(1, 13))
    assert found[-2].strip() == "ON DECK heat 4 at 10:20: 31 Bo Lindt"
    assert "10:07  3 min late" in "\n".join(found)


def test_eighty_by_twenty_four_has_two_lines_for_each_of_eight_lanes() -> None:
    found = [row.rstrip() for row in texts(board_rows(view(8), 0, 80, 24))]
    assert found[6:10] == [
        f"  1  1st  21 Ana Roth{'91':>58}",
        "       front squat 2 of 10",
        f"  2  1st  22 Ana Roth{'92':>58}",
        "       front squat 2 of 10",
    ]
    assert found[10].startswith("  3  2nd= 23 Ana Roth")


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 24)])
def test_who_warms_up_has_room_or_is_counted(size: tuple[int, int]) -> None:
    names = tuple(f"{n} Fourteen Chars" for n in range(51, 63))
    shown = texts(board_rows(view(5, coming=names), 0, *size))
    words = " ".join(" ".join(shown).split())
    told = words.partition("WARMING UP heat 5 at 10:40: ")[2]
    named = [name for name in names if name in told]
    assert 1 <= len(named) < 12
    listed = ", ".join(named)
    assert told == f"{listed} and {12 - len(named)} more"


def test_forty_by_twelve_keeps_the_clock_the_counts_and_who_is_next() -> None:
    found = [row.rstrip() for row in texts(board_rows(view(5), 0, 40, 12))]
    assert found[0].split() == ["heat", "3", "Quayside", "4:07"]
    assert found[1].split()[:3] == ["1", "1st", "21"]
    assert found[1].endswith("91")
    assert found[-1] == " ON DECK heat 4 at 10:20: 31 Bo Lindt"


def test_without_heats_it_says_so() -> None:
    empty = BoardView(heats=(), coming=(), time="10:07", late="")
    assert texts(board_rows(empty, 0, 80, 24))[0].strip() == NOTHING


# --- the screen ----------------------------------------------------------------------


class Told:
    """A lookout that is given what it sees."""

    def __init__(self) -> None:
        self.tell: Callable[[tuple[HeatSeen, ...], str], object] | None = None

    def start(self, tell: Callable[[tuple[HeatSeen, ...], str], object]) -> None:
        self.tell = tell


async def test_what_is_told_is_on_the_screen_and_two_heats_take_turns() -> None:
    lookout = Told()
    clock = FakeClock(boot="boot", boot_now=12_000, wall_now=ZERO_WALL + 12_000)
    app = WatchApp(lambda: BoardScreen(lookout, clock, UTC))  # type: ignore[arg-type]
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: lookout.tell is not None)
        assert lookout.tell is not None
        lookout.tell((busy(),), "")
        await until(pilot, lambda: "21 Ana Roth" in "\n".join(rows(app)))
        assert faint(app) == []
        other = heat("4", Played(plan(1, "Ulf Rey")).go())
        lookout.tell((busy(), other), "")
        screen = app.screen
        assert isinstance(screen, BoardScreen)
        for _ in range(40):
            screen.tick()
        await until(pilot, lambda: "21 Ulf Rey" in "\n".join(rows(app)))
        lookout.tell((busy(), other), "the log 3_l1 is damaged")
        await until(pilot, lambda: "CANNOT BE READ: the log 3_l1" in rows(app)[-1])
        await pilot.press("x")
        assert app.is_running
        await pilot.press("q")
        await until(pilot, lambda: not app.is_running)
    assert app.return_code == 0


def test_a_lane_that_two_judges_count_has_the_lower_count() -> None:
    counted = plan(1, "Herons", team=PlanTeam(judges=2))
    one, two = Played(counted).go(), Played(counted, book="s").go()
    one.each(Rep(), 4, 8, 12)
    two.each(Rep(), 4, 8)
    seen = heat("3", one)
    both = replace(seen, lanes=(replace(seen.lanes[0], second=two.lane),))
    (alone,), (lower,) = (
        board_view([of], at(20), UTC).heats[0].lanes for of in (seen, both)
    )
    assert (alone.big, lower.big) == ("3", "2")
