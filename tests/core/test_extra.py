"""Presses too soon: kept, counted, asked about, and taken off as one too many."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core import doubt
from judgekit.core.entry import (
    CloseCall,
    Entry,
    Extra,
    Gap,
    Go,
    GoOn,
    NoRep,
    Reading,
    Rep,
    Stop,
    TakeBack,
)
from judgekit.core.lane import fold
from judgekit.core.plan import Plan, PlanPart, SetKey
from judgekit.core.press import (
    Act,
    AnswerExtra,
    Called,
    CountAgain,
    TakeBackOne,
    WasClose,
)
from judgekit.core.ruling import Ref
from tests.support import Played, for_time, movement, simple, window

SQUATS, TOES = SetKey(1, 1, 1), SetKey(1, 1, 2)
CHANGED = 6.8  # 0.8 s after the last squat; toes-to-bar take 1.5 s to begin


def too_soon() -> Played:
    """Three squats, and a press too soon for a first toes-to-bar."""
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6, CHANGED)
    return played


def marks(played: Played) -> list[tuple[str, ...]]:
    return [a.marks for a in played.lane.work.attempts]


def asked(played: Played, seconds: float) -> bool:
    return doubt.asked(played.lane, round(seconds * 1000)) is not None


def test_a_press_too_soon_after_another_movement_counts_and_is_asked_about() -> None:
    played = too_soon()
    assert played.counts() == [(1, 1, 1, 3, 0), (1, 1, 2, 1, 0)]
    found = doubt.newest(played.lane)
    assert found is not None
    assert (found.entry, found.before) == (played.entries[-1], SQUATS)


def test_yes_takes_it_off_as_an_extra_and_the_entry_keeps_its_set() -> None:
    played = too_soon()
    played.press(7.5, AnswerExtra(yes=True))
    assert played.counts() == [(1, 1, 1, 3, 0)]
    assert played.lane.work.cursor == TOES
    pressed, answer = played.entries[-2:]
    assert pressed.set == answer.set == TOES
    assert answer.body == Extra(target=pressed.ref, one_too_many=True)
    [taken] = played.lane.taken_back
    assert (taken.target, taken.extra, taken.late) == (pressed.ref, True, False)
    assert not any(isinstance(e.body, TakeBack) for e in played.entries)
    assert fold(played.plan, played.entries) == played.lane


def test_no_says_it_was_a_rep_of_its_own() -> None:
    played = too_soon()
    played.press(7.5, AnswerExtra(yes=False))
    assert played.counts() == [(1, 1, 1, 3, 0), (1, 1, 2, 1, 0)]
    assert marks(played)[-1] == ("changeover", "own")
    found = doubt.newest(played.lane)
    assert found is not None
    assert doubt.answered(played.lane, found.entry.ref)
    assert played.lane.taken_back == ()
    assert fold(played.plan, played.entries) == played.lane


def test_what_was_taken_off_can_be_counted_again_and_is_not_asked_twice() -> None:
    played = too_soon()
    played.press(7.5, AnswerExtra(yes=True))
    played.press(8, CountAgain())
    assert played.counts() == [(1, 1, 1, 3, 0), (1, 1, 2, 1, 0)]
    assert played.lane.taken_back == ()
    assert not asked(played, 8.1)


def test_backspace_after_a_no_takes_the_press_back_and_not_the_answer() -> None:
    played = too_soon()
    pressed = played.entries[-1]
    played.press(7.5, AnswerExtra(yes=False))
    played.press(8, TakeBackOne())
    assert played.entries[-1].body == TakeBack(target=pressed.ref)
    assert played.counts() == [(1, 1, 1, 3, 0)]


@pytest.mark.parametrize(
    "act",
    [Rep(), NoRep(), Called(fault="depth"), TakeBackOne(), WasClose(), Stop()],
    ids=lambda act: type(act).__name__,
)
def test_any_other_judgement_does_its_own_work_and_ends_the_question(act: Act) -> None:
    played = too_soon()
    many = len(played.entries)
    played.press(8.5, act)
    assert len(played.entries) == many + 1
    assert doubt.newest(played.lane) is None
    played.press(8.6, AnswerExtra(yes=True))
    assert played.refusals == [
        "Nothing is asked: the newest press did not come too soon."
    ]


def test_the_question_lapses_by_itself_and_the_press_stands() -> None:
    played = too_soon()
    last = CHANGED + doubt.ASKED_MS / 1000
    assert asked(played, CHANGED)
    assert asked(played, last)
    assert not asked(played, last + 0.001)
    assert doubt.asked(played.lane, None) is None
    assert played.lane.work.good == 4


def test_what_the_desk_itself_notes_ends_no_question() -> None:
    played = too_soon()
    played.put(Gap(off_ms=1, why="opened again"), 7000)
    assert doubt.newest(played.lane) is not None
    assert doubt.newest(fold(played.plan, played.entries)) is not None


def test_an_older_press_is_answered_by_its_time() -> None:
    played = too_soon()
    played.press(9, Rep())
    played.press(20, AnswerExtra(yes=True, at=6800))
    assert played.counts() == [(1, 1, 1, 3, 0), (1, 1, 2, 1, 0)]
    [taken] = played.lane.taken_back
    assert (taken.extra, taken.late) == (True, True)


def test_of_several_presses_too_soon_the_one_before_is_asked_about_next() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4, 4.3, 4.6)
    played.press(5, AnswerExtra(yes=True))
    assert asked(played, 5.1)
    played.press(5.5, AnswerExtra(yes=True))
    assert not asked(played, 5.6)
    assert played.counts() == [(1, 1, 1, 2, 0)]
    assert [t.extra for t in played.lane.taken_back] == [True, True]


def test_one_answer_given_twice_takes_one_press_off() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4, 4.2, 4.2)  # keys of one read share their time
    first, second = played.entries[-2:]
    answer = AnswerExtra(yes=True, target=second.ref)
    played.press(4.5, answer)
    played.press(4.5, answer)
    assert played.refusals == ["That press is answered already, or undone."]
    assert played.lane.work.good == 3
    played.press(5, AnswerExtra(yes=True, target=first.ref))
    assert [t.target for t in played.lane.taken_back] == [second.ref, first.ref]


def test_an_answer_names_a_press_that_came_too_soon_or_none() -> None:
    played = too_soon()
    squat, pressed = played.entries[-2:]
    played.press(7, AnswerExtra(yes=True, target=squat.ref))
    played.press(7, AnswerExtra(yes=True, target=Ref("other", 1)))
    assert len(played.refusals) == 2
    assert played.lane.work.good == 4
    played.press(7.2, TakeBackOne())
    played.press(7.5, AnswerExtra(yes=True, target=pressed.ref))
    assert len(played.refusals) == 3
    assert [t.extra for t in played.lane.taken_back] == [False]


@pytest.mark.parametrize("at", [6000, 7000])
def test_only_a_press_that_came_too_soon_is_answered(at: int) -> None:
    played = too_soon()
    played.press(20, AnswerExtra(yes=True, at=at))
    assert played.refusals == [
        f"No press of 0:0{at // 1000}.000 came too soon; it can be taken back."
    ]
    assert played.lane.work.good == 4


def test_a_press_sooner_than_the_cards_floor_is_asked_about_too() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4, 4.3)
    found = doubt.newest(played.lane)
    assert found is not None
    assert (found.entry.at, found.before) == (4300, None)
    played.press(5, AnswerExtra(yes=True))
    assert played.counts() == [(1, 1, 1, 2, 0)]


def test_the_last_rep_of_a_workout_taken_off_opens_the_set_again() -> None:
    played = Played(simple(3)).go()
    played.each(Rep(), 2, 4, 4.3)
    assert played.lane.work.done_ms == 4300
    played.press(5, AnswerExtra(yes=True))
    assert played.lane.work.done_ms is None
    assert played.lane.work.cursor == SQUATS


def test_many_reps_at_one_press_are_asked_about_and_come_off_together() -> None:
    played = Played(simple()).go()
    played.press(2, Rep())
    played.press(4, Rep(n=5))
    assert marks(played)[-1] == ("soon",)
    assert played.lane.work.good == 6
    assert doubt.newest(played.lane) is not None
    played.press(5, AnswerExtra(yes=True))
    assert played.lane.work.good == 1
    played.press(12, Rep(n=5))
    assert marks(played)[-1] == ()


def test_many_reps_on_one_line_of_a_tally_are_no_slip() -> None:
    played = Played(simple())
    played.put(Go(boot="", boot_ms=0, zero_ms=0), 0)
    played.press(2, Rep())
    played.press(4, Rep(n=5))
    assert marks(played)[-1] == ("soon",)
    assert doubt.newest(played.lane) is None


def test_a_machine_done_too_soon_is_an_extra_of_the_movement_before() -> None:
    row = (movement("front-squat", 1), movement("row", 10, unit="calories"))
    part = PlanPart(id="A", kind="rounds", rounds=1, movements=row)
    played = Played(for_time(parts=(part,))).go()
    played.each(Rep(), 2, 4)
    assert isinstance(played.entries[-1].body, Reading)
    played.press(5, AnswerExtra(yes=True))
    assert played.counts() == [(1, 1, 1, 1, 0)]


def test_what_does_not_count_is_not_asked_about() -> None:
    horn = Played(window()).go()
    horn.each(Rep(), 299.8, 300.2)
    assert marks(horn)[-1] == ("at the horn", "soon")
    assert doubt.newest(horn.lane) is None
    rested = Played(resting()).go()
    rested.each(Rep(), 2, 2.4)
    assert marks(rested)[-1] == ("early", "soon")
    assert doubt.newest(rested.lane) is None


def resting() -> Plan:
    squat = PlanPart(
        id="A", kind="rounds", rounds=1, movements=(movement("front-squat", 1),)
    )
    rest = PlanPart(id="", kind="rest", length_ms=60_000)
    more = replace(squat, id="B", movements=(movement("front-squat", 9),))
    return for_time(parts=(squat, rest, more), cap_ms=0)


def test_a_stop_keeps_what_was_said_of_the_presses_before_it() -> None:
    played = too_soon()
    played.press(7, Stop())
    played.press(9, AnswerExtra(yes=False, at=6800))
    played.press(9.5, WasClose(at=6000))
    played.press(10, GoOn(by_mistake=False, by="head judge"))
    assert marks(played) == [(), (), ("close",), ("changeover", "own")]


def test_a_close_call_may_name_an_older_judgement() -> None:
    played = Played(simple()).go()
    played.each(Rep(), 2, 4, 6)
    first = played.entries[2]
    played.press(7, WasClose(at=2000))
    assert played.entries[-1].body == CloseCall(target=first.ref)
    assert marks(played) == [("close",), (), ()]
    played.press(8, WasClose(at=2001))
    assert played.refusals == ["No attempt is stamped 0:02.001."]


def test_what_a_press_was_an_extra_of_is_read_from_the_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    played = too_soon()
    pressed = played.entries[-1]
    played.press(7.5, AnswerExtra(yes=True))
    played.press(9, Rep())
    assert doubt.extra_of(played.lane, pressed) == SQUATS
    played.press(10, CountAgain(at=6800))
    assert doubt.extra_of(played.lane, pressed) == SQUATS

    def compared(_one: object, _other: object) -> bool:
        raise AssertionError("entries are told apart by their refs")

    monkeypatch.setattr(Entry, "__eq__", compared)
    assert doubt.extra_of(played.lane, pressed) == SQUATS
