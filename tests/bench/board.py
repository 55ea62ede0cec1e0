"""The board: how far it lags behind a desk's commit, and what it costs at rest.

A heat of twelve lanes is under way. No floor is measured beside it: what a second means
to somebody in the hall is no ratio.
"""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import TYPE_CHECKING

from judgekit.core.entry import Rep
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from tests.bench.arithmetic import STATS, percentile
from tests.bench.console import Console, python
from tests.bench.heat import Shape, write_workout
from tests.bench.rows import Group, Line, Setting
from tests.small_event import write_event

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.desk import Desk
    from judgekit.files.eventfolder import EventFolder

_BOARD = ("-m", "judgekit", "board", ".", "--heat", "1")
_LANES = 12
_REPS = 9000
_AGO_MS = 30_000
_JUDGED = 120
_PRESSES = 100
# Apart by no whole number of looks, so that each press falls elsewhere between two.
_GAP_S, _MORE_S = 0.31, 0.13
_REST_S = 5.0
_MOST_LAG_MS = 1000
_MOST_CPU = 10.0


def _heat(folder: Path) -> EventFolder:
    event = write_event(folder)
    write_workout(event, Shape(reps=_REPS))
    lanes = range(1, _LANES + 1)
    people = "".join(f"{40 + n},Athlete {n},women,2.10 m\n" for n in lanes)
    heats = "".join(f"1,10:00,quayside,{n},{40 + n},kb\n" for n in lanes)
    (event / "people.csv").write_text(f"bib,name,division,reach\n{people}", "utf-8")
    (event / "heats.csv").write_text(
        f"heat,start,workout,lane,bib,judge\n{heats}", "utf-8"
    )
    return load_event(event)


def _press(desk: Desk, clock: SystemClock, lane: int) -> None:
    """A good rep, durable when this returns."""
    desk.submit(lane, Rep(), boot_ms=clock.boot_ms())
    desk.work_off()


def _lags(desk: Desk, clock: SystemClock, board: Console, many: int) -> list[float]:
    """In ms, from the commit of a rep to its count on the board."""
    found = []
    for number in range(_JUDGED + 1, _JUDGED + many + 1):
        time.sleep(_GAP_S + _MORE_S * (number % 3))
        board.press(b"")
        _press(desk, clock, 1)
        committed = time.perf_counter()
        shown = board.wait(f" {number} of {_REPS}".encode())
        found.append((shown - committed) * 1000)
    return found


def _cpu(board: Console) -> float:
    """Per cent of one processor while nobody presses and the clock runs."""
    before = _ticks(board)
    began = time.perf_counter()
    while time.perf_counter() - began < _REST_S:
        board.drain()
        time.sleep(0.05)
    used = (_ticks(board) - before) / os.sysconf("SC_CLK_TCK")
    return 100 * used / (time.perf_counter() - began)


def _ticks(board: Console) -> int:
    path = Path(f"/proc/{board.process.pid}/stat")
    fields = path.read_text("utf-8").rpartition(")")[2].split()
    return int(fields[11]) + int(fields[12])


def measure(_: Sequence[str], setting: Setting) -> Iterator[Line]:
    """One heat, one desk with all lanes, one board."""
    folder = _heat(setting.folder / "board")
    clock = SystemClock()
    wish = Wish(heat="1", lanes=tuple(range(1, _LANES + 1)))
    desk, follower = open_desk(folder, wish, clock)
    try:
        desk.call_go(boot_ms=clock.boot_ms() - _AGO_MS)
        desk.work_off()
        for number in range(_JUDGED * _LANES):
            _press(desk, clock, number % _LANES + 1)
        with Console(python(*_BOARD), folder=folder.folder, env={}) as board:
            board.wait(f" {_JUDGED} of {_REPS}".encode())
            lags = _lags(desk, clock, board, setting.some(_PRESSES))
            cpu = _cpu(board)
    finally:
        follower.close()
        desk.close()
    for stat, share in STATS.items():
        lag = percentile(lags, share)
        yield _line(
            "a rep's commit to its count on the board", stat, "ms", lag, _MOST_LAG_MS
        )
    yield _line(
        "processor of a board of twelve lanes at rest", "cpu", "%", cpu, _MOST_CPU
    )


def _line(says: str, stat: str, unit: str, value: float, most: float) -> Line:
    return Line(
        row="board",
        says=says,
        stat=stat,
        unit=unit,
        product=value,
        goal=f"<= {most:g}",
        verdict="ok" if value <= most else "MISSED",
    )


GROUP = Group(names=("board",), measure=measure)
