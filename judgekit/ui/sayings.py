"""What is said of keys that choose nothing or do nothing, and how many items are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.actions import BESIDE_STOP
from judgekit.ui.keys import dead_key
from judgekit.ui.panels import digits

if TYPE_CHECKING:
    from judgekit.core.state import Lane


def items(many: int) -> str:
    return "1 item" if many == 1 else f"{many} items"


def choices(many: int) -> str:
    if not many:
        return "There is nothing to choose here."
    return f"Press {digits(many)} here."


def no_such_key(key: str, card: str) -> str:
    if key in BESIDE_STOP:
        return f"{key} does nothing: it lies beside STOP."
    if key in ("ctrl+q", "ctrl+c"):
        return f"{key} does nothing here: q, then y closes the desk."
    return f"{dead_key(key, f'on {card}')} ? lists the keys."


def opens_card(lane: Lane) -> str:
    """How an athlete's work ended, and which key opens the scorecard."""
    if lane.absent:
        how = "is absent"
    elif lane.withdrawn_ms is not None:
        how = "withdrew"
    else:
        how = "is done"
    return f"{lane.plan.name} {how}; g opens the scorecard."
