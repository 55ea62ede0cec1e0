"""Who was stopped on an earlier day is told to the Floor, as exposure tells it."""

from __future__ import annotations

import os
import sys
import threading
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.cli.stopped import StoppedBefore, has_earlier_day
from judgekit.core.people import HeatLane
from tests.cli.test_exposure import judge, make

if TYPE_CHECKING:
    import subprocess
    from collections.abc import Mapping
    from pathlib import Path

STOPPED = "0:00  go\n0:03  rep\n0:05  stop dizzy\n"


def test_the_newest_stop_of_fourteen_days_is_told_in_days(tmp_path: Path) -> None:
    event = make(tmp_path / "today", "2027-05-08")
    judge(make(tmp_path / "nine", "2027-04-29"), STOPPED)
    judge(make(tmp_path / "five", "2027-05-03"), STOPPED)
    judge(make(tmp_path / "month", "2027-04-08"), STOPPED, heat="2")
    assert StoppedBefore(event, "1", earlier=False)() == {"27": 5}
    assert StoppedBefore(event, "2", earlier=False)() == {}


def test_what_lies_in_the_current_folder_is_never_imported(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    event = make(tmp_path / "today", "2027-05-08")
    judge(make(tmp_path / "five", "2027-05-03"), STOPPED)
    (tmp_path / "click.py").write_text("open('touched', 'w')\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert StoppedBefore(event, "1", earlier=False)() == {"27": 5}
    assert not (tmp_path / "touched").exists()


def test_a_stop_by_mistake_is_none(tmp_path: Path) -> None:
    event = make(tmp_path / "today", "2027-05-08")
    mistake = "0:00 go\n0:03 rep\n0:05 stop\n0:08 go-on mistake\n"
    judge(make(tmp_path / "five", "2027-05-03"), mistake)
    assert StoppedBefore(event, "1", earlier=False)() == {}


def test_where_it_cannot_be_told_nothing_is(tmp_path: Path) -> None:
    assert StoppedBefore(tmp_path / "nowhere", "1", earlier=True)() == {}


def test_without_an_earlier_day_or_an_event_beside_it_nobody_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    event = make(tmp_path / "today", "2027-05-08")
    judge(event, STOPPED)
    make(tmp_path / "never-judged", "2027-05-03")
    asked = []

    def told() -> bytes:
        asked.append(1)
        return b'{"stops": []}'

    stopped = StoppedBefore(event, "1", earlier=False)
    monkeypatch.setattr(stopped, "_told", told)
    assert (stopped(), asked) == ({}, [])
    judge(make(tmp_path / "five", "2027-05-03"), STOPPED)
    assert (stopped(), asked) == ({}, [1])


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        ({"1": "2027-05-08"}, False),
        ({"1": "2027-05-08", "2": "2027-05-08"}, False),
        ({"1": "2027-05-08", "2": "2027-05-09"}, False),
        ({"1": "2027-05-08", "2": "2027-05-07"}, True),
        ({"2": "2027-05-07"}, False),
    ],
)
def test_an_earlier_day_is_one_before_that_of_the_heat(
    days: dict[str, str], *, expected: bool
) -> None:
    row = HeatLane(
        heat="", date="", start_ms=0, workout="a", lane=1, bib="27", judge="kai"
    )
    rows = [replace(row, heat=heat, date=day) for heat, day in days.items()]
    assert has_earlier_day(rows, "1") is expected


class Asking:
    """A question whose answer takes for ever, asked in a thread as the Floor does."""

    def __init__(self, where: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        slow = where / "slow"
        slow.write_text("#!/bin/sh\nexec sleep 600\n", encoding="utf-8")
        slow.chmod(0o755)
        monkeypatch.setattr(sys, "executable", str(slow))
        self.child: subprocess.Popen[bytes]
        self.begun = threading.Event()
        self.found: list[Mapping[str, int]] = []
        self.stopped = StoppedBefore(where, "1", earlier=True)
        known = self.stopped._begun

        def told() -> subprocess.Popen[bytes]:
            asked = known()
            self.child = asked
            self.begun.set()
            return asked

        monkeypatch.setattr(self.stopped, "_begun", told)
        self.thread = threading.Thread(target=self._ask)
        self.thread.start()
        assert self.begun.wait(60)

    def _ask(self) -> None:
        self.found.append(self.stopped())


def test_whoever_is_asked_leaves_the_processor_to_keys_and_ends_with_the_floor(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asking = Asking(tmp_path, monkeypatch)
    here = os.getpriority(os.PRIO_PROCESS, 0)
    there = os.getpriority(os.PRIO_PROCESS, asking.child.pid)
    assert asking.child.poll() is None
    asking.stopped.end()
    asking.thread.join(60)
    assert asking.child.returncode == -9
    assert asking.found == [{}]
    assert there == max(10, here)


def test_nobody_is_asked_once_the_floor_is_closed(tmp_path: Path) -> None:
    stopped = StoppedBefore(tmp_path, "1", earlier=True)
    stopped.end()
    assert (stopped(), stopped._asked) == ({}, [])
