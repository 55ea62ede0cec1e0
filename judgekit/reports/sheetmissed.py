"""What did not count of a lane, for a sheet: no-reps, and reps while work was held."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports.remarks import press_time
from judgekit.reports.sheetwell import where_words
from judgekit.review.judged import missed, on_paper

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.core.state import Lane
    from judgekit.reports.scorecard import AttemptRow as NoRepShown
    from judgekit.reports.scorecard import Scorecard
    from judgekit.review.attempts import AttemptRow

HELD = "REP WHILE STOPPED"
_WHY_HELD = "Work was held: no rep of that time counts, and none is a no-rep"


@dataclass(frozen=True, slots=True, kw_only=True)
class Missed:
    """One no-rep: when on the heat's clock, where, the call, what must be there."""

    at: str
    where: str
    movement: str
    call: str
    must_be: str


def all_missed(
    lane: Lane, card: Scorecard, attempts: Iterable[AttemptRow]
) -> tuple[Missed, ...]:
    """The no-reps of the scorecard that are the athlete's own, and what was held.

    `attempts` are the athlete's own.
    """
    attempts = list(attempts)
    mine = {(row.at, row.set.key) for row in attempts if not row.good}
    pressed = missed(lane)
    found = [
        (
            attempt.at,
            Missed(
                at=shown.at,
                where=_where(lane, attempt.set.part, attempt.set.round),
                movement=shown.movement,
                call=shown.what,
                must_be=shown.says,
            ),
        )
        for attempt, shown in zip(pressed, card.no_reps[: len(pressed)], strict=True)
        if (attempt.at, attempt.set) in mine
    ]
    found = sorted([*found, *_held(lane)], key=lambda one: one[0])
    written = _missed_on_paper(lane, card.no_reps[len(pressed) :], attempts)
    return (*written, *(one for _, one in found))


def _held(lane: Lane) -> Iterator[tuple[int, Missed]]:
    """Good reps that count for nothing, as work was held; of a team nobody's."""
    if lane.plan.team.members:
        return
    for attempt in lane.work.attempts:
        is_held = {"held", "not counted"} & set(attempt.marks)
        if attempt.good and not attempt.counts and is_held:
            yield (
                attempt.at,
                Missed(
                    at=press_time(lane.plan, attempt.at),
                    where=_where(lane, attempt.set.part, attempt.set.round),
                    movement=lane.plan.card_of(attempt.set).name,
                    call=HELD,
                    must_be=_WHY_HELD,
                ),
            )


def _where(lane: Lane, part: int, round_: int) -> str:
    return where_words(lane.plan, lane.plan.parts[part - 1].id, round_)


def _missed_on_paper(
    lane: Lane, shown: Sequence[NoRepShown], attempts: Iterable[AttemptRow]
) -> Iterator[Missed]:
    """No-reps that stand on paper: without a time, often without their round."""
    mine = {row.set.key._replace(round=0) for row in attempts if not row.good}
    for one, row in zip(on_paper(lane), shown, strict=True):
        if one.set._replace(round=0) not in mine:
            continue
        part = lane.plan.part(one.set).id
        yield Missed(
            at="",
            where=part
            if one.any_round
            else where_words(lane.plan, part, one.set.round),
            movement=row.movement,
            call=row.what,
            must_be=row.says,
        )
