"""Starting a screen: what must be right before Textual is imported and drawn."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, TextIO

from judgekit.core.errors import BookError

if TYPE_CHECKING:
    from judgekit.desk import Desk
    from judgekit.files.folder import EventFolder
    from judgekit.ui.views.home import HeatRow

# A key that falls behind a clock tick waits for the next frame, so frames are short.
FRAMES = "240"
# Keys of one read are told apart from a held key by their stamps, which the input
# thread makes; it must not wait long for its turn.
TURN_S = 0.0005
WRONG_PLACE = 2
FAILED = 1


def terminal_problem(stdin: TextIO, stderr: TextIO) -> str:
    """Why no screen can be drawn here, in words; empty if one can.

    Textual draws on stderr and reads stdin.
    """
    if not stdin.isatty() or not stderr.isatty():
        return (
            "judgekit draws its screens on a terminal, and this is none: "
            "start it without sending its input or its errors elsewhere."
        )
    encoding = (stderr.encoding or "").lower().replace("-", "").replace("_", "")
    if encoding != "utf8":
        found = stderr.encoding or "no known encoding"
        return (
            f"This terminal writes {found}, not UTF-8: "
            "set PYTHONUTF8=1, or choose a UTF-8 locale."
        )
    return ""


def run_floor(
    desk: Desk,
    number: int,
    *,
    folder: EventFolder | None = None,
    mouse: bool = False,
) -> int:
    """The Floor of one lane until its desk is closed; the exit code.

    The desk is started by the caller and always closed here. 0 is a desk closed by
    its judge, 128 + n one ended by signal n, 1 an abnormal end or presses that could
    not be saved (then said on stderr), 2 no usable terminal.
    """
    if not _ready():
        desk.close("no usable terminal")
        return WRONG_PLACE
    from judgekit.ui.app import FloorApp

    sys.setswitchinterval(TURN_S)
    times = "" if folder is None else _times(desk, number, folder)
    app = FloorApp(desk, number, folder=folder, times=times)
    try:
        app.run(mouse=mouse)
    finally:
        desk.close("the screen ended")
        told = _tell_unsaved(desk.unsaved)
    return FAILED if told or app.return_code is None else app.return_code


def _tell_unsaved(many: int) -> bool:
    """Say what a failing disk has cost, where it can still be read."""
    if many:
        presses = "1 press" if many == 1 else f"{many} presses"
        sys.stderr.write(
            f"{presses} could not be saved: the log ends before them. "
            "Write down what was counted.\n"
        )
    return bool(many)


def _times(desk: Desk, number: int, folder: EventFolder) -> str:
    """Which time this desk's lane does its work, in words."""
    from judgekit.core.runs import runs_of
    from judgekit.store.folder import read_all
    from judgekit.ui.views.sheet import times_words

    try:
        copies = read_all(folder.log, desk.heat)
    except BookError:
        return ""
    runs = runs_of({copy.id: copy.entries for copy in copies}, number)
    # After a recall one log holds several; it is the newest that is carried on.
    here = [run for run in runs if run.claims[-1].book == desk.book_id]
    return times_words(here[-1]) if here else ""


def run_home(
    title: str, rows: tuple[HeatRow, ...], *, mouse: bool = False
) -> tuple[int, HeatRow | None]:
    """The list of heats; the exit code, and the lane that was chosen to be opened."""
    if not _ready():
        return WRONG_PLACE, None
    from judgekit.ui.home_app import HomeApp

    app = HomeApp(title, rows)
    chosen = app.run(mouse=mouse)
    return (FAILED if app.return_code is None else app.return_code), chosen


def _ready() -> bool:
    os.environ.setdefault("TEXTUAL_FPS", FRAMES)
    problem = terminal_problem(sys.stdin, sys.stderr)
    if problem:
        sys.stdout.write(f"{problem}\n")
    return not problem
