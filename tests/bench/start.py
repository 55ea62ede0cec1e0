"""Starting: the first paint of the Floor, and commands without a screen."""

from __future__ import annotations

import signal
import subprocess
import time
from functools import partial
from typing import TYPE_CHECKING

from judgekit.ui.start import FRAMES
from tests.bench.arithmetic import Measured
from tests.bench.console import ROOT, Console, environment, python
from tests.bench.heat import COUNTS, FLOOR, PAINTED, Shape, write_heat
from tests.bench.keys import bare
from tests.bench.rows import Group, Line, Row, Setting, in_rounds, lines
from tests.small_event import write_event

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from pathlib import Path

_LARGE = 100_000
_LONG_DAY = 20_000
_IMPORTED = """
import contextlib, sys
from judgekit.cli.main import cli
with contextlib.suppress(SystemExit):
    cli.main(["faults", sys.argv[1]], standalone_mode=False)
print(",".join(name for name in sys.modules if name.startswith("judgekit.")))
"""
_ROUNDS = 5
_ROWS: Mapping[str, tuple[Row, str, str]] = {
    "first-paint": (
        Row(
            name="first-paint",
            says="from the command to the painted Floor, against a bare app of 8 lanes",
            goals={"p50": 1.3},
        ),
        "floor",
        "eight",
    ),
    "paint-100k": (
        Row(
            name="paint-100k",
            says="the same with 100,000 entries in the book, against an empty one",
            goals={"p50": 1.25},
        ),
        "large",
        "floor",
    ),
    "first-count": (
        Row(
            name="first-count",
            says="from the command to the Floor with its log read, against that app",
            goals={"p50": None},
        ),
        "floor-read",
        "eight",
    ),
    "count-100k": (
        Row(
            name="count-100k",
            says="the same with 100,000 entries in the book, against an empty one",
            goals={"p50": None},
        ),
        "large-read",
        "floor-read",
    ),
    "help": (
        Row(
            name="help",
            says="judgekit --help against python -c pass",
            goals={"p50": 6.0},
        ),
        "help",
        "pass",
    ),
    "command-help": (
        Row(
            name="command-help",
            says="judgekit cards --help, before its work, against python -c pass",
            goals={"p50": 6.0},
        ),
        "command-help",
        "pass",
    ),
    "check": (
        Row(
            name="check",
            says="judgekit check demo against python -c pass",
            goals={"p50": None},
        ),
        "check",
        "pass",
    ),
    "faults-20k": (
        Row(
            name="faults-20k",
            says="judgekit faults, 20,000 entries, against importing what it imports",
            goals={"p50": 1.6},
        ),
        "faults",
        "faults-imports",
    ),
}
# What is measured together, and how often in a round: a large book takes long.
_TOGETHER = (
    (("first-paint", "first-count"), 3),
    (("paint-100k", "count-100k"), 1),
    (("help", "command-help", "check"), 5),
    (("faults-20k",), 5),
)


def _paint(
    command: Sequence[str],
    folder: Path,
    how: signal.Signals,
    marker: bytes = PAINTED,
) -> float:
    env = {} if how == signal.SIGTERM else {"TEXTUAL_FPS": FRAMES}
    with Console(command, folder=folder, env=env) as console:
        took = console.wait(marker) - console.began
        console.end(how)
    return took


def _floor(shape: Shape, folder: Path, marker: bytes) -> Callable[[], float]:
    # Ended so that its book is closed as a judge closes it.
    event = write_heat(folder, shape)
    return partial(_paint, python(*FLOOR), event, signal.SIGTERM, marker)


def _command(*arguments: str) -> Callable[[], float]:
    command, env = python(*arguments), environment({})

    def run() -> float:
        began = time.perf_counter()
        subprocess.run(command, env=env, cwd=ROOT, check=True, capture_output=True)
        return time.perf_counter() - began

    return run


def _faults(folder: Path) -> Callable[[], float]:
    event = write_heat(folder, Shape(rounds=200, reps=60, judged=_LONG_DAY))
    return _command("-m", "judgekit", "faults", str(event))


def _faults_imports(folder: Path) -> Callable[[], float]:
    """What the command has imported by its end, imported and nothing else done."""
    event = write_event(folder)
    told = subprocess.run(
        python("-c", _IMPORTED, str(event)),
        env=environment({}),
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    return _command("-c", f"import {told.stdout.splitlines()[-1]}")


def _contenders(names: set[str], setting: Setting) -> dict[str, Callable[[], float]]:
    here = setting.folder / "-".join(["paint", *sorted(names)])
    large = Shape(rounds=1000, reps=60, judged=_LARGE)
    made: dict[str, Callable[[], Callable[[], float]]] = {
        "floor": lambda: _floor(Shape(), here / "empty", PAINTED),
        "floor-read": lambda: _floor(Shape(), here / "read", COUNTS),
        "large": lambda: _floor(large, here / "large", PAINTED),
        "large-read": lambda: _floor(large, here / "large-read", COUNTS),
        "eight": lambda: partial(_paint, bare("eight"), setting.folder, signal.SIGKILL),
        "help": lambda: _command("-m", "judgekit", "--help"),
        "command-help": lambda: _command("-m", "judgekit", "cards", "--help"),
        "check": lambda: _command("-m", "judgekit", "check", "demo"),
        "pass": lambda: _command("-c", "pass"),
        "faults": lambda: _faults(here / "faults"),
        "faults-imports": lambda: _faults_imports(here / "imports"),
    }
    once = {name: made[name]() for name in {name.removesuffix("'") for name in names}}
    return {name: once[name.removesuffix("'")] for name in sorted(names)}


def measure(wanted: Sequence[str], setting: Setting) -> Iterator[Line]:
    """Screens with screens and commands with commands, in turn; each once before."""
    for together, each in _TOGETHER:
        names = [name for name in together if name in wanted]
        rows = [_ROWS[name] for name in names]
        floors = {floor for _, _, floor in rows}
        contenders = _contenders(
            floors
            | {f"{floor}'" for floor in floors}
            | {product for _, product, _ in rows},
            setting,
        )
        for warm in contenders.values():
            warm()
        found = in_rounds(
            contenders, setting.rounds(_ROUNDS), setting.some(each), setting.chance
        )
        for row, product, floor in rows:
            yield from lines(
                row,
                Measured(
                    product=found[product], floor=found[floor], again=found[f"{floor}'"]
                ),
            )


GROUP = Group(names=tuple(_ROWS), measure=measure)
