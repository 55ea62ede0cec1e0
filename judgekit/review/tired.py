"""By how much a try more slowed down all that came after it, at most.

Who slows down over a workout does so try by try, if it is the tries that tire. Nobody
knows that they do: some start fast and mean to. So this is never a best guess, but an
end that the truth does not lie beyond.
"""

from __future__ import annotations

from bisect import bisect_left
from itertools import accumulate
from math import log
from typing import TYPE_CHECKING, NamedTuple

from judgekit.review.slowing import slowing_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.core.plan import SetKey
    from judgekit.review.pieces import LanePieces


class _Gap(NamedTuple):
    """A gap of work: after how many tries it came, and how long it was."""

    tries: int
    ms: int
    kind: tuple[str, str]


def tiring_ms(found: LanePieces) -> Mapping[tuple[SetKey, int], int]:
    """What each no-rep may have cost by tiring, by its set and its step there."""
    gaps: list[_Gap] = []
    missed: list[tuple[tuple[SetKey, int], int]] = []
    tries = 0
    for one in found.sets:
        kind = (one.set.card, one.set.load)
        for place, step in enumerate(one.steps):
            if step.gap and step.n == 1 and not step.breaks:
                gaps.append(_Gap(tries, step.gap, kind))
            tries += step.n
            if not step.good:
                missed.append(((one.set.key, place), tries))
    rate = _rate(gaps)
    # Gaps stand in the order of their tries.
    whole = list(accumulate((gap.ms for gap in gaps), initial=0))
    before = [bisect_left(gaps, after, key=_tries) for _, after in missed]
    return {
        which: round(rate * (whole[-1] - whole[place]))
        for (which, _), place in zip(missed, before, strict=True)
    }


def _tries(gap: _Gap) -> int:
    return gap.tries


def _rate(gaps: Sequence[_Gap]) -> float:
    """How much longer each try may have made the next ones, as a share; never less."""
    by_kind: dict[tuple[str, str], list[_Gap]] = {}
    for gap in gaps:
        by_kind.setdefault(gap.kind, []).append(gap)
    rates, weights = 0.0, 0
    for of in by_kind.values():
        slowing = slowing_of([gap.ms for gap in of])
        if slowing is None:
            continue
        early, late = of[: slowing.each], of[-slowing.each :]
        between = sum(b.tries - a.tries for a, b in zip(early, late, strict=True))
        rates += log(slowing.high) * slowing.each / between * len(of)
        weights += len(of)
    return max(0.0, rates / weights) if weights else 0.0
