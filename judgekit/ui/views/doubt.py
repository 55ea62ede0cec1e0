"""The question about a press that came too soon: while it is open, and in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import doubt

if TYPE_CHECKING:
    from judgekit.core.state import Lane
    from judgekit.ui.views.phase import Phase

_ASKING: frozenset[Phase] = frozenset({"work", "rest", "horn", "over"})


def open_doubt(
    lane: Lane, phase: Phase, at: int | None, lag_ms: int = 0
) -> doubt.Doubt | None:
    """What is asked just now; a rep at the horn is asked about first."""
    if phase not in _ASKING or lane.horn_asks:
        return None
    found = doubt.asked(lane, at, lag_ms)
    if found is None or doubt.answered(lane, found.entry.ref):
        return None
    return found


def question(lane: Lane, phase: Phase, at: int | None) -> str:
    """The question in one line, with its key; empty if nothing is asked.

    Nobody need answer: whatever is judged next does its own work, and the press stands.
    """
    found = open_doubt(lane, phase, at)
    if found is None:
        return ""
    what = "Two presses at once?"
    if found.before is not None:
        what = f"Extra {lane.plan.card_of(found.before).name.lower()}?"
    return f"{what}   y one too many, else it stands"
