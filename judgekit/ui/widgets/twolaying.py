"""Two lanes side by side, each with its count in block figures and its own two keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.text import cut, fitting, joined, packed, width_of, wrapped
from judgekit.ui.widgets import parts
from judgekit.ui.widgets.block import block_lines
from judgekit.ui.widgets.row import Row, fit, run

if TYPE_CHECKING:
    from judgekit.ui.views.floor import FloorView
    from judgekit.ui.views.many import LaneRow, ManyView
    from judgekit.ui.widgets.laying import Over
    from judgekit.ui.widgets.row import Tone

_KEYS = (("z good", "x no rep"), (", good", ". no rep"))
_APART = "│"
# Block figures at their smallest, and at their largest with the lines around them.
_SMALL, _LARGE = 5, 15
# From so many rows on a half has its bar, what comes next and its calls.
_ROOMY = 12
# What stands before a name, and how many rows it may take.
_LEAD, _NAME_ROWS = 6, 3
_FIXED = ("n why next", "0 STOP")


def two_rows(view: ManyView, over: Over, columns: int, rows: int) -> list[Row]:
    """Both lanes in so many rows, the left one first whatever becomes of it."""
    room = (columns - 3) // 2
    ordered = sorted(view.rows, key=lambda row: row.lane)
    deep = max(len(_names(row, room)) for row in ordered) if rows >= _ROOMY else 1
    halves = [
        _half(row, own, place, view, over, (room, rows, deep))
        for place, (row, own) in enumerate(zip(ordered, view.pair, strict=True))
    ]
    apart = run(f" {_APART} ", "soft", columns - 2 * room)
    left, right = (parts.exactly(half, rows, room) for half in halves)
    return [(*a, apart, *b) for a, b in zip(left, right, strict=True)]


def _half(
    row: LaneRow,
    own: FloorView,
    place: int,
    view: ManyView,
    over: Over,
    size: tuple[int, int, int],
) -> list[Row]:
    columns, rows, deep = size
    calls = _calls(own, columns) if rows >= _ROOMY and view.keys else []
    head = [*_name(row, view, over, columns, deep), _work(row, columns)]
    keys: list[Row] = [(run(joined(_KEYS[place], columns), "key", columns),)]
    keys = keys if view.keys else []
    state: list[Row] = [(run(_state(row, columns), _tone(row), columns),)]
    # A name's further rows are taken from these, never from the count.
    below = _below(row, columns)[deep - 1 :] if rows >= _ROOMY else []
    room = rows - len(head) - len(state) - len(below) - len(keys) - len(calls)
    # A no-rep turns its half over, to be seen at the edge of sight.
    tone: Tone = "alarm" if row.lane in over.flashing else "bold"
    count = _count(own, columns, room, tone)
    return [*head, *count, *state, *below, *keys, *calls]


def _name(
    row: LaneRow, view: ManyView, over: Over, columns: int, deep: int
) -> list[Row]:
    """Who it is; a sign and a tone where the lane is chosen or just no-repped."""
    chosen = row.lane == view.chosen
    sign = "▶" if chosen else "✗" if row.lane in over.flashing else " "
    tone: Tone = "ask" if chosen else "bold"
    if row.lane in over.flashing:
        tone = "alarm"
    lines = _names(row, columns) if deep > 1 else [row.athlete[-1]]
    if width_of(row.athlete[0]) <= _for_name(row, columns):
        lines = [row.athlete[0]]
    late = f"  {row.late}" if row.late else ""
    first = f"{sign} {row.key or row.lane}  {lines[0]}"
    said = [f"{cut(first, columns - len(late))}{late}"]
    said += [f"{' ' * _LEAD}{line}" for line in lines[1:]]
    said += [""] * (deep - len(said))
    return [(run(line, tone, columns),) for line in said]


def _names(row: LaneRow, columns: int) -> list[str]:
    """Number and name, in more than one line where they are too long for one."""
    lines = wrapped(row.athlete[-1], _for_name(row, columns), _NAME_ROWS)
    return lines if len(lines) > 1 else [row.athlete[-1]]


def _for_name(row: LaneRow, columns: int) -> int:
    return columns - _LEAD - (width_of(row.late) + 2 if row.late else 0)


def _work(row: LaneRow, columns: int) -> Row:
    place = row.place[-1].replace(" of ", "/")
    room = columns - width_of(place) - 1
    movement = cut(fitting(row.movement, room), room)
    return (fit(movement, room + 1), "key"), (place, "soft")


def _count(own: FloorView, columns: int, rows: int, tone: Tone) -> list[Row]:
    """The figures, and what they are of where there is room beside them."""
    room = min(max(_SMALL, rows - 1), _LARGE)
    lines = list(block_lines((own.big,), (), columns, room))
    lines = [*lines[: max(0, rows - 1)], own.beside][: max(1, rows)]
    shown: list[Row] = [(run(line, tone, columns),) for line in lines]
    return parts.exactly(shown, max(0, rows), columns)


def _state(row: LaneRow, columns: int) -> str:
    state = fitting(row.says, columns)
    left = columns - width_of(state) - 2
    faults = fitting(row.faults, left)
    return joined([w for w in (state, faults) if w], columns, 2)


def _tone(row: LaneRow) -> Tone:
    if row.kind == "stopped":
        return "alarm"
    return "head" if row.kind == "go" else "bold"


def _below(row: LaneRow, columns: int) -> list[Row]:
    bar = parts.bar(row.done, row.target, columns) if row.target else ""
    return [
        (run(bar, "text", columns),),
        (run(fitting(row.following, columns), "text", columns),),
    ]


def _calls(own: FloorView, columns: int) -> list[Row]:
    """The lane's calls side by side: their letters go to the last no-rep's lane."""
    calls = (*(f"{call.key} {call.call}" for call in own.calls), *_FIXED)
    return [(run(line, "soft", columns),) for line in packed(calls, columns, 3)]
