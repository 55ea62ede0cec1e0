"""An event's files, as the commands read them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from judgekit.files.folder import load_event
from judgekit.ui.actions import NAMES_IN_KEYS

if TYPE_CHECKING:
    from judgekit.files.eventfolder import EventFolder


def load(event: str) -> EventFolder:
    """The event's files; InputError with every problem."""
    return load_event(Path(event), shown=event, actions=NAMES_IN_KEYS)
