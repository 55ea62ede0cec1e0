"""How a lane was watched, and what looks saw, in words."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from judgekit.core.quantity import show_time
from judgekit.reports.names import NO_REASON, call_of
from judgekit.review.judged import is_told, watched_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.state import Attempt, Lane, LookMade

_TENTH = 100
FROM_PAPER = "totals from paper, every rep judged"


def watched_words(lane: Lane) -> str:
    """How a lane was watched where not every rep was judged and logged; else empty."""
    if lane.work.paper is not None:
        return FROM_PAPER
    if not is_told(lane):
        return ""
    if lane.work.given is not None:
        return "result as the athlete reported it"
    looks = " and looks" if watched_of(lane) == "sampled" else ""
    return f"sets as the athlete reported them{looks}"


def looks(lane: Lane) -> tuple[str, ...]:
    """Each look, and the faults noticed outside of looks, a line each."""
    noticed = (
        f"noticed at {_stamp(lane.plan, one.at)}: {_card(lane.plan, one.set)} "
        f"{' + '.join(_calls(lane.plan, one))}"
        for one in lane.work.noticed
    )
    return (*(_look(lane.plan, look) for look in lane.work.looks), *noticed)


def _look(plan: Plan, look: LookMade) -> str:
    said = f"look at {_stamp(plan, look.from_ms)}: {_card(plan, look.set)}, "
    faults = _told(plan, (press for press in look.presses if not press.good))
    if look.until_ms is None:
        return f"{said}never closed{faults and f', {faults}'}"
    return f"{said}{look.seen} seen, {faults or 'no fault'}"


def _told(plan: Plan, seen: Iterable[Attempt]) -> str:
    """How many no-reps, and for which reasons: "2 no-reps (DEPTH 2, LOCK 1)"."""
    faults = list(seen)
    if not faults:
        return ""
    reasons = Counter(call for one in faults for call in _calls(plan, one))
    ordered = sorted(reasons.items(), key=lambda pair: (-pair[1], pair[0]))
    listed = ", ".join(f"{call} {n}" for call, n in ordered)
    return f"{len(faults)} no-rep{'' if len(faults) == 1 else 's'} ({listed})"


def _calls(plan: Plan, seen: Attempt) -> list[str]:
    if not plan.holds(seen.set):
        return [*seen.faults] or [NO_REASON]
    card = plan.card_of(seen.set)
    return [call_of(card, fault) for fault in seen.faults] or [NO_REASON]


def _card(plan: Plan, key: SetKey) -> str:
    return plan.card_of(key).name if plan.holds(key) else "a set of another workout"


def _stamp(plan: Plan, ms: int) -> str:
    return show_time(ms, min(_TENTH, plan.precision_ms))
