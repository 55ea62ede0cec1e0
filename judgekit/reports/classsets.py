"""How a class did its sets: pieces and pace by movement, and where the time went.

All of it comes from the times of presses, so all of it is an estimate, and says so.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from judgekit.reports.chart import Split, splits_chart
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import numbered_name
from judgekit.reports.page import Row, Section
from judgekit.reports.piecetext import piece_words, seconds
from judgekit.reports.ratewords import without_empty
from judgekit.review.lanepaces import lane_paces
from judgekit.review.setsums import set_sum, tells_pieces

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from judgekit.review.pieces import LanePieces, SetPieces
    from judgekit.review.slowing import Slowing

_SETS = (
    Column(name="Movement", key="movement"),
    Column(name="When broken, most often", key="pieces"),
    Column(name="As planned", key="as_planned", align="right"),
    Column(name="A rep takes", key="pace", align="right", unit="s"),
    Column(name="Pauses a set", key="rested", align="right", unit="s"),
)
_PIECES_READ = (
    "An estimate by the times of the presses: a new piece begins after a gap much "
    "longer than the athlete's own."
)
_SETS_READ = (
    "An estimate by the times of the presses, too. A rep takes: the middle of all "
    "sets, without breaks. Pauses a set: how long the breaks within one were, on "
    "average. Sets of one rep are left out; those reported, counted by a monitor or "
    "done in teams have none."
)
# A lane by its heat and number.
LaneKey = tuple[str, int]
_PIECES = ("one piece", "two", "three or more")
_OVER_REST = Column(name="Over rest", key="over_rest", align="right", unit="s")
_TIMES = (
    Column(name="Athlete", key="athlete"),
    Column(name="Pauses", key="rested", align="right", unit="s"),
    Column(name="Between sets", key="between", align="right", unit="s"),
    _OVER_REST,
)
_TIMES_READ = (
    "Seconds of the whole work: pauses within sets, ways between sets, and rest beyond "
    "the plan."
)
_TIME_WENT = "Where the time went"
_SLOWER = "Who became slower"
_SLOWER_READ = (
    "How much longer a rep took in the last third than in the first, with where that "
    "likely lies (95 of 100); only what is likely slower is named, and among so many a "
    "few may be chance."
)


def sets_sections(
    lanes: Sequence[LanePieces], cut_short: Mapping[LaneKey, str]
) -> Iterator[Section]:
    """The sets by movement, who became slower, and where the time of each lane went.

    `cut_short` says of a lane that was stopped or left that it was, and when: there a
    slower rep may have a cause of its own.
    """
    told: dict[str, list[SetPieces]] = {}
    for lane in lanes:
        for done in lane.sets:
            if tells_pieces(done):
                told.setdefault(done.set.movement, []).append(done)
    chart = splits_chart(
        "In how many pieces sets were done",
        "sets",
        _PIECES,
        (Split(label=name, parts=_in_pieces(sets)) for name, sets in told.items()),
    )
    rows = tuple(_set_row(name, sets) for name, sets in told.items())
    yield Section(
        title="How sets were done",
        charts=() if chart is None else (chart,),
        lines=(_PIECES_READ,) if rows else (),
    )
    yield Section(
        title="Usual pieces and pace",
        closed=True,
        lines=(_SETS_READ,) if rows else (),
        tables=(Table(title="Sets", columns=_SETS, rows=rows),),
    )
    slower = tuple(_slower_rows(lanes, cut_short))
    yield Section(
        title=_SLOWER,
        closed=True,
        rows=slower,
        lines=(_SLOWER_READ,) if slower else (),
    )
    for times in _times_tables([lane for lane in lanes if lane.is_timed]):
        yield Section(
            title=times.title, closed=True, lines=times.notes, tables=(times,)
        )


def _in_pieces(sets: Iterable[SetPieces]) -> tuple[int, ...]:
    """How many sets in one piece, in two, in more."""
    many = Counter(min(len(one.pieces), len(_PIECES)) for one in sets)
    return tuple(many[place] for place in range(1, len(_PIECES) + 1))


def _set_row(name: str, sets: Sequence[SetPieces]) -> tuple[Cell, ...]:
    broken = Counter(one.pieces for one in sets if len(one.pieces) > 1)
    planned = [one.as_planned for one in sets if one.as_planned is not None]
    found = set_sum(sets)
    usual = broken.most_common(1)
    return (
        name,
        _usual(usual[0], found.sets - found.unbroken) if usual else None,
        f"{sum(planned)} of {len(planned)}" if planned else None,
        seconds(found.pace_ms),
        seconds(found.rested_ms),
    )


def _usual(of: tuple[tuple[int, ...], int], broken: int) -> str:
    """As in "6 + 5, 7 of 14"."""
    pieces, many = of
    return f"{piece_words(pieces)}, {many} of {broken}"


def _times_tables(lanes: Sequence[LanePieces]) -> Iterator[Table]:
    """Each timed lane of a workout: pauses, ways, and rest over plan, if any was."""
    told: dict[str, list[LanePieces]] = {}
    for lane in lanes:
        told.setdefault(lane.facts.plan.workout_name, []).append(lane)
    for number, (name, of) in enumerate(told.items()):
        table = Table(
            title=f"{_TIME_WENT}: {name}" if len(told) > 1 else _TIME_WENT,
            columns=_TIMES,
            rows=tuple(map(_times_row, of)),
            notes=() if number else (_TIMES_READ,),
        )
        yield without_empty(table, _OVER_REST)


def _times_row(lane: LanePieces) -> tuple[Cell, ...]:
    ways = {one.begins for one in lane.sets if one.way_ms is not None}
    return (
        numbered_name(lane.facts.plan),
        _whole_seconds(lane.rested_ms),
        _whole_seconds(lane.between_ms) if "after a set" in ways else None,
        _whole_seconds(lane.over_rest_ms) if "after a rest" in ways else None,
    )


def _slower_rows(
    lanes: Iterable[LanePieces], cut_short: Mapping[LaneKey, str]
) -> Iterator[Row]:
    """Who was likely slower at the end of which movement, the most first."""
    found: dict[str, list[tuple[float, str]]] = {}
    for lane in lanes:
        plan = lane.facts.plan
        name = numbered_name(plan)
        why = cut_short.get((plan.heat, plan.lane), "")
        for pace in lane_paces(lane):
            slowing = pace.slowing
            if slowing is None or slowing.low <= 1:
                continue
            who = f"{name} {_slower(slowing, why)}"
            found.setdefault(pace.movement, []).append((slowing.ratio, who))
    for movement, of in found.items():
        ordered = sorted(of, key=lambda one: -one[0])
        yield Row(label=movement, says=", ".join(who for _, who in ordered))


def _slower(slowing: Slowing, cut_short: str) -> str:
    """As in "24 % (10 to 40)", or "24 % (10 to 40; stopped at 2:29)"."""
    by, low, high = (
        round(100 * (part - 1)) for part in (slowing.ratio, slowing.low, slowing.high)
    )
    return f"{by} % ({'; '.join(filter(None, (f'{low} to {high}', cut_short)))})"


def _whole_seconds(ms: float) -> int:
    return round(ms / 1000)
