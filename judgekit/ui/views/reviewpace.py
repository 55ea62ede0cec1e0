"""How long a rep takes: of everybody by movement, of one athlete set by set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports.names import numbered_name
from judgekit.reports.piecetext import UNTOLD_WORDS, piece_words, seconds
from judgekit.review.setsums import set_sum, tells_pieces
from judgekit.ui.text import wrapped
from judgekit.ui.views.barrows import BarRow, BarTable, Numbers, bar_lines
from judgekit.ui.views.bars import Span, scale, span_bar
from judgekit.ui.views.sheet import SheetLine

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from judgekit.review.attempts import LaneFacts
    from judgekit.review.pieces import LanePieces, SetPieces
    from judgekit.ui.views.bars import Marks

_TOPS = (1, 2, 3, 4, 5, 6, 8, 10, 15, 20, 30, 45, 60, 90, 120)
_EVERYBODY = (
    "The mark is the middle of all sets, the line goes from the quickest athlete to "
    "the slowest, each by the middle of their sets; without breaks."
)
_ONE = "Each set's middle rep, without its breaks; then the pieces, if it had breaks."
_ESTIMATE = "From the times of the presses, so it is an estimate."
_NOTHING = "No set has a pace: nothing was pressed rep by rep, or too little."
_MANY_LINES = 9


def pace_lines(
    lanes: Sequence[LanePieces], bib: str, marks: Marks, columns: int
) -> Iterator[SheetLine]:
    """The paces of all lanes, or of one athlete's sets in the order of the day."""
    if bib:
        lanes = [lane for lane in lanes if lane.facts.plan.bib == bib]
    paced = [
        (lane, one)
        for lane in lanes
        for one in lane.sets
        if one.pace_ms is not None and tells_pieces(one)
    ]
    told = [lane for lane in lanes if lane.sets]
    paper = [lane for lane in told if all(one.untold == "paper" for one in lane.sets)]
    untimed = paper_words(lane.facts for lane in paper)
    if not paced:
        only = untimed if paper == told else f"{_NOTHING} {untimed}".rstrip()
        for text in wrapped(only or _NOTHING, columns, _MANY_LINES):
            yield SheetLine("plain", text)
        return
    table = _of_sets(paced, marks) if bib else _of_movements(paced, marks)
    yield from bar_lines(table, columns)
    yield SheetLine("plain", "")
    how = _ONE if bib else _EVERYBODY
    for words in (how, _ESTIMATE, *_without(lanes, bib), *filter(None, [untimed])):
        for text in wrapped(words, columns, _MANY_LINES):
            yield SheetLine("soft", text)


def paper_words(lanes: Iterable[LaneFacts]) -> str:
    """Who is missing, as nothing on paper has a time; empty if nobody is."""
    names = [numbered_name(lane.plan) for lane in lanes]
    return f"From paper, without times: {', '.join(names)}." if names else ""


def _of_sets(paced: Sequence[tuple[LanePieces, SetPieces]], marks: Marks) -> BarTable:
    paces = [_pace_of([one]) for _, one in paced]
    spans = [Span(pace, pace, pace) for pace in paces]
    top = _top(spans)
    several = len({id(lane) for lane, _ in paced}) > 1
    rows = [
        BarRow(
            (f"{_where(lane, one, several=several)} {one.set.movement}",),
            _drawn(span, top, marks),
            (_seconds(span.at), str(one.good)),
            piece_words(one.pieces) if len(one.pieces) > 1 else "",
        )
        for (lane, one), span in zip(paced, spans, strict=True)
    ]
    return _table("set", top, (Numbers("a rep", 7), Numbers("reps", 5)), rows)


def _where(lane: LanePieces, one: SetPieces, *, several: bool) -> str:
    """A set's part and round, after its heat where there are several."""
    place = f"{one.set.part}.{one.set.key.round}"
    return f"{lane.facts.plan.heat} {place}" if several else place


def _of_movements(
    paced: Sequence[tuple[LanePieces, SetPieces]], marks: Marks
) -> BarTable:
    sets: dict[str, dict[str, list[SetPieces]]] = {}
    for lane, one in paced:
        who = lane.facts.who or lane.facts.plan.bib
        of = sets.setdefault(one.set.movement, {}).setdefault(who, [])
        of.append(one)
    spans = {movement: _of_all(athletes) for movement, athletes in sets.items()}
    top = _top(list(spans.values()))
    rows = [
        BarRow(
            (movement,),
            _drawn(span, top, marks),
            (_seconds(span.at), str(len(sets[movement]))),
        )
        for movement, span in spans.items()
    ]
    return _table("movement", top, (Numbers("a rep", 7), Numbers("athletes", 8)), rows)


def _of_all(athletes: Mapping[str, Sequence[SetPieces]]) -> Span:
    """How long a rep takes, between the quickest athlete and the slowest."""
    every = [one for sets in athletes.values() for one in sets]
    each = [_pace_of(sets) for sets in athletes.values()]
    return Span(min(each), _pace_of(every), max(each))


def _pace_of(sets: Sequence[SetPieces]) -> int:
    return set_sum(sets).pace_ms or 0


def _top(spans: Sequence[Span]) -> float:
    """Where the scale ends, in ms."""
    most = max(span.high for span in spans)
    return next((top for top in _TOPS if most <= top * 1000), _TOPS[-1]) * 1000


def _drawn(span: Span, top: float, marks: Marks) -> Callable[[int], str]:
    return lambda columns: span_bar(span, top, columns, marks)


def _table(
    head: str, top: float, columns: tuple[Numbers, ...], rows: Sequence[BarRow]
) -> BarTable:
    middle, end = f"{top / 2000:g}", f"{top / 1000:g} s"
    return BarTable(head, lambda wide: scale("0 s", middle, end, wide), columns, rows)


def _seconds(ms: float) -> str:
    return f"{seconds(round(ms))} s"


def _without(lanes: Sequence[LanePieces], bib: str) -> Iterator[str]:
    """Which sets have no pace, and why."""
    if not bib:
        return
    found: dict[str, list[str]] = {}
    for lane in lanes:
        for one in lane.sets:
            if one.untold:
                found.setdefault(UNTOLD_WORDS[one.untold], []).append(one.set.movement)
    for why, movements in found.items():
        yield f"No pace of {', '.join(dict.fromkeys(movements))}: {why}."
