"""Reach in people.csv, against the statures of grown people.

Stature in mm, mean and standard deviation, ages 19 to 65: British men 1740 (70), women
1610 (62); US men 1755 (71), women 1625 (64). City University of Hong Kong, online
anthropometry, after Pheasant. Fingertips with the arms up are at about 1.25 of the
stature (grip reach 2060 and 1905 mm, Pheasant, Bodyspace, plus 60 % of the hand); the
band of 1.15 to 1.35 is a choice of ours.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.people import Division
from judgekit.files.tables import read_people

if TYPE_CHECKING:
    from pathlib import Path

STATURES = {"British men": (1740, 70), "British women": (1610, 62)} | {
    "US men": (1755, 71),
    "US women": (1625, 64),
}
OPEN = [Division(id="open", name="Open", standard="open")]


def advice(folder: Path, reach: str) -> list[str]:
    path = folder / "people.csv"
    path.write_text(f"bib,name,division,reach\n1,A,open,{reach}\n", encoding="utf-8")
    return [problem.what for problem in read_people(path, "people.csv", OPEN)[1]]


@pytest.mark.parametrize(("mean", "deviation"), STATURES.values())
@pytest.mark.parametrize("ratio", [1.15, 1.25, 1.35])
def test_nobody_of_a_published_stature_is_asked_about(
    tmp_path: Path, mean: int, deviation: int, ratio: float
) -> None:
    for percentile in (-1.645, 0, 1.645):  # the 5th, 50th and 95th
        reach = (mean + percentile * deviation) * ratio / 1000
        assert advice(tmp_path, f"{reach:.3f} m") == []


def test_the_band_ends_three_deviations_out(tmp_path: Path) -> None:
    # 1.15 x (1610 - 3 x 62) = 1637.6 mm; 1.35 x (1755 + 3 x 71) = 2656.8 mm.
    assert advice(tmp_path, "1.65 m") == advice(tmp_path, "2.65 m") == []
    assert advice(tmp_path, "1.63 m")
    assert advice(tmp_path, "2.67 m")


@pytest.mark.parametrize("slipped", ["2.4 ft", "84 cm", "1.24 m", "3.9 m"])
def test_a_slipped_unit_or_digit_is_asked_about(tmp_path: Path, slipped: str) -> None:
    [told] = advice(tmp_path, slipped)
    assert "is outside what nearly all grown people have" in told
