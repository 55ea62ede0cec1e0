"""A sheet as its templates need it: plain texts, each as it is to be read.

The page for a browser and the one for paper show the same texts.
"""

from __future__ import annotations

import re
from dataclasses import asdict
from itertools import groupby
from math import ceil
from typing import TYPE_CHECKING

from judgekit.reports.inforce import NO_ADVICE, SIGNS
from judgekit.reports.layout import NO_BREAK, visible
from judgekit.reports.look import source, template
from judgekit.reports.names import beside_bib
from judgekit.reports.sheetlearn import to_learn
from judgekit.reports.sheettables import lines_of, missed_rows, set_tables
from judgekit.reports.sheettext import (
    how_often,
    is_settled,
    missed_rules_words,
    noted_lines,
    nothing_words,
    place_words,
    question_words,
    rules_lines,
    since_lines,
    since_title,
    small_lines,
    under_words,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.reports.overall import OwnTotal
    from judgekit.reports.sheet import Sheet, WorkSheet
    from judgekit.reports.sheetmissed import Missed
    from judgekit.reports.sheetpicture import Picture
    from judgekit.reports.typefaces import Typefaces
    from judgekit.review.lessons import Lesson, Said

_BEFORE_UNIT = re.compile(r"(?<=\d) (?=%|(?:s|kg|lb|m|cm|km)\b)")
View = dict[str, object]
# A score of more letters is set smaller.
_SHORT = 10
# Points of a page's height for each line of 1 pt letters; letters in a line across half
# of the page.
_ROOM_PT, _HALF = 580, 80
# Nothing is set smaller than nine tenths of these, so that 6.5 pt is the smallest.
_SIZES = (9.5, 9.0, 8.7, 8.4, 8.1, 7.8, 7.5, 7.25)
# On paper the largest that fits is looked for, from one that is likely too large.
_AT_MOST = 1.2


def sheet_html(one: Sheet) -> str:
    """One file that fetches nothing and runs nothing."""
    return template("sheet.html").render(view(one))


def sheet_pdf(one: Sheet, faces: Typefaces) -> bytes:
    """The same on paper: one page, unless there is very much to tell."""
    from judgekit.reports.typeset import on_one_page

    template_ = source("look.typ") + source("sheet.typ")
    return on_one_page(template_, view(one), faces, _sizes(one, _AT_MOST))


def _sizes(one: Sheet, at_most: float = 1) -> Sequence[float]:
    """Sizes of letters, in points, that may make one page of it; the likely first."""
    likely = at_most * _ROOM_PT / _lines_of(one)
    return [size for size in _SIZES if size <= likely] or _SIZES[-1:]


def _lines_of(one: Sheet) -> float:
    """About how many lines a sheet takes on paper, all below the cards in two columns.

    A wrong guess costs time or leaves the letters smaller than they might be.
    """
    scores = max(3 + len(work.steps) / 2 + len(work.instead) for work in one.works)
    cards = 7 if one.lessons or one.said else 1
    since = 0 if one.since is None else len(list(since_lines(one.since))) / 2 + 3
    well = 2 + sum(map(len, one.well)) / (2 * _HALF)
    above = 8 + scores + well + cards + since + (1 if one.pace else 0)
    works = [_lines_of_work(work, one) for work in one.works]
    small = _broken((*one.care, *rules_lines(one), *small_lines(one))) + 6
    return above + max((sum(works) + small) / 2, *works)


def _lines_of_work(one: WorkSheet, of: Sheet) -> float:
    strips = 0 if one.picture is None else 2 + 1.1 * len(one.picture.strips)
    sets = sum(map(lines_of, set_tables(one.splits)))
    missed = _broken(_missed_words(one)) + (3 if one.missed else 0)
    noted = list(noted_lines(one, of))
    return 2 + strips + sets + missed + _broken(noted) + (1 if noted else 0)


def _missed_words(one: WorkSheet) -> Iterator[str]:
    """The settings, and each call's words and times, which stand beside each other."""
    yield missed_rules_words(one)
    for of, each in groupby(sorted(one.missed, key=_call_of), key=_call_of):
        times = " ".join(f"{row.at} {row.where}," for row in each)
        # The words have two thirds of the width, the times one.
        yield max(" ".join(of), 2 * times, key=len) + " " * (_HALF // 2)


def _call_of(row: Missed) -> tuple[str, str, str]:
    return row.movement, row.call, row.must_be


def _broken(texts: Iterable[str]) -> float:
    """Lines of texts that are broken at half of the page's width."""
    return sum(ceil(len(text) / _HALF) for text in texts)


def view(one: Sheet) -> View:
    """All texts of a sheet."""
    return {key: _shown(value) for key, value in _texts(one).items()}


def _texts(one: Sheet) -> View:
    since = one.since
    return {
        "title": beside_bib(one.bib, one.name, " "),
        "event": one.event,
        "under": under_words(one),
        "print_pt": _sizes(one)[0],
        "scores": [*map(_score, one.works), *map(_overall, one.overall)],
        "works": [_work(work, one) for work in one.works],
        "well": one.well,
        "lessons": [_lesson(lesson) for lesson in to_learn(one.lessons, one.said)],
        "nothing": nothing_words(one),
        "pace": one.pace,
        "since": since
        and {"title": since_title(since), "lines": list(since_lines(since))},
        "care": [line for line in one.care if line not in (SIGNS, NO_ADVICE)],
        "signs": [line for line in one.care if line in (SIGNS, NO_ADVICE)],
        "rules": list(rules_lines(one)),
        "small": list(small_lines(one)),
    }


def _shown(value: object) -> object:
    """The same with every text as it may be shown, no number torn from its unit."""
    if isinstance(value, str):
        return _BEFORE_UNIT.sub(NO_BREAK, visible(value))
    if isinstance(value, dict):
        return {key: _shown(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_shown(one) for one in value]
    return value


def _lesson(one: Lesson | Said) -> View:
    says = ": ".join(filter(None, (how_often(one), one.must_be)))
    return {
        "title": f"{one.movement}: {one.call}",
        "says": says,
        "cue": one.cue,
        "drill": one.drill,
    }


def _score(one: WorkSheet) -> View:
    return {
        "title": one.workout,
        "score": one.score,
        "is_long": len(one.score) > _SHORT,
        "place": place_words(one.place),
        "lines": [line for line in _lines(one) if line],
        "steps": [asdict(step) for step in one.steps],
    }


def _overall(one: OwnTotal) -> View:
    return {
        "title": f"Overall, {one.division}",
        "score": "",
        "is_long": False,
        "place": place_words(one.place),
        "lines": one.how,
        "steps": [{"label": label, "value": value} for label, value in one.steps],
    }


def _work(one: WorkSheet, of: Sheet) -> View:
    return {
        "workout": one.workout,
        "picture": None if one.picture is None else _picture(one.picture),
        "tables": list(set_tables(one.splits)),
        "missed": list(missed_rows(one.missed)),
        "lost": one.lost,
        "missed_rules": missed_rules_words(one),
        "noted": list(noted_lines(one, of)),
    }


def _lines(one: WorkSheet) -> Iterator[str]:
    """What stands below a score."""
    yield ", ".join(filter(None, (one.status, one.standing)))
    if one.tiebreak:
        yield f"tie-break: {one.tiebreak}"
    yield from one.instead
    yield one.judges
    yield one.tries
    if not is_settled(one):
        yield question_words(one)
    if not one.score:
        yield f"heat {one.heat}, lane {one.lane}"


def _picture(shown: Picture) -> View:
    return {
        "says": shown.says,
        "strips": [asdict(strip) for strip in shown.strips],
        "ticks": [asdict(tick) for tick in shown.ticks],
    }
