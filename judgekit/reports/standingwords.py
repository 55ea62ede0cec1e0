"""Whether a score is final, and if not until when or why not."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from judgekit.reports.names import NOTHING_DONE

if TYPE_CHECKING:
    from judgekit.core.score import Score

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def time_of_day(wall_ms: int, zone: str) -> str:
    """A moment of the wall clock in a zone, to the minute: "12:40"."""
    moment = _EPOCH + timedelta(milliseconds=wall_ms)
    return moment.astimezone(ZoneInfo(zone)).strftime("%H:%M")


def standing_word(score: Score, zone: str) -> str:
    """Whether a score is final, and if not until when; empty before there is any.

    "provisional", "provisional until 12:40", "official".
    """
    if score.status in NOTHING_DONE:
        return ""
    if score.provisional:
        return "provisional"
    if score.until is not None:
        return f"provisional until {time_of_day(score.until, zone)}"
    return "official"


def standing_words(score: Score, zone: str) -> str:
    """The same with the first reason beside it: "provisional: disputed"."""
    word = standing_word(score, zone)
    if word and score.provisional and score.provisional != (score.status,):
        return f"{word}: {score.provisional[0]}"
    return word


def signed_and_now(score: Score) -> tuple[str, str] | None:
    """What was signed and what became of it, in the words that differ; else None.

    Where the numbers are the same, another status says it, or another tie-break.
    """
    if score.before is None:
        return None
    both = (score.before, score)
    for was, now in (
        tuple(one.detail for one in both),
        tuple(one.status for one in both),
        tuple(f"tie-break {one.tiebreak or 'none'}" for one in both),
    ):
        if was != now:
            return was, now
    return None


def amended_words(score: Score) -> str:
    """As in "signed 0:44, now 0:49"; empty where it is as it was signed."""
    told = signed_and_now(score)
    return "" if told is None else f"signed {told[0]}, now {told[1]}"
