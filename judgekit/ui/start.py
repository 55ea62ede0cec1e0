"""Starting a screen: what must be right before Textual is imported and drawn."""

from __future__ import annotations

import gc
import os
import sys
from functools import partial
from importlib import import_module
from time import monotonic
from typing import TYPE_CHECKING, TextIO

from judgekit.ui.served import is_cut, is_served

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from textual.screen import Screen

    from judgekit.desk import Coming, Desk
    from judgekit.files.eventfolder import EventFolder
    from judgekit.review.performing import Athlete
    from judgekit.ui.app import FloorApp
    from judgekit.ui.ending import Closes, Ending
    from judgekit.ui.views.home import HeatRow, Wanted
    from judgekit.ui.views.keytrial import KeyTrial
    from judgekit.ui.views.wall import Again, Sheet

    # By bib, how many days ago.
    Stopped = Callable[[], Mapping[str, int]]

# A key that falls behind a clock tick waits for the next frame, so frames are short.
FRAMES = "240"
# A press has the time at which the input thread read it, and keys that it reads late
# it reads together; it must not wait long for its turn.
TURN_S = 0.0005
WRONG_PLACE = 2
FAILED = 1
# A screen that fails more often than this in so many seconds is not begun again.
MOST_FAILURES = 3
FAILING_S = 30.0
_CUT_SHORT = "the log ends before them"
_NEVER_READ = "the log was not opened"


def terminal_problem(stdin: TextIO, stderr: TextIO) -> str:
    """Why no screen can be drawn here, in words; empty if one can.

    Textual draws on stderr and reads stdin, and through pipes where a browser shows it.
    """
    if is_served():
        return ""
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


def import_screens() -> None:
    """Import what a Floor is made of, so that it need not be when it is wanted."""
    os.environ.setdefault("TEXTUAL_FPS", FRAMES)
    for name in ("ui.ending", "ui.app"):
        import_module(f"judgekit.{name}")


def import_review() -> None:
    """The same for Review."""
    os.environ.setdefault("TEXTUAL_FPS", FRAMES)
    for name in ("ui.ending", "ui.watch_app", "ui.screens.review"):
        import_module(f"judgekit.{name}")


def run_floor(
    desk: Desk | Coming,
    *,
    folder: EventFolder | None = None,
    athlete: Athlete | None = None,
    mouse: bool = False,
    pads: bool = False,
    stopped: Stopped | None = None,
) -> int:
    """The Floor of a desk's lanes until it is closed; the exit code.

    With an `athlete` it is a rehearsal, over once all of it was shown. `stopped` is
    asked in a thread who was stopped on an earlier day.

    The desk is started by the caller, or is still coming, and always closed here. A
    screen that fails is begun again at the same desk, at most three times in half a
    minute. What a desk that was coming is refused for is raised. 0 is a desk
    closed by its judge, 128 + n one ended by signal n, 1 a screen that failed or
    presses that could not be saved (then said on stderr), 2 no usable terminal.
    """
    if not _ready():
        desk.close("no usable terminal")
        return WRONG_PLACE
    from judgekit.desk import Coming
    from judgekit.ui.ending import Ending, ended_by

    sys.setswitchinterval(TURN_S)
    # What the log and the screens are made of stays to the end: looking through it for
    # rubbish again and again would make single keys wait.
    gc.freeze()
    with Ending(desk, gone=is_cut if is_served() else None) as ending:
        screens = _Screens(desk, folder, athlete, pads=pads or is_served())
        screens.stopped = stopped
        try:
            code = screens.run(ending, mouse=mouse)
        finally:
            if isinstance(desk, Coming):
                desk.handed_over()
            desk.close(ended_by(ending.number) if ending.number else "the screen ended")
        never = isinstance(desk, Coming) and desk.desk is None
        told = _tell_unsaved(desk.unsaved, _NEVER_READ if never else _CUT_SHORT)
        if ending.number:
            return 128 + ending.number
    if isinstance(desk, Coming) and desk.error is not None:
        raise desk.error
    sys.stderr.write(screens.words)
    return FAILED if told or screens.failures else code


class _Screens:
    """One screen after another at the same desk: whatever fails, counting goes on."""

    def __init__(
        self,
        desk: Desk | Coming,
        folder: EventFolder | None,
        athlete: Athlete | None,
        *,
        pads: bool,
    ) -> None:
        self._pads = pads
        self._desk = desk
        self._folder = folder
        self._athlete = athlete
        self.stopped: Stopped | None = None
        self.failures: list[tuple[float, str]] = []
        self.words = ""

    def run(self, ending: Ending, *, mouse: bool) -> int:
        """The exit code of the last screen; FAILED once they fail too often."""
        from judgekit.ui.app import FloorApp

        standing = None
        while True:
            self._desk.listen_no_more()
            app = FloorApp(
                self._desk,
                folder=self._folder,
                times=partial(_times, self._desk),
                standing=standing,
                athlete=self._athlete,
                pads=self._pads,
            )
            app.behind.stopped = self.stopped
            ending.leave = app.end_by
            failed = self._run_one(app, mouse=mouse)
            if app.grew and not ending.is_near():
                standing, self._folder = app.standing, app.behind.folder
                continue
            if not failed or app.left or ending.is_near():
                return FAILED if app.return_code is None else app.return_code
            standing = app.standing
            if self._too_often(failed):
                return FAILED
            standing.back = (
                f"The screen failed ({failed}) and came back; the count is as saved."
            )

    def _run_one(self, app: FloorApp, *, mouse: bool) -> str:
        """Why the screen ended though nobody asked for it; empty if somebody did."""
        try:
            app.run(mouse=mouse)
        except Exception as error:  # noqa: BLE001 - the next screen takes over
            return type(error).__name__
        nobody = app.return_code is None and not app.left
        return app.failed or ("it ended by itself" if nobody else "")

    def _too_often(self, failed: str) -> bool:
        now = monotonic()
        self.failures.append((now, failed))
        lately = [when for when, _ in self.failures if now - when <= FAILING_S]
        self.words = (
            f"The screen failed ({failed}). Every judgement that was shown is in the "
            "log; open the heat again to go on.\n"
        )
        return len(lately) > MOST_FAILURES


def _tell_unsaved(many: int, why: str) -> bool:
    """Say what a failing disk or a refused log has cost, where it can still be read."""
    if many:
        presses = "1 press" if many == 1 else f"{many} presses"
        sys.stderr.write(
            f"{presses} could not be saved: {why}. Write down what was counted.\n"
        )
    return bool(many)


def _times(desk: Desk | Coming, number: int) -> str:
    """Which time this desk's lane does its work; a second judge's is no other time."""
    from judgekit.ui.views.sheet import times_words

    return "" if desk.second else times_words(*desk.time_of(number))


def run_home(
    title: str, rows: tuple[HeatRow, ...], *, mouse: bool = False
) -> tuple[int, Wanted | None]:
    """The list of heats; the exit code, and what to open or the heat to brief."""
    if not _ready():
        return WRONG_PLACE, None
    from judgekit.ui.home_app import HomeApp

    app = HomeApp(title, rows)
    chosen = app.run(mouse=mouse)
    return (FAILED if app.return_code is None else app.return_code), chosen


def run_wall(
    sheets: tuple[Sheet, ...], again: Again | None = None, *, mouse: bool = False
) -> int:
    """Sheets on the wall until they are left; the exit code.

    `again` is asked every few seconds for newer sheets, in a thread; None: no news.
    """
    if not _ready():
        return WRONG_PLACE
    from judgekit.ui.wall_app import WallApp

    app = WallApp(sheets, again)
    app.run(mouse=mouse)
    return FAILED if app.return_code is None else app.return_code


def run_watch(
    made: Callable[[], Screen[None]], lookout: Closes, *, mouse: bool = False
) -> int:
    """One screen of those who look on until it is left; the exit code.

    The lookout is always closed here: what was said is written, also after a signal.
    """
    if not _ready():
        return WRONG_PLACE
    from judgekit.ui.ending import Ending
    from judgekit.ui.watch_app import WatchApp

    with Ending(lookout, gone=is_cut if is_served() else None) as ending:
        app = WatchApp(made)
        ending.leave = app.end_by
        try:
            app.run(mouse=mouse)
        finally:
            lookout.close()
        if ending.number:
            return 128 + ending.number
    return FAILED if app.return_code is None else app.return_code


def run_key_trial(trial: KeyTrial) -> KeyTrial | None:
    """Keys tried one after another; None where no screen can be drawn."""
    if not _ready():
        return None
    from judgekit.ui.keytrial_app import KeyTrialApp

    return KeyTrialApp(trial).run(mouse=False)


def _ready() -> bool:
    os.environ.setdefault("TEXTUAL_FPS", FRAMES)
    problem = terminal_problem(sys.stdin, sys.stderr)
    if problem:
        sys.stdout.write(f"{problem}\n")
    if not is_served():
        # The terminal tells its size. Another one, as some shells export it, would be
        # laid out in turns with that, for ever.
        for name in ("COLUMNS", "LINES"):
            os.environ.pop(name, None)
    return not problem
