"""Stops in the coach's report: what they were, and whom to speak with after them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.quantity import show_time
from judgekit.reports.followups import NOTES, why_words
from judgekit.reports.inforce import NO_ADVICE
from judgekit.reports.names import beside_bib, numbered_name, shown_name
from judgekit.reports.page import Row, Section

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.core.state import Lane
    from judgekit.reports.classsets import LaneKey
    from judgekit.review.followups import Due


def stops_section(lanes: Iterable[Lane]) -> Section:
    """Each stop: whose, where, when, and its sign."""
    rows = [
        Row(label=numbered_name(lane.plan), says=words)
        for lane in lanes
        for words in _stop_words(lane)
    ]
    return Section(title="Stops", rows=tuple(rows))


def _stop_words(lane: Lane) -> Iterator[str]:
    plan = lane.plan
    for entry in lane.stops:
        at = lane.when(entry)
        sign = getattr(entry.body, "sign", "")
        when = "" if at is None else f" at {show_time(at)}"
        yield (
            f"heat {plan.heat}, lane {plan.lane}{when}: {sign or 'no sign was noted'}"
        )


def cut_short(lanes: Iterable[Lane]) -> dict[LaneKey, str]:
    """Of each lane that was stopped or left: when."""
    said = {
        (lane.plan.heat, lane.plan.lane): ", ".join(_cut_words(lane)) for lane in lanes
    }
    return {key: words for key, words in said.items() if words}


def _cut_words(lane: Lane) -> Iterator[str]:
    for entry in lane.stops:
        at = lane.when(entry)
        yield "stopped" if at is None else f"stopped at {show_time(at)}"
    if lane.withdrawn_ms is not None:
        yield f"withdrew at {show_time(lane.withdrawn_ms)}"


def followups_section(due: Sequence[Due]) -> Section:
    """Each person once, with all there is to speak of."""
    people: dict[str, list[Due]] = {}
    for one in due:
        people.setdefault(one.heat.who, []).append(one)
    rows = [
        Row(label=_who(first), says=why_words(first), more=tuple(map(why_words, more)))
        for first, *more in people.values()
    ]
    notes = (NOTES[0], NO_ADVICE) if rows else ()
    return Section(title="Whom to speak with", rows=tuple(rows), lines=notes)


def _who(one: Due) -> str:
    heat = one.heat
    name = shown_name(heat.name, heat.lane.plan.show, heat.bib)
    return beside_bib(heat.bib, name)
