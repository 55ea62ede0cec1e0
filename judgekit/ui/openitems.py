"""The question before a go with open items of the lane check."""

from __future__ import annotations

from judgekit.ui.panels import Choice, Go, Menu


def open_items_menu(many: int) -> Menu:
    """Why the lane goes though items of its check are open."""
    words = (
        "checked on paper",
        "checked by the lane crew",
        "no time left",
        "practice",
    )
    items_ = "1 ITEM OPEN" if many == 1 else f"{many} ITEMS OPEN"
    return Menu(
        opener="go",
        title=f"{items_}, why go?",
        choices=tuple(Choice(says=why, leads=Go(why=why)) for why in words),
    )
