"""The log as rows: every entry, when it was made, by whom, and what it says.

Wall times carry their offset from UTC, so that the instant stands whatever the zone.
"""

from __future__ import annotations

from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from judgekit.core.entry import Go
from judgekit.core.looking import heat_gos
from judgekit.core.plan import SetKey
from judgekit.core.quantity import show_time
from judgekit.core.resulting import result_text
from judgekit.core.ruling import Effect, Ref
from judgekit.core.watchentry import Result
from judgekit.reports.layout import Cell, Column, Table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from judgekit.core.entry import Entry
    from judgekit.core.state import Lane
    from judgekit.store.backup import BackedUp

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_COLUMNS = (
    Column(name="Log", key="book"),
    Column(name="Number", key="number", align="right"),
    Column(name="Heat", key="heat"),
    Column(name="Lane", key="lane", align="right"),
    Column(name="Heat time", key="at", align="right", is_time=True),
    Column(name="Heat time", key="at_ms", align="right", unit="ms"),
    Column(name="Wall time", key="wall"),
    Column(name="Who", key="who"),
    Column(name="Set", key="set"),
    Column(name="Kind", key="kind"),
    Column(name="Says", key="says"),
)
_AT_MS = next(n for n, column in enumerate(_COLUMNS) if column.key == "at_ms")
_CLOCK = len("10:00:00.000")
# What only the program itself needs to find its way back.
_INNER = frozenset({"boot", "boot_ms", "zero_ms", "plans", "plan"})


def log_table(
    title: str, entries: Iterable[tuple[str, Entry]], zone: str = "UTC"
) -> Table:
    """Entries with the heat each belongs to, in the order given."""
    return Table(
        title=title,
        columns=_COLUMNS,
        rows=tuple(_row(heat, entry, zone) for heat, entry in entries),
    )


def screen_table(
    title: str, entries: Iterable[tuple[str, Entry]], zone: str = "UTC"
) -> Table:
    """The same for a terminal: each time once, and what a day has in common left out.

    Rows of another day or offset than the first one's say so.
    """
    given = list(entries)
    walls = [wall_text(entry.wall, zone) for _, entry in given]
    first = _day(walls[0]) if walls else ("", "")
    note = f"Wall times are of {first[0]}, {first[1]} from UTC, where no day stands."
    rows = (_row(heat, entry, zone) for heat, entry in given)
    return Table(
        title=title,
        columns=tuple(c for c in _COLUMNS if c.key != "at_ms"),
        rows=tuple(
            (*row[:_AT_MS], _clock(wall, first), *row[_AT_MS + 2 :])
            for row, wall in zip(rows, walls, strict=True)
        ),
        notes=(note,) if walls else (),
    )


def _day(wall: str) -> tuple[str, str]:
    """The day of a wall time, and its offset from UTC."""
    day, _, clock = wall.partition("T")
    return day, clock[_CLOCK:]


def _clock(wall: str, known: tuple[str, str]) -> str:
    """The time of day alone, or all of it where day or offset are not those known."""
    clock = wall.partition("T")[2]
    return clock[:_CLOCK] if _day(wall) == known else wall.replace("T", " ")


def backup_table(title: str, copied: Iterable[BackedUp]) -> Table:
    """What became of each log in a backup: its copy, what it holds, what is wrong."""
    return Table(
        title=f"Backup to {title}",
        columns=(
            Column(name="Log", key="log"),
            Column(name="Heat", key="heat"),
            Column(name="Entries", key="entries", align="right"),
            Column(name="Copy", key="copy"),
            Column(name="Outcome", key="outcome"),
            Column(name="Wrong", key="wrong"),
        ),
        rows=tuple(
            (
                one.book.name,
                one.heat or None,
                one.entries,
                one.copy.name if one.copy else None,
                one.outcome,
                one.what or None,
            )
            for one in copied
        ),
    )


def wall_text(wall_ms: int, zone: str) -> str:
    """A wall time in a zone, to the ms, with its offset: never ambiguous."""
    moment = _EPOCH + timedelta(milliseconds=wall_ms)
    return moment.astimezone(ZoneInfo(zone)).isoformat(timespec="milliseconds")


def began_wall(lane: Lane) -> int | None:
    """When the lane's own clock began, in UTC ms since 1970; None before go.

    A start that was ruled on or a clock set since is in it, as it is in every time.
    """
    zeros = [go.body.zero_ms for go in heat_gos(lane) if isinstance(go.body, Go)]
    if not zeros:
        return None
    return zeros[-1] - lane.zero_moved_ms + lane.offset_ms + lane.start_shift_ms


def says(body: object, book: str) -> str:
    """What a body says beyond its kind: every field that is not at its default.

    Another entry is named by its number, and by its log where that is not `book`.
    """
    if isinstance(body, Result):
        return result_text(body)
    return ", ".join(_facts(body, book))


def _row(heat: str, entry: Entry, zone: str) -> tuple[Cell, ...]:
    return (
        entry.book,
        entry.number,
        heat,
        entry.lane,
        None if entry.at is None else show_time(entry.at, 1),
        entry.at,
        wall_text(entry.wall, zone),
        entry.who or None,
        None if entry.set is None else _set(entry.set),
        entry.body.kind,
        says(entry.body, entry.book) or None,
    )


def _set(key: SetKey) -> str:
    return f"{key.part}/{key.round}/{key.movement}"


def _facts(body: object, book: str) -> Iterator[str]:
    if not is_dataclass(body):
        return
    for field in fields(body):
        value = getattr(body, field.name)
        if field.name in _INNER or value == _default(field):
            continue
        text = _text(value, book)
        if text:
            yield f"{field.name.replace('_', ' ')} {text}"


def _default(field: Field[object]) -> object:
    return None if field.default is MISSING else field.default


def _text(value: object, book: str) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Ref):
        where = "" if value.book == book else f" of {value.book}"
        return f"entry {value.number}{where}"
    if isinstance(value, SetKey):
        return _set(value)
    if isinstance(value, tuple):
        return " + ".join(_text(item, book) for item in value)
    if isinstance(value, Effect):
        facts = says(value, book)
        return f"{value.effect} ({facts})" if facts else value.effect
    return str(value)
