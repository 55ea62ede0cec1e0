"""Athletes whose truth is known, under a judge with a thumb: sets, pauses, no-reps.

Everything comes from a seed. What the analysis sees is the lane alone.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from math import exp
from typing import TYPE_CHECKING

from judgekit.core import doubt
from judgekit.core.entry import Accept, NoRep, Rep, Time
from judgekit.core.plan import Plan, PlanCard, SetKey
from judgekit.core.press import AnswerExtra, TakeBackOne
from tests.building import plan_of, rounds, window
from tests.support import Played, card, movement

if TYPE_CHECKING:
    from judgekit.core.state import Lane
    from judgekit.review.pieces import LanePieces


def _card(id_: str, floor: int, brisk: int, ordinary: int) -> PlanCard:
    return replace(card(id_, floor=floor), brisk_ms=brisk, ordinary_ms=ordinary)


# The share of questions whether a press was one too many that are answered.
_ANSWERED = 0.5
CARDS = (
    _card("wall-ball-shot", 1400, 1800, 2400),
    _card("pull-up", 750, 1000, 1800),
    _card("thruster", 1200, 1500, 2500),
    _card("double-under", 280, 500, 650),
)


@dataclass(frozen=True, kw_only=True)
class Manner:
    """How athletes and their judge are; shares are of reps, times in ms.

    `uneven` is the spread of a rep's time, `drift` how much longer a rep is after
    hundred tries, `pause` from and to for a break, `missed` the share of no-reps, and
    `upset` the share of those after which the athlete lets go. `thumb` is the spread
    of a press around its rep, `late` the share of reps the judge looks away for,
    `doubled` that of presses that come twice.
    """

    uneven: float = 0.10
    drift: float = 0.15
    pause: tuple[int, int] = (3000, 9000)
    missed: float = 0.0
    upset: float = 0.2
    thumb: int = 100
    late: float = 0.0
    doubled: float = 0.0
    singles: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Truth:
    """What really was: after which good rep of a set the athlete let go; the losses.

    `done_ms` is when the work was done, `clean_ms` when it would have been without a
    no-rep.
    """

    breaks: frozenset[tuple[SetKey, int]]
    done_ms: int
    clean_ms: int
    no_reps: int


@dataclass(frozen=True, kw_only=True)
class _Try:
    """One rep of the athlete: what came before it and how long it took, or would."""

    key: SetKey
    good: bool
    after: int
    wait_ms: float
    takes_ms: float
    lets_go: bool


def workout(**changes: object) -> Plan:
    """Three rounds of shots (15), pull-ups (12), thrusters (9), double-unders (40)."""
    part = rounds(
        3,
        movement("wall-ball-shot", 15),
        movement("pull-up", 12),
        movement("thruster", 9),
        movement("double-under", 40),
    )
    return plan_of(part, cards=CARDS, score="time", **changes)


def open_workout(seconds: int = 480) -> Plan:
    """The same work, as many rounds as fit in."""
    shots, pulls, thrusts, skips = workout().parts[0].movements
    return plan_of(window(seconds, shots, pulls, thrusts, skips), cards=CARDS)


class Athlete:
    """One athlete by a seed, and the judge beside."""

    def __init__(self, plan: Plan, manner: Manner, seed: int) -> None:
        self.plan = plan
        self.manner = manner
        self.chance = random.Random(seed)  # noqa: S311 - an athlete, no secret
        self.fit = self.chance.uniform(0.85, 1.4)
        self.tries = self._tries()

    def _tries(self) -> list[_Try]:
        found: list[_Try] = []
        key: SetKey | None = SetKey(1, 1, 1)
        while key is not None and key.round <= 12:
            found += self._set(key)
            key = self.plan.after(key)
        return found

    def _set(self, key: SetKey) -> list[_Try]:
        chance, manner = self.chance, self.manner
        target = self.plan.target(key)
        alone = chance.random() < manner.singles
        breaks = set(range(1, target)) if alone else self._breaks(target)
        found: list[_Try] = []
        wait = chance.uniform(1500, 6000)
        for rep in range(target):
            lets_go = rep in breaks
            wait += chance.uniform(*manner.pause) if lets_go else 0
            while chance.random() < manner.missed:
                found.append(self._try(key, rep, wait, good=False, lets_go=lets_go))
                lets_go = chance.random() < manner.upset
                wait = chance.uniform(200, 900)
                wait += chance.uniform(*manner.pause) if lets_go else 0
            found.append(self._try(key, rep, wait, good=True, lets_go=lets_go))
            wait = 0
        return found

    def _try(
        self, key: SetKey, after: int, wait: float, *, good: bool, lets_go: bool
    ) -> _Try:
        takes = self.plan.card_of(key).ordinary_ms * 0.85 * self.fit
        takes *= exp(self.chance.gauss(0, self.manner.uneven))
        takes *= 1 if good else self.chance.uniform(0.7, 1.2)
        return _Try(
            key=key,
            good=good,
            after=after,
            wait_ms=wait,
            takes_ms=takes,
            lets_go=lets_go,
        )

    def _breaks(self, target: int) -> set[int]:
        """Unbroken, in two or in three, not quite as planned."""
        pieces = self.chance.choice((1, 1, 2, 2, 3))
        parts = (round(target * n / pieces) for n in range(1, pieces))
        moved = {part + self.chance.choice((-1, 0, 1)) for part in parts}
        return {at for at in moved if 0 < at < target}

    def times(self, *, clean: bool = False) -> list[tuple[float, _Try]]:
        """When each try was over; or each good one, had there been no other.

        What an athlete waits after a no-rep is its doing, and the tries before make
        later ones slower.
        """
        now = 0.0
        found: list[tuple[float, _Try]] = []
        before: _Try | None = None
        held_back = 0.0
        for one in self.tries:
            if clean and not one.good:
                # The way or the pause before it would have come all the same.
                if before is None or before.good:
                    held_back = one.wait_ms
                before = one
                continue
            missed = before is not None and not before.good
            now += held_back if clean and missed else one.wait_ms
            now += one.takes_ms * (1 + self.manner.drift * len(found) / 100)
            found.append((now, one))
            before, held_back = one, 0.0
        return found

    def presses(self) -> list[tuple[float, _Try]]:
        """When the judge pressed: after each rep, late at times, never out of order."""
        chance, manner = self.chance, self.manner
        found: list[tuple[float, _Try]] = []
        away_until = 0.0
        for at, one in self.times():
            if chance.random() < manner.late:
                away_until = at + chance.uniform(1000, 3000)
            when = max(at, away_until) + abs(chance.gauss(0, manner.thumb))
            if found:
                when = max(when, found[-1][0] + 180)
            found.append((when, one))
        return found


def simulated(
    plan: Plan, manner: Manner, seed: int, *, signed: bool = False
) -> tuple[Lane, Truth]:
    """A lane as it was judged, and the truth about it; time is called at the end.

    `signed`: athlete and judge accepted the score, so that it is official.
    """
    athlete = Athlete(plan, manner, seed)
    times, clean = athlete.times(), athlete.times(clean=True)
    horn = plan.parts[0].length_ms or None
    played = Played(plan).go()
    for at, one in athlete.presses():
        if horn is not None and at >= horn:
            break
        act = Rep() if one.good else NoRep(faults=("depth",))
        played.press(at / 1000, act)
        if one.good and athlete.chance.random() < manner.doubled:
            _again(played, at / 1000 + 0.12, athlete.chance)
    if horn is not None:
        played.press(horn / 1000, Time())
    for who in ("athlete", "judge") if signed else ():
        played.press((horn or times[-1][0]) / 1000 + 60, Accept(who=who, signed=True))
    seen = [one for at, one in times if horn is None or at < horn]
    return played.lane, Truth(
        breaks=frozenset(
            (one.key, one.after) for one in seen if one.lets_go and one.after
        ),
        done_ms=round(times[-1][0]),
        clean_ms=round(clean[-1][0]),
        no_reps=sum(not one.good for one in seen),
    )


def _again(played: Played, at: float, chance: random.Random) -> None:
    """A press that came twice: said to be one too many if that is asked, or undone."""
    played.press(at, Rep())
    asked = doubt.asked(played.lane, round(at * 1000)) is not None
    answers = asked and chance.random() < _ANSWERED
    act = AnswerExtra(yes=True) if answers else TakeBackOne()
    played.press(at + 0.02, act)


def good_by(plan: Plan, manner: Manner, seed: int, ms: int) -> int:
    """How many reps that athlete would have had by then without a no-rep."""
    athlete = Athlete(plan, manner, seed)
    return sum(at < ms for at, _ in athlete.times(clean=True))


def breaks_found(found: LanePieces) -> frozenset[tuple[SetKey, int]]:
    """The breaks that were told, as the truth has them."""
    breaks = set()
    for one in found.sets:
        good = 0
        for step in one.steps:
            if step.breaks and good:
                breaks.add((one.set.key, good))
            good += step.n if step.good else 0
    return frozenset(breaks)
