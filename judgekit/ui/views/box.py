"""What fills the screen after STOP: who, at what count, whom to call, which sign."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import Stop
from judgekit.core.lane import own_ms
from judgekit.core.quantity import show_time
from judgekit.core.values import dataclass
from judgekit.ui.views.count import amount_words
from judgekit.ui.views.naming import who
from judgekit.ui.views.phase import good_in, has_ended, shown_set, stopped_ms

if TYPE_CHECKING:
    from judgekit.core.people import Emergency
    from judgekit.core.state import Lane
    from judgekit.ui.views.phase import Now


_AFTER_THE_END = ("escape back", "g scorecard", "w let go on")


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """The emergency box. `calls` pair what to do with how, and `sign` is the one said.

    `saved` says so where the stop is not in the log yet. The clock runs on: `now`.
    """

    who: str
    clock: str
    frozen: str
    calls: tuple[tuple[str, str], ...]
    sign: str
    saved: str
    now: str = ""
    keys: tuple[str, ...] = ()


def box_view(lane: Lane, now: Now, emergency: Emergency) -> Box:
    """The box of a lane that was stopped just now."""
    plan = lane.plan
    at = None if now.heat_ms is None else own_ms(lane, now.heat_ms)
    key = shown_set(lane, at)
    done = f"{good_in(lane, key)} of {amount_words(plan, key)}".replace("of max", "")
    held = f", {lane.held} held" if lane.held else ""
    since = stopped_ms(lane, now)
    frozen = any(hold.kind == "freeze" for hold in lane.holds)
    calls = (
        ("CALL", emergency.call),
        ("SAY", emergency.say),
        ("DEFIBRILLATOR", emergency.defibrillator),
        ("FIRST AID", emergency.first_aid),
    )
    return Box(
        who=f"lane {plan.lane}   {who(plan.name, plan.show, plan.bib)}",
        clock=show_time(max(0, since)),
        frozen=f"{plan.card_of(key).name} frozen at {done.strip()}{held}",
        calls=tuple((what, how) for what, how in calls if how),
        sign=sign_said(lane),
        now="" if at is None else f"clock {show_time(max(0, at))}",
        saved=f"NOT SAVED: {now.waiting} waiting" if now.waiting else "saved",
        keys=_AFTER_THE_END if has_ended(lane, at) else _keys(frozen=frozen),
    )


def _keys(*, frozen: bool) -> tuple[str, ...]:
    freeze = "f work goes on" if frozen else "f freeze all"
    return ("escape back", freeze, "g by mistake", "w let go on")


def sign_said(lane: Lane) -> str:
    """The sign for which the athlete is stopped, empty while nobody has said it."""
    newest = lane.stops[-1].body if lane.stopped and lane.stops else None
    return newest.sign if isinstance(newest, Stop) else ""
