"""The door: durable before told, in order, one go, clocks watched, time called."""

from __future__ import annotations

import threading
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.entry import (
    Claim,
    ClockJump,
    Entry,
    Freeze,
    Gap,
    Go,
    Recall,
    Ref,
    Rep,
    Session,
    Time,
)
from judgekit.core.press import Called, CountAgain, TakeBackOne
from judgekit.desk import Judged, Lost, News, Refused, Saved, Started, Told, Unsaved
from judgekit.store.memory import MemoryBook
from tests.desk.fakes import FailingBook, FakeClock, Sitting
from tests.support import for_time, simple

if TYPE_CHECKING:
    import pytest


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
    monkeypatch.setattr(sitting.desk._closing, "wait", lambda _timeout: False)
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
    done = threading.Event()
    sitting.desk.listen(lambda news: done.set() if isinstance(news, Judged) else None)
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
