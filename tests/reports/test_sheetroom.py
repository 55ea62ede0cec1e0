"""What a sheet is reckoned to take on paper, against the page that is set of it."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, cast

import pytest

from judgekit.reports import sheetview, typeset
from judgekit.reports.look import source
from judgekit.reports.overallwords import OwnTotal
from judgekit.reports.sheetroom import Part, laid, parts_of
from judgekit.reports.sheetview import sheet_pdf, view
from judgekit.reports.typefaces import Typefaces
from tests.reports.test_sheetview import long_heat, named, rounds_of
from tests.support import window

if TYPE_CHECKING:
    from judgekit.reports.sheet import Sheet

A4, MARGIN = 841.89, 9 / 25.4 * 72


def much() -> Sheet:
    """One with all that a sheet may have."""
    one = long_heat(10)
    total = OwnTotal(
        division="Women",
        place="2 of 9",
        steps=(("Tide", "3"), ("total", "7")),
        how=("places added up; the least wins",),
    )
    return replace(
        one,
        overall=(total,),
        pace="At Front squat a rep took 20 % longer in the last third than before.",
        care=("Front squat: a caution of some words, as the card has it. " * 3,),
        works=one.works + rounds_of(window(), 6).works,
    )


SHEETS = {
    "nothing": long_heat(0),
    "some": long_heat(10),
    "many": long_heat(60),
    "rounds": rounds_of(window(), 6),
    "sets": rounds_of(window(), 2),
    "long words": named("a few words of somebody, over and over again"),
    "all": much(),
    "full": replace(much(), works=much().works * 2),
}


def high(one: Sheet, size: float) -> float:
    """How high a page would be that has just the room it needs, without its margins."""
    shown = view(one)
    template = source("look.typ") + source("sheet.typ")
    whole = 'paper: "a4"'
    assert whole in template
    data = {**shown, "size": size, "columns": laid(shown, size).columns}
    made = typeset.pdf(template.replace(whole, "width: 210mm, height: auto"), data)
    box = re.search(rb"/MediaBox\[0 0 [\d.]+ ([\d.]+)\]", made)
    assert box is not None
    return float(box[1]) - 2 * MARGIN


@pytest.mark.parametrize("size", [9.5, 7.5])
@pytest.mark.parametrize("name", SHEETS)
def test_what_is_reckoned_is_what_a_page_takes(name: str, size: float) -> None:
    """To a line and a half: a text may be reckoned a line too long or too short."""
    one = SHEETS[name]
    reckoned = laid(view(one), size).room * (A4 - 2 * MARGIN)
    assert reckoned == pytest.approx(high(one, size), abs=1.5 * 1.21 * size)


def test_letters_of_chinese_break_anywhere_and_are_as_wide_as_high() -> None:
    """Two hundred of them take as many lines as words of four hundred letters would."""
    chinese, words = named("漢" * 200), named("nn " * 133)
    reckoned = [laid(view(one), 9.5).room for one in (chinese, words)]
    assert reckoned[0] == pytest.approx(reckoned[1], rel=0.1)
    assert reckoned[0] > laid(view(named("n" * 30)), 9.5).room * 1.1


@pytest.fixture
def tried(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The sizes of letters with which pages were set, in their order."""
    sizes: list[float] = []
    whole = typeset.pdf

    def noting(template: str, data: dict[str, object], faces: Typefaces) -> bytes:
        sizes.append(cast("float", data["size"]))
        return whole(template, data, faces)

    monkeypatch.setattr(typeset, "pdf", noting)
    return sizes


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_is_set_once_with_the_largest_letters_that_fit(
    name: str, tried: list[float], monkeypatch: pytest.MonkeyPatch
) -> None:
    made = sheet_pdf(SHEETS[name], Typefaces())
    assert typeset.pages_of(made) == 1
    (size,) = tried
    assert (size < 9.5) == (name == "full")
    tried.clear()
    monkeypatch.setattr(sheetview, "_AT_MOST", 9)
    # Where nothing is known of its room, each size is tried in turn.
    assert sheet_pdf(SHEETS[name], Typefaces()) == made
    assert tried == [one for one in sheetview._SIZES if one >= size]


@pytest.mark.parametrize("many", [0, 1, 2, 3, 5])
def test_every_part_stands_in_a_column_once_and_works_keep_their_order(
    many: int,
) -> None:
    one = SHEETS["some"]
    (work,) = one.works
    silent = replace(work, splits=(), missed=(), cues=(), happened=())
    shown = view(replace(one, works=one.works * many or (silent,)))
    left, right = laid(shown, 8).columns
    assert Counter([*left, *right]) == Counter(parts_of(shown))
    works = [part for part in (*left, *right) if part.part in ("course", "faults")]
    assert works == sorted(works, key=lambda part: part.of)
    assert [part.of for part in works if part.part == "course"] == list(range(many))


def test_what_is_left_over_goes_below_the_shorter_column() -> None:
    one = SHEETS["some"]
    left, right = laid(view(one), 9).columns
    assert (left[0], right[0]) == (Part("course"), Part("faults"))
    (work,) = one.works
    few = replace(one, works=(replace(work, missed=work.missed[:1], lost=""),))
    tall = replace(few, works=(replace(few.works[0], splits=work.splits * 30),))
    assert laid(view(tall), 9).columns[0] == [Part("course")]
