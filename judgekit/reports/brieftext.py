"""A briefing laid out, and the same in the order in which a coach says it."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING

from judgekit.reports.brieffloor import need_words
from judgekit.reports.briefheights import height_words
from judgekit.reports.briefing import box
from judgekit.reports.layout import Column, Table
from judgekit.reports.page import Page, Row, Section

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.core.floorplan import Need
    from judgekit.reports.brieffloor import HeatFloor
    from judgekit.reports.briefheights import Mark
    from judgekit.reports.briefing import Briefing
    from judgekit.reports.briefloads import Bar
    from judgekit.reports.briefmoves import Standard
    from judgekit.reports.briefwork import Total

FORMAT = 1
# A coach says about 130 words a minute when nobody should miss one. From memory.
_WORDS_A_MINUTE = 130
_NOT_COUNTED = "discs not counted"


def brief_page(brief: Briefing) -> Page:
    """The briefing to hang on the wall; one heat's equipment is a list to tick."""
    heat = f"heat {brief.heat}" if brief.heat else ""
    under = ", ".join(filter(None, (heat, brief.event, brief.date, brief.place)))
    return Page(
        title=brief.workout,
        under=under,
        sections=(
            Section(
                title="The work",
                leads=True,
                lines=brief.work,
                rows=(
                    *((Row(label="aim", says=brief.aim),) if brief.aim else ()),
                    *_rows(brief.facts),
                ),
            ),
            Section(title="Emergency", rows=_rows(box(brief.emergency))),
            Section(title="Loads", rows=_bars(brief.bars)),
            Section(
                title="Heights",
                rows=_gathered(height_words(brief.heights)),
                tables=(_marks(brief.marks),),
            ),
            Section(title="Instead today", rows=_rows(brief.instead)),
            *(_standard(standard) for standard in brief.standards),
            Section(title="In all", tables=(_totals(brief.totals),)),
            _floor(brief),
            Section(title="Rules in force", rows=_gathered(brief.settings)),
            Section(title="Care", lines=brief.cautions),
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
    facts = [f"{what[0].upper()}{what[1:]}: {says}." for what, says in brief.facts]
    yield "The workout", [*work, *facts]
    if brief.aim:
        yield "The aim", [brief.aim]
    for standard in brief.standards:
        yield standard.name, list(_said(standard))
    scaling = [line for s in brief.standards for line in _scaled(s)]
    if scaling:
        yield "If you need another way", scaling
    yield "Safety", list(_safety(brief))
    yield "The workout once more", work


def _aloud(line: str) -> str:
    """A line of the work with its full stop."""
    return f"{line.strip().removesuffix(' of')}."


def _said(standard: Standard) -> Iterator[str]:
    yield f"Start: {standard.start}. Finish: {standard.finish}."
    for watched in standard.watched:
        yield f"We watch: {watched.says}. You will hear {watched.call}: {watched.cue}."
    if standard.good:
        yield f"Good: {standard.good}."
    if standard.bad:
        yield f"No rep: {standard.bad}."
    if standard.pieces:
        yield f"Break it up: {standard.pieces.replace('+', ' and ')}."


def _scaled(standard: Standard) -> list[str]:
    if not standard.instead:
        return []
    return [f"{standard.name}, from hardest to easiest: {'; '.join(standard.instead)}."]


def _safety(brief: Briefing) -> Iterator[str]:
    signs = dict.fromkeys(sign for s in brief.standards for sign in s.signs)
    if signs:
        yield f"We stop you at: {'; '.join(signs)}.".replace(".;", ";")
    yield from brief.cautions
    for what, says in box(brief.emergency):
        yield f"In an emergency, {what}: {says}."


def _standard(standard: Standard) -> Section:
    watched = {w.says for w in standard.watched}
    rows = [
        Row(label="start", says=standard.start),
        Row(label="finish", says=standard.finish),
        *(
            Row(label=f"{w.key}  {w.call}", says=f"{w.says}. Cue: {w.cue}")
            for w in standard.watched
        ),
        *_listed("also", [says for says in standard.criteria if says not in watched]),
        *_listed("break up", [standard.pieces]),
        *_listed("good rep", [standard.good]),
        *_listed("no rep", [standard.bad]),
        *_listed("instead", standard.instead),
        *_listed("STOP at", standard.signs),
    ]
    return Section(title=standard.name, rows=tuple(rows))


def _listed(label: str, lines: Sequence[str]) -> tuple[Row, ...]:
    """One row for all of them; none where there is nothing to say."""
    said = [line for line in lines if line]
    return (Row(label=label, says=said[0], more=tuple(said[1:])),) if said else ()


def _gathered(pairs: Sequence[tuple[str, str]]) -> tuple[Row, ...]:
    """A row for each label, with all that is said of it."""
    said: dict[str, list[str]] = {}
    for label, says in pairs:
        said.setdefault(label, []).append(says)
    return tuple(row for label, lines in said.items() for row in _listed(label, lines))


def _rows(pairs: Sequence[tuple[str, str]]) -> tuple[Row, ...]:
    return tuple(Row(label=what, says=says) for what, says in pairs)


def _bars(bars: Sequence[Bar]) -> tuple[Row, ...]:
    return _gathered(
        [
            (
                bar.who,
                f"{bar.movement} {bar.load}" + (f": {bar.discs}" if bar.discs else ""),
            )
            for bar in bars
        ]
    )


def _floor(brief: Briefing) -> Section:
    rows = [_listed(ground.movement, ground.says) for ground in brief.grounds]
    tables: tuple[Table, ...] = ()
    if brief.heat:
        tables = tuple(_to_tick(floor.needs) for floor in brief.floors)
        rows += [_listed(_NOT_COUNTED, floor.unmade) for floor in brief.floors]
    else:
        rows += [
            _listed(_heats(floor.heats), list(_needed(floor))) for floor in brief.floors
        ]
    return Section(
        title="The floor needs",
        rows=tuple(row for listed in rows for row in listed),
        tables=tables,
    )


def _needed(floor: HeatFloor) -> Iterator[str]:
    yield ", ".join(map(need_words, floor.needs))
    yield from (f"{_NOT_COUNTED}: {unmade}" for unmade in floor.unmade)


def _heats(heats: Sequence[str]) -> str:
    return f"heat{'s' if len(heats) > 1 else ''} {', '.join(heats)}"


def _to_tick(needs: Sequence[Need]) -> Table:
    shares = any(need.lanes > 1 for need in needs)
    columns = [
        Column(name="What", key="what"),
        Column(name="Size", key="size"),
        Column(name="Each lane its own", key="each", align="right"),
    ]
    if shares:
        columns.append(Column(name="Shared", key="shared", align="right"))
    return Table(
        title="The floor needs",
        columns=tuple(columns),
        rows=tuple(
            (n.what, n.size or None, n.each, n.shared)[: len(columns)] for n in needs
        ),
    )


def _marks(marks: Sequence[Mark]) -> Table:
    """Athletes by lane, with a column for each movement that has own heights."""
    movements = list(dict.fromkeys(mark.movement for mark in marks))
    rows: dict[tuple[str, str | None], dict[str, str]] = {}
    for mark in marks:
        name = None if mark.name == mark.bib else mark.name
        rows.setdefault((mark.bib, name), {})[mark.movement] = mark.mark
    return Table(
        title="Heights",
        columns=(
            Column(name="Bib", key="bib"),
            Column(name="Name", key="name"),
            *(Column(name=name, key=name) for name in movements),
        ),
        rows=tuple(
            (*who, *(own.get(name) for name in movements)) for who, own in rows.items()
        ),
    )


def _totals(totals: Sequence[Total]) -> Table:
    """Movements in their order, with a column for each division."""
    divisions = list(dict.fromkeys(total.division for total in totals))
    rows: dict[str, dict[str, str]] = {}
    for total in totals:
        rows.setdefault(total.movement, {})[total.division] = total.amount
    return Table(
        title="In all",
        columns=(
            Column(name="Movement", key="movement"),
            *(Column(name=name, key=name, align="right") for name in divisions),
        ),
        rows=tuple(
            (name, *(amounts.get(division) for division in divisions))
            for name, amounts in rows.items()
        ),
    )
