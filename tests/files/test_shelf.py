"""Of the cards that come with judgekit those are read that are asked for."""

from __future__ import annotations

import pickle
import shutil
from typing import TYPE_CHECKING

import pytest

from judgekit.core.errors import InputError
from judgekit.files import library, toml
from judgekit.files.folder import check_paths, load_event
from judgekit.files.library import load_library, open_library
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.toml import Document


@pytest.fixture
def standards(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The cards that come with judgekit, in a folder that a test may change."""
    folder = tmp_path / "standards"
    shutil.copytree(library.standards_folder(), folder)
    monkeypatch.setattr(library, "standards_folder", lambda: folder)
    return folder


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the files that are read."""
    names: list[str] = []
    whole = toml.read

    def noted(path: Path, shown: str) -> Document:
        names.append(path.stem)
        return whole(path, shown)

    monkeypatch.setattr(toml, "read", noted)
    return names


def test_an_event_reads_the_cards_of_its_workouts(
    tmp_path: Path, read: list[str]
) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    used = {card.id for row in folder.heats for card in folder.plan_of(row, ()).cards}
    assert set(read) & set(folder.cards) == used
    assert len(folder.cards) == len(load_library()) > 2 * len(used)


def test_any_other_card_can_be_asked_for_later(tmp_path: Path, read: list[str]) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    there = pickle.loads(pickle.dumps(folder))  # noqa: S301 - our own bytes
    read.clear()
    for cards in (folder.cards, there.cards):
        assert "row" in cards
        assert "rower" not in cards
        assert cards.get("rower") is None
        assert list(cards) == sorted(load_library())
        read.clear()
        assert cards["row"] == load_library()["row"].card
        assert cards["row"] is cards["row"]
        assert read.count("row") == 2


def test_a_wrong_card_that_is_not_needed_holds_up_no_heat_but_is_told(
    tmp_path: Path, standards: Path
) -> None:
    event = write_event(tmp_path / "event")
    (standards / "row.toml").write_text("id = 3\n", encoding="utf-8")
    folder = load_event(event)
    with pytest.raises(InputError, match=r"row\.toml:1"):
        folder.cards["row"]
    told = [problem.file for problem in check_paths([event])]
    assert str(standards / "row.toml") in told


def test_a_wrong_card_that_is_needed_is_told(tmp_path: Path, standards: Path) -> None:
    (standards / "front-squat.toml").write_text("id = 3\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"front-squat\.toml:1"):
        load_event(write_event(tmp_path / "event"))


def test_no_library_is_told(standards: Path) -> None:
    shutil.rmtree(standards)
    with pytest.raises(InputError, match="the cards cannot be read"):
        open_library()
