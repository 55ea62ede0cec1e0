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

    from judgekit.review.attempts import AttemptRow
    from judgekit.review.placed import Placed

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


def halves_of(stretches: Iterable[Placed]) -> Halves:
    """Both halves of the sets that these attempts are of."""
    found: dict[_Own, _Adding] = {}
    for stretch in stretches:
        target = stretch.lane.facts.plan.target(stretch.set.key)
        # Without a target, and in a set of one, there are no halves.
        if 1 < target < OPEN:
            own = _Own(athlete_of(stretch.lane.facts, stretch.by), stretch.set.card)
            of = found.setdefault(own, [0] * 4)
            _add(of, (target + 1) // 2, stretch.rows)
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


def _add(of: _Adding, middle: int, rows: Iterable[AttemptRow]) -> None:
    """Add presses; several good reps at once may lie on both sides of the middle."""
    for row in rows:
        if row.n == 1:
            side = _FIRST if row.rep <= middle else _SECOND
            of[side + 1] += 1
            if not row.good:
                of[side] += 1
            continue
        first = min(row.n, max(0, middle - row.rep + row.n))
        of[_FIRST + 1] += first
        of[_SECOND + 1] += row.n - first
