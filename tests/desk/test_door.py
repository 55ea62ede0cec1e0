"""The door: durable before told, in order, one go, clocks watched, time called."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import (
    Absent,
    Accept,
    Claim,
    ClockJump,
    Entry,
    Freeze,
    Gap,
    Go,
    Is,
    Recall,
    Rep,
    Rule,
    Session,
    Time,
)
from judgekit.core.errors import BookError, InputError, Problem
from judgekit.core.press import Called, CountAgain, TakeBackOne
from judgekit.core.ruling import Ref, TimeBy
from judgekit.desk import Judged, Lost, News, Refused, Saved, Started, Told, Unsaved
from judgekit.desk.pen import Pen
from judgekit.store.memory import MemoryBook
from tests.desk.fakes import FailingBook, FakeClock, Sitting
from tests.support import ZERO_WALL, for_time, simple

if TYPE_CHECKING:
    from judgekit.core.plan import Plan


def test_nothing_is_told_before_it_is_durable() -> None:
    sitting = Sitting()
    durable: list[int] = []

    def listener(news: News) -> None:
        if isinstance(news, Judged):
            durable.append(sitting.book.last - news.entries[-1].number)

    sitting.desk.listen(listener)
    sitting.go()
    for _ in range(3):
        sitting.press(Rep(), after=2000)
    assert durable == [0, 0, 0, 0]
    assert sitting.good() == 3


def test_zero_lies_ten_seconds_ahead_and_nothing_counts_before_it() -> None:
    sitting = Sitting()
    sitting.desk.call_go(boot_ms=sitting.clock.boot_now)
    sitting.desk.work_off()
    assert sitting.news[-1] == Started(zero_boot_ms=1_010_000)
    assert sitting.desk.heat_ms() == -10_000
    sitting.press(Rep(), after=4000)
    assert sitting.good() == 0
    assert sitting.book.entries()[-1].body.kind == "early"


def test_a_press_is_stamped_when_it_was_made_not_when_it_was_taken() -> None:
    sitting = Sitting()
    sitting.go()
    made = sitting.clock.boot_now + 2000
    sitting.clock.pass_(9000)
    sitting.desk.submit(4, Rep(), boot_ms=made)
    sitting.desk.work_off()
    entry = sitting.book.entries()[-1]
    assert (entry.at, entry.wall) == (2000, sitting.clock.wall_now - 7000)


def test_presses_wait_in_order_while_the_disk_refuses(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    sitting = Sitting(plans={4: simple(5)}, book=FailingBook(0))
    sitting.go()
    book = sitting.book
    assert isinstance(book, FailingBook)
    book.failures = 2
    monkeypatch.setattr(Pen, "pause", lambda _self, _seconds: None)
    for after in (2000, 4000):
        boot = sitting.clock.boot_now + after
        sitting.desk.submit(4, Rep(), boot_ms=boot)
    sitting.clock.pass_(5000)
    sitting.news.clear()
    sitting.desk.work_off()
    kinds = [type(news) for news in sitting.news]
    assert kinds == [Unsaved, Unsaved, Saved, Judged, Judged]
    assert sitting.news[0] == Unsaved(waiting=2, why="no space left on the disk")
    assert [e.at for e in book.entries()[-2:]] == [2000, 4000]
    assert sitting.good() == 2


def test_two_lanes_undo_and_redo_each_their_own() -> None:
    plan = simple(5)
    sitting = Sitting(plans={1: replace(plan, lane=1), 2: replace(plan, lane=2)})
    sitting.go()
    for lane, act in ((1, Rep()), (1, Rep()), (1, Rep()), (2, Rep())):
        sitting.press(act, after=2000, lane=lane)
    sitting.press(Called(fault="depth"), after=2000, lane=1)
    sitting.press(TakeBackOne(), after=1000, lane=1)
    assert (sitting.good(1), sitting.good(2)) == (3, 1)
    assert sitting.desk.lane(1).work.sets[0].no_reps == 0
    sitting.press(TakeBackOne(), after=1000, lane=2)
    assert (sitting.good(1), sitting.good(2)) == (3, 0)
    sitting.press(CountAgain(), after=1000, lane=1)
    sitting.press(CountAgain(), after=1000, lane=2)
    assert sitting.desk.lane(1).work.sets[0].no_reps == 1
    assert (sitting.good(1), sitting.good(2)) == (3, 1)
    assert sitting.desk.lane(1).work.attempts[-1].at == 10_000


def test_a_reopened_book_stands_where_it_was_in_the_same_boot() -> None:
    sitting = Sitting()
    sitting.go()
    sitting.press(Rep(), after=2000)
    again = Sitting(book=sitting.book, clock=sitting.clock, carry_on=True)
    assert again.good() == 1
    assert again.desk.heat_ms() == 2000
    again.press(Rep(), after=2000)
    assert again.good() == 2


def test_in_another_boot_the_wall_clock_says_where_the_clock_stands() -> None:
    sitting = Sitting()
    sitting.go()
    sitting.press(Rep(), after=2000)
    rebooted = FakeClock(
        boot="boot-2",
        boot_now=50,
        awake_now=50,
        wall_now=sitting.clock.wall_now + 60_000,
    )
    again = Sitting(book=sitting.book, clock=rebooted, carry_on=True)
    assert again.desk.heat_ms() == 62_000
    assert isinstance(again.book.entries()[-1].body, Gap)
    assert again.desk.lane(4).flags == ("away; the clock may be off by 1 s",)


def test_elapsed_time_runs_on_across_midnight() -> None:
    clock = FakeClock(wall_now=1_772_409_500_000)  # 2026-03-01 23:58:20 UTC
    sitting = Sitting(plans={4: simple(1)}, clock=clock)
    sitting.go()
    sitting.press(Rep(), after=525_000)
    assert sitting.desk.lane(4).work.done_ms == 525_000
    walls = [e.wall for e in sitting.book.entries()]
    assert walls == sorted(walls)


def test_a_stepped_wall_clock_changes_no_stamp_and_is_written_down() -> None:
    sitting = Sitting()
    sitting.go()
    sitting.press(Rep(), after=2000)
    sitting.clock.step_wall(-3_600_000)
    sitting.desk.idle()
    sitting.press(Rep(), after=2000)
    assert sitting.book.entries()[-2].body == ClockJump(by_ms=-3_600_000)
    assert sitting.book.entries()[-1].at == 4000


def test_sleep_runs_on_the_heat_clock_and_leaves_a_gap_entry() -> None:
    sitting = Sitting()
    sitting.go()
    sitting.clock.pass_(3000)
    sitting.clock.sleep(480_000)
    sitting.desk.idle()
    assert sitting.desk.heat_ms() == 483_000
    assert isinstance(sitting.book.entries()[-1].body, Gap)
    told = [n.says for n in sitting.news if isinstance(n, Told)]
    assert told == ["the computer slept 8:00; the heat clock ran on"]


def test_time_is_called_at_the_cap_once_the_thumbs_lag_is_over() -> None:
    sitting = Sitting()
    sitting.go()
    sitting.press(Rep(), after=2000)
    sitting.clock.pass_(599_000)
    sitting.desk.idle()
    assert sitting.desk.lane(4).over_ms is None
    sitting.clock.pass_(500)
    sitting.desk.idle()
    entry = sitting.book.entries()[-1]
    assert (entry.body, entry.at) == (Time(), 600_000)
    sitting.desk.idle()
    assert sitting.book.entries()[-1] == entry


def other(body: object, *, number: int = 1, lane: int | None = None) -> Entry:
    return Entry(
        book="a",
        number=number,
        lane=lane,
        at=None,
        wall=5_000_000_000_000,
        who="hj",
        set=None,
        body=body,  # type: ignore[arg-type]
    )


def test_another_desks_go_is_taken_as_ones_own() -> None:
    sitting = Sitting()
    go = Go(boot="boot-1", boot_ms=1_004_000, zero_ms=0)
    sitting.desk.hear([other(go)])
    sitting.desk.work_off()
    assert sitting.desk.zero_boot_ms == 1_004_000
    body = sitting.book.entries()[-1].body
    assert isinstance(body, Go)
    assert (body.boot_ms, body.copies) == (1_004_000, Ref("a", 1))
    assert dict(body.plans).keys() == {4}
    sitting.desk.hear([other(go)])
    sitting.desk.work_off()
    assert sum(isinstance(e.body, Go) for e in sitting.book.entries()) == 1


def test_of_two_gos_the_earlier_zero_wins_then_the_lower_book() -> None:
    sitting = Sitting()
    sitting.desk.call_go(boot_ms=sitting.clock.boot_now)
    sitting.desk.work_off()
    later = Go(boot="boot-1", boot_ms=1_010_500, zero_ms=0)
    sitting.desk.hear([other(later)])
    sitting.desk.work_off()
    assert sitting.desk.zero_boot_ms == 1_010_000
    same = Go(boot="boot-1", boot_ms=1_010_000, zero_ms=0)
    sitting.desk.hear([other(same, number=2)])
    sitting.desk.work_off()
    body = sitting.book.entries()[-1].body
    assert isinstance(body, Go)
    assert body.copies == Ref("a", 2)


def test_a_go_of_another_boot_is_not_this_start() -> None:
    sitting = Sitting()
    sitting.desk.hear([other(Go(boot="", boot_ms=1_004_000, zero_ms=0))])
    sitting.desk.work_off()
    assert sitting.desk.zero_boot_ms is None


def test_freeze_and_recall_of_another_desk_are_obeyed_once() -> None:
    sitting = Sitting()
    sitting.go()
    freeze = replace(other(Freeze(why="barbell in lane 2"), number=3), at=0)
    sitting.desk.hear([freeze, freeze])
    sitting.desk.work_off()
    assert [h.kind for h in sitting.desk.lane(4).holds] == ["freeze"]
    sitting.desk.hear([replace(other(Recall(), number=4), at=0)])
    sitting.desk.work_off()
    assert sitting.desk.zero_boot_ms is None
    assert not sitting.desk.lane(4).started


def test_after_a_recall_the_next_go_starts_a_new_run_in_the_same_book() -> None:
    sitting = Sitting()
    sitting.go()
    sitting.press(Rep(), after=2000)
    sitting.press(Recall(why="false start"))
    assert sitting.good() == 0
    sitting.go()
    sitting.press(Rep(), after=3000)
    assert sitting.good() == 1
    assert sitting.book.entries()[-1].at == 3000


def test_a_newer_claim_stops_this_desk_from_counting() -> None:
    sitting = Sitting()
    sitting.go()
    sitting.press(Rep(), after=2000)
    claim = Claim(judge="mo", covers=(Ref("b", 3),))
    sitting.desk.hear([other(claim, lane=4)])
    sitting.desk.work_off()
    assert sitting.news[-1] == Lost(lane=4, to="mo")
    sitting.press(Rep(), after=2000)
    assert isinstance(sitting.news[-1], Refused)
    assert sitting.good() == 1


def test_a_late_starter_goes_by_an_own_go() -> None:
    sitting = Sitting(plans={4: simple(5)})
    sitting.go()
    sitting.clock.pass_(12_000)
    sitting.desk.call_late_go(4, boot_ms=sitting.clock.boot_now)
    sitting.desk.work_off()
    sitting.press(Rep(), after=3000)
    assert sitting.desk.lane(4).offset_ms == 12_000
    assert sitting.desk.lane(4).work.attempts[0].at == 3000


def test_closing_drains_what_waits_and_notes_the_end() -> None:
    book = MemoryBook("b", event="E", heat="3", wall=0)
    sitting = Sitting(plans={4: simple(100)}, book=book)
    sitting.go()
    sitting.clock.pass_(300_000)
    sitting.desk.start()
    for n in range(50):
        sitting.desk.submit(4, Rep(), boot_ms=1_010_000 + 2000 * (n + 1))
    sitting.desk.close("closed by the judge")
    sitting.desk.close()
    assert sitting.good() == 50
    assert book.entries()[-1].body == Session(start=False, why="closed by the judge")


def test_the_log_code_names_the_last_entry_that_the_lane_was_read_from() -> None:
    sitting = Sitting(plans={4: simple(1)})
    sitting.go()
    sitting.press(Rep(), after=2000)
    number = sitting.book.last
    code = f"{number}.{sitting.book.hash_at(number)[:10]}"
    assert sitting.desk.logging_code(4) == code


def test_two_lanes_of_one_desk_share_the_go() -> None:
    plan = for_time()
    sitting = Sitting(plans={1: replace(plan, lane=1), 2: replace(plan, lane=2)})
    sitting.go()
    go = [e for e in sitting.book.entries() if isinstance(e.body, Go)]
    assert len(go) == 1
    assert go[0].lane is None
    sitting.press(Rep(), after=2000, lane=1)
    sitting.press(Rep(), after=10, lane=2)
    assert (sitting.good(1), sitting.good(2)) == (1, 1)


def test_a_listener_that_fails_and_an_unknown_lane_end_nothing() -> None:
    sitting = Sitting(plans={4: simple(5)})

    def fails(_news: News) -> None:
        raise RuntimeError("a screen broke")

    sitting.desk.listen(fails)
    sitting.go()
    sitting.press(Rep(), after=2000)
    sitting.press(Rep(), after=2000, lane=9)
    sitting.press(Rep(), after=2000)
    assert sitting.good() == 2
    assert any(isinstance(n, Refused) and n.lane == 9 for n in sitting.news)


def test_a_press_that_no_book_can_hold_is_refused_and_blocks_nothing() -> None:
    sitting = Sitting(plans={4: simple(5)})
    sitting.go()
    sitting.press(Rule(effect=TimeBy(by_ms=2**70), why="typed with the elbow"))
    assert isinstance(sitting.news[-1], Refused)
    sitting.press(Rep(), after=2000)
    assert sitting.good() == 1


def test_a_plan_that_cannot_be_made_refuses_the_go_in_words() -> None:
    sitting = Sitting()
    wrong = InputError([Problem(file="heats.csv", line=1, what="nobody has bib 99")])

    def fails(_number: int, _day: object) -> Plan:
        raise wrong

    object.__setattr__(sitting.desk._sitting._seat, "resolve", fails)
    sitting.desk.call_go(boot_ms=sitting.clock.boot_now)
    sitting.desk.work_off()
    assert sitting.desk.zero_boot_ms is None
    assert sitting.news[-1] == Refused(lane=4, says="nobody has bib 99", key="g")


def test_a_closing_desk_gives_up_after_three_tries_and_leaves_no_hole(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    pauses: list[float] = []
    monkeypatch.setattr(Pen, "pause", lambda _self, seconds: pauses.append(seconds))
    sitting = Sitting(plans={4: simple(5)}, book=FailingBook(0))
    sitting.go()
    book = sitting.book
    assert isinstance(book, FailingBook)
    last = book.last
    for after in (2000, 4000, 6000):
        sitting.desk.submit(4, Rep(), boot_ms=sitting.clock.boot_now + after)
    book.failures = 3
    sitting.desk.close("closed by the judge")
    assert book.last == last
    assert pauses == [1.0, 1.0]
    said = [n.says for n in sitting.news if isinstance(n, Told)]
    assert said[-1] == "3 presses could not be saved."
    assert sitting.desk.unsaved == 3


def test_a_book_that_refuses_its_first_entries_is_not_opened() -> None:
    with pytest.raises(BookError):
        Sitting(book=FailingBook(1))


def test_a_recalled_go_is_no_start_for_a_desk_that_opens_later() -> None:
    sitting = Sitting()
    go = replace(
        other(Go(boot="boot-1", boot_ms=1_004_000, zero_ms=ZERO_WALL)), wall=1000
    )
    recall = replace(other(Recall(), number=2), wall=5000)
    sitting.desk.hear([go, recall])
    sitting.desk.work_off()
    assert sitting.desk.zero_boot_ms is None
    again = replace(
        other(Go(boot="boot-1", boot_ms=1_020_000, zero_ms=ZERO_WALL), number=3),
        wall=9000,
    )
    sitting.desk.hear([go, recall, again])
    sitting.desk.work_off()
    assert sitting.desk.zero_boot_ms == 1_020_000


def test_a_desk_reopened_after_a_recall_keeps_its_second_start() -> None:
    sitting = Sitting(plans={4: simple(9)})
    first = replace(
        other(Go(boot="boot-1", boot_ms=1_010_000, zero_ms=ZERO_WALL)),
        wall=sitting.clock.wall_now,
    )
    sitting.desk.hear([first])
    sitting.desk.work_off()
    sitting.clock.pass_(12_000)
    sitting.press(Recall(why="false start"))
    sitting.clock.pass_(1000)
    sitting.go()
    zero = sitting.desk.zero_boot_ms
    sitting.press(Rep(), after=2000)
    again = Sitting(
        plans={4: simple(9)},
        book=sitting.book,
        clock=sitting.clock,
        carry_on=True,
        since=len(sitting.book.entries()) - 2,
    )
    again.desk.hear([first])
    again.desk.work_off()
    assert again.desk.zero_boot_ms == zero


def test_a_freeze_before_a_desk_opened_is_obeyed_once_it_takes_the_go() -> None:
    sitting = Sitting()
    start = sitting.clock.wall_now
    go = replace(
        other(Go(boot="boot-1", boot_ms=1_010_000, zero_ms=start + 10_000)), wall=start
    )
    freeze = replace(other(Freeze(), number=2), wall=start + 15_000, at=5000)
    sitting.clock.pass_(30_000)
    sitting.desk.hear([go, freeze])
    sitting.desk.work_off()
    assert [h.kind for h in sitting.desk.lane(4).holds] == ["freeze"]


def test_a_rerun_claimed_at_another_desk_stops_this_one() -> None:
    sitting = Sitting()
    sitting.go()
    sitting.desk.hear([other(Claim(judge="mo", why="rope snapped"), lane=4)])
    sitting.desk.work_off()
    assert sitting.news[-1] == Lost(lane=4, to="mo")


def test_a_shadow_judge_takes_no_lane_away() -> None:
    sitting = Sitting()
    sitting.desk.hear([other(Claim(judge="mo", source="second"), lane=4)])
    sitting.desk.work_off()
    assert not any(isinstance(n, Lost) for n in sitting.news)


def test_an_absent_athlete_is_absent_after_a_recall_too() -> None:
    sitting = Sitting()
    sitting.press(Absent())
    sitting.go()
    sitting.press(Recall())
    assert sitting.desk.lane(4).absent


def test_a_change_of_the_day_at_another_desk_is_taken_before_go() -> None:
    sitting = Sitting()
    sitting.desk.hear([other(Absent(), lane=4)])
    sitting.desk.work_off()
    assert sitting.desk.lane(4).absent
    sitting.plans[4] = for_time(bib="31")
    sitting.desk.hear([other(Is(bib="31"), number=2, lane=4)])
    sitting.desk.work_off()
    assert sitting.desk.lane(4).plan.bib == "31"


def test_time_called_by_a_judge_is_for_the_whole_heat() -> None:
    plan = for_time()
    sitting = Sitting(plans={1: replace(plan, lane=1), 2: replace(plan, lane=2)})
    sitting.go()
    sitting.press(Rep(), after=2000, lane=1)
    sitting.press(Time(), after=3000, lane=1)
    assert sitting.book.entries()[-1].lane is None
    assert sitting.desk.lane(2).over_ms == 5000


def test_zero_found_by_the_wall_clock_is_kept_for_the_next_opening() -> None:
    sitting = Sitting(plans={4: simple(9)})
    sitting.go()
    sitting.press(Rep(), after=2000)
    rebooted = FakeClock(
        boot="boot-2", boot_now=50, awake_now=50, wall_now=sitting.clock.wall_now
    )
    Sitting(plans={4: simple(9)}, book=sitting.book, clock=rebooted, carry_on=True)
    rebooted.step_wall(-120_000)
    rebooted.pass_(1000)
    third = Sitting(
        plans={4: simple(9)}, book=sitting.book, clock=rebooted, carry_on=True
    )
    assert third.desk.heat_ms() == 3000


def test_zero_is_found_in_whichever_lane_has_started() -> None:
    sitting = Sitting(plans={2: simple(9, lane=2)})
    sitting.go()
    book = sitting.book
    both = Sitting(
        plans={1: simple(9, lane=1), 2: simple(9, lane=2)},
        book=book,
        clock=sitting.clock,
        carry_on=True,
        only=2,
    )
    assert both.desk.zero_boot_ms == sitting.desk.zero_boot_ms


def test_closing_leaves_a_signed_cards_log_code_as_it_was() -> None:
    sitting = Sitting(plans={4: simple(1)})
    sitting.go()
    sitting.press(Rep(), after=2000)
    sitting.press(Accept(who="athlete", signed=True), after=2000)
    sitting.press(Accept(who="judge", signed=True), after=2000)
    code = sitting.desk.logging_code(4)
    sitting.desk.close()
    assert sitting.desk.logging_code(4) == code


def test_what_is_the_whole_heats_goes_on_from_a_lane_that_was_lost() -> None:
    plans = {n: replace(for_time(), lane=n) for n in (4, 5)}
    sitting = Sitting(plans=plans)
    sitting.go()
    sitting.desk.hear([other(Claim(judge="mo", why="rope snapped"), lane=4)])
    sitting.press(Freeze(), after=2000, lane=4)
    assert [h.kind for h in sitting.desk.lane(5).holds] == ["freeze"]
    sitting.press(Rep(), after=1000, lane=4)
    assert isinstance(sitting.news[-1], Refused)
