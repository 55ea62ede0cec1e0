from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.cli.demo import YOURS, newest, prepare
from tests.cli.running import run

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


def test_the_demo_prints_the_same_to_the_letter_every_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    first = run("demo", "--plain")
    assert (first.code, first.err) == (0, "")
    assert run("demo", "--plain") == first
    assert list(tmp_path.iterdir()) == []


def test_the_demo_shows_scorecards_standings_and_faults() -> None:
    text = run("demo", "--plain").out
    assert text.count("\nRules in force\n") == 18
    assert "\nThree Gates, Women\n" in text
    assert "\nFaults\n" in text
    assert "   1  012  Zoë Marchwood                  6:02" in text


def test_a_demo_in_a_folder_stays_there_and_carries_on(tmp_path: Path) -> None:
    folder = tmp_path / "try"
    first = run("demo", "--plain", "--folder", folder)
    assert len(list((folder / "log").glob("*.sqlite"))) == 18
    assert run("demo", "--plain", "--folder", folder) == first
    assert run("demo", "--plain").out == first.out


def test_a_fresh_demo_goes_into_a_new_folder(tmp_path: Path) -> None:
    folder = tmp_path / "try"
    for _ in range(3):
        assert run("demo", "--plain", "--fresh", "--folder", folder).code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["try", "try-2", "try-3"]


def test_a_folder_that_holds_something_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    done = run("demo", "--plain", "--folder", tmp_path)
    assert (done.code, done.out) == (2, "")
    assert "is no demo event" in done.err
    assert [p.name for p in tmp_path.iterdir()] == ["mine.txt"]


def test_your_own_lane_is_left_for_you(tmp_path: Path) -> None:
    folder = tmp_path / "try"
    prepare(folder, keep_free=YOURS)
    done = run("log", "show", folder, "--format", "csv")
    lanes = {tuple(line.split(",")[2:4]) for line in done.out.splitlines()[1:]} - {
        (heat, "") for heat in "123"
    }
    assert len(lanes) == 17
    assert ("1", "1") not in lanes


def test_the_newest_demo_is_the_highest_number_that_holds_an_event(
    tmp_path: Path,
) -> None:
    base = tmp_path / "judgekit-demo"
    assert newest(base) == base
    names = ("judgekit-demo", "judgekit-demo-2", "judgekit-demo-10", "judgekit-demo-x")
    for name in names:
        (tmp_path / name).mkdir()
        (tmp_path / name / "event.toml").touch()
    (tmp_path / "judgekit-demo-11").mkdir()
    assert newest(base) == tmp_path / "judgekit-demo-10"


def test_a_fresh_demo_is_always_the_newest(tmp_path: Path) -> None:
    folder = tmp_path / "try"
    (tmp_path / "try-4").mkdir()
    assert run("demo", "--plain", "--fresh", "--folder", folder).code == 0
    assert newest(folder) == tmp_path / "try-5"
