"""Who takes part: the event, its divisions, athletes, judges, heats and rules."""

from __future__ import annotations

from dataclasses import field
from typing import Literal

from judgekit.core.plates import Plates
from judgekit.core.points import Overall
from judgekit.core.quantity import Quantity
from judgekit.core.values import dataclass
from judgekit.core.workout import MassUnit, Watching

Doubt = Literal["athlete", "no-rep"]
EarlyStart = Literal["no-rep", "seconds", "counts"]
CueKeys = Literal["off", "on"]
LaneChecks = Literal["on", "off"]
Disputes = Literal["count-and-time", "count", "time", "none"]
ShowAs = Literal["name", "initials", "number"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Division:
    """A group competing together; `standard` picks its loads and heights."""

    id: str
    name: str
    standard: str
    bar: Quantity | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Judge:
    """Someone who may sit at a desk."""

    id: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Athlete:
    """One row of people.csv. `bib` is text and the identity; names may repeat.

    `members` are those of a team that stands in a lane as one.
    """

    bib: str
    name: str
    division: str
    person: str = ""
    reach: Quantity | None = None
    body_mass: Quantity | None = None
    team: str = ""
    show: ShowAs = "name"
    private: str = ""
    members: tuple[Athlete, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatLane:
    """One row of heats.csv: who goes in which lane of which heat, and who judges.

    `date` is the day as YYYY-MM-DD, `start_ms` the clock time of day in ms.
    """

    heat: str
    date: str
    start_ms: int
    workout: str
    lane: int
    bib: str
    judge: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What honest rule sets set differently, for a whole event; times in ms.

    Scores may be questioned for `dispute_ms` after the work (half an hour: common
    practice is a quarter to a whole one, no source), 0 for ever.
    """

    doubt: Doubt = "athlete"
    early_start: EarlyStart = "no-rep"
    cues: CueKeys = "off"
    horn_lag_ms: int = 1000
    second_reason_ms: int = 1000
    repeat_ms: int = 80
    lane_check: LaneChecks = "on"
    disputes: Disputes = "count-and-time"
    dispute_ms: int = 1_800_000
    watching: Watching = "judged"


@dataclass(frozen=True, slots=True, kw_only=True)
class Emergency:
    """Who to call and what to say."""

    call: str = ""
    say: str = ""
    defibrillator: str = ""
    first_aid: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """event.toml: `date` is YYYY-MM-DD, `zone` an IANA zone name.

    `card_settings` maps "card.setting" to a value; `keys` maps an action to extra
    key names; `shared` maps a card's equipment to how many lanes share one piece.
    """

    name: str
    date: str
    divisions: tuple[Division, ...]
    zone: str = "UTC"
    zone_given: bool = False
    place: str = ""
    units: MassUnit = "kg"
    judges: tuple[Judge, ...] = ()
    rules: Rules = Rules()
    card_settings: tuple[tuple[str, str], ...] = ()
    keys: tuple[tuple[str, tuple[str, ...]], ...] = ()
    emergency: Emergency = Emergency()
    plates: Plates = field(default_factory=Plates)
    shared: tuple[tuple[str, int], ...] = ()
    overall: Overall = Overall()

    def division(self, division_id: str) -> Division | None:
        """The division of that id, or None."""
        return next((d for d in self.divisions if d.id == division_id), None)
