"""What entries of the lane check say in a few words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.checkitems import REACH
from judgekit.core.lanecheck import miss_words, name_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.core.checkitems import Item
    from judgekit.core.entry import Body
    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane

_UNITS: Mapping[str, str] = {"length": "m", "mass": "kg"}


def check_words(plan: Plan, body: Body) -> str:
    """An entry in the list of the log; empty for one that is no check."""
    if isinstance(body, Unchecked):
        return f"went with {len(body.items)} unchecked: {body.why}"
    if not isinstance(body, Check):
        return ""
    said = body.answer if body.answer != "measured" else ""
    told = " ".join(filter(None, (body.value, said)))
    return f"{name_of(plan, body.item)}: {told}{because(body)}"


def because(check: Check) -> str:
    """What is not as planned, and who agreed to it."""
    agreed = f", agreed by {check.by}" if check.by else ""
    return f", {check.why}{agreed}" if check.why else ""


def check_told(lane: Lane, check: Check) -> str:
    """What became of a measured value; other answers stand in their list."""
    if check.answer == "refused":
        missed = miss_words(lane.plan, lane.entries, check)
        return f"{missed or f'{check.value} was refused'}."
    if check.answer == "measured":
        return f"{name_of(lane.plan, check.item)}: {fits(check)}."
    return ""


def fits(check: Check) -> str:
    """An accepted value; a reach is compared with nothing."""
    return f"{check.value} {'noted' if check.item == REACH else 'fits'}"


def unit_of(item: Item) -> str:
    """The unit in which a number alone is meant."""
    if item.wanted is not None:
        return item.wanted.markings[0].unit
    return _UNITS[item.takes or "length"]
