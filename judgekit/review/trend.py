"""Whether a rate rises along a scale, and whether it does within each of many groups.

Groups (strata) are athletes, so that one tired athlete does not speak for all: each is
held against their own rate alone.
"""

from __future__ import annotations

from math import exp, log, sqrt
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.values import dataclass
from judgekit.review.intervals import Z_95
from judgekit.review.normal import both_tails, chi2_tail

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


class Level(NamedTuple):
    """One row of an ordered table: its place on the scale, hits and tries."""

    score: float
    hits: int
    tries: int


class Split(NamedTuple):
    """One group's two by two table: hits and tries after something, and before it."""

    hits: int
    tries: int
    hits_before: int
    tries_before: int

    @property
    def all_tries(self) -> int:
        """Both rows together."""
        return self.tries + self.tries_before

    @property
    def all_hits(self) -> int:
        """Both rows together."""
        return self.hits + self.hits_before


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """A rise (z above nought) or fall, and how likely chance alone is."""

    z: float
    p: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratio:
    """How many times as large, with its 95 % interval."""

    times: float
    low: float
    high: float

    @property
    def is_clear(self) -> bool:
        """Whether the interval leaves no doubt which of the two is larger."""
        return self.low > 1 or self.high < 1


def trend(levels: Sequence[Level]) -> Trend | None:
    """The trend of one group's rates; None where nothing can rise or fall.

    Sources: W. G. Cochran (1954), Biometrics 10:417-451; P. Armitage (1955), Biometrics
    11:375-386.
    """
    tries = sum(level.tries for level in levels)
    hits = sum(level.hits for level in levels)
    if not 0 < hits < tries:
        return None
    p = hits / tries
    middle = sum(level.score * level.tries for level in levels) / tries
    spread = sum(level.tries * (level.score - middle) ** 2 for level in levels)
    if spread <= 0:
        return None
    z = sum(
        (level.score - middle) * (level.hits - level.tries * p) for level in levels
    ) / sqrt(p * (1 - p) * spread)
    return Trend(z=z, p=both_tails(z))


def trend_within(groups: Iterable[Sequence[Level]]) -> Trend | None:
    """The trend within each group, all groups together; None where none can have one.

    Source: N. Mantel (1963), Journal of the American Statistical Association
    58:690-700, the extension of the Mantel-Haenszel procedure to ordered rows. For one
    group its square is A. Agresti's M squared, (N-1)/N times Cochran's.
    """
    above, spread = 0.0, 0.0
    for levels in groups:
        more = _within(levels)
        above += more[0]
        spread += more[1]
    if spread <= 0:
        return None
    z = above / sqrt(spread)
    return Trend(z=z, p=both_tails(z))


def _within(levels: Sequence[Level]) -> tuple[float, float]:
    """How far one group's scores of hits lie above chance, and with what variance."""
    tries = sum(level.tries for level in levels)
    hits = sum(level.hits for level in levels)
    if not 0 < hits < tries:
        return 0.0, 0.0
    middle = sum(level.score * level.tries for level in levels) / tries
    above = sum(level.hits * (level.score - middle) for level in levels)
    spread = sum(level.tries * (level.score - middle) ** 2 for level in levels)
    return above, hits * (tries - hits) * spread / (tries * (tries - 1))


def odds_ratio(groups: Iterable[Split]) -> Ratio | None:
    """The odds after against those before, within the groups; None if there is none.

    Sources: N. Mantel, W. Haenszel (1959), Journal of the National Cancer Institute
    22:719-748; the interval by J. Robins, N. Breslow, S. Greenland (1986), Biometrics
    42:311-323.
    """
    for_it = against = both = for_own = against_own = 0.0
    for one in groups:
        whole = one.all_tries
        if not whole:
            continue
        missed, missed_before = one.tries - one.hits, one.tries_before - one.hits_before
        same = (one.hits + missed_before) / whole
        more = one.hits * missed_before / whole
        less = missed * one.hits_before / whole
        for_it += more
        against += less
        for_own += same * more
        against_own += (1 - same) * less
        both += same * less + (1 - same) * more
    if not for_it or not against:
        return None
    variance = (
        for_own / (2 * for_it**2)
        + both / (2 * for_it * against)
        + against_own / (2 * against**2)
    )
    return _ratio(for_it / against, variance)


def rate_ratio(groups: Iterable[Split]) -> Ratio | None:
    """The rate after against the rate before, within groups; None if there is none.

    Source: S. Greenland, J. Robins (1985), Biometrics 41:55-68, the Mantel-Haenszel
    ratio of rates and its interval.
    """
    after = before = spread = 0.0
    for one in groups:
        if one.all_tries:
            weighed = weights(one)
            after += weighed[0]
            before += weighed[1]
            spread += (
                one.tries * one.tries_before * one.all_hits
                - one.hits * one.hits_before * one.all_tries
            ) / one.all_tries**2
    if not after or not before:
        return None
    return _ratio(after / before, spread / (after * before))


def weights(one: Split) -> tuple[float, float]:
    """What a group adds to both sides of the ratio of rates: after, and before."""
    whole = one.all_tries
    if not whole:
        return 0.0, 0.0
    return one.hits * one.tries_before / whole, one.hits_before * one.tries / whole


def _ratio(times: float, variance: float) -> Ratio:
    half = Z_95 * sqrt(variance)
    return Ratio(times=times, low=exp(log(times) - half), high=exp(log(times) + half))


def parted(groups: Iterable[Split]) -> Trend | None:
    """How surely hits differ after and before, within groups; None if nothing can.

    Source: Mantel and Haenszel (1959), and Cochran (1954): the test of no difference in
    any group, without a continuity correction.
    """
    above, spread = parts(groups)
    if spread <= 0:
        return None
    z = above / sqrt(spread)
    return Trend(z=z, p=chi2_tail(z * z))


def parts(groups: Iterable[Split]) -> tuple[float, float]:
    """Hits after beyond those that chance would give, and their variance, added up."""
    above, spread = 0.0, 0.0
    for one in groups:
        whole = one.all_tries
        if whole > 1:
            share = one.tries / whole
            above += one.hits - one.all_hits * share
            missed = whole - one.all_hits
            spread += one.all_hits * missed * share * (1 - share) / (whole - 1)
    return above, spread
