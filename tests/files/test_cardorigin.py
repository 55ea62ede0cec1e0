"""An event's differences from the library's cards, each with the line that makes it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from judgekit.core.card import in_force
from judgekit.files.cardorigin import differences
from judgekit.files.folder import load_event

DEMO = Path(__file__).resolve().parents[2] / "demo"

OVERLAY = """\
# our wall is lower
[seconds]
floor = "1 s"

[[criterion]]
id = "target"
height = { men = "3 m", women = "9 ft" }

[[fault]]
id = "low-catch"
weight = "void"
breaks = "control"

[stop]
signs = ["Ball on the face"]
"""


@pytest.fixture
def event(tmp_path: Path) -> Path:
    folder = tmp_path / "event"
    shutil.copytree(DEMO, folder)
    (folder / "cards").mkdir()
    (folder / "cards" / "wall-ball-shot.toml").write_text(OVERLAY)
    return folder


def found(folder: Path, card_id: str) -> list[tuple[str, str, str]]:
    """What differs, how it is now, and where that is written."""
    read = load_event(folder, shown="event")
    chosen = {
        name.removeprefix(f"{card_id}."): value
        for name, value in read.event.card_settings
        if name.startswith(f"{card_id}.")
    }
    card = in_force(read.cards[card_id], chosen)
    return [
        (change.what, change.after, where)
        for change, where in differences(card, folder, "event")
    ]


def line_of(folder: Path, text: str) -> int:
    lines = (folder / "event.toml").read_text(encoding="utf-8").split("\n")
    return next(at for at, line in enumerate(lines, 1) if line.startswith(text))


def test_each_difference_names_the_line_that_makes_it(event: Path) -> None:
    line = line_of(event, '"wall-ball-shot.line"')
    assert found(event, "wall-ball-shot") == [
        ("stop signs", "Ball on the face", "event/cards/wall-ball-shot.toml:14"),
        ("seconds floor", "1 s", "event/cards/wall-ball-shot.toml:2"),
        (
            "criterion target, says",
            "Whole ball above the line",
            f"event/event.toml:{line}, wall-ball-shot.line",
        ),
        (
            "criterion target, height for men",
            "3 m ≈ 9.8 ft",
            "event/cards/wall-ball-shot.toml:7",
        ),
        ("fault low-catch, weight", "no rep", "event/cards/wall-ball-shot.toml:11"),
        ("fault low-catch, breaks", "control", "event/cards/wall-ball-shot.toml:12"),
    ]


def test_a_card_that_the_event_leaves_alone_differs_in_nothing(event: Path) -> None:
    assert found(event, "front-squat") == []


def test_a_card_of_the_events_own_has_nothing_to_differ_from(event: Path) -> None:
    library = DEMO.parent / "standards" / "air-squat.toml"
    own = library.read_text().replace("air-squat", "harbour-squat")
    (event / "cards" / "harbour-squat.toml").write_text(own)
    assert found(event, "harbour-squat") == []
