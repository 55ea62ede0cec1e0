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
