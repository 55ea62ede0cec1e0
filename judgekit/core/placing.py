"""Parts placed apart: each part makes its own order, and the places are added up.

Who has no place in a part counts as in the place after all who have one. Equal sums
are parted by the best single place, then by the next best, then by the workout's
tie-breaks; there no place is worse than any.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.ranking import after_all, count_back, ranked
from judgekit.core.score import tie_key
from judgekit.core.status import UNRANKED

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.score import Score


def placed_by_parts(scores: Sequence[Score]) -> list[Score]:
    """The scores of one division in one workout, each with its sum of places.

    Scores that can have no rank stay as they are, and take no place from others.
    """
    can = [one for one in scores if one.status not in UNRANKED]
    numbers = dict.fromkeys(part.number for one in can for part in one.parts)
    places = {number: _places(can, number) for number in numbers}
    return [
        one if one.status in UNRANKED else _with_places(one, places) for one in scores
    ]


def _places(scores: Sequence[Score], number: int) -> dict[int, int | None]:
    """The place of each score in one part, by the score's identity; None without."""
    rows = [
        (one, part) for one in scores for part in one.parts if part.number == number
    ]
    order = ranked(rows, key=lambda row: row[1].key, tie_order=lambda row: id(row[0]))
    return {id(place.row[0]): place.rank for place in order}


def _with_places(score: Score, places: dict[int, dict[int, int | None]]) -> Score:
    own = [(part, places[part.number]) for part in score.parts]
    ranks = [of[id(score)] for _, of in own]
    counted = [
        after_all(of.values()) if rank is None else rank
        for rank, (_, of) in zip(ranks, own, strict=True)
    ]
    total = sum(counted)
    told = ", ".join(
        f"{part.part} {part.shown} ({place})"
        for place, (part, _) in zip(counted, own, strict=True)
    )
    return replace(
        score,
        value=total,
        shown=str(total),
        detail=f"{total} places: {told}",
        rank_key=(total, *count_back(ranks), *tie_key(score.tiebreaks)),
    )
