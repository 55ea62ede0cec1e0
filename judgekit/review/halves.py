"""Whether a no-rep is likelier in the second half of a set than in the first.

Each athlete is held against themselves in the same movement, so that neither one tired
athlete nor a hard movement speaks for all. A middle rep is of the first half.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.plan import OPEN
from judgekit.core.values import dataclass
from judgekit.review.attempts import athlete_of
from judgekit.review.faults import Rate, rate
from judgekit.review.trend import Ratio, Split, odds_ratio, parted, rate_ratio

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.review.attempts import AttemptRow, LaneRows

LEAST_NO_REPS = 10
LEAST_ATHLETES = 5
SURE = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Halves:
    """Both halves of all sets that have a target, and how the second one compares.

    `times` is how many times as likely a no-rep is there, `odds` the same of the odds,
    which is more wherever no-reps are frequent; None where a half has none. `p` is how
    likely chance alone is.
    """

    first: Rate
    second: Rate
    athletes: int
    times: Ratio | None
    odds: Ratio | None
    p: float

    @property
    def is_few(self) -> bool:
        """Whether there is too little to say anything."""
        no_reps = self.first.no_reps + self.second.no_reps
        return no_reps < LEAST_NO_REPS or self.athletes < LEAST_ATHLETES

    @property
    def is_clear(self) -> bool:
        """Whether one half surely has the more no-reps, and how many times as many."""
        return self.p <= SURE and self.times is not None and self.times.is_clear


class _Own(NamedTuple):
    """What an athlete is held against: their own rate in one movement."""

    athlete: str
    card: str


# No-reps and attempts of the second half, then of the first: as a Split has them.
_Adding = list[int]
_SECOND, _FIRST = 0, 2


class _Half(NamedTuple):
    """Where attempts at one set are added, and the last rep of its first half."""

    of: _Adding
    middle: int


def halves(lanes: Iterable[LaneRows], card: str | None = None) -> Halves:
    """Both halves of the sets of one movement, or of all."""
    found: dict[_Own, _Adding] = {}
    for lane in lanes:
        # Who is held against what is found once for each set, not for each rep.
        known: dict[tuple[int, str], _Half] = {}
        for row in lane.attempts:
            if row.is_placed and card in (None, row.set.card):
                key = (id(row.set), row.by)
                half = known.get(key)
                if half is None:
                    half = known[key] = _half(found, lane, row)
                if half.middle:
                    _add(half, row)
    return compared((own.athlete, own.card, Split(*of)) for own, of in found.items())


def compared(found: Iterable[tuple[str, str, Split]]) -> Halves:
    """Both halves of what each athlete did in each movement, the second before."""
    # Always in the same order, so that the same rows give the same last digits.
    every = sorted(found)
    groups = [of for _, _, of in every]
    test = parted(groups)
    return Halves(
        first=rate(
            sum(one.hits_before for one in groups),
            sum(one.tries_before for one in groups),
        ),
        second=rate(sum(one.hits for one in groups), sum(one.tries for one in groups)),
        athletes=len({athlete for athlete, _, _ in every}),
        times=rate_ratio(groups),
        odds=odds_ratio(groups),
        p=1.0 if test is None else test.p,
    )


def _half(found: dict[_Own, _Adding], lane: LaneRows, row: AttemptRow) -> _Half:
    """Where attempts at the row's set are added; no middle where there is no half."""
    target = lane.facts.plan.target(row.set.key)
    if not 1 < target < OPEN:
        return _Half([], 0)
    own = _Own(athlete_of(lane.facts, row.by), row.set.card)
    return _Half(found.setdefault(own, [0] * 4), (target + 1) // 2)


def _add(half: _Half, row: AttemptRow) -> None:
    """Add a press; several good reps at once may lie in both halves."""
    of, middle = half
    if row.n == 1:
        side = _FIRST if row.rep <= middle else _SECOND
        of[side] += not row.good
        of[side + 1] += 1
        return
    first = min(row.n, max(0, middle - row.rep + row.n))
    of[_FIRST + 1] += first
    of[_SECOND + 1] += row.n - first
