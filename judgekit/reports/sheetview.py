"""A sheet as its templates need it: plain texts, each as it is to be read.

The page for a browser and the one for paper show the same texts.
"""

from __future__ import annotations

import re
from dataclasses import asdict
from typing import TYPE_CHECKING

from judgekit.reports.inforce import NO_ADVICE, SIGNS
from judgekit.reports.layout import NO_BREAK, visible
from judgekit.reports.look import source, template
from judgekit.reports.names import asks_words, beside_bib
from judgekit.reports.sheetlearn import to_learn
from judgekit.reports.sheetroom import laid, parts_of
from judgekit.reports.sheettables import missed_rows, set_tables
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
    from collections.abc import Iterator

    from judgekit.reports.overallwords import OwnTotal
    from judgekit.reports.sheet import Sheet, WorkSheet
    from judgekit.reports.sheetpicture import Picture
    from judgekit.reports.typefaces import Typefaces
    from judgekit.review.lessons import Lesson, Said

_BEFORE_UNIT = re.compile(r"(?<=\d) (?=%|(?:s|kg|lb|m|cm|km)\b)")
View = dict[str, object]
# A score of more letters is set smaller.
_SHORT = 10
# Nothing is set smaller than nine tenths of these, so that 6.5 pt is the smallest.
_SIZES = (9.5, 9.0, 8.7, 8.4, 8.1, 7.8, 7.5, 7.25)
# Which share of a page may be reckoned to be filled. A PDF is tried again where that
# was too much; a browser sets wider here and there, in a font that nobody knows.
_AT_MOST, _AT_MOST_BROWSER = 1.015, 0.975


def sheet_html(one: Sheet) -> str:
    """One file that fetches nothing and runs nothing."""
    shown = view(one)
    return template("sheet.html").render(shown, print_pt=_print_size(shown))


def sheet_pdf(one: Sheet, faces: Typefaces) -> bytes:
    """The same on paper: one page, unless there is very much to tell."""
    from judgekit.reports.typeset import on_one_page

    template_ = source("look.typ") + source("sheet.typ")
    return on_one_page(template_, _tries(view(one)), faces)


def _tries(shown: View) -> Iterator[View]:
    """The sheet with letters as large as may fit, then smaller; last on many pages."""
    for size in _SIZES:
        found = laid(shown, size)
        if found.room <= _AT_MOST:
            yield {**shown, "size": size, "columns": found.columns}
    yield {**shown, "size": _SIZES[-1], "columns": [parts_of(shown)]}


def _print_size(shown: View) -> float:
    """Points of the letters with which a browser makes one page of it, most likely."""
    fits = (size for size in _SIZES if laid(shown, size).room <= _AT_MOST_BROWSER)
    return next(fits, _SIZES[-1])


def view(one: Sheet) -> View:
    """All texts of a sheet."""
    return {key: _shown(value) for key, value in _texts(one).items()}


def _texts(one: Sheet) -> View:
    since = one.since
    return {
        "title": beside_bib(one.bib, one.name, " "),
        "event": one.event,
        "under": under_words(one),
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
    says = ". ".join(filter(None, (how_often(one), asks_words(one.must_be))))
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
