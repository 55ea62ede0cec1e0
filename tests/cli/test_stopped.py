"""Who was stopped on an earlier day is told to the Floor, as exposure tells it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.cli.stopped import stopped_before
from tests.cli.test_exposure import judge, make

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

STOPPED = "0:00  go\n0:03  rep\n0:05  stop dizzy\n"


def test_the_newest_stop_of_fourteen_days_is_told_in_days(tmp_path: Path) -> None:
    event = make(tmp_path / "today", "2027-05-08")
    judge(make(tmp_path / "nine", "2027-04-29"), STOPPED)
    judge(make(tmp_path / "five", "2027-05-03"), STOPPED)
    judge(make(tmp_path / "month", "2027-04-08"), STOPPED, heat="2")
    assert stopped_before(event, "1") == {"27": 5}
    assert stopped_before(event, "2") == {}


def test_what_lies_in_the_current_folder_is_never_imported(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    event = make(tmp_path / "today", "2027-05-08")
    judge(make(tmp_path / "five", "2027-05-03"), STOPPED)
    (tmp_path / "click.py").write_text("open('touched', 'w')\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert stopped_before(event, "1") == {"27": 5}
    assert not (tmp_path / "touched").exists()


def test_a_stop_by_mistake_is_none(tmp_path: Path) -> None:
    event = make(tmp_path / "today", "2027-05-08")
    mistake = "0:00 go\n0:03 rep\n0:05 stop\n0:08 go-on mistake\n"
    judge(make(tmp_path / "five", "2027-05-03"), mistake)
    assert stopped_before(event, "1") == {}


def test_where_it_cannot_be_told_nothing_is(tmp_path: Path) -> None:
    assert stopped_before(tmp_path / "nowhere", "1") == {}
