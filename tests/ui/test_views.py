"""What stands on the Floor, for every state of a lane, as text."""

from __future__ import annotations

import ast
import re
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import judgekit
from judgekit.core.entry import (
    Absent,
    Accept,
    BackTo,
    ClockJump,
    Correct,
    Early,
    Freeze,
    Gap,
    GoOn,
    Horn,
    Ignored,
    MoveOn,
    NameFault,
    NoRep,
    Reading,
    Recall,
    Rep,
    Rule,
    Stop,
    Time,
    Unfreeze,
    Withdraw,
)
from judgekit.core.press import (
    Act,
    AnswerExtra,
    AnswerHorn,
    Called,
    CountAgain,
    EndLook,
    GoBack,
    Name,
    ReportSet,
    RuleAt,
    TakeBackOne,
    WasClose,
)
from judgekit.core.recalls import AFTER_RECALL
from judgekit.core.ruling import Close
from judgekit.core.score import score
from judgekit.core.watchentry import Look, Result
from judgekit.reports.scorecard import scorecard
from judgekit.store.book import BookHeld
from judgekit.ui import morepanels, panels
from judgekit.ui.actions import ACTIONS
from judgekit.ui.disputekeys import DisputeKeys
from judgekit.ui.effects import Say
from judgekit.ui.logmenu import log_menu
from judgekit.ui.openitems import open_items_menu
from judgekit.ui.panels import Known, Menu
from judgekit.ui.views import history
from judgekit.ui.views.disputing import dispute_footer
from judgekit.ui.views.floor import FloorView, floor_view, opened_again
from judgekit.ui.views.home import state_of
from judgekit.ui.views.many import lane_row
from judgekit.ui.views.phase import Now
from judgekit.ui.views.sheet import SIGNINGS, footer, sheet, times_words
from tests.support import Played, for_time, simple, window

if TYPE_CHECKING:
    from judgekit.core.people import EarlyStart
    from judgekit.core.state import Lane


def view(
    played: Played,
    seconds: float | None,
    *,
    waiting: int = 0,
    stop_ms: int | None = None,
) -> FloorView:
    heat_ms = None if seconds is None else round(seconds * 1000)
    now = Now(heat_ms=heat_ms, waiting=waiting, stop_ms=stop_ms)
    return floor_view(played.lane, now)


def at_work() -> Played:
    played = Played(for_time()).go()
    played.press(3, Rep())
    played.press(6, Called(fault="depth"))
    played.press(9, Rep())
    return played


def test_the_floor_of_a_set_under_way() -> None:
    assert view(at_work(), 9.4) == FloorView(
        phase="work",
        workout="Quayside",
        where="heat 3  lane 4",
        clock="0:09",
        cap="cap 10:00   9:51 left",
        athlete=("27  Ines Varga   Women", "27  Ines Varga"),
        place=("part A  round 1 of 2", "A 1 of 2"),
        movement=("FRONT SQUAT",) * 5,
        no_reps=("no-reps 1 in all", "no-reps 1"),
        letters="",
        big="02",
        beside="of 3",
        done=2,
        target=3,
        following=("next  toes to bar 2",) * 3,
        calls=view(at_work(), 9.4).calls,
        last=("0:09.0  rep 2", "0:06.0  NO REP depth", "0:03.0  rep 1"),
        mark="✓ good",
        large=(),
        banner="",
        banner_kind="",
        hint=("space good rep", "backspace take back", "? keys"),
        saved="saved",
        flags=(),
        small="02 of 3",
    )


def test_calls_stand_with_their_key_and_what_must_be_there() -> None:
    calls = view(at_work(), 9).calls
    assert [(c.key, c.call, c.says) for c in calls] == [
        ("d", "DEPTH", "hip crease below the knee"),
        ("k", "LOCK", "knees and hips straight"),
    ]


def test_the_count_keeps_its_width() -> None:
    played = Played(simple(reps=120)).go()
    assert view(played, 1).big == "000"
    played.press(3, Rep(n=7))
    assert (view(played, 3).big, view(played, 3).beside) == ("007", "of 120")


def test_before_go_nothing_counts_and_the_floor_says_so() -> None:
    seen = view(Played(for_time()), None)
    assert (seen.phase, seen.clock, seen.banner) == (
        "before go",
        "0:00",
        "Not started. Nothing counts yet",
    )


@pytest.mark.parametrize(
    ("seconds", "shown"), [(-10.0, "10"), (-9.001, "10"), (-2.5, "3"), (-0.001, "1")]
)
def test_the_countdown_stands_in_large_figures(seconds: float, shown: str) -> None:
    seen = view(Played(for_time()).go(), seconds)
    assert (seen.phase, seen.big, seen.beside) == ("countdown", shown, "seconds to go")


def resting() -> Played:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 6, 9, 12, 15, 20, 23, 26, 30, 33)
    return played


def test_the_athletes_own_rest_counts_down_and_names_what_comes() -> None:
    seen = view(resting(), 40.5)
    assert (seen.phase, seen.movement, seen.big, seen.following[0], seen.mark) == (
        "rest",
        ("REST",),
        "0:53",
        "next  row 4 cal",
        "",
    )


def test_after_the_rest_the_machines_unit_is_named() -> None:
    seen = view(resting(), 95)
    assert (seen.phase, seen.movement[0], seen.beside) == ("work", "ROW", "of 4 cal")


def test_a_movement_on_a_machine_says_how_it_is_counted() -> None:
    assert view(resting(), 95).hint == (
        "enter type the monitor",
        "space all 4",
        "? keys",
    )


def capped_in_the_rest() -> Played:
    """The cap falls into the rest before the row, ten seconds after the last rep."""
    played = Played(for_time(cap_ms=43_000)).go()
    played.each(Rep(), 3, 6, 9, 12, 15, 20, 23, 26, 30, 33)
    return played


@pytest.mark.parametrize("called", [False, True])
def test_a_horn_in_a_rest_ends_the_work_that_was_done(*, called: bool) -> None:
    played = capped_in_the_rest()
    assert view(played, 43).movement == ("REST",)
    if called:
        played.put(Time(), 43_000)
    seen = view(played, 44.5)
    assert (seen.movement[0], seen.following, seen.place[0]) == (
        "TOES TO BAR",
        ("",),
        "part A  round 2 of 2",
    )
    assert not any("monitor" in hint for hint in seen.hint)
    assert [call.key for call in seen.calls] == ["d", "k"]


def test_who_withdraws_in_a_rest_is_shown_with_the_work_that_was_done() -> None:
    played = resting()
    played.press(40, Withdraw())
    seen = view(played, 41)
    assert (seen.movement[0], seen.big) == ("TOES TO BAR", "10")
    assert seen.hint[0] == "g scorecard"


def test_a_machine_under_way_at_the_horn_is_still_read() -> None:
    played = Played(for_time(cap_ms=100_000)).go()
    played.each(Rep(), 3, 6, 9, 12, 15, 20, 23, 26, 30, 33)
    played.put(Time(), 100_000)
    seen = view(played, 102)
    assert (seen.movement[0], seen.hint[0]) == ("ROW", "enter type the monitor")


def test_a_second_judges_desk_says_what_it_is() -> None:
    seen = floor_view(at_work().lane, Now(heat_ms=9400, second=True))
    assert seen.where == "heat 3  lane 4   SECOND JUDGE"


def test_a_rest_before_the_next_set_is_announced() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 6, 9, 12, 15, 20, 23, 26)
    ways = view(played, 27).following
    assert (ways[0], ways[-1]) == ("next  rest 1:00, then row 4 cal", "next  rest 1:00")


def test_why_is_asked_for_two_seconds() -> None:
    played = Played(for_time()).go()
    played.press(3, NoRep())
    assert view(played, 5).banner == "NO REP. Why? Press its key"
    late = view(played, 5.001)
    assert (late.banner, late.banner_kind) == (
        "No rep, without a reason   l names it",
        "tell",
    )
    played.press(4, Called(fault="lock"))
    assert (view(played, 4).banner, view(played, 4).mark) == ("", "✗ NO REP lock")


def test_what_a_no_rep_lacks_is_said_until_the_next_press_names_or_ends_it() -> None:
    said = "No rep, without a reason   l names it"
    played = Played(for_time()).go()
    played.press(3, NoRep())
    played.press(6, Rep())
    assert view(played, 7).banner == ""
    played.press(8, NoRep())
    assert view(played, 30).banner == said
    newest = played.entries[-1]
    played.press(31, NameFault(target=newest.ref, fault="lock"))
    assert view(played, 32).banner == ""
    played.press(33, NoRep())
    assert view(played, 40).banner == said
    played.press(41, TakeBackOne())
    assert view(played, 42).banner == ""


def test_a_rep_too_soon_after_another_movement_is_asked_about() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 6, 9, 9.8)
    seen = view(played, 10)
    assert (seen.banner, seen.banner_kind) == (
        "Extra front squat?   y one too many, else it stands",
        "quiet",
    )
    played.press(11, TakeBackOne())
    assert (view(played, 11).banner, view(played, 11).mark) == ("", "↶ undone")


def test_two_presses_at_once_are_asked_about() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 3.02)
    assert view(played, 4).banner == (
        "Two presses at once?   y one too many, else it stands"
    )


def test_stop_shows_when_and_how_many_presses_are_held() -> None:
    played = at_work()
    played.press(12.5, Stop())
    played.press(14, Rep())
    seen = view(played, 15)
    assert (seen.phase, seen.banner, seen.big, seen.large, seen.mark) == (
        "stopped",
        "STOPPED at 0:12, 1 held",
        "02",
        ("STOP", "0:12"),
        "held",
    )
    played.press(16, Called(fault="lock"))
    assert view(played, 17).mark == "held, NO REP lock"
    played.press(18, GoOn(by_mistake=True))
    played.press(20, Rep())
    assert view(played, 20).mark == "✓ good"


def test_a_sign_promises_nothing_that_does_not_count() -> None:
    late = Played(window()).go()
    late.each(Rep(), 299, 300.4)
    assert view(late, 300.6).mark == "rep at the horn?"


def test_stop_is_shown_at_the_press_and_says_if_it_is_not_saved() -> None:
    assert view(at_work(), 13, stop_ms=12_500).banner == "STOPPED at 0:12, 0 held"
    unsaved = view(at_work(), 13, stop_ms=12_500, waiting=2)
    assert (unsaved.banner, unsaved.saved) == (
        "STOPPED at 0:12, NOT SAVED yet, 0 held",
        "NOT SAVED: 2 waiting",
    )


def test_a_freeze_shows_what_is_held() -> None:
    played = at_work()
    played.press(12, Freeze())
    played.press(14, Rep())
    assert view(played, 15).banner == "FROZEN at 0:12, 1 held"


def test_a_rep_at_the_horn_is_asked_about_once_the_work_is_over() -> None:
    played = Played(window()).go()
    played.press(299, Rep())
    played.press(300.4, Rep())
    assert view(played, 300.6).banner == "TIME"
    played.put(Time(), 300_000)
    seen = view(played, 302)
    assert (seen.phase, seen.banner, seen.last[1]) == (
        "over",
        "Rep at the horn: finished in time?   y yes   n no",
        "5:00.4  rep at the horn?",
    )


def test_done_work_shows_its_time_and_all_reps() -> None:
    played = Played(simple(reps=2)).go()
    played.each(Rep(), 3, 6.7)
    seen = view(played, 50)
    assert (seen.phase, seen.clock, seen.banner, seen.big, seen.beside) == (
        "over",
        "0:06",
        "Work is done at 0:06. g scorecard",
        "02",
        "in all",
    )


def test_withdrawn_absent_and_accepted_lanes_differ_in_words() -> None:
    gone, away, done = at_work(), Played(for_time()).go(), Played(simple(reps=1)).go()
    gone.press(12, Withdraw(why="pain"))
    away.put(Absent(), 0)
    done.press(3, Rep())
    done.press(9, Accept(who="athlete", signed=True))
    done.press(10, Accept(who="judge", signed=False))
    assert [view(played, 20).banner for played in (gone, away, done)] == [
        "Withdrew at 0:12. g scorecard",
        "Marked absent",
        "Closed, not signed by judge",
    ]


def test_good_no_rep_and_withdrawn_differ_without_any_colour() -> None:
    good, missed, gone = at_work(), at_work(), at_work()
    missed.press(12, Called(fault="lock"))
    gone.press(12, Withdraw())
    seen = [view(p, 13) for p in (good, missed, gone)]
    assert len({(s.mark, s.banner) for s in seen}) == 3


def test_a_clock_that_jumped_is_told() -> None:
    played = at_work()
    played.put(ClockJump(by_ms=8000), 10_000)
    assert view(played, 11).flags == ("clock jumped 8 s",)


def everything() -> Played:
    """A lane in which one of everything happened."""
    played = Played(for_time()).go()
    played.put(Early(), -500)
    played.press(3, Rep())
    played.press(5, NoRep())
    played.press(9, Name(fault="lock"))
    played.press(10, TakeBackOne())
    played.press(11, CountAgain())
    played.press(12, WasClose())
    played.press(13, MoveOn(why="equipment failed"))
    played.press(14, GoBack(why="moved on by mistake"))
    played.press(15, Correct(by=1, said="2"))
    played.press(16, Freeze())
    played.press(17, Rep())
    played.press(18, Unfreeze(by_mistake=True))
    ignored = Ignored(why="held key", key="space", first_ms=1, last_ms=9, many=29)
    played.put(ignored, 19_000)
    played.put(Gap(off_ms=1000, why="the computer slept 0:08"), 20_000)
    played.put(ClockJump(by_ms=8000), 21_000)
    return played


def test_the_log_says_what_happened_in_a_judges_words() -> None:
    lane = everything().lane
    assert [history.words(lane, e) for e in lane.entries] == [
        "judge kb",
        "go",
        "before zero: not counted",
        "rep 1",
        "NO REP lock",
        "reason lock",
        "undone: reason lock",
        "counted again: reason lock",
        "that was close",
        "moved on: equipment failed",
        "back a set: moved on by mistake",
        "corrected +1, said 2",
        "frozen",
        "rep 3",
        "work goes on",
        "held space: 29 repeats not counted",
        "away: the computer slept 0:08",
        "clock jumped 8 s",
    ]


def test_a_class_says_what_was_seen_and_what_was_said() -> None:
    played = Played(for_time(watching="reported")).go()
    acts: list[Act] = [
        Look(),
        Rep(),
        Rep(n=3),
        Called(fault="depth"),
        EndLook(seen=9),
        TakeBackOne(),
        CountAgain(),
        ReportSet(n=2),
    ]
    for at, act in enumerate(acts, 2):
        played.press(at, act)
    lane = played.lane
    assert [history.words(lane, e) for e in lane.entries[2:]] == [
        "look",
        "rep, seen",
        "3 reps, seen",
        "NO REP depth seen",
        "look over, 9 seen",
        "undone: look over, 9 seen",
        "counted again: look over, 9 seen",
        "2 reported",
    ]
    assert history.mark(lane) == "2 reported"
    assert state_of(lane) == "under way, 2 good at 0:09"
    played.press(20, Look())
    played.press(21, Called(fault="depth"))
    assert history.mark(played.lane) == "NO REP depth seen"
    told = Played(for_time()).go()
    told.press(0, Result(unit="ms", amount=300_000))
    assert history.words(told.lane, told.entries[-1]) == "result 5:00.0"
    assert state_of(told.lane) == "to be accepted, 5:00"


def test_reps_that_do_not_count_say_why() -> None:
    early = resting()
    early.press(50, Reading(shows=4))
    held = at_work()
    held.press(12, Stop())
    held.press(14, Rep())
    undone = at_work()
    undone.press(12, TakeBackOne())
    lane = undone.lane
    assert [
        history.newest(early.lane, 1)[0].body,
        history.stamped(early.lane, early.lane.entries[-1]),
        history.stamped(held.lane, held.lane.entries[-1]),
        history.stamped(lane, lane.entries[-2]),
    ] == [
        Reading(shows=4),
        "0:50.0  monitor 4, early",
        "0:14.0  rep, held",
        "0:09.0  rep, undone",
    ]


def test_home_says_how_far_a_lane_is() -> None:
    done = Played(simple(reps=1)).go()
    done.press(3, Rep())
    waiting = state_of(done.lane)
    done.press(9, Accept(who="athlete", signed=True))
    done.press(10, Accept(who="judge", signed=True))
    assert [
        state_of(None),
        state_of(Played(for_time()).lane),
        state_of(at_work().lane),
        waiting,
        state_of(done.lane),
    ] == [
        "not started",
        "not started",
        "under way, 2 good at 0:09",
        "to be accepted, 0:03",
        "accepted, 0:03",
    ]


def test_a_desk_opened_again_says_what_it_found_only_while_the_heat_is_on() -> None:
    done = Played(simple(reps=1)).go()
    done.press(3, Rep())
    assert [
        opened_again([Played(for_time()).lane], None),
        opened_again([Played(for_time()).go().lane], 5000),
        opened_again([at_work().lane], -1),
        opened_again([at_work().lane], 9000),
        opened_again([done.lane], 9000),
    ] == ["", "", "", "Opened again: 2 reps, the clock ran on.", ""]


# --- words ----------------------------------------------------------------------------

_FORBIDDEN = re.compile(
    r"\b(claim(s|ed)?|runs?|fold(s|ed)?|sealed|books?|put.back|anomal\w+)\b",
    re.IGNORECASE,
)


def strings(value: object) -> list[str]:
    """Every text inside a value."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, tuple | list):
        return [text for item in value for text in strings(item)]
    if is_dataclass(value) and not isinstance(value, type):
        return [t for f in fields(value) for t in strings(getattr(value, f.name))]
    return []


def lanes() -> list[tuple[Played, float | None]]:
    stopped, frozen, horn = everything(), everything(), Played(window()).go()
    stopped.press(22, Stop())
    frozen.press(22, Freeze())
    horn.each(Rep(), 299, 300.4)
    horn.put(Time(), 300_000)
    answered = Played(window()).go()
    answered.each(Rep(), 299, 300.4)
    answered.put(Time(), 300_000)
    answered.press(303, AnswerHorn(counts=True))
    extra = everything()
    extra.each(Rep(), 40, 40.3)
    extra.press(41, AnswerExtra(yes=True))
    extra.each(Rep(), 43, 43.3)
    own = Played(for_time()).go()
    own.each(Rep(), 3, 6, 9, 9.7)
    own.press(10, AnswerExtra(yes=False))
    own.press(11, TakeBackOne(at=6000))
    late = at_work()
    late.press(12, Name(fault="lock"))
    late.each(TakeBackOne(), 20, 30)
    recalled = at_work()
    recalled.press(12, Recall(why="false start"))
    absent = Played(for_time()).go()
    absent.put(Absent(), 0)
    done = Played(simple(reps=1)).go()
    done.press(3, Rep())
    done.press(9, Accept(who="athlete", signed=True))
    return [
        (Played(for_time()), None),
        (Played(for_time()).go(), -4),
        (at_work(), 9),
        (everything(), 22),
        (resting(), 40),
        (stopped, 23),
        (frozen, 23),
        (horn, 302),
        (answered, 304),
        (late, 31),
        (extra, 44),
        (own, 12),
        (recalled, 13),
        (absent, 13),
        (done, 13),
    ]


KNOWN = Known(athletes={"31": "Bo"}, judges={"kb": "Kim"})


def floor_words() -> list[str]:
    found: list[str] = []
    for played, seconds in lanes():
        lane = played.lane
        found += strings(view(played, seconds, waiting=2))
        found += [history.stamped(lane, entry) for entry in lane.entries]
        menus = [
            morepanels.more_menu(lane, KNOWN, None),
            morepanels.stopped_menu(lane),
            morepanels.all_menu(lane, panels.Known(joins=True), 5000),
            panels.unfreeze_menu(lane),
            log_menu(lane, KNOWN),
            panels.back_menu(lane, 99_000),
        ]
        found += [text for menu in menus for text in _menu_words(menu)]
        found += strings(footer(lane))
        found += dispute_words_of(lane)
        found += strings(panels.keys_page(lane, None))
    found += strings([panels.move_on_menu(), open_items_menu(3)])
    found += [text for a in ACTIONS for text in (a.short, a.says, *a.big)]
    found += [s.says for s in SIGNINGS]
    return found


def dispute_words_of(lane: Lane) -> list[str]:
    """All that a dispute asks, and what it says to keys that answer nothing."""
    found: list[str] = []
    for about in "5678":
        keys = DisputeKeys()
        keys.open(lane)
        for key in (about, "enter", "1", "1", "enter", "w", "enter"):
            if keys.step:
                found += strings(dispute_footer(keys, lane))
                effect = keys.press(key, key, lane)
                found += [effect.text] if isinstance(effect, Say) else []
    return found


def card_words() -> list[str]:
    """Every line of the scorecards of all those lanes."""
    again = times_words(2, AFTER_RECALL)
    cards = [
        scorecard(played.lane, score(played.lane), log_code="b-9-abc", runs=again)
        for played, _ in lanes()
    ]
    return [line.text for card in cards for line in sheet(card, 76)]


# Where words are written that the desk tells a judge: refusals, news, reasons for
# which a press is kept and not counted, and who holds a log.
_TELLING = (
    *("core/decide.py", "core/pointing.py", "reports/names.py"),
    *(f"core/{name}.py" for name in ("lanecheck", "checkitems", "measuring")),
    *(f"desk/{name}.py" for name in ("door", "hearing", "pen", "sitting", "watch")),
)
_PACKAGE = Path(judgekit.__file__).parent


def told_words() -> list[str]:
    """Every sentence in those modules, and in every module of the screens.

    A text of one word is a name, not a sentence; for a judge's marks and the reasons
    of ignored presses see the lanes above.
    """
    screens = sorted((_PACKAGE / "ui").rglob("*.py"))
    found: list[str] = []
    for path in (*(_PACKAGE / name for name in _TELLING), *screens):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        docs = {id(d) for node in ast.walk(tree) for d in _docstring(node)}
        found += [
            node.value
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and " " in node.value.strip()
            and id(node) not in docs
        ]
    return found


def _docstring(node: ast.AST) -> list[ast.Constant]:
    body = getattr(node, "body", None)
    if not isinstance(body, list) or not body or not isinstance(body[0], ast.Expr):
        return []
    first = body[0].value
    return [first] if isinstance(first, ast.Constant) else []


def held_words() -> list[str]:
    """Who holds a log, for every kind of entry that may be its last."""
    lane = everything().lane
    return [
        str(BookHeld("b", process=4, host="desk-1", since=0, last=entry))
        for entry in lane.entries
    ]


def _menu_words(menu: Menu) -> list[str]:
    words = [menu.title]
    for choice in menu.choices:
        words.append(choice.says)
        if isinstance(choice.leads, Menu):
            words += _menu_words(choice.leads)
    return words


def test_no_word_of_our_own_workshop_reaches_the_judges_screen() -> None:
    words = [*floor_words(), *card_words()]
    assert len(words) > 700
    assert [text for text in words if _FORBIDDEN.search(text)] == []


def test_no_such_word_stands_in_what_the_desk_tells_a_judge() -> None:
    words = [*told_words(), *held_words()]
    assert len(words) > 300
    assert "Nothing counts before go." in words
    assert "after the horn" in words
    assert [text for text in words if _FORBIDDEN.search(text)] == []


def test_the_scorecard_names_no_kind_of_entry_as_the_log_does() -> None:
    kinds = re.compile(r"\b(name-fault|put-back|take-back|close-call|move-on|back-to)")
    assert [text for text in card_words() if kinds.search(text)] == []


def test_no_menu_has_more_choices_than_digits() -> None:
    known = Known(judges={str(n): "Judge" for n in range(20)})
    for played, _ in lanes():
        lane = played.lane
        for menu in (morepanels.more_menu(lane, known, None), log_menu(lane, KNOWN)):
            assert len(menu.choices) <= panels.MOST
            for choice in menu.choices:
                if isinstance(choice.leads, Menu):
                    assert len(choice.leads.choices) <= panels.MOST


def test_every_kind_of_entry_has_its_words_or_none_on_purpose() -> None:
    lane = everything().lane
    kinds = {type(e.body) for e in lane.entries}
    assert {NameFault, BackTo, Early, Ignored} <= kinds
    horn = Horn(target=lane.entries[2].ref, counts=False)
    played = everything()
    played.put(horn, 30_000)
    assert history.words(played.lane, played.lane.entries[-1]) == "in time: no"


# --- what a judge must not be misled by -----------------------------------------------


def closed(*, athlete: bool, judge: bool) -> Played:
    played = Played(simple(reps=1)).go()
    played.press(3, Rep())
    played.press(9, Accept(who="athlete", signed=athlete))
    played.press(10, Accept(who="judge", signed=judge))
    return played


@pytest.mark.parametrize(
    ("athlete", "judge", "says", "listed"),
    [
        (True, True, "Accepted and closed", "accepted, 0:03"),
        (
            False,
            True,
            "Closed, not signed by athlete",
            "closed, not signed by athlete, 0:03",
        ),
        (
            False,
            False,
            "Closed, not signed by athlete and judge",
            "closed, not signed by athlete and judge, 0:03",
        ),
    ],
)
def test_who_did_not_sign_has_not_accepted(
    *, athlete: bool, judge: bool, says: str, listed: str
) -> None:
    played = closed(athlete=athlete, judge=judge)
    assert (
        view(played, 20).banner,
        footer(played.lane)[0][0],
        state_of(played.lane),
    ) == (says, f"{says}. Only a head judge's ruling changes it.", listed)


def test_a_card_closed_by_a_ruling_was_accepted_by_nobody() -> None:
    played = Played(simple(reps=1)).go()
    played.press(3, Rep())
    played.press(9, Rule(effect=Close(), why="the head judge saw it all"))
    assert view(played, 20).banner == "Closed by a ruling"


def test_a_closed_lane_is_offered_nothing_that_would_be_refused() -> None:
    menu = morepanels.more_menu(closed(athlete=False, judge=False).lane, KNOWN, None)
    assert [choice.leads for choice in menu.choices] == [panels.ToCard()]


def test_two_presses_at_once_are_not_asked_about_again_after_a_stop() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 3.2)
    played.press(5, Stop())
    played.press(6, GoOn(by_mistake=True))
    assert view(played, 7).banner == ""


def test_two_presses_at_once_are_not_asked_about_after_a_later_take_back() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 3.2)
    played.press(6, NoRep())
    played.press(7, TakeBackOne())
    assert view(played, 8).banner == ""


@pytest.mark.parametrize("hold", [Stop(), Freeze()])
def test_who_is_held_during_a_rest_still_rests(hold: Stop | Freeze) -> None:
    played = resting()
    played.press(40, hold)
    seen = view(played, 40.5)
    assert (seen.movement, seen.big, seen.following[0]) == (
        ("REST",),
        "0:53",
        "next  row 4 cal",
    )
    assert (view(played, 95).movement[0], view(played, 95).big) == ("ROW", "00")


@pytest.mark.parametrize(
    ("setting", "says"),
    [
        ("no-rep", "Kept, does not count."),
        ("seconds", "Kept, counts; the rest still due is added."),
        ("counts", "Kept, counts."),
    ],
)
def test_an_early_press_says_what_the_setting_makes_of_it(
    setting: EarlyStart, says: str
) -> None:
    played = Played(for_time(early_start=setting)).go()
    played.each(Rep(), 3, 6, 9, 12, 15, 20, 23, 26, 30, 33)
    newest = played.lane.entries[-1]
    assert history.early_words(played.lane, newest) == ""
    played.press(50, Called(fault="depth"))
    played.press(60, Reading(shows=2))
    lane = played.lane
    assert [history.early_words(lane, entry) for entry in lane.entries[-2:]] == [
        "Early: the rest lasts to 1:33. Kept, no rep.",
        f"Early: the rest lasts to 1:33. {says}",
    ]
    assert [history.words(lane, entry) for entry in lane.entries[-2:]] == [
        "NO REP depth, early",
        "monitor 2, early",
    ]


def with_height(height: str) -> tuple[str, ...]:
    """How a movement with that height is said, fully and shorter."""
    plan = simple(reps=3)
    part = plan.parts[0]
    high = replace(part.movements[0], height=height)
    played = Played(replace(plan, parts=(replace(part, movements=(high,)),))).go()
    return view(played, 1).movement


def test_the_height_stands_before_what_it_is_made_of() -> None:
    ways = with_height("6 in above reach 2.14 m ≈ 2.29 m")
    assert ways[0] == "FRONT SQUAT  ≈ 2.29 m (6 in above reach)"
    assert ways[1] == "FRONT SQUAT  ≈ 2.29 m"


def test_where_room_is_short_a_height_is_said_as_it_was_written() -> None:
    ways = with_height("9 ft ≈ 2.74 m")
    assert (ways[0], ways[1], ways[-1]) == (
        "FRONT SQUAT  9 ft ≈ 2.74 m",
        "FRONT SQUAT  9 ft",
        "FRONT SQUAT",
    )


def test_no_reps_are_one_number_all_through_the_heat() -> None:
    played = Played(for_time()).go()
    played.press(3, Called(fault="depth"))
    played.each(Rep(), 6, 9, 12)
    assert view(played, 13).no_reps == ("no-reps 1 in all", "no-reps 1")
    played.press(15, Withdraw())
    assert view(played, 20).no_reps == ("no-reps 1 of 4 tries", "no-reps 1")
    machine = resting()
    machine.press(94, Reading(shows=4))
    machine.press(97, Called(fault="depth"))
    machine.press(99, Withdraw())
    assert view(machine, 100).no_reps[0] == "no-reps 1 in all"


def test_a_no_rep_seen_is_one_on_the_floor_and_in_its_row_and_no_try() -> None:
    played = Played(for_time(watching="reported")).go()
    played.each(Look(), 2)
    played.press(4, Called(fault="depth"))
    played.each(EndLook(seen=3), 5)
    played.each(ReportSet(n=4), 9)
    played.press(15, Withdraw())
    assert view(played, 20).no_reps == ("no-reps 1 in all", "no-reps 1")
    row = lane_row(played.lane, Now(heat_ms=20_000), "1")
    assert (row.no_reps, row.faults[-1]) == (1, "✗1")


def test_a_no_rep_that_a_ruling_took_away_is_none_on_the_floor_nor_in_its_row() -> None:
    played = Played(for_time()).go()
    played.press(5, Called(fault="depth"))
    played.press(8, Called(fault="lock"))
    played.press(20, RuleAt(restore=True, at=5000, why="good on video"))
    row = lane_row(played.lane, Now(heat_ms=20_000), "1")
    assert (row.no_reps, row.faults[1]) == (1, "no-reps 1: lock 1")
    assert view(played, 20).no_reps[1] == "no-reps 1"


def test_what_was_undone_keeps_its_reasons() -> None:
    played = Played(for_time()).go()
    played.press(3, NoRep())
    played.press(4, Name(fault="lock"))
    played.press(5, Name(fault="depth"))
    played.press(6, TakeBackOne())
    no_rep = next(e for e in played.lane.entries if isinstance(e.body, NoRep))
    assert history.words(played.lane, played.lane.entries[-1]) == "undone: reason depth"
    played.each(TakeBackOne(at=no_rep.at), 7)
    lane = played.lane
    assert [history.words(lane, e) for e in (no_rep, lane.entries[-1])] == [
        "NO REP lock, undone",
        "undone: NO REP lock",
    ]


def test_a_judge_is_named_where_the_name_is_known() -> None:
    lane = at_work().lane
    assert [
        history.words(lane, lane.entries[0]),
        history.words(lane, lane.entries[0], {"kb": "Kim Brandt"}),
    ] == ["judge kb", "judge Kim Brandt"]


def test_the_page_of_keys_lists_the_cues_only_where_they_are_on() -> None:
    pages = [
        panels.keys_page(Played(for_time(cues=cues)).lane, None).lines
        for cues in ("on", "off")
    ]
    assert [("h", "HEELS cue") in lines for lines in pages] == [True, False]
