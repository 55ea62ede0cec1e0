from __future__ import annotations

import re
from dataclasses import replace

import pytest

from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.entry import (
    Body,
    Correct,
    Cue,
    Dispute,
    Freeze,
    GoOn,
    MoveOn,
    NoRep,
    Note,
    Reading,
    Recall,
    Rep,
    Rule,
    Stop,
    TakeBack,
    Unfreeze,
    WallSet,
    Withdraw,
)
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import SetKey
from judgekit.core.press import (
    Act,
    Called,
    Name,
    RuleAt,
    TakeBackOne,
    WasClose,
)
from judgekit.core.ruling import (
    Close,
    Credit,
    Effect,
    Percent,
    Ref,
    Reopen,
    RepsInSet,
    RunCounts,
    StartBy,
    StatusIs,
    TimeBy,
    VoidAttempt,
)
from judgekit.reports.remarks import corrections, late_take_backs, remarks
from tests.support import Played, for_time, simple

NAMES = {"kb": "Kim Brandt"}
# Our own words for the machinery, which no judge has to know.
OUR_WORDS = re.compile(r"\b(claim|run|fold|sealed|book|put.back|anomaly)\b")


def said(*presses: tuple[float, Act]) -> tuple[str, ...]:
    played = Played(simple()).go()
    played.press(3, Rep())
    for seconds, act in presses:
        played.press(seconds, act)
    assert played.refusals == []
    return remarks(played.lane, NAMES)


def test_a_stop_has_its_sign_and_who_let_the_athlete_go_on() -> None:
    go_on = GoOn(by_mistake=False, by="the physician")
    assert said((9, Stop(sign="dizzy")), (25, go_on)) == (
        "STOP at 0:09.0 (dizzy)",
        "let go on at 0:25.0 by the physician",
    )
    # A sign said later is told with the stop itself.
    assert said((9, Stop()), (14, Stop(sign="dizzy"))) == ("STOP at 0:09.0 (dizzy)",)
    assert said((9, Stop()), (12, GoOn(by_mistake=True))) == (
        "STOP at 0:09.0",
        "stopped by mistake, said at 0:12.0",
    )


def test_a_freeze_has_its_reason_and_its_end() -> None:
    rig = Freeze(why="rig loose")
    assert said((9, rig), (20, Unfreeze(by_mistake=False))) == (
        "frozen at 0:09.0 (rig loose)",
        "work went on at 0:20.0",
    )
    assert said((9, Freeze()), (10, Unfreeze(by_mistake=True))) == (
        "frozen at 0:09.0",
        "work went on at 0:10.0 (frozen by mistake)",
    )


def test_a_clock_set_by_the_wall_says_when_and_by_how_much() -> None:
    assert said((9, WallSet(shows_ms=12_500)), (20, Freeze())) == (
        "clock set by the wall at 0:12.5: moved +3.5 s",
        "frozen at 0:20.0",
    )


def test_a_recall_and_a_withdrawal_say_why() -> None:
    assert said((5, Recall(why="false start"))) == ("recalled at 0:05.0 (false start)",)
    assert said((5, Withdraw(why="wrist"))) == ("withdrew at 0:05.0 (wrist)",)
    assert said((5, Withdraw())) == ("withdrew at 0:05.0",)
    assert said((5, Withdraw(why="wrist")), (6, TakeBackOne())) == ()


def test_disputes_notes_and_rulings_stand_in_the_order_of_the_log() -> None:
    assert said(
        (20, Dispute(about="the count")),
        (21, Note(text="video asked for")),
        (30, RuleAt(restore=False, at=3000, why="short on video")),
    ) == (
        "dispute 1: the count; not answered yet",
        "note: video asked for",
        "ruling by Kim Brandt: rep at 0:03.0 does not stand (short on video)",
    )


@pytest.mark.parametrize(
    ("effect", "says"),
    [
        (TimeBy(by_ms=5000), "+5 s on the score"),
        (TimeBy(by_ms=-1500), "-1.5 s on the score"),
        (StartBy(by_ms=12_000), "start moved by +12 s"),
        (Credit(ms=8000), "8 s given back"),
        (Percent(percent=5), "score made worse by 5 %"),
        (StatusIs(status="disqualified"), "status: disqualified"),
        (RunCounts(run=2), "try 2 of this lane counts"),
        (Reopen(), "scorecard opened again"),
        (Close(), "scorecard closed"),
        (
            VoidAttempt(target=Ref("elsewhere", 7)),
            "an entry that is not here does not stand",
        ),
    ],
)
def test_a_ruling_says_who_what_and_why(effect: Effect, says: str) -> None:
    played = Played(simple()).go()
    played.put(Rule(effect=effect, why="as seen"), 60_000)
    assert remarks(played.lane, NAMES) == (f"ruling by Kim Brandt: {says} (as seen)",)


def test_a_ruling_on_a_set_of_another_plan_is_told_all_the_same() -> None:
    played = Played(simple()).go()
    effect = RepsInSet(set=SetKey(9, 9, 9), by=1)
    entry = replace(played.entries[-1], body=Rule(effect=effect, why="as seen"))
    lane = replace(played.lane, entries=(*played.lane.entries, entry))
    assert remarks(lane, NAMES) == (
        "ruling by Kim Brandt: a set that is not in this workout: +1 (as seen)",
    )


def test_a_no_rep_that_counts_after_all_is_named_with_its_call() -> None:
    restored = RuleAt(restore=True, at=9000, why="good on video")
    assert said((9, Called(fault="depth")), (20, restored)) == (
        "ruling by Kim Brandt: no-rep DEPTH at 0:09.0 counts (good on video)",
    )


def test_corrections_say_who_made_them() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 5)
    played.press(8, Correct(by=1, said="two said, three done"))
    effect = RepsInSet(set=SetKey(1, 1, 1), by=-1)
    played.press(9, Rule(effect=effect, why="short on video"))
    assert remarks(played.lane, {}) == ()
    assert corrections(played.lane, {}) == (
        "judge, 0:08.0: Front squat, part A round 1: +1 (two said, three done)",
        "ruling by kb: Front squat, part A round 1: -1 (short on video)",
    )


def test_late_take_backs_are_listed_and_prompt_ones_are_not() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 5)
    played.press(6, TakeBackOne())
    played.press(9, Rep(n=2))
    played.press(20, TakeBackOne())
    assert late_take_backs(played.lane) == ("2 reps at 0:09.0, late, at 0:20.0",)


@pytest.mark.parametrize(
    ("act", "says"),
    [
        (Rep(), "rep"),
        (Called(fault="depth"), "no-rep DEPTH"),
        (NoRep(), "no-rep"),
        (Cue(fault="heels"), "cue HEELS"),
        (Correct(by=1, said="one more"), "correction +1"),
        (MoveOn(why="grip gone"), "moving on"),
        (WasClose(), "close call"),
        (Withdraw(), "withdrawal"),
    ],
)
def test_what_was_taken_back_late_is_told_in_words(act: Act, says: str) -> None:
    played = Played(for_time()).go()
    played.press(3, Rep())
    played.press(9, act)
    played.press(30, TakeBackOne(at=9000))
    assert played.refusals == []
    assert late_take_backs(played.lane) == (f"{says} at 0:09.0, late, at 0:30.0",)


def test_a_reason_or_a_reading_taken_back_late_has_its_own_words() -> None:
    played = Played(for_time()).go()
    played.press(5, NoRep())
    played.press(9, Name(fault="lock"))
    played.press(30, TakeBackOne(at=9000))
    bodies: tuple[tuple[Body, int], ...] = (
        (Reading(shows=12), 40_000),
        (TakeBack(target=Ref("b", len(played.entries) + 1)), 50_000),
    )
    for body, at in bodies:
        played.put(body, at)
    assert late_take_backs(played.lane)[1:] == (
        "monitor 12 at 0:40.0, late, at 0:50.0",
    )


def test_no_line_has_a_word_of_the_machinery() -> None:
    played = Played(for_time()).go()
    played.press(5, NoRep())
    played.press(9, Name(fault="lock"))
    played.press(30, TakeBackOne(at=9000))
    played.put(Rule(effect=RunCounts(run=1), why="the first one"), 60_000)
    played.put(Rule(effect=Reopen(), why="video"), 61_000)
    lane = played.lane
    for line in (*remarks(lane, {}), *corrections(lane, {}), *late_take_backs(lane)):
        assert not OUR_WORDS.search(line.lower()), line


def test_a_lane_check_leaves_what_departs_from_the_plan_and_what_came_later() -> None:
    plan = simple()
    part = plan.parts[0]
    loaded = replace(part.movements[0], loads=("40 kg",))
    played = Played(replace(plan, parts=(replace(part, movements=(loaded,)),)))
    load = Check(item="load-front-squat", answer="measured", value="40 kg")
    limit = Check(item="limits", answer="not as planned", why="left elbow", by="Dag")
    for check in (Check(item="athlete", answer="as planned"), load, limit):
        played.put(check, None)
    played.put(Unchecked(items=("safety", "clock"), why="no time left"), None)
    played.go()
    played.press(184, replace(load, value="35 kg"))
    played.press(190, load)
    assert remarks(played.lane, NAMES) == (
        "not as planned, Limits: left elbow, agreed by Dag",
        "went with Safety, Clock open (no time left)",
        "Front squat load measured at 3:04.0: 35 kg, refused",
        "Front squat load measured at 3:10.0: 40 kg",
    )


def test_another_reach_than_planned_is_told() -> None:
    played = Played(simple())
    reach = Check(
        item="reach", answer="measured", planned="2.14 m for 27", value="2.17 m"
    )
    played.put(reach, None)
    played.put(replace(reach, value="2.14 m"), None)
    assert remarks(played.go().lane, NAMES) == (
        "Reach measured: 2.17 m, planned 2.14 m for 27",
    )


def test_a_lane_that_nobody_checked_says_why_and_one_from_paper_nothing() -> None:
    for why, expected in (
        (
            "checked on paper",
            ("went with the whole lane check open (checked on paper)",),
        ),
        ("transcribed", ()),
    ):
        played = Played(simple())
        items = ("athlete", "safety", "clock", "limits")
        played.put(Unchecked(items=items, why=why), None)
        assert remarks(played.go().lane, NAMES) == expected


def test_a_time_from_paper_that_no_clock_shows_is_said() -> None:
    """Moved by a ruling on the start; the score has it as it was written."""
    played = Played(for_time()).go()
    played.press(250, PaperTime())
    assert remarks(played.lane, NAMES) == ()
    played.press(260, Rule(effect=StartBy(by_ms=200_000), why="late"))
    assert remarks(played.lane, NAMES)[-1] == (
        "from paper, counted as written: all cannot be done before 1:00, so not at "
        "0:50."
    )
