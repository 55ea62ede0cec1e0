"""Key to paint: from the write into the terminal to the bytes that show the new count.

All programs run side by side, and keys go round them in shuffled order, so that what
troubles the machine troubles all of them alike. No key is sent to a program sooner than
the guard against held keys allows.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from typing import TYPE_CHECKING

from judgekit.ui.start import FRAMES
from tests.bench.arithmetic import Measured
from tests.bench.console import ROOT, Console, drain_all, python
from tests.bench.heat import COUNTS, FLOOR, Shape, good_in, write_heat
from tests.bench.rows import Group, Line, Row, Setting, lines, shuffled
from tests.class_event import HEAT, a_class

if TYPE_CHECKING:
    import random
    from collections.abc import Iterator, Mapping

_ROUNDS, _KEYS, _WARM_UP = 6, 100, 5
_GAP_S, _JITTER_S = 0.088, 0.02
_STOCK_FRAMES = "60"
# The rows of the terminal where the stock app's Digits end, and the first lane's.
_DIGITS_END, _LANE_END = b"\x1b[3;", b"\x1b[4;"
_CLASS_REPS = 9000
_CHOSEN_S = 5.0

_ROWS = {
    row.name: (row, product, floor)
    for row, product, floor in (
        (
            Row(
                name="key-same",
                says="key to paint after 50 entries against a bare app of this layout",
                goals={"p50": 1.4, "p95": 1.4, "p99": 1.6},
            ),
            "floor",
            "same",
        ),
        (
            Row(
                name="key-stock",
                says="key to paint against the stock app with a clock, 60 frames",
                goals={"p50": None, "p95": None, "p99": 0.5},
            ),
            "floor",
            "stock",
        ),
        (
            Row(
                name="key-clock",
                says="key to paint with the clock running against without",
                goals={"p50": None, "p95": 1.3, "p99": None},
            ),
            "floor",
            "still",
        ),
        (
            Row(
                name="key-5000",
                says="key to paint after 5,000 entries against after 50",
                goals={"p50": 1.2, "p95": 1.2, "p99": None},
            ),
            "floor-5000",
            "floor",
        ),
        (
            Row(
                name="key-class",
                says="key to paint on twelve lanes against a bare app of eight",
                goals={"p50": 1.4, "p95": 1.4, "p99": 1.6},
            ),
            "class",
            "eight",
        ),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """One contender: how it is started, and what it paints once it is there.

    `judged` is how many entries its book begins with, None without a book; `first` is
    a key that it needs before it counts. `paints` is what a key paints: the number of
    the rep, or always the same.
    """

    command: Sequence[str]
    ready: bytes
    frames: str = ""
    judged: int | None = None
    first: bytes = b""
    paints: bytes = b"rep %d"


def bare(which: str) -> list[str]:
    """The command of a bare app."""
    return python(str(ROOT / "tests" / "bench" / "bare.py"), which)


_FLOOR = python(*FLOOR)
_STILL = python("-m", "tests.bench.still", *FLOOR[2:])
_PROGRAMS = {
    "floor": Program(command=_FLOOR, ready=COUNTS, judged=50),
    "floor-5000": Program(command=_FLOOR, ready=COUNTS, judged=5000),
    "still": Program(command=_STILL, ready=COUNTS, judged=50),
    "same": Program(command=bare("same"), ready=COUNTS, frames=FRAMES),
    "stock": Program(
        command=bare("stock"), ready=b"0.1", frames=_STOCK_FRAMES, paints=_DIGITS_END
    ),
    "class": Program(
        command=python("-m", "judgekit", "floor", ".", "--heat", HEAT),
        ready=COUNTS,
        first=b"1",
        paints=b"%%d/%d" % _CLASS_REPS,
    ),
    "eight": Program(
        command=bare("eight"), ready=b"0.1", frames=FRAMES, paints=_LANE_END
    ),
}


class Player:
    """A program on its terminal, pressed one key at a time."""

    def __init__(self, program: Program, setting: Setting, name: str) -> None:
        self._program = program
        folder = setting.folder / name
        self._count = 0
        if program.first:
            a_class(folder, reps=_CLASS_REPS)
        elif program.judged is None:
            folder.mkdir(parents=True)
        else:
            write_heat(folder, Shape(judged=program.judged))
            self._count = good_in(folder)
        frames = {"TEXTUAL_FPS": program.frames} if program.frames else {}
        self.console = Console(program.command, folder=folder, env=frames)
        self._next = 0.0
        self._started = False

    def start(self) -> None:
        """Wait until it is painted, and let the first keys pass."""
        self.console.wait(self._program.ready)

    def press(self, chance: random.Random) -> float:
        """Seconds from one key to its paint; waits until the key may be pressed."""
        now = time.perf_counter()
        if self._next > now:
            time.sleep(self._next - now)
        if self._program.first and now - self._next > _CHOSEN_S:
            # The lane that was chosen is no longer, or was not yet.
            self.console.press(self._program.first)
            time.sleep(_GAP_S)
        self._count += 1
        sent = self.console.press(b" ")
        painted = self.console.wait(self._marker())
        self._started = True
        self._next = sent + _GAP_S + chance.random() * _JITTER_S
        return painted - sent

    def _marker(self) -> bytes:
        paints = self._program.paints
        if b"%d" not in paints:
            return paints
        if self._program.first:
            return paints % self._count
        # Only what differs may be painted: of two reps in one tenth of a second that is
        # the newest number and all that follows, so that the rep before is seen whole.
        return paints % (self._count - 1 if self._started else self._count)


def race(
    names: Sequence[str], setting: Setting
) -> dict[str, tuple[tuple[float, ...], ...]]:
    """Each program's times from key to paint, in seconds, round by round."""
    found: dict[str, list[tuple[float, ...]]] = {name: [] for name in names}
    for number in range(setting.rounds(_ROUNDS)):
        with ExitStack() as stack:
            players: dict[str, Player] = {}
            for name in shuffled(names, setting.chance):
                folder = f"keys-{number}-{name}"
                program = _PROGRAMS[name.removesuffix("'")]
                player = Player(program, setting, folder)
                stack.enter_context(player.console)
                player.start()
                players[name] = player
            times = _round(players, setting)
        for name, values in times.items():
            found[name].append(values)
    return {name: tuple(values) for name, values in found.items()}


def _round(
    players: Mapping[str, Player], setting: Setting
) -> dict[str, tuple[float, ...]]:
    times: dict[str, list[float]] = {name: [] for name in players}
    keys = setting.some(_KEYS)
    for number in range(_WARM_UP + keys):
        for name in shuffled(players, setting.chance):
            took = players[name].press(setting.chance)
            if number >= _WARM_UP:
                times[name].append(took)
            drain_all(player.console for player in players.values())
    return {name: tuple(values) for name, values in times.items()}


def measure(wanted: Sequence[str], setting: Setting) -> Iterator[Line]:
    """All wanted rows from one race; each floor runs twice, for A/A."""
    rows = [_ROWS[name] for name in wanted]
    floors = {floor for _, _, floor in rows}
    names = sorted(
        floors | {f"{floor}'" for floor in floors} | {product for _, product, _ in rows}
    )
    found = race(names, setting)
    for row, product, floor in rows:
        measured = Measured(
            product=found[product], floor=found[floor], again=found[f"{floor}'"]
        )
        yield from lines(row, measured)


GROUP = Group(names=tuple(_ROWS), measure=measure)
