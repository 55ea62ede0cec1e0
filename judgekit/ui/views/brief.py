"""The briefing as it stands on a wall: what is on which sheet, before any is laid out.

Few words: no converted values in a heading line, no rule that only a judge needs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports.briefheights import height_words
from judgekit.reports.briefing import box
from judgekit.reports.briefwork import as_written
from judgekit.ui.views.wall import Said, Sheet

if TYPE_CHECKING:
    from collections.abc import Iterator

    from judgekit.reports.briefing import Briefing
    from judgekit.reports.briefmoves import Standard


def sheets(brief: Briefing) -> tuple[Sheet, ...]:
    """The work, loads, heights, each movement, other ways, safety, emergency."""
    told = (
        (brief.workout, _work(brief)),
        ("Loads", _loads(brief)),
        ("Heights", _heights(brief)),
        ("Instead", (Said(label=who, lines=(what,)) for who, what in brief.instead)),
        *((standard.name, _movement(standard, brief)) for standard in brief.standards),
        ("Another way", _other_ways(brief)),
        ("Safety", _safety(brief)),
        (_help(brief), _emergency(brief)),
    )
    laid = ((heading, tuple(rows)) for heading, rows in told)
    return tuple(
        Sheet(of=brief.workout, heading=heading, rows=rows)
        for heading, rows in laid
        if rows
    )


def _work(brief: Briefing) -> Iterator[Said]:
    yield Said(lines=brief.work)
    if brief.aim:
        yield Said(label="aim", lines=(brief.aim,))
    yield from (Said(label=what, lines=(says,)) for what, says in brief.facts)


def _loads(brief: Briefing) -> Iterator[Said]:
    for bar in brief.bars:
        load = f"{bar.movement} {bar.load}"
        yield Said(label=bar.who, lines=(load, bar.discs) if bar.discs else (load,))


def _heights(brief: Briefing) -> Iterator[Said]:
    for movement, says in height_words(brief.heights):
        yield Said(label=movement, lines=(says,))
    several = len({mark.movement for mark in brief.marks}) > 1
    for own in brief.marks:
        movement = f"  {own.movement}" if several else ""
        who = own.bib if own.name == own.bib else f"{own.bib} {own.name}"
        yield Said(label=who, lines=(f"{own.mark}{movement}",))


def _movement(standard: Standard, brief: Briefing) -> Iterator[Said]:
    """First what it is and what is watched; then what the coach shows."""
    yield from _set_for(standard.name, brief)
    yield Said(label="start", lines=(standard.start,))
    yield Said(label="finish", lines=(standard.finish,))
    for watched in standard.watched:
        label = f"{watched.key}  {watched.call}"
        yield Said(label=label, lines=(watched.says, f"cue: {watched.cue}"))
    watched_too = {watched.says for watched in standard.watched}
    also = tuple(says for says in standard.criteria if says not in watched_too)
    for label, lines in (
        ("also", also),
        ("break up", (standard.pieces,)),
        ("good rep", (standard.good,)),
        ("no rep", (standard.bad,)),
        ("STOP at", standard.signs),
    ):
        if any(lines):
            yield Said(label=label, lines=lines)


def _set_for(name: str, brief: Briefing) -> Iterator[Said]:
    """Each division's loads and heights of one movement, in a line each."""
    divisions = {total.division for total in brief.totals}
    loads = [
        f"{bar.who} {as_written(bar.load)}"
        for bar in brief.bars
        if bar.movement == name and bar.who in divisions
    ]
    heights = [
        f"{mark.division} {as_written(mark.size)}".lstrip()
        for mark in brief.heights
        if mark.movement == name
    ]
    if loads:
        yield Said(label="load", lines=(",  ".join(loads),))
    if heights:
        yield Said(label="height", lines=(",  ".join(heights),))


def _other_ways(brief: Briefing) -> Iterator[Said]:
    for standard in brief.standards:
        if standard.instead:
            yield Said(label=standard.name, lines=standard.instead)


def _safety(brief: Briefing) -> Iterator[Said]:
    yield from (Said(lines=(caution,)) for caution in brief.cautions)


def _help(brief: Briefing) -> str:
    """What nobody must have to look for is the heading itself."""
    return f"Call {brief.emergency.call}" if brief.emergency.call else "Emergency"


def _emergency(brief: Briefing) -> Iterator[Said]:
    return (Said(label=what, lines=(says,)) for what, says in box(brief.emergency))
