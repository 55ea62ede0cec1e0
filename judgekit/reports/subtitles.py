"""A lane's calls as subtitles, to lay over a video of the athlete.

Times are whole ms on the lane's own clock, so that a corrected start moves them all.
WebVTT as the W3C has it; SRT as players read it, which knows no escape, so that signs
they would take for markup are written as others of the same look.
"""

from __future__ import annotations

import html
from itertools import zip_longest
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.lane import own_ms
from judgekit.core.looking import end_ms, line_of_work
from judgekit.reports.layout import visible
from judgekit.reports.logtext import began_wall
from judgekit.reports.names import call_of, counted_words, movement_name
from judgekit.review.attempts import lane_rows
from judgekit.review.judged import is_told

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.core.state import Lane
    from judgekit.review.attempts import AttemptRow, SetRow

# Long enough to read a call, short enough not to outlive the rep it is about.
_STANDS_MS = 2000
_HOUR_MS, _MINUTE_MS = 3_600_000, 60_000
_SRT_SIGNS = str.maketrans("<>{}", "‹›()")  # noqa: RUF001 - signs of the same look


class Call(NamedTuple):
    """Something called or shown at a moment."""

    at: int
    says: str


class Cue(NamedTuple):
    """Lines that stand from one moment to another, which is later."""

    start: int
    end: int
    lines: tuple[str, ...]


def calls(lane: Lane, wall: int) -> tuple[Call, ...]:
    """What was called in a lane, in order; `wall` is when the log was read.

    A horn is told once its time is over: by an entry after it, or by then. What was
    written on paper has no time, and is not told.
    """
    rows = lane_rows(lane)
    found = [Call(0, "GO")] if lane.started else []
    # What ends a set is called before what the next one asks.
    found += [
        call
        for row in rows.attempts
        if row.timed and (call := _tried(lane, row)) is not None
    ]
    found += [
        Call(cue.at, f"cue {_called(lane, cue.set.card, cue.fault)}")
        for cue in rows.cues
    ]
    found += [
        Call(row.opened, _work(lane, row))
        for row in rows.sets
        if row.timed and row.watched == "judged"
    ]
    # By which sign an athlete was stopped is nobody's on a video.
    found += [Call(own_ms(lane, lane.when(e) or 0), "stopped") for e in lane.stops]
    passed = _passed(lane, wall)
    found += [Call(at, "HORN") for at in _horns(lane) if at <= passed]
    if lane.work.done_ms is not None:
        found.append(Call(lane.work.done_ms, "DONE"))
    return tuple(sorted(found, key=lambda call: call.at))


def untimed(lane: Lane) -> str:
    """Why no call of a lane has a time, in words; empty if one has."""
    rows = lane_rows(lane)
    if any(row.timed and (row.rep or not row.good) for row in rows.attempts):
        return ""
    if lane.work.paper is not None:
        return "it was kept on paper, without the times of its calls"
    if is_told(lane) and lane.work.sets and not rows.cues:
        return "the athlete reported it, and nothing was called with a time"
    return ""


def cues(called: Iterable[Call], offset_ms: int = 0) -> tuple[Cue, ...]:
    """Calls as cues of a video in which the lane's clock begins at `offset_ms`.

    Calls of one moment share a cue; none lasts into the next one, nor begins before
    the video does.
    """
    at: dict[int, list[str]] = {}
    for call in called:
        says = visible(call.says).strip()
        if says:
            at.setdefault(call.at + offset_ms, []).append(says)
    starts = sorted(at)
    found = []
    for start, after in zip_longest(starts, starts[1:]):
        stands = start + _STANDS_MS
        end = stands if after is None else min(stands, after)
        if end > max(start, 0):
            found.append(Cue(max(start, 0), end, tuple(dict.fromkeys(at[start]))))
    return tuple(found)


def as_vtt(found: Sequence[Cue]) -> str:
    """A WebVTT file; cues are numbered from 1."""
    blocks = [
        f"{number}\n{_stamp(cue.start, '.')} --> {_stamp(cue.end, '.')}\n"
        + "\n".join(html.escape(line, quote=False) for line in cue.lines)
        for number, cue in enumerate(found, 1)
    ]
    return "\n\n".join(["WEBVTT", *blocks]) + "\n"


def as_srt(found: Sequence[Cue]) -> str:
    """A SubRip file; cues are numbered from 1."""
    return "".join(
        f"{number}\n{_stamp(cue.start, ',')} --> {_stamp(cue.end, ',')}\n"
        + "\n".join(line.translate(_SRT_SIGNS) for line in cue.lines)
        + "\n\n"
        for number, cue in enumerate(found, 1)
    )


def _stamp(ms: int, point: str) -> str:
    hours, rest = divmod(ms, _HOUR_MS)
    minutes, rest = divmod(rest, _MINUTE_MS)
    seconds, thousandths = divmod(rest, 1000)
    return f"{hours:02}:{minutes:02}:{seconds:02}{point}{thousandths:03}"


def _work(lane: Lane, row: SetRow) -> str:
    name = movement_name(lane.plan, row.set.key)
    return (
        name
        if row.target is None
        else f"{name}: {counted_words(row.target, row.set.unit)}"
    )


def _tried(lane: Lane, row: AttemptRow) -> Call | None:
    """The count of a good rep, or the call; what a look saw good was not called."""
    if not row.timed:
        return None
    if not row.good:
        named = ", ".join(_called(lane, row.set.card, fault) for fault in row.faults)
        return Call(row.at, f"NO REP {named}".rstrip())
    return Call(row.at, str(row.rep)) if row.rep else None


def _called(lane: Lane, card: str, fault: str) -> str:
    return call_of(lane.plan.card(card), fault).lower()


def _horns(lane: Lane) -> set[int]:
    """When the clock ended work that was under way."""
    line = line_of_work(lane, lane.work)
    horns = {
        line.horn(done.key)
        for done in lane.work.sets
        if not lane.plan.part(done.key).ends_by_work
    }
    is_over = lane.work.done_ms is not None or lane.withdrawn_ms is not None
    if not is_over and not lane.stopped:
        horns.add(end_ms(lane))
    return {horn for horn in horns if horn is not None}


def _passed(lane: Lane, wall: int) -> int:
    """Up to when the lane's time is over, as far as anybody can tell."""
    told = [own_ms(lane, at) for entry in lane.entries if (at := lane.when(entry))]
    began = began_wall(lane)
    return max([*told, 0 if began is None else wall - began])
