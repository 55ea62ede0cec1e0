"""Judged attempts that have a place in their set, those at one set together.

What is counted along the work asks the same of each attempt at a set by one athlete:
who is held against what is found once for all of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.review.attempts import AttemptRow, LaneRows, SetFacts


class Placed(NamedTuple):
    """Attempts that follow each other at one set, by one athlete; at least one."""

    lane: LaneRows
    rows: Sequence[AttemptRow]

    @property
    def set(self) -> SetFacts:
        """Which set it is."""
        return self.rows[0].set

    @property
    def by(self) -> str:
        """The bib of who tried, as in an AttemptRow."""
        return self.rows[0].by


def placed(lanes: Iterable[LaneRows]) -> list[Placed]:
    """The attempts of all lanes, in the order of the rows."""
    return [
        Placed(lane, rows)
        for lane in lanes
        for rows in _alike(lane.attempts)
        if rows[0].is_placed
    ]


def _alike(rows: Sequence[AttemptRow]) -> Iterator[Sequence[AttemptRow]]:
    """Rows that follow each other and differ in nothing that `placed` asks about."""
    start, first = 0, rows[0] if rows else None
    for place, row in enumerate(rows):
        if first is None or (
            row.set is first.set
            and row.by == first.by
            and row.watched == first.watched
            and row.timed == first.timed
        ):
            continue
        yield rows[start:place]
        start, first = place, row
    if first is not None:
        yield rows[start:]
