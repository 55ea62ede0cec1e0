"""The folders in a folder, as events lie beside each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.errors import InputError, Problem

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


def folders_in(place: Path, but: Path | None = None) -> Iterator[Path]:
    """The folders in a folder, each once, whatever it is called by there; one left out.

    Raises InputError if there is no such folder, or it cannot be listed.
    """
    try:
        inside = sorted(path for path in place.iterdir() if path.name[0] != ".")
    except OSError as error:
        what = f"the folder cannot be read ({error.strerror})"
        right = "give a folder that holds event folders"
        found = Problem(file=str(place), line=1, what=what, right=right)
        raise InputError([found]) from error
    seen = set() if but is None else {but.resolve()}
    for path in inside:
        # A link that leads back to itself is no folder, and cannot be followed.
        if path.is_dir() and path.resolve() not in seen:
            seen.add(path.resolve())
            yield path
