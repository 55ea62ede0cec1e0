"""The command as a user runs it, and a small event with a lane in its log."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from click.testing import CliRunner

from judgekit.cli.main import cli
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from pathlib import Path


class Ran(NamedTuple):
    """What a command did."""

    code: int
    out: str
    err: str


def run(*args: str | Path) -> Ran:
    """One command; an exception that is not an exit fails the test."""
    result = CliRunner().invoke(cli, [str(a) for a in args], prog_name="judgekit")
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return Ran(
        result.exit_code, result.stdout_bytes.decode(), result.stderr_bytes.decode()
    )


def tally(folder: Path, text: str, name: str = "one.tally") -> Path:
    """A tally's file in a folder."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def judged_event(tmp_path: Path) -> Path:
    """The small event with lane 1 of heat 1 transcribed."""
    event = write_event(tmp_path / "event")
    path = tally(tmp_path, TALLY)
    done = run("transcribe", event, path, "--heat", "1", "--lane", "1")
    assert (done.code, done.out) == (0, "")
    return event
