"""What entries of single tries say: loads, holds, and who of a team works."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.tryentry import Bar, HoldOff, HoldOn, Works
from judgekit.reports.names import shown_name

if TYPE_CHECKING:
    from judgekit.core.entry import Entry
    from judgekit.core.plan import SetKey
    from judgekit.core.state import Attempt, Lane


def tried_words(lane: Lane, entry: Entry) -> str:
    """The entry in words; empty for any other kind."""
    match entry.body:
        case Bar(load=load, confirmed=confirmed):
            return f"{load} on the bar, checked" if confirmed else f"{load} said"
        case HoldOn():
            return "hold begins"
        case HoldOff(faults=faults):
            calls = ", ".join(call_of(lane, entry.set, fault) for fault in faults)
            return f"held {_seconds(lane, entry)} s{calls and f', NO REP {calls}'}"
        case Works(bib=bib):
            return f"{_name(lane, bib)} works"
        case _:
            return ""


def tried_mark(lane: Lane, entry: Entry) -> str:
    """What stands beside the count; a load is there in large figures already."""
    return "" if isinstance(entry.body, Bar) else tried_words(lane, entry)


def loaded(lane: Lane, attempt: Attempt) -> str:
    """The load of an attempt at one, where it was said."""
    bar = looking.bar_of(lane, attempt.set)
    return "" if bar is None else bar.load


def good_lift(lane: Lane, attempt: Attempt, number: int) -> str:
    """A lift with its load; of a complex also which of its movements."""
    several = len(lane.plan.part(attempt.set).movements) > 1
    name = lane.plan.card_of(attempt.set).name.lower() if several else ""
    again = f"rep {number}" if lane.plan.target(attempt.set) > 1 else ""
    return in_order(name, again, "good", loaded(lane, attempt))


def in_order(*words: str) -> str:
    """The words that are there, one space apart."""
    return " ".join(word for word in words if word)


def call_of(lane: Lane, key: SetKey | None, fault_id: str) -> str:
    """A fault's call in lower case, or its id where its card is not in the plan."""
    if key is None or not lane.plan.holds(key):
        return fault_id
    fault = lane.plan.card_of(key).fault(fault_id)
    return fault.call.lower() if fault is not None else fault_id


def _seconds(lane: Lane, entry: Entry) -> int:
    held = looking.work_now(lane).attempts
    return next((a.n for a in reversed(held) if a.ref == entry.ref and a.good), 0)


def _name(lane: Lane, bib: str) -> str:
    found = next((m for m in lane.plan.team.members if m.bib == bib), None)
    return bib if found is None else shown_name(found.name, found.show, bib)
