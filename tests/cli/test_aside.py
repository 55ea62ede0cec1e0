"""What is read in a second process is what would be read here, errors too."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest

from judgekit.cli import aside
from judgekit.cli.aside import Aside
from judgekit.cli.eventfiles import load
from judgekit.core.errors import InputError
from tests.cli.test_main import loaded_after, python
from tests.small_event import write_event


@pytest.fixture
def alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """As in a program that has no other thread yet."""
    monkeypatch.setattr(threading, "active_count", lambda: 1)


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The processes that were made."""
    found: list[int] = []
    fork = os.fork

    def noted() -> int:
        child = fork()
        found.append(child)
        return child

    monkeypatch.setattr(os, "fork", noted)
    return found


@pytest.mark.usefixtures("alone")
def test_it_is_read_in_another_process(made: list[int]) -> None:
    assert Aside(os.getpid).result() == made[0]
    with pytest.raises(ChildProcessError):
        os.waitpid(made[0], os.WNOHANG)


@pytest.mark.usefixtures("alone", "made")
def test_an_event_comes_out_as_it_is_read_here(tmp_path: Path) -> None:
    event = str(write_event(tmp_path / "event"))
    there, here = Aside(lambda: load(event)).result(), load(event)
    assert there == here
    for row in here.heats:
        assert there.plan_of(row, ()) == here.plan_of(row, ())


@pytest.mark.usefixtures("alone", "made")
def test_errors_are_the_same_as_here(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    (event / "event.toml").write_text("name = 3\n", encoding="utf-8")
    problems = []
    for read in (Aside(lambda: load(str(event))).result, lambda: load(str(event))):
        with pytest.raises(InputError) as caught:
            read()
        problems.append(caught.value.problems)
    assert problems[0] == problems[1]
    assert len(problems[0]) > 1


@pytest.mark.usefixtures("alone", "made")
@pytest.mark.parametrize("ends", ["exits", "tells half", "tells what is not there"])
def test_whatever_goes_wrong_there_is_done_here(ends: str) -> None:
    here = os.getpid()

    class Odd:
        """What cannot be told."""

        def __reduce__(self) -> tuple[object, ...]:
            if ends == "tells half":
                os._exit(0)
            return (Odd, ("too many",))

    def do() -> object:
        if os.getpid() == here:
            return "done here"
        if ends == "exits":
            raise SystemExit(0)
        return Odd()

    assert Aside(do).result() == "done here"


def test_a_key_that_ends_the_program_ends_the_other_process_at_its_first_step() -> None:
    code = """
import os
from judgekit.cli.aside import Aside
fork = os.fork
def interrupted():
    child = fork()
    if not child:
        raise KeyboardInterrupt
    return child
os.fork = interrupted
try:
    print(Aside(os.getpid).result() == os.getpid(), flush=True)
except KeyboardInterrupt:
    print("went on in the other process", flush=True)
"""
    done = python(code)
    assert (done.returncode, done.stdout, done.stderr) == (0, "True\n", "")


@pytest.mark.usefixtures("alone")
def test_who_leaves_without_the_result_leaves_no_process_behind(
    made: list[int],
) -> None:
    held, released = os.pipe()
    fds = sum(1 for _ in Path("/proc/self/fd").iterdir())

    def wait() -> None:
        # Ended from outside: nothing is ever written here.
        os.read(held, 1)

    def leave() -> None:
        with Aside(wait) as aside_:
            assert aside_ is not None
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        leave()
    [child] = made
    with pytest.raises(ChildProcessError):
        os.waitpid(child, os.WNOHANG)
    assert sum(1 for _ in Path("/proc/self/fd").iterdir()) == fds
    os.close(held)
    os.close(released)


@pytest.mark.usefixtures("alone")
@pytest.mark.parametrize("missing", ["fork", "pipe"])
def test_without_a_second_process_it_is_read_here(
    monkeypatch: pytest.MonkeyPatch, missing: str
) -> None:
    def refused() -> int:
        raise OSError

    monkeypatch.setattr(os, missing, refused)
    assert Aside(os.getpid).result() == os.getpid()


def test_a_process_with_threads_is_not_copied(
    monkeypatch: pytest.MonkeyPatch, made: list[int]
) -> None:
    monkeypatch.setattr(threading, "active_count", lambda: 2)
    assert Aside(os.getpid).result() == os.getpid()
    monkeypatch.setattr(threading, "active_count", lambda: 1)
    monkeypatch.setattr(aside.sys, "platform", "elsewhere")  # type: ignore[attr-defined]
    assert Aside(os.getpid).result() == os.getpid()
    assert made == []


def test_a_floor_holds_nothing_that_only_reads_files(tmp_path: Path) -> None:
    event = str(write_event(tmp_path / "event"))
    arguments = ["floor", event, "--heat", "1", "--lane", "1"]
    code = (
        "from judgekit.cli import floor\n"
        "from judgekit.cli.main import cli\n"
        "from judgekit.ui import start\n"
        "start.terminal_problem = lambda *_: ''\n"
        "def seat(folder, wish, *, pads):\n"
        "    assert folder.athletes\n"
        "    return 0\n"
        "floor.sit_down = seat\n"
        f"cli({arguments!r}, standalone_mode=False)"
    )
    heavy = ("pydantic", "tomllib", "judgekit.files.folder", "judgekit.files.library")
    assert loaded_after(code, heavy) == []
    pads = ("judgekit.ui.screens.padded", "judgekit.ui.webdriver", "judgekit.web")
    assert loaded_after(code, pads) == []
    assert loaded_after(code, ("judgekit.ui.app",)) == ["judgekit.ui.app"]
