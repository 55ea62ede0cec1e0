"""The heartbeat: late by more than a quarter second, the screen stood still."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, cast

from judgekit.ui.heart import Heart

if TYPE_CHECKING:
    from asyncio import AbstractEventLoop


@dataclass
class Loop:
    """A loop that is told when it gets to what it was asked for."""

    ordered: list[tuple[float, Callable[[], None]]] = field(default_factory=list)
    now: float = 100.0

    def call_later(self, after_s: float, call: Callable[[], None]) -> None:
        self.ordered.append((self.now + after_s, call))

    def run_next(self, *, late_s: float) -> None:
        due, call = self.ordered.pop()
        self.now = due + late_s
        call()


def test_a_late_beat_is_told_and_a_prompt_one_is_not() -> None:
    loop, told = Loop(), list[int]()
    heart = Heart(cast("AbstractEventLoop", loop), told.append, lambda: loop.now)
    heart.start()
    assert loop.ordered[0][0] == 102.0
    for late in (0.0, 0.2, 1.0, 0.01):
        loop.run_next(late_s=late)
    assert told == [1000]
    assert len(loop.ordered) == 1
