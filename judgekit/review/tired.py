"""By how much a try more slowed down all that came after it, at most.

Who slows down over a workout does so try by try, if it is the tries that tire. Nobody
knows that they do: some start fast and mean to. So this is never a best guess, but an
end that the truth does not lie beyond.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import field
from itertools import accumulate
from math import log
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.review.slowing import high_of, third_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from judgekit.core.plan import SetKey
    from judgekit.review.pieces import LanePieces


@dataclass(slots=True)
class _Gaps:
    """Gaps of work in their order: how long each was, and after how many tries."""

    ms: list[int] = field(default_factory=list)
    tries: list[int] = field(default_factory=list)


def tiring_ms(found: LanePieces) -> Mapping[tuple[SetKey, int], int]:
    """What each no-rep may have cost by tiring, by its set and its step there."""
    kinds: dict[tuple[str, str], _Gaps] = {}
    every = _Gaps()
    missed: list[tuple[tuple[SetKey, int], int]] = []
    tries = 0
    for one in found.sets:
        if one.told is None:
            continue
        of = kinds.setdefault((one.set.card, one.set.load), _Gaps())
        start = len(every.ms)
        presses, breaks = one.told.presses, set(one.told.breaks)
        columns = zip(one.told.gaps, presses.n, presses.good, strict=True)
        for place, (gap, n, good) in enumerate(columns):
            if gap and n == 1 and place not in breaks:
                every.ms.append(gap)
                every.tries.append(tries)
            tries += n
            if not good:
                missed.append(((one.set.key, place), tries))
        of.ms += every.ms[start:]
        of.tries += every.tries[start:]
    rate = _rate(kinds.values())
    # Gaps stand in the order of their tries.
    whole = list(accumulate(every.ms, initial=0))
    before = [bisect_left(every.tries, after) for _, after in missed]
    return {
        which: round(rate * (whole[-1] - whole[place]))
        for (which, _), place in zip(missed, before, strict=True)
    }


def _rate(kinds: Iterable[_Gaps]) -> float:
    """How much longer each try may have made the next ones, as a share; never less."""
    rates, weights = 0.0, 0
    for of in kinds:
        each = third_of(of.ms)
        if not each:
            continue
        high = high_of(of.ms[:each], of.ms[-each:])
        between = sum(of.tries[-each:]) - sum(of.tries[:each])
        rates += log(high) * each / between * len(of.ms)
        weights += len(of.ms)
    return max(0.0, rates / weights) if weights else 0.0
