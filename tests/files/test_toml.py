from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import Field

from judgekit.core.errors import InputError, Problem
from judgekit.files import toml
from judgekit.files.toml import FileModel, loads, validated
from tests.files.samples import CARD, WORKOUT, problems_if_any, problems_of, put

if TYPE_CHECKING:
    from pathlib import Path
    from random import Random


class Inner(FileModel):
    id: str
    hits: Annotated[int, Field(ge=1, le=99)]
    measured_to: str = ""


class Outer(FileModel):
    name: Annotated[str, Field(min_length=1, max_length=5)]
    score: Literal["time", "reps"]
    big: bool = False
    share: float = 0.0
    inner: list[Inner] = Field(default_factory=list, max_length=2)


def refusals(text: str | bytes) -> list[str]:
    data = text if isinstance(text, bytes) else text.encode()
    return problems_of(lambda: loads(data, "f.toml"))


def model_refusals(text: str) -> list[str]:
    document = loads(text.encode(), "f.toml")
    return problems_of(lambda: validated(Outer, document.table, document))


# --- what is read ------------------------------------------------------------------


def test_a_mark_at_the_start_tabs_and_windows_line_ends_are_no_trouble() -> None:
    data = b"\xef\xbb\xbfa = 1\r\n\tb =\t[\r\n\t\t2,\r\n\t]\r\n"
    document = loads(data, "f.toml")
    assert document.table == {"a": 1, "b": [2]}
    assert document.lines.at(("b", 0)) == 3


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        (b"\xff\xfea\x00", "f.toml:1: the file is saved as UTF-16; save it as UTF-8"),
        (
            b'a = 1\nname = "Zo\xeb"',
            (
                "f.toml:2: a letter here is not UTF-8; the file was saved in an older "
                "encoding; save it as UTF-8"
            ),
        ),
        (
            b"a = 1\nb = 2\rc = 3",
            (
                "f.toml:2: a line ends in the way of very old systems (a lone carriage "
                "return); save the file with Unix or Windows line ends"
            ),
        ),
        (
            b"#" * 65537,
            "f.toml:1: the file is larger than 64 KB; cards and workouts are a few KB",
        ),
    ],
)
def test_bytes_that_are_no_text_of_ours_are_named(data: bytes, problem: str) -> None:
    assert refusals(data) == [problem]


def test_a_file_of_exactly_the_limit_is_read() -> None:
    assert loads(b"#" * toml.MAX_BYTES, "f.toml").table == {}


def test_a_missing_file_and_a_folder_are_problems_of_line_1(tmp_path: Path) -> None:
    missing = problems_of(lambda: toml.read(tmp_path / "no.toml", "no.toml"))
    folder = problems_of(lambda: toml.read(tmp_path, "cards"))
    assert missing == [
        "no.toml:1: there is no such file; check its name and folder",
    ]
    assert folder == [
        "cards:1: this is not a file; a text file in TOML is needed",
    ]


def test_a_file_is_read_under_the_name_it_is_shown_by(tmp_path: Path) -> None:
    path = put(tmp_path, "a.toml", "x = 1")
    document = toml.read(path, "cards/a.toml")
    assert (document.file, document.table) == ("cards/a.toml", {"x": 1})


# --- what is not TOML --------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (
            "a = 1\nload = 22,5",
            (
                "2: a decimal comma is not TOML; write decimals with a full "
                "stop, 22.5, "
                "and with a unit in quotes"
            ),
        ),
        (
            "a = { men = 22,5 }",
            (
                "1: a decimal comma is not TOML; write decimals with a full "
                "stop, 22.5, "
                "and with a unit in quotes"
            ),
        ),
        ("cap = 4:30", '1: a time must stand in quotes; write it as "4:30"'),
        (
            "load = 70 kg",
            '1: a number with a unit must stand in quotes; write it as "47.5 kg"',
        ),
        (
            "name = \u201cQuay\u201d",
            '1: the quotation marks here are curly ones; use the straight ones: "',
        ),
        (
            "ok = True",
            (
                "1: yes or no is written in another way in TOML; write true or "
                "false, in "
                "small letters"
            ),
        ),
        ("name = Quay", '1: text must stand in quotes; write it as key = "text"'),
        ("name =\nb = 1", "1: a key has no value; write one after the = sign"),
        (
            '\na = "open\nb = 1\n\n',
            "2: a text in quotes is not closed; add the closing quote",
        ),
        (
            'b = 1\na = """open\n\n\n',
            "2: a text in quotes is not closed; add the closing quote",
        ),
        (
            "a = [1,\n2\n",
            "1: a list is not closed; add the ], and commas between items",
        ),
        ("a", '1: there is no = after the key; write key = "value"'),
        ("= 1", "1: this line is no key, no [table] and no comment"),
        (
            '"\\q" = 1',
            "1: a backslash stands alone in a text; write it twice: \\\\",
        ),
        (
            "a = { b = 1",
            (
                "1: a table in { } is not closed; add the }, and commas between items, "
                "all on one line"
            ),
        ),
        (
            "'a' = 1\nb = { c = 1 d = 2 }",
            (
                "2: a table in { } is not closed; add the }, and commas between items, "
                "all on one line"
            ),
        ),
        (
            "a = 1 b = 2",
            "1: there is more on this line than one value; one a line",
        ),
        (
            "d = 1988-02-30",
            "1: there is no such date; write the date as 2026-11-25",
        ),
        (
            "date = 25.11.2026",
            "1: a date starts with the year; write the date as 2026-11-25",
        ),
        (
            "date = 11/25/2026",
            "1: a date starts with the year; write the date as 2026-11-25",
        ),
        (
            "date = 2026-13-25",
            "1: there is no such date; write the date as 2026-11-25",
        ),
        (
            "reps = ten",
            "1: a number is written as a word; write a whole number, such as reps = 10",
        ),
        (
            "reps = [12, ten, 8]",
            "1: a number is written as a word; write a whole number, such as reps = 10",
        ),
        (
            "reps = 10 kg",
            '1: a number with a unit must stand in quotes; write it as "47.5 kg"',
        ),
        (
            "a = " + "1" * 5000,
            "1: a number or list here is too large to be meant",
        ),
        ("\na = 9223372036854775808", '2: "a" is a number too large to be meant'),
    ],
)
def test_each_slip_is_named_on_its_line(text: str, problem: str) -> None:
    assert refusals(text) == [f"f.toml:{problem}"]


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 3000,
        "a = " + "[" * 60000,
        "a = " + "{a=" * 3000,
        "a" + ".a" * 30000 + " = 1",
        "[a" + ".a" * 30000 + "]",
        "a = " + "[" * 40 + "]" * 40,
    ],
)
def test_deep_nesting_is_a_problem_and_no_crash(text: str) -> None:
    assert refusals(text) == [
        "f.toml:1: tables or lists are nested too deeply to be meant"
    ]


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        (
            'a = 1\nb = 2\n"a" = 3',
            ['f.toml:3: the key "a" is given twice, on lines 1 and 3; keep one'],
        ),
        (
            "a = 1\nb = 2\na = 3\nb = 4\n",
            [
                'f.toml:3: the key "a" is given twice, on lines 1 and 3; keep one',
                'f.toml:4: the key "b" is given twice, on lines 2 and 4; keep one',
            ],
        ),
        (
            "[[part]]\nrounds = 1\n[[part]]\nrounds = 1\n\nrounds = 3",
            [
                (
                    'f.toml:6: the key "part.rounds" is given twice, on lines 4 and 6; '
                    "keep one"
                )
            ],
        ),
        (
            "x = [\n  { is = 1 },\n  { is = 1, is = 2 },\n]",
            ['f.toml:3: the key "x.is" is given twice, on line 3; keep one'],
        ),
        (
            "[a]\nb = 1\n[a]\nb = 2",
            [
                (
                    "f.toml:3: the table [a] is given twice, on lines 1 and 3; "
                    "write [[a]] above each if there are several, else keep one"
                )
            ],
        ),
        (
            "a.b = 1\na.b.c = 2",
            ['f.toml:2: the key "a.b" is given twice, on lines 1 and 2; keep one'],
        ),
        (
            "[a]\nb = 1\n[a.b]\nc = 1",
            ['f.toml:3: the key "a.b" is given twice, on lines 2 and 3; keep one'],
        ),
    ],
)
def test_what_is_given_twice_is_named_with_both_lines(
    text: str, problems: list[str]
) -> None:
    assert [p.removesuffix(" of them") for p in refusals(text)] == problems


def test_a_key_given_twice_is_told_beside_another_slip() -> None:
    assert refusals("a = { x = 1 }\nb = 4:30\nc = 1\nc = 2") == [
        'f.toml:2: a time must stand in quotes; write it as "4:30"',
        'f.toml:4: the key "c" is given twice, on lines 3 and 4; keep one of them',
    ]
    assert refusals("c = 1\nc = 2\nb = 4:30") == [
        'f.toml:2: the key "c" is given twice, on lines 1 and 2; keep one of them',
    ]


# --- the line of each thing --------------------------------------------------------

INDEXED = '''\
name = "x"  # a comment with [ and "
[fruit]
apple.color = "red"
"a b".c = 1
text = """
[not.a.table]
x = 1 \\" \\"""" # ends here
other = \'\'\'
[[nor.this]]\'\'\'

[[part]]
reps = [
  1, # one
  2,
]
[[part.movement]]
card = "a"
[[part.movement]]
card = { men = "b", women = [ { x = 1 } ] }
[[part]]
when = 1979-05-27 07:32:00
last = 1
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("name",), 1),
        (("fruit",), 2),
        (("fruit", "apple", "color"), 3),
        (("fruit", "a b", "c"), 4),
        (("fruit", "text"), 5),
        (("fruit", "other"), 8),
        (("part",), 11),
        (("part", 0), 11),
        (("part", 0, "reps"), 12),
        (("part", 0, "reps", 0), 13),
        (("part", 0, "reps", 1), 14),
        (("part", 0, "movement", 0, "card"), 17),
        (("part", 0, "movement", 1), 18),
        (("part", 0, "movement", 1, "card", "women", 0, "x"), 19),
        (("part", 1), 20),
        (("part", 1, "when"), 21),
        (("part", 1, "last"), 22),
        (("part", 1, "none", 3), 20),
        (("nor",), 1),
        ((), 1),
    ],
)
def test_a_path_leads_to_its_line_or_that_of_its_nearest_part(
    path: tuple[str | int, ...], line: int
) -> None:
    assert loads(INDEXED.encode(), "f.toml").lines.at(path) == line


def places(value: object, path: tuple[str | int, ...]) -> list[tuple[str | int, ...]]:
    if isinstance(value, dict):
        inner = [p for key, item in value.items() for p in places(item, (*path, key))]
    elif isinstance(value, list):
        inner = [p for at, item in enumerate(value) for p in places(item, (*path, at))]
    else:
        inner = []
    return [path, *inner]


@pytest.mark.parametrize("text", [INDEXED, CARD, WORKOUT])
def test_every_value_of_a_file_has_a_line_of_its_own(text: str) -> None:
    document = loads(text.encode(), "f.toml")
    every = places(document.table, ())
    assert [path for path in every if document.lines.walked(path) != path] == []


@given(st.text(st.sampled_from("abc.=\"'[]{},#\n\\ 12:-"), max_size=60))
def test_any_text_is_read_or_refused_on_one_of_its_lines(text: str) -> None:
    found = problems_if_any(lambda: loads(text.encode(), "f.toml"))
    assert [p for p in found if not 1 <= p.line <= text.count("\n") + 1] == []


# --- shapes ------------------------------------------------------------------------


def test_a_table_of_the_right_shape_becomes_its_model() -> None:
    document = loads(
        b'name = "x"\nscore = "time"\n[[inner]]\nid = "a"\nhits = 3\nmeasured-to = "y"',
        "f.toml",
    )
    expected = {
        "name": "x",
        "score": "time",
        "big": False,
        "share": 0.0,
        "inner": [{"id": "a", "hits": 3, "measured_to": "y"}],
    }
    assert validated(Outer, document.table, document).model_dump() == expected


def test_every_wrong_value_is_told_at_its_line_and_in_words() -> None:
    text = """\
score = "tiem"
nmae = "x"
big = 1
share = inf
[[inner]]
id = "a"
hits = true
measured_to = "y"
[[inner]]
id = 5
hits = 100
"""
    assert model_refusals(text) == [
        'f.toml:1: "name" is missing; add it',
        'f.toml:1: "score" is "tiem"; one of "time", "reps"',
        'f.toml:2: "nmae" is not a known key here; did you mean "name"?',
        'f.toml:3: "big" is a whole number; write true or false',
        'f.toml:4: "share" is inf or nan; write an ordinary number',
        (
            'f.toml:7: inner "a": "hits" is true, which is not a number; '
            "write a whole number"
        ),
        (
            'f.toml:8: inner "a": "measured_to" is not a known key here; '
            'did you mean "measured-to"?'
        ),
        'f.toml:10: inner 2: "id" is a whole number; write text in quotes',
        'f.toml:11: inner 2: "hits" is 100; it must be at most 99',
    ]


@pytest.mark.parametrize(
    ("value", "problem"),
    [
        ('"5"', "is text; write a whole number"),
        ("5.0", "is a number that is not whole; write a whole number"),
        ("nan", "is a number that is not whole; write a whole number"),
        ("false", "is false, which is not a number; write a whole number"),
        ("0", "is 0; it must be at least 1"),
        ("-3", "is -3; it must be at least 1"),
        ("[1]", "is a list; write a whole number"),
        ("{ a = 1 }", "is a table; write a whole number"),
        ("1979-05-27", "is a date or time without quotes; write a whole number"),
    ],
)
def test_nothing_but_a_whole_number_is_one(value: str, problem: str) -> None:
    text = f'name = "x"\nscore = "time"\n[[inner]]\nid = "a"\nhits = {value}'
    assert model_refusals(text) == [f'f.toml:5: inner "a": "hits" {problem}']


@pytest.mark.parametrize(
    ("change", "problem"),
    [
        ('name = ""', '1: "name" is empty; fill it in, or leave the key out if it may'),
        ('name = "toolong"', '1: "name" is too long; at most 5 fit'),
        ('name = "x"\ninner = 3', '2: "inner" is a whole number; write a list in [ ]'),
        (
            'name = "x"\n[inner]\nid = "a"',
            '2: "inner" is one table; write it in double brackets, [[...]], above each',
        ),
        ('name = "x"\ninner = ["a"]', "2: inner 1 is text; write a table"),
    ],
)
def test_wrong_shapes_are_told_in_words(change: str, problem: str) -> None:
    document = loads(f"{change}\n".encode(), "f.toml")
    table = {**document.table, "score": "time"}
    (said,) = problems_of(lambda: validated(Outer, table, document))
    assert said.startswith(f"f.toml:{problem}")


def test_a_table_within_a_file_is_told_at_its_own_lines() -> None:
    document = loads(b"\n[[row]]\nid = 'a'\n[[row]]\nid = 'b'\nhits = 0", "f.toml")
    with pytest.raises(InputError) as caught:
        validated(Inner, {"id": "b", "hits": 0}, document, ("row", 1))
    assert caught.value.problems == (
        Problem(
            file="f.toml",
            line=6,
            what='row "b": "hits" is 0',
            right="it must be at least 1",
        ),
    )


def test_what_a_file_says_is_made_safe_before_it_is_said_again() -> None:
    (said,) = [
        p
        for p in model_refusals('name = "x"\nscore = "ti\\u202e\\u001bme"\n')
        if "score" in p
    ]
    assert said == 'f.toml:2: "score" is "ti\ufffdme"; one of "time", "reps"'


# --- damage ------------------------------------------------------------------------


@given(st.randoms(use_true_random=False))
def test_damaged_bytes_are_read_or_refused_and_never_crash(random: Random) -> None:
    data = bytearray((CARD + WORKOUT).encode())
    for _ in range(random.randint(1, 5)):
        at = random.randrange(len(data))
        data[at : at + random.randint(0, 3)] = bytes(
            random.randint(0, 255) for _ in range(2)
        )
    found = problems_if_any(lambda: loads(bytes(data), "f.toml"))
    assert [p for p in found if not 1 <= p.line <= data.count(b"\n") + 1] == []
