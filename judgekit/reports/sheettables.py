"""A sheet's tables as its templates need them: sets, in a row each or a round each.

Where a part has many rounds of few movements a row is a round, which takes a third of
the paper. What did not count has a row for each call, with all its times.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, TypedDict

from judgekit.reports.sheettext import loads_where_new

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.reports.sheet import Split
    from judgekit.reports.sheetmissed import Missed

View = dict[str, object]
# From as many rounds, of no more movements than fit beside each other on a phone.
_LONG, _MOST_BESIDE = 4, 4
_NO_CELL = {"took": "", "held": "", "says": "", "no_reps": "", "small": ""}


class SetTable(TypedDict):
    """Sets in `rows`; or `rounds`, with a cell for each movement of `heads`."""

    rows: list[View]
    heads: list[View]
    rounds: list[View]


def set_tables(splits: Sequence[Split]) -> Iterator[SetTable]:
    """The sets part by part, those of several parts together in one table."""
    parts = groupby(loads_where_new(splits), key=lambda row: row.part)
    plain: list[View] = []
    for _, each in parts:
        rows = list(each)
        rounds = [list(of) for _, of in groupby(rows, key=lambda row: row.where)]
        if not _is_long(rounds):
            plain += map(_row, rows)
            continue
        if plain:
            yield {"rows": plain, "heads": [], "rounds": []}
            plain = []
        yield {
            "rows": [],
            "heads": list(map(_head, rounds[0])),
            "rounds": _rounds(rounds),
        }
    if plain:
        yield {"rows": plain, "heads": [], "rounds": []}


def _is_long(rounds: Sequence[Sequence[Split]]) -> bool:
    """Whether it is many rounds of the same few movements, the last begun perhaps."""
    first = [row.movement for row in rounds[0]]
    return (
        len(rounds) >= _LONG
        and len(first) <= _MOST_BESIDE
        and all([row.movement for row in of] == first[: len(of)] for of in rounds)
    )


def _head(row: Split) -> View:
    return {"name": row.movement, "small": row.load}


def _rounds(rounds: Sequence[Sequence[Split]]) -> list[View]:
    most = len(rounds[0])
    return [
        {
            "where": of[0].where,
            "cells": [_cell(row, is_first=of is rounds[0]) for row in of]
            + [_NO_CELL] * (most - len(of)),
        }
        for of in rounds
    ]


def _cell(row: Split, *, is_first: bool) -> View:
    """One set: how long it took, its pieces or what was done, how many no-reps."""
    says = row.pieces or row.done
    if " of " in row.done:
        says = f"{row.done}: {row.pieces}" if "+" in row.pieces else row.done
    load = "" if is_first else row.load
    return {
        "took": row.took,
        "held": _held(row),
        "says": says,
        "no_reps": str(row.no_reps or ""),
        "small": "; ".join(filter(None, (load, row.note))),
    }


def _row(row: Split) -> View:
    return {
        "where": row.where,
        "movement": row.movement,
        "small": "; ".join(filter(None, (row.load, row.note))),
        "done": row.done,
        "took": row.took,
        "held": _held(row),
        "pieces": row.pieces,
        "no_reps": "" if row.no_reps is None else str(row.no_reps),
    }


def _held(row: Split) -> str:
    return f"of it {row.held}" if row.held else ""


def missed_rows(missed: Iterable[Missed]) -> Iterator[View]:
    """Each call of each movement once, with when and where it was."""
    found: dict[tuple[str, str, str], list[Missed]] = {}
    for one in missed:
        found.setdefault((one.movement, one.call, one.must_be), []).append(one)
    for (movement, call, must_be), each in found.items():
        yield {
            "movement": movement,
            "call": call,
            "must_be": must_be,
            "when": [
                {"where": where, "at": ", ".join(one.at for one in of if one.at)}
                for where, of in (
                    (where, list(of))
                    for where, of in groupby(each, key=lambda one: one.where)
                )
            ],
        }
