"""One athlete's sheet while the event's files are read in a second process."""

from __future__ import annotations

import os
import threading
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import judged_event, run
from tests.cli.test_athlete import judged
from tests.cli.test_main import command, loaded_after

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(params=["beside", "here"])
def _read(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files are read in a second process, or in this one."""
    many = 1 if request.param == "beside" else 2
    monkeypatch.setattr(threading, "active_count", lambda: many)


@pytest.mark.usefixtures("_read")
def test_a_sheet_knows_the_files_and_the_past(tmp_path: Path) -> None:
    (tmp_path / "events").mkdir()
    judged(tmp_path / "events" / "april", "2027-04-03")
    done = run("athlete", judged(tmp_path / "events" / "today", "2027-05-08"), "27")
    assert (done.code, done.err) == (0, "")
    assert "Quayside: 0:33, last time 0:33" in done.out


@pytest.mark.usefixtures("_read")
def test_no_folder_of_the_past_is_an_error_and_no_sheet(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    done = run("athlete", event, "27", "--history", tmp_path / "nowhere")
    assert (done.code, done.out) == (2, "")
    assert "nowhere" in done.err


@pytest.mark.usefixtures("_read")
def test_broken_files_are_told_once_and_the_log_makes_the_sheet(
    tmp_path: Path,
) -> None:
    event = judged_event(tmp_path)
    # Two columns are missing, and each is told.
    (event / "people.csv").write_text("bib\n", encoding="utf-8")
    done = run("athlete", event, "27")
    assert done.code == 1
    assert len(done.err.splitlines()) == 2
    assert len(set(done.err.splitlines())) == 2
    assert "27  Ines Varga" in done.out


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no second process here")
def test_the_readers_of_files_are_never_imported(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    asked = command("athlete", str(event), "27")
    assert loaded_after(asked, ("pydantic", "filelock", "judgekit.files.toml")) == []
