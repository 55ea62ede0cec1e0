from __future__ import annotations

import hashlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.errors import BookError
from judgekit.store.chain import code_of, first_link, link, parse_code, piece


def test_each_link_is_the_hash_of_the_one_before_and_the_bytes() -> None:
    first = first_link(b"head")
    assert first == hashlib.sha256(b"head").digest()
    assert link(first, b"one") == hashlib.sha256(first + b"one").digest()


def test_a_piece_is_a_number_and_ten_digits() -> None:
    assert piece(57, "0a1b2c3d4e5f6071") == "57.0a1b2c3d4e"


def test_a_code_typed_from_paper_may_have_blanks_and_capitals() -> None:
    assert parse_code(" 57.0A1B2C3D4E + 3.ffffffffff\n") == (
        (57, "0a1b2c3d4e"),
        (3, "ffffffffff"),
    )


@settings(deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 999_999), st.binary(min_size=32, max_size=32)),
        min_size=1,
        max_size=4,
    )
)
def test_a_printed_code_reads_back(books: list[tuple[int, bytes]]) -> None:
    code = code_of([piece(number, data.hex()) for number, data in books])
    assert parse_code(code) == tuple((n, data.hex()[:10]) for n, data in books)


@pytest.mark.parametrize(
    "code",
    [
        "",
        "57",
        "57.0a1b",
        "57.0a1b2c3d4g",
        "57.0a1b2c3d4e+",
        "-1.0a1b2c3d4e",
        "٣.0a1b2c3d4e",
    ],
)
def test_anything_else_is_refused_with_an_example(code: str) -> None:
    with pytest.raises(BookError, match=r"one looks like 57\.0a1b2c3d4e"):
        parse_code(code)
