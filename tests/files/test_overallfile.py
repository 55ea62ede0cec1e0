"""[overall] of event.toml, and what is said where it is wrong."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from judgekit.core.errors import InputError
from judgekit.core.points import Formula, Levels, Overall
from judgekit.files.eventfile import read_event

if TYPE_CHECKING:
    from pathlib import Path

EVENT = """name = "Quayside Saturday"
date = 2027-05-08
[[division]]
id = "women"
name = "Women"
[overall]
"""


def read(tmp_path: Path, text: str) -> Overall:
    path = tmp_path / "event.toml"
    path.write_text(EVENT + text, encoding="utf-8")
    return read_event(path, "event.toml", cards=None, actions=None).overall


def test_without_more_places_are_added_up(tmp_path: Path) -> None:
    assert read(tmp_path, "") == Overall()


def test_a_table_of_the_event_s_own(tmp_path: Path) -> None:
    found = read(
        tmp_path,
        'method = "table"\ntable = [100, 97.5, 95]\nties = "shared"\n'
        'substituted = "apart"\nno-heat = "out"\nweights = { mole = 2, tide = 0.5 }\n',
    )
    assert found == Overall(
        method="table",
        table=(Fraction(100), Fraction("97.5"), Fraction(95)),
        tied="shared",
        substituted="apart",
        no_heat="out",
        weights=(("mole", Fraction(2)), ("tide", Fraction(1, 2))),
    )


def test_points_for_results(tmp_path: Path) -> None:
    found = read(
        tmp_path,
        'method = "results"\n[overall.results]\n'
        "tide = { a = 25.4347, b = 18, c = 1.81 }\n"
        'mole = [["20", 100], ["15", 75]]\n'
        'run = [["13:22", 100], ["22:00", 60]]\n'
        'lift = [["100 kg", 50], ["135 lb", 20]]\n',
    )
    rules = dict(found.by_result)
    a, b, c = Decimal("25.4347"), Decimal(18), Decimal("1.81")
    assert rules["tide"] == Formula(a=a, b=b, c=c, rising=False)
    assert rules["mole"] == Levels(
        rows=((Fraction(20), Fraction(100)), (Fraction(15), Fraction(75))), rising=True
    )
    assert rules["run"] == Levels(
        rows=((Fraction(802), Fraction(100)), (Fraction(1320), Fraction(60))),
        rising=False,
    )
    assert rules["lift"].points(Fraction(62)) == 20


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('method = "table"', "has no table"),
        ("table = [3, 2, 1]", "has a table it does not read"),
        ('method = "table"\ntable = [3, "two"]', "is text, no number"),
        ('method = "table"\ntable = [3, -1]', "is -1, out of range"),
        ('method = "best"', "best"),
        ("weights = { mole = 0 }", "is no weight"),
        ("weights = { mole = true }", "no number"),
        ('method = "results"', "has no results"),
        ('method = "results"\nresults = { mole = 3 }', "is a whole number"),
        (
            'method = "results"\nresults = { mole = { a = 1, b = 2 } }',
            "has no c, so it is no formula",
        ),
        (
            'method = "results"\nresults = { mole = { a = 1, b = 2, c = 1, d = 1 } }',
            'has "d", so it is no formula',
        ),
        (
            'method = "results"\nresults = { mole = [["20", 10], ["30", 5]] }',
            "has a better result with fewer points, or one result twice",
        ),
        (
            'method = "results"\nresults = { mole = [["1:00", 10], ["5:00", 20]] }',
            "has a better result with fewer points, or one result twice",
        ),
        (
            'method = "results"\nresults = { mole = [["20", 10], ["1:00", 20]] }',
            "has no levels, or times among other results",
        ),
        (
            'method = "results"\nresults = { mole = [["20", 10, 3]] }',
            "has a row that is not a result and its points",
        ),
        ('method = "results"\nresults = { mole = [["far", 10]] }', "far"),
    ],
)
def test_what_is_wrong_is_said_with_its_line(
    tmp_path: Path, text: str, says: str
) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, text)
    lines = [str(problem) for problem in caught.value.problems]
    assert any(says in line for line in lines), lines
    assert all(line.startswith("event.toml:") for line in lines)
