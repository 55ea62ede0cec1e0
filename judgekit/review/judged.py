"""Which presses tell how an athlete moves, and how a lane was watched.

The one rule for every report. Judged: every attempt was watched. Sampled: a coach
looked for a while and said how many were seen. Reported: the athlete said how many
were done.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from judgekit.core.state import Attempt, Lane, LookMade, Mark, NoRepsWritten

Watched = Literal["judged", "sampled", "reported"]
# Presses that say nothing about a rep: voided, or nobody was meant to be working.
_SILENT: frozenset[Mark] = frozenset({"voided", "not counted", "after the horn"})


def is_told(lane: Lane) -> bool:
    """Whether the athlete said what was done, and nobody judged every rep."""
    return lane.plan.watching == "reported" or lane.work.given is not None


def watched_of(lane: Lane) -> Watched:
    """How a lane was watched, all in all."""
    if not is_told(lane):
        return "judged"
    return "sampled" if closed_looks(lane) else "reported"


def is_judged(attempt: Attempt) -> bool:
    """Whether an attempt says something about how the athlete moves.

    The one rule for every report: a voided attempt does not, nor does a press after
    the horn or one that was not counted, unless a ruling restored it.
    """
    return verdict(attempt) is not None


def is_missed(attempt: Attempt) -> bool:
    """A judged no-rep that stands; one restored was a good rep after all."""
    return verdict(attempt) is False


def verdict(attempt: Attempt) -> bool | None:
    """Whether a judged attempt was good; None where it says nothing."""
    marks = attempt.marks
    if attempt.shows is not None:
        return None
    if not marks or attempt.counts:
        return attempt.good or attempt.counts
    if _restored(attempt):
        return True
    return None if not _SILENT.isdisjoint(marks) else attempt.good


def missed(lane: Lane) -> list[Attempt]:
    """The no-reps of a lane that stand, in the order of the log."""
    return [attempt for attempt in lane.work.attempts if is_missed(attempt)]


def on_paper(lane: Lane) -> tuple[NoRepsWritten, ...]:
    """The no-reps that stand on paper: judged, and without a time."""
    return lane.work.paper.no_reps if lane.work.paper is not None else ()


def closed_looks(lane: Lane) -> list[LookMade]:
    """The looks that somebody ended with a number: those that have a rate."""
    return [look for look in lane.work.looks if look.seen is not None]


def _restored(attempt: Attempt) -> bool:
    """Whether the newest ruling on the attempt restored it."""
    ruled = [mark for mark in attempt.marks if mark in ("voided", "restored")]
    return ruled[-1:] == ["restored"]
