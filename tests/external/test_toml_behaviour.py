"""TOML 1.0 as others have published it: what is valid, what is not, what it means.

Source of every case: toml-lang/toml-test, list for 1.0.0.
"""

from __future__ import annotations

from datetime import date, time

import pytest

from judgekit.core.errors import InputError
from judgekit.files.toml import loads


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("a = 1_000", 1000),  # toml-lang/toml-test, list for 1.0.0
        ("a = 0xDEADBEEF", 3735928559),  # toml-lang/toml-test, list for 1.0.0
        ("a = 3e2", 300.0),  # toml-lang/toml-test, list for 1.0.0
        ("a = 1987-07-05", date(1987, 7, 5)),  # toml-lang/toml-test, list for 1.0.0
        ("a = 10:32:00.555", time(10, 32, 0, 555000)),  # toml-lang/toml-test, as above
        ("\ufeffa = 1", 1),  # toml-lang/toml-test, as above: a byte-order mark
    ],
)
def test_what_is_valid_means_what_the_list_says(text: str, value: object) -> None:
    assert loads(text.encode(), "f.toml").table == {"a": value}


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("\na = 01", 2),  # toml-lang/toml-test, list for 1.0.0
        ("\na = 1__23", 2),  # toml-lang/toml-test, list for 1.0.0
        ("\na = 1.", 2),  # toml-lang/toml-test, list for 1.0.0
        ("\na = True", 2),  # toml-lang/toml-test, list for 1.0.0
        ("\na = [1,,2]", 2),  # toml-lang/toml-test, list for 1.0.0
        ("a = 1\nb = 2\na = 3", 3),  # toml-lang/toml-test: a duplicate key
        ("\nabc = { abc = 123, }", 2),  # toml-lang/toml-test, list for 1.0.0
        ("\nt = 17:45", 2),  # toml-lang/toml-test, list for 1.0.0
        ("\nt = 24:00:00", 2),  # toml-lang/toml-test, list for 1.0.0
        ("\nd = 1988-02-30", 2),  # toml-lang/toml-test, list for 1.0.0
        ("\na = 1 b = 2", 2),  # toml-lang/toml-test, list for 1.0.0
        ("\n[table", 2),  # toml-lang/toml-test: an unclosed table
    ],
)
def test_what_is_invalid_is_refused_on_its_line(text: str, line: int) -> None:
    with pytest.raises(InputError) as caught:
        loads(text.encode(), "f.toml")
    assert [problem.line for problem in caught.value.problems] == [line]
