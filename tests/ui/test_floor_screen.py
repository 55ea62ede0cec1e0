"""The Floor as a judge meets it: real key events, real strips, a clock in our hands."""

from __future__ import annotations

import threading
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from textual import events
from textual.color import Color

from judgekit.core.entry import (
    Accept,
    Correct,
    Early,
    Go,
    GoOn,
    Ignored,
    NameFault,
    NoRep,
    Reading,
    Recall,
    Rep,
    Rule,
    Session,
    Stop,
    TakeBack,
    Time,
    Withdraw,
)
from judgekit.core.press import TakeBackOne
from judgekit.core.ruling import Reopen
from judgekit.desk import Lost, Refused, Saved, Told, Unsaved
from judgekit.files.folder import load_event
from judgekit.ui.screens.floor import FloorScreen
from judgekit.ui.screens.heard import DeskNews
from judgekit.ui.screens.scorecard import ScorecardScreen
from judgekit.ui.text import width_of
from judgekit.ui.theme import COLOURS
from judgekit.ui.widgets.face import Face
from judgekit.ui.widgets.laying import layout_for
from judgekit.ui.widgets.row import written
from tests.small_event import write_event
from tests.support import fault, for_time, simple, window
from tests.ui.fake_desk import LANE, Floor, faint, grounds, rows, text, until

if TYPE_CHECKING:
    from pathlib import Path

    from textual.pilot import Pilot

    from judgekit.core.people import ShowAs
    from judgekit.core.plan import Plan

SIZE = (80, 24)


@pytest.fixture(autouse=True)
def _exact(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key is handled in the very instant in which it was pressed."""
    monkeypatch.setattr("judgekit.ui.screens.heard.monotonic", lambda: 0.0)


def count(floor: Floor) -> tuple[str, ...]:
    view, over = floor.app.screen.query_one(Face).given
    return (view.big,) if over.trial is None else over.trial.big


def shown_words(floor: Floor) -> str:
    """Everything on the screen in one line."""
    return " ".join(text(floor.app).split())


def large(floor: Floor) -> tuple[str, ...]:
    """What stands beside the count in block letters."""
    view, over = floor.app.screen.query_one(Face).given
    return () if len(over.flash) == 1 else over.flash or view.large


def flashes(floor: Floor) -> bool:
    """Whether the screen is turned over for a no-rep."""
    return floor.app.screen.query_one(Face).ground == "no-rep"


def mostly(floor: Floor) -> str:
    """The colour behind most cells."""
    found = list(grounds(floor.app))
    return max(set(found), key=found.count).upper()


async def test_space_counts_and_the_screen_says_so() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "space")
        assert (floor.good, count(floor)) == (2, ("02",))
        assert "0:04.0  rep 2     0:02.0  rep 1" in text(floor.app)


async def test_a_take_back_says_what_it_took_from_whom_and_of_when() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "d", "backspace")
        assert "27  Ines Varga: undone: NO REP depth of 0:04.0." in text(floor.app)
        await floor.tap(pilot, "u")
        assert "27  Ines Varga: counted again: NO REP depth of 0:04.0." in text(
            floor.app
        )
        await floor.tap(pilot, "backspace", "backspace")
        assert "27  Ines Varga: undone late: rep of 0:02.0." in text(floor.app)


async def test_a_press_has_the_time_of_its_key_event(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        event = events.Key("space", " ")
        late = event.time + 0.7
        monkeypatch.setattr("judgekit.ui.screens.heard.monotonic", lambda: late)
        floor.clock.pass_(5000)
        floor.app.screen.post_message(event)
        await pilot.pause()
        assert floor.lane.entries[-1].at == 4300


async def test_a_no_rep_turns_the_screen_over_and_keeps_the_count() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space")
        assert mostly(floor) == COLOURS["ground"]
        await floor.tap(pilot, "d")
        assert mostly(floor) == COLOURS["orange"]
        assert count(floor) == ("01",)
        assert "NO REP  DEPTH" in text(floor.app)
        assert floor.lane.work.sets[0].no_reps == 1


async def test_the_flash_ends_by_itself() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "d")
        assert flashes(floor)
        await until(pilot, lambda: not flashes(floor))
        assert "✗ NO REP depth" in text(floor.app)


async def test_n_then_a_fault_is_one_no_rep_and_the_next_presses_are_reps() -> None:
    floor = Floor(simple(reps=20))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "n")
        shown = text(floor.app)
        assert "NO REP. Why? Press its key" in shown
        # The keys that may follow stay in sight while the screen is turned over.
        assert ("k  LOCK" in shown, mostly(floor)) == (True, COLOURS["orange"])
        await floor.tap(pilot, "k", after=500)
        await floor.tap(pilot, *["space"] * 5)
        assert floor.good == 5
        bodies = floor.bodies()
        assert sum(isinstance(body, NoRep) for body in bodies) == 1
        assert [b.fault for b in bodies if isinstance(b, NameFault)] == ["lock"]


async def test_the_line_changes_when_the_time_for_a_reason_is_over() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "n")
        floor.clock.pass_(2001)
        await until(pilot, lambda: "No rep, without a reason" in text(floor.app))
        assert "Why?" not in text(floor.app)
        # A fault's key is another no-rep by now, and names itself.
        await floor.tap(pilot, "k")
        assert "without a reason" not in text(floor.app)
        assert sum(isinstance(body, NoRep) for body in floor.bodies()) == 2


async def test_escape_from_a_panel_logs_nothing_and_the_next_key_counts() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "m")
        before = floor.bodies()
        await floor.tap(pilot, "escape", after=500)
        assert floor.bodies() == before
        await floor.tap(pilot, "space")
        assert floor.good == 1


async def test_a_held_space_counts_once_and_is_told_and_logged_as_one() -> None:
    floor = Floor(simple(reps=50))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space")
        for _ in range(29):
            await floor.tap(pilot, "space", after=33)
        assert floor.good == 1
        await floor.tap(pilot, "space", after=1000)
        assert floor.good == 2
        ignored = [body for body in floor.bodies() if isinstance(body, Ignored)]
        assert [(i.why, i.key, i.many) for i in ignored] == [("held key", "space", 29)]
        assert "held space: 29 repeats not counted" in text(floor.app)


async def test_caps_lock_and_shift_change_nothing() -> None:
    floor = Floor(simple(reps=50))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        for key, character in (
            ("D", "D"),
            ("caps_lock", "A"),
            ("shift+space", None),
            ("alt+d", None),
        ):
            floor.clock.pass_(2000)
            floor.app.screen.post_message(events.Key(key, character))
            await pilot.pause()
        assert (floor.good, floor.lane.work.sets[0].no_reps) == (1, 2)


async def test_pasted_text_counts_nothing() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        before = floor.bodies()
        floor.app.screen.post_message(events.Paste("add  dad"))
        await pilot.pause()
        kept = Ignored(why="was pasted", key="text", first_ms=0, last_ms=0, many=1)
        assert floor.bodies() == [*before, kept]
        assert "Pasted text counts nothing." in text(floor.app)


async def test_no_control_key_and_no_function_key_ends_or_counts_anything() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        before = [body for body in floor.bodies() if not isinstance(body, Ignored)]
        letters = [f"ctrl+{c}" for c in "abcdefgklnopqrstuvwxyz"]
        for key in [*letters, *(f"f{n}" for n in range(1, 13)), "tab", "escape"]:
            await floor.tap(pilot, key, after=300)
        assert floor.app.is_running
        assert isinstance(floor.app.screen, FloorScreen)
        now = [body for body in floor.bodies() if not isinstance(body, Ignored)]
        assert now == before


async def test_nothing_has_the_focus_in_any_state() -> None:
    floor = Floor(simple(reps=3))
    async with floor.app.run_test(size=SIZE) as pilot:

        def focused() -> bool:
            screen = floor.app.screen
            return screen.focused is not None or bool(screen.focus_chain)

        seen = [focused()]
        floor.go()
        for key in ("space", "d", "m", "escape", "w", "2", "1", "escape", "?", "0"):
            await floor.tap(pilot, key)
            seen.append(focused())
        await floor.tap(pilot, "g", "space", "space")
        seen.append(focused())
        assert seen == [False] * len(seen)


# --- go, stop, close ------------------------------------------------------------------


async def test_the_first_lesson_then_go() -> None:
    floor = Floor()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space")
        assert count(floor) == ("GOOD", "REP")
        await floor.tap(pilot, "d")
        assert count(floor) == ("NO REP", "DEPTH")
        assert not [b for b in floor.bodies() if isinstance(b, Rep | NoRep)]
        await floor.tap(pilot, "g", "g")
        assert not floor.lane.started
        assert "GO? y starts all lanes in ten seconds" in text(floor.app)
        await floor.tap(pilot, "y")
        assert floor.lane.started
        floor.clock.pass_(7100)
        await floor.tap(pilot, "space", after=0)
        assert count(floor) == ("3",)
        assert sum(isinstance(b, Early) for b in floor.bodies()) == 1
        await floor.tap(pilot, "space", after=4000)
        assert floor.good == 1


async def test_stop_stays_on_the_screen_and_held_presses_come_back_by_mistake() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "0", "space")
        assert mostly(floor) == COLOURS["paper"]
        shown = text(floor.app)
        assert "STOPPED at 0:04, 1 held" in shown
        assert ("✓ good" in shown, count(floor)) == (False, ("01",))
        await floor.tap(pilot, "g")
        assert (floor.good, mostly(floor)) == (2, COLOURS["ground"])
        assert [b.by_mistake for b in floor.bodies() if isinstance(b, GoOn)] == [True]


async def test_stop_is_shown_at_the_press_before_it_is_durable() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        pressed: list[object] = []
        floor.desk.submit = (  # type: ignore[method-assign]
            lambda number, act, *, boot_ms, key="": pressed.append(act)
        )
        floor.app.screen.post_message(DeskNews(Unsaved(waiting=1, why="disk full")))
        await floor.tap(pilot, "0")
        assert pressed == [Stop()]
        assert "STOPPED at 0:02, NOT SAVED yet" in text(floor.app)


async def test_q_alone_closes_nothing_and_q_then_y_closes_the_desk() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "q", "q")
        assert "y closes; the heat can be opened again" in text(floor.app)
        await floor.tap(pilot, "space")
        assert floor.good == 1
        await floor.tap(pilot, "q", "y")
        assert await floor.ended() == 0
    assert floor.bodies()[-1] == Session(start=False, why="closed by the judge")


async def test_a_question_left_alone_is_gone_from_the_screen() -> None:
    floor = Floor()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "g")
        assert count(floor) == ("GO?",)
        floor.clock.pass_(3001)
        await until(pilot, lambda: "GO?" not in text(floor.app))
        await floor.tap(pilot, "q")
        floor.clock.pass_(3001)
        await until(pilot, lambda: "Close this desk?" not in text(floor.app))


async def test_a_closing_desk_says_so_and_takes_no_key_while_it_saves(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor = Floor()
    floor.go()
    saved = threading.Event()
    async with floor.app.run_test(size=SIZE) as pilot:
        monkeypatch.setattr(floor.desk, "close", lambda _: saved.wait(30))
        await floor.tap(pilot, "q", "y")
        assert "Closing, saving… No key counts any more." in text(floor.app)
        before = floor.bodies()
        await floor.tap(pilot, "space")
        assert (floor.bodies(), floor.app.return_code) == (before, None)
        saved.set()
        assert await floor.ended() == 0


async def test_closing_over_presses_not_saved_names_them_and_asks_once_more() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        floor.app.screen.post_message(DeskNews(Unsaved(waiting=4, why="full")))
        await floor.tap(pilot, "q")
        assert "4 presses NOT SAVED. y, if" in text(floor.app)
        await floor.tap(pilot, "y")
        assert "q loses 4 presses and closes" in text(floor.app)
        assert floor.app._ending is None
        await floor.tap(pilot, "q")
        assert "Closing, saving 4 presses" in text(floor.app)
        await floor.ended()


# --- panels ---------------------------------------------------------------------------


async def test_a_recall_leads_back_to_the_line() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "w")
        assert "recall the start" in text(floor.app)
        digit = next(
            row.split("recall")[0].split()[-1]
            for row in rows(floor.app)
            if "recall the start" in row
        )
        await floor.tap(pilot, digit, "1")
        assert any(isinstance(b, Recall) for b in floor.bodies())
        assert (floor.good, floor.lane.started) == (0, False)
        assert "Not started" in text(floor.app)
        await floor.tap(pilot, "g", "y")
        assert sum(isinstance(b, Go) for b in floor.bodies()) == 2


async def test_the_monitor_is_typed_in_place() -> None:
    floor = Floor()
    floor.go()
    for _ in range(10):
        floor.act(Rep())
    floor.clock.pass_(70_000)
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "4")
        assert "Row shows, in calories" in text(floor.app)
        await floor.tap(pilot, "enter")
        assert [b for b in floor.bodies() if isinstance(b, Reading)] == [
            Reading(shows=4)
        ]


async def test_after_a_horn_in_a_rest_enter_opens_the_scorecard() -> None:
    floor = Floor(for_time(cap_ms=40_000))
    floor.go()
    for _ in range(10):
        floor.act(Rep())
    floor.clock.pass_(22_000)
    async with floor.app.run_test(size=SIZE) as pilot:
        for _ in range(2):
            await pilot.pause()
            shown = text(floor.app)
            assert ("TOES TO BAR" in shown, "ROW" in shown) == (True, False)
            assert "monitor" not in shown
            floor.act(Time(), after=0)
        await floor.tap(pilot, "enter")
        assert isinstance(floor.app.screen, ScorecardScreen)


async def test_the_same_digit_may_be_typed_quickly_twice() -> None:
    floor = Floor(window())
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "w", "2")
        await floor.tap(pilot, "1", "1", after=40)
        assert "11____" in text(floor.app)


async def test_every_panel_is_closed_in_one_way_and_says_so() -> None:
    floor = Floor()
    floor.go()
    for _ in range(10):
        floor.act(Rep())
    floor.clock.pass_(70_000)
    async with floor.app.run_test(size=SIZE) as pilot:
        for keys in (("m",), ("w",), ("w", "2"), ("enter",), ("l", "1"), ("?",)):
            await floor.tap(pilot, *keys)
            assert text(floor.app).count("closes") == 1
            assert "escape closes" in text(floor.app)
            await floor.tap(pilot, "escape")
            assert "escape closes" not in text(floor.app)


async def test_a_digit_that_chooses_nothing_counts_nothing() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "w", "6")
        before = floor.bodies()
        await floor.tap(pilot, "2")
        assert floor.bodies() == before
        shown = text(floor.app)
        assert ("Press 1 here." in shown, "RECALL all lanes?" in shown) == (
            True,
            True,
        )


async def test_digits_after_a_panel_has_closed_by_itself_stop_nobody() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "m")
        before = floor.bodies()
        await floor.tap(pilot, "1", after=8500)
        await floor.tap(pilot, "0", after=300)
        late = floor.bodies()[len(before) :]
        assert [(b.key, b.why) for b in late if isinstance(b, Ignored)] == [
            ("1", "came after the panel had closed"),
            ("0", "came after the panel had closed"),
        ]
        assert len(late) == 2
        assert "The panel had closed: 0 did nothing." in text(floor.app)


async def test_a_panel_left_alone_closes_and_the_calls_are_back() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "m")
        assert "MOVE ON, why?" in text(floor.app)
        floor.clock.pass_(9000)
        floor.app.screen._tick()  # type: ignore[attr-defined]
        await pilot.pause()
        shown = text(floor.app)
        assert ("MOVE ON, why?" in shown, "hip crease" in shown) == (False, True)


# --- what the desk tells --------------------------------------------------------------


async def test_refusals_and_news_are_shown_in_words() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:

        async def hear(news: Refused | Told | Unsaved | Saved | Lost) -> str:
            floor.app.screen.post_message(DeskNews(news))
            await pilot.pause()
            return text(floor.app)

        assert "Frozen already." in await hear(
            Refused(lane=LANE, says="Frozen already.", key="f")
        )
        assert "Clock jumped 8 s" in await hear(Told(says="Clock jumped 8 s."))
        await floor.tap(pilot, "?", "?")
        shown = await hear(Unsaved(waiting=3, why="b.db could not be written: full"))
        assert "NOT SAVED: 3 waiting" in shown
        assert "Not saved, tried again each second: full" in shown
        assert "not saved" not in (await hear(Saved())).lower()
        assert "Mo judges this lane now" in await hear(Lost(lane=LANE, to="Mo"))


async def test_a_desk_opened_again_in_a_running_heat_says_what_it_found() -> None:
    before = Floor()
    before.go()
    for act in (Rep(), Rep(), TakeBackOne(), Rep()):
        before.act(act)
    floor = before.again()
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "Opened again: 2 reps, the clock ran on." in text(floor.app)
        await floor.tap(pilot, "space")
        assert ("Opened again" in text(floor.app), floor.good) == (False, 3)


async def test_a_desk_opened_before_the_first_rep_has_found_nothing() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "Opened again" not in text(floor.app)


async def test_news_of_another_lane_changes_nothing_here() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        news = Refused(lane=LANE + 1, says="Frozen already.", key="f")
        floor.app.screen.post_message(DeskNews(news))
        await pilot.pause()
        assert "Frozen already." not in text(floor.app)


async def test_a_failure_in_a_handler_is_told_and_counting_goes_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        screen = floor.app.screen
        assert isinstance(screen, FloorScreen)
        press = screen._controls.press
        monkeypatch.setattr(screen._controls, "press", lambda *_: 1 / 0)
        await floor.tap(pilot, "space")
        assert "Something failed here (ZeroDivisionError)" in text(floor.app)
        monkeypatch.setattr(screen._controls, "press", press)
        await floor.tap(pilot, "space")
        assert floor.good == 1


async def test_a_failure_while_drawing_is_told_and_counting_goes_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        with monkeypatch.context() as broken:
            broken.setattr("judgekit.ui.screens.floor.floor_view", lambda *_: 1 / 0)
            await floor.tap(pilot, "space", "space")
            assert "Drawing failed (ZeroDivisionError)" in text(floor.app)
        await floor.tap(pilot, "space")
        assert (floor.good, count(floor)) == (3, ("00",))


# --- sizes, colours, names ------------------------------------------------------------


async def test_five_reps_count_while_the_terminal_is_tiny() -> None:
    floor = Floor(simple(reps=57))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        for size, reps in (((20, 5), 3), ((1, 1), 2), (SIZE, 0)):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            await floor.tap(pilot, *["space"] * reps)
        assert floor.good == 5
        shown = text(floor.app)
        assert count(floor) == ("05",)
        assert all(word in shown for word in ("lane 4", "0:1", "of 57", "DEPTH"))


async def test_a_screen_too_small_says_so_and_shows_the_count() -> None:
    floor = Floor(simple(reps=57))
    floor.go()
    async with floor.app.run_test(size=(30, 8)) as pilot:
        await floor.tap(pilot, "space")
        small = "TOO SMALL, counting goes on"
        assert shown_words(floor) == f"01 of 57 0 STOP {small} 0:02"


async def test_a_screen_too_small_puts_what_must_be_known_before_the_count() -> None:
    floor = Floor(simple(reps=57))
    count_, small = "00 of 57 0 STOP", "TOO SMALL, counting goes on"
    async with floor.app.run_test(size=(30, 8)) as pilot:
        await floor.tap(pilot, "g")
        assert shown_words(floor).startswith("GO? y starts all lanes in ten seconds")
        floor.go()
        await floor.tap(pilot, "d")
        assert shown_words(floor) == f"NO REP DEPTH {count_} {small} 0:02"
        await floor.tap(pilot, "q")
        assert "Close this desk? y closes" in shown_words(floor)
        await until(pilot, lambda: not flashes(floor))
        await floor.tap(pilot, "f")
        assert shown_words(floor) == f"FROZEN at 0:06, 0 held {count_} {small} 0:06"
        floor.app.screen.post_message(DeskNews(Unsaved(waiting=2, why="full")))
        await floor.tap(pilot, "0")
        stopped = shown_words(floor)
        assert stopped.startswith("STOPPED at 0:08, 0 held NOT SAVED: 2 waiting")
        assert f"{count_} {small}" in stopped


async def test_a_screen_too_small_asks_about_a_rep_at_the_horn() -> None:
    floor = Floor(window())
    floor.go()
    floor.act(Rep(), after=299_000)
    floor.act(Rep(), after=1400)
    floor.act(Time(), after=1000)
    async with floor.app.run_test(size=(30, 8)) as pilot:
        await pilot.pause()
        asked = "Rep at the horn: finished in time? y yes n no 01 in all 0 STOP"
        assert shown_words(floor).startswith(asked)
        await pilot.resize_terminal(*SIZE)
        await pilot.pause()
        assert large(floor) == ("HORN?", "Y / N")


async def test_sixty_by_twenty_leaves_no_line_empty_that_could_help() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=(60, 20)) as pilot:
        await floor.tap(pilot, "space")
        shown = rows(floor.app)
        whole = "\n".join(shown)
        for words in (
            "cap 10:00   9:58 left  0:02",
            " 27  Ines Varga   Women                part A  round 1 of 2",
            " FRONT SQUAT                               no-reps 0 in all",
            "d  DEPTH\n",
            "   hip crease below the\n",
            "n  no rep, why next\n",
            "0  STOP  unsafe\n",
            " of 3   ✓ good",
            " next  toes to bar 2",
            " space good rep   backspace take back   ? keys        saved",
        ):
            assert words in whole
        # Large figures, ten rows high.
        assert sum(row.startswith(" ████") for row in shown) == 10


async def test_what_is_held_shows_the_letters_that_work() -> None:
    floor = Floor(_two_letters())
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "space", "f", "space", "space")
        shown = text(floor.app)
        for words in (
            "FRONT SQUAT  (frozen)",
            "letters: TOES TO BAR",
            "held: would be toes to bar 1",
            "t  BAR",
        ):
            assert words in shown
        assert ("d  DEPTH" in shown, count(floor), large(floor)) == (
            False,
            ("02",),
            ("FROZEN",),
        )
        await floor.tap(pilot, "t")
        assert floor.lane.onward is not None
        assert floor.lane.onward.attempts[-1].faults == ("bar",)
        await pilot.resize_terminal(60, 20)
        await until(pilot, lambda: not flashes(floor))
        shown = text(floor.app)
        assert ("letters: TOES TO BAR" in shown, "t  BAR" in shown) == (True, True)


def _two_letters() -> Plan:
    """A plan whose two movements have no letter in common."""
    plan = for_time()
    toes = replace(plan.cards[1], faults=(fault("bar", "t"),))
    return replace(plan, cards=(plan.cards[0], toes, plan.cards[2]))


async def test_time_is_shown_in_block_letters() -> None:
    floor = Floor(window())
    floor.go()
    floor.act(Rep())
    floor.act(Time(), after=300_000)
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert large(floor) == ("TIME",)


async def test_a_press_before_the_rest_is_over_says_what_became_of_it() -> None:
    floor = Floor()
    floor.go()
    for _ in range(10):
        floor.act(Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "enter", "4", "enter", after=0)
        shown = text(floor.app)
        early = "Early: the rest lasts to 1:20. Kept, does not count."
        assert (early in shown, "0:20.0  monitor 4, early" in shown) == (True, True)
        assert floor.good == 10


async def test_a_sign_is_gone_after_three_seconds() -> None:
    floor = Floor()
    floor.go()
    floor.act(Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        for key, sign in (("space", "✓ good"), ("backspace", "↶ undone")):
            await floor.tap(pilot, key)
            assert sign in text(floor.app)
            floor.clock.pass_(3001)
            floor.app.screen._tick()  # type: ignore[attr-defined]
            await pilot.pause()
            assert sign not in text(floor.app)


async def test_a_long_mark_keeps_clear_of_the_calls() -> None:
    plan = for_time()
    squat = plan.cards[0]
    faults = tuple(fault(f"{name} fault here", name[0]) for name in ("depth", "knees"))
    squat = replace(squat, faults=faults)
    floor = Floor(replace(plan, cards=(squat, *plan.cards[1:])))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "d")
        await floor.tap(pilot, "k", after=500)
        await until(pilot, lambda: not flashes(floor))
        shown = text(floor.app)
        assert ("✗ NO REP depth" in shown, "knees" in shown) == (True, True)
        # The column of calls begins at the fiftieth cell.
        assert {row[47:49].strip() for row in rows(floor.app)[6:16]} == {""}


async def test_the_judges_name_stands_for_the_letters(tmp_path: Path) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    floor = Floor(folder=folder)
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "judge Kim Brandt" in text(floor.app)
        await floor.tap(pilot, "l")
        assert "judge Kim Brandt" in text(floor.app)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (100, 30), (48, 50)])
async def test_the_floor_is_whole(size: tuple[int, int]) -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=size) as pilot:
        await floor.tap(pilot, "space")
        shown = text(floor.app)
        for word in (
            "Quayside   heat 3  lane 4",
            "27  Ines Varga",
            "part A  round 1 of 2",
            "FRONT SQUAT",
            "no-reps 0",
            "of 3",
            "✓ good",
            "next  toes to bar 2",
            "d  DEPTH",
            "hip crease below the knee",
            "k  LOCK",
            "0  STOP",
            "0:02.0  rep 1",
            "saved",
        ):
            assert word in shown
        face = floor.app.screen.query_one(Face)
        assert {width_of(written(row)) for row in face.rows} == {size[0]}
        assert (len(face.rows), face.region) == (size[1], floor.app.screen.region)


@pytest.mark.parametrize("size", [(40, 12), (44, 13), (60, 15), (79, 12), (100, 18)])
async def test_a_small_screen_shows_all_that_a_judge_needs(
    size: tuple[int, int],
) -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=size) as pilot:
        await floor.tap(pilot, "space")
        shown = text(floor.app)
        for word in (
            *("heat 3  lane 4", "0:02", "27  Ines Varga", "A 1 of 2", "FRONT SQUAT"),
            *("no-reps 0", "of 3", "✓ good", "next  toes to bar 2"),
            *("d  DEPTH", "k  LOCK", "n  no rep", "0  STOP"),
            *("0:02.0  rep 1", "space good rep", "saved"),
        ):
            assert word.removeprefix("A ") in shown
        assert "…" not in shown


async def test_a_menu_on_the_smallest_screen_is_whole_and_keeps_the_count() -> None:
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=(40, 12)) as pilot:
        await floor.tap(pilot, "space", "w")
        shown = text(floor.app)
        for word in ("01 of 3", "late start", "escape closes", "saved"):
            assert word in shown
        await floor.tap(pilot, "8")
        assert "Press 1 to 7 here." in text(floor.app)
        await floor.tap(pilot, "w", "?")
        assert "… the rest needs a larger window" in text(floor.app)


async def test_all_calls_are_laid_out_alike_and_whole_where_they_fit() -> None:
    says = "Crease of the hip below the top of the knee"
    plan = for_time()
    squat = plan.cards[0]
    faults = tuple(
        replace(squat.faults[0], id=key, key=key, call="DEPTH", breaks=key)
        for key in "acdek"
    )
    criteria = tuple(
        replace(squat.criteria[0], id=fault.id, says=says) for fault in faults
    )
    card = replace(squat, faults=faults, criteria=criteria)
    floor = Floor(replace(plan, cards=(card, *plan.cards[1:])))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        shown = text(floor.app)
        assert shown.count("DEPTH  crease of the hip\n") == 5
        assert shown.count("below the top of the knee") == 5
        await pilot.resize_terminal(120, 40)
        await pilot.pause()
        assert text(floor.app).count(says.lower()) == 5
        await pilot.resize_terminal(60, 36)
        await pilot.pause()
        assert text(floor.app).count(says.lower()) == 5


@pytest.mark.parametrize(
    ("size", "layout"),
    [
        ((80, 24), "normal"),
        ((109, 36), "normal"),
        ((110, 36), "wide"),
        ((79, 24), "narrow"),
        ((80, 23), "narrow"),
        ((45, 50), "tall"),
        ((40, 12), "narrow"),
        ((39, 12), "tiny"),
        ((40, 11), "tiny"),
        ((1, 1), "tiny"),
    ],
)
def test_each_size_has_its_layout(size: tuple[int, int], layout: str) -> None:
    assert layout_for(*size) == layout


async def test_without_colour_good_no_rep_and_withdrawn_differ_in_text(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("NO_COLOR", "")
    floor = Floor()
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space")
        good = text(floor.app)
        await floor.tap(pilot, "d")
        missed = text(floor.app)
        greys = {Color.parse(ground) for ground in grounds(floor.app)}
        await floor.tap(pilot, "w", "3", "2")
        gone = text(floor.app)
    signs = ("✓ good", "✗ NO REP depth", "Withdrew at")
    shown = [[sign in screen for sign in signs] for screen in (good, missed, gone)]
    assert shown == [
        [True, False, False],
        [False, True, False],
        [False, False, True],
    ]
    assert all(grey.r == grey.g == grey.b for grey in greys)


NAMES = [
    "Max [red]M[/red]",
    "[b",
    "[/]",
    "a['x[0]']",
    "[@click=app.quit]Bob[/]",
    "[link=http://x]L[/link]",
    "$primary \\[A]",
    "王小明",
    "נועה לוי",
    "Zoë Åström",
]


@pytest.mark.parametrize("name", NAMES)
async def test_a_name_is_shown_exactly_as_written(name: str) -> None:
    floor = Floor(for_time(name=name, workout_name=name))
    floor.go()
    async with floor.app.run_test(size=SIZE, notifications=True) as pilot:
        await floor.tap(pilot, "space")
        shown = text(floor.app)
        assert (f"27  {name}   Women" in shown, f"{name}   heat 3" in shown) == (
            True,
            True,
        )
        await pilot.click("#face", offset=(5, 1))
        await floor.tap(pilot, "space")
        assert (floor.app.is_running, floor.good) == (True, 2)


async def test_lists_and_panel_titles_show_names_exactly_as_written(
    tmp_path: Path,
) -> None:
    path = write_event(tmp_path / "event")
    for file, old, new in (
        ("event.toml", "Kim Brandt", "[b]Kim[/] [/]"),
        ("people.csv", "Bo Lindt", "[link=http://x]Bo[/link]"),
    ):
        written = (path / file).read_text(encoding="utf-8")
        (path / file).write_text(written.replace(old, new), encoding="utf-8")
    plan = for_time()
    row = replace(plan.cards[2], name="Row [b $x]")
    floor = Floor(replace(plan, cards=(*plan.cards[:2], row)), folder=load_event(path))
    floor.go()
    for _ in range(10):
        floor.act(Rep())
    floor.act(Withdraw(why="[red]knee[/red] [/]"), after=70_000)
    async with floor.app.run_test(size=SIZE) as pilot:
        for keys, words in (
            (("enter",), "Row [b $x] shows, in calories"),
            (("w", "4"), "1  [b]Kim[/] [/]"),
            (("w", "5", "1", "3", "1"), "[link=http://x]Bo[/link]"),
            (("l",), "[red]knee[/red] [/]"),
            (("l", "1"), "[red]knee[/red] [/]"),
        ):
            await floor.tap(pilot, *keys)
            assert words in text(floor.app)
            await floor.tap(pilot, "escape")
        assert floor.app.is_running


@pytest.mark.parametrize(
    ("show", "shown"),
    [
        ("name", "27  Ines Varga   Women"),
        ("initials", "27  I. V.   Women"),
        ("number", "27   Women"),
    ],
)
async def test_a_name_is_shown_as_its_owner_wants(show: ShowAs, shown: str) -> None:
    floor = Floor(simple(reps=1, show=show))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert shown in text(floor.app)
        await floor.tap(pilot, "space", "backspace")
        told = f"{shown.removesuffix('   Women')}: undone: rep of 0:02.0."
        assert told in text(floor.app)
        await floor.tap(pilot, "space", "g")
        screens = text(floor.app)
        assert ("Varga" in screens) == (show == "name")


@pytest.mark.parametrize("name", ["a\x1b[2Jb", "\x9b5;5Hab", "\u202eabc", "a\tb\nc"])
async def test_nothing_in_a_name_reaches_the_terminal_as_an_order(name: str) -> None:
    floor = Floor(for_time(name=name))
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert all(row.isprintable() for row in rows(floor.app))


async def test_a_call_and_its_criterion_are_shown_as_written() -> None:
    plan = for_time()
    squat = plan.cards[0]
    fault = replace(squat.faults[0], call="[hip] x")
    criterion = replace(squat.criteria[0], says="hip [below] knee")
    card = replace(squat, faults=(fault,), criteria=(criterion,))
    floor = Floor(replace(plan, cards=(card, *plan.cards[1:])))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        shown = text(floor.app)
        assert ("[HIP] X" in shown, "hip [below] knee" in shown) == (True, True)
        await floor.tap(pilot, "d")
        assert "NO REP  [HIP] X" in text(floor.app)


# --- after the work -------------------------------------------------------------------


async def test_an_accepted_scorecard_changes_no_more() -> None:
    floor = Floor(simple(reps=3))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "space", "space")
        assert "Work is done at 0:06" in text(floor.app)
        floor.act(Accept(who="athlete", signed=True))
        floor.act(Accept(who="judge", signed=True))
        await floor.tap(pilot, "space", "space", "space", "backspace")
        assert floor.good == 3
        assert "Only a head judge's ruling changes it" in text(floor.app)
        assert not any(isinstance(b, TakeBack) for b in floor.bodies())


async def test_only_a_reopening_changes_an_accepted_hundred() -> None:
    floor = Floor(simple(reps=120))
    floor.go()
    floor.act(Rep(n=100))
    floor.act(Time())
    floor.act(Accept(who="athlete", signed=True))
    floor.act(Accept(who="judge", signed=True))
    floor = floor.again()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "space", "space")
        assert floor.good == 100
        assert "Only a head judge's ruling changes it" in text(floor.app)
        floor.act(Rule(effect=Reopen(), why="one rep was missed, on video"))
        await floor.tap(pilot, "w", "2", *"101", "enter")
        assert floor.good == 101
        await floor.tap(pilot, "g")
        shown = text(floor.app)
        assert "amended from 100 of 120" in shown
        assert "signed 100 of 120, 20 short, now 101 of 120, 19 short" in shown
        kept = [type(body) for body in floor.bodies()[-2:]]
    assert kept == [Rule, Correct]
    assert floor.again().good == 101


async def test_a_press_after_the_last_rep_is_kept_and_told() -> None:
    floor = Floor(simple(reps=1))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "space")
        assert floor.good == 1
        assert "after the last rep: not counted" in text(floor.app)


async def test_go_leads_to_the_scorecard_and_b_back() -> None:
    floor = Floor(simple(reps=1))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "g")
        assert isinstance(floor.app.screen, ScorecardScreen)
        await _shown(pilot)
        await floor.tap(pilot, "b")
        assert isinstance(floor.app.screen, FloorScreen)
        await floor.tap(pilot, "g")
        assert isinstance(floor.app.screen, ScorecardScreen)


async def _shown(pilot: Pilot[None]) -> None:
    await pilot.pause()
    await pilot.pause()


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 12)])
async def test_nothing_on_the_floor_is_too_faint_to_read(size: tuple[int, int]) -> None:
    floor = Floor()
    async with floor.app.run_test(size=size) as pilot:
        await pilot.pause()
        assert faint(floor.app) == []
        await floor.tap(pilot, "d")
        assert faint(floor.app) == []
        floor.go()
        for keys in (("space",), ("k",), ("w",), ("w", "f"), ("0",)):
            await floor.tap(pilot, *keys)
            assert faint(floor.app) == []
