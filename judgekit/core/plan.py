"""Everything about one lane, resolved: what the fold reads, and all that it reads.

A plan is sealed at go as canonical bytes, so it holds plain numbers and words only.
"""

from __future__ import annotations

from typing import NamedTuple

from judgekit.core.card import CriterionKind, Ends, Moment, Weight
from judgekit.core.people import CueKeys, Doubt, EarlyStart, ShowAs
from judgekit.core.values import dataclass
from judgekit.core.workout import CapRule, RestRule, ScoredBy, Unit


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

    `loads` has one text for each round (empty texts where there is no load).
    """

    card: str
    unit: Unit
    targets: tuple[int, ...]
    loads: tuple[str, ...] = ()
    height: str = ""
    pieces: tuple[tuple[int, ...], ...] = ()
    watch: tuple[str, ...] = ()
    instead_of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPart:
    """One part: `kind` says which of the numbers holds.

    rounds: `rounds`; window: `length_ms`; rest: `length_ms` (the athlete's own);
    rest-until: `until_ms` (the clock's).
    """

    id: str
    kind: str
    rounds: int = 0
    length_ms: int = 0
    until_ms: int = 0
    movements: tuple[PlanMovement, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTieBreak:
    """`kind` is "after-part" (with the part's number) or "last-full-round"."""

    kind: str
    part: int = 0


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
        """How many units make the set; in a window the last round repeats."""
        targets = self.movement(key).targets
        return targets[min(key.round, len(targets)) - 1]

    def load(self, key: SetKey) -> str:
        """The load of a set, as shown, or empty."""
        loads = self.movement(key).loads
        return loads[min(key.round, len(loads)) - 1] if loads else ""

    def holds(self, key: SetKey) -> bool:
        """Whether the plan has such a set."""
        if not 1 <= key.part <= len(self.parts):
            return False
        part = self.parts[key.part - 1]
        rounds = part.rounds if part.kind == "rounds" else key.round
        return 1 <= key.round <= rounds and 1 <= key.movement <= len(part.movements)

    def after(self, key: SetKey) -> SetKey | None:
        """The set that follows; None after the last. A window never ends by work."""
        part = self.part(key)
        if key.movement < len(part.movements):
            return key._replace(movement=key.movement + 1)
        if part.kind == "window" or key.round < part.rounds:
            return SetKey(key.part, key.round + 1, 1)
        return self.first_from(key.part + 1)

    def first_from(self, part: int) -> SetKey | None:
        """The first set of that part or of the next one with work in it, or None."""
        for number in range(part, len(self.parts) + 1):
            if self.parts[number - 1].movements:
                return SetKey(number, 1, 1)
        return None

    def all_sets(self) -> tuple[SetKey, ...]:
        """Every set of the parts done for rounds, in order (windows have no end)."""
        return tuple(
            SetKey(number, round_, movement)
            for number, part in enumerate(self.parts, 1)
            if part.kind == "rounds"
            for round_ in range(1, part.rounds + 1)
            for movement in range(1, len(part.movements) + 1)
        )

    def prescribed(self) -> int:
        """How many units of work all rounds hold together."""
        return sum(self.target(key) for key in self.all_sets())
