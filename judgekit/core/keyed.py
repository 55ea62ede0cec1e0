"""What a fault's letter or digit calls, by the set that its press falls into."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.entry import Cue
from judgekit.core.errors import Refusal
from judgekit.core.lane import own_ms
from judgekit.core.press import Called
from judgekit.core.watching import watched_set

if TYPE_CHECKING:
    from judgekit.core.plan import PlanCard, PlanFault
    from judgekit.core.state import Lane

# The faults that void a rep, in the order of the card, for layouts without Latin
# letters.
FAULT_DIGITS = "12345678"


def fault_of(card: PlanCard, key: str) -> PlanFault | None:
    """The fault that a key names on a card; digits are its voiding ones, in order."""
    if key in FAULT_DIGITS:
        voiding = [fault for fault in card.faults if fault.weight == "void"]
        place = int(key) - 1
        return voiding[place] if place < len(voiding) else None
    return next((f for f in card.faults if f.key.casefold() == key), None)


def keyed(lane: Lane, at: int | None, key: str) -> Called | Cue | Refusal:
    """What a key pressed at that heat time calls on the card of its set."""
    where = watched_set(lane, None if at is None else own_ms(lane, at))
    work = looking.work_now(lane)
    where = where or work.cursor or (work.sets[-1].key if work.sets else None)
    if where is None:
        return Refusal(says="There is no set to judge.")
    card = lane.plan.card_of(where)
    fault = fault_of(card, key)
    if fault is None:
        return Refusal(says=f"{key} does nothing on {card.name}. ? lists the keys.")
    if fault.weight == "void":
        return Called(fault=fault.id)
    if lane.plan.cues != "on":
        says = f"{key} {fault.call} is a cue: it never changes the count."
        return Refusal(says=says)
    return Cue(fault=fault.id)
