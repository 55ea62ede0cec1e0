"""Memory: what a Floor holds after 500 reps, against a bare app of its layout."""

from __future__ import annotations

import time
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
from tests.bench.rows import Group, Line, Row, Setting, lines, shuffled

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_KEYS, _ROUNDS = 500, 5
_GAP_S, _PAUSE_S = 0.02, 0.3
_ROW = Row(
    name="memory",
    says="proportional memory after 500 reps, against a bare app of this layout",
    unit="MiB",
    scale=1 / 2**20,
    label="PSS",
    goals={"p50": 1.5},
)


def _round(number: int, setting: Setting) -> dict[str, float]:
    """The three programs side by side, so that they share pages with as many."""
    found: dict[str, float] = {}
    consoles: dict[str, Console] = {}
    try:
        for name in shuffled(("product", "floor", "again"), setting.chance):
            folder = setting.folder / f"memory-{number}-{name}"
            if name == "product":
                write_heat(folder, Shape(quick=True))
                console = Console(python(*FLOOR), folder=folder, env={})
            else:
                folder.mkdir(parents=True)
                env = {"TEXTUAL_FPS": FRAMES}
                console = Console(bare("same"), folder=folder, env=env)
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


def measure(_: Sequence[str], setting: Setting) -> Iterator[Line]:
    """Fresh programs in every round."""
    rounds = [_round(number, setting) for number in range(setting.rounds(_ROUNDS))]
    found = {
        name: tuple((one[name],) for one in rounds)
        for name in ("product", "floor", "again")
    }
    yield from lines(_ROW, Measured(**found))


GROUP = Group(names=(_ROW.name,), measure=measure)
