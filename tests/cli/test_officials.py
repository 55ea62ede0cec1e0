"""The board and the head judge's view as commands: what they refuse, and how."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.cli.running import run
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize("command", ["board", "head"])
def test_a_heat_that_is_not_there_is_refused_with_those_that_are(
    tmp_path: Path, command: str
) -> None:
    event = write_event(tmp_path / "event")
    ran = run(command, event, "--heat", "9")
    assert ran.code == 2
    assert 'there is no heat "9"; there is 1, 2' in ran.err


@pytest.mark.parametrize("command", ["board", "head"])
def test_without_a_terminal_it_says_so_and_writes_nothing(
    tmp_path: Path, command: str
) -> None:
    event = write_event(tmp_path / "event")
    ran = run(command, event)
    assert ran.code == 2
    assert "draws its screens on a terminal" in ran.out
    assert not (event / "log").exists()


def test_a_head_judge_has_nothing_to_see_where_no_heat_is_listed(
    tmp_path: Path,
) -> None:
    event = write_event(tmp_path / "event")
    (event / "heats.csv").write_text("heat,start,workout,lane,bib,judge\n", "utf-8")
    ran = run("head", event)
    assert ran.code == 2
    assert "heats.csv:1: " in ran.err
