from __future__ import annotations

import csv
import io
import os
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.errors import InputError, Problem
from judgekit.core.people import Athlete, Division, Event, HeatLane, Judge
from judgekit.core.quantity import parse
from judgekit.files.csvtext import csv_text
from judgekit.files.tables import (
    Entrants,
    bib_order,
    entrants_in,
    read_heats,
    read_people,
)

if TYPE_CHECKING:
    from collections.abc import Collection
    from pathlib import Path

OPEN = Division(id="open", name="Open", standard="men")
WOMEN = Division(id="women", name="Women", standard="women")
EVENT = Event(
    name="Pier Day",
    date="2027-05-08",
    divisions=(OPEN, WOMEN),
    judges=(Judge(id="kb", name="Kim"), Judge(id="lo", name="Lou")),
)


@pytest.fixture(name="folder")
def _folder(tmp_path: Path) -> Path:
    return tmp_path


def people(folder: Path, data: str | bytes) -> tuple[Athlete, ...]:
    return people_and_advice(folder, data)[0]


def people_and_advice(
    folder: Path, data: str | bytes
) -> tuple[tuple[Athlete, ...], list[str]]:
    path = folder / "people.csv"
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    athletes, advice = read_people(path, "people.csv", (OPEN, WOMEN))
    assert all(piece.advice for piece in advice)
    return athletes, list(map(str, advice))


def people_wrong(folder: Path, data: str | bytes) -> list[str]:
    with pytest.raises(InputError) as error:
        people(folder, data)
    return list(map(str, error.value.problems))


def heats(
    folder: Path,
    text: str,
    *,
    event: Event | None = EVENT,
    bibs: Collection[str] | None = ("7", "8", "9"),
) -> tuple[HeatLane, ...]:
    path = folder / "heats.csv"
    path.write_text(text, encoding="utf-8", newline="")
    lanes, advice = read_heats(
        path,
        "heats.csv",
        event=event,
        entrants=None if bibs is None else Entrants(bibs=bibs),
        workouts=("pier", "quay"),
    )
    assert advice == ()
    return lanes


def heats_wrong(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as error:
        heats(folder, text)
    return list(map(str, error.value.problems))


def test_every_column_of_people_is_read(folder: Path) -> None:
    assert people(
        folder,
        "Bib,NAME, Division ,id,reach,Body mass,team,show,private\n"
        "007,Zoé Brandt,women,p-1,2.31 m,62.5 kg,Pier,Initials,left knee\n"
        "8,Li An,open,,7 ft 7 in,,,,\n",
    ) == (
        Athlete(
            bib="007",
            name="Zoé Brandt",
            division="women",
            person="p-1",
            reach=parse("2.31 m"),
            body_mass=parse("62.5 kg"),
            team="Pier",
            show="initials",
            private="left knee",
        ),
        Athlete(bib="8", name="Li An", division="open", reach=parse("7 ft 7 in")),
    )


TWO = (
    Athlete(bib="007", name="Zoé", division="open"),
    Athlete(bib="008", name="Li; An", division="open"),
)


@pytest.mark.parametrize(
    "data",
    [
        (
            b"\xef\xbb\xbfbib;name;division\r\n"
            b'007;Zo\xc3\xa9;open\r\n008;"Li; An";open\r\n'
        ),
        b"bib,name,division\n007,Zo\xc3\xa9,open\n008,Li; An,open\n",
        b'bib,name,division\r007,"Zo\xc3\xa9",open\r008,Li; An,open',
        b"bib\tname\tdivision\n\n007\tZo\xc3\xa9\topen\n008\tLi; An\topen\n",
        b'bib, name, division,,\n"007", "Zo\xc3\xa9", open,,\n008, "Li; An", open,,\n',
        b"bib,name,division\n007,Zoe\xcc\x81\xc2\xa0,open\n008,Li;  An ,open\n",
    ],
    ids=["mark-and-semicolons", "commas", "cr", "tabs", "spaces", "decomposed"],
)
def test_mark_delimiter_line_ends_and_spelling_of_letters_change_nothing(
    folder: Path, data: bytes
) -> None:
    assert people_and_advice(folder, data) == (TWO, [])


def test_another_encoding_is_refused_naming_the_first_row_and_how_many(
    folder: Path,
) -> None:
    data = "bib,name,division\n1,Al,open\n2,Zoé,open\n3,Bo,open\n4,Zoé,open\n"
    assert people_wrong(folder, data.encode("latin-1")) == [
        ('people.csv:3: not in UTF-8: row 3, row 5; save the file as "CSV UTF-8"')
    ]
    assert people_wrong(folder, data.encode("utf-16")) == [
        'people.csv:1: the file is in UTF-16; save it as "CSV UTF-8"'
    ]


TEAMS = Entrants(bibs=("7",), teams=("Pier", "Quay"), for_teams=("relay",))


def team_lane(folder: Path, workout: str, bib: str) -> list[str]:
    path = folder / "heats.csv"
    path.write_text(f"heat,start,workout,lane,bib,judge\n1,9:30,{workout},1,{bib},kb\n")
    try:
        read_heats(
            path,
            "heats.csv",
            event=EVENT,
            entrants=TEAMS,
            workouts=("pier", "relay"),
        )
    except InputError as error:
        return list(map(str, error.problems))
    return []


def test_a_team_stands_in_the_lane_of_a_workout_for_teams(folder: Path) -> None:
    assert team_lane(folder, "relay", "Quay") == []
    assert team_lane(folder, "relay", "7") == [
        'heats.csv:2: there is no team "7"; use one of Pier, Quay'
    ]
    assert team_lane(folder, "pier", "Quay") == [
        'heats.csv:2: there is no bib "Quay"; use one of 7'
    ]


def test_a_team_is_not_called_like_a_bib(folder: Path) -> None:
    rows = "bib,name,division,team\n7,Zoé,open,8\n8,Li,open,Pier\n9,Bo,open,8\n"
    assert people_wrong(folder, rows) == [
        'people.csv:2: the team "8" is called like a bib; give it another name'
    ]
    long = f"bib,name,division,team\n7,Zoé,open,{'x' * 21}\n"
    assert people_wrong(folder, long) == [
        "people.csv:2: the team is longer than 20 letters; shorten it"
    ]


def test_the_teams_of_people_whose_other_cells_are_wrong(folder: Path) -> None:
    path = folder / "people.csv"
    path.write_text("bib,name,division,team\n7,,nowhere,Pier\n8,Li,open,\n")
    found = entrants_in(path, ("relay",))
    assert found == Entrants(bibs=("7", "8"), teams=("Pier",), for_teams=("relay",))


def test_bibs_stay_as_typed_and_sort_by_their_numbers(folder: Path) -> None:
    athletes = people(
        folder, 'bib,name,division\n10,A,open\n"007",B,open\n2,C,open\nA2,D,open\n'
    )
    assert sorted((a.bib for a in athletes), key=bib_order) == ["2", "007", "10", "A2"]


def test_bibs_that_sound_alike_are_two_athletes_and_both_rows_are_named(
    folder: Path,
) -> None:
    athletes, advice = people_and_advice(
        folder, "bib,name,division\n7,A,open\n8,B,open\n007,C,open\n"
    )
    assert [a.bib for a in athletes] == ["7", "8", "007"]
    assert advice == [
        (
            'people.csv:4: bibs "7" (row 2) and "007" (row 4) are two athletes; '
            "change one if that is not meant"
        )
    ]


def test_a_bib_twice_is_refused_naming_both_rows_and_a_name_twice_is_not(
    folder: Path,
) -> None:
    assert people_wrong(
        folder,
        "bib,name,division\n"
        "12,A,open\n20,Ana Silva,open\n21,Ana Silva,open\n12,B,open\n",
    ) == ['people.csv:5: rows 2 and 5 both have bib "12"; give each its own']


def test_a_bib_is_never_cut_into_another(folder: Path) -> None:
    wrong = people_wrong(folder, f"bib,name,division\n{'1' * 21},A,open\n")
    assert wrong == [
        "people.csv:2: the bib is longer than 20 letters; shorten it",
    ]


def test_all_problems_of_all_rows_come_at_once(folder: Path) -> None:
    assert people_wrong(
        folder,
        "bib,name,division,reach,body-mass,show,shoe\n"
        ",A,opn,,,,42\n"
        "2,,open,2.31,70 kg,nick,\n"
        "\n"
        '3,"C ""Sea""",women,231 m,2 m,,\n'
        "4,D,women,1,2,3,4,5\n"
        '5,"E" e,women\n'
        '6,"F,women\n',
    ) == [
        "people.csv:1: column shoe is not used",
        'people.csv:2: there is no division "opn"; the nearest is "open"',
        "people.csv:2: bib is empty; fill it in",
        "people.csv:3: name is empty; fill it in",
        (
            'people.csv:3: reach: "2.31" is not a number with a unit '
            '(kg, g, lb, m, cm, mm, in, ft, s, min); write it like "4 m"'
        ),
        'people.csv:3: show cannot be "nick"; use name, initials or number',
        (
            "people.csv:5: reach 231 m is not between 0.5 m and 4 m; "
            "check the number and its unit"
        ),
        (
            'people.csv:5: body-mass: "2 m" is a length; a mass is needed; '
            'write it like "400 kg"'
        ),
        (
            "people.csv:6: the row has 8 cells, the header 7; "
            "put a cell that holds a comma or semicolon in quotes"
        ),
        (
            "people.csv:7: text stands after a closing quote; "
            'write a quote inside a cell twice: ""'
        ),
        'people.csv:8: a quote (") opened in this row is never closed; close it',
    ]


@pytest.mark.parametrize(
    ("data", "wrong"),
    [
        (
            "",
            "the file has no header; its first row must be bib,name,division",
        ),
        ("\n ,\n", "the file has no header; its first row must be bib,name,division"),
        (
            "bib,name,divison\n",
            'there is no column "division"; rename "divison"',
        ),
        (
            "bib,name,division,Name\n",
            'two columns are named "name"; keep one of them',
        ),
        ("x" * 1_000_001, "the file is larger than 1 MB; keep one event's rows only"),
    ],
)
def test_a_header_that_does_not_fit_is_named(
    folder: Path, data: str, wrong: str
) -> None:
    assert people_wrong(folder, data) == [f"people.csv:1: {wrong}"]


def test_a_row_that_is_no_csv_is_named(folder: Path) -> None:
    cell = "x" * 140_000
    (wrong,) = people_wrong(folder, f"bib,name,division\n1,{cell},open\n")
    assert wrong.startswith("people.csv:2: the row cannot be read as CSV (")


def test_an_unknown_word_where_nothing_is_known_yet_says_so(folder: Path) -> None:
    path = folder / "heats.csv"
    path.write_text("heat,start,workout,lane,bib,judge\n1,9:30,pier,1,7,\n")
    with pytest.raises(InputError) as error:
        read_heats(
            path, "heats.csv", event=EVENT, entrants=Entrants(bibs=()), workouts=None
        )
    assert str(error.value) == ('heats.csv:2: there is no bib "7"; none is written yet')


def test_a_missing_file_is_a_message(folder: Path) -> None:
    with pytest.raises(InputError) as error:
        read_people(folder / "people.csv", "people.csv", ())
    assert str(error.value) == (
        "people.csv:1: there is no such file; "
        "write one; its first row must be bib,name,division"
    )


def test_what_is_no_file_is_never_opened(folder: Path) -> None:
    """A pipe would never end."""
    device = folder / "people.csv"
    device.symlink_to(os.devnull)
    for path in (device, folder):
        with pytest.raises(InputError) as error:
            read_people(path, "people.csv", ())
        assert str(error.value) == (
            "people.csv:1: this is not a file; "
            "write one; its first row must be bib,name,division"
        )


def test_a_bib_in_a_message_is_cut(folder: Path) -> None:
    bib = "7" * 300
    found = people_wrong(folder, f"bib,name,division\n{bib},A,open\n{bib},B,open\n")
    assert found[-1] == (
        f'people.csv:3: rows 2 and 3 both have bib "{bib[:40]}…"; give each its own'
    )


def test_a_header_alone_is_an_event_without_athletes_yet(folder: Path) -> None:
    assert people_and_advice(folder, "bib,name,division\n") == ((), [])


def test_columns_not_used_are_told_with_what_they_may_have_meant(folder: Path) -> None:
    _, advice = people_and_advice(folder, "bib,name,division,teams,,shoe\n1,A,open\n")
    assert advice == [
        'people.csv:1: column teams is not used; is it "team"?',
        "people.csv:1: column 5 has no name and is not used",
        "people.csv:1: column shoe is not used",
    ]


def test_a_name_too_long_is_cut_and_said_so(folder: Path) -> None:
    athletes, advice = people_and_advice(
        folder, f"bib,name,division\n1,{'x' * 41},open\n"
    )
    assert athletes[0].name == "x" * 40
    assert advice == ["people.csv:2: name is cut to 40 letters"]


@pytest.mark.parametrize(
    ("header", "cell", "kilograms"),
    [
        ("bib,name,division,body-mass", "62.5 kg", "62.5 kg"),
        ("bib;name;division;body-mass", "62,5 kg", "62.5 kg"),
        ("bib;name;division;body-mass", "62.5 kg", "62.5 kg"),
        ("bib\tname\tdivision\tbody-mass", "62,5 kg", "62.5 kg"),
        ("bib,name,division,body-mass", '"62,5 kg"', None),
        ("bib;name;division;body-mass", "1,234 kg", None),
        ("bib,name,division,body-mass", '"1,234 kg"', None),
        ("bib;name;division;body-mass", "1.234,56 kg", None),
        ("bib;name;division;body-mass", "1,234,567 g", None),
    ],
)
def test_a_decimal_comma_is_read_where_it_is_plain_and_never_guessed(
    folder: Path, header: str, cell: str, kilograms: str | None
) -> None:
    delimiter = header[3]
    data = f"{header}\n{delimiter.join(['1', 'A', 'open', cell])}\n"
    if kilograms:
        assert people(folder, data)[0].body_mass == parse(kilograms)
    else:
        (wrong,) = people_wrong(folder, data)
        assert wrong.startswith("people.csv:2: body-mass: ")
        assert cell.strip('"') in wrong


def test_every_column_of_heats_is_read(folder: Path) -> None:
    lanes = heats(
        folder,
        "heat;start;workout;lane;bib;judge;date\n"
        "1;09:30;pier;1;7;kb;\n"
        "1;9:30:00;pier;02;8;;2027-05-08\n"
        "2;14:05:30;quay;1;7;lo;2027-05-09\n",
    )
    assert lanes == (
        HeatLane(
            heat="1",
            date="2027-05-08",
            start_ms=34_200_000,
            workout="pier",
            lane=1,
            bib="7",
            judge="kb",
        ),
        HeatLane(
            heat="1",
            date="2027-05-08",
            start_ms=34_200_000,
            workout="pier",
            lane=2,
            bib="8",
            judge="",
        ),
        HeatLane(
            heat="2",
            date="2027-05-09",
            start_ms=50_730_000,
            workout="quay",
            lane=1,
            bib="7",
            judge="lo",
        ),
    )


def test_a_lane_or_bib_twice_in_a_heat_is_refused_naming_both_rows(
    folder: Path,
) -> None:
    assert heats_wrong(
        folder,
        "heat,start,workout,lane,bib,judge\n"
        "1,9:30,pier,3,7,kb\n"
        "1,9:30,pier,4,8,kb\n"
        "2,9:45,pier,3,7,kb\n"
        "1,9:30,pier,3,9,kb\n"
        "1,9:30,pier,5,8,kb\n",
    ) == [
        (
            "heats.csv:5: rows 2 and 5 both put someone in heat 1, lane 3; "
            "give one of them another lane"
        ),
        'heats.csv:6: rows 3 and 6 both put bib "8" in heat 1; take one of them out',
    ]


def test_a_heat_has_one_workout_one_start_and_one_date(folder: Path) -> None:
    assert heats_wrong(
        folder,
        "heat,start,workout,lane,bib,judge,date\n"
        "1,9:30,pier,1,7,kb,\n"
        "1,9:31,quay,2,8,kb,2027-05-09\n",
    ) == [
        f"heats.csv:3: rows 2 and 3 give heat 1 another {what} each; "
        f"a heat has one {what}"
        for what in ("workout", "start", "date")
    ]


def test_unknown_bib_workout_and_judge_are_named_with_the_nearest(
    folder: Path,
) -> None:
    assert heats_wrong(
        folder,
        "heat,start,workout,lane,bib,judge\n1,9:30,piers,1,007,kbb\n1,9:30,piers,2,x,\n",
    ) == [
        'heats.csv:2: there is no bib "007"; the nearest is "7"',
        'heats.csv:2: there is no workout "piers"; the nearest is "pier"',
        'heats.csv:2: there is no judge "kbb"; the nearest is "kb"',
        'heats.csv:3: there is no bib "x"; use one of 7, 8, 9',
        'heats.csv:3: there is no workout "piers"; the nearest is "pier"',
    ]


def test_any_judge_may_sit_where_the_event_lists_none(folder: Path) -> None:
    event = Event(name="Pier Day", date="2027-05-08", divisions=(OPEN,))
    text = "heat,start,workout,lane,bib,judge\n1,9:30,pier,1,7,anyone\n"
    assert heats(folder, text, event=event)[0].judge == "anyone"


def test_what_could_not_be_read_is_not_checked_against(folder: Path) -> None:
    text = "heat,start,workout,lane,bib,judge\n1,9:30,pier,1,77,anyone\n"
    assert heats(folder, text, event=None, bibs=None)[0].bib == "77"


@pytest.mark.parametrize(
    ("row", "wrong"),
    [
        ("1,24:00,pier,1,7,kb,", 'start "24:00" is not a time of day'),
        ("1,9.30,pier,1,7,kb,", 'start "9.30" is not a time of day'),
        ("1,9:30 AM,pier,1,7,kb,", 'start "9:30 AM" is not a time of day'),
        ("1,٩:30,pier,1,7,kb,", 'start "٩:30" is not a time of day'),
        ("1,9:30,pier,0,7,kb,", 'lane "0" is not a whole number'),
        ("1,9:30,pier,100,7,kb,", 'lane "100" is not a whole number'),
        ("1,9:30,pier,1.0,7,kb,", 'lane "1.0" is not a whole number'),
        ("1,9:30,pier,1,7,kb,8.5.2027", 'date "8.5.2027" is not a date'),
        ("1,9:30,pier,1,7,kb,2027-02-29", 'date "2027-02-29" is not a date'),
        (",9:30,pier,1,7,kb,", "heat is empty"),
        ("1,,pier,1,7,kb,", "start is empty"),
        ("1,9:30,pier,,7,kb,", "lane is empty"),
        ("1,9:30,,1,7,kb,", "workout is empty"),
        ("1,9:30,pier,1,,kb,", "bib is empty"),
    ],
)
def test_a_cell_that_does_not_fit_is_named(folder: Path, row: str, wrong: str) -> None:
    (message,) = heats_wrong(folder, f"heat,start,workout,lane,bib,judge,date\n{row}\n")
    assert message.startswith(f"heats.csv:2: {wrong}; ")


NAMES = st.text(
    st.sampled_from(" '=+-@\uff1daé5,;\"\u200b") | st.characters(codec="utf-8"),
    min_size=1,
    max_size=12,
)


@given(names=st.lists(NAMES, max_size=5))
def test_names_come_back_through_a_spreadsheet_safe_file(
    tmp_path_factory: pytest.TempPathFactory, names: list[str]
) -> None:
    folder = tmp_path_factory.mktemp("sheet")
    plain = people_table(names, guard=False)
    first = people_or_none(folder, plain)
    if first is None:
        return
    again = people(folder, people_table([a.name for a in first], guard=True))
    assert [a.name for a in again] == [a.name for a in first]


def people_table(names: list[str], *, guard: bool) -> str:
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(["bib", "name", "division"])
    for bib, name in enumerate(names, 1):
        writer.writerow([str(bib), csv_text(name) if guard else name, "open"])
    return out.getvalue()


def people_or_none(folder: Path, data: str) -> tuple[Athlete, ...] | None:
    try:
        return people(folder, data)
    except InputError:
        return None


WHOLE = (
    b"\xef\xbb\xbfbib;name;division;reach;show\r\n"
    b'007;"Zo\xc3\xa9; ""Z""";open;2,31 m;name\r\n8;Li An;women;7 ft 7 in;number\r\n'
)


@given(
    cuts=st.lists(
        st.tuples(
            st.integers(0, len(WHOLE)),
            st.integers(0, 4),
            st.binary(max_size=4)
            | st.sampled_from([b'"', b"\r", b"\n", b"\0", b";", b"'=", b"\xff"]),
        ),
        max_size=6,
    )
)
def test_no_bytes_raise_anything_but_an_input_error(
    tmp_path_factory: pytest.TempPathFactory,
    cuts: list[tuple[int, int, bytes]],
) -> None:
    data = WHOLE
    for at, length, put in cuts:
        data = data[:at] + put + data[at + length :]
    path = tmp_path_factory.mktemp("fuzz") / "people.csv"
    path.write_bytes(data)
    athletes: tuple[Athlete, ...] = ()
    problems: tuple[Problem, ...] = ()
    try:
        athletes, _ = read_people(path, "people.csv", (OPEN, WOMEN))
    except InputError as error:
        problems = error.problems
    assert all(problem.line >= 1 for problem in problems)
    assert len({athlete.bib for athlete in athletes}) == len(athletes)


@given(st.lists(st.text("0127Aaé-", max_size=6), unique=True), st.data())
def test_bibs_sort_the_same_from_any_order(
    bibs: list[str], data: st.DataObject
) -> None:
    mixed = data.draw(st.permutations(bibs))
    assert sorted(mixed, key=bib_order) == sorted(bibs, key=bib_order)
