"""What the Floor of several lanes says of keys that were nobody's, and of newcomers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.manykeys import TWO, Dropped, Gone, NoLane

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.desk import Desk


def lost_words(step: Gone | Dropped | NoLane) -> str:
    """Why a key counted nothing, and what to press instead."""
    match step:
        case Gone():
            return (
                f"{step.key} counted nothing: with more than two lanes press "
                f"{step.instead}."
            )
        case Dropped():
            return f"{step.key} counted nothing: no lane was named."
        case NoLane():
            return f"There is no lane for {step.key} here. Choose again."


def joined_words(desk: Desk, number: int, gone: Iterable[str]) -> str:
    """Who has the new lane; of three lanes, which keys are `gone` with it."""
    own = "" if desk.zero_boot_ms is None else ", on an own clock from now"
    says = f"{desk.lane(number).plan.name} has lane {number}{own}."
    if len(desk.lanes) == TWO + 1:
        says += f" {' '.join(gone)} count no more: digits choose."
    return says
