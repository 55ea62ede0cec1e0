"""Names that are alike, and their order."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.likenames import name_order, plain


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Émile Roux", "emile  ROUX"),
        ("Émile", unicodedata.normalize("NFD", "émile")),
        ("Łukasz Sørby", "lukasz sorby"),
        ("Groß", "GROSS"),
        ("İpek", "ipek"),
        ("\uff2dara", "mara"),
        ("Алёна", "алена"),
    ],
)
def test_alike_are_names_that_differ_by_accents_case_and_spaces(
    one: str, other: str
) -> None:
    assert plain(one) == plain(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [("か", "が"), ("कि", "क"), ("김", "기"), ("Ana", "Anna"), ("A B", "AB")],
)
def test_what_is_another_letter_in_its_script_stays_one(one: str, other: str) -> None:
    assert plain(one) != plain(other)


def test_an_accented_letter_stands_with_its_plain_one() -> None:
    names = ["Zoe", "Émile", "Eva", "emil", "Ana", "Emile"]
    ordered = ["Ana", "emil", "Emile", "Émile", "Eva", "Zoe"]
    assert sorted(names, key=name_order) == ordered


@given(st.text(max_size=20))
def test_a_plain_name_is_plain_already(name: str) -> None:
    assert plain(plain(name)) == plain(name)
