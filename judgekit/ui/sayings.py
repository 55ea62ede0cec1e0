"""What is said of keys that choose nothing or do nothing, and how many items are."""

from __future__ import annotations

from judgekit.ui.actions import BESIDE_STOP
from judgekit.ui.keys import dead_key


def items(many: int) -> str:
    return "1 item" if many == 1 else f"{many} items"


def choices(many: int) -> str:
    if many > 1:
        return f"1 to {many} choose here."
    return "1 chooses here." if many else "There is nothing to choose here."


def no_such_key(key: str, card: str) -> str:
    if key in BESIDE_STOP:
        return f"{key} does nothing: it lies beside STOP."
    if key in ("ctrl+q", "ctrl+c"):
        return f"{key} does nothing here: q, then y closes the desk."
    return f"{dead_key(key, f'on {card}')} ? lists the keys."
