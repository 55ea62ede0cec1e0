"""Which files of a log folder are books."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

SUFFIX = ".sqlite"


def book_paths(log: Path) -> list[Path]:
    """The book files of a log folder, sorted; none if there is no such folder."""
    return sorted(path for path in log.glob(f"*{SUFFIX}") if path.is_file())
