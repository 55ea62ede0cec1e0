"""How a desk is to be opened; a command knows that before it needs a desk."""

from __future__ import annotations

from judgekit.core.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """How a desk is to be opened.

    `again` is the reason for a new run, `second` a second judge who never scores
    alone, `take_over` carries on from a desk that still holds the lane. `trust_disk`
    opens a log on a disk whose locks cannot be trusted.
    """

    heat: str
    lanes: tuple[int, ...]
    judge: str = ""
    again: str = ""
    second: bool = False
    take_over: bool = False
    trust_disk: bool = False
