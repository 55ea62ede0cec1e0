"""After the heat: faults with their likely ranges, when they come, and in time.

Beside them stand how long a rep takes, and what changed since the session before.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.reports.faults import Sums, sums_words
from judgekit.reports.frequencies import NOTHING, Named, keys_words, person_words
from judgekit.reports.ratewords import (
    FEW,
    NOT_COUNTED,
    athletes_words,
    is_told,
    out_of,
    percent,
)
from judgekit.reports.tiring import table_words
from judgekit.review.frequencies import frequencies
from judgekit.review.tiring import ALONG
from judgekit.ui.text import packed, width_of, wrapped
from judgekit.ui.views.barrows import BarRow, BarTable, Numbers, bar_lines, fit
from judgekit.ui.views.bars import (
    axis,
    bar,
    time_axis,
    time_line,
    top_of,
)
from judgekit.ui.views.reviewed import Asked, Look, Reviewed
from judgekit.ui.views.reviewpace import pace_lines, paper_words
from judgekit.ui.views.reviewsince import since_lines
from judgekit.ui.views.sheet import SheetLine
from judgekit.ui.views.signs import says_of, sign_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from judgekit.review.attempts import AttemptRow, LaneRows
    from judgekit.review.faults import Rate
    from judgekit.review.frequencies import Frequencies, Frequency
    from judgekit.ui.views.bars import Marks

_NUMBERS = (Numbers("no-reps", 10), Numbers("rate", 7), Numbers("athletes", 8))
_LEAST_LABEL, _LEAST_LINE = 12, 4
_MANY_LINES = 9
_DIGIT, _NO_NO_REPS = "a digit: so many at once.", "No no-reps."
_FEW_WORDS = "few: under 20 attempts, or a likely range wider than 20 points"
_NO_PLACE = (
    "Nothing here has a known place in its set: that takes a judge who counts every "
    "rep, and a log, not paper."
)
_UNCOUNTED = f"of ?: {NOT_COUNTED}, so that there is no rate"


def title(of: Reviewed, asked: Asked) -> str:
    """What is shown, and whose."""
    what = {
        "faults": f"faults by {keys_words(asked.keys)}",
        "when": f"no-reps by {ALONG[asked.along]}",
        "time": "no-reps on a time line",
        "pace": "how long a rep takes",
        "since": "other sessions",
    }[asked.look]
    person = of.people.get(asked.bib)
    of_what = [of.cards[asked.card]] if asked.card else []
    whose = [person_words(person)] if person is not None else []
    return f"{of.event}: {', '.join([what, *of_what, *whose])}"


def review_lines(of: Reviewed, asked: Asked, columns: int) -> tuple[SheetLine, ...]:
    """All lines of what is asked for, each as wide as the screen at most."""
    if not of.lanes(Asked()):
        return (SheetLine("plain", NOTHING),)
    return tuple(_MADE[asked.look](of, asked, columns))


# --- rates with bars -----------------------------------------------------------------


def _faults(of: Reviewed, asked: Asked, columns: int) -> Iterator[SheetLine]:
    found = frequencies(of.lanes(asked), asked.keys)
    shown = [row for row in found.rows if _has_bar(found, row)]
    named = Named(found=found, judges=of.judges)
    if shown:
        rows = [
            (_label(named, row), row.rate, _who(row.athletes, row.of_athletes))
            for row in shown
        ]
        # Each row is one athlete's where they are told apart, or one is looked at.
        once = "athlete" in found.by or bool(asked.bib)
        numbers = _NUMBERS[:2] if once else _NUMBERS
        yield from _table(_Head(", ".join(found.by), numbers), rows, of.marks, columns)
        yield SheetLine("plain", "")
    sums = Sums(found.total, found.sampled, found.noticed)
    judged = bool(sums.total.attempts or not (sums.sampled.attempts or sums.noticed))
    words = (*sums_words(sums, judged=judged), *_cue_words(named))
    for text in (line for one in words for line in wrapped(one, columns, _MANY_LINES)):
        yield SheetLine("soft" if shown else "plain", text)


def _has_bar(found: Frequencies, row: Frequency) -> bool:
    """Not what is nothing but cues."""
    tried = "fault" not in found.by and row.rate.attempts
    return bool(tried or row.rate.no_reps)


def _who(athletes: int, of_athletes: int) -> str:
    return athletes_words(athletes, of_athletes) or ""


def _cue_words(named: Named) -> Iterator[str]:
    """Cues in words, the most often told first: a cue has no rate."""
    noted = [row for row in named.found.rows if row.cues]
    told = ", ".join(
        f"{' '.join(_label(named, row))} {row.cues}"
        for row in sorted(noted, key=lambda row: -row.cues)
    )
    if told:
        yield f"Cues told, which change no count: {told}."


def _label(named: Named, row: Frequency) -> tuple[str, ...]:
    label = tuple(named.shown(row, place) for place in range(len(row.of)))
    if row.watched == "judged":
        return label
    return (*label[:-1], f"{label[-1]} ({row.watched})")


def _when(of: Reviewed, asked: Asked, columns: int) -> Iterator[SheetLine]:
    found = of.tiring(asked)
    if not found.places:
        yield from _soft(_NO_PLACE, columns)
        return
    for text in wrapped(table_words(found), columns, _MANY_LINES):
        yield SheetLine("score", text)
    yield SheetLine("plain", "")
    rows = [
        ((f"{found.along} {place.at}",), place.rate, f"{place.athletes}")
        for place in found.places
    ]
    numbers = _NUMBERS[:2] if asked.bib else _NUMBERS
    yield from _table(_Head(found.along, numbers), rows, of.marks, columns)


class _Head(NamedTuple):
    """What bars are of, and their columns of numbers."""

    text: str
    columns: tuple[Numbers, ...]


def _table(
    head: _Head,
    rows: Sequence[tuple[tuple[str, ...], Rate, str]],
    marks: Marks,
    columns: int,
) -> Iterator[SheetLine]:
    """Rates as bars with their numbers, and below what to mind about them."""
    rates = [rate for _, rate, _ in rows]
    top = top_of(rates)

    def drawn(rate: Rate) -> Callable[[int], str]:
        return lambda wide: bar(rate, top, wide, marks)

    made = [
        BarRow(label, drawn(rate), (*_counts(rate), who), FEW if rate.is_small else "")
        for label, rate, who in rows
    ]
    table = BarTable(head.text, lambda wide: axis(top, wide), head.columns, made)
    yield from bar_lines(table, columns)
    if any(rate.is_small for rate in rates):
        yield from _soft(_FEW_WORDS, columns)
    if any(rate.attempts is None and rate.no_reps for rate in rates):
        yield from _soft(_UNCOUNTED, columns)


def _soft(words: str, columns: int) -> Iterator[SheetLine]:
    for text in wrapped(words, columns, _MANY_LINES):
        yield SheetLine("soft", text)


def _counts(rate: Rate) -> tuple[str, str]:
    shown = "" if rate.rate is None else percent(rate.rate)
    return (out_of(rate) if is_told(rate) else "", shown)


# --- pace, and other sessions ---------------------------------------------------------


def _pace(of: Reviewed, asked: Asked, columns: int) -> Iterator[SheetLine]:
    yield from pace_lines(of.pieces(asked), asked.bib, of.marks, columns)


def _since(of: Reviewed, asked: Asked, columns: int) -> Iterator[SheetLine]:
    yield from since_lines(of.sessions(asked), asked.bib, of.marks, columns)


# --- a line of time ------------------------------------------------------------------


def _times(of: Reviewed, asked: Asked, columns: int) -> Iterator[SheetLine]:
    every = of.lanes(asked)
    lanes = [lane for lane in every if any(row.timed for row in lane.attempts)]
    untimed = paper_words(lane.facts for lane in every if _is_from_paper(lane))
    if not lanes:
        for text in wrapped(untimed or NOTHING, columns, _MANY_LINES):
            yield SheetLine("plain", text)
        return
    names = [_lane_name(of, lane) for lane in lanes]
    most = min(max(_LEAST_LABEL, columns // 3), columns - _LEAST_LINE - 1)
    label = max(0, min(max(map(width_of, names)), most))
    wide = max(1, columns - label - 1)
    whole = max(row.at for lane in lanes for row in lane.attempts) + 1
    yield from _legend(lanes, of.signs, columns)
    yield SheetLine("soft", f"{' ' * label} {time_axis(whole, wide)}")
    for lane, name in zip(lanes, names, strict=True):
        seen = [(row.at, sign_of(row, lane, of.signs)) for row in _no_reps_of(lane)]
        worked = max(row.at for row in lane.attempts)
        drawn = time_line(seen, worked, whole, wide, of.marks.lead)
        yield SheetLine("plain", f"{fit(name, label)} {drawn}".rstrip())
    if untimed:
        yield SheetLine("plain", "")
        yield from _soft(untimed, columns)


def _is_from_paper(lane: LaneRows) -> bool:
    """Whether it has tries, and of none of them is it known when."""
    return bool(lane.attempts) and not any(row.timed for row in lane.attempts)


def _legend(
    lanes: Sequence[LaneRows], signs: Mapping[str, str], columns: int
) -> Iterator[SheetLine]:
    """What the letters mean, above all lines: below them it would need scrolling."""
    said: dict[str, dict[str, None]] = {}
    for lane in lanes:
        for row in _no_reps_of(lane):
            sign = sign_of(row, lane, signs)
            said.setdefault(sign, {}).setdefault(says_of(row, lane))
    words = [f"{sign} {' or '.join(said[sign])}," for sign in sorted(said)]
    words = [*words, _DIGIT] if said else [_NO_NO_REPS]
    for line in packed(words, columns, gap=1):
        yield from _soft(line, columns)
    yield SheetLine("plain", "")


def _no_reps_of(lane: LaneRows) -> Iterator[AttemptRow]:
    """Those that have a time."""
    return (row for row in lane.attempts if row.timed and not row.good)


def _lane_name(of: Reviewed, lane: LaneRows) -> str:
    plan = lane.facts.plan
    person = of.people.get(plan.bib)
    who = person_words(person) if person is not None else plan.bib
    return f"{plan.heat}.{plan.lane} {who}"


_MADE: Mapping[Look, Callable[[Reviewed, Asked, int], Iterator[SheetLine]]] = {
    "faults": _faults,
    "when": _when,
    "time": _times,
    "pace": _pace,
    "since": _since,
}
