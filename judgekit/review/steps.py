"""The presses of each set that has times, and the gaps between them.

There are as many presses as reps, so what is known of them stands in lists, one for
each thing; a `Step` is made only for those who show each press.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import field
from itertools import groupby
from operator import attrgetter, sub
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.values import dataclass
from judgekit.review.attempts import AttemptRow
from judgekit.review.paces import tells
from judgekit.review.rhythm import settled

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from judgekit.core.plan import Plan, SetKey
    from judgekit.review.attempts import LaneRows
    from judgekit.review.held import Held
    from judgekit.review.rhythm import Rhythm

Gap = int | None
# What is pressed one by one, so that each rep has a time.
ONE_BY_ONE = frozenset({"reps", "segments"})
_at = attrgetter("at")
_key = attrgetter("set.key")


class Step(NamedTuple):
    """One press in a set. `gap` is the ms since the press before in it, None at first.

    `at` is when the rep was, where a late press can be told, `pressed` when its press
    was. `breaks`: the athlete let go before it; `held`: a stop or freeze came before.
    """

    at: int
    gap: int | None
    n: int
    good: bool
    faults: tuple[str, ...]
    breaks: bool = False
    held: bool = False
    pressed: int = 0

    @property
    def each(self) -> float | None:
        """The ms a rep, None where there is no gap to tell."""
        return None if self.gap is None else self.gap / self.n


@dataclass(slots=True)
class Presses:
    """The presses of one set in the order of time, a list for each thing told of them.

    `at` is when each rep was, as far as the card tells that a press was late; `gaps`
    the ms since the one before, None at first, at coming back and after a hold. `n` is
    of how many reps a press was, and `good` how many of them were good. `firsts` are
    the places without a gap, `held` those of them that come after a hold; `singles` are
    the gaps before single reps.
    """

    rows: list[AttemptRow] = field(default_factory=list)
    at: list[int] = field(default_factory=list)
    gaps: list[Gap] = field(default_factory=list)
    n: list[int] = field(default_factory=list)
    good: list[int] = field(default_factory=list)
    firsts: list[int] = field(default_factory=list)
    held: list[int] = field(default_factory=list)
    singles: list[int] = field(default_factory=list)


class Told(NamedTuple):
    """The presses of a set with what the athlete's rhythm tells of them.

    `at` and `gaps` are without bursts behind a late press, `breaks` are the places of
    presses before which the athlete let go.
    """

    presses: Presses
    at: Sequence[int]
    gaps: Sequence[Gap]
    breaks: Sequence[int] = ()

    @property
    def steps(self) -> tuple[Step, ...]:
        """Each press as a step."""
        of = self.presses
        rows = of.rows
        columns = zip(
            self.at,
            self.gaps,
            of.n,
            [row.good for row in rows],
            [row.faults for row in rows],
            _marked(self.breaks, len(rows)),
            _marked(of.held, len(rows)),
            [row.at for row in rows],
            strict=True,
        )
        return tuple(map(Step._make, columns))

    def each(self, place: int) -> float | None:
        """The ms a rep of that press, None where there is no gap to tell."""
        gap = self.gaps[place] if place < len(self.gaps) else None
        return None if gap is None else gap / self.presses.n[place]

    @property
    def pieces(self) -> Iterator[int]:
        """Good reps from break to break; one of no-reps alone is no piece."""
        good = self.presses.good
        starts = sorted({*self.breaks, *self.presses.firsts})
        for start, end in zip(starts, [*starts[1:], len(good)], strict=True):
            if piece := sum(good[start:end]):
                yield piece

    @property
    def working(self) -> list[int]:
        """The gaps before single reps while the athlete worked."""
        if self.gaps is self.presses.gaps and not self.breaks:
            return self.presses.singles
        gaps = list(self.gaps)
        for place in self.breaks:
            gaps[place] = None
        return _singles(gaps, self.presses.n)

    def rested_ms(self, rep: float) -> int:
        """What breaks took beyond a rep of so many ms."""
        n = self.presses.n
        breaks = ((self.gaps[place], place) for place in self.breaks)
        return round(
            sum(max(0.0, gap - n[place] * rep) for gap, place in breaks if gap)
        )


def presses_of(
    rows: LaneRows, opened: Mapping[SetKey, int], holds: Sequence[Held]
) -> dict[SetKey, Presses]:
    """The presses of each set that has times; a set gone back to begins anew.

    `opened` says when each could begin.
    """
    plan = rows.facts.plan
    begins = [held.begin for held in holds]
    found: dict[SetKey, Presses] = {}
    # In the order of time, as long as they stay in one set.
    for key, of in groupby(sorted(_in_time(rows, opened), key=_at), key=_key):
        visit = list(of)
        if visit[0].watched != "judged" or not _is_timed(plan, key):
            continue
        first = None if key in found else opened.get(key)
        presses = found.get(key)
        if presses is None:
            presses = found[key] = Presses()
        _visit(presses, visit, plan.card_of(key).floor_ms, first)
        if begins:
            _hold(presses, begins, len(visit))
    for presses in found.values():
        presses.singles = _singles(presses.gaps, presses.n)
    return found


def _visit(
    presses: Presses, visit: list[AttemptRow], floor_ms: int, opened: int | None
) -> None:
    good = [row.n if row.good else 0 for row in visit]
    at = settled([row.at for row in visit], good, floor_ms, 0, opened)
    presses.firsts.append(len(presses.rows))
    presses.rows += visit
    presses.at += at
    presses.gaps += [None, *map(sub, at[1:], at)]
    presses.n += [row.n for row in visit]
    presses.good += good


def _hold(presses: Presses, begins: Sequence[int], many: int) -> None:
    """No gap tells anything where a hold began since the press before.

    `begins` are in order; of the presses the last so many are looked at.
    """
    for place in range(len(presses.rows) - many + 1, len(presses.rows)):
        before, pressed = presses.at[place - 1], presses.rows[place].at
        if bisect_right(begins, pressed) > bisect_right(begins, before):
            presses.gaps[place] = None
            presses.firsts.append(place)
            presses.held.append(place)


def _in_time(rows: LaneRows, opened: Mapping[SetKey, int]) -> list[AttemptRow]:
    """Without reps made in the rest before a set, where those count for nothing."""
    timed = [row for row in rows.attempts if row.timed]
    if rows.facts.plan.early_start != "no-rep":
        return timed
    found: list[AttemptRow] = []
    for key, of in groupby(timed, key=_key):
        begins = opened.get(key, 0)
        found += [row for row in of if row.at >= begins]
    return found


def _is_timed(plan: Plan, key: SetKey) -> bool:
    return plan.movement(key).unit in ONE_BY_ONE and tells(plan, key)


def told_by(presses: Presses, rhythm: Rhythm, floor_ms: int, opened: int) -> Told:
    """A set's presses as the athlete's rhythm in it tells them."""
    at, gaps = presses.at, presses.gaps
    good = list(presses.good)
    for place in presses.firsts:
        good[place] = 0
    moved = settled(at, good, floor_ms, rhythm.usual_ms, opened)
    if moved is not at:
        steps = map(sub, moved[1:], moved)
        since = [None, *steps]
        gaps = [
            None if gap is None else own for gap, own in zip(gaps, since, strict=True)
        ]
    # What is no longer than this is no break, however many reps it is of.
    least = rhythm.limit_ms
    longer = [p for p, gap in enumerate(gaps) if gap is not None and gap > least]
    breaks = [place for place in longer if _breaks(presses, place, gaps, rhythm)]
    return Told(presses, moved, gaps, breaks)


def _breaks(presses: Presses, place: int, gaps: Sequence[Gap], rhythm: Rhythm) -> bool:
    missed = not presses.rows[place - 1].good
    return (gaps[place] or 0) > rhythm.longest_ms(presses.n[place], missed=missed)


def _singles(gaps: Sequence[Gap], n: Sequence[int]) -> list[int]:
    """The gaps before single reps: what was pressed together has no times within."""
    return [
        gap
        for gap, many in zip(gaps, n, strict=True)
        if many == 1 and gap is not None and gap > 0
    ]


def _marked(places: Collection[int], many: int) -> list[bool]:
    marks = [False] * many
    for place in places:
        marks[place] = True
    return marks
