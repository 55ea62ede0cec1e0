"""What each of two judges counted, and which of it holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.score import score
from judgekit.core.twojudges import second_lane

if TYPE_CHECKING:
    from judgekit.core.score import Score
    from judgekit.core.state import Lane
    from judgekit.reports.standings import Result


def judges_words(result: Result) -> str:
    """Both counts and the one that holds; empty where only one judge counts."""
    if not result.beside:
        return ""
    second = second_lane(result.lane, result.beside)
    first, other = score(result.lane).shown, score(second).shown
    return f"first judge: {first}, second judge: {other}; {result.score.shown} counts"


def beside_words(own: Lane, other: Lane, counts: Score) -> str:
    """The same on the screen of one of the two."""
    mine, theirs = score(own).shown, score(other).shown
    return f"this judge: {mine}, other judge: {theirs}; {counts.shown} counts"
