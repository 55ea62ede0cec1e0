"""A finger on the pads of a screen, found by what stands on them."""

from __future__ import annotations

import asyncio
from contextlib import contextmanager
from time import monotonic
from typing import TYPE_CHECKING, Any, Protocol
from unittest.mock import patch

from judgekit.ui.screens.padded import Padded
from judgekit.ui.webdriver import Tapped
from judgekit.ui.widgets.padlaying import pad_at
from judgekit.ui.widgets.pads import Pads

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.app import App
    from textual.pilot import Pilot

    from judgekit.ui.views.pads import Pad


PATIENCE_S = 60.0


class Clock(Protocol):
    """What a finger moves on, to be so much later than the one before."""

    def pass_(self, ms: int, /) -> None: ...


class Shown(Protocol):
    """A screen under test: its app, and its clock."""

    @property
    def app(self) -> App[Any]: ...
    @property
    def clock(self) -> Clock: ...


def cells(floor: Shown) -> Iterator[tuple[Pad, int, int]]:
    """Every cell of the screen that a pad answers to."""
    for widget in floor.app.screen.query(Pads):
        region = widget.region
        for y in range(region.height):
            for x in range(region.width):
                pad = pad_at(widget.board, widget.size, x, y)
                if pad is not None:
                    yield pad, region.x + x, region.y + y


def pads(floor: Shown) -> dict[str, tuple[int, int]]:
    """The words of every pad, and the first of its cells."""
    found: dict[str, tuple[int, int]] = {}
    for pad, x, y in cells(floor):
        found.setdefault(" ".join(pad.says), (x, y))
    return found


def where(floor: Shown, words: str) -> tuple[int, int]:
    """A cell of the pad with these words, or of the only one that has them in it."""
    known = pads(floor)
    if words in known:
        return known[words]
    [at] = [place for says, place in known.items() if words in says]
    return at


async def finger(
    floor: Shown, pilot: Pilot[None], *words: str, after: int = 2000
) -> None:
    """A finger on one pad after the other, each so long after the one before."""
    for each in words:
        floor.clock.pass_(after)
        x, y = where(floor, each)
        with met() as taken:
            floor.app.post_message(Tapped(x, y, monotonic()))
            await asyncio.wait_for(taken.wait(), PATIENCE_S)
        await pilot.pause()
        await pilot.pause()


@contextmanager
def met() -> Iterator[asyncio.Event]:
    """Says when a screen has taken a tap: it goes through several hands."""
    taken = asyncio.Event()
    known = Padded.on_pads_touched

    def heard(screen: Padded, message: Pads.Touched) -> None:
        known(screen, message)
        taken.set()

    with patch.object(Padded, "on_pads_touched", heard):
        yield taken
