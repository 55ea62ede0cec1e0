"""What can be asked of a season, and how each answer is laid out."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import click

from judgekit.cli.asked import check_known
from judgekit.cli.laying import for_people, one_table, pages
from judgekit.cli.seasonmaking import Event, files_of, judges_of, names_of
from judgekit.review.season import WORDS, calls_of
from judgekit.store.seasonask import Season
from judgekit.store.seasonkept import ATTEMPTS, CUES, SETS

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from judgekit.cli.output import Output
    from judgekit.reports.layout import Table
    from judgekit.review.season import Word

# The same draws each time: two prints of one season never differ.
_SEED = 1
_NOTHING = "Nothing was judged in that time that tells anything of it."
_GROUPED = {
    "faults": "movement,fault",
    "pieces": "athlete,movement,load",
    "cost": "movement,fault",
}


class Asked(NamedTuple):
    """The days that are asked, by which words, and how to lay out the answer."""

    days: Sequence[tuple[Event, str]]
    words: tuple[Word, ...]
    output: Output

    @property
    def names(self) -> dict[str, dict[str, str]]:
        """What ids are called, of judges only where they are asked about."""
        judges = judges_of(self.days) if "judge" in self.words else {}
        return names_of(self.days) | {"judge": judges}

    @property
    def events(self) -> int:
        """How many events there are."""
        return len({event.folder for event, _ in self.days})

    @property
    def for_people(self) -> bool:
        """Whether somebody reads it, and no program."""
        return self.output.format not in ("csv", "json")

    def season(self, words: Sequence[Word]) -> Season:
        """The days, to be grouped by those words."""
        known = calls_of(names_of(self.days).get("fault", ()))
        cues = files_of(self.days, CUES)
        return Season(files_of(self.days, ATTEMPTS), words, cues, known)

    def in_format(self, table: Table) -> str:
        """One table as it was asked for."""
        if self.for_people:
            told = table if table.rows else replace(table, notes=(_NOTHING,))
            return for_people([told], self.output)
        return one_table(table, self.output)


def words_of(what: str, by: str | None, format_: str) -> tuple[Word, ...]:
    """The words to group by; click.UsageError for what cannot be."""
    if what == "drills" and format_ == "csv":
        raise click.UsageError("drills has no CSV; json has all of it")
    if what not in _GROUPED:
        if by is not None:
            raise click.UsageError(f"--by groups no {what}")
        return ()
    wanted = [word.strip() for word in (by or _GROUPED[what]).split(",")]
    known = [word for word in WORDS if (what, word) != ("pieces", "fault")]
    for word in wanted:
        check_known("word for --by", word, known)
    return tuple(sorted(set(known).intersection(wanted), key=wanted.index))


def _faults(asked: Asked) -> str:
    from judgekit.reports import season

    held = ((str(event.folder), day) for event, day in asked.days)
    found = season.report(
        asked.season(season.words_needed(asked.words)),
        asked.words,
        asked.names,
        held,
    )
    if asked.output.format == "csv":
        return season.as_csv(found)
    if asked.output.format == "json":
        return season.as_json(found)
    return for_people(season.tables(found), asked.output)


def _when(asked: Asked) -> str:
    from judgekit.reports.tiring import places_table, when_data, when_table
    from judgekit.review.tiring import ALONG, tiring_of
    from judgekit.store.seasonwhen import both_halves, counts

    files = files_of(asked.days, ATTEMPTS)
    found = [
        tiring_of(
            counts(files, along),
            along,
            random.Random(_SEED),  # noqa: S311 - draws, not secrets
            both_halves(files) if along == "rep" else None,
        )
        for along in ALONG
    ]
    if asked.output.format == "json":
        data = {"format": 1, "when": when_data(found)}
        return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"
    return asked.in_format(
        when_table(found) if asked.for_people else places_table(found)
    )


def _pieces(asked: Asked) -> str:
    from judgekit.reports.seasonwork import Work, pieces_table
    from judgekit.store.seasondone import set_groups

    work = Work(by=asked.words, names=asked.names, events=asked.events)
    found = set_groups(files_of(asked.days, SETS), asked.words)
    return asked.in_format(pieces_table(work, found, people=asked.for_people))


def _cost(asked: Asked) -> str:
    from judgekit.reports.seasonwork import Work, lost_table
    from judgekit.store.seasondone import lost_groups

    work = Work(by=asked.words, names=asked.names, events=asked.events)
    found = lost_groups(files_of(asked.days, ATTEMPTS), asked.words)
    return asked.in_format(lost_table(work, found, people=asked.for_people))


def _drills(asked: Asked) -> str:
    from judgekit.reports import drills
    from judgekit.reports.seasonnames import unjoined
    from judgekit.review.seasonplan import season_plan

    last = max((day for _, day in asked.days), default="")
    names = asked.names
    plan = season_plan(asked.season(("movement", "fault", "athlete")), names, last)
    notes = unjoined(names, asked.events)
    report = drills.Report(event="Over the season", plan=plan, notes=notes)
    if asked.output.format == "json":
        return drills.as_json(report)
    return pages([drills.drills_page(report)], asked.output)


PRINTS: Mapping[str, Callable[[Asked], str]] = {
    "faults": _faults,
    "when": _when,
    "pieces": _pieces,
    "cost": _cost,
    "drills": _drills,
}
