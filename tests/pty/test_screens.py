"""A real terminal of every kind and size, and texts that would order it about."""

from __future__ import annotations

import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest

from judgekit.files.cleaning import clean
from tests.pty.failing import failing, under_way
from tests.pty.terminal import PATIENCE_S, Terminal
from tests.small_event import EVENT, write_event

FLOOR = ("floor", ".", "--heat", "1", "--lane", "1")
ROOT = Path(__file__).parents[2]
SIZES = [(120, 40), (40, 12), (20, 5), (10, 3), (1, 1), (200, 2), (80, 24)]
# What a file may hold: TOML and CSV write them in their own ways.
HOSTILE = "a\x1b[2Jb \x9b5;5H \x1b]0;owned\x07 \u202eevil\u2069 [@click=app.quit]Bo[/]"
# Nothing of this may be written but by the program itself, which never writes these.
ORDERS = (
    b"\x1b[2Jb",
    b"owned\x07",
    b"\xc2\x9b",
    b"\xe2\x80\xae",
    b"\xe2\x81\xa9",
)


@pytest.fixture
def event(tmp_path: Path) -> Path:
    folder = write_event(tmp_path / "event")
    workout = folder / "workouts" / "quayside.toml"
    written = workout.read_text(encoding="utf-8")
    workout.write_text(written.replace("[3, 2]", "[300, 2]"), encoding="utf-8")
    # Every key counts, however quick: held keys are not the matter here.
    guarded = f'{EVENT}repeat = "0 s"\n'
    (folder / "event.toml").write_text(guarded, encoding="utf-8")
    return folder


def start(terminal: Terminal) -> None:
    """Go, and past the countdown."""
    terminal.wait_for("Not started")
    terminal.send("g")
    terminal.wait_for("y starts")
    terminal.send("y")
    terminal.wait_for("seconds to go")
    terminal.wait_for("space good rep")


def test_a_window_dragged_to_nothing_and_back_while_counting_loses_no_rep(
    event: Path,
) -> None:
    with Terminal(FLOOR, folder=event) as terminal:
        start(terminal)
        for number, (columns, rows) in enumerate(SIZES, 1):
            terminal.resize(columns, rows)
            terminal.send(" ")
            if columns >= 20:
                terminal.wait_for(f"{number:03} of" if rows < 12 else f"rep {number}")
            else:
                _wait_for_count(terminal, number, columns)
        shown = terminal.wait_for(f"rep {len(SIZES)}     ")
        assert "300" in shown


def _wait_for_count(terminal: Terminal, number: int, columns: int) -> None:
    """Where there is room the count; in one cell only that something is there."""
    shown = f"{number:03}" if columns > 3 else "…"
    terminal.wait_for(lambda text: shown in text)


# Other programs have the processor between any two looks at the clock of a timer that
# comes once: for longer than Textual waits for the end of a dragging.
STARVED = """
import sys, time
import textual.timer as timer
from types import SimpleNamespace
was = timer._time
def get_time():
    if MARK.exists() and sys._getframe(1).f_locals.get("_repeat") == 0:
        time.sleep(0.02)
    return was.get_time()
timer._time = SimpleNamespace(**{**vars(was), "get_time": get_time})
"""


def test_a_window_is_drawn_in_each_of_its_sizes_however_busy_the_machine_is(
    tmp_path: Path,
) -> None:
    folder = under_way(tmp_path)
    with failing(folder, STARVED) as terminal:
        terminal.wait_for("of 5000")
        (tmp_path / "site" / "failed").touch()
        for columns, rows in ((40, 12), (20, 5), (80, 24)):
            terminal.resize(columns, rows)
            terminal.wait_for(is_tiny if rows < 12 else is_whole)


def test_a_size_that_the_environment_tells_is_not_believed(event: Path) -> None:
    with Terminal(FLOOR, folder=event, env={"COLUMNS": "90", "LINES": "30"}) as floor:
        floor.wait_for(is_whole)
        floor.resize(40, 12)
        floor.wait_for(is_whole)


def is_whole(text: str) -> bool:
    """Whether the last line stands in the last row, up to its end."""
    return "saved" in text.splitlines()[-1]


def is_tiny(text: str) -> bool:
    return "SMALL, counting" in text


@pytest.mark.parametrize(
    "env",
    [
        {"TERM": "vt100"},
        {"TERM": "xterm-mono"},
        {"TERM": "xterm"},
        {"TERM": "linux"},
        {"COLORTERM": "truecolor"},
        {"NO_COLOR": ""},
        {"NO_COLOR": "1", "TERM": "vt100"},
        {"LANG": "C", "LC_ALL": ""},
        {"LC_ALL": "C"},
    ],
    ids=str,
)
def test_every_terminal_shows_the_floor_in_signs_and_words(
    event: Path, env: dict[str, str]
) -> None:
    with Terminal(FLOOR, folder=event, env=env) as terminal:
        terminal.wait_for("Not started")
        terminal.send("d")
        shown = terminal.wait_for("d: ")
        assert ("██" in shown, "\\u" in shown) == (True, False)
        # The question stands out by more than its colour.
        assert b"\x1b[1;7" in terminal.raw
        terminal.send("q")
        terminal.wait_for("y closes")
        terminal.send("y")
        assert terminal.ended() == 0


@pytest.mark.parametrize(
    ("env", "says"),
    [
        ({"PYTHONIOENCODING": "latin-1"}, "set PYTHONUTF8=1"),
        ({"PYTHONIOENCODING": "ascii"}, "set PYTHONUTF8=1"),
    ],
)
def test_a_terminal_that_writes_no_utf_8_is_refused_with_a_way_out(
    event: Path, env: dict[str, str], says: str
) -> None:
    with Terminal(FLOOR, folder=event, env=env) as terminal:
        terminal.wait_for(says)
        assert terminal.ended() == 2


def test_errors_sent_elsewhere_are_refused_on_stdout(event: Path) -> None:
    master, slave = pty.openpty()
    try:
        done = subprocess.run(
            [sys.executable, "-m", "judgekit", *FLOOR],
            stdin=slave,
            capture_output=True,
            cwd=event,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            timeout=PATIENCE_S,
            check=False,
        )
    finally:
        os.close(slave)
        os.close(master)
    said = " ".join(done.stdout.decode().split())
    assert (done.returncode, "this is none" in said) == (2, True)
    assert done.stderr == b""


def test_no_text_of_a_file_reaches_the_terminal_as_an_order(event: Path) -> None:
    escaped = "".join(
        c if c.isascii() and c.isprintable() else f"\\u{ord(c):04x}" for c in HOSTILE
    )
    for file, old, new in (
        ("event.toml", "Kim Brandt", escaped),
        ("event.toml", "The boat shed", escaped),
        ("people.csv", "Ines Varga", f'"{HOSTILE}"'),
        ("workouts/quayside.toml", 'name = "Quayside"', f'name = "{escaped}"'),
    ):
        path = event / file
        text = path.read_text(encoding="utf-8")
        path.write_text(text.replace(old, new), encoding="utf-8")
    with Terminal(FLOOR, folder=event) as terminal:
        terminal.wait_for("Not started")
        name = clean(HOSTILE)
        assert re.sub(r"\s+", " ", name)[:20] in terminal.text()
        start(terminal)
        for keys, seen in (
            (" ", "rep 1"),
            ("\x7f", "undone"),
            ("l", "THE LOG"),
            ("l", "space good rep"),
            (" ", "rep 1"),
        ):
            terminal.send(keys)
            terminal.wait_for(seen)
        terminal.send("q")
        terminal.wait_for("y closes")
        terminal.send("y")
        assert terminal.ended() == 0
        assert [order for order in ORDERS if order in terminal.raw] == []
