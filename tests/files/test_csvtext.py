from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.files.csvtext import csv_text, from_csv_text


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1",
        "-5",
        "@x",
        "\t=1",
        "\r=1",
        "\uff1d1",
        "\uff0b1",
        "\uff0d1",
        "\uff20x",
        " =1",
        "\u200b=1",
        "'=1",
        "''=1",
    ],
)
def test_no_text_cell_can_be_run(text: str) -> None:
    assert csv_text(text) == f"'{text}"


def test_plain_text_is_written_as_it_is() -> None:
    plain = ["", "Ana", "O'Neil", "'quoted'", "a=1", "1-2", "\u02bbAna"]
    assert [csv_text(text) for text in plain] == plain


@given(st.text(st.sampled_from("'=+-@\t\r\n ab\uff1d\u200b")) | st.text())
def test_guarding_a_text_is_undone_by_reading_it(text: str) -> None:
    assert from_csv_text(csv_text(text)) == text
