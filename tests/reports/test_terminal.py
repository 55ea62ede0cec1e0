"""Tables in a terminal's width: no line is wider, and nothing is lost."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import get_args

from hypothesis import given
from hypothesis import strategies as st

from judgekit.reports.layout import Align, Cell, Column, Table, as_table, cell_width
from judgekit.reports.terminal import broken, fitted_lines, fitted_table

COLUMNS = (
    Column(name="Movement", key="movement"),
    Column(name="Watched", key="watched"),
    Column(name="Fault", key="fault"),
    Column(name="No-reps of all", key="no_reps", align="right"),
)
FAULTS = Table(
    title="Faults",
    columns=COLUMNS,
    rows=(
        ("Front squat", "judged", "shallow", 12),
        ("Front squat", "judged", "not-tall", 3),
        ("Chest-to-bar pull-up", "judged", "chin-low", 114),
    ),
    notes=("No-reps out of all attempts.",),
)


def test_a_table_that_fits_is_as_it_is() -> None:
    assert fitted_table(FAULTS, None) == as_table(FAULTS)
    assert fitted_table(FAULTS, 60) == as_table(FAULTS)


def test_what_is_the_same_in_each_row_is_said_once() -> None:
    assert fitted_lines(FAULTS, 50) == [
        "In each row: Watched judged.",
        "Movement              Fault     No-reps of all",
        "--------------------  --------  --------------",
        "Front squat           shallow               12",
        "Front squat           not-tall               3",
        "Chest-to-bar pull-up  chin-low             114",
    ]


def test_a_column_of_nothing_is_said_to_be_empty_in_plain_words() -> None:
    table = replace(FAULTS, rows=tuple((a, None, c, d) for a, _, c, d in FAULTS.rows))
    said = fitted_lines(table, 50)[0]
    assert said == 'No row has anything under "Watched".'


def test_a_long_text_goes_on_below_itself_and_a_number_never_does() -> None:
    assert fitted_lines(FAULTS, 32) == [
        "In each row: Watched judged.",
        "Movement       Fault     No-reps",
        "                          of all",
        "-------------  --------  -------",
        "Front squat    shallow        12",
        "Front squat    not-tall        3",
        "Chest-to-bar   chin-low      114",
        "pull-up",
    ]


def test_a_name_goes_on_below_itself_before_a_word_of_it_is_broken() -> None:
    names = Table(
        title="Faults",
        columns=(COLUMNS[0], COLUMNS[2], COLUMNS[3]),
        rows=(
            ("Alexandra Winterbourne", "KNEE DOWN", 12),
            ("Tom Sarrazin", "TARGET TOO LOW FOR IT", 3),
        ),
    )
    lines = fitted_lines(names, 35)
    assert lines[3:] == [
        "Alexandra     KNEE DOWN          12",
        "Winterbourne",
        "Tom Sarrazin  TARGET TOO          3",
        "              LOW FOR IT",
    ]


def test_where_there_is_less_room_the_first_column_heads_its_rows() -> None:
    assert fitted_lines(FAULTS, 28) == [
        "In each row: Watched judged.",
        "Movement",
        "  Fault     No-reps",
        "             of all",
        "  --------  -------",
        "Front squat",
        "  shallow        12",
        "  not-tall        3",
        "Chest-to-bar pull-up",
        "  chin-low      114",
    ]


def test_at_last_each_row_is_told_as_text() -> None:
    one = Table(title="", columns=COLUMNS[2:], rows=(("shallow", 12),))
    assert fitted_lines(one, 8) == ["Fault", "shallow;", "No-reps", "of all", "12"]


def test_a_heading_above_its_rows_breaks_too() -> None:
    names = ("Lane-and-bib", "N", "M")
    columns = tuple(Column(name=name, key=name) for name in names)
    assert fitted_lines(Table(title="", columns=columns, rows=()), 9) == [
        "Lane-and-",
        "bib",
        "  N  M",
        "  -  -",
    ]


def test_the_title_and_notes_break_too() -> None:
    lines = fitted_table(FAULTS, 20).splitlines()
    assert lines[0] == "Faults"
    assert lines[-2:] == ["No-reps out of all", "attempts."]


def test_a_word_longer_than_its_line_breaks_after_a_sign() -> None:
    assert broken("of load-front-squat", 10) == ["of", "load-", "front-", "squat"]
    assert broken("abcdefghij", 4) == ["abcd", "efgh", "ij"]
    assert broken("李娜李娜", 3) == ["李", "娜", "李", "娜"]
    assert broken("", 4) == [""]


texts = st.text(st.characters(categories=["Lu", "Ll", "Nd", "Pd"]), max_size=30)
cells = st.none() | st.integers(-(10**6), 10**6) | texts


@st.composite
def tables(draw: st.DrawFn) -> Table:
    many = draw(st.integers(1, 6))
    columns = tuple(
        Column(
            name=draw(texts) or "N",
            key=str(place),
            align=draw(st.sampled_from(get_args(Align))),
        )
        for place in range(many)
    )
    row: st.SearchStrategy[tuple[Cell, ...]] = st.tuples(*[cells] * many)
    rows = tuple(draw(st.lists(row, max_size=5)))
    return Table(title="t", columns=columns, rows=rows)


@given(tables(), st.integers(2, 90))
def test_no_line_is_wider_and_no_letter_is_lost(table: Table, width: int) -> None:
    lines = fitted_lines(table, width)
    assert max(map(cell_width, lines)) <= width
    shown = Counter("".join(lines))
    # What rows have in common, or follows itself as a head, is said once.
    for row in table.rows:
        told = "".join("" if cell is None else str(cell) for cell in row)
        wanted = Counter(told)
        del wanted[" "]
        assert all(shown[sign] >= many for sign, many in wanted.items())
