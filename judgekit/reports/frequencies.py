"""Fault frequencies by the keys asked for, as a table and as data.

CSV has a column for each key (the movement's name, the fault's id, the athlete's bib,
ids else), then watched, attempts, good, no_reps, rate, low and high (between 0 and 1,
empty without attempts), share, athletes, of_athletes, cues and few (yes, where the
rate says little). JSON: `format` (1), `by`, `rows` by those columns, `total`,
`sampled` and `noticed`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports import layout
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import (
    NO_REASON,
    OFF_CARD,
    beside_bib,
    call_of,
    listed,
    shown_name,
)
from judgekit.reports.ratewords import (
    COUNTS,
    GOOD,
    REMARK,
    SEEN,
    athletes_words,
    numbers,
    percent,
    remark,
    rounded,
    seen,
    without,
    without_empty,
)
from judgekit.review.frequencies import Frequencies, has_round

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.review.frequencies import Frequency, Key, Person

FORMAT = 1
_NAMES: Mapping[Key, str] = {
    "movement": "Movement",
    "fault": "Fault",
    "athlete": "Athlete",
    "division": "Division",
    "part": "Part",
    "round": "Round",
    "judge": "Judge",
    "workout": "Workout",
    "heat": "Heat",
    "date": "Date",
}
_WATCHED = Column(name="Watched", key="watched")
_DATA = (
    _WATCHED,
    COUNTS[0],
    GOOD,
    *COUNTS[1:],
    Column(name="Share", key="share", align="right"),
    Column(name="Athletes", key="athletes", align="right"),
    Column(name="Of athletes", key="of_athletes", align="right"),
    Column(name="Cues", key="cues", align="right"),
    Column(name="Few", key="few"),
)
SHARE = Column(name="Share", key="share", align="right")
ATHLETES = Column(name="Athletes", key="athletes", align="right")
_CUES = Column(name="Cues", key="cues", align="right")
_NOTED = Column(name="Cues noted", key="cues", align="right")
_LIKELY = "Likely: where the rate lies with 95 of 100 (Wilson's interval)."
_TRIES = "Rate: out of the attempts at all movements that can have the fault."
_FIRST = "First comes what is surely frequent and shared by many athletes."
_FEW = "Few: under 20 attempts, or a likely range wider than 20 points."
_CUES_READ = "Cues are told and change no count, so they are in no rate."
NOTHING = "Nothing was judged here yet."


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """Frequencies, and what the event calls its judges."""

    found: Frequencies
    judges: Mapping[str, str]

    def shown(self, row: Frequency, place: int) -> str:
        """A row's value for people."""
        key, value = self.found.by[place], row.of[place]
        match key:
            case "movement":
                return self.found.cards[value].name
            case "fault":
                return self._fault(row, value)
            case "athlete":
                return person_words(self.found.people[value])
            case "judge":
                return self.judges.get(value, value)
            case "division" | "workout":
                return self.found.names.get((key, value), value)
            case "round" if not has_round(value):
                return f"{value}, from paper"
            case _:
                return value

    def _fault(self, row: Frequency, fault: str) -> str:
        """The call; as logged, and said so, where no card of the row has it.

        Without its movement the id stands beside a call that several faults share.
        """
        if not fault:
            return NO_REASON
        by = self.found.by
        if "movement" in by:
            card = self.found.cards[row.of[by.index("movement")]]
            return call_of(card, fault)
        cards = self.found.cards.values()
        call = next((f.call for c in cards for f in c.faults if f.id == fault), None)
        if call is None:
            return f"{fault} ({OFF_CARD})"
        alike = {f.id for card in cards for f in card.faults if f.call == call}
        return call if len(alike) == 1 else f"{call} ({fault})"

    def data(self, row: Frequency, place: int) -> str:
        """A row's value in data."""
        key, value = self.found.by[place], row.of[place]
        match key:
            case "movement":
                return self.found.cards[value].name
            case "fault":
                return value or NO_REASON
            case "athlete":
                return self.found.people[value].bib
            case _:
                return value


def person_words(person: Person) -> str:
    """The bib, and the name as its owner wants it."""
    name = shown_name(person.name, person.show, person.bib)
    return beside_bib(person.bib, name)


def as_csv(named: Named) -> str:
    """One row for each group."""
    rows = tuple(_data(named, row) for row in named.found.rows)
    columns = (*_keys(named.found), *_DATA)
    return layout.as_csv(Table(title="Faults", columns=columns, rows=rows))


def as_json(named: Named) -> str:
    """The report as the module's docstring says."""
    found = named.found
    keys = [column.key for column in (*_keys(found), *_DATA)]
    counts = [column.key for column in COUNTS]
    data = {
        "format": FORMAT,
        "by": list(found.by),
        "rows": [dict(zip(keys, _data(named, r), strict=True)) for r in found.rows],
        "total": dict(zip(counts, numbers(found.total), strict=True)),
        "sampled": dict(zip(counts, numbers(found.sampled), strict=True)),
        "noticed": found.noticed,
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def frequency_table(named: Named) -> Table:
    """The groups for people."""
    found = named.found
    told = any(row.watched != "judged" for row in found.rows)
    cues = any(row.cues for row in found.rows)
    columns = (
        *_keys(found),
        *((_WATCHED,) if told else ()),
        *SEEN,
        SHARE,
        ATHLETES,
        *((_CUES,) if cues else ()),
        REMARK,
    )
    table = Table(
        title=f"Faults by {keys_words(found.by)}",
        columns=columns,
        rows=tuple(_seen(named, r, told=told, cues=cues) for r in found.rows),
        notes=(reading(found),) if found.rows else (NOTHING,),
    )
    # Each row is one athlete's there.
    once = {ATHLETES} if "athlete" in found.by else set()
    parts = set() if _has_shares(found) else {SHARE}
    return without_empty(without(table, once | parts), REMARK)


def _has_shares(found: Frequencies) -> bool:
    """Whether a share of all says something: hardly that of one person's one fault."""
    return "fault" not in found.by or not {"athlete", "judge"} & set(found.by)


def frequency_tables(named: Named) -> tuple[Table, ...]:
    """The groups for people; where they are of faults, the cues by themselves."""
    cued = any(row.cues for row in named.found.rows)
    if "fault" not in named.found.by or not cued:
        return (frequency_table(named),)
    return no_rep_table(named), replace(cue_table(named), notes=(_CUES_READ,))


def keys_words(by: Sequence[Key]) -> str:
    """The keys in words: "movement, fault and athlete"."""
    return listed(by)


def reading(found: Frequencies, *, share: bool = True) -> str:
    """How to read the table; `share`: it says the share of each."""
    of_faults = "fault" in found.by
    few = any(row.rate.is_small for row in found.rows)
    parts = "Share: of all reasons." if of_faults else "Share: of all no-reps."
    said = (
        _TRIES if of_faults and "movement" not in found.by else "",
        _LIKELY,
        parts if share and _has_shares(found) else "",
        _FIRST,
        _FEW if few else "",
    )
    return " ".join(filter(None, said))


def no_rep_table(named: Named) -> Table:
    """The groups with no-reps alone, as a report has them beside its cues."""
    rows = tuple(replace(r, cues=0) for r in named.found.rows if r.rate.no_reps)
    shown = replace(named, found=replace(named.found, rows=rows))
    table = frequency_table(shown)
    return replace(table, notes=()) if named.found.rows and not rows else table


def cue_table(named: Named) -> Table:
    """How often cues were noted; a cue changes no count, so it has no rate."""
    noted = [row for row in named.found.rows if row.cues]
    rows = tuple(
        (
            *(named.shown(row, place) for place in range(len(row.of))),
            row.cues,
            row.rate.attempts,
        )
        for row in sorted(noted, key=lambda row: -row.cues)
    )
    columns = (*_keys(named.found), _NOTED, COUNTS[0])
    return Table(title="Cues", columns=columns, rows=rows)


def _keys(found: Frequencies) -> tuple[Column, ...]:
    return tuple(Column(name=_NAMES[key], key=key) for key in found.by)


def _data(named: Named, row: Frequency) -> tuple[Cell, ...]:
    attempts, *rest = numbers(row.rate)
    return (
        *(named.data(row, place) for place in range(len(row.of))),
        row.watched,
        attempts,
        row.good,
        *rest,
        rounded(row.share),
        row.athletes,
        row.of_athletes,
        row.cues,
        "yes" if row.rate.is_small else None,
    )


def _seen(named: Named, row: Frequency, *, told: bool, cues: bool) -> tuple[Cell, ...]:
    return (
        *(named.shown(row, place) for place in range(len(row.of))),
        *((row.watched,) if told else ()),
        *seen(row.rate),
        None if row.share is None else percent(row.share),
        athletes_words(row.athletes, row.of_athletes),
        *((row.cues or None,) if cues else ()),
        remark(row.rate),
    )
