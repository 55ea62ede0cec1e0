"""A workout as its coach wrote it: parts, rounds, movements, rests, cap and score."""

from __future__ import annotations

from typing import Generic, Literal, TypeVar

from judgekit.core.quantity import Quantity
from judgekit.core.values import dataclass

ScoredBy = Literal["time", "reps", "load", "reading", "placing"]
RestRule = Literal["excluded", "included"]
CapRule = Literal["below", "second-per-rep"]
Unit = Literal["reps", "calories", "metres", "seconds", "segments"]
# Which of a part's rounds or intervals make its score.
Take = Literal["sum", "worst", "best", "kept"]
MassUnit = Literal["kg", "lb"]
LastLift = Literal["complete", "started"]
# Every rep is seen by a judge, or the athlete says how many of a set are done.
Watching = Literal["judged", "reported"]
TeamWork = Literal["", "shared", "relay", "together"]

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class ByDivision(Generic[T]):
    """One value for all (`same`), or one for each division id or standard."""

    same: T | None = None
    by_key: tuple[tuple[str, T], ...] = ()

    def value_for(self, division: str, standard: str) -> T | None:
        """The value for a division: its own id first, then its standard."""
        if not self.by_key:
            return self.same
        table = dict(self.by_key)
        return table.get(division, table.get(standard))


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One movement of a part: its card, and its target in each round.

    `amounts` holds one whole number for all rounds or one for each round, counted
    in `unit`; 0 is as many as can be done. `rise` is by how much the target grows from
    one round to the next. `pieces` is how the coach advises to break up each round's
    set; `watch` names at most two faults of the day. `per` units are one rep of the
    score.
    """

    card: ByDivision[str]
    unit: Unit
    amounts: ByDivision[tuple[int, ...]]
    load: ByDivision[tuple[Quantity, ...]] | None = None
    height: ByDivision[Quantity] | None = None
    pieces: tuple[tuple[int, ...], ...] = ()
    watch: tuple[str, ...] = ()
    rise: int = 0
    per: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounds:
    """A part done for a number of rounds, with `rest_ms` of own rest between two."""

    rounds: int
    rest_ms: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A part done for as many rounds and reps as fit in `length_ms`.

    With `until_ms` instead it lasts until the running clock shows that.
    """

    length_ms: int = 0
    until_ms: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Every:
    """Intervals: one round starts every `every_ms`, `times` of them.

    Work lasts `work_ms` of each. `in_turn`: each interval has one movement, the next
    one each time. `until_failed`: who leaves an interval short is out.
    """

    every_ms: int
    times: int
    work_ms: int
    in_turn: bool = False
    until_failed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempts:
    """Attempts at a load: `attempts` of them (0: any number) within `within_ms`.

    Without `within_ms` they come in turns, and the clock ends none.
    """

    attempts: int
    within_ms: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class OneHold:
    """One hold, for as long as it lasts and `most_ms` at most (0: no limit)."""

    most_ms: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnRest:
    """Rest for `length_ms` from the athlete's own end of the part before."""

    length_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockRest:
    """Rest until the running clock shows `until_ms`."""

    until_ms: int


Shape = Rounds | Window | Every | Attempts | OneHold | OwnRest | ClockRest


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a workout; a rest has no movements.

    `score` is the part's own, where parts are placed apart; `take` says which of its
    rounds make it. What is not `scored` is work that must be done and counts nothing.
    """

    id: str
    shape: Shape
    movements: tuple[Movement, ...] = ()
    score: ScoredBy | None = None
    take: Take = "sum"
    scored: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterPart:
    """Tie-break: the time at which a part was done."""

    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LastFullRound:
    """Tie-break: the time at which the last full round was done."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AtRep:
    """Tie-break: the time of that many reps of the whole workout."""

    rep: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LastRep:
    """Tie-break: the time of the last rep that counts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FewerNoReps:
    """Tie-break: fewer no-reps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LighterBody:
    """Tie-break: the lighter athlete."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierAttempt:
    """Tie-break: the heaviest load was lifted at an earlier attempt."""


@dataclass(frozen=True, slots=True, kw_only=True)
class IntervalSeconds:
    """Tie-break: less time to the end of the work, all whole intervals together."""


TieBreak = (
    AfterPart
    | LastFullRound
    | AtRep
    | LastRep
    | FewerNoReps
    | LighterBody
    | EarlierAttempt
    | IntervalSeconds
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Team:
    """A lane has a team of `size`: how the work is shared among them.

    shared: any split; relay: one member a round, in turn; together: a rep counts when
    all do it. `least` reps each member must do. `judges` above 1: the lowest count.
    """

    size: int
    how: TeamWork
    least: int = 0
    judges: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Workout:
    """A whole workout; times in ms; `settings` pairs "card.setting" with a value."""

    id: str
    name: str
    revision: int
    score: ScoredBy
    parts: tuple[Part, ...]
    aim: str = ""
    rest: RestRule = "excluded"
    cap_ms: ByDivision[int] | None = None
    capped: CapRule = "below"
    precision_ms: int = 1000
    tiebreaks: tuple[TieBreak, ...] = ()
    settings: tuple[tuple[str, str], ...] = ()
    last_lift: LastLift = "complete"
    team: Team | None = None
    watching: Watching | None = None
