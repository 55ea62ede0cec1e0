"""A desk that is still being opened: its end is told once, kept keys come first."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

from judgekit.core.lane import empty
from judgekit.desk import Coming, Desk, News, Reading, Ready, Seat
from judgekit.store.memory import MemoryBook
from tests.desk.fakes import FakeClock
from tests.support import for_time

if TYPE_CHECKING:
    from collections.abc import Callable

LANE = 4
PLAN = for_time()


def a_desk() -> Desk:
    seat = Seat(heat="3", lanes={LANE: empty(PLAN)}, resolve=lambda *_: PLAN, who="kb")
    book = MemoryBook("b", event="E", heat="3", wall=0)
    return Desk(seat, book, FakeClock())


def coming(open_: Callable[[Callable[[int], None]], Desk]) -> Coming:
    planned = {LANE: empty(PLAN)}
    return Coming(lambda tell: (open_(tell), None), planned=planned, clock=FakeClock())


def test_whoever_listens_hears_how_far_it_is_and_of_its_end_once() -> None:
    ended = threading.Event()
    heard: list[News] = []

    def hear(news: News) -> None:
        heard.append(news)
        if news == Ready():
            ended.set()

    def read(tell: Callable[[int], None]) -> Desk:
        tell(40)
        return a_desk()

    one = coming(read)
    one.listen(hear)
    one.start()
    one.start()
    ended.wait()
    assert heard == [Reading(percent=40), Ready()]
    late: list[News] = []
    one.listen(late.append)
    assert late == [Ready()]
    one.handed_over()
    one.close()


def test_one_that_was_never_begun_opens_nothing() -> None:
    opened: list[Desk] = []

    def open_(_: Callable[[int], None]) -> Desk:
        opened.append(a_desk())
        return opened[0]

    one = coming(open_)
    one.close()
    one.start()
    one.close()
    assert opened == []
    assert one.desk is None


def test_the_desk_is_closed_only_after_what_was_kept_for_it() -> None:
    one = coming(lambda _: a_desk())
    one.kept.append("a key")
    one.start()
    closing = threading.Thread(target=one.close, args=("ended by SIGTERM",))
    closing.start()
    there = threading.Event()
    one.listen(lambda _: there.set())
    there.wait()
    assert one.desk is not None
    assert not one.desk._closing.is_set()
    assert one.at_stake == 1
    one.kept.clear()
    one.handed_over()
    closing.join()
    assert one.desk._closing.is_set()
    assert one.at_stake == 0


def test_a_screen_that_fails_to_listen_keeps_no_log_from_being_read() -> None:
    def fail(_: News) -> None:
        raise ValueError

    def read(tell: Callable[[int], None]) -> Desk:
        tell(40)
        return a_desk()

    one = coming(read)
    one.listen(fail)
    one.start()
    one.handed_over()
    one.close()
    assert one.error is None
    assert one.desk is not None
