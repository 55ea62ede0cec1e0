"""An athlete's pace at each movement and load of a lane, all sets of it together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.review.pieces import kind_of
from judgekit.review.rhythm import BRISK_REPS
from judgekit.review.setsums import set_sum
from judgekit.review.slowing import Slowing, slowing_of

if TYPE_CHECKING:
    from judgekit.core.plan import Plan
    from judgekit.review.pieces import Kind, LanePieces, SetPieces, Worked


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """The athlete's pace at one movement and load, all sets of it together.

    `pace_ms` is how long a rep takes (see `setsums.py`), None where no set tells it;
    `usual_ms` is the middle of all gaps without breaks, by which breaks are found.
    `by_card`: too few gaps to have a rhythm; `slowly`: see `goes_slowly`. `slowing` is
    None where gaps are too few.
    """

    card: str
    movement: str
    load: str
    unit: str
    gaps: int
    pace_ms: int | None
    usual_ms: int
    limit_ms: int
    by_card: bool
    slowly: bool
    slowing: Slowing | None


def lane_paces(found: LanePieces) -> tuple[Pace, ...]:
    """A pace for each movement and load, in the order in which they were first done."""
    plan = found.facts.plan
    sets: dict[Kind, list[SetPieces]] = {}
    for one in found.sets:
        sets.setdefault(kind_of(plan, one.set.key), []).append(one)
    return tuple(_pace(found, of, sets.get(of.kind, [])) for of in found.worked)


def goes_slowly(plan: Plan, of: Worked) -> bool:
    """Whether no gap was quick by the card, so that these may have been single reps."""
    return of.rhythm.usual_ms > BRISK_REPS * plan.card(of.kind.card).brisk_ms > 0


def _pace(found: LanePieces, of: Worked, sets: list[SetPieces]) -> Pace:
    plan, rhythm = found.facts.plan, of.rhythm
    working = [gap for gap in of.gaps if gap <= rhythm.limit_ms]
    return Pace(
        card=of.kind.card,
        movement=plan.card(of.kind.card).name,
        load=of.kind.load,
        unit=plan.movement(of.key).unit,
        gaps=len(working),
        pace_ms=set_sum(sets).pace_ms,
        usual_ms=round(rhythm.usual_ms),
        limit_ms=round(rhythm.limit_ms),
        by_card=not rhythm.is_own,
        slowly=goes_slowly(plan, of),
        slowing=slowing_of(working),
    )
