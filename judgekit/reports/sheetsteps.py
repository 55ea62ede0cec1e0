"""The arithmetic of a score for an athlete's sheet: the whole rounds, and the rest."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.counted import by_round, names_round, said, scored_parts
from judgekit.core.rounds import full_rounds, in_rounds
from judgekit.core.score import Step

if TYPE_CHECKING:
    from collections.abc import Iterator

    from judgekit.core.counted import ScoreUnit
    from judgekit.core.score import Score
    from judgekit.core.state import Lane


# A part that nobody amended, and the score it is.
_PLAIN = 2


def steps_of(lane: Lane, of: Score) -> tuple[Step, ...]:
    """A score's steps; the rounds of one that is told in rounds are added up."""
    rounds = tuple(_rounds(lane, of)) if len(of.steps) == _PLAIN else ()
    return (*rounds, *of.steps[1:]) if rounds else of.steps


def _rounds(lane: Lane, of: Score) -> Iterator[Step]:
    words = in_rounds(lane.plan, lane.work)
    if not words or not of.detail.startswith(f"{words} ("):
        return
    ((number, part),) = scored_parts(lane.plan)
    if part.take != "sum" or part.kind != "window":
        return
    full = full_rounds(lane.plan, lane.work, number)
    each = list(by_round(lane.plan, lane.work.sets, number).values())
    whole, rest = each[:full], each[full:]
    named = f"{full} {names_round(part, full)}"
    how = f" of {whole[0]}" if len(set(whole)) == 1 else f": {_sum(whole)}"
    if full:
        yield _step(f"{named}{how}", sum(whole), of.unit)
    if sum(rest):
        yield _step(f"{names_round(part, 1)} {full + 1}", sum(rest), of.unit)


def _sum(values: list[int]) -> str:
    return " + ".join(map(str, values))


def _step(label: str, value: int, unit: ScoreUnit) -> Step:
    return Step(label=label, value=said(value, unit))
