"""Facts about this computer, each from where the system says it; unknown is unknown."""

from __future__ import annotations

import configparser
import os
import platform
import re
import sqlite3
import sys
import time
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from judgekit.cli.versions import sqlite_warning
from judgekit.reports.readiness import (
    Clocks,
    Disk,
    Keys,
    Machine,
    Power,
    Terminal,
)
from judgekit.store import disk

if TYPE_CHECKING:
    from judgekit.core.people import Event

_SUPPLIES = Path("/sys/class/power_supply")
_LOGIND = Path("/etc/systemd/logind.conf")
# The kitty protocol's own question, and one that every terminal answers after it.
_ASK = "\x1b[?u\x1b[c"
_ANSWERED = b"c"
_SPEAKS = re.compile(rb"\x1b\[\?\d+u")
_PATIENCE_S = 0.5
_TRUE_COLOUR = 16_777_216
# What an event may bind that only the kitty protocol sends.
MEDIA = frozenset(
    {
        *("raise_volume", "lower_volume", "mute_volume", "media_play_pause"),
        *("media_track_next", "media_track_previous", "media_stop"),
    }
)


def machine(event: Event, folder: Path, zone: str, keys: Keys) -> Machine:
    """All that can be known here. It writes a small file there, and removes it."""
    return Machine(
        terminal=_terminal(),
        disk=_disk(folder),
        clocks=_clocks(event, zone),
        power=power(),
        sqlite=sqlite3.sqlite_version,
        sqlite_says=sqlite_warning(),
        keys=keys,
    )


def _terminal() -> Terminal:
    if not sys.stdin.isatty() or not sys.stderr.isatty():
        return Terminal()
    size = os.get_terminal_size(sys.stderr.fileno())
    return Terminal(
        columns=size.columns,
        rows=size.lines,
        encoding=sys.stderr.encoding or "",
        colours=_colours(),
        no_color=bool(os.environ.get("NO_COLOR")),
        protocol=speaks_protocol(),
    )


def _colours() -> int:
    from rich.console import Console

    known = {"standard": 16, "256": 256, "truecolor": _TRUE_COLOUR, "windows": 16}
    return known.get(Console(stderr=True).color_system or "", 0)


def speaks_protocol() -> bool | None:
    """Whether the terminal speaks the kitty keyboard protocol; None if it is silent.

    Source: the protocol's own text, "Detection of support for this protocol".
    """
    try:
        import select
        import termios
        import tty
    except ImportError:
        return None
    source = sys.stdin.fileno()
    before = termios.tcgetattr(source)
    heard = b""
    try:
        tty.setcbreak(source)
        sys.stderr.write(_ASK)
        sys.stderr.flush()
        until = time.monotonic() + _PATIENCE_S
        while not heard.endswith(_ANSWERED):
            left = until - time.monotonic()
            if left <= 0 or not select.select([source], [], [], left)[0]:
                return None
            heard += os.read(source, 64)
    finally:
        termios.tcsetattr(source, termios.TCSADRAIN, before)
    return _SPEAKS.search(heard) is not None


def _disk(folder: Path) -> Disk:
    kind = disk.kind_of(folder)
    saving = None
    with suppress(OSError):
        saving = disk.save_ms(folder)
    return Disk(
        kind=kind,
        locks_hold=disk.locks_hold(kind),
        free=disk.free_bytes(folder),
        save_ms=saving,
    )


def _clocks(event: Event, zone: str) -> Clocks:
    now = datetime.now().astimezone()
    return Clocks(
        shown=now.strftime("%Y-%m-%d %H:%M:%S"),
        zone=zone,
        event_zone=event.zone,
        event_date=event.date,
        through_sleep=hasattr(time, "CLOCK_BOOTTIME") or platform.system() == "Windows",
    )


def power() -> Power:
    supplies = [_supply(path) for path in _there(_SUPPLIES)]
    mains = [one["online"] == "1" for one in supplies if one["type"] == "Mains"]
    levels = [one["capacity"] for one in supplies if one["type"] == "Battery"]
    percent = next((int(level) for level in levels if level.isdecimal()), None)
    return Power(
        on_battery=not any(mains) if mains else None,
        percent=percent,
        sleeps=sleeps(),
        system=platform.system(),
    )


def _there(folder: Path) -> list[Path]:
    try:
        return sorted(folder.iterdir())
    except OSError:
        return []


def _supply(folder: Path) -> dict[str, str]:
    return {name: _text(folder / name) for name in ("type", "online", "capacity")}


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        return ""


def sleeps(conf: Path = _LOGIND) -> tuple[str, ...]:
    """What of this system may send it to sleep, as far as its own file says."""
    text = _text(conf)
    if not text:
        return ()
    read = configparser.ConfigParser(interpolation=None, strict=False)
    with suppress(configparser.Error):
        read.read_string(text)
    login = read["Login"] if read.has_section("Login") else {}
    lid = login.get("HandleLidSwitch", "suspend")
    idle = login.get("IdleAction", "ignore")
    return (f"closing the lid: {lid}", f"doing nothing: {idle}")
