"""Keys for many reps at once, for sets as reported, and for looks."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core import looking, reporting
from judgekit.core.entry import Rep
from judgekit.core.plan import OPEN
from judgekit.core.press import EndLook, ReportSet
from judgekit.core.seeing import seen_in
from judgekit.core.watchentry import Look
from judgekit.core.watching import open_look
from judgekit.ui.effects import Say
from judgekit.ui.panels import Submit, Typing
from judgekit.ui.views.naming import set_words
from judgekit.ui.views.phase import judged_set

if TYPE_CHECKING:
    from judgekit.core.plan import SetKey
    from judgekit.core.state import Lane
    from judgekit.ui.views.phase import Phase

# So many reps at once where no number is typed.
TENS = 10
_NOT_YET: frozenset[Phase] = frozenset({"before go", "countdown", "absent", "accepted"})


def several(lane: Lane, phase: Phase, at: int | None) -> Typing | Say:
    """How many at once: good reps, or what is done of a set that is reported."""
    if phase in _NOT_YET or at is None:
        return Say(text="Nothing counts now.")
    if lane.plan.watching == "reported" and open_look(lane) is None:
        return _by_stop(lane) if lane.holds else _how_many(lane, at)
    key = judged_set(lane, at)
    name = lane.plan.card_of(key).name
    if looking.on_monitor(lane.plan, key) or looking.is_held(lane.plan, key):
        return Say(text=f"{name} is not counted rep by rep: enter types a number.")
    offered = min(TENS, max(1, looking.left(lane, key)))
    return Typing(
        opener="several",
        title=f"{name}: good reps at once",
        what="several",
        offered=offered,
    )


def report(lane: Lane, phase: Phase, at: int | None) -> Submit | Typing | Say:
    """The set is done, as the athlete says; one without a number needs it typed."""
    if phase in _NOT_YET or at is None:
        return Say(text="There is no set to report yet.")
    if lane.holds:
        return _by_stop(lane)
    key = reporting.set_to_report(lane, at)
    if key is not None and lane.plan.target(key) == OPEN:
        return _how_many(lane, at)
    if key is not None and reporting.is_too_soon(lane, key, at):
        # A key that came by itself: the athlete has hardly begun.
        asked = _asked(lane, key, lane.plan.card_of(key).name)
        return replace(asked, title=f"{asked.offered} so soon? enter, or how many")
    return Submit(act=ReportSet())


def _by_stop(lane: Lane) -> Typing | Say:
    """How many were done when the lane was stopped; what comes after waits."""
    key = reporting.set_at_stop(lane)
    if key is None:
        return Say(text="All sets were done by then: there is none to report.")
    how = "the stop" if lane.stopped else "the freeze"
    return Typing(
        opener="several",
        title=f"{lane.plan.card_of(key).name}: how many{_of(lane, key)} by {how}",
        what="by stop",
        set=key,
    )


def _how_many(lane: Lane, at: int) -> Typing | Say:
    key = reporting.set_to_report(lane, at)
    if key is None:
        return Say(text="There is no set to report.")
    on = key == reporting.set_on(lane, at)
    name = lane.plan.card_of(key).name if on else set_words(lane.plan, key)
    return _asked(lane, key, name)


def _asked(lane: Lane, key: SetKey, name: str) -> Typing:
    target = lane.plan.target(key)
    return Typing(
        opener="several",
        title=f"{name}: how many are done{_of(lane, key)}",
        what="report",
        set=key,
        offered=0 if target == OPEN else target,
    )


def _of(lane: Lane, key: SetKey) -> str:
    target = lane.plan.target(key)
    return "" if target == OPEN else f" of {target}"


def about_before(lane: Lane, panel: Typing) -> Typing:
    """The same question about the set before; about the same one at the first."""
    before = None if panel.set is None else reporting.set_before(lane, panel.set)
    if before is None:
        return panel
    asked = _asked(lane, before, set_words(lane.plan, before))
    return replace(asked, typed=panel.typed)


def look(lane: Lane, phase: Phase) -> Submit | Typing | Say:
    """A look begins; or it ends, with how many were seen."""
    if phase in _NOT_YET:
        return Say(text="There is nothing to look at yet.")
    found = open_look(lane)
    if found is None:
        return Submit(act=Look())
    return Typing(
        opener="look",
        title="LOOK ENDS: how many seen",
        what="look",
        offered=seen_in(found.presses),
    )


def offered_act(panel: Typing) -> Submit | None:
    """What enter does with no number typed; None where it does nothing."""
    match panel.what:
        case "several":
            return Submit(act=Rep(n=panel.offered))
        case "report" if panel.offered:
            return Submit(act=ReportSet(set=panel.set))
        case "look":
            return Submit(act=EndLook())
        case "scale" if panel.scale is not None and panel.scale.substitute:
            return Submit(act=panel.scale)
        case _:
            return None
