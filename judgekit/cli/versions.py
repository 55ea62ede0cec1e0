"""Which versions are at work, and whether that SQLite can be trusted with a log."""

from __future__ import annotations

import platform
import sqlite3
from importlib.metadata import version

from judgekit import __version__

_FIRST_BAD, _LAST_BAD = (3, 7, 0), (3, 51, 2)
# Older lines that were mended as well, from these releases on.
_MENDED = ((3, 44, 6), (3, 50, 7))


def versions() -> str:
    """judgekit, Python, Textual and SQLite, a line each."""
    return "\n".join(
        (
            f"judgekit {__version__}",
            f"Python {platform.python_version()}",
            f"Textual {version('textual')}",
            f"SQLite {sqlite3.sqlite_version}",
        )
    )


def sqlite_warning(
    found: tuple[int, int, int] = sqlite3.sqlite_version_info[:3],
) -> str:
    """A warning for an SQLite in which the WAL-reset bug is not mended, else empty.

    Source: the release notes of SQLite 3.51.3.
    """
    mended = any(found[:2] == release[:2] and found >= release for release in _MENDED)
    if mended or not _FIRST_BAD <= found <= _LAST_BAD:
        return ""
    number = ".".join(str(part) for part in found)
    return (
        f"SQLite {number} has a rare fault (the WAL-reset bug) that can damage a file "
        "when two programs write to it or tidy it at the same moment. It is harmless "
        "here, because a log has one writer and nobody else ever tidies it; "
        "SQLite 3.51.3 or newer has the fault mended."
    )
