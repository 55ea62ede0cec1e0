"""One movement's standard: where a rep starts and ends, and how it is missed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

from judgekit.core.quantity import Quantity
from judgekit.core.values import dataclass

CountedIn = Literal["reps", "calories", "metres", "seconds", "segments"]
Ends = Literal["top", "bottom", "line", "landing", "monitor"]
CriterionKind = Literal[
    "position",
    "depth",
    "lockout",
    "contact",
    "target-height",
    "sequence",
    "distance",
    "units",
    "load",
    "hold",
    "together",
]
Moment = Literal["start", "bottom", "top", "finish", "throughout"]
Weight = Literal["void", "cue"]
MeasuredTo = Literal["lower edge", "centre", "upper edge"]
MeasureKind = Literal["load", "height", "distance"]

# Keys that no fault may take: the judge's own acts, digits, STOP's neighbours (a
# finger that misses STOP must not call a no-rep) and the Floor's other actions.
RESERVED_KEYS: Mapping[str, str] = {
    "space": "good rep",
    "enter": "what the monitor shows",
    "backspace": "take back",
    "tab": "next page",
    "n": "no rep, reason next",
    "z": "good rep, left lane",
    "x": "no rep, left lane",
    ",": "good rep, right lane",
    ".": "no rep, right lane",
    "?": "all keys",
    "-": "beside STOP",
    "o": "beside STOP",
    "p": "beside STOP",
    "g": "go, go on",
    "m": "move on",
    "b": "back to an earlier set",
    "u": "count again",
    "f": "freeze",
    "w": "who, and more",
    "q": "close the desk",
    "y": "yes",
    "l": "the log",
    "+": "reps at once",
    "*": "a look",
    **{str(digit): "a fault by its place, or STOP" for digit in range(10)},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Seconds:
    """Time of one rep in whole ms: soonest believable, brisk, ordinary."""

    floor_ms: int
    brisk_ms: int
    ordinary_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Height:
    """A target's height: by division or standard, or above the athlete's reach."""

    by_key: tuple[tuple[str, Quantity], ...] = ()
    above_reach: Quantity | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """One thing that must be true for the rep to count."""

    id: str
    kind: CriterionKind
    at: Moment
    says: str
    measured_to: MeasuredTo | None = None
    height: Height | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingValue:
    """One value of a setting, and the words it puts on its criterion.

    A value that `waives` its criterion takes the faults that break it off the card:
    nobody can miss what is not asked.
    """

    value: str
    criterion: str
    says: str
    waives: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A switch that honest rule sets set differently."""

    id: str
    default: str
    values: tuple[SettingValue, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A way of missing a criterion (void), or a lapse in a rep that counts (cue)."""

    id: str
    weight: Weight
    breaks: str | None
    key: str
    call: str
    cues: tuple[str, ...]
    drill: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Substitute:
    """Another card that may stand in, when, and what to mind about it."""

    card: str
    why: str
    caution: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """One rep described in words, and the fault that voids it; None if it is good.

    `under` has settings and the values of them under which that is so; whatever
    stands in none of them is so under any.
    """

    says: str
    fault: str | None = None
    under: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def holds(self, chosen: Mapping[str, str]) -> bool:
        """Whether it is so with those settings chosen."""
        return all(chosen.get(setting) in values for setting, values in self.under)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What the trade usually sets: a load, a height or a distance, by division.

    The key is a division or standard, or "all" where it is the same for everybody.
    """

    id: str
    kind: MeasureKind
    says: str
    by_key: tuple[tuple[str, Quantity], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One movement's standard, whole."""

    id: str
    name: str
    revision: int
    counts: tuple[CountedIn, ...]
    ends: Ends
    view: str
    seconds: Seconds | None
    changeover_ms: int
    equipment: tuple[str, ...]
    source: str
    start: str
    finish: str
    criteria: tuple[Criterion, ...]
    measures: tuple[Measure, ...]
    settings: tuple[Setting, ...]
    faults: tuple[Fault, ...]
    stop_signs: tuple[str, ...]
    caution: str
    substitutes: tuple[Substitute, ...]
    examples: tuple[Example, ...]

    def fault(self, fault_id: str) -> Fault | None:
        """The fault of that id, or None."""
        return next((f for f in self.faults if f.id == fault_id), None)

    def criterion(self, criterion_id: str) -> Criterion | None:
        """The criterion of that id, or None."""
        return next((c for c in self.criteria if c.id == criterion_id), None)


def in_force(card: Card, choices: Mapping[str, str]) -> Card:
    """The card with its settings chosen: `choices` maps setting id to value.

    A setting without a choice takes its default. The words of the criteria change,
    and the faults of a waived one go, with the reps described for other settings; an
    unknown value raises KeyError, since files check them first.
    """
    choices = {s.id: choices.get(s.id, s.default) for s in card.settings}
    says: dict[str, str] = {}
    waived: set[str] = set()
    for setting in card.settings:
        value = {v.value: v for v in setting.values}[choices[setting.id]]
        says[value.criterion] = value.says
        if value.waives:
            waived.add(value.criterion)
    criteria = tuple(
        replace(c, says=says[c.id]) if c.id in says else c for c in card.criteria
    )
    faults = tuple(f for f in card.faults if f.breaks not in waived)
    voids = {None, *(f.id for f in faults)}
    examples = tuple(e for e in card.examples if e.holds(choices) and e.fault in voids)
    return replace(card, criteria=criteria, faults=faults, examples=examples)


def overlaid(
    base: Mapping[str, object], over: Mapping[str, object]
) -> dict[str, object]:
    """A card's raw table with an event's differences laid over it.

    Tables merge key by key; lists of tables that carry an `id` merge by that id (a
    new id is added at the end); every other value is replaced whole.
    """
    merged = dict(base)
    for key, value in over.items():
        old = merged.get(key)
        if isinstance(old, Mapping) and isinstance(value, Mapping):
            merged[key] = overlaid(old, value)
        elif _has_ids(old) and _has_ids(value):
            merged[key] = _merged_by_id(old, value)
        else:
            merged[key] = value
    return merged


def _has_ids(value: object) -> bool:
    return (
        isinstance(value, list)
        and bool(value)
        and all(
            isinstance(item, Mapping) and isinstance(item.get("id"), str)
            for item in value
        )
    )


def _merged_by_id(old: object, new: object) -> list[object]:
    rows: dict[object, dict[str, object]] = {}
    for row in [*_rows(old), *_rows(new)]:
        known = rows.get(row["id"])
        rows[row["id"]] = overlaid(known, row) if known else dict(row)
    return list(rows.values())


def _rows(value: object) -> list[Mapping[str, object]]:
    return (
        [row for row in value if isinstance(row, Mapping)]
        if isinstance(value, list)
        else []
    )
