"""The scorecard: what it says, who signs it, and what no longer changes it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from textual import events

from judgekit.core.entry import Accept, Dispute, Horn, Ignored, Rep, Rule, Time
from judgekit.core.plan import Member, PlanTeam
from judgekit.core.press import Called
from judgekit.core.ruling import TimeBy
from judgekit.core.score import score
from judgekit.desk import Lost, Saved, Unsaved
from judgekit.desk.beside import OtherJudge
from judgekit.reports.scorecard import scorecard
from judgekit.reports.standingwords import time_of_day
from judgekit.ui.athletecodes import Code, packed
from judgekit.ui.screens.floor import FloorScreen
from judgekit.ui.screens.heard import DeskNews
from judgekit.ui.screens.scorecard import ScorecardScreen
from judgekit.ui.views.sheet import sheet, times_words
from judgekit.ui.widgets.line import Line
from tests.handed import told
from tests.support import Played, for_time, simple, window
from tests.ui.fake_desk import LANE, Floor, text, until

if TYPE_CHECKING:
    from textual.pilot import Pilot


SIZE = (80, 24)


def done(*, pads: bool = False) -> Floor:
    floor = Floor(simple(reps=3), pads=pads)
    floor.go()
    floor.act(Rep())
    floor.act(Called(fault="depth"))
    floor.act(Rep())
    floor.act(Rep())
    return floor


async def to_card(floor: Floor, pilot: Pilot[None]) -> None:
    await floor.tap(pilot, "g")
    assert isinstance(floor.app.screen, ScorecardScreen)


def accepts(floor: Floor) -> list[tuple[str, bool]]:
    return [(b.who, b.signed) for b in floor.bodies() if isinstance(b, Accept)]


async def test_it_opens_with_the_line_to_read_aloud() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        shown = text(floor.app)
        for words in (
            "Heat 3, lane 4: 27  Ines Varga, Women",
            "READ ALOUD",
            "0:08, one no-rep: depth 1",
            "STILL OPEN",
            "not accepted yet",
            "SPLITS",
            "1 athlete accepts  2 judge accepts",
            "3 athlete not signed  4 judge not signed",
        ):
            assert words in shown


async def test_it_says_until_when_it_is_provisional_and_then_official() -> None:
    floor = Floor(simple(reps=1, dispute_ms=900_000))
    floor.go()
    floor.act(Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        ends = time_of_day(floor.lane.entries[-1].wall + 900_000, floor.plan.zone)
        assert f"provisional until {ends}" in text(floor.app)
        floor.clock.pass_(900_000)
        await floor.tap(pilot, "x")
        assert "official" in text(floor.app)
        assert "provisional" not in text(floor.app)


async def test_both_accept_and_the_card_is_closed() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "1")
        assert "1 athlete" not in text(floor.app)
        assert "2 judge accepts  4 judge not signed" in text(floor.app)
        await floor.tap(pilot, "1", "2", "2")
        assert accepts(floor) == [("athlete", True), ("judge", True)]
        assert floor.lane.closed
        assert "Accepted and closed" in text(floor.app)


async def test_not_signed_is_an_answer_too() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "3", "4")
        assert accepts(floor) == [("athlete", False), ("judge", False)]
        assert "athlete: not signed" in text(floor.app)


async def test_a_dispute_says_what_is_claimed_and_why() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "d")
        assert "Disputed:  5 the count" in text(floor.app)
        await floor.tap(pilot, "7")
        assert "the score is 0:08  should be: _" in text(floor.app)
        # Keys that sign and close elsewhere are signs of the text here, held or not.
        await floor.tap(pilot, *"6", "enter")
        await floor.tap(pilot, *"qqy d12", "enter", "enter", after=30)
        assert [b for b in floor.bodies() if isinstance(b, Dispute)] == [
            Dispute(about="qqy d12", claims=TimeBy(by_ms=-2000))
        ]
        assert accepts(floor) == []
        shown = " ".join(text(floor.app).split())
        assert "STILL OPEN disputed not accepted yet" in shown
        await floor.tap(pilot, "end")
        assert "dispute 1: qqy d12; asks: -2 s on the score; not answered yet" in (
            " ".join(text(floor.app).split())
        )
        await floor.tap(pilot, "1")
        assert accepts(floor) == [("athlete", True)]


async def test_what_may_not_be_questioned_is_refused_at_the_key() -> None:
    floor = Floor(simple(reps=1, disputes="none"))
    floor.go()
    floor.act(Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "d")
        assert "Scores cannot be questioned at this event." in text(floor.app)
        await floor.tap(pilot, "1")
        assert accepts(floor) == [("athlete", True)]


@pytest.mark.parametrize("size", [(80, 24), (40, 12), (120, 40)])
async def test_a_dispute_can_be_read_at_every_size(size: tuple[int, int]) -> None:
    floor = done()
    async with floor.app.run_test(size=size) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "d", "5", "2")
        shown = " ".join(text(floor.app).split())
        for words in (
            "Front squat, part A round 1: 3 of 3 count",
            "should be: 2_",
            "enter goes on",
            "escape leaves it",
        ):
            assert words in shown
        # Arrows choose a set there, and move nothing else.
        assert "more below" not in shown


async def test_a_rep_at_the_horn_is_answered_before_anyone_signs() -> None:
    floor = Floor(window())
    floor.go()
    floor.act(Rep(), after=299_000)
    floor.act(Rep(), after=1400)
    floor.clock.pass_(3000)
    floor.desk.idle()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        assert "finished in time?  y yes  n no" in text(floor.app)
        await floor.tap(pilot, "1")
        assert accepts(floor) == []
        assert "answer yes or no first" in text(floor.app)
        await floor.tap(pilot, "y", "1")
        assert [b.counts for b in floor.bodies() if isinstance(b, Horn)] == [True]
        assert accepts(floor) == [("athlete", True)]
        assert floor.good == 2


async def test_keys_pressed_before_the_card_stood_sign_nothing() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        screen = floor.app.screen
        assert isinstance(screen, ScorecardScreen)
        screen._ready += 3600
        await floor.tap(pilot, "1", "2")
        assert accepts(floor) == []
        assert "2 pressed before the scorecard stood: not counted" in text(floor.app)
        kept = [b for b in floor.bodies() if isinstance(b, Ignored)]
        assert [(b.key, b.why) for b in kept] == [
            ("1", "pressed before the scorecard stood"),
            ("2", "pressed before the scorecard stood"),
        ]


async def test_a_key_counts_once_the_card_can_be_seen_and_its_words_stay() -> None:
    """A busy machine paints the card before it hears that it is on the screen."""
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        screen = floor.app.screen
        seen = events.Key("1", None)
        screen.post_message(events.ScreenResume())
        screen.post_message(seen)
        await pilot.pause()
        assert accepts(floor) == [("athlete", True)]
        await floor.tap(pilot, "x")
        screen.post_message(events.ScreenResume())
        await pilot.pause()
        assert "x does nothing on the scorecard" in text(floor.app)


async def test_late_news_of_an_earlier_key_leaves_the_words_about_this_one() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "x")
        why = "pressed on the way to the scorecard"
        now = floor.clock.boot_now
        floor.desk.ignored(LANE, "1", why=why, first_ms=now, last_ms=now, many=1)
        await pilot.pause()
        seen = " ".join(text(floor.app).split())
        assert "x does nothing on the scorecard" in seen
        assert "1 pressed on the way to the scorecard: not counted." in seen


@pytest.mark.parametrize("visits", [1, 2])
async def test_a_key_from_before_the_card_was_drawn_signs_nothing(visits: int) -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        for _ in range(visits - 1):
            await to_card(floor, pilot)
            await floor.tap(pilot, "b")
        early = events.Key("1", None)
        await to_card(floor, pilot)
        floor.app.screen.post_message(early)
        await pilot.pause()
        assert accepts(floor) == []
        assert "1 pressed before the scorecard stood: not counted" in text(floor.app)


async def test_keys_pressed_while_the_card_gives_way_are_kept_and_told() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        screen = floor.app.screen
        for key in ("b", "backspace", "1"):
            screen.post_message(events.Key(key, None))
        await pilot.pause()
        await pilot.pause()
        assert isinstance(floor.app.screen, FloorScreen)
        assert "1 pressed on the way from the scorecard: not counted" in text(floor.app)
        kept = [b.key for b in floor.bodies() if isinstance(b, Ignored)]
        assert (kept, accepts(floor), floor.good) == (["backspace", "1"], [], 3)


async def test_a_signature_has_the_time_of_its_key_event(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        event = events.Key("1", "1")
        monkeypatch.setattr(
            "judgekit.ui.screens.heard.monotonic", lambda: event.time + 0.7
        )
        at = floor.desk.heat_ms()
        floor.app.screen.post_message(event)
        await pilot.pause()
        assert (accepts(floor), floor.lane.entries[-1].at) == (
            [("athlete", True)],
            (at or 0) - 700,
        )


async def test_an_unknown_key_is_said_and_counts_nothing() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "k")
        assert "k does nothing on the scorecard." in text(floor.app)
        assert floor.lane.work.sets[0].no_reps == 1


async def test_the_card_scrolls_to_its_log_code() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        code = floor.desk.logging_code(LANE)
        await floor.tap(pilot, "end")
        assert (bool(code), code in text(floor.app)) == (True, True)
        await floor.tap(pilot, "home")
        assert "READ ALOUD" in text(floor.app)


async def test_q_then_y_closes_and_b_goes_back() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "q", "b")
        assert isinstance(floor.app.screen, FloorScreen)
        await floor.tap(pilot, "g", "q", "q")
        assert "Close this desk? y closes" in text(floor.app)
        await floor.tap(pilot, "k", "y")
        assert floor.app._ending is None
        await floor.tap(pilot, "q", "y")
        await until(pilot, lambda: "Closing, saving" in text(floor.app))
        assert await floor.ended() == 0


async def test_a_question_whether_to_close_goes_before_the_one_of_the_horn() -> None:
    floor = Floor(window())
    floor.go()
    floor.act(Rep(), after=299_000)
    floor.act(Rep(), after=1400)
    floor.clock.pass_(3000)
    floor.desk.idle()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "q", "y")
        await floor.ended()
    assert not any(isinstance(body, Horn) for body in floor.bodies())


async def test_closing_over_presses_not_saved_takes_one_more_step_here_too() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        floor.app.screen.post_message(DeskNews(Unsaved(waiting=2, why="full")))
        await floor.tap(pilot, "q")
        assert "2 presses NOT SAVED. y, if" in text(floor.app)
        await floor.tap(pilot, "y")
        assert floor.app._ending is None
        await floor.tap(pilot, "q")
        await floor.ended()


async def test_what_is_not_saved_and_who_has_the_lane_stands_on_the_card() -> None:
    floor = done()
    floor.act(Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        floor.app.screen.post_message(
            DeskNews(Unsaved(waiting=3, why="b.db could not be written: it is full"))
        )
        await to_card(floor, pilot)
        assert "NOT SAVED: 3 waiting. it is full" in text(floor.app)
        for news, words in (
            (Saved(), "1 athlete accepts"),
            (Lost(lane=LANE + 1, to="Kim"), "1 athlete accepts"),
            (Lost(lane=LANE, to="Mo"), "Mo judges this lane now."),
        ):
            floor.app.screen.post_message(DeskNews(news))
            await pilot.pause()
            shown = text(floor.app)
            assert ("NOT SAVED" in shown, words in shown) == (False, True)
            assert ("Kim" in shown) is False


async def test_a_held_key_signs_once_and_is_told() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "1")
        await floor.tap(pilot, "1", after=33)
        assert "1 is held: repeats do not count." in text(floor.app)
        assert accepts(floor) == [("athlete", True)]


async def test_a_failure_in_the_card_or_its_keys_is_told_and_ends_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        with monkeypatch.context() as broken:
            broken.setattr("judgekit.ui.screens.cardpicture.score", lambda *_: 1 / 0)
            await floor.tap(pilot, "1")
            assert "Drawing failed (ZeroDivisionError)" in text(floor.app)
        assert accepts(floor) == [("athlete", True)]
        screen = floor.app.screen
        with monkeypatch.context() as broken:
            broken.setattr(screen, "_answer", lambda *_: 1 / 0)
            await floor.tap(pilot, "2")
            assert "Something failed here (ZeroDivisionError)" in text(floor.app)
        with monkeypatch.context() as broken:
            broken.setattr(screen, "_hear", lambda *_: 1 / 0)
            screen.post_message(DeskNews(Saved()))
            await pilot.pause()
            assert "Something failed here (ZeroDivisionError)" in text(floor.app)
        await floor.tap(pilot, "2")
        assert floor.lane.closed
        assert "failed" not in text(floor.app)


async def test_the_card_says_which_time_this_is_and_why() -> None:
    floor = Floor(simple(reps=1), times="second time, because the clock failed")
    floor.go()
    floor.act(Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        assert "second time, because the clock failed" in text(floor.app)


@pytest.mark.parametrize(
    ("number", "why", "words"),
    [
        (1, "", ""),
        (2, "", "second time"),
        (2, "the clock failed", "second time, because the clock failed"),
        (3, "after a recall", "third time, after a recall"),
        (9, "rain", "time 9, because rain"),
    ],
)
def test_another_time_is_told_in_words(number: int, why: str, words: str) -> None:
    assert times_words(number, why) == words


async def test_the_card_is_told_anew_which_time_this_is_whenever_it_opens() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        assert "second time" not in text(floor.app)
        await floor.tap(pilot, "b")
        floor.times = "second time, after a recall"
        await to_card(floor, pilot)
        assert "second time, after a recall" in text(floor.app)


async def test_a_take_back_on_the_floor_is_on_the_card_at_once() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        # Away from a whole second: a press is as old as its way through the screen.
        floor.clock.pass_(500)
        await to_card(floor, pilot)
        await floor.tap(pilot, "b", "backspace", "space", "g")
        assert "0:16, one no-rep: depth 1" in text(floor.app)


@pytest.mark.parametrize("size", [(80, 24), (40, 12), (120, 40)])
async def test_the_card_is_of_use_at_every_size(size: tuple[int, int]) -> None:
    floor = done()
    async with floor.app.run_test(size=size) as pilot:
        await to_card(floor, pilot)
        assert "0:08, one no-rep: depth 1" in text(floor.app)
        assert "1 athlete accepts" in text(floor.app)


def test_an_amended_card_says_so_with_both_scores() -> None:
    floor = done()
    floor.act(Accept(who="athlete", signed=True))
    floor.act(Accept(who="judge", signed=True))
    floor.act(Rule(effect=TimeBy(by_ms=5000), why="early start"))
    card = scorecard(floor.lane, score(floor.lane), log_code="b-9-abc")
    lines = sheet(card, 76)
    assert [line.text for line in lines if line.kind == "ask"] == [card.amended]
    assert "0:08" in card.amended
    assert any("0:13" in line.text for line in lines if line.kind == "score")


def test_the_arithmetic_stands_line_by_line() -> None:
    floor = done()
    card = scorecard(floor.lane, score(floor.lane))
    lines = [line.text for line in sheet(card, 76)]
    at = lines.index("THE ARITHMETIC")
    assert lines[at + 1 : at + 3] == ["last rep at  0:08.000", "score        0:08"]


async def test_a_name_in_brackets_is_shown_as_written_on_the_card() -> None:
    name = "[@click=app.quit]Bo [/] $x"
    floor = Floor(replace(simple(reps=1), name=name))
    floor.go()
    floor.act(Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        assert name in text(floor.app)
        await pilot.click("#card")
        assert floor.app.is_running


def test_a_lane_that_did_nothing_has_a_card_too() -> None:
    floor = Floor(for_time())
    card = scorecard(floor.lane, score(floor.lane))
    assert any(line.kind == "score" for line in sheet(card, 76))


# --- what an athlete and a judge read -------------------------------------------------


async def test_a_score_that_is_read_aloud_stands_once() -> None:
    floor = Floor(simple(reps=9))
    floor.go()
    floor.act(Rep())
    floor.act(Time())
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        assert text(floor.app).count("1 of 9, 8 short") == 1


async def test_who_has_still_to_accept_is_named() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        assert "not accepted yet" in text(floor.app)
        await floor.tap(pilot, "1")
        shown = text(floor.app)
        assert "not accepted by the judge yet" in shown
        assert ("athlete: accepted" in shown, "accepted yet" in shown) == (True, False)
        await floor.tap(pilot, "2")
        assert "STILL OPEN" not in text(floor.app)


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 12)])
async def test_the_card_says_what_the_arrows_would_show_and_draws_no_bar(
    size: tuple[int, int],
) -> None:
    floor = done()
    async with floor.app.run_test(size=size) as pilot:
        await to_card(floor, pilot)
        await until(pilot, lambda: "arrows: more below" in text(floor.app))
        await until(pilot, lambda: "q, y close" in text(floor.app))
        await floor.tap(pilot, "end")
        await until(pilot, lambda: "arrows: more above" in text(floor.app))
        assert "more below" not in text(floor.app)
        assert not set(text(floor.app)) & set("▁▂▃▄▅▆▇█")


async def test_a_card_that_is_whole_speaks_of_no_arrows() -> None:
    floor = done()
    async with floor.app.run_test(size=(120, 60)) as pilot:
        await to_card(floor, pilot)
        await pilot.pause()
        shown = text(floor.app)
        assert ("arrows" in shown, "LOG CODE" in shown) == (False, True)


@pytest.mark.parametrize("key", ["escape", "d"])
async def test_escape_and_its_own_key_close_the_list_of_disputes(key: str) -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "d")
        assert "escape closes" in text(floor.app)
        await floor.tap(pilot, key, "5")
        assert not any(isinstance(b, Dispute) for b in floor.bodies())
        assert "5 the count" not in text(floor.app)


@pytest.mark.parametrize("width", [80, 50, 40])
def test_a_movement_of_the_splits_is_shortened_before_it_is_cut(width: int) -> None:
    plan = for_time()
    first = replace(plan.parts[0].movements[0], loads=("42.5 kg ≈ 94 lb",))
    part = replace(plan.parts[0], movements=(first,))
    played = Played(replace(plan, parts=(part,))).go()
    played.each(Rep(), 3, 6)
    card = scorecard(played.lane, score(played.lane))
    lines = [line.text for line in sheet(card, width - 2)]
    assert not any("…" in line for line in lines)
    loaded = any("42.5 kg ≈ 94 lb" in line for line in lines)
    assert loaded == (width == 80)


OTHER_CODE = "9.0123456789"


@pytest.mark.parametrize("second", [False, True])
async def test_of_two_judges_each_sees_what_the_other_counted(*, second: bool) -> None:
    """This desk has 3 of five, the other one 2: the lower holds at either desk."""
    plan = window(team=PlanTeam(judges=2))
    other = Played(plan, book="o").go()
    other.each(Rep(), 2, 5)
    other.press(300, Time())
    floor = Floor(plan)
    floor.desk.second = second
    floor.go()
    for _ in range(3):
        floor.act(Rep())
    floor.act(Time(), after=300_000)
    there: list[OtherJudge] = []
    async with floor.app.run_test(size=SIZE) as pilot:
        card = ScorecardScreen(
            floor.desk, LANE, other=lambda: there[0] if there else None
        )
        card.asked_for()
        floor.app.push_screen(card)
        await until(pilot, lambda: "one judge of two counted" in text(floor.app))
        there.append(OtherJudge(other.lane, OTHER_CODE))
        assert card._beside is not None
        card._beside.look()
        words = "this judge: 3, other judge: 2; 2 counts"
        await until(pilot, lambda: words in text(floor.app))
        assert "one judge of two counted" not in text(floor.app)
        assert "0 rounds and 2 (2 reps), no no-reps" in text(floor.app)
        own = floor.desk.logging_code(LANE)
        codes = (OTHER_CODE, own) if second else (own, OTHER_CODE)
        await pilot.press("end")
        await until(pilot, lambda: "+".join(codes) in text(floor.app))


# --- the code of the athlete's own sheet ----------------------------------------------

LINK = "http://192.168.1.20:8720/sheet/0123456789abcdefghijklmn"


def squares_of(many: int = 33) -> tuple[str, ...]:
    """Rows between two dark ones, that no turn or mirror of them equals."""
    rows = [format(row * row * 977, f"0{many}b")[-many:] for row in range(many - 2)]
    return ("1" * many, *rows, "1" * many)


def hand(monkeypatch: pytest.MonkeyPatch, *bibs: str) -> None:
    """A server hands the screen these athletes' codes."""
    codes = {bib: Code(link=LINK, rows=squares_of()) for bib in bibs}
    told(monkeypatch, packed(codes))


def seen_squares(floor: Floor) -> list[str]:
    """The black and white on the screen: rows of 0 and 1, two in each row of cells."""
    dark = {"#000000": "1", "#ffffff": "0"}
    found: list[str] = []
    for strip in floor.app.screen._compositor.render_strips():
        upper = lower = ""
        for words, style, _ in strip:
            if style and style.bgcolor and (below := dark.get(style.bgcolor.name)):
                above = style.color.name if style.color and words[0] == "▀" else ""
                upper += dark.get(above, below) * len(words)
                lower += below * len(words)
        found += [upper, lower] if upper else []
    return found


def inside(rows: list[str], least: int) -> tuple[str, ...]:
    """What stands inside of a light border of at least so many squares."""
    dark = [number for number, row in enumerate(rows) if "1" in row]
    left = min(row.index("1") for row in rows if "1" in row)
    right = max(row.rindex("1") for row in rows if "1" in row) + 1
    edges = (dark[0], len(rows) - dark[-1] - 1, left, len(rows[0]) - right)
    assert min(edges) >= least, edges
    return tuple(row[left:right] for row in rows[dark[0] : dark[-1] + 1])


@pytest.mark.parametrize(
    ("size", "border", "pads"),
    [((80, 24), 4, False), ((80, 24), 2, True), ((43, 40), 4, True)],
)
async def test_s_shows_the_whole_code_of_the_athlete_s_sheet(
    monkeypatch: pytest.MonkeyPatch, *, size: tuple[int, int], border: int, pads: bool
) -> None:
    hand(monkeypatch, "27")
    floor = done(pads=pads)
    async with floor.app.run_test(size=size) as pilot:
        await to_card(floor, pilot)
        if not pads:
            assert "s athlete's sheet" in text(floor.app)
        await floor.tap(pilot, "s")
        await pilot.pause()
        assert inside(seen_squares(floor), border) == squares_of()
        assert "Sheet of 27 Ines Varga" in text(floor.app)
        # Nobody signs what is not on the screen.
        await floor.tap(pilot, "1", "b", "q", "y", "down")
        assert accepts(floor) == []
        assert isinstance(floor.app.screen, ScorecardScreen)
        assert inside(seen_squares(floor), border) == squares_of()
        await floor.tap(pilot, "escape")
        assert seen_squares(floor) == []
        await floor.tap(pilot, "1")
        assert accepts(floor) == [("athlete", True)]


async def test_s_says_why_a_server_has_no_code(monkeypatch: pytest.MonkeyPatch) -> None:
    hand(monkeypatch)
    floor = done()
    async with floor.app.run_test(size=(80, 24)) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "s")
        assert "No code of the sheet: this address is this computer's alone" in text(
            floor.app
        )
        # Whoever comes into reach has one.
        hand(monkeypatch, "27")
        await floor.tap(pilot, "s")
        assert "Sheet of 27 Ines Varga" in text(floor.app)


async def test_without_a_server_s_does_nothing_on_the_scorecard() -> None:
    floor = done()
    async with floor.app.run_test(size=(80, 24)) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "s")
        assert "s does nothing on the scorecard." in text(floor.app)


async def test_beside_pads_the_card_and_its_keys_keep_to_their_own_width() -> None:
    floor = done(pads=True)
    async with floor.app.run_test(size=(106, 33)) as pilot:
        await to_card(floor, pilot)
        card = floor.app.screen.query_one("#sign", Line)
        # No answer is broken, and a cell is free before the pads.
        assert "4 judge not signed" in card.shown.splitlines()
        pads = floor.app.screen.query_one("#pads")
        assert card.region.right < pads.region.x
        for columns in (96, 80, 106):
            await pilot.resize_terminal(columns, 33)
            await pilot.pause()
            assert max(map(len, card.shown.splitlines())) <= card.size.width


async def test_a_code_that_does_not_fit_gives_its_link(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    hand(monkeypatch, "27")
    floor = done()
    async with floor.app.run_test(size=(30, 16)) as pilot:
        await to_card(floor, pilot)
        await floor.tap(pilot, "s")
        shown = text(floor.app)
        assert LINK in "".join(shown.split())
        assert seen_squares(floor) == []


async def test_of_a_team_each_member_s_code_comes_in_turn(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    hand(monkeypatch, "27", "28")
    members = (Member(bib="27", name="Ines Varga"), Member(bib="28", name="Bo Lindt"))
    floor = Floor(simple(reps=1, team=PlanTeam(members=members, how="shared")))
    floor.go()
    floor.act(Rep())
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        heads = []
        for _ in range(3):
            await floor.tap(pilot, "s")
            shown = text(floor.app)
            heads.append([name for name in ("Ines", "Bo") if f"{name} " in shown])
            heads[-1] += ["next"] if "s next athlete" in shown else []
        assert heads[:2] == [["Ines", "next"], ["Bo"]]
        assert seen_squares(floor) == []


async def test_without_a_server_there_is_no_such_key() -> None:
    floor = done()
    async with floor.app.run_test(size=SIZE) as pilot:
        await to_card(floor, pilot)
        assert "sheet" not in text(floor.app)
        await floor.tap(pilot, "s")
        assert "s does nothing on the scorecard" in text(floor.app)
