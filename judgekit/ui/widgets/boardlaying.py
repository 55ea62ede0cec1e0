"""Where everything on the board stands: as large as the screen has room for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.ui.glyphs import ROWS, SCALES, can_draw, drawn, width
from judgekit.ui.text import cut, fitting, width_of, wrapped
from judgekit.ui.views.board import NOTHING
from judgekit.ui.widgets.parts import blank, exactly
from judgekit.ui.widgets.row import filled, run

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.ui.views.board import (
        BoardComing,
        BoardHeat,
        BoardLane,
        BoardView,
        Weight,
    )
    from judgekit.ui.widgets.row import Row, Tone

_ENDS = 2
_GAP = 2
# Beside figures at least so many columns are left for who and what.
_WORDS = 26
_LEAST_COLUMN = 38
# What goes on in a lane takes no more than that of its one line.
_SAYS = 30
_MOST_COLUMNS = 3
_APART = 2
_MANY = 99
# The heat's clock in block figures needs so much of the screen.
_TALL, _WIDE = 20, 70
_TONES: dict[Weight, Tone] = {"plain": "text", "strong": "head", "soft": "soft"}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """How lanes are laid out: columns of lanes, rows of text for each, how many fit.

    `scale` is how large the figures are, None where they are plain text.
    """

    columns: int
    rows: int
    room: int
    scale: tuple[int, int] | None


def board_rows(view: BoardView, turn: int, width_: int, height: int) -> tuple[Row, ...]:
    """All rows of the board; what has no room together is shown turn by turn."""
    columns = width_ - _ENDS
    end = run("", "text", 1)
    rows = _rows(view, turn, columns, height)
    found = exactly(rows, height, columns)
    return tuple((end, *filled(row, columns), end) for row in found)


def _rows(view: BoardView, turn: int, columns: int, height: int) -> list[Row]:
    foot = _foot(view, columns, height)
    if not view.heats:
        return [(run(NOTHING, "bold", columns),), *foot]
    pages: list[tuple[BoardHeat, _Grid, int]] = []
    for heat in view.heats:
        room = height - len(foot) - len(_head(heat, view, columns, height))
        grid = _grid(heat, columns, max(1, room))
        pages += [(heat, grid, n) for n in range(0, len(heat.lanes), grid.room)]
    heat, grid, first = pages[turn % len(pages)]
    head = _head(heat, view, columns, height)
    shown = heat.lanes[first : first + grid.room]
    cells = _cells(shown, grid, columns)
    middle = exactly(cells, height - len(head) - len(foot), columns)
    return [*head, *middle, *foot]


def _head(heat: BoardHeat, view: BoardView, columns: int, height: int) -> list[Row]:
    """What heat it is, the time of day, and its own time as large as it can be."""
    day = "  ".join(word for word in (view.time, view.late) if word)
    title = f"{heat.title}   {heat.workout}"
    if height < _TALL or columns < _WIDE or not can_draw(heat.clock):
        clock = f"{heat.clock}   {day}" if heat.clock else day
        clock = fitting((clock, heat.clock or day), columns // 2)
        room = columns - len(clock)
        return [(run(title, "bold", room), run(clock, "bold", len(clock)))]
    scale = _scale(heat.clock, columns // 2, 5 if height < 2 * _TALL else 10)
    lines = drawn(heat.clock, scale)
    room = columns - len(lines[0])
    left = [title, "", day]
    words: list[Tone] = ["bold", "text", "soft"]
    return [
        *(
            (
                run(
                    left[n] if n < len(left) else "",
                    words[n] if n < len(words) else "text",
                    room,
                ),
                run(line, "bold", len(line)),
            )
            for n, line in enumerate(lines)
        ),
        blank(columns),
    ]


def _scale(text: str, columns: int, rows: int) -> tuple[int, int]:
    fits = (
        scale
        for scale in SCALES
        if scale[1] * ROWS <= rows and width(text, scale) <= columns
    )
    return next(fits, SCALES[-1])


def _foot(view: BoardView, columns: int, height: int) -> list[Row]:
    """Who comes next: the next heat on two lines, one after it on what is left."""
    most = (2, 2) if height >= 2 * _TALL else (2, 1) if height >= _TALL else (1,)
    lines = [
        line
        for coming, many in zip(view.coming, most, strict=False)
        for line in _coming(coming, columns, many)
    ]
    return [(run(line, "key", columns),) for line in lines]


def _coming(coming: BoardComing, columns: int, most: int) -> list[str]:
    """Who comes, all of them or as many as have room and how many more."""
    many = len(coming.who)
    for shown in range(many, 0, -1):
        more = f" and {many - shown} more" if shown < many else ""
        names = f"{', '.join(coming.who[:shown])}{more}"
        lines = wrapped(f"{coming.says}: {names}", columns, _MANY)
        if len(lines) <= most:
            return lines
    brief = f"{many} athletes" if many > 1 else "".join(coming.who)
    return [cut(f"{coming.says}: {brief}", columns)]


def _grid(heat: BoardHeat, columns: int, rows: int) -> _Grid:
    """The columns of lanes that let the figures be largest, and then the fewest."""
    many = len(heat.lanes)
    best: _Grid | None = None
    for across in range(1, _MOST_COLUMNS + 1):
        wide = (columns - _GAP * (across - 1)) // across
        if across > 1 and wide < _LEAST_COLUMN:
            break
        each = rows // -(-many // across)
        scale = _figures(heat.lanes, wide, each)
        # Further apart, lanes would no longer look like one list.
        most = _APART + (scale[1] * ROWS if scale else 1)
        grid = _Grid(
            columns=across,
            rows=max(1, min(each, most)),
            room=many if each else rows * across,
            scale=scale,
        )
        if best is None or _size(grid) > _size(best):
            best = grid
    return best or _Grid(columns=1, rows=1, room=rows, scale=None)


def _size(grid: _Grid) -> tuple[int, int, int]:
    """How well a grid is read from afar: all lanes, large figures, then more words."""
    across, down = grid.scale or (0, 0)
    return grid.room, across * down, min(grid.rows, 2)


def _figures(
    lanes: Sequence[BoardLane], wide: int, rows: int
) -> tuple[int, int] | None:
    """How large the figures of all lanes can be, with a row between lanes."""
    texts = [lane.big for lane in lanes if can_draw(lane.big)]
    if not texts:
        return None
    for scale in SCALES:
        least = max(width(text, scale) for text in texts)
        if scale[1] * ROWS < rows and least + _GAP + _WORDS <= wide:
            return scale
    return None


def _cells(lanes: Sequence[BoardLane], grid: _Grid, columns: int) -> list[Row]:
    """The lanes, downwards in each column."""
    wide = (columns - _GAP * (grid.columns - 1)) // grid.columns
    deep = -(-len(lanes) // grid.columns)
    high = grid.rows
    rows: list[Row] = []
    for level in range(deep):
        beside = [
            _cell(lanes[at], grid, lanes, wide) if at < len(lanes) else []
            for at in range(level, deep * grid.columns, deep)
        ]
        for line in range(high):
            row: Row = ()
            for number, cell in enumerate(beside):
                gap = (run("", "text", _GAP),) if number else ()
                row = (*row, *gap, *exactly(cell, high, wide)[line])
            rows.append((*row, run("", "text", columns - _width(row))))
    return rows


def _width(row: Row) -> int:
    return sum(width_of(text) for text, _ in row)


def _cell(
    lane: BoardLane, grid: _Grid, lanes: Sequence[BoardLane], wide: int
) -> list[Row]:
    if grid.scale is not None:
        return _large(lane, grid.scale, lanes, wide)
    first, says = _lines(lane, wide)
    if grid.rows > 1:
        said = run(f"{'':6}{lane.says}", _TONES[lane.weight], wide)
        return [first, (said,)]
    return [says]


def _lines(lane: BoardLane, wide: int) -> tuple[Row, Row]:
    """A lane in one line, without and with what goes on there."""
    big = 10 if wide >= _LEAST_COLUMN + _WORDS else 6
    head = f"{lane.number:>2}  "
    place = f"{_ordinal(lane.place):<5}"
    rest = wide - len(head) - len(place) - big
    figures = run(lane.big, "bold", big, right=True)
    start = (run(head, "soft", len(head)), run(place, "key", len(place)))
    alone = (*start, run(lane.who, "bold", rest), figures)
    half = max(rest // 2, rest - _SAYS)
    said = run(f" {lane.says}", _TONES[lane.weight], rest - half)
    return alone, (*start, run(lane.who, "bold", half), said, figures)


def _large(
    lane: BoardLane, scale: tuple[int, int], lanes: Sequence[BoardLane], wide: int
) -> list[Row]:
    """A lane with block figures at its left, and the words beside them."""
    drawable = [one.big for one in lanes if can_draw(one.big)] or ["0"]
    room = max(width(text, scale) for text in drawable)
    lines = drawn(lane.big, scale) if can_draw(lane.big) else [lane.big]
    words = wide - room - _GAP
    first = f"lane {lane.number}"
    beside: list[tuple[str, Tone]] = [
        (f"{first}   {_ordinal(lane.place)}".rstrip(), "key"),
        (lane.who, "bold"),
        *((line, _TONES[lane.weight]) for line in wrapped(lane.says, words, 2)),
    ]
    high = max(len(lines), len(beside))
    return [
        (
            run(lines[n] if n < len(lines) else "", "bold", room, right=True),
            run("", "text", _GAP),
            run(*(beside[n] if n < len(beside) else ("", "text")), words),
        )
        for n in range(high)
    ]


_ENDINGS = {1: "st", 2: "nd", 3: "rd"}
_TEENS = (11, 12, 13)


def _ordinal(place: str) -> str:
    """A place as it is said: "1st", "2nd="."""
    if not place:
        return ""
    number = int(place.rstrip("="))
    ending = "th" if number % 100 in _TEENS else _ENDINGS.get(number % 10, "th")
    return f"{number}{ending}{'=' if place.endswith('=') else ''}"
