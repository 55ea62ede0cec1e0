"""What the door refuses, in the words that a judge reads."""

from __future__ import annotations

import pytest

from judgekit.core import looking
from judgekit.core.entry import (
    Absent,
    Accept,
    Correct,
    Cue,
    Dispute,
    Freeze,
    Go,
    GoOn,
    Ignored,
    MoveOn,
    NoRep,
    Note,
    Reading,
    Recall,
    Rep,
    Rule,
    Stop,
    Time,
    Unfreeze,
    Withdraw,
)
from judgekit.core.plan import SetKey
from judgekit.core.press import (
    Act,
    AnswerHorn,
    CountAgain,
    GoBack,
    Name,
    NameSign,
    RuleAt,
    TakeBackOne,
    WasClose,
)
from judgekit.core.ruling import Percent, RepsInSet
from tests.support import Played, for_time, simple, window

GO = Go(boot="b", boot_ms=0, zero_ms=0)


def after(*acts: Act) -> Played:
    """A lane of ten squats, these acts 3 s apart, the first at 3 s."""
    played = Played(simple()).go()
    for number, act in enumerate(acts, 1):
        played.press(3 * number, act)
    assert played.refusals == []
    return played


@pytest.mark.parametrize(
    ("before", "act", "says"),
    [
        ((), GO, "The clock is running already."),
        ((Stop(),), Stop(), "Stopped already, at 0:03."),
        ((), GoOn(by_mistake=True), "Nobody is stopped in this lane."),
        ((Stop(),), GoOn(by_mistake=False), "Say who lets the athlete go on."),
        ((Freeze(),), Freeze(), "Frozen already."),
        ((), Unfreeze(by_mistake=True), "Nothing is frozen."),
        ((Absent(),), Rep(), "This athlete is marked absent."),
        ((Withdraw(),), Rep(), "The athlete withdrew at 0:03."),
        ((Withdraw(),), Withdraw(), "The athlete has withdrawn already."),
        (
            (),
            NoRep(faults=("elbow",)),
            'Front squat has no voiding fault "elbow"; it has depth, lock.',
        ),
        ((), Cue(fault="depth"), 'Front squat has no cue fault "depth"; it has heels.'),
        (
            (),
            Reading(shows=3),
            "Front squat is counted rep by rep; there is no monitor here.",
        ),
        ((Rep(),), Correct(by=1, said=""), "Say what count was called aloud."),
        (
            (),
            Correct(by=-1, said="none"),
            "No set here can move by -1: never below 0 nor above target.",
        ),
        ((), TakeBackOne(), "Nothing to take back."),
        ((Rep(),), CountAgain(), "Nothing to count again."),
        ((), Name(fault="depth"), "There is no no-rep to give a reason for."),
        (
            (NoRep(faults=("depth",)),),
            Name(fault="depth"),
            'That no-rep has the reason "depth" already.',
        ),
        ((), WasClose(), "Nothing has been judged yet."),
        ((), AnswerHorn(counts=True), "No rep waits at the horn."),
        ((), MoveOn(why=""), "Give a reason."),
        ((), GoBack(why="short"), "There is no earlier set to go back to."),
        ((), Note(text=""), "Say what about."),
        ((), Dispute(about=""), "Say what about."),
        ((), Accept(who="judge", signed=True), "The work is not over yet."),
        (
            (Time(), Accept(who="judge", signed=True)),
            Accept(who="judge", signed=True),
            "The judge has answered already.",
        ),
        ((), Rule(effect=Percent(percent=10), why=""), "A ruling needs its reason."),
        (
            (),
            Rule(effect=Percent(percent=101), why="short"),
            "A percentage lies between 1 and 100.",
        ),
        (
            (),
            Rule(effect=RepsInSet(set=SetKey(2, 1, 1), by=1), why="x"),
            "The workout has no such set.",
        ),
        (
            (Rep(),),
            Rule(effect=RepsInSet(set=SetKey(1, 1, 1), by=-2), why="x"),
            "That set has 1 good and 9 left: it cannot move -2.",
        ),
        ((), RuleAt(restore=True, at=1, why=""), "A ruling needs its reason."),
        ((), RuleAt(restore=True, at=1, why="x"), "No attempt is stamped 0:00.001."),
        ((Recall(),), Rep(), "The heat was recalled. Wait for the next go."),
    ],
)
def test_a_refusal_says_why(before: tuple[Act, ...], act: Act, says: str) -> None:
    played = after(*before)
    many = len(played.entries)
    played.press(60, act)
    assert played.refusals == [says]
    assert len(played.entries) == many


def test_before_go_there_is_nothing_to_recall_to_withdraw_from_or_to_move_on() -> None:
    played = Played(simple())
    for act in (Recall(), Withdraw(), MoveOn(why="x"), Time()):
        played.press(3, act)
    assert played.refusals == [
        "There is no start to recall yet.",
        "Nothing counts before go.",
        "Nothing counts before go.",
        "The clock has not started yet.",
    ]


def test_before_zero_a_no_rep_is_refused() -> None:
    played = Played(simple()).go()
    played.press(-3, NoRep())
    assert played.refusals == ["Nothing counts before zero."]


def test_a_full_set_is_not_gone_back_to() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 5, 8, 11)
    played.press(14, GoBack(why="one short"))
    assert played.refusals == ["Front squat is full there; take reps back instead."]


def test_after_the_last_set_there_is_nothing_to_move_on_from() -> None:
    played = Played(simple(1)).go()
    played.press(3, Rep())
    played.press(6, MoveOn(why="done"))
    assert played.refusals == ["There is no set to move on from."]


def test_a_monitor_after_the_horn_is_read_not_pressed() -> None:
    plan = for_time(cap_ms=90_000)
    played = Played(plan).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
    played.press(90.5, Rep())
    assert played.entries[-1].body == Ignored(
        why="after the horn", key="rep", first_ms=90_500, last_ms=90_500, many=1
    )
    played.press(95, Reading(shows=3))
    assert played.lane.work.attempts[-1].at == 90_000
    assert played.lane.work.good == 13


def test_a_space_in_the_rest_before_a_machine_is_kept_and_shows_no_target() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, 9, 11, 14, 16, 18, 21, 23)
    assert looking.line_of(played.lane).opens[3] == 83_000
    played.press(23.3, Rep())
    played.press(82.999, Rep())
    assert [e.body for e in played.entries[-2:]] == [
        Ignored(why="in the rest", key="rep", first_ms=ms, last_ms=ms, many=1)
        for ms in (23_300, 82_999)
    ]
    assert played.lane.work.good == 10
    played.press(83, Rep())
    assert played.lane.work.good == 14


def test_a_rep_counted_again_needs_room_in_its_set() -> None:
    played = Played(simple(2)).go()
    played.each(Rep(), 2, 5)
    played.press(8, TakeBackOne(at=2000))
    played.press(11, Rep())
    played.press(14, CountAgain(at=2000))
    assert played.refusals == ["That set has 0 left; it cannot take this again."]


def test_a_rep_waiting_at_the_horn_is_answered_before_anybody_signs() -> None:
    played = Played(window()).go()
    played.press(300.5, Rep())
    played.press(305, Time())
    played.press(310, Accept(who="athlete", signed=True))
    assert played.refusals == ["A rep waits at the horn: answer yes or no first."]


def test_a_sign_is_named_while_the_athlete_is_stopped_and_stops_nobody() -> None:
    lane = Played(simple()).go()
    lane.press(3, Stop())
    lane.press(4, NameSign(sign="grey face"))
    assert [stop.body for stop in lane.lane.stops] == [Stop(sign="grey face")]
    lane.press(5, GoOn(by_mistake=True))
    lane.press(6, NameSign(sign="grey face"))
    assert not lane.lane.stopped
    assert lane.refusals == ["Nobody is stopped in this lane."]
    # On paper a stop and its sign are one line, at every stop.
    lane.press(7, Stop(sign="dizzy"))
    assert lane.lane.stopped
