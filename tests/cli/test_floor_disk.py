"""`judgekit floor` on a disk whose locks cannot be trusted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.cli import floor
from judgekit.store import disk
from judgekit.ui import start
from tests.cli.running import run
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.desk.opening import Wish
    from judgekit.files.folder import EventFolder

LANE = ("--heat", "1", "--lane", "1")


@pytest.fixture
def event(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An event on a disk that other machines share, and a terminal to judge at."""
    monkeypatch.setattr(disk, "kind_of", lambda _log: "nfs4")
    monkeypatch.setattr(start, "terminal_problem", lambda *_: "")
    return write_event(tmp_path / "event")


def test_a_shared_disk_is_refused_and_nothing_is_written(event: Path) -> None:
    done = run("floor", event, *LANE)
    assert (done.code, done.out) == (2, "")
    assert "is on a shared disk (nfs4)" in done.err
    assert "--trust-disk" in done.err
    assert not (event / "log").exists()


def test_the_risk_can_be_taken_by_name(
    event: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    wishes: list[Wish] = []

    def sit_down(_folder: EventFolder, wish: Wish, *, pads: bool) -> int:
        assert not pads
        wishes.append(wish)
        return 0

    monkeypatch.setattr(floor, "sit_down", sit_down)
    assert run("floor", event, *LANE).code == 0
    assert run("floor", event, *LANE, "--trust-disk").code == 0
    assert [wish.trust_disk for wish in wishes] == [False, True]
