"""A program that is made to fail in one place, and a heat it can fail in."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from judgekit.core.entry import Body, Rep
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.store.folder import read_all
from tests.pty.terminal import Terminal
from tests.small_event import WORKOUT, write_event

if TYPE_CHECKING:
    from judgekit.files.folder import EventFolder

FLOOR = ("floor", ".", "--heat", "1", "--lane", "1")
SECRET = "hunter2"  # noqa: S105 - what must not be printed

# Run at the start of the child's Python: fails in one place, once or for ever.
HEAD = f"""
import os, sys
os.environ.setdefault("TEXTUAL_FPS", "240")
import judgekit.ui.screens.floor as floor
import judgekit.ui.widgets.face as face
import judgekit.ui.app as app
from pathlib import Path
MARK = Path(os.environ["FAILS_ONCE"])
def fail(once=True):
    secret = "{SECRET}"
    if once and MARK.exists():
        return
    MARK.touch()
    raise ValueError(secret)
"""


def under_way(where: Path, cap: str = "10:00") -> EventFolder:
    """A heat under way for 20 s, with one long set and one rep."""
    event = write_event(where / "event")
    path = event / "workouts" / "quayside.toml"
    one = WORKOUT.replace("rounds = 2", "rounds = 1").replace("[3, 2]", "5000")
    one = one.replace('cap = "10:00"', f'cap = "{cap}"')
    path.write_text(one, encoding="utf-8")
    loaded = load_event(event)
    clock = SystemClock()
    desk, _ = open_desk(loaded, Wish(heat="1", lanes=(1,)), clock)
    desk.call_go(boot_ms=clock.boot_ms() - 30_000)
    desk.submit(1, Rep(), boot_ms=clock.boot_ms() - 5000)
    desk.close()
    return loaded


def failing(folder: EventFolder, how: str) -> Terminal:
    """The Floor, in a Python that runs `how` before anything else."""
    site = folder.folder.parent / "site"
    site.mkdir()
    (site / "sitecustomize.py").write_text(HEAD + how, encoding="utf-8")
    root = os.fspath(Path(__file__).parents[2])
    env = {
        "PYTHONPATH": os.pathsep.join([os.fspath(site), root]),
        "FAILS_ONCE": os.fspath(site / "failed"),
    }
    return Terminal(FLOOR, folder=folder.folder, env=env)


def bodies(folder: EventFolder) -> list[Body]:
    """What the logs of the event hold, in order."""
    return [e.body for copy in read_all(folder.log) for e in copy.entries]
