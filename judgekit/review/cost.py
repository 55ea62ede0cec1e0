"""What no-reps cost: time and places of each athlete, and who would be where without.

All of it is an estimate. What each no-rep took is a range (see `lost.py`), a score
without it is worked out at both ends and in the middle (see `regained.py`), and places
go by those scores, with everybody else's as they are. Nothing is told of results that
may still change.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.score import Score
from judgekit.core.state import Lane
from judgekit.core.values import dataclass
from judgekit.review.attempts import lane_rows
from judgekit.review.lost import Lost, Span, added, losses
from judgekit.review.pieces import lane_pieces
from judgekit.review.regained import regained, why_not

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.core.plan import SetKey

# The place of each score, in the order in which they are given.
Places = Callable[[Sequence[Score]], Sequence[int | None]]
_ENDS = ("low", "middle", "high")


class Entrant(NamedTuple):
    """A lane with its score; `unscored` says why it may not be ranked, else empty."""

    lane: Lane
    score: Score
    unscored: str = ""


class FaultKind(NamedTuple):
    """A kind of fault: of which card, and its reason as logged, empty for none."""

    card: str
    movement: str
    fault: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultPart:
    """How many no-reps of one kind an athlete had, and what they took.

    `timed` of them have a time. A no-rep with two reasons stands under each.
    """

    kind: FaultKind
    no_reps: int
    timed: int
    ms: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What one athlete's no-reps cost.

    `if_clean` are the scores with the least, the middle and the most of `ms` given
    back, and `places` the places then, the others staying where they are. Where
    `untold` says why, these are as now; a no-rep without a time is a reason.
    """

    lane: Lane
    score: Score
    place: int | None
    no_reps: int
    timed: int
    ms: Span
    if_clean: tuple[Score, Score, Score]
    places: tuple[int | None, int | None, int | None]
    faults: tuple[FaultPart, ...]
    untold: str


class Stand(NamedTuple):
    """One athlete's score and place now, and with a kind of fault clean.

    `untold` says why the score without it is not known; it is then as now. `had` is
    how many no-reps of that kind were theirs.
    """

    lane: Lane
    before: Score
    after: Score
    place: int | None
    place_after: int | None
    untold: str = ""
    had: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class CleanFault:
    """The standings if nobody had had one kind of fault, by the middle of its cost.

    Where the score without it of somebody who had it is not known, nobody's place is:
    they may pass others, or not. Only who has no place now is in nobody's way.
    """

    kind: FaultKind
    no_reps: int
    timed: int
    athletes: int
    ms: Span
    standings: tuple[Stand, ...]

    @property
    def is_timed(self) -> bool:
        """Whether each of its no-reps has a time."""
        return self.timed == self.no_reps

    @property
    def unknown(self) -> tuple[Stand, ...]:
        """Who had it and has no score without it, though all of it may have times."""
        return tuple(one for one in self.standings if one.had and one.untold)

    @property
    def tells_places(self) -> bool:
        """Whether places without it are known."""
        ranked = any(one.place is not None for one in self.unknown)
        return self.is_timed and not ranked

    @property
    def moved(self) -> tuple[Stand, ...]:
        """Whose place would be another one, as far as places can be told."""
        if not self.tells_places:
            return ()
        return tuple(one for one in self.standings if one.place != one.place_after)


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """What no-reps cost in one workout and division.

    `open` are those whose results may still change; then there is nothing else.
    Athletes come by their places, faults by what they cost in all.
    """

    workout: str
    workout_name: str
    division: str
    division_name: str
    open: tuple[Entrant, ...] = ()
    athletes: tuple[Cost, ...] = ()
    faults: tuple[CleanFault, ...] = ()


def costs(entrants: Sequence[Entrant], places: Places) -> Costs:
    """The costs of all who are ranked together in one workout and division.

    ValueError if there is nobody.
    """
    if not entrants:
        raise ValueError("nobody is ranked")
    plan = max(entrants, key=lambda one: one.lane.plan.revision).lane.plan
    open_ = tuple(one for one in entrants if _may_change(one))
    of = _Field(entrants, places) if not open_ else None
    return Costs(
        workout=plan.workout,
        workout_name=plan.workout_name,
        division=plan.division,
        division_name=plan.division_name,
        open=open_,
        athletes=of.athletes() if of is not None else (),
        faults=of.faults() if of is not None else (),
    )


def _may_change(one: Entrant) -> bool:
    """Whether its result may still be another; who is absent has none to wait for."""
    absent = one.score.status == "did not start"
    return bool(one.unscored) or (one.score.may_change and not absent)


class _Field:
    """All who are ranked together, with what each of their no-reps took."""

    def __init__(self, entrants: Sequence[Entrant], places: Places) -> None:
        self.entrants = entrants
        self.places = places
        self.scores = [one.score for one in entrants]
        self.now = places(self.scores)
        self.lost = [_losses(one.lane) for one in entrants]

    def athletes(self) -> tuple[Cost, ...]:
        found = [self._cost(number) for number in range(len(self.entrants))]
        return tuple(sorted(found, key=_by_place))

    def _cost(self, number: int) -> Cost:
        one, lost = self.entrants[number], self.lost[number]
        low, middle, high = (self._regained(number, lost, end) for end in _ENDS)
        ranks = [self._place(number, score) for score in (low, middle, high)]
        return Cost(
            lane=one.lane,
            score=one.score,
            place=self.now[number],
            no_reps=len(lost),
            timed=_timed(lost),
            ms=_sum(lost),
            if_clean=(low, middle, high),
            places=(ranks[0], ranks[1], ranks[2]),
            faults=tuple(
                FaultPart(
                    kind=kind,
                    no_reps=len(of),
                    timed=_timed(of),
                    ms=_sum(of),
                )
                for kind, of in _by_kind(lost).items()
            ),
            untold=_why_not(one, lost),
        )

    def _regained(self, number: int, lost: Sequence[Lost], end: str) -> Score:
        one = self.entrants[number]
        if _why_not(one, lost):
            return one.score
        back: dict[SetKey, int] = {}
        for loss in lost:
            if loss.ms is not None:
                key = loss.set.key
                back[key] = back.get(key, 0) + getattr(loss.ms, end)
        return regained(one.lane, one.score, back)

    def _place(self, number: int, score: Score) -> int | None:
        """One athlete's place with another score, everybody else's as it is."""
        if score == self.scores[number]:
            return self.now[number]
        other = [*self.scores[:number], score, *self.scores[number + 1 :]]
        return self.places(other)[number]

    def faults(self) -> tuple[CleanFault, ...]:
        kinds = dict.fromkeys(
            kind for lost in self.lost for kind in _by_kind(lost, alone=True)
        )
        found = [self._clean(kind) for kind in kinds]
        return tuple(sorted(found, key=lambda one: (-one.ms.middle, one.kind)))

    def _clean(self, kind: FaultKind) -> CleanFault:
        """Those that had no other reason: the others would be no-reps all the same."""
        of = [_by_kind(lost, alone=True).get(kind, []) for lost in self.lost]
        scores = [
            self._regained(number, lost, "middle") for number, lost in enumerate(of)
        ]
        stands = [
            Stand(
                *(one.lane, one.score, score, place, then),
                untold=_why_not(one, lost) if lost else "",
                had=len(lost),
            )
            for one, lost, score, place, then in zip(
                self.entrants, of, scores, self.now, self.places(scores), strict=True
            )
        ]
        found = CleanFault(
            kind=kind,
            no_reps=sum(len(lost) for lost in of),
            timed=_timed(loss for lost in of for loss in lost),
            athletes=sum(bool(lost) for lost in of),
            ms=_sum(loss for lost in of for loss in lost),
            standings=tuple(stands),
        )
        if not found.tells_places:
            stands = [one._replace(place_after=None) for one in stands]
        return replace(found, standings=tuple(sorted(stands, key=_by_place_after)))


def _losses(lane: Lane) -> tuple[Lost, ...]:
    rows = lane_rows(lane)
    return losses(lane_pieces(lane, rows=rows), rows)


def _by_kind(
    lost: Iterable[Lost], *, alone: bool = False
) -> dict[FaultKind, list[Lost]]:
    """No-reps by their reasons; `alone`: only those with no other one."""
    found: dict[FaultKind, list[Lost]] = {}
    for loss in lost:
        reasons = loss.faults or ("",)
        if alone and len(reasons) > 1:
            continue
        for fault in reasons:
            kind = FaultKind(loss.set.card, loss.set.movement, fault)
            found.setdefault(kind, []).append(loss)
    return found


def _sum(lost: Iterable[Lost]) -> Span:
    return added(loss.ms for loss in lost if loss.ms is not None)


def _timed(lost: Iterable[Lost]) -> int:
    return sum(loss.ms is not None for loss in lost)


def _why_not(one: Entrant, lost: Sequence[Lost]) -> str:
    """Why a score without these no-reps cannot be worked out; empty if it can."""
    untimed = len(lost) - _timed(lost)
    if why := why_not(one.lane, one.score):
        return why
    return f"{untimed} of {len(lost)} no-reps have no time" if untimed else ""


def _by_place_after(stand: Stand) -> tuple[int, int]:
    """As now, where no place is known."""
    now = _last(stand.place) if stand.place_after is None else 0
    return _last(stand.place_after), now


def _by_place(cost: Cost) -> tuple[int, str]:
    return _last(cost.place), cost.lane.plan.bib


def _last(place: int | None) -> int:
    """A place to sort by; those without one come last."""
    return place if place is not None else 10**9
