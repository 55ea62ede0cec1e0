"""A briefing laid out, and the same in the order in which a coach says it."""

from __future__ import annotations

import json
import re
from dataclasses import asdict
from typing import TYPE_CHECKING

from judgekit.reports.briefing import box
from judgekit.reports.layout import Column, Table
from judgekit.reports.page import Page, Row, Section

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.reports.briefing import Bar, Briefing, Mark, Standard, Total

FORMAT = 1
# A coach says about 130 words a minute when nobody should miss one. From memory.
_WORDS_A_MINUTE = 130


def brief_page(brief: Briefing) -> Page:
    """The briefing to hang on the wall."""
    under = ", ".join(filter(None, (brief.event, brief.date, brief.place)))
    return Page(
        title=brief.workout,
        under=under,
        sections=(
            Section(
                title="The work",
                lines=brief.work,
                rows=(
                    *((Row(label="aim", says=brief.aim),) if brief.aim else ()),
                    *(Row(label=what, says=says) for what, says in brief.facts),
                ),
            ),
            Section(title="Loads", rows=_bars(brief.bars)),
            Section(title="Own heights", tables=(_marks(brief.marks),)),
            *(_standard(standard) for standard in brief.standards),
            Section(title="In all", tables=(_totals(brief.totals),)),
            Section(title="Rules in force", rows=_rows(brief.settings)),
            Section(title="Care", lines=brief.cautions),
            Section(title="Emergency", rows=_rows(box(brief.emergency))),
        ),
    )


def as_json(briefs: Sequence[Briefing]) -> str:
    """An object with `format` (1) and `briefings`, each with a Briefing's fields."""
    data = {"format": FORMAT, "briefings": [asdict(brief) for brief in briefs]}
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def spoken(brief: Briefing) -> str:
    """What the coach says, in order, each part with the time at which it begins.

    Read the workout, its aim, movement by movement, scaling, safety, and the workout
    once more (common practice).
    """
    said = 0
    lines = [f"{brief.workout}, to say aloud"]
    for title, words in _speech(brief):
        lines += ["", f"{_clock(said)}  {title}", *words]
        said += sum(len(line.split()) for line in words)
    lines += ["", f"{_clock(said)}  done: {said} words"]
    return "\n".join(lines) + "\n"


def _clock(words: int) -> str:
    seconds = words * 60 // _WORDS_A_MINUTE
    return f"{seconds // 60}:{seconds % 60:02d}"


def _speech(brief: Briefing) -> Iterator[tuple[str, list[str]]]:
    work = [_aloud(line) for line in brief.work]
    yield "The workout", work
    if brief.aim:
        yield "The aim", [brief.aim]
    for standard in brief.standards:
        yield standard.name, list(_said(standard))
    scaling = [line for s in brief.standards for line in _scaled(s)]
    if scaling:
        yield "If you need another way", scaling
    signs = dict.fromkeys(sign for s in brief.standards for sign in s.signs)
    safety = [
        f"We stop you at: {'; '.join(signs)}.".replace(".;", ";"),
        *brief.cautions,
    ]
    yield "Safety", safety
    yield "The workout once more", work


def _aloud(line: str) -> str:
    """A line of the work without its converted values, and with its full stop."""
    said = re.sub(r" ≈ [^,/]*(?=[,/]|$)", " ", line.strip())
    said = re.sub(r" +([,/]|$)", r"\1", said).replace("/", " / ")
    return re.sub(r" +", " ", said).removesuffix(" of") + "."


def _said(standard: Standard) -> Iterator[str]:
    yield f"Start: {standard.start}. Finish: {standard.finish}."
    for watched in standard.watched:
        yield f"We watch: {watched.says}. You will hear {watched.call}: {watched.cue}."
    if standard.good:
        yield f"Good: {standard.good}."
    if standard.bad:
        yield f"No rep: {standard.bad}."
    if standard.pieces:
        yield f"Break it up: {standard.pieces}."


def _scaled(standard: Standard) -> list[str]:
    if not standard.instead:
        return []
    return [f"{standard.name}, from hardest to easiest: {'; '.join(standard.instead)}."]


def _standard(standard: Standard) -> Section:
    rows = [
        Row(label="start", says=standard.start),
        Row(label="finish", says=standard.finish),
        *(Row(label="must", says=says) for says in standard.criteria),
        *(
            Row(label=f"{w.key}  {w.call}", says=f"{w.says}. Cue: {w.cue}")
            for w in standard.watched
        ),
    ]
    for label, says in (
        ("break up", standard.pieces),
        ("good rep", standard.good),
        ("no rep", standard.bad),
    ):
        if says:
            rows.append(Row(label=label, says=says))
    rows += (Row(label="instead", says=says) for says in standard.instead)
    if standard.signs:
        rows.append(Row(label="STOP at", says="; ".join(standard.signs)))
    return Section(title=standard.name, rows=tuple(rows))


def _rows(pairs: Sequence[tuple[str, str]]) -> tuple[Row, ...]:
    return tuple(Row(label=what, says=says) for what, says in pairs)


def _bars(bars: Sequence[Bar]) -> tuple[Row, ...]:
    return tuple(
        Row(
            label=bar.who,
            says=f"{bar.movement} {bar.load}" + (f": {bar.discs}" if bar.discs else ""),
        )
        for bar in bars
    )


def _marks(marks: Sequence[Mark]) -> Table:
    return Table(
        title="Own heights",
        columns=(
            Column(name="Bib", key="bib"),
            Column(name="Name", key="name"),
            Column(name="Movement", key="movement"),
            Column(name="Height", key="height"),
        ),
        rows=tuple((m.bib, m.name, m.movement, m.height) for m in marks),
    )


def _totals(totals: Sequence[Total]) -> Table:
    return Table(
        title="In all",
        columns=(
            Column(name="Division", key="division"),
            Column(name="Movement", key="movement"),
            Column(name="In all", key="amount", align="right"),
        ),
        rows=tuple((t.division, t.movement, t.amount) for t in totals),
    )
