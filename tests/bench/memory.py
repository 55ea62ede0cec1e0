"""Memory: what a Floor holds after 500 reps, against a bare app of its layout.

In a terminal, and in the process behind a browser's page, where it has its pads.
"""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.ui.start import FRAMES
from tests.bench.arithmetic import Measured
from tests.bench.console import Console, python
from tests.bench.heat import (
    COUNTS,
    FLOOR,
    GOODS,
    Shape,
    write_heat,
)
from tests.bench.keys import bare
from tests.bench.pipes import Pipes
from tests.bench.rows import Group, Line, Row, Setting, lines, shuffled

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

_KEYS, _ROUNDS = 500, 5
_GAP_S, _PAUSE_S = 0.02, 0.3
_PLAIN = Row(
    name="memory",
    says="proportional memory after 500 reps, against a bare app of this layout",
    unit="MiB",
    scale=1 / 2**20,
    label="PSS",
    goals={"p50": 1.5},
)
_SERVED = replace(
    _PLAIN,
    name="served",
    says="the same of a session behind a browser's page, against a bare app served",
)
_ON: Mapping[str, type[Console]] = {_PLAIN.name: Console, _SERVED.name: Pipes}


def _round(row: Row, number: int, setting: Setting) -> dict[str, float]:
    """The three programs side by side, so that they share pages with as many."""
    found: dict[str, float] = {}
    consoles: dict[str, Console] = {}
    try:
        for name in shuffled(("product", "floor", "again"), setting.chance):
            folder = setting.folder / f"{row.name}-{number}-{name}"
            on = _ON[row.name]
            if name == "product":
                write_heat(folder, Shape(quick=True))
                console = on(python(*FLOOR), folder=folder, env={})
            else:
                folder.mkdir(parents=True)
                env = {"TEXTUAL_FPS": FRAMES}
                console = on(bare("same"), folder=folder, env=env)
            consoles[name] = console
            console.wait(COUNTS)
        _press_all(list(consoles.values()))
        for name, console in consoles.items():
            console.drain()
            found[name] = float(console.pss())
    finally:
        for console in consoles.values():
            console.end()
    return found


def _press_all(consoles: Sequence[Console]) -> None:
    for number in range(_KEYS):
        for console in consoles:
            console.press(GOODS[number % len(GOODS)])
        time.sleep(_GAP_S)
    # The last reps may have come out already: one more, at another time, shows that.
    time.sleep(_PAUSE_S)
    for console in consoles:
        console.press(GOODS[_KEYS % len(GOODS)])
        console.wait(b"rep ")


def measure(wanted: Sequence[str], setting: Setting) -> Iterator[Line]:
    """Fresh programs in every round."""
    for row in (_PLAIN, _SERVED):
        if row.name in wanted:
            yield from _measured(row, setting)


def _measured(row: Row, setting: Setting) -> Iterator[Line]:
    rounds = [_round(row, number, setting) for number in range(setting.rounds(_ROUNDS))]
    found = {
        name: tuple((one[name],) for one in rounds)
        for name in ("product", "floor", "again")
    }
    yield from lines(row, Measured(**found))


GROUP = Group(names=(_PLAIN.name, _SERVED.name), measure=measure)
