"""Everything about one lane, resolved: what the fold reads, and all that it reads.

A plan is sealed at go as canonical bytes, so it holds plain numbers and words only.
"""

from __future__ import annotations

from typing import NamedTuple

from judgekit.core.card import CriterionKind, Ends, Moment, Weight
from judgekit.core.people import (
    CueKeys,
    Disputes,
    Doubt,
    EarlyStart,
    ShowAs,
)
from judgekit.core.values import dataclass
from judgekit.core.workout import (
    CapRule,
    LastLift,
    MassUnit,
    RestRule,
    ScoredBy,
    Take,
    TeamWork,
    Unit,
    Watching,
)

# The target of a set without one, which nobody reaches.
OPEN = 1_000_000


class SetKey(NamedTuple):
    """Which set: part, round and movement, each counted from 1."""

    part: int
    round: int
    movement: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanFault:
    """A fault in force."""

    id: str
    weight: Weight
    breaks: str
    key: str
    call: str
    cues: tuple[str, ...]
    drill: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanCriterion:
    """A criterion in force, its words chosen by the settings."""

    id: str
    kind: CriterionKind
    at: Moment
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanCard:
    """The body of one card in force."""

    id: str
    name: str
    revision: int
    ends: Ends
    view: str
    floor_ms: int
    brisk_ms: int
    ordinary_ms: int
    changeover_ms: int
    source: str
    start: str
    finish: str
    criteria: tuple[PlanCriterion, ...]
    settings: tuple[tuple[str, str], ...]
    faults: tuple[PlanFault, ...]
    stop_signs: tuple[str, ...]
    caution: str

    def fault(self, fault_id: str) -> PlanFault | None:
        """The fault of that id, or None."""
        return next((f for f in self.faults if f.id == fault_id), None)

    def criterion_of(self, fault: PlanFault) -> PlanCriterion | None:
        """The criterion that a fault breaks, or None."""
        return next((c for c in self.criteria if c.id == fault.breaks), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanMovement:
    """One movement of a part: targets for each round, in `unit`; texts as shown.

    `loads` has one text for each round (empty texts where there is no load). A target
    of 0 is as many as can be done; `rise` is added for each round after the first.
    `per` units are one rep of the score.
    """

    card: str
    unit: Unit
    targets: tuple[int, ...]
    loads: tuple[str, ...] = ()
    height: str = ""
    pieces: tuple[tuple[int, ...], ...] = ()
    watch: tuple[str, ...] = ()
    instead_of: str = ""
    rise: int = 0
    per: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPart:
    """One part: `kind` says which of the numbers holds.

    rounds: `rounds`, and `rest_ms` between two of them; window: `length_ms`, or
    `until_ms` on the clock; every: `rounds` intervals, one each `every_ms`, `work_ms`
    of each for work; attempts: `rounds` (0: any number), `length_ms` (0: in turns);
    hold: `length_ms` at most (0: no limit); rest: `length_ms` (the athlete's own);
    rest-until: `until_ms` (the clock's). `score` and `take` as in the workout.
    """

    id: str
    kind: str
    rounds: int = 0
    length_ms: int = 0
    until_ms: int = 0
    every_ms: int = 0
    work_ms: int = 0
    rest_ms: int = 0
    in_turn: bool = False
    until_failed: bool = False
    movements: tuple[PlanMovement, ...] = ()
    score: ScoredBy | None = None
    take: Take = "sum"
    scored: bool = True

    @property
    def is_work(self) -> bool:
        """Whether the athlete works in it; a rest has no movements."""
        return bool(self.movements)

    @property
    def ends_by_work(self) -> bool:
        """Whether it is over when its work is done, and not by the clock."""
        in_turns = self.kind == "attempts" and not self.length_ms
        return self.kind in ("rounds", "hold") or in_turns

    @property
    def is_prescribed(self) -> bool:
        """Whether its work must be done whole; a try may fail, a window has no end."""
        return self.kind in ("rounds", "every")

    @property
    def is_endless(self) -> bool:
        """Whether another round always follows."""
        return self.kind == "window" or (self.kind == "attempts" and not self.rounds)

    def movements_of(self, round_: int) -> tuple[int, ...]:
        """The numbers of the movements that a round of it has, in order."""
        if self.in_turn:
            return ((round_ - 1) % len(self.movements) + 1,)
        return tuple(range(1, len(self.movements) + 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTieBreak:
    """A tie-break by its `kind`.

    after-part (with the part's number), last-full-round, at-rep (with the rep's
    `number`), last-rep, fewer-no-reps, lighter-body, earlier-attempt, interval-seconds.
    """

    kind: str
    part: int = 0
    number: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """One of a team."""

    bib: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTeam:
    """The team of a lane: who is in it, and how the work is shared (see `Team`)."""

    members: tuple[Member, ...] = ()
    how: TeamWork = ""
    least: int = 0
    judges: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One lane's whole plan. Times are whole ms on the lane's own running clock."""

    event: str
    date: str
    zone: str
    heat: str
    lane: int
    bib: str
    name: str
    show: ShowAs
    division: str
    division_name: str
    workout: str
    workout_name: str
    revision: int
    score: ScoredBy
    rest: RestRule
    cap_ms: int
    capped: CapRule
    precision_ms: int
    parts: tuple[PlanPart, ...]
    cards: tuple[PlanCard, ...]
    tiebreaks: tuple[PlanTieBreak, ...] = ()
    doubt: Doubt = "athlete"
    early_start: EarlyStart = "no-rep"
    cues: CueKeys = "off"
    horn_lag_ms: int = 1000
    second_reason_ms: int = 1000
    repeat_ms: int = 80
    substituted: bool = False
    last_lift: LastLift = "complete"
    body_grams: int = 0
    units: MassUnit = "kg"
    disputes: Disputes = "count-and-time"
    dispute_ms: int = 0
    team: PlanTeam = PlanTeam()
    watching: Watching = "judged"

    def card(self, card_id: str) -> PlanCard:
        """The card of that id; KeyError if the plan has none."""
        for card in self.cards:
            if card.id == card_id:
                return card
        raise KeyError(card_id)

    def part(self, key: SetKey) -> PlanPart:
        """The part a set belongs to."""
        return self.parts[key.part - 1]

    def movement(self, key: SetKey) -> PlanMovement:
        """The movement a set belongs to."""
        return self.part(key).movements[key.movement - 1]

    def card_of(self, key: SetKey) -> PlanCard:
        """The card a set is judged by."""
        return self.card(self.movement(key).card)

    def target(self, key: SetKey) -> int:
        """How many units make the set; beyond the list the last round repeats."""
        movement = self.movement(key)
        targets = movement.targets
        written = targets[min(key.round, len(targets)) - 1]
        return written + movement.rise * (key.round - 1) if written else OPEN

    def load(self, key: SetKey) -> str:
        """The load of a set, as shown, or empty."""
        loads = self.movement(key).loads
        return loads[min(key.round, len(loads)) - 1] if loads else ""

    def holds(self, key: SetKey) -> bool:
        """Whether the plan has such a set."""
        if not 1 <= key.part <= len(self.parts):
            return False
        part = self.parts[key.part - 1]
        rounds = key.round if part.is_endless else part.rounds
        if not 1 <= key.round <= rounds:
            return False
        if part.in_turn:
            return key.movement in part.movements_of(key.round)
        return 1 <= key.movement <= len(part.movements)

    def after(self, key: SetKey) -> SetKey | None:
        """The set that follows; None after the last. A window never ends by work."""
        part = self.part(key)
        if key.movement < len(part.movements) and not part.in_turn:
            return key._replace(movement=key.movement + 1)
        return self.after_round(key)

    def after_round(self, key: SetKey) -> SetKey | None:
        """The first set of the round that follows; None after the last."""
        part = self.part(key)
        if part.is_endless or key.round < part.rounds:
            first = part.movements_of(key.round + 1)[0]
            return SetKey(key.part, key.round + 1, first)
        return self.first_from(key.part + 1)

    def first_from(self, part: int) -> SetKey | None:
        """The first set of that part or of the next one with work in it, or None."""
        for number in range(part, len(self.parts) + 1):
            if self.parts[number - 1].is_work:
                return SetKey(number, 1, 1)
        return None

    def round_sets(self, part: int, round_: int) -> tuple[SetKey, ...]:
        """The sets of one round, in order."""
        movements = self.parts[part - 1].movements_of(round_)
        return tuple(SetKey(part, round_, movement) for movement in movements)

    def sets_of(self, part: int) -> tuple[SetKey, ...]:
        """Every set of a part, in order; an endless one has none to name."""
        of = self.parts[part - 1]
        if of.is_endless or not of.is_work:
            return ()
        rounds = range(1, of.rounds + 1)
        return tuple(key for round_ in rounds for key in self.round_sets(part, round_))

    def all_sets(self) -> tuple[SetKey, ...]:
        """Every set that must be done, in order.

        Windows have no end, attempts may fail, and what is as many as can be done
        has no target.
        """
        return tuple(
            key
            for number, part in enumerate(self.parts, 1)
            if part.is_prescribed
            for key in self.sets_of(number)
            if self.target(key) != OPEN
        )

    def prescribed(self) -> int:
        """How many units of work all rounds hold together."""
        return sum(self.target(key) for key in self.all_sets())
