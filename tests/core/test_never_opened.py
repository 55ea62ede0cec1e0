"""A horn in a rest: what was to follow it was never under way."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core import looking
from judgekit.core.entry import Ignored, Reading, Rep, Time, Withdraw
from judgekit.core.plan import SetKey
from tests.support import Played, for_time

ROW = SetKey(3, 1, 1)


def resting() -> Played:
    """Part A is done at 0:33; the row opens at 1:33, and the cap is at 1:00."""
    played = Played(replace(for_time(), cap_ms=60_000)).go()
    played.each(Rep(), 3, 6, 9, 12, 15, 20, 23, 26, 30, 33)
    return played


def test_a_monitor_that_a_rest_kept_shut_until_the_horn_shows_nothing() -> None:
    played = resting()
    assert looking.monitor_set(played.lane, 60_000) == ROW
    assert looking.monitor_set(played.lane, 60_001) is None
    played.put(Time(), 60_000)
    assert looking.monitor_set(played.lane) is None


@pytest.mark.parametrize("called", [False, True])
def test_what_is_typed_after_that_horn_is_kept_and_counts_nothing(
    *, called: bool
) -> None:
    played = resting()
    if called:
        played.put(Time(), 60_000)
    played.press(62, Reading(shows=4))
    newest = played.entries[-1].body
    assert isinstance(newest, Ignored)
    assert (newest.why, played.lane.work.good) == ("after the horn", 10)


def test_who_withdraws_in_the_rest_has_no_monitor_to_read() -> None:
    played = resting()
    played.press(40, Withdraw())
    assert looking.monitor_set(played.lane) is None


def test_a_monitor_under_way_at_the_horn_is_still_read() -> None:
    played = Played(replace(for_time(), cap_ms=100_000)).go()
    played.each(Rep(), 3, 6, 9, 12, 15, 20, 23, 26, 30, 33)
    played.put(Time(), 100_000)
    assert looking.monitor_set(played.lane, 104_000) == ROW
    played.press(104, Reading(shows=3))
    assert played.lane.work.good == 13
