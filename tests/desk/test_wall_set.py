"""The desk sets its clock by the hall's: zero moves, here and at the other desks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core.entry import Body, Claim, Entry, Freeze, Gap, Go, Rep, WallSet
from judgekit.core.ruling import Ref
from judgekit.desk import Refused, Started
from judgekit.store.memory import MemoryBook
from tests.desk.fakes import FakeClock, Sitting
from tests.support import simple

BOOT_ZERO = 1_010_000


def nine() -> Sitting:
    sitting = Sitting(plans={4: simple(9)})
    sitting.go()
    return sitting


def reopened(sitting: Sitting, clock: FakeClock | None = None) -> Sitting:
    return Sitting(
        plans={4: simple(9)},
        book=sitting.book,
        clock=clock or sitting.clock,
        carry_on=True,
    )


def stamps(sitting: Sitting) -> list[int | None]:
    return [e.at for e in sitting.book.entries() if isinstance(e.body, Rep)]


def counted(sitting: Sitting) -> list[int]:
    return [a.at for a in sitting.desk.lane(4).work.attempts]


def after_reboot(sitting: Sitting, *, away_ms: int = 0) -> FakeClock:
    wall = sitting.clock.wall_now + away_ms
    return FakeClock(boot="boot-2", boot_now=50, awake_now=50, wall_now=wall)


def of_other(body: Body, number: int, *, at: int, wall: int) -> Entry:
    return Entry(
        book="a",
        number=number,
        lane=None,
        at=at,
        wall=wall,
        who="mo",
        set=None,
        body=body,
    )


def test_the_moment_of_the_press_is_what_the_wall_showed() -> None:
    sitting = nine()
    sitting.press(Rep(), after=2000)
    sitting.press(WallSet(shows_ms=90_000), after=80_000)
    assert sitting.desk.heat_ms() == 90_000
    sitting.press(Rep(), after=1000)
    assert stamps(sitting) == [2000, 91_000]
    assert counted(sitting) == [10_000, 91_000]
    (wall,) = [e for e in sitting.book.entries() if isinstance(e.body, WallSet)]
    assert wall.body == WallSet(
        shows_ms=90_000, boot="boot-1", boot_ms=BOOT_ZERO + 82_000
    )
    assert (wall.lane, wall.at) == (None, 82_000)


def test_whoever_shows_the_clock_hears_that_zero_has_moved() -> None:
    sitting = nine()
    sitting.press(WallSet(shows_ms=13_000), after=10_000)
    assert [n for n in sitting.news if isinstance(n, Started)] == [
        Started(zero_boot_ms=BOOT_ZERO),
        Started(zero_boot_ms=BOOT_ZERO - 3000),
    ]


def test_a_press_made_before_and_taken_after_goes_by_the_moved_zero() -> None:
    sitting = nine()
    made = sitting.clock.boot_now + 9000
    sitting.press(WallSet(shows_ms=13_000), after=10_000)
    sitting.desk.submit(4, Rep(), boot_ms=made)
    sitting.desk.work_off()
    assert counted(sitting) == [12_000]


def test_reopened_in_the_same_boot_the_clock_stands_where_it_was_set() -> None:
    sitting = nine()
    sitting.press(Rep(), after=2000)
    sitting.press(WallSet(shows_ms=15_000), after=10_000)
    sitting.press(WallSet(shows_ms=24_000), after=10_000)
    again = reopened(sitting)
    assert again.desk.zero_boot_ms == sitting.desk.zero_boot_ms
    assert counted(again) == counted(sitting) == [4000]


@pytest.mark.parametrize("away_ms", [0, 120_000])
def test_reopened_in_another_boot_the_set_clock_is_kept(away_ms: int) -> None:
    sitting = nine()
    sitting.press(WallSet(shows_ms=15_000), after=10_000)
    clock = after_reboot(sitting, away_ms=away_ms)
    again = reopened(sitting, clock)
    assert again.desk.heat_ms() == 15_000 + away_ms
    third = reopened(again, clock)
    assert third.desk.heat_ms() == 15_000 + away_ms


def test_after_a_reboot_only_what_came_since_is_moved() -> None:
    sitting = nine()
    sitting.press(Rep(), after=2000)
    clock = after_reboot(sitting, away_ms=58_000)
    again = reopened(sitting, clock)
    again.press(Rep(), after=5000)
    again.press(WallSet(shows_ms=68_500), after=5000)
    assert counted(again) == [2000, 63_500]
    assert any(isinstance(e.body, Gap) for e in again.book.entries())
    assert reopened(again, clock).desk.zero_boot_ms == again.desk.zero_boot_ms


def test_a_wall_clock_stepped_back_over_the_gap_finds_the_newest_zero() -> None:
    sitting = nine()
    sitting.press(Rep(), after=2000)
    clock = after_reboot(sitting)
    clock.step_wall(-60_000 + 10_000 + 2000)  # before the go, by the wall
    again = reopened(sitting, clock)
    zero = again.desk.zero_boot_ms
    clock.step_wall(500_000)
    assert reopened(again, clock).desk.zero_boot_ms == zero


def test_an_entry_from_before_the_start_stays_before_it_wherever_zero_is_moved() -> (
    None
):
    sitting = nine()
    began = sitting.clock.wall_now - 10_000
    sitting.press(WallSet(shows_ms=300_000), after=10_000)
    again = reopened(sitting)
    stale = of_other(Freeze(), 7, at=0, wall=began - 5000)
    again.desk.hear([stale])
    again.desk.work_off()
    assert again.desk.lane(4).holds == ()


def test_a_refusal_moves_nothing() -> None:
    sitting = nine()
    sitting.press(Rep(), after=20_000)
    sitting.press(WallSet(shows_ms=500), after=1000)
    assert isinstance(sitting.news[-1], Refused)
    assert sitting.desk.zero_boot_ms == BOOT_ZERO


# --- at several desks ----------------------------------------------------------------


def read_there(shows_ms: int, moment: int) -> WallSet:
    return WallSet(shows_ms=shows_ms, boot="boot-1", boot_ms=moment)


def wall_set(sitting: Sitting, number: int, shows_ms: int, *, ago: int = 0) -> Entry:
    """What another desk of the heat, with the same zero, read from the wall."""
    moment = sitting.clock.boot_now - ago
    body = read_there(shows_ms, moment)
    wall = sitting.clock.wall_now - ago
    return of_other(body, number, at=moment - BOOT_ZERO, wall=wall)


def test_another_desks_setting_is_obeyed_by_a_copy_that_names_it() -> None:
    sitting = nine()
    sitting.press(Rep(), after=4000)
    sitting.clock.pass_(1000)
    moment = sitting.clock.boot_now
    heard = wall_set(sitting, 3, 8000)
    sitting.clock.pass_(700)
    sitting.desk.hear([heard, heard])
    sitting.desk.work_off()
    assert sitting.desk.heat_ms() == 8700
    assert counted(sitting) == [7000]
    copies = [e for e in sitting.book.entries() if isinstance(e.body, WallSet)]
    assert [(e.at, e.who, e.body) for e in copies] == [
        (5000, "mo", replace(read_there(8000, moment), copies=Ref("a", 3)))
    ]


def test_two_desks_that_read_the_wall_at_once_agree_on_the_later_reading() -> None:
    """Each hears the other's; whoever read it last is believed by both."""
    found = []
    for own_first in (True, False):
        sitting = nine()
        sitting.clock.pass_(10_000)
        if own_first:
            sitting.press(WallSet(shows_ms=13_000))
            sitting.clock.pass_(1000)
            heard = wall_set(sitting, 3, 14_200)
        else:
            sitting.clock.pass_(1000)
            sitting.press(WallSet(shows_ms=14_200))
            heard = wall_set(sitting, 3, 13_000, ago=1000)
        sitting.clock.pass_(500)
        sitting.desk.hear([heard])
        sitting.desk.work_off()
        found.append(sitting.desk.heat_ms())
    assert found == [14_700, 14_700]


def test_a_desk_of_another_boot_goes_by_the_wall_for_the_moment() -> None:
    sitting = nine()
    sitting.clock.pass_(30_000)
    body = WallSet(shows_ms=40_000, boot="elsewhere", boot_ms=5)
    heard = of_other(body, 3, at=29_000, wall=sitting.clock.wall_now - 2000)
    sitting.desk.hear([heard])
    sitting.desk.work_off()
    assert sitting.desk.heat_ms() == 42_000


def test_a_desk_that_opens_later_takes_the_go_and_then_the_setting() -> None:
    sitting = Sitting(plans={4: simple(9)})
    began = sitting.clock.wall_now
    start = Go(boot="boot-1", boot_ms=BOOT_ZERO, zero_ms=began + 10_000)
    go = of_other(start, 1, at=-10_000, wall=began)
    sitting.clock.pass_(40_000)
    heard = wall_set(sitting, 2, 33_000)
    sitting.clock.pass_(20_000)
    sitting.desk.hear([go, heard])
    sitting.desk.work_off()
    assert sitting.desk.heat_ms() == 53_000


def test_two_lanes_of_one_desk_move_together() -> None:
    sitting = Sitting(
        plans={1: simple(9, lane=1), 2: simple(9, lane=2)},
        book=MemoryBook("b", event="E", heat="3", wall=0),
    )
    sitting.go()
    sitting.press(Rep(), after=2000, lane=1)
    sitting.press(Rep(), after=2000, lane=2)
    sitting.press(WallSet(shows_ms=6000), after=1000, lane=2)
    attempts = [sitting.desk.lane(n).work.attempts[0].at for n in (1, 2)]
    assert attempts == [3000, 5000]
    claims = [e for e in sitting.book.entries() if isinstance(e.body, Claim)]
    assert len(claims) == 2
