"""Deciding corrections: the count moved by so much, or to what was called aloud."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.entry import Correct
from judgekit.core.errors import Refusal
from judgekit.core.lane import own_ms
from judgekit.core.pointing import Decided, draft
from judgekit.core.press import Counted

if TYPE_CHECKING:
    from judgekit.core.press import Press
    from judgekit.core.state import Lane


def correction(lane: Lane, press: Press, act: Correct | Counted) -> Decided:
    """The correction that an act asks for, or why there is none."""
    if lane.holds:
        # The score stands still there, and what is held may never count.
        how = "Stopped" if lane.stopped else "Frozen"
        return Refusal(says=f"{how}: correct the count when work goes on.")
    if isinstance(act, Counted):
        return _to(lane, press, act)
    return _by(lane, press, act)


def _to(lane: Lane, press: Press, act: Counted) -> Decided:
    """To the count called, in the set on the screen and never in another."""
    if looking.shown_set(lane, own_ms(lane, press.at or 0)) != act.set:
        return Refusal(says="Another set is on by now: nothing was corrected.")
    target = lane.plan.target(act.set)
    if not 0 <= act.to <= target:
        name = lane.plan.card_of(act.set).name
        return Refusal(says=f"{name}: the count goes from 0 to {target} in this set.")
    by = act.to - (target - looking.left(lane, act.set))
    if not by:
        return Refusal(says="That is the count already.")
    return (draft(press, Correct(by=by, said=str(act.to)), act.set),)


def _by(lane: Lane, press: Press, act: Correct) -> Decided:
    """By so much: a tally names no set, so it is the first that can move so far."""
    if not act.said:
        return Refusal(says="Say what count was called aloud.")
    key = looking.correctable(lane, act.by, own_ms(lane, press.at or 0))
    if key is None:
        return Refusal(
            says=f"No set here can move by {act.by:+d}: never below 0 nor above target."
        )
    return (draft(press, act, key),)
