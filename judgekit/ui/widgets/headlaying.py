"""Where everything on the head judge's view stands at each size."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.ui.headkeys import BRIEF_HINTS, CHOOSES, HINTS, Asked, Chosen, Sure
from judgekit.ui.text import packed, width_of, wrapped
from judgekit.ui.widgets.parts import blank, exactly
from judgekit.ui.widgets.row import filled, fit, run

if TYPE_CHECKING:
    from judgekit.ui.views.head import HeadLane, HeadView
    from judgekit.ui.widgets.row import Row, Run, Tone

_ENDS = 2
_WIDE = 76
# What is counted of a lane, each in so many cells.
_FACTS = (
    *(("check", 6), ("stop", 5), ("asks", 5), ("horn", 5)),
    *(("soon", 5), ("late", 5), ("close", 6)),
)
# How many of them, the first before the others, from so many columns on.
_FACTS_FROM = ((72, 7), (56, 4))
_WAITS = 6
_LANE = 4
_STATE = 11
_COUNT = 7
# Lanes that stay in sight, and rows for what waits in the chosen one, on a low screen.
_LEAST_LANES = 3
_LEAST_BELOW = 3
_MOST_WORDS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Below:
    """What stands below the lanes: of the chosen one, or what is open over it.

    `emergency` are the lines of one, where those were asked for; `wrong` says what of
    the log cannot be read. The keys stand there as `hints`.
    """

    lane: int
    open: Asked | Chosen | Sure | None = None
    typed: str = ""
    emergency: tuple[str, ...] = ()
    notice: str = ""
    wrong: str = ""
    hints: bool = True


def head_rows(view: HeadView, below: Below, width: int, height: int) -> tuple[Row, ...]:
    """All rows, each exactly `width` cells."""
    columns = width - _ENDS
    end = run("", "text", 1)
    rows = _rows(view, below, columns, height)
    found = exactly(rows, height, columns)
    return tuple((end, *filled(row, columns), end) for row in found)


def _rows(view: HeadView, below: Below, columns: int, height: int) -> list[Row]:
    clock = f"  {view.clock}"
    room = columns - width_of(clock)
    top: list[Row] = [
        (run(view.title, "bold", room), run(clock, "bold", columns - room)),
        *_lines(view.alarm, "alarm", columns, 2),
        (run(_headings(columns), "soft", columns),),
    ]
    foot = _foot(below, columns)
    panel = _panel(view, below, columns)
    room = height - len(top) - len(foot)
    if isinstance(below.open, Chosen) and len(panel) > room - _LEAST_LANES:
        panel = _brief_choices(below.open, columns)
    below_most = room // 2 if below.open is None else room
    many = max(_LEAST_LANES, room - max(_LEAST_BELOW, min(len(panel), below_most)))
    lanes = _lanes(view, below.lane, columns, many)
    return [*top, *lanes, *exactly(panel, room - len(lanes), columns), *foot]


def _lines(text: str, tone: Tone, columns: int, most: int) -> list[Row]:
    if not text:
        return []
    return [(run(line, tone, columns),) for line in wrapped(text, columns, most)]


# --- lanes ---------------------------------------------------------------------------


def _who(columns: int) -> int:
    facts = sum(wide for _, wide in _headed(columns))
    return max(6, columns - _LANE - _STATE - _COUNT - facts - 1)


def _headed(columns: int) -> tuple[tuple[str, int], ...]:
    """What is counted of a lane in so many columns; all that waits where they are few.

    What is counted besides is told below of the chosen lane.
    """
    many = next((many for room, many in _FACTS_FROM if columns >= room), 0)
    return _FACTS[:many] or (("waits", _WAITS),)


def _headings(columns: int) -> str:
    facts = "".join(fit(word, wide, right=True) for word, wide in _headed(columns))
    who = fit("", _who(columns) + _STATE)
    return f"{fit('lane', _LANE)} {who}{fit('count', _COUNT, right=True)}{facts}"


def _lanes(view: HeadView, chosen: int, columns: int, most: int) -> list[Row]:
    """The lanes, or as many as fit around the chosen one."""
    numbers = [lane.number for lane in view.lanes]
    at = numbers.index(chosen) if chosen in numbers else 0
    first = max(0, min(at - most // 2, len(view.lanes) - most))
    return [
        _lane(lane, columns, chosen=lane.number == chosen)
        for lane in view.lanes[first : first + most]
    ]


def _lane(lane: HeadLane, columns: int, *, chosen: bool) -> Row:
    sign = ">" if chosen else " "
    tone: Tone = "key" if chosen else "text"
    state: Tone = "alarm" if lane.stop is not None else tone
    start = (
        run(f"{sign}{lane.number:>2}", tone, _LANE + 1),
        run(lane.who, tone, _who(columns) - 1),
        run(" ", "text", 1),
        run(lane.state, state, _STATE - 1),
        run(" ", "text", 1),
        run(lane.count, "bold", _COUNT, right=True),
    )
    return (*start, *_facts(lane, columns))


def _facts(lane: HeadLane, columns: int) -> list[Run]:
    """How much of each there is; where columns are few, how much waits for a word."""
    found = lane.facts
    many = {
        "check": found.checks,
        "stop": found.stops,
        "asks": found.disputes,
        "horn": found.horn,
        "soon": found.soon,
        "late": found.late,
        "close": found.close,
        "waits": found.checks + found.disputes + found.horn,
    }
    return [_many(many[word], wide) for word, wide in _headed(columns)]


def _many(n: int, wide: int) -> Run:
    return run(str(n) if n else ".", "head" if n else "soft", wide, right=True)


# --- below the lanes -----------------------------------------------------------------


def _panel(view: HeadView, below: Below, columns: int) -> list[Row]:
    if below.emergency:
        lines = [
            row for text in below.emergency for row in _lines(text, "bold", columns, 3)
        ]
        return [(run("EMERGENCY", "alarm", columns),), *lines]
    match below.open:
        case Asked(title=title, keys=keys):
            return [
                *_lines(title, "ask", columns, _MOST_WORDS),
                *_lines(f"{below.typed}_", "bold", columns, _MOST_WORDS),
                *_lines(keys, "soft", columns, _MOST_WORDS),
            ]
        case Chosen() as chosen:
            return _choices(chosen, columns)
        case Sure(title=title):
            return _lines(title, "ask", columns, _MOST_WORDS)
        case None:
            return _chosen(view, below.lane, columns)


def _brief_choices(chosen: Chosen, columns: int) -> list[Row]:
    """The first word of each choice side by side, where rows are few."""
    words = (
        f"{key} {says.partition(':')[0]}"
        for key, (says, _) in zip(CHOOSES, chosen.choices, strict=False)
    )
    return [
        (run(chosen.title, "ask", columns),),
        *((run(line, "text", columns),) for line in packed(words, columns)),
    ]


def _choices(chosen: Chosen, columns: int) -> list[Row]:
    return [
        (run(chosen.title, "ask", columns),),
        *(
            (run(f"{key}  ", "key", 3), run(says, "text", columns - 3))
            for key, (says, _) in zip(CHOOSES, chosen.choices, strict=False)
        ),
    ]


def _chosen(view: HeadView, number: int, columns: int) -> list[Row]:
    """What waits in the chosen lane, how many of each first."""
    lane = next((one for one in view.lanes if one.number == number), None)
    if lane is None:
        return []
    judge = f"   judge {lane.judge}" if lane.judge else ""
    stop = f"   STOP {lane.stop}".rstrip() if lane.stop is not None else ""
    return [
        blank(columns),
        (run(f"lane {number}   {lane.who}{judge}{stop}", "key", columns),),
        *_lines(lane.unscored, "alarm", columns, 2),
        *_lines(", ".join(_said(lane)), "text", columns, 2),
        *((run(line, "text", columns),) for line in lane.facts.matters),
    ]


def _said(lane: HeadLane) -> list[str]:
    found = lane.facts
    words = (
        (found.checks, "open in the lane check"),
        (found.stops, "stopped"),
        (found.disputes, "disputed, to be answered"),
        (found.horn, "at the horn, to be answered"),
        (found.soon, "too soon, not answered"),
        (found.late, "taken back late"),
        (found.close, "called close"),
    )
    return [f"{n} {said}" for n, said in words if n] or ["nothing waits here"]


def _foot(below: Below, columns: int) -> list[Row]:
    hints = HINTS if columns >= _WIDE else BRIEF_HINTS
    keys = packed(hints, columns) if below.open is None else ["escape leaves it"]
    if not below.hints:
        keys = []
    return [
        *_lines(below.wrong, "alarm", columns, _MOST_WORDS),
        *_lines(below.notice, "notice", columns, _MOST_WORDS),
        *((run(line, "soft", columns),) for line in keys),
    ]
