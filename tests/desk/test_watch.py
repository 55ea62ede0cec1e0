"""The clocks and the program itself: whatever time does is told and written down."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from judgekit.core.entry import Body, ClockJump, Gap, Rep
from judgekit.desk import Desk, News, Told
from judgekit.desk.sitting import Sitting as Sat
from judgekit.desk.watch import Standstill
from judgekit.reports.logtext import wall_text
from tests.desk.fakes import FakeClock, Sitting
from tests.support import for_time, simple

SOON_S = 30.0


def bodies(sitting: Sitting) -> list[Body]:
    return [e.body for e in sitting.book.entries()]


def told(sitting: Sitting) -> list[str]:
    return [n.says for n in sitting.news if isinstance(n, Told)]


def wall(*moment: int) -> int:
    return round(datetime(*moment, tzinfo=UTC).timestamp() * 1000)  # type: ignore[misc,arg-type]


# --- sleep, steps, midnight, daylight saving -----------------------------------------


def test_eight_minutes_of_sleep_leave_one_minute_fifty_seven_of_ten() -> None:
    sitting = Sitting(plans={4: simple(9, cap_ms=600_000)})
    sitting.go()
    sitting.clock.pass_(3000)
    sitting.clock.sleep(480_000)
    sitting.desk.idle()
    heat = sitting.desk.heat_ms()
    assert heat == 483_000
    assert 600_000 - heat == 117_000
    assert bodies(sitting)[-1] == Gap(off_ms=0, why="the computer slept 8:00")
    assert told(sitting) == ["the computer slept 8:00; the heat clock ran on"]
    sitting.press(Rep(), after=1000)
    assert sitting.desk.lane(4).work.attempts[-1].at == 484_000


@pytest.mark.parametrize("step", [-2000, 3_600_000, -86_400_000])
def test_a_step_of_the_wall_clock_keeps_order_and_stamps(step: int) -> None:
    sitting = Sitting(plans={4: simple(9)})
    sitting.go()
    for _ in range(3):
        sitting.press(Rep(), after=2000)
        sitting.clock.step_wall(step)
        sitting.desk.idle()
    work = sitting.desk.lane(4).work
    assert [a.at for a in work.attempts] == [2000, 4000, 6000]
    jumps = [b for b in bodies(sitting) if isinstance(b, ClockJump)]
    assert jumps == [ClockJump(by_ms=step)] * 3
    assert len(told(sitting)) == 3


@pytest.mark.parametrize(
    ("start", "zone"),
    [
        ((2026, 3, 1, 22, 58, 20), "Europe/Berlin"),  # midnight in the event's zone
        ((2026, 3, 1, 23, 58, 20), "UTC"),  # midnight of the wall clock
        ((2026, 3, 29, 0, 58, 20), "Europe/Berlin"),  # an hour is left out
        ((2026, 10, 25, 0, 58, 20), "Europe/Berlin"),  # an hour comes twice
    ],
)
def test_elapsed_time_knows_no_midnight_and_no_daylight_saving(
    start: tuple[int, ...], zone: str
) -> None:
    clock = FakeClock(wall_now=wall(*start))
    sitting = Sitting(plans={4: for_time(zone=zone)}, clock=clock)
    sitting.go()
    sitting.press(Rep(), after=525_000)
    assert sitting.desk.lane(4).work.attempts[0].at == 525_000
    assert told(sitting) == []
    (rep,) = [e for e in sitting.book.entries() if isinstance(e.body, Rep)]
    moment = datetime.fromisoformat(wall_text(rep.wall, zone))
    begun = datetime(*start, tzinfo=UTC)  # type: ignore[misc,arg-type]
    assert (moment - begun).total_seconds() == 535
    assert moment.utcoffset() == moment.astimezone(ZoneInfo(zone)).utcoffset()


def test_in_another_boot_a_heat_across_a_change_of_daylight_saving_is_right() -> None:
    sitting = Sitting(
        plans={4: simple(9)}, clock=FakeClock(wall_now=wall(2026, 3, 29, 0, 55))
    )
    sitting.go()
    sitting.press(Rep(), after=2000)
    rebooted = FakeClock(
        boot="boot-2", boot_now=9, awake_now=9, wall_now=wall(2026, 3, 29, 1, 5, 10)
    )
    again = Sitting(
        plans={4: simple(9)}, book=sitting.book, clock=rebooted, carry_on=True
    )
    assert again.desk.heat_ms() == 600_000
    assert isinstance(bodies(again)[-1], Gap)


def test_a_summers_morning_exported_in_winter_keeps_its_own_offset() -> None:
    moment = wall(2026, 7, 15, 7, 26)
    shown = [wall_text(moment, zone) for zone in ("Europe/Berlin", "Asia/Tokyo")]
    assert shown == ["2026-07-15T09:26:00.000+02:00", "2026-07-15T16:26:00.000+09:00"]
    assert {datetime.fromisoformat(text).timestamp() * 1000 for text in shown} == {
        moment
    }


# --- a program that stood still ------------------------------------------------------


def test_only_a_wait_far_beyond_its_time_is_a_standstill() -> None:
    clock = FakeClock()
    still = Standstill(clock, 100)
    found = []
    for waited in (90, 350, 351, 5200):
        still.waits()
        clock.pass_(waited)
        found.append(still.woke())
    says = "The program stood still for {} s. Presses just after may be that late"
    begins = [words.partition(":")[0] for words in found]
    assert begins == ["", "", says.format("0.4"), says.format("5.2")]


def test_the_computers_sleep_is_no_standstill_of_the_program() -> None:
    clock = FakeClock()
    still = Standstill(clock, 100)
    still.waits()
    clock.sleep(480_000)
    assert still.woke() == ""


def test_only_the_first_press_after_a_standstill_is_doubted() -> None:
    clock = FakeClock()
    still = Standstill(clock, 100)
    still.waits()
    clock.pass_(5200)
    still.woke()
    before, at_once = clock.boot_now - 5300, clock.boot_now + 3
    gap = Gap(off_ms=5200, why="the program stood still; the next may be late")
    assert [still.doubts(ms) for ms in (before, at_once, at_once)] == [None, gap, None]
    still.waits()
    clock.pass_(5200)
    still.woke()
    assert still.doubts(clock.boot_now + 501) is None


def test_a_press_read_after_a_stop_is_kept_behind_a_gap_in_the_log() -> None:
    """As after SIGSTOP and SIGCONT: the key was made then, and read only now."""
    sitting = Sitting(plans={4: simple(9)})
    sitting.go()
    sitting.press(Rep(), after=2000)
    sitting.desk._still.waits()
    sitting.clock.pass_(5200)
    sitting.desk._woke()
    sitting.press(Rep())
    sitting.press(Rep(), after=2000)
    assert bodies(sitting)[-3:] == [
        Gap(off_ms=5200, why="the program stood still; the next may be late"),
        Rep(),
        Rep(),
    ]
    assert sitting.good() == 3
    assert sitting.desk.lane(4).flags == ("away; the clock may be off by 5.2 s",)
    said = [says[:33] for says in told(sitting)]
    assert said == ["The program stood still for 5.2 s"] * 2


# --- a desk that fails ---------------------------------------------------------------


@dataclass
class Heard:
    """What a desk with a thread of its own told, until something was."""

    news: list[News] = field(default_factory=list)
    came: threading.Event = field(default_factory=threading.Event)

    def __call__(self, news: News) -> None:
        self.news.append(news)
        if isinstance(news, Told):
            self.came.set()


def test_whatever_kills_the_desks_thread_the_next_press_counts(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    sitting = Sitting(plans={4: simple(9)})
    sitting.go()
    heard = Heard()
    sitting.desk.listen(heard)
    was = Desk._press
    fails = [KeyboardInterrupt(), SystemExit(3)]

    def press(desk: Desk, item: object) -> None:
        if fails:
            raise fails.pop()
        was(desk, item)  # type: ignore[arg-type]

    monkeypatch.setattr(Desk, "_press", press)
    sitting.desk.start()
    for n in range(3):
        sitting.desk.submit(4, Rep(), boot_ms=sitting.clock.boot_now + 2000 * n)
    sitting.desk.close("closed by the judge")
    assert sitting.good() == 1
    says = [n.says for n in heard.news if isinstance(n, Told)]
    failed = "Something failed at the desk ({}). Check the count, then go on."
    kinds = ("SystemExit", "KeyboardInterrupt")
    assert says == [failed.format(kind) for kind in kinds]


def test_what_was_saved_before_a_step_failed_is_counted_all_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Else the screen would say less than the log until the desk is opened again."""
    sitting = Sitting(plans={4: simple(9)})
    sitting.go()
    was = Sat._spread
    fails = [ValueError("hunter2")]

    def spread(sat: Sat, *given: object) -> None:
        if fails:
            raise fails.pop()
        was(sat, *given)  # type: ignore[arg-type]

    monkeypatch.setattr(Sat, "_spread", spread)
    sitting.press(Rep(), after=2000)
    sitting.press(Rep(), after=2000)
    assert sitting.good() == 2
    assert told(sitting) == [
        "Something failed at the desk (ValueError). Check the count, then go on."
    ]


def test_presses_at_stake_are_those_not_yet_taken() -> None:
    sitting = Sitting(plans={4: simple(9)})
    sitting.go()
    found = [sitting.desk.at_stake]
    for _ in range(2):
        sitting.clock.pass_(2000)
        sitting.desk.submit(4, Rep(), boot_ms=sitting.clock.boot_now)
        found.append(sitting.desk.at_stake)
    sitting.desk.work_off()
    assert [*found, sitting.desk.at_stake] == [0, 1, 2, 0]
