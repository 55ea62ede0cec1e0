"""After STOP: which sign of the card it was."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.press import NameSign
from judgekit.ui.panels import MOST, Choice, Menu, Submit
from judgekit.ui.views.phase import judged_set

if TYPE_CHECKING:
    from judgekit.core.state import Lane


# What no key opens: it comes with the stop.
SIGN = "sign"


def signs_menu(lane: Lane, at: int | None) -> Menu:
    """Why the athlete was stopped, by the signs of the card that was judged.

    It stays open as long as the stop lasts, and no longer: whoever shows it closes it.
    """
    signs = lane.plan.card_of(judged_set(lane, at)).stop_signs[:MOST]
    return Menu(
        opener=SIGN,
        title="Which sign?",
        choices=tuple(
            Choice(says=sign, leads=Submit(act=NameSign(sign=sign))) for sign in signs
        ),
        stays=True,
    )


def with_signs(menu: Menu, lane: Lane, at: int | None) -> Menu:
    """What may follow a STOP, and which sign it was for."""
    sign = Choice(says="which sign it was", leads=signs_menu(lane, at))
    return replace(menu, choices=(*menu.choices, sign))
