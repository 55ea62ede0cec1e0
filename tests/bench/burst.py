"""Two hundred keys at once: how long until the last is painted, and is none lost.

They come as close to each other as keys may that are all to count.
"""

from __future__ import annotations

import signal
import time
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from judgekit.ui.start import FRAMES
from tests.bench.arithmetic import Measured
from tests.bench.console import Console, python
from tests.bench.heat import (
    COUNTS,
    FLOOR,
    GOODS,
    GOODS_GAP_S,
    Shape,
    reps_in,
    write_heat,
)
from tests.bench.keys import bare
from tests.bench.rows import Group, Line, Row, Setting, in_rounds, lines

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_KEYS, _ROUNDS = 200, 6
_ROW = Row(
    name="burst",
    says="200 keys, all in the book, against a bare app of this layout",
    goals={"p50": 2.0},
)


@dataclass(slots=True)
class _Bursts:
    setting: Setting
    number: int = 0
    lost: list[int] = field(default_factory=list)

    def product(self) -> float:
        """One burst on the Floor, whose book then says how many of it are kept."""
        self.number += 1
        folder = self.setting.folder / f"burst-{self.number}"
        # A finger cannot do this: held keys are not what is measured here.
        write_heat(folder, Shape(quick=True))
        with Console(python(*FLOOR), folder=folder, env={}) as console:
            took = _burst(console)
            console.end(signal.SIGTERM)
        self.lost.append(_KEYS - reps_in(folder))
        return took

    def floor(self) -> float:
        """One burst on the bare app."""
        env = {"TEXTUAL_FPS": FRAMES}
        with Console(bare("same"), folder=self.setting.folder, env=env) as console:
            return _burst(console)


def _burst(console: Console) -> float:
    """Seconds from the first key to the paint of the last."""
    console.wait(COUNTS)
    time.sleep(0.5)  # what a program does after its first paint is not measured
    began = console.press(GOODS[0])
    for number in range(1, _KEYS):
        time.sleep(GOODS_GAP_S)
        console.add(GOODS[number % len(GOODS)])
    # Only what differs from the rep before is painted: its number, and what follows.
    markers = (b"rep %d", b"%d     ", b"%d, ")
    return console.wait(*(marker % _KEYS for marker in markers)) - began


def measure(_: Sequence[str], setting: Setting) -> Iterator[Line]:
    """Bursts on fresh programs, the bare one twice in every round."""
    bursts = _Bursts(setting)
    found = in_rounds(
        {"product": bursts.product, "floor": bursts.floor, "again": bursts.floor},
        setting.rounds(_ROUNDS),
        1,
        setting.chance,
    )
    yield from lines(_ROW, Measured(**found))
    lost = sum(bursts.lost)
    yield Line(
        row=_ROW.name,
        says=f"keys lost of {_KEYS * len(bursts.lost)}",
        stat="lost",
        unit="",
        product=lost,
        goal="0",
        verdict="ok" if lost == 0 else "MISSED",
    )


GROUP = Group(names=(_ROW.name,), measure=measure)
