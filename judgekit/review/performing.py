"""A scripted athlete: the described reps of the cards, one after the other.

Time and chance come from outside. The same chance and the same calls give the same
reps, and the athlete does what the judge's count leaves to be done.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from judgekit.core.card import in_force
from judgekit.core.decide import decide
from judgekit.core.entry import Entry, Go, NoRep, Rep
from judgekit.core.errors import Refusal
from judgekit.core.lane import empty, evolve
from judgekit.core.press import Press
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.core.card import Card
    from judgekit.core.entry import Body
    from judgekit.core.plan import Plan, PlanCard, SetKey
    from judgekit.core.state import Lane

# So many of the reps are bad ones: more than in a heat, where good ones teach nothing.
BAD_SHARE = 0.4
# Words are read this fast by who knows them (400 a minute), and no rep is shorter.
WORD_MS = 150
# A rep takes so much more or less than its card's ordinary one.
UNEVEN = 0.15
# Nothing is shown between two reps, so that the same words are seen to come again.
GAP_MS = 300
# The athlete looks up for the count where the rep just made may have been the last.
WAIT_MS = 1500
_STILL_MS = 250
_WHOLE = 100


class Chance(Protocol):
    """Where numbers from 0 to 1 come from, 1 left out."""

    def random(self) -> float: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A rep as it can be shown: its words, and the fault that voids it or nothing."""

    says: str
    fault: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Repertoire:
    """What can be shown of one movement, and how long it takes."""

    card: str
    ordinary_ms: int
    changeover_ms: int
    good: tuple[Shown, ...]
    bad: tuple[Shown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Performed:
    """A rep that was shown, from when until when on the lane's own clock."""

    at_ms: int
    until_ms: int
    card: str
    says: str
    fault: str


def repertoire(card: Card, body: PlanCard) -> Repertoire | None:
    """What can be shown of a card as it is in force; None if that is too little."""
    shown = in_force(card, dict(body.settings)).examples
    good = tuple(Shown(says=e.says) for e in shown if e.fault is None)
    bad = tuple(Shown(says=e.says, fault=e.fault) for e in shown if e.fault)
    if not good or not bad:
        return None
    return Repertoire(
        card=card.id,
        ordinary_ms=body.ordinary_ms,
        changeover_ms=body.changeover_ms,
        good=good,
        bad=bad,
    )


class Athlete:
    """Shows so many reps, at `percent` of the ordinary pace.

    `due_ms` is when to look at the lane next; `performed` is what was shown so far.
    """

    def __init__(
        self,
        shows: Mapping[str, Repertoire],
        chance: Chance,
        *,
        reps: int,
        percent: int = _WHOLE,
    ) -> None:
        self.performed: list[Performed] = []
        self.due_ms = 0
        self._shows = shows
        self._chance = chance
        self._reps = reps
        self._percent = percent
        self._bags: dict[tuple[str, bool], list[Shown]] = {}
        self._newest: dict[tuple[str, bool], Shown] = {}
        self._waited = self._walked = False

    @property
    def is_done(self) -> bool:
        """Whether the last rep was begun."""
        return len(self.performed) >= self._reps

    def says(self, at: int) -> str:
        """What the athlete does at a moment, in words; empty between two reps."""
        newest = self.performed[-1] if self.performed else None
        return newest.says if newest is not None and at < newest.until_ms else ""

    def back_to_the_line(self) -> None:
        """After a recall all of it is shown anew."""
        self.performed.clear()
        self.due_ms = 0
        self._waited = self._walked = False

    def look(self, at: int, lane: Lane) -> None:
        """Begin the next rep if it is time to; what the judge counted says which."""
        key = lane.work.cursor
        if self.is_done or at < self.due_ms or key is None:
            return
        wait = _STILL_MS if lane.holds else self._waits(lane)
        if wait:
            self.due_ms = at + wait
        else:
            self._begin(at, self._shows[lane.plan.card_of(key).id])

    def _waits(self, lane: Lane) -> int:
        """How long the next rep has to wait: for the count, and for the way to it."""
        key = lane.work.cursor
        if not self.performed or key is None:
            return 0
        newest = self.performed[-1]
        done = lane.work.set_done(key)
        left = lane.plan.target(key) - (done.good if done is not None else 0)
        attempts = lane.work.attempts
        counted = bool(attempts) and attempts[-1].at >= newest.at_ms
        if left <= 1 and not counted and not self._waited:
            self._waited = True
            return self._paced(WAIT_MS)
        shows = self._shows[lane.plan.card_of(key).id]
        if shows.card != newest.card and not self._walked:
            self._walked = True
            return self._paced(shows.changeover_ms)
        return 0

    def _begin(self, at: int, shows: Repertoire) -> None:
        bad = self._chance.random() < BAD_SHARE
        shown = self._draw((shows.card, bad), shows.bad if bad else shows.good)
        uneven = 1 + UNEVEN * (2 * self._chance.random() - 1)
        reading = WORD_MS * len(shown.says.split())
        until = at + self._paced(max(round(shows.ordinary_ms * uneven), reading))
        self.performed.append(
            Performed(
                at_ms=at,
                until_ms=until,
                card=shows.card,
                says=shown.says,
                fault=shown.fault,
            )
        )
        self.due_ms = until + GAP_MS
        self._waited = self._walked = False

    def _draw(self, of: tuple[str, bool], all_: tuple[Shown, ...]) -> Shown:
        """One of them: each as often as the others, and never one way twice running."""
        bag = self._bags.setdefault(of, [])
        newest = self._newest.get(of)
        fits = _other_ways(bag, newest)
        if not fits:
            bag[:] = all_
            fits = _other_ways(bag, newest) or bag
        drawn = fits[int(self._chance.random() * len(fits))]
        bag.remove(drawn)
        self._newest[of] = drawn
        return drawn

    def _paced(self, ms: int) -> int:
        return ms * _WHOLE // self._percent


def _other_ways(bag: list[Shown], newest: Shown | None) -> list[Shown]:
    return [one for one in bag if newest is None or _way(one) != _way(newest)]


def _way(shown: Shown) -> str:
    return shown.fault or shown.says


def script(plan: Plan, athlete: Athlete) -> tuple[Performed, ...]:
    """All that the athlete shows to a judge who calls every rep right, as it ends."""
    lane = _put(empty(plan), Go(boot="", boot_ms=0, zero_ms=0), 0)
    while not athlete.is_done:
        before = len(athlete.performed)
        athlete.look(athlete.due_ms, lane)
        for performed in athlete.performed[before:]:
            lane = _judged(lane, performed)
    return tuple(athlete.performed)


def _judged(lane: Lane, performed: Performed) -> Lane:
    act = NoRep(faults=(performed.fault,)) if performed.fault else Rep()
    decided = decide(lane, Press(at=performed.until_ms, act=act))
    for draft in () if isinstance(decided, Refusal) else decided:
        lane = _put(lane, draft.body, performed.until_ms, draft.set)
    return lane


def _put(lane: Lane, body: Body, at: int, key: SetKey | None = None) -> Lane:
    return evolve(
        lane,
        Entry(
            book="",
            number=len(lane.entries) + 1,
            lane=None if isinstance(body, Go) else lane.plan.lane,
            at=at,
            wall=at,
            who="",
            set=key,
            body=body,
        ),
    )
