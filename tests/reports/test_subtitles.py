from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.entry import Cue as CueSeen
from judgekit.core.entry import NoRep, Rep, Rule, Stop, Time
from judgekit.core.plan import Plan, SetKey
from judgekit.core.press import EndLook, ReportSet, TakeBackOne
from judgekit.core.ruling import StartBy
from judgekit.core.watchentry import Look
from judgekit.reports.subtitles import Call, Cue, as_srt, as_vtt, calls, cues, untimed
from tests.support import ZERO_WALL, Played, for_time, simple, window

LATER = ZERO_WALL + 3_600_000


def says(played: Played, wall: int = LATER) -> list[tuple[int, str]]:
    return [(call.at, call.says) for call in calls(played.lane, wall)]


def test_a_lane_says_go_counts_calls_and_what_comes_next() -> None:
    played = Played(for_time(cues="on")).go()
    played.each(Rep(), 5, 8)
    played.press(10, NoRep(faults=("depth", "lock")))
    played.press(11, CueSeen(fault="heels"))
    played.press(13, Rep())
    assert says(played, ZERO_WALL) == [
        (0, "GO"),
        (0, "Front squat: 3 reps"),
        (5000, "1"),
        (8000, "2"),
        (10_000, "NO REP depth, lock"),
        (11_000, "cue heels"),
        (13_000, "3"),
    ]


def test_the_last_count_is_told_before_the_next_set_and_the_end_last() -> None:
    played = Played(for_time()).go()
    played.press(10, Rep(n=3))
    played.press(15, Rep())
    assert says(played, ZERO_WALL)[2:] == [
        (10_000, "3"),
        (10_000, "Toes to bar: 2 reps"),
        (15_000, "1"),
    ]
    done = Played(simple(1)).go()
    done.press(7, Rep())
    assert says(done)[-2:] == [(7000, "1"), (7000, "DONE")]


def test_what_was_taken_back_was_not_called() -> None:
    played = Played(simple(4)).go()
    played.press(5, NoRep(faults=("depth",)))
    played.press(6, TakeBackOne())
    assert says(played)[2:] == []


def test_a_stop_is_told_without_its_sign() -> None:
    played = Played(simple(4)).go()
    played.press(5, Rep())
    played.press(9, Stop(sign="Sharp pain"))
    assert says(played)[-1] == (9000, "stopped")


def test_a_horn_is_told_once_its_time_is_over() -> None:
    played = Played(window()).go()
    played.press(5, Rep())
    assert says(played, ZERO_WALL + 299_000)[-1] == (5000, "1")
    assert says(played, ZERO_WALL + 300_000)[-1] == (300_000, "HORN")
    played.press(301, Time())
    assert says(played, ZERO_WALL)[-1] == (300_000, "HORN")


def test_no_horn_is_told_of_work_that_was_done_before_it() -> None:
    played = Played(simple(1, cap_ms=60_000)).go()
    played.press(7, Rep())
    assert "HORN" not in [text for _, text in says(played)]


def test_what_a_look_saw_good_was_not_called() -> None:
    played = Played(replace(simple(20), watching="reported")).go()
    played.press(5, Look())
    played.press(7, Rep())
    played.press(8, NoRep(faults=("depth",)))
    played.press(20, EndLook(seen=6))
    assert [text for _, text in says(played)] == ["GO", "NO REP depth"]


def test_calls_follow_a_start_that_was_moved() -> None:
    """10:00:00 to 10:03:00 and 10:09:30; the start was at 10:00:12."""
    played = Played(simple(2)).go()
    played.each(Rep(), 180, 570)
    played.press(600, Rule(effect=StartBy(by_ms=12_000), why="video"))
    assert [at for at, text in says(played) if text in ("1", "2", "DONE")] == [
        168_000,
        558_000,
        558_000,
    ]


def called(*at: int) -> list[Call]:
    return [Call(ms, str(number)) for number, ms in enumerate(at)]


def test_cues_come_in_order_and_none_lasts_into_the_next() -> None:
    at = (1999, 12_000, 12_000, 59_999, 61_000, 61_200, 3_599_999)
    found = cues(called(*at))
    assert found == (
        Cue(1999, 3999, ("0",)),
        Cue(12_000, 14_000, ("1", "2")),
        Cue(59_999, 61_000, ("3",)),
        Cue(61_000, 61_200, ("4",)),
        Cue(61_200, 63_200, ("5",)),
        Cue(3_599_999, 3_601_999, ("6",)),
    )
    starts = [line[:12] for line in as_srt(found).splitlines() if "-->" in line]
    assert starts == [
        *("00:00:01,999", "00:00:12,000", "00:00:59,999"),
        *("00:01:01,000", "00:01:01,200", "00:59:59,999"),
    ]


def test_cues_move_with_the_video_and_begin_with_it() -> None:
    assert cues(called(0, 4000), 12_500)[1] == Cue(16_500, 18_500, ("1",))
    assert cues(called(0, 4000, 9000), -5000) == (
        Cue(0, 1000, ("1",)),
        Cue(4000, 6000, ("2",)),
    )
    # One that ends just as the video begins has nothing to stand in.
    assert cues(called(0, 2000), -2000) == (Cue(0, 2000, ("1",)),)


@given(
    st.lists(st.integers(-10_000, 10_000), min_size=1, max_size=30),
    st.integers(-9000, 9000),
)
def test_every_cue_has_a_length_and_its_own_time(at: list[int], offset: int) -> None:
    found = cues(called(*sorted(at)), offset)
    assert all(0 <= cue.start < cue.end for cue in found)
    assert all(one.end <= other.start for one, other in pairwise(found))
    last = max(at) + offset
    assert last < 0 or found[-1].start == last


def test_text_is_never_markup_nor_the_end_of_a_cue() -> None:
    (cue,) = cues([Call(0, "<b>a</b>\n\n2\n00:00 --> 00:01 & {\\an8}")])
    assert as_vtt((cue,)) == (
        "WEBVTT\n\n1\n00:00:00.000 --> 00:00:02.000\n"
        "&lt;b&gt;a&lt;/b&gt;  2 00:00 --&gt; 00:01 &amp; {\\an8}\n"
    )
    assert as_srt((cue,)) == (
        "1\n00:00:00,000 --> 00:00:02,000\n‹b›a‹/b›  2 00:00 --› 00:01 & (\\an8)\n\n"  # noqa: RUF001 - of the same look
    )


def test_a_fault_that_the_card_has_no_more_is_told_as_logged() -> None:
    played = Played(simple(4)).go()
    played.put(NoRep(faults=("gone",)), 5000, SetKey(1, 1, 1))
    assert says(played)[-1] == (5000, "NO REP gone (no longer on the card)")


def test_a_lane_that_waits_has_no_call() -> None:
    plan: Plan = simple(4)
    assert calls(Played(plan).lane, LATER) == ()


def test_what_was_reported_has_only_the_calls_that_were_timed() -> None:
    played = Played(replace(simple(20), watching="reported")).go()
    played.press(20, ReportSet(n=20))
    assert untimed(played.lane).startswith("the athlete reported it")
    looked = Played(replace(simple(20), watching="reported")).go()
    looked.press(5, Look())
    looked.press(8, NoRep(faults=("depth",)))
    looked.press(20, EndLook(seen=6))
    looked.press(30, ReportSet(n=20))
    assert untimed(looked.lane) == ""
    assert says(looked)[:2] == [(0, "GO"), (8000, "NO REP depth")]
