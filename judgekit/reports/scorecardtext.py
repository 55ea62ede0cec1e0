"""Scorecards laid out: for a terminal, as CSV, JSON, Markdown and HTML.

JSON is an object with `format` (its version, 1) and `scorecards`, a list of objects
whose keys are the fields of a Scorecard. CSV has one row for each set.
"""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from typing import TYPE_CHECKING

from judgekit.reports import layout
from judgekit.reports.layout import Column, Table
from judgekit.reports.names import beside_bib
from judgekit.reports.page import Page, table_page
from judgekit.reports.terminal import fitted_table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.reports.scorecard import AttemptRow, Scorecard

FORMAT = 1
_FACTS = (Column(name="What", key="what"), Column(name="Says", key="says"))
_SPLITS = (
    Column(name="Part", key="part"),
    Column(name="Round", key="round", align="right"),
    Column(name="Movement", key="movement"),
    Column(name="Good", key="good", align="right"),
    Column(name="Of", key="target", align="right"),
    Column(name="Unit", key="unit"),
    Column(name="No-reps", key="no_reps", align="right"),
    Column(name="Done", key="done", align="right", is_time=True),
    Column(name="Took", key="took", align="right", is_time=True),
    Column(name="Note", key="note"),
)
_LANE = (
    Column(name="Heat", key="heat"),
    Column(name="Lane", key="lane", align="right"),
    Column(name="Bib", key="bib"),
    Column(name="Name", key="name"),
    Column(name="Division", key="division"),
    Column(name="Workout", key="workout"),
    Column(name="Status", key="status"),
    Column(name="Score", key="score", is_time=True),
    Column(name="Scaled", key="scaled"),
    Column(name="Watched", key="watched"),
)
_AT = (
    Column(name="At", key="at", align="right"),
    Column(name="Movement", key="movement"),
)
_MARKS = Column(name="Remark", key="marks")
_NO_REPS = (
    *_AT,
    Column(name="Call", key="what"),
    Column(name="Must be", key="says"),
    _MARKS,
)
_REMARKED = (
    *_AT,
    Column(name="What", key="what"),
    Column(name="Stands", key="says"),
    _MARKS,
)


def as_text(card: Scorecard, width: int | None = None) -> str:
    """One scorecard for a terminal of that many cells."""
    return "\n".join(fitted_table(table, width) for table in tables(card))


def as_markdown(cards: Sequence[Scorecard]) -> str:
    """Scorecards one below the other."""
    every = [table for card in cards for table in tables(card)]
    return "\n".join(layout.as_markdown(table) for table in every)


def card_page(card: Scorecard) -> Page:
    """A scorecard for browsers and paper, named after its first table."""
    head, *parts = tables(card)
    return table_page(head.title, (replace(head, title="Result"), *parts))


def as_json(cards: Sequence[Scorecard]) -> str:
    """Every field of every scorecard; an empty text means that there is none."""
    data = {"format": FORMAT, "scorecards": [asdict(card) for card in cards]}
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def as_csv(cards: Sequence[Scorecard]) -> str:
    """One row for each set, with the lane and its score before it."""
    rows = tuple(
        (
            *(card.heat, card.lane, card.bib, card.name, card.division),
            *(card.workout, card.status, card.score, card.scaled or None),
            card.watched,
            *split,
        )
        for card in cards
        for split in _split_cells(card)
    )
    return layout.as_csv(
        Table(title="Splits", columns=(*_LANE, *_SPLITS), rows=rows),
    )


def tables(card: Scorecard) -> tuple[Table, ...]:
    """The parts of a scorecard in the order of reading; empty ones are left out."""
    settings = Table(
        title="Rules in force",
        columns=(Column(name="Rule", key="rule"), Column(name="Set to", key="value")),
        rows=card.settings,
        notes=card.cautions,
    )
    every = (
        _head(card),
        Table(title="Splits", columns=_SPLITS, rows=_split_cells(card)),
        _attempts("No-reps", _NO_REPS, card.no_reps),
        _attempts("Reps with a remark", _REMARKED, card.remarked),
        Table(
            title="Arithmetic",
            columns=(
                Column(name="Step", key="step"),
                Column(name="Value", key="value", align="right"),
            ),
            rows=tuple((step.label, step.value) for step in card.steps),
            notes=_also(card),
        ),
        settings,
    )
    return tuple(table for table in every if table.rows)


def _head(card: Scorecard) -> Table:
    facts = (
        ("event", f"{card.event}, {card.date}"),
        ("workout", f"{card.workout}, revision {card.revision}"),
        ("judge", card.judge),
        ("status", card.status),
        ("score", card.score),
        ("two judges", card.judges),
        ("watched", card.watched_words),
        ("scaled", card.scaled),
        ("tie-break", card.tiebreak),
        ("log code", card.log_code),
    )
    notes = (
        card.run,
        card.amended and f"amended: {card.amended}",
        ": ".join(filter(None, (card.standing, ", ".join(card.provisional)))),
        f"read aloud: {card.aloud}",
        card.proves,
    )
    where = f"Heat {card.heat}, lane {card.lane}"
    return Table(
        title=f"{where}: {beside_bib(card.bib, card.name)}, {card.division}",
        columns=_FACTS,
        rows=tuple((what, says) for what, says in facts if says),
        notes=tuple(note for note in notes if note),
    )


def _split_cells(card: Scorecard) -> tuple[tuple[layout.Cell, ...], ...]:
    return tuple(
        (
            *(s.part, s.round, s.movement, s.good, s.target, s.unit, s.no_reps),
            *(s.done or None, s.took or None, s.note or None),
        )
        for s in card.splits
    )


def _attempts(
    title: str, columns: tuple[Column, ...], rows: Sequence[AttemptRow]
) -> Table:
    return Table(
        title=title,
        columns=columns,
        rows=tuple(
            (row.at, row.movement, row.what, row.says or None, row.marks or None)
            for row in rows
        ),
    )


def _also(card: Scorecard) -> tuple[str, ...]:
    return (
        *(f"cue: {call} {count}" for call, count in card.cues),
        *(f"correction by {line}" for line in card.corrections),
        *(f"taken back: {line}" for line in card.late),
        *card.remarks,
        *card.signed,
    )
