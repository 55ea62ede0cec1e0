"""What each of two judges counted, and which of it holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.twojudges import (
    DIFFER,
    differ_words,
    done_for_one,
    second_lane,
    shown_of_each,
)

if TYPE_CHECKING:
    from judgekit.core.score import Score
    from judgekit.core.state import Lane
    from judgekit.reports.standings import Result

_SHORT = "short in one judge's count"
_WHOSE = "No-reps are as the first judge saw them."


def judges_words(result: Result) -> str:
    """Both counts, the one that holds, and where they differ; empty of one judge."""
    if not result.beside:
        return ""
    second = second_lane(result.lane, result.beside)
    first, other = shown_of_each(result.lane, second)
    said = f"first judge: {first}, second judge: {other}; {result.score.shown} counts"
    differ = differ_words(result.lane, second)
    return f"{said}; they differ in {differ}" if differ else said


def judges_for_athlete(result: Result) -> str:
    """The same for those who were judged, and whose count their no-reps are from."""
    words = judges_words(result)
    return f"{words}. {_WHOSE}" if words else ""


def status_for_athlete(result: Result) -> str:
    """How work ended that only one of two judges saw done: by no cap; empty else."""
    if any(why.startswith(DIFFER) for why in result.score.provisional):
        return "the head judge decides"
    if result.score.status != "capped" or not result.beside:
        return ""
    second = second_lane(result.lane, result.beside)
    return _SHORT if done_for_one(result.lane, second) else ""


def beside_words(own: Lane, other: Lane, counts: Score) -> str:
    """The same on the screen of one of the two."""
    mine, theirs = shown_of_each(own, other)
    said = f"this judge: {mine}, other judge: {theirs}; {counts.shown} counts"
    differ = differ_words(own, other)
    return f"{said}; they differ in {differ}" if differ else said
