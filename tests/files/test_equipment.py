"""[plates] and [shared] of event.toml: what lies at each bar, and what lanes share."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.errors import InputError
from judgekit.core.plates import Disc, Plates
from judgekit.core.quantity import parse
from judgekit.files.eventfile import read_event
from judgekit.files.library import load_library

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.card import Card
    from judgekit.core.people import Event

LEAST = """\
name = "Pier Day"
date = 2027-05-08
[[division]]
id = "women"
name = "Women"
"""


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return {name: file.card for name, file in load_library().items()}


def read(folder: Path, text: str, cards: dict[str, Card] | None) -> Event:
    path = folder / "event.toml"
    path.write_text(LEAST + text, encoding="utf-8")
    return read_event(path, "event.toml", cards=cards, actions=None)


def wrong(folder: Path, text: str, cards: dict[str, Card] | None = None) -> list[str]:
    with pytest.raises(InputError) as error:
        read(folder, text, cards)
    return list(map(str, error.value.problems))


def test_plates_are_collars_pairs_and_whether_they_are_coloured(tmp_path: Path) -> None:
    text = '[plates]\ncollar = "2.5 kg"\ncoloured = true\ndiscs = { "20 kg" = 2 }\n'
    assert read(tmp_path, text, None).plates == Plates(
        collar=parse("2.5 kg"),
        discs=(Disc(mass=parse("20 kg"), pairs=2),),
        coloured=True,
    )
    assert read(tmp_path, "", None).plates == Plates()


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            'coloured = "yes"',
            'plates: "coloured" is text; write true or false',
        ),
        ('discs = { "20 m" = 2 }', "is a length; a mass is needed"),
        ('discs = { "0 kg" = 2 }', "is no disc; it weighs above 0 kg"),
        ('discs = { "20 kg" = true }', "is true or false; write how many pairs"),
        ('discs = { "20 kg" = 21 }', "is 21 pairs; write a number from 0 to 20"),
    ],
)
def test_what_is_wrong_with_plates_is_named(
    tmp_path: Path, text: str, message: str
) -> None:
    [told] = wrong(tmp_path, f"[plates]\n{text}\n")
    assert message in told


def test_a_piece_that_lanes_share_goes_by_its_name_on_a_card(
    tmp_path: Path, cards: dict[str, Card]
) -> None:
    text = '[shared]\n"rowing machine" = 2\nbarbell = 3\n'
    event = read(tmp_path, text, cards)
    assert event.shared == (("rowing machine", 2), ("barbell", 3))
    assert read(tmp_path, "", cards).shared == ()


def test_what_is_wrong_with_shared_pieces_is_named(
    tmp_path: Path, cards: dict[str, Card]
) -> None:
    text = '[shared]\n"rowing machin" = 2\nbox = 1\nsled = true\n"climbing wall" = 2\n'
    few = "write how many lanes share one, from 2 to 20"
    assert wrong(tmp_path, text, cards) == [
        (
            'event.toml:7: shared: "rowing machin" is no equipment of any card; '
            'did you mean "rowing machine"?'
        ),
        f'event.toml:8: shared: "box" is 1; {few}',
        f'event.toml:9: shared: "sled" is true or false; {few}',
        (
            'event.toml:10: shared: "climbing wall" is no equipment of any card; '
            'did you mean "climbing rope"?'
        ),
    ]
    path = tmp_path / "event.toml"
    path.write_text(f"shared = 3\n{LEAST}", encoding="utf-8")
    with pytest.raises(InputError) as error:
        read_event(path, "event.toml", cards=cards, actions=None)
    assert str(error.value) == (
        'event.toml:1: "shared" is a whole number; write [shared] above its keys'
    )


def test_without_cards_a_shared_name_is_taken_as_it_is(tmp_path: Path) -> None:
    assert read(tmp_path, "[shared]\nhoop = 2\n", None).shared == (("hoop", 2),)
