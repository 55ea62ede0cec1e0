"""What one athlete's sheet needs of files, read in a second process.

The libraries that read files take as long to import as the log to look through.
"""

from __future__ import annotations

from functools import cached_property, partial
from typing import TYPE_CHECKING, NamedTuple

from judgekit.cli.aside import Aside
from judgekit.core.errors import InputError

if TYPE_CHECKING:
    from pathlib import Path
    from typing import Self

    from judgekit.cli.pastsheets import PastSheets
    from judgekit.files.eventfolder import EventFolder


class _Read(NamedTuple):
    """An event's files, and of one bib what was before, if that can be told."""

    folder: EventFolder
    past: PastSheets | None


class SheetFiles:
    """An event's files and the past of one bib, being read until they are wanted."""

    def __init__(self, event: str, history: Path | None, bib: str) -> None:
        self._history = history
        self._bib = bib
        self._reading = Aside(partial(_read, event, history, bib))

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._reading.close()

    def folder(self) -> EventFolder:
        """The event's files; InputError with every problem."""
        return self._found.folder

    def past(self) -> PastSheets:
        """What the bib did before; InputError if the folder of the past is none."""
        found = self._found
        if found.past is not None:
            return found.past
        from judgekit.cli.pastsheets import past_sheets

        return past_sheets(found.folder, self._history, [self._bib])

    @cached_property
    def _found(self) -> _Read:
        return self._reading.result()


def _read(event: str, history: Path | None, bib: str) -> _Read:
    from judgekit.cli.eventfiles import load
    from judgekit.cli.pastsheets import past_sheets

    folder = load(event)
    try:
        return _Read(folder, past_sheets(folder, history, [bib]))
    except InputError:
        # Whoever asks for it is told; the event's own files are sound.
        return _Read(folder, None)
