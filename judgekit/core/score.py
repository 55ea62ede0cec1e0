"""From a lane to its score, with every step of the arithmetic shown.

Order of the steps: raw, judge's corrections, reps taken off, seconds added, cap
rule, percent (common practice, no source). Times are cut, never rounded, to the
workout's precision, for show and for ranking alike.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from judgekit.core.counted import (
    Counted,
    RankKey,
    ScoreUnit,
    Step,
    prescribed,
    worth,
)
from judgekit.core.disputing import is_late, open_until, unruled, waits_for_signatures
from judgekit.core.forload import in_loads, loads_unsaid
from judgekit.core.forparts import PartScore, part_scores, placed_apart
from judgekit.core.forreps import in_readings, in_reps
from judgekit.core.forresult import as_reported
from judgekit.core.fortime import timed
from judgekit.core.papertimes import DOUBTED, doubted
from judgekit.core.status import UNRANKED, Status, short_waits, status_of, stop_waits
from judgekit.core.teams import below_least
from judgekit.core.tiebreaks import TieBreak, tiebreaks_of
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from judgekit.core.state import Lane

NOT_ACCEPTED = "not accepted yet"
STOPPED = "stopped"
_NOT_YET = ("waiting", "in progress")
__all__ = [
    "NOT_ACCEPTED",
    "STOPPED",
    "PartScore",
    "Score",
    "Status",
    "Step",
    "score",
    "status_of",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """A lane's score.

    `value` is exact, in `unit` (time in whole ms); None where there is none. `shown`
    stands alone ("4:10", "11 of 12", "193"); `detail` puts it in full. `rank_key`
    sorts best first; equal keys tie, None has no rank. Where parts are placed apart,
    `parts` has their scores and only places make an order. `provisional` says why the
    score may still change; `until` is the moment of the wall clock up to which it can
    be questioned, None once it cannot. `before` is the score that was signed, once it
    is another one (`amended`).
    """

    status: Status
    value: int | Fraction | None
    unit: ScoreUnit
    shown: str
    detail: str
    rank_key: RankKey | None
    tiebreaks: tuple[TieBreak, ...]
    reps: int
    prescribed: int
    steps: tuple[Step, ...]
    provisional: tuple[str, ...]
    amended: bool
    parts: tuple[PartScore, ...] = ()
    before: Score | None = None
    until: int | None = None

    @property
    def may_change(self) -> bool:
        """Whether it is provisional, for whatever reason."""
        return bool(self.provisional) or self.until is not None

    @property
    def tiebreak(self) -> str:
        """The values of all tie-breaks, as shown."""
        return ", ".join(tie.shown for tie in self.tiebreaks if tie.shown)

    @property
    def tiebreak_ms(self) -> int | None:
        """The first tie-break that is a time."""
        return next((tie.value for tie in self.tiebreaks if tie.is_time), None)


def score(lane: Lane, wall: int | None = None) -> Score:
    """The score of a lane as it stands; any prefix of a log has one.

    `wall` is the moment at which it is looked at, in ms since 1970; without one the
    time for questions counts as not over.
    """
    plan = lane.plan
    status = status_of(lane)
    parts = part_scores(lane) if plan.score == "placing" else ()
    counted = _counted(lane, status, parts)
    ties = tiebreaks_of(lane)
    key = None if status in UNRANKED else counted.key
    found = Score(
        status=status,
        value=counted.value,
        unit=counted.unit,
        shown=counted.shown,
        detail=counted.detail,
        rank_key=None if key is None else key + tie_key(ties),
        tiebreaks=ties,
        reps=sum(worth(plan, s) for s in lane.work.sets if plan.part(s.key).scored),
        prescribed=prescribed(plan),
        steps=counted.steps,
        provisional=_provisional(lane, status),
        amended=False,
        parts=parts,
        until=None if status in _NOT_YET else open_until(lane, wall),
    )
    return _beside_the_signed(found, lane.accepted if lane.amended else None)


def _beside_the_signed(found: Score, accepted: Lane | None) -> Score:
    """The score with the one that was signed, if a ruling has made it another."""
    if accepted is None:
        return found
    before = score(accepted)
    if _told(before) == _told(found):
        return found
    return replace(found, amended=True, before=before)


def _told(found: Score) -> tuple[Status, str, str]:
    """What stands of a score on a card: to be another one is to differ in that."""
    return found.status, found.detail, found.tiebreak


def tie_key(ties: tuple[TieBreak, ...]) -> RankKey:
    """The tie-breaks' part of a rank key."""
    return tuple(number for tie in ties for number in tie.key)


def _counted(lane: Lane, status: Status, parts: tuple[PartScore, ...]) -> Counted:
    given = lane.work.given
    if given is not None:
        return as_reported(lane, given.result, status)
    match lane.plan.score:
        case "time":
            return timed(lane, status)
        case "reps":
            return in_reps(lane, status)
        case "reading":
            return in_readings(lane, status)
        case "load" | "total":
            return in_loads(lane, status)
        case "placing":
            return placed_apart(lane, parts)


def _provisional(lane: Lane, status: Status) -> tuple[str, ...]:
    if status in _NOT_YET:
        return (status,)
    open_ = (
        (lane.horn_asks, "a rep waits at the horn"),
        (short_waits(lane), "moved on with a set short"),
        (loads_unsaid(lane), "load not said"),
        (doubted(lane), DOUBTED),
    )
    why = [*(words for asks, words in open_ if asks), *below_least(lane)]
    if status != "withdrawn" and stop_waits(lane):
        why.append(STOPPED)
    if any(not is_late(lane, dispute) for dispute in unruled(lane)):
        why.append("disputed")
    # Nobody signs for what the athlete has told.
    if lane.work.given is None and waits_for_signatures(lane):
        why.append(NOT_ACCEPTED)
    return tuple(why)
