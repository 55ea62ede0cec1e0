"""Block letters are of one height, digits of one width, and fit where they are put."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from judgekit.ui.glyphs import GLYPHS, ROWS, SCALES, drawn, fitted, stacked, width

LETTERS = st.text(st.sampled_from(sorted(GLYPHS)), min_size=1, max_size=12)


def test_every_sign_is_as_high_as_the_others_and_straight() -> None:
    assert {len(rows) for rows in GLYPHS.values()} == {ROWS}
    assert all(len({len(row) for row in rows}) == 1 for rows in GLYPHS.values())


def test_all_digits_are_equally_wide() -> None:
    assert {len(GLYPHS[digit][0]) for digit in "0123456789"} == {3}


def test_no_two_signs_look_the_same() -> None:
    assert len(set(GLYPHS.values())) == len(GLYPHS)


@given(LETTERS, st.sampled_from(SCALES))
def test_drawn_text_is_as_large_as_said(text: str, scale: tuple[int, int]) -> None:
    lines = drawn(text, scale)
    assert {len(line) for line in lines} == {width(text, scale)}
    assert len(lines) == ROWS * scale[1]


@given(LETTERS, st.integers(1, 120), st.integers(1, 40))
def test_fitted_text_never_leaves_its_place(text: str, columns: int, rows: int) -> None:
    lines = fitted(text, columns, rows)
    assert lines == [text] or (
        len(lines) <= rows and max(len(line) for line in lines) <= columns
    )


def test_a_count_of_two_digits_is_ten_rows_high_on_a_usual_screen() -> None:
    assert fitted("07", 40, 11) == drawn("07", (4, 2))


def test_a_call_with_letters_of_its_own_stays_plain() -> None:
    assert stacked(("NO REP", "ÜBER"), 30, 14) == [
        *drawn("NO REP", (1, 1)),
        "",
        "ÜBER",
    ]
