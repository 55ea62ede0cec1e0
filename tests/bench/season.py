"""Faults over a season: asked of Parquet, from the shell, and written from the books.

The floor is DuckDB asked for the same groups of the same files, by way of each athlete,
which is its quickest; of the whole command, python with the engine's import and that
very query; of writing, the cursor over the books.
"""

from __future__ import annotations

import random
import subprocess
import sys
import time
from contextlib import closing
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

import duckdb

from judgekit.cli.seasonmaking import events_in, files_of
from judgekit.core.plan import SetKey
from judgekit.review.attempts import AttemptRow, LaneFacts, LaneRows, SetFacts
from judgekit.review.season import groups
from judgekit.store import sqlfile
from judgekit.store.folder import book_paths
from judgekit.store.seasonask import File, Season
from judgekit.store.seasonfile import attempts_file
from judgekit.store.seasonkept import ATTEMPTS, KeptLane, Who
from tests.bench.arithmetic import Measured, growth
from tests.bench.console import environment
from tests.bench.heat import Shape, write_heat
from tests.bench.rows import (
    Group,
    Line,
    Row,
    Setting,
    growth_line,
    in_rounds,
    lines,
)
from tests.support import simple

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from pathlib import Path

    from judgekit.core.plan import Plan
    from judgekit.review.season import Group as Counted
    from judgekit.review.season import Word
    from tests.bench.arithmetic import Rounds

_BY: tuple[Word, ...] = ("movement", "fault")
_SMALL, _LARGE = 1_000_000, 10_000_000
_DAYS, _LANE, _SET = 20, 150, 15
_CARDS, _FAULTS, _ATHLETES = 12, 8, 200
_EVENTS, _ENTRIES = 10, 100_000
_ROUNDS, _REPS = 1000, 60
_GROWTH = 1.05
# Of how many times less books are read and rows written, to see how their time grows.
_FEWER = 4
_TRIES = """
WITH tries AS (
    SELECT card, watched, rated, athlete, sum(n) AS n,
        count(*) FILTER (NOT good) AS missed
    FROM read_parquet(?) GROUP BY ALL
)
SELECT card, watched, rated, sum(n), sum(missed), count(*),
    count(*) FILTER (missed > 0)
FROM tries GROUP BY ALL
"""
_REASONS = """
WITH reasons AS (
    SELECT card, watched, rated, athlete, unnest(faults) AS fault
    FROM read_parquet(?) WHERE NOT good
), missed AS (SELECT *, count(*) AS many FROM reasons GROUP BY ALL)
SELECT card, fault, watched, rated, sum(many), count(*) FROM missed GROUP BY ALL
"""
_COLD = """
import polars as pl, sys
rows = pl.scan_parquet(sys.argv[1:], hive_partitioning=False)
keys = ["card", "watched", "rated", "athlete"]
bad = ~pl.col("good")
pl.collect_all([
    rows.group_by(keys).agg(pl.col("n").sum(), bad.sum().alias("missed")),
    rows.filter(bad).explode("faults").group_by([*keys, "faults"]).agg(pl.len()),
])
"""
_ROWS: Mapping[str, Row] = {
    "season-1m": Row(
        name="season-1m",
        says="a season of 1,000,000 attempts against DuckDB on the same files",
        goals={"p50": 1.5},
    ),
    "season-10m": Row(
        name="season-10m",
        says="the same of 10,000,000",
        goals={"p50": 1.5},
    ),
    "season-cold": Row(
        name="season-cold",
        says="the whole command over ten events of 100,000 entries, from the shell",
        goals={"p50": 2.0},
    ),
    "season-make": Row(
        name="season-make",
        says="books read, folded and written as Parquet against their cursor, a row",
        unit="us",
        scale=1e6,
        goals={"p50": 20.0},
    ),
    "season-write": Row(
        name="season-write",
        says="of that, rows at hand written as Parquet against the cursor, a row",
        unit="us",
        scale=1e6,
        goals={"p50": 3.0},
    ),
}
_GROWS = "season-growth"


# --- files as a season would have them -----------------------------------------------


def _set(chance: random.Random, number: int) -> SetFacts:
    card = f"movement-{chance.randrange(_CARDS)}"
    return SetFacts(
        key=SetKey(1, number, 1),
        part="A",
        card=card,
        movement=card.capitalize(),
        unit="reps",
    )


def _lane(plan: Plan, chance: random.Random, rows: int) -> KeptLane:
    facts = LaneFacts(plan=plan, judge=f"j{plan.lane}")
    found = []
    sets = [_set(chance, number) for number in range(1, rows // _SET + 2)]
    for place in range(rows):
        of = sets[place // _SET]
        good = chance.random() > 0.07
        reasons = () if good else (f"fault-{chance.randrange(_FAULTS)}",)
        rep = place % _SET + 1
        found.append(
            AttemptRow(
                facts, of, "judged", 2000 * place, rep, rep, good, 1, reasons, plan.bib
            )
        )
    return KeptLane(
        rows=LaneRows(facts=facts, attempts=tuple(found)),
        log=f"{plan.date} {plan.heat}#1/{plan.lane}",
        log_code="151.0123456789",
        entries=rows,
        whos={plan.bib: Who(f"id:{plan.bib}", f"Athlete {plan.bib}")},
        sets=(),
        lost=(None,) * rows,
    )


def _files(folder: Path, attempts: int) -> list[File]:
    folder.mkdir()
    chance = random.Random(attempts)  # noqa: S311 - the same mix every time
    plan = simple()
    files = []
    for day in range(_DAYS):
        lanes = [
            _lane(
                replace(
                    plan,
                    date=f"2027-{1 + day // 2:02}-{1 + day:02}",
                    heat=str(number // 12 + 1),
                    lane=number % 12 + 1,
                    bib=str(chance.randrange(_ATHLETES)),
                ),
                chance,
                min(_LANE, attempts // _DAYS - start),
            )
            for number, start in enumerate(range(0, attempts // _DAYS, _LANE))
        ]
        path = folder / f"{day}.parquet"
        path.write_bytes(attempts_file(lanes))
        files.append(File(path))
    return files


# --- what is asked -------------------------------------------------------------------


def _product(files: Sequence[File]) -> tuple[Counted, ...]:
    return groups(Season(files, _BY), _BY)


def _floor(files: Sequence[File]) -> Callable[[], list[list[tuple[object, ...]]]]:
    connection = duckdb.connect()
    paths = [str(file.path) for file in files]

    def ask() -> list[list[tuple[object, ...]]]:
        return [
            connection.execute(query, [paths]).fetchall()
            for query in (_TRIES, _REASONS)
        ]

    return ask


def _check(files: Sequence[File]) -> None:
    """Both must say the same, or nothing that is measured means anything."""
    tries, reasons = _floor(files)()
    attempts = {tuple(row[:3]): row[3] for row in tries}
    theirs = {
        (card, fault, watched, attempts[card, watched, rated], many, athletes)
        for card, fault, watched, rated, many, athletes in reasons
    }
    mine = {
        (*one.of, one.watched, one.attempts, one.no_reps, one.athletes)
        for one in _product(files)
    }
    if mine != theirs:
        raise AssertionError("the two engines do not agree")


def _took(work: Callable[[], object], many: int = 1) -> Callable[[], float]:
    def measured() -> float:
        began = time.perf_counter()
        work()
        return (time.perf_counter() - began) / many

    return measured


def _asked(wanted: Sequence[str], setting: Setting) -> Iterator[Line]:
    sizes = {"season-1m": _SMALL, "season-10m": _LARGE}
    if setting.quick:
        sizes = {name: size // 10 for name, size in sizes.items()}
    grows = _GROWS in wanted
    names = [name for name in sizes if name in wanted or grows]
    measures: dict[str, Callable[[], float]] = {}
    for name in names:
        files = _files(setting.folder / name, sizes[name])
        _check(files)
        measures[name] = _took(partial(_product, files))
        measures[f"{name} floor"] = _took(_floor(files))
        measures[f"{name} again"] = _took(_floor(files))
    found = in_rounds(measures, setting.rounds(), 1, setting.chance)
    for name in names:
        if name in wanted:
            yield from lines(_ROWS[name], _measured(found, name))
    if grows:
        few, many = names
        says = f"the time of {sizes[many]:,} attempts against that of {sizes[few]:,}"
        power = growth(
            _together(found[few]), _together(found[many]), sizes[many] / sizes[few]
        )
        yield growth_line(_GROWS, says, power, _GROWTH)


def _measured(found: Mapping[str, Rounds], name: str) -> Measured:
    return Measured(
        product=found[name],
        floor=found[f"{name} floor"],
        again=found[f"{name} again"],
    )


def _together(rounds: Rounds) -> list[float]:
    return [time for times in rounds for time in times]


# --- real books ----------------------------------------------------------------------


def _events(place: Path, events: int, entries: int) -> None:
    place.mkdir()
    for number in range(events):
        event = place / f"event-{number:02}"
        day = f"2027-05-{10 + number}"
        write_heat(event, Shape(rounds=_ROUNDS, reps=_REPS, judged=entries, date=day))


def _forget(place: Path) -> None:
    for made in place.glob("*/out/season/made.json"):
        made.unlink()


def _cursor(place: Path) -> int:
    """Every stored row of every book fetched, and let go."""
    rows = 0
    for event in place.iterdir():
        for path in book_paths(event / "log"):
            with closing(sqlfile.open_reader(path)) as connection:
                found = connection.execute(
                    "SELECT number, data, hash FROM entry ORDER BY number"
                )
                rows += sum(1 for _ in found)
    return rows


def _shell(*args: str) -> None:
    command = [sys.executable, *args]
    subprocess.run(command, env=environment({}), check=True, stdout=subprocess.DEVNULL)


class _Work(NamedTuple):
    """What is measured in seconds a piece, against what; and the same of fewer."""

    product: Callable[[], float]
    floor: Callable[[], float]
    fewer: Callable[[], float] | None = None
    says: str = ""


def _from_books(wanted: Sequence[str], setting: Setting) -> Iterator[Line]:
    events, each = setting.some(_EVENTS), setting.some(_ENTRIES)
    place = setting.folder / "season"
    _events(place, events, each)
    floor = _took(lambda: _cursor(place), _cursor(place))
    makers = {"season-cold": _cold, "season-make": _make, "season-write": _write}
    for name in wanted:
        yield from _lines(name, makers[name](place, floor, setting), setting)


def _cold(place: Path, _: Callable[[], float], __: Setting) -> _Work:
    days = events_in(place).days("", "")
    paths = [str(file.path) for file in files_of(days, ATTEMPTS)]
    return _Work(
        product=_took(lambda: _shell("-m", "judgekit", "season", str(place))),
        floor=_took(lambda: _shell("-c", _COLD, *paths)),
    )


def _make(place: Path, floor: Callable[[], float], setting: Setting) -> _Work:
    """Events whose files are made anew, and as many with fewer entries each."""
    events, each = setting.some(_EVENTS), setting.some(_ENTRIES)
    smaller = setting.folder / "season-fewer"
    _events(smaller, events, each // _FEWER)
    return _Work(
        product=_anew(place),
        floor=floor,
        fewer=_anew(smaller),
        says=f"books of {each:,} entries read and written, against {each // _FEWER:,}",
    )


def _write(_: Path, floor: Callable[[], float], setting: Setting) -> _Work:
    rows = setting.some(_ENTRIES)
    lane, less = (
        _lane(simple(), setting.chance, many) for many in (rows, rows // _FEWER)
    )
    return _Work(
        product=_took(lambda: attempts_file([lane]), rows),
        floor=floor,
        fewer=_took(lambda: attempts_file([less]), rows // _FEWER),
        says=f"{rows:,} rows written, against {rows // _FEWER:,}",
    )


def _lines(name: str, work: _Work, setting: Setting) -> Iterator[Line]:
    measures = {"product": work.product, "floor": work.floor, "again": work.floor}
    if work.fewer is not None:
        measures["fewer"] = work.fewer
    found = in_rounds(measures, setting.rounds(), 1, setting.chance)
    fewer = found.pop("fewer", None)
    yield from lines(_ROWS[name], Measured(**found))
    if fewer is not None:
        # Times are a row's: that of one among more is no more, where growth is linear.
        power = 1 + growth(_together(fewer), _together(found["product"]), _FEWER)
        yield growth_line(name, work.says, power, _GROWTH)


def _anew(place: Path) -> Callable[[], float]:
    """How long the files of events take to be made anew, an entry."""
    entries = _cursor(place)
    work = _took(lambda: events_in(place), entries)

    def measured() -> float:
        _forget(place)
        return work()

    return measured


def measure(wanted: Sequence[str], setting: Setting) -> Iterator[Line]:
    """Files of two sizes asked by both engines, then events with real books."""
    asked = [n for n in wanted if n in ("season-1m", "season-10m", _GROWS)]
    books = [n for n in wanted if n not in asked]
    if asked:
        yield from _asked(asked, setting)
    if books:
        yield from _from_books(books, setting)


GROUP = Group(names=(*_ROWS, _GROWS), measure=measure)
