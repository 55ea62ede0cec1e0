"""Movement cards laid out: the list of them, and one standard in full.

JSON of one card is an object with `format` (its version, 1) and `card`, whose keys
are those of a card's file; loads, heights and times are texts as they are shown.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from judgekit.core.quantity import shown
from judgekit.reports.inforce import NO_ADVICE
from judgekit.reports.layout import Column, Table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from judgekit.core.card import Card, Criterion, Example, Fault, Height, Measure
    from judgekit.core.cardchange import Change

FORMAT = 1
_LIST = (
    Column(name="Id", key="id"),
    Column(name="Name", key="name"),
    Column(name="Revision", key="revision", align="right"),
    Column(name="Counts", key="counts"),
    Column(name="Calls", key="calls"),
)
_FACTS = (Column(name="What", key="what"), Column(name="Says", key="says"))
_CRITERIA = (
    Column(name="At", key="at"),
    Column(name="What must be true", key="says"),
    Column(name="Height", key="height"),
)
_FAULTS = (
    Column(name="Key", key="key"),
    Column(name="Call", key="call"),
    Column(name="Fault", key="fault"),
    Column(name="Means", key="means"),
    Column(name="Cues", key="cues"),
    Column(name="Drill", key="drill"),
)
_CHANGES = (
    Column(name="What", key="what"),
    Column(name="Before", key="before"),
    Column(name="Now", key="now"),
)
_EXAMPLES = (Column(name="Judged", key="judged"), Column(name="Rep", key="rep"))
_INSTEAD = (
    Column(name="Card", key="card"),
    Column(name="Why", key="why"),
    Column(name="Mind", key="caution"),
)


def library_table(cards: Iterable[Card]) -> Table:
    """Every card in a line, by its id."""
    ordered = sorted(cards, key=lambda card: card.id)
    return Table(
        title="Movement cards",
        columns=_LIST,
        rows=tuple(
            (
                card.id,
                card.name,
                card.revision,
                ", ".join(card.counts),
                ", ".join(f.call for f in card.faults if f.weight == "void"),
            )
            for card in ordered
        ),
    )


def card_tables(card: Card) -> tuple[Table, ...]:
    """One card in the order in which a judge reads it; empty parts are left out."""
    every = (
        Table(title=card.name, columns=_FACTS, rows=_facts(card)),
        Table(
            title="Criteria",
            columns=_CRITERIA,
            rows=tuple((c.at, c.says, _height(c) or None) for c in card.criteria),
        ),
        Table(
            title="Faults",
            columns=_FAULTS,
            rows=tuple(
                (f.key, f.call, f.id, _means(card, f), " · ".join(f.cues), f.drill)
                for f in card.faults
            ),
        ),
        Table(title="Usual measures", columns=_FACTS, rows=_measures(card)),
        Table(title="Settings", columns=_FACTS, rows=_settings(card)),
        Table(
            title="STOP at",
            columns=(Column(name="Sign", key="sign"),),
            rows=tuple((sign,) for sign in card.stop_signs),
            notes=_cautions(card),
        ),
        Table(
            title="Instead",
            columns=_INSTEAD,
            rows=tuple((s.card, s.why, s.caution or None) for s in card.substitutes),
        ),
        Table(title="Reps to show", columns=_EXAMPLES, rows=_examples(card)),
    )
    return tuple(table for table in every if table.rows or table.notes)


def changes_table(title: str, rows: Iterable[Change]) -> Table:
    """What differs, a line each."""
    return Table(
        title=title,
        columns=_CHANGES,
        rows=tuple((c.what, c.before or None, c.after or None) for c in rows),
    )


def origins_table(title: str, rows: Iterable[tuple[Change, str]]) -> Table:
    """What differs, a line each, and where that is written."""
    return Table(
        title=title,
        columns=(*_CHANGES, Column(name="From", key="from")),
        rows=tuple(
            (change.what, change.before or None, change.after or None, where)
            for change, where in rows
        ),
    )


def as_json(card: Card) -> str:
    """One card as the module's docstring says."""
    data = {"format": FORMAT, "card": _object(card)}
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def _facts(card: Card) -> tuple[tuple[str, str], ...]:
    pace = card.seconds
    ways = (
        ("card", f"{card.id}, revision {card.revision}"),
        ("counts", ", ".join(card.counts)),
        ("start", card.start),
        ("finish", card.finish),
        ("ends at", card.ends),
        ("watch", card.view),
        ("needs", ", ".join(card.equipment)),
        (
            "seconds a rep",
            f"{_seconds(pace.floor_ms)} at the least, {_seconds(pace.brisk_ms)} brisk, "
            f"{_seconds(pace.ordinary_ms)} ordinary"
            if pace is not None
            else "",
        ),
        ("source", card.source),
    )
    return tuple((what, says) for what, says in ways if says)


def _seconds(ms: int) -> str:
    return f"{ms / 1000:g}"


def _height(criterion: Criterion) -> str:
    if criterion.height is None:
        return ""
    to = f", to the {criterion.measured_to}" if criterion.measured_to else ""
    return _how_high(criterion.height) + to


def _how_high(height: Height) -> str:
    if height.above_reach is not None:
        return f"{shown(height.above_reach)} above reach"
    return "; ".join(f"{key} {shown(value)}" for key, value in height.by_key)


def _means(card: Card, fault: Fault) -> str:
    if fault.weight == "cue":
        return "the rep counts"
    broken = card.criterion(fault.breaks or "")
    return "no rep" if broken is None else f"no rep: {broken.says}"


def _examples(card: Card) -> tuple[tuple[str, str], ...]:
    """Each described rep, with the call that voids it."""
    called = {fault.id: f"no rep, {fault.call}" for fault in card.faults}
    return tuple(
        (called.get(example.fault or "", "good"), f"{example.says}{_under(example)}")
        for example in card.examples
    )


def _under(example: Example) -> str:
    """Under which settings that is so; empty if under any."""
    said = (f"{setting} is {' or '.join(values)}" for setting, values in example.under)
    told = ", ".join(said)
    return f" (where {told})" if told else ""


def _measures(card: Card) -> tuple[tuple[str, str], ...]:
    return tuple(
        (measure.says, "; ".join(by_division(measure))) for measure in card.measures
    )


def by_division(measure: Measure) -> Iterator[str]:
    """A measure's values as they are marked: "men 24 in", "40 ft" for everybody."""
    for key, quantity in measure.by_key:
        yield shown(quantity) if key == "all" else f"{key} {shown(quantity)}"


def _settings(card: Card) -> tuple[tuple[str, str], ...]:
    return tuple(
        (
            f"{setting.id} = {value.value}"
            + (" (unless set)" if value.value == setting.default else ""),
            value.says,
        )
        for setting in card.settings
        for value in setting.values
    )


def _cautions(card: Card) -> tuple[str, ...]:
    return (card.caution, NO_ADVICE) if card.caution else (NO_ADVICE,)


def _object(card: Card) -> dict[str, object]:
    pace = card.seconds
    return {
        "id": card.id,
        "name": card.name,
        "revision": card.revision,
        "counts": list(card.counts),
        "ends": card.ends,
        "view": card.view,
        "seconds": None
        if pace is None
        else {
            "floor": f"{_seconds(pace.floor_ms)} s",
            "brisk": f"{_seconds(pace.brisk_ms)} s",
            "ordinary": f"{_seconds(pace.ordinary_ms)} s",
        },
        "changeover": f"{_seconds(card.changeover_ms)} s",
        "equipment": list(card.equipment),
        "source": card.source,
        "start": card.start,
        "finish": card.finish,
        "criterion": [
            {"id": c.id, "kind": c.kind, "at": c.at, "says": c.says}
            | ({"height": _height(c)} if c.height is not None else {})
            for c in card.criteria
        ],
        "measure": [
            {
                "id": m.id,
                "kind": m.kind,
                "says": m.says,
                "value": {key: shown(quantity) for key, quantity in m.by_key},
            }
            for m in card.measures
        ],
        "setting": [
            {
                "id": s.id,
                "default": s.default,
                "values": [
                    {"is": v.value, "criterion": v.criterion, "says": v.says}
                    for v in s.values
                ],
            }
            for s in card.settings
        ],
        "fault": [
            {
                "id": f.id,
                "weight": f.weight,
                "breaks": f.breaks,
                "key": f.key,
                "call": f.call,
                "cues": list(f.cues),
                "drill": f.drill,
            }
            for f in card.faults
        ],
        "stop": list(card.stop_signs),
        "caution": card.caution,
        "substitute": [
            {"card": s.card, "why": s.why}
            | ({"caution": s.caution} if s.caution else {})
            for s in card.substitutes
        ],
        "example": [
            {"says": e.says, "fault": e.fault}
            | ({"under": {s: list(v) for s, v in e.under}} if e.under else {})
            for e in card.examples
        ],
    }
