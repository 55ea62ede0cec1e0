"""Whether this computer is ready for a heat: facts about it, judged in plain words."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING, Literal

from judgekit.core.values import dataclass
from judgekit.reports.layout import Column, Table, visible, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

# "ok"; "look": it works, and somebody should know; "no": mend it before the heat.
Mark = Literal["ok", "look", "no"]

_WIDE, _HIGH = 80, 24
_LEAST_WIDE, _LEAST_HIGH = 40, 12
_GOOD_COLOURS = 16
_MEGABYTE = 1_000_000
# The desk warns at these, see desk/room.py.
_LOW_BYTES, _LEAST_BYTES = 200 * _MEGABYTE, 10 * _MEGABYTE
_SLOW_MS, _HALTING_MS = 20, 500
_FULL = 50
_MARKED, _NARROW = 6, 20
_COLUMNS = (
    Column(name="", key="mark"),
    Column(name="What", key="what"),
    Column(name="Found", key="found"),
    Column(name="What to do", key="do"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Terminal:
    """The terminal: 0 columns where there is none. `colours` 0 is black and white.

    `protocol`: whether it speaks the kitty keyboard protocol, None if it did not say.
    """

    columns: int = 0
    rows: int = 0
    encoding: str = ""
    colours: int = 0
    no_color: bool = False
    protocol: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Disk:
    """The disk of an event's log; `save_ms` None where nothing can be written."""

    kind: str
    locks_hold: bool
    free: int
    save_ms: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Clocks:
    """What the computer's clock shows, in which zone, and the event's own zone.

    `through_sleep`: whether there is a clock that runs on through sleep.
    """

    shown: str
    zone: str
    event_zone: str
    event_date: str
    through_sleep: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Power:
    """Where the computer's power comes from, and what may send it to sleep."""

    on_battery: bool | None = None
    percent: int | None = None
    sleeps: tuple[str, ...] = ()
    system: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Keys:
    """Keys that were tried: what was asked for, what came, what never did.

    `remote` are keys of the event's [keys] that only the kitty protocol can send.
    """

    tried: bool = False
    missing: tuple[str, ...] = ()
    other: tuple[tuple[str, str], ...] = ()
    remote: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """All that is known; `sqlite_says` is a warning about its version, or empty."""

    terminal: Terminal
    disk: Disk
    clocks: Clocks
    power: Power
    sqlite: str
    sqlite_says: str = ""
    keys: Keys = field(default_factory=Keys)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing looked at, and what to do about it; empty where nothing is."""

    mark: Mark
    what: str
    found: str
    do: str = ""


def findings(machine: Machine) -> tuple[Finding, ...]:
    """Everything that was looked at, in the order in which a judge would mend it."""
    return (
        *_terminal(machine.terminal),
        *_keys(machine.keys, machine.terminal),
        *_disk(machine.disk),
        _sqlite(machine),
        *_clocks(machine.clocks),
        *_power(machine.power),
    )


def ready_table(event: str, found: Iterable[Finding]) -> Table:
    """The findings as a table."""
    return Table(
        title=f"Ready for {event}?",
        columns=_COLUMNS,
        rows=tuple((one.mark, one.what, one.found, one.do) for one in found),
    )


def ready_text(event: str, found: Sequence[Finding], width: int | None) -> str:
    """The findings line by line, what to do below each."""
    wide = max(len(one.what) for one in found) + 2
    room = None if width is None else max(_NARROW, width - wide - _MARKED)
    lines = [f"Ready for {visible(event)}?", ""]
    for one in found:
        says = [line for text in (one.found, one.do) for line in _wrapped(text, room)]
        lines.append(f"{one.mark:<{_MARKED}}{one.what:<{wide}}{says[0]}".rstrip())
        lines += [" " * (_MARKED + wide) + line for line in says[1:]]
    return "\n".join(lines) + "\n"


def _wrapped(text: str, room: int | None) -> list[str]:
    return wrapped(visible(text), room) if text else []


def is_ready(found: Iterable[Finding]) -> bool:
    """Whether nothing must be mended."""
    return all(one.mark != "no" for one in found)


def _terminal(terminal: Terminal) -> Iterator[Finding]:
    if not terminal.columns:
        do = "start judgekit in a terminal, its input and errors not sent elsewhere"
        yield Finding(mark="no", what="terminal", found="none here", do=do)
        return
    yield _size(terminal)
    utf8 = terminal.encoding.lower().replace("-", "").replace("_", "") == "utf8"
    yield Finding(
        mark="ok" if utf8 else "no",
        what="encoding",
        found=terminal.encoding or "unknown",
        do="" if utf8 else "set PYTHONUTF8=1, or choose a UTF-8 locale",
    )
    yield _colours(terminal)
    yield _protocol(terminal)


def _size(terminal: Terminal) -> Finding:
    found = f"{terminal.columns} by {terminal.rows}"
    if terminal.columns < _LEAST_WIDE or terminal.rows < _LEAST_HIGH:
        do = f"make it larger: {_WIDE} by {_HIGH} shows all"
        return Finding(mark="no", what="size", found=found, do=do)
    if terminal.columns < _WIDE or terminal.rows < _HIGH:
        do = f"calls stand without their texts; {_WIDE} by {_HIGH} shows all"
        return Finding(mark="look", what="size", found=found, do=do)
    return Finding(mark="ok", what="size", found=found)


def _colours(terminal: Terminal) -> Finding:
    if terminal.no_color:
        return Finding(mark="ok", what="colours", found="none, as NO_COLOR asks")
    if terminal.colours < _GOOD_COLOURS:
        found = f"{terminal.colours or 'none'}"
        do = "every state also has its sign and word; nothing is lost"
        return Finding(mark="look", what="colours", found=found, do=do)
    return Finding(mark="ok", what="colours", found=f"{terminal.colours}")


def _protocol(terminal: Terminal) -> Finding:
    if terminal.protocol:
        return Finding(mark="ok", what="keyboard", found="kitty protocol")
    found = "plain keys" if terminal.protocol is False else "plain keys, it seems"
    do = "media keys of a remote do not arrive; all keys of the Floor do"
    return Finding(mark="ok", what="keyboard", found=found, do=do)


def _keys(keys: Keys, terminal: Terminal) -> Iterator[Finding]:
    if keys.remote and not terminal.protocol:
        yield Finding(
            mark="no",
            what="remote",
            found=f"{', '.join(keys.remote)} in [keys] need the kitty protocol",
            do="bind another key of the remote, or use a terminal that speaks it",
        )
    if not keys.tried:
        do = "run judgekit ready in the terminal that will be used"
        yield Finding(mark="look", what="keys", found="not tried", do=do)
        return
    for asked, came in keys.other:
        yield Finding(
            mark="look",
            what=f"key {asked}",
            found=f"sends {came}",
            do="another layout, or a lock key; use the digits for calls",
        )
    if keys.missing:
        yield Finding(
            mark="look",
            what="keys",
            found=f"never came: {', '.join(keys.missing)}",
            do="skipped, or taken by the terminal: bind others in [keys]",
        )
    elif not keys.other:
        yield Finding(mark="ok", what="keys", found="all came as they should")


def _disk(disk: Disk) -> Iterator[Finding]:
    kind = disk.kind or "of unknown kind"
    yield Finding(
        mark="ok" if disk.locks_hold else "no",
        what="disk",
        found=kind if disk.locks_hold else f"{kind}, shared with other computers",
        do="" if disk.locks_hold else "copy the event to this computer's own disk",
    )
    room = f"{disk.free // _MEGABYTE} MB free"
    if disk.free < _LEAST_BYTES:
        yield Finding(mark="no", what="room", found=room, do="free some")
    elif disk.free < _LOW_BYTES:
        yield Finding(mark="look", what="room", found=room, do="free some before long")
    else:
        yield Finding(mark="ok", what="room", found=room)
    yield _saving(disk.save_ms)


def _saving(ms: int | None) -> Finding:
    if ms is None:
        do = "nothing can be written in the event's folder: check its permissions"
        return Finding(mark="no", what="saving", found="refused", do=do)
    found = f"{ms} ms a press"
    if ms >= _HALTING_MS:
        do = "counts show late; keep the event on another disk"
        return Finding(mark="no", what="saving", found=found, do=do)
    if ms >= _SLOW_MS:
        do = "no press is lost, but counts show a little late"
        return Finding(mark="look", what="saving", found=found, do=do)
    return Finding(mark="ok", what="saving", found=found)


def _sqlite(machine: Machine) -> Finding:
    return Finding(
        mark="look" if machine.sqlite_says else "ok",
        what="SQLite",
        found=machine.sqlite,
        do="a rare fault that is harmless here; see judgekit --version"
        if machine.sqlite_says
        else "",
    )


def _clocks(clocks: Clocks) -> Iterator[Finding]:
    yield Finding(
        mark="look",
        what="clock",
        found=f"{clocks.shown} ({clocks.zone or 'UTC'})",
        do="compare with the hall's clock; w on the Floor sets the heat's by it",
    )
    if clocks.event_date not in clocks.shown:
        yield Finding(
            mark="look",
            what="date",
            found=f"the event is on {clocks.event_date}",
            do="right if you only try it out today",
        )
    if clocks.zone and clocks.zone != clocks.event_zone:
        yield Finding(
            mark="look",
            what="zone",
            found=f"the event's is {clocks.event_zone}",
            do="start times in heats.csv are in the event's zone",
        )
    if not clocks.through_sleep:
        yield Finding(
            mark="look",
            what="sleep",
            found="the clock may stand still in sleep",
            do="keep this computer awake; after a sleep set the clock with w",
        )


_AWAKE = {
    "Linux": "systemd-inhibit --what=idle:sleep:handle-lid-switch judgekit floor ...",
    "Darwin": "caffeinate -dis judgekit floor ...",
    "Windows": "set sleep to never in the power settings",
}


def _power(power: Power) -> Iterator[Finding]:
    if power.on_battery:
        charge = "" if power.percent is None else f", {power.percent} %"
        low = power.percent is not None and power.percent < _FULL
        yield Finding(
            mark="look",
            what="power",
            found=f"battery{charge}",
            do="plug it in" + (", it is low" if low else ""),
        )
    elif power.on_battery is False:
        yield Finding(mark="ok", what="power", found="plugged in")
    awake = _AWAKE.get(power.system, "switch sleep off for the day")
    yield Finding(
        mark="look",
        what="staying awake",
        found="; ".join(power.sleeps) or "not known here",
        do=awake,
    )
