"""A sheet as its templates need it: plain texts, each as it is to be read.

The page for a browser and the one for paper show the same texts.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from judgekit.reports.layout import visible
from judgekit.reports.look import source, template
from judgekit.reports.names import beside_bib
from judgekit.reports.sheettext import (
    how_often,
    is_settled,
    loads_where_new,
    missed_rules_words,
    noted_lines,
    nothing_words,
    place_words,
    question_words,
    rules_words,
    since_lines,
    since_title,
    small_lines,
    to_learn,
    under_words,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.reports.overall import OwnTotal
    from judgekit.reports.sheet import Sheet, Split, WorkSheet
    from judgekit.reports.sheetpicture import Picture
    from judgekit.reports.typefaces import Typefaces
    from judgekit.review.lessons import Lesson, Said

View = dict[str, object]
# A score of more letters is set smaller.
_SHORT = 10
# Points of a page's height for each line of 1 pt letters; signs in a line of the small
# print, of which there are two beside each other.
_ROOM_PT, _SMALL_PRINT = 620, 200
# Browsers take more room for the same letters.
_IN_BROWSER = 0.9
_SIZES = (9.0, 8.7, 8.4, 8.1, 7.8, 7.5, 7.2, 6.9, 6.6, 6.3, 6.0)


def sheet_html(one: Sheet) -> str:
    """One file that fetches nothing and runs nothing."""
    return template("sheet.html").render(view(one))


def sheet_pdf(one: Sheet, faces: Typefaces) -> bytes:
    """The same on paper: one page, unless there is very much to tell."""
    from judgekit.reports.typeset import on_one_page

    template_ = source("look.typ") + source("sheet.typ")
    return on_one_page(template_, view(one), faces, _sizes(one))


def _sizes(one: Sheet) -> Sequence[float]:
    """Sizes of letters, in points, that may make one page of it; the likely first."""
    likely = _ROOM_PT / _lines_of(one)
    return [size for size in _SIZES if size <= likely] or _SIZES[-1:]


def _lines_of(one: Sheet) -> float:
    """About how many lines a sheet takes on paper, two workouts beside each other.

    A wrong guess costs time or leaves the letters smaller than they might be.
    """
    beside = len(one.works) > 1
    scores = max(len(work.steps) + len(work.instead) for work in one.works)
    works = max(_lines_of_work(work, beside=beside) for work in one.works)
    since = 0 if one.since is None else len(one.since.faults) + 4
    small = sum(map(len, one.care)) + sum(len(rules_words(w)) for w in one.works)
    well = 2 + len(one.well) if one.well else 0
    # Beside one more score the lines of all break sooner; of two the more so.
    overall = (4 if beside else 6) if one.overall else 0
    return 26 + scores + overall + well + works + since + small / _SMALL_PRINT


def _lines_of_work(one: WorkSheet, *, beside: bool) -> float:
    strips = 0 if one.picture is None else 1.3 * len(one.picture.strips)
    missed = (1.5 if beside else 1) * len(one.missed)
    rules = 2 if one.missed_rules else 0
    return 7 + strips + len(one.splits) + missed + rules + len(one.happened)


def view(one: Sheet) -> View:
    """All texts of a sheet."""
    return {key: _shown(value) for key, value in _texts(one).items()}


def _texts(one: Sheet) -> View:
    since = one.since
    return {
        "title": beside_bib(one.bib, one.name, " "),
        "event": one.event,
        "under": under_words(one),
        "print_pt": round(_IN_BROWSER * _sizes(one)[0], 1),
        "scores": [*map(_score, one.works), *map(_overall, one.overall)],
        "works": [_work(work, one) for work in one.works],
        "well": one.well,
        "lessons": [_lesson(lesson) for lesson in to_learn(one)],
        "nothing": nothing_words(one),
        "pace": one.pace,
        "since": since
        and {"title": since_title(since), "lines": list(since_lines(since))},
        "care": one.care,
        "small": [
            *(
                f"{work.workout}, rules in force: {rules_words(work)}"
                for work in one.works
                if work.rules
            ),
            *small_lines(one),
        ],
    }


def _shown(value: object) -> object:
    """The same with every text as it may be shown."""
    if isinstance(value, str):
        return visible(value)
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
        "splits": list(_splits(one.splits)),
        "missed": [asdict(missed) for missed in one.missed],
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


def _splits(rows: Iterable[Split]) -> Iterator[View]:
    for row in loads_where_new(rows):
        yield {
            "where": row.where,
            "movement": row.movement,
            "small": "; ".join(filter(None, (row.load, row.note))),
            "done": row.done,
            "took": row.took,
            "pieces": row.pieces,
            "no_reps": "" if row.no_reps is None else str(row.no_reps),
        }
