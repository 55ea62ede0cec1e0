"""The points that each athlete of a division earns in one workout."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from judgekit.core.counted import ScoreUnit
from judgekit.core.ranking import after_all
from judgekit.core.status import Status
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.points import Overall


# Who is in no heat of the workout has not started it, and has not failed to.
Ending = Status | Literal["no heat"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """One athlete's end in one workout; `rank` None where there is no place.

    `tied` is how many share the place, the athlete with them. `outside`: what was done
    is not what was written, and the event ranks that in no way.
    """

    bib: str
    status: Ending
    rank: int | None
    tied: int = 1
    value: Fraction | None = None
    unit: ScoreUnit = "reps"
    outside: bool = False


def points_of(
    overall: Overall, workout: str, finishes: Sequence[Finish]
) -> dict[str, Fraction]:
    """The points of one division in one workout by bib, already weighed.

    `finishes` are all who take part in it. Who has no place has the place after all who
    have one where places are added up, and no points otherwise.
    """
    field = sum(_is_in_field(overall, finish) for finish in finishes)
    last = after_all(finish.rank for finish in finishes)
    weight = overall.weight(workout)
    best = _best(finishes)
    found = {}
    for finish in finishes:
        if overall.method == "percent":
            points = _percent(finish, best)
        elif overall.method == "results":
            points = _by_result(overall, workout, finish)
        else:
            points = _by_place(overall, finish, field, last)
        found[finish.bib] = points * weight
    return found


def _is_in_field(overall: Overall, finish: Finish) -> bool:
    if finish.status == "no heat" and overall.no_heat == "out":
        return False
    return finish.status != "guest" and not finish.outside


def _by_place(overall: Overall, finish: Finish, field: int, last: int) -> Fraction:
    if finish.rank is None:
        return Fraction(last if overall.method == "places" else 0)
    taken = range(finish.rank, finish.rank + finish.tied)
    if overall.tied == "equal":
        taken = range(finish.rank, finish.rank + 1)
    total = sum((_at(overall, place, field) for place in taken), Fraction())
    return total / len(taken)


def _at(overall: Overall, place: int, field: int) -> Fraction:
    """The points of one place, nobody sharing it."""
    match overall.method:
        case "table":
            table = overall.table
            return table[place - 1] if place <= len(table) else Fraction()
        case "field":
            return Fraction(max(0, field - place + 1))
        case _:
            return Fraction(place)


def _best(finishes: Sequence[Finish]) -> Finish | None:
    return next((finish for finish in finishes if finish.rank == 1), None)


def _percent(finish: Finish, best: Finish | None) -> Fraction:
    """Best over own for times, own over best for the rest; none of another unit."""
    if best is None or finish.rank is None or finish.unit != best.unit:
        return Fraction()
    own, top = finish.value or Fraction(), best.value or Fraction()
    less_is_better = finish.unit in ("ms", "places")
    part, whole = (top, own) if less_is_better else (own, top)
    return part * 100 / whole if whole else Fraction(100 if part == whole else 0)


def _by_result(overall: Overall, workout: str, finish: Finish) -> Fraction:
    """By the workout's own formula or levels; a capped time has none."""
    rule = dict(overall.by_result).get(workout)
    if rule is None or finish.value is None or finish.rank is None:
        return Fraction()
    is_time = finish.unit == "ms"
    if is_time == rule.rising:
        return Fraction()
    return rule.points(finish.value / 1000 if is_time else finish.value)
