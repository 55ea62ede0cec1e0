from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.files import library
from judgekit.files.library import CardFile, load_library, with_overlays
from tests.files.samples import CARD, ROW_CARD, changed, problems_of, put

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.card import Card


@pytest.fixture
def standards(tmp_path: Path) -> dict[str, CardFile]:
    put(tmp_path / "standards", "crate-throw.toml", CARD)
    put(tmp_path / "standards", "bench-row.toml", ROW_CARD)
    return load_library(tmp_path / "standards")


def test_the_cards_that_come_with_judgekit_are_all_right() -> None:
    shipped = load_library()
    names = [path.stem for path in library.standards_folder().glob("*.toml")]
    assert list(shipped) == sorted(names)
    assert len(shipped) >= 17


def test_installed_cards_come_before_those_of_a_checkout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "judgekit"
    monkeypatch.setattr(library, "_PACKAGE", package)
    beside = library.standards_folder()
    (package / "data" / "standards").mkdir(parents=True)
    inside = library.standards_folder()
    assert (beside, inside) == (
        tmp_path / "standards",
        package / "data" / "standards",
    )


def test_a_library_holds_each_card_its_raw_table_and_its_file(
    standards: dict[str, CardFile], tmp_path: Path
) -> None:
    assert list(standards) == ["bench-row", "crate-throw"]
    row = standards["bench-row"]
    assert (row.card.name, row.raw["revision"]) == ("Bench row", 1)
    assert row.shown == f"{tmp_path}/standards/bench-row.toml"


def test_the_problems_of_all_files_are_told_together(tmp_path: Path) -> None:
    put(tmp_path, "crate-throw.toml", changed(CARD, ("revision = 2", "revision = 0")))
    put(tmp_path, "bench-row.toml", "name = ")
    put(tmp_path, "other.toml", ROW_CARD)
    put(tmp_path, "notes.txt", "not a card")
    found = problems_of(lambda: load_library(tmp_path))
    assert [problem.removeprefix(f"{tmp_path}/") for problem in found] == [
        "bench-row.toml:1: a key has no value; write one after the = sign",
        'crate-throw.toml:3: "revision" is 0; it must be at least 1',
        (
            'other.toml:1: "id" is "bench-row", but the file is called "other"; '
            "make the two the same"
        ),
    ]


def test_a_substitute_that_is_no_card_is_named_with_the_nearest(
    tmp_path: Path,
) -> None:
    put(tmp_path, "bench-row.toml", ROW_CARD)
    text = changed(CARD, ('card = "bench-row"', 'card = "bench-rwo"'))
    put(tmp_path, "crate-throw.toml", text)
    assert problems_of(lambda: load_library(tmp_path)) == [
        (
            f'{tmp_path}/crate-throw.toml:73: substitute 1: "card" is "bench-rwo", and '
            'there is no such card; did you mean "bench-row"?'
        )
    ]


def test_a_broken_card_is_still_there_to_stand_in(tmp_path: Path) -> None:
    put(tmp_path, "bench-row.toml", "name = ")
    put(tmp_path, "crate-throw.toml", CARD)
    assert len(problems_of(lambda: load_library(tmp_path))) == 1


def test_a_folder_that_is_not_there_is_a_problem(tmp_path: Path) -> None:
    gone = tmp_path / "gone"
    assert problems_of(lambda: load_library(gone)) == [
        f"{gone}:1: the cards cannot be read: No such file or directory"
    ]


def test_an_event_without_cards_has_those_of_the_library(
    standards: dict[str, CardFile], tmp_path: Path
) -> None:
    found = with_overlays(standards, tmp_path / "none", "cards")
    assert found == {card_id: file.card for card_id, file in standards.items()}


def test_an_event_changes_one_card_and_adds_another(
    standards: dict[str, CardFile], tmp_path: Path
) -> None:
    cards = tmp_path / "cards"
    put(cards, "crate-throw.toml", 'name = "Crate toss"\nrevision = 7\n')
    put(cards, "apple-row.toml", changed(ROW_CARD, ("bench-row", "apple-row")))
    found = with_overlays(standards, cards, "cards")

    def told(card: Card) -> tuple[str, int]:
        return card.name, card.revision

    assert {card_id: told(card) for card_id, card in found.items()} == {
        "apple-row": ("Bench row", 1),
        "bench-row": ("Bench row", 1),
        "crate-throw": ("Crate toss", 7),
    }
    assert found["crate-throw"].faults == standards["crate-throw"].card.faults


def test_a_new_card_must_be_whole_and_an_overlay_right(
    standards: dict[str, CardFile], tmp_path: Path
) -> None:
    cards = tmp_path / "cards"
    put(cards, "crate-throw.toml", '\nends = "botom"\n[[substitute]]\ncard = "no"\n')
    put(cards, "new.toml", changed(ROW_CARD, ("bench-row", "new"), ("view", "veiw")))
    assert problems_of(lambda: with_overlays(standards, cards, "cards")) == [
        (
            'cards/crate-throw.toml:2: "ends" is "botom"; one of "top", '
            '"bottom", "line", '
            '"landing", "monitor"'
        ),
        'cards/crate-throw.toml:3: substitute 1: "why" is missing; add it',
        'cards/new.toml:1: "view" is missing; add it',
        'cards/new.toml:6: "veiw" is not a known key here; did you mean "view"?',
    ]


def test_an_overlay_s_substitute_must_be_a_card(
    standards: dict[str, CardFile], tmp_path: Path
) -> None:
    cards = tmp_path / "cards"
    put(cards, "bench-row.toml", '\n[[substitute]]\ncard = "crate"\nwhy = "room"\n')
    assert problems_of(lambda: with_overlays(standards, cards, "cards")) == [
        (
            'cards/bench-row.toml:3: substitute 1: "card" is "crate", and there is no '
            'such card; did you mean "crate-throw"?'
        )
    ]


def test_a_change_of_a_card_that_is_not_there_names_the_nearest_and_no_more(
    standards: dict[str, CardFile], tmp_path: Path
) -> None:
    cards = tmp_path / "cards"
    put(cards, "cratethrow.toml", '[[fault]]\nid = "low"\nkey = "r"\n')
    assert problems_of(lambda: with_overlays(standards, cards, "cards")) == [
        (
            'cards/cratethrow.toml:1: there is no card "cratethrow" to change; '
            'did you mean "crate-throw"? Call the file crate-throw.toml'
        )
    ]
