"""Where everything on the Floor stands at each size: rows of exact width.

What matters most is kept longest: the count and what is asked or warned of, then the
keys, the movement and what comes next, then the clock and the last entries.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.ui.effects import Trial
from judgekit.ui.panels import Panel
from judgekit.ui.text import fitting
from judgekit.ui.views.box import Box
from judgekit.ui.widgets import parts
from judgekit.ui.widgets.block import block_lines
from judgekit.ui.widgets.boxlaying import box_rows
from judgekit.ui.widgets.narrow import narrow_rows, tiny_rows
from judgekit.ui.widgets.row import Row, run
from judgekit.ui.widgets.side import panel_rows, side_rows

if TYPE_CHECKING:
    from judgekit.ui.views.floor import FloorView

# The least columns and rows of each layout.
_LEAST = (40, 12)
WHOLE_COLUMNS = 80
_WHOLE = (WHOLE_COLUMNS, 24)
_WIDE = (110, 36)
_TALL_ROWS = 34
_MANY = 99
_ENDS = 2
# Below the count: the bar, and what comes next.
_BELOW_COUNT = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Over:
    """What stands over the lane's own texts just now; empty where nothing does.

    Of several lanes, `flashing` are those just no-repped. The emergency `box` fills the
    screen.
    `performs` is what a scripted athlete does, in the place of who works here; None
    in a heat.
    """

    notice: str = ""
    flash: tuple[str, ...] = ()
    trial: Trial | None = None
    panel: Panel | None = None
    typed_for: str = ""
    panel_keys: tuple[str, ...] = ()
    flashing: frozenset[int] = frozenset()
    box: Box | None = None
    performs: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """Columns and rows of one layout; without a side the calls stand below."""

    clock: int = 10
    clock_rows: int = 1
    side: int = 30
    gap: int = 1
    count: int = 11


_FRAMES = {
    "normal": _Frame(),
    "wide": _Frame(clock=42, clock_rows=5, side=48, gap=2, count=21),
    "tall": _Frame(side=0),
}


def layout_for(width: int, height: int) -> str:
    """Which of the layouts fits a screen of so many columns and rows."""
    if width < _LEAST[0] or height < _LEAST[1]:
        return "tiny"
    if width < _WHOLE[0] or height < _WHOLE[1]:
        return "tall" if height >= _TALL_ROWS else "narrow"
    return "wide" if width >= _WIDE[0] and height >= _WIDE[1] else "normal"


def face_rows(view: FloorView, over: Over, width: int, height: int) -> tuple[Row, ...]:
    """All rows of the Floor, each exactly `width` cells."""
    if over.box is not None:
        return box_rows(over.box, over, width, height)
    layout = layout_for(width, height)
    if layout == "tiny":
        return tiny_rows(view, over, width, height)
    columns = width - _ENDS
    if layout == "narrow":
        rows = narrow_rows(view, over, columns, height)
    else:
        rows = _whole_rows(view, over, _FRAMES[layout], columns, height)
    end = run("", "text", 1)
    return tuple((end, *row, end) for row in rows)


def _whole_rows(
    view: FloorView, over: Over, frame: _Frame, columns: int, height: int
) -> list[Row]:
    head = _head(view, over, frame, columns)
    foot = parts.foot(view, over, columns)
    rows = height - len(head) - len(foot)
    if over.panel is not None and rows < _panel_needs(over.panel, over, frame, columns):
        # The choices of a panel need the rows more than the end of a long notice.
        foot = parts.foot(view, over, columns, 1)
    middle = _middle(view, over, frame, columns, height - len(head) - len(foot))
    return [*head, *middle, *foot]


def _panel_needs(panel: Panel, over: Over, frame: _Frame, columns: int) -> int:
    """Rows for all of a panel, and for the count where that stands above it."""
    above = 0 if frame.side else frame.gap + frame.count + _BELOW_COUNT
    room = frame.side or columns
    return above + len(panel_rows(panel, over.typed_for, "", room, _MANY))


def _head(view: FloorView, over: Over, frame: _Frame, columns: int) -> list[Row]:
    """Two rows or more, a blank one, and the movement."""
    athlete = [
        parts.ends(view.athlete, view.place, ("text", "soft"), columns),
        parts.blank(columns),
    ]
    if over.performs is not None:
        athlete = parts.performed(over.performs, columns, len(athlete))
    if not frame.side:
        movement = parts.ends(view.movement, view.no_reps, ("key", "text"), columns)
    else:
        room = columns - frame.side
        no_reps = view.letters or fitting(view.no_reps, frame.side)
        movement = (
            run(fitting(view.movement, room - 1), "key", room),
            run(no_reps, "text", frame.side),
        )
    above = parts.top(view, frame.clock, frame.clock_rows, columns)
    return [*above, *athlete, movement]


def _middle(
    view: FloorView, over: Over, frame: _Frame, columns: int, rows: int
) -> list[Row]:
    """The count, and beside or below it the column of calls."""
    if not frame.side:
        left = _left(view, over, frame, columns)
        below = _column(view, over, columns, rows - len(left))
        return parts.exactly(left + below, rows, columns)
    room = columns - frame.side - 1
    left = _left(view, over, frame, room)
    side = _column(view, over, frame.side, rows)
    return parts.side_by_side(left, side, (room, frame.side), rows)


def _left(view: FloorView, over: Over, frame: _Frame, columns: int) -> list[Row]:
    """The count in block figures, the bar, and what comes next."""
    big = over.trial.big if over.trial is not None else (view.big,)
    beside = _beside(view) if over.trial is None else ()
    lines = block_lines(tuple(big), beside, columns, frame.count)
    lines = ("",) * frame.gap + lines + ("",) * (frame.count - len(lines))
    bar = parts.bar(view.done, view.target, columns)
    following = fitting(view.following, columns)
    return [(run(line, "text", columns),) for line in (*lines, bar, following)]


def _beside(view: FloorView) -> tuple[str, ...]:
    return (view.beside, "", view.mark) if view.beside or view.mark else ()


def _column(view: FloorView, over: Over, columns: int, rows: int) -> list[Row]:
    """An open panel, else the calls or a word below one blank row."""
    if over.panel is not None:
        return list(panel_rows(over.panel, over.typed_for, "", columns, rows))
    words = parts.large_words(view, over)
    return [parts.blank(columns), *side_rows(view.calls, words, columns, rows - 1)]
