"""A rehearsal on the Floor: real keys, and an athlete under a clock in our hands."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.bodies import card_body
from judgekit.core.entry import NoRep, Recall, Rep, Withdraw
from judgekit.review.calling import marks
from judgekit.ui import morepanels, panels
from judgekit.ui.app import FloorApp
from judgekit.ui.screens import rehearsal as screens
from judgekit.ui.screens.rehearsal import BEFORE_GO, COUNTDOWN, LAST, LAST_MS
from judgekit.ui.text import wrapped
from judgekit.ui.views.floor import floor_view
from judgekit.ui.views.phase import Now
from judgekit.ui.widgets.laying import Over, face_rows
from judgekit.ui.widgets.row import written
from tests.rehearsing import CARDS, athlete, rehearsal
from tests.support import Played, movement, simple
from tests.ui.fake_desk import LANE, Floor, text, until

if TYPE_CHECKING:
    from textual.pilot import Pilot

    from judgekit.review.performing import Athlete, Performed

SIZES = [(80, 24), (40, 12), (60, 40), (120, 40)]
BY_REP = [id_ for id_ in CARDS if "reps" in CARDS[id_].counts]


@pytest.fixture(autouse=True)
def _exact(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys are stamped with the clock in our hands."""
    monkeypatch.setattr(
        "judgekit.ui.screens.heard.pressed_ms", lambda clock, _event: clock.boot_ms()
    )


def rehearsed(*ids: str, reps: int, seed: int = 1) -> tuple[Floor, Athlete]:
    found = rehearsal(*ids, reps=reps)
    floor = Floor(replace(found.plan, heat="3", lane=LANE))
    performer = athlete(found, reps=reps, seed=seed)
    floor.app = FloorApp(floor.desk, athlete=performer)
    return floor, performer


async def next_rep(pilot: Pilot[None], floor: Floor, performer: Athlete) -> Performed:
    """The clock moves on until the athlete shows another rep."""
    before = len(performer.performed)

    def begun() -> bool:
        if len(performer.performed) == before:
            floor.clock.pass_(100)
        return len(performer.performed) > before

    await until(pilot, begun)
    return performer.performed[-1]


def key_of(floor: Floor, shown: Performed) -> str:
    fault = floor.plan.card(shown.card).fault(shown.fault)
    return "space" if fault is None else fault.key


def seen(floor: Floor, words: str) -> bool:
    """Whether all of the words stand on the screen, however they are broken."""
    return words in " ".join(text(floor.app).split())


@pytest.mark.parametrize("size", SIZES)
async def test_a_judge_calls_what_is_read_and_the_athlete_goes_on(
    size: tuple[int, int],
) -> None:
    floor, performer = rehearsed("wall-ball-shot", "burpee", reps=6)
    async with floor.app.run_test(size=size) as pilot:
        assert seen(floor, BEFORE_GO)
        floor.desk.call_go(boot_ms=floor.clock.boot_now)
        floor.clock.pass_(5000)
        await until(pilot, lambda: seen(floor, COUNTDOWN))
        floor.clock.pass_(5000)
        while not performer.is_done:
            shown = await next_rep(pilot, floor, performer)
            words = shown.says
            await until(pilot, lambda words=words: seen(floor, words))  # type: ignore[misc]
            await floor.tap(pilot, key_of(floor, shown), after=1000)
        floor.clock.pass_(performer.due_ms - (floor.desk.heat_ms() or 0))
        await until(pilot, lambda: seen(floor, LAST))
        floor.clock.pass_(LAST_MS)
        await until(pilot, lambda: floor.app._ending is not None)
        assert await floor.ended() == 0
    found = marks(performer.performed, floor.lane.work.attempts)
    assert (found.right, found.extra) == (6, 0)
    judged = [b for b in floor.bodies() if isinstance(b, Rep | NoRep)]
    assert [getattr(b, "faults", ()) for b in judged] == [
        (one.fault,) if one.fault else () for one in performer.performed
    ]


async def test_nothing_stands_there_between_two_reps() -> None:
    floor, performer = rehearsed("air-squat", reps=3)
    async with floor.app.run_test(size=(80, 24)) as pilot:
        floor.go()
        shown = await next_rep(pilot, floor, performer)
        await until(pilot, lambda: seen(floor, shown.says))
        floor.clock.pass_(shown.until_ms - (floor.desk.heat_ms() or 0))
        await until(pilot, lambda: not seen(floor, shown.says))
        assert len(performer.performed) == 1


async def test_a_rehearsal_can_be_left_and_what_was_called_is_told() -> None:
    floor, _ = rehearsed("air-squat", reps=3)
    async with floor.app.run_test(size=(80, 24)) as pilot:
        floor.go()
        await floor.tap(pilot, "q")
        assert seen(floor, "y closes; you are told how you called so far")
        await floor.tap(pilot, "y", after=100)
        assert await floor.ended() == 0


async def test_it_is_over_when_the_work_is() -> None:
    floor, performer = rehearsed("air-squat", reps=9)
    async with floor.app.run_test(size=(80, 24)) as pilot:
        floor.go()
        await next_rep(pilot, floor, performer)
        floor.act(Withdraw(), after=100)
        await until(pilot, lambda: floor.app._ending is not None)
        assert await floor.ended() == 0
    assert len(performer.performed) == 1


async def test_who_was_stopped_by_mistake_goes_on() -> None:
    floor, performer = rehearsed("air-squat", reps=3)
    async with floor.app.run_test(size=(80, 24)) as pilot:
        floor.go()
        await next_rep(pilot, floor, performer)
        await floor.tap(pilot, "0", after=500)
        floor.clock.pass_(20_000)
        await until(pilot, lambda: performer.due_ms >= 20_000)
        assert (floor.app._ending, len(performer.performed)) == (None, 1)
        await floor.tap(pilot, "g")
        shown = await next_rep(pilot, floor, performer)
        await until(pilot, lambda: seen(floor, shown.says))


async def test_after_a_recall_all_of_it_is_shown_anew() -> None:
    floor, performer = rehearsed("air-squat", reps=3)
    async with floor.app.run_test(size=(80, 24)) as pilot:
        floor.go()
        await next_rep(pilot, floor, performer)
        floor.act(Recall(), after=100)
        await until(pilot, lambda: seen(floor, BEFORE_GO))
        assert performer.performed == []
        floor.go()
        shown = await next_rep(pilot, floor, performer)
        assert shown.at_ms < 1000


async def test_a_screen_that_comes_back_goes_on_with_the_same_athlete() -> None:
    floor, performer = rehearsed("air-squat", reps=3)
    async with floor.app.run_test(size=(80, 24)) as pilot:
        floor.go()
        await next_rep(pilot, floor, performer)
    floor.desk.listen_no_more()
    floor.app = FloorApp(floor.desk, athlete=performer)
    async with floor.app.run_test(size=(80, 24)) as pilot:
        shown = await next_rep(pilot, floor, performer)
        await until(pilot, lambda: seen(floor, shown.says))
    assert len(performer.performed) == 2


async def test_the_floor_of_a_heat_looks_for_no_athlete(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(screens.RehearsalScreen, "_look", lambda _self: 1 / 0)
    floor = Floor()
    async with floor.app.run_test(size=(80, 24)):
        _, over = floor.app.screen._face.given  # type: ignore[attr-defined]
    assert over == Over()


@pytest.mark.parametrize("card", BY_REP)
def test_every_described_rep_is_read_whole_beside_count_letters_and_stop(
    card: str,
) -> None:
    body = card_body(CARDS[card], {})
    plan = simple(reps=30)
    part = replace(plan.parts[0], movements=(movement(body.id, 30),))
    played = Played(replace(plan, parts=(part,), cards=(body,))).go()
    played.press(2, Rep())
    view = floor_view(played.lane, Now(heat_ms=3000))
    letters = [row.key for row in view.calls]
    for size in SIZES:
        for example in CARDS[card].examples:
            for flash in ((), ("NO REP", view.calls[0].call)):
                over = Over(performs=example.says, flash=flash)
                drawn = [written(row) for row in face_rows(view, over, *size)]
                assert [len(drawn), {len(row) for row in drawn}] == [size[1], {size[0]}]
                whole = " ".join(" ".join(drawn).split())
                assert example.says in whole
                if size == (40, 12) or not flash:
                    assert [k for k in letters if f" {k} " not in whole] == []
                    assert "0 STOP" in whole


def test_a_panel_is_whole_on_a_small_screen_too() -> None:
    played = Played(simple()).go()
    menu = morepanels.more_menu(played.lane, panels.Known(), 3000)
    view = floor_view(played.lane, Now(heat_ms=3000, panel=True))
    over = Over(performs="one " * 30, panel=menu, panel_keys=("escape closes",))
    drawn = "\n".join(written(row) for row in face_rows(view, over, 40, 12))
    assert [c.says for c in menu.choices if c.says not in drawn] == []


def test_where_there_is_room_for_the_count_alone_the_words_come_first() -> None:
    view = floor_view(Played(simple()).go().lane, Now(heat_ms=3000))
    says = "Turns too soon"
    rows_ = face_rows(view, Over(performs=says), 20, 5)
    assert written(rows_[0]).strip() == wrapped(says, 20, 9)[0]
