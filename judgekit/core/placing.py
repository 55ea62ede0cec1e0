"""Parts placed apart: each part makes its own order, and the places are added up.

Who has nothing in a part takes the place after all who have. Equal sums are parted by
the best single place, then by the next best, then by the workout's tie-breaks.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.ranking import ranked
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


def _places(scores: Sequence[Score], number: int) -> dict[int, int]:
    """The place of each score in one part, by the score's identity."""
    rows = [
        (one, part) for one in scores for part in one.parts if part.number == number
    ]
    order = ranked(rows, key=lambda row: row[1].key, tie_order=lambda row: id(row[0]))
    after = 1 + sum(place.rank is not None for place in order)
    return {id(place.row[0]): place.rank or after for place in order}


def _with_places(score: Score, places: dict[int, dict[int, int]]) -> Score:
    own = [(part, places[part.number][id(score)]) for part in score.parts]
    total = sum(place for _, place in own)
    told = ", ".join(f"{part.part} {part.shown} ({place})" for part, place in own)
    best_first = sorted(place for _, place in own)
    return replace(
        score,
        value=total,
        shown=str(total),
        detail=f"{total} places: {told}",
        rank_key=(total, *best_first, *tie_key(score.tiebreaks)),
    )
