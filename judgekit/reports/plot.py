"""Charts with axes, drawn by matplotlib as SVG for browsers and for paper.

Each is 360 points wide, so that its letters can be read on a phone; one of rows is
drawn again for wider pages, its words beside the bars. Rates that lie along nothing
stand in a table with bars and are not drawn here. Only what prints a page with
charts imports this module: matplotlib takes its time.
"""

from __future__ import annotations

import io
import logging
import warnings
from typing import TYPE_CHECKING, Any, cast

from judgekit.core.values import dataclass
from judgekit.reports.chart import Splits
from judgekit.reports.drawing import BACK, GRID, INK, MARK, SOFT, element
from judgekit.reports.layout import cell_width, cut, visible, wrapped
from judgekit.reports.ratewords import out_of, percent

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from judgekit.reports.chart import Chart, Rated, Rates, Split
    from judgekit.reports.drawing import Paint

_NARROW, _WIDE = 360, 700
_SIDE = 15
_INCH = 72
_LETTER, _SMALL, _LEAST = 12.0, 11.0, 6.0
# How wide a letter is, of its height: of the widest of the fonts a page may have.
_BROAD = 0.62
_LINE = 15
_MOST_LINES, _MOST_CELLS = 3, 32
# Room for a row's bar below its words or between rows, for the axis, for a key.
_BAR, _GAP, _AXIS, _KEY = 22, 5, 36, 24
_TALL = 110
_HEADS = 56
_BELOW = 75
_OVER = 24
_TICKS = 5
_PERCENT = "no-reps in 100 attempts"
# The parts of a whole, told apart without colour: full, hatched, empty.
_FILLS: tuple[tuple[str, str], ...] = ((MARK, ""), (BACK, "//"), (BACK, ""))
_RULES: Mapping[str, Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "judgekit",
    "font.family": ["DejaVu Sans"],
    "font.size": _SMALL,
    "text.color": INK,
    "text.parse_math": False,
    "axes.facecolor": "none",
    "axes.edgecolor": SOFT,
    "axes.labelcolor": SOFT,
    "axes.linewidth": 0.8,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "xtick.color": SOFT,
    "ytick.color": SOFT,
    "figure.facecolor": "none",
    "hatch.linewidth": 1.0,
    "hatch.color": MARK,
    "figure.dpi": _INCH,
}
_NO_METADATA = {"Date": None, "Creator": None, "Format": None, "Type": None}
_RULE: Mapping[str, Any] = {"color": GRID, "linewidth": 0.7, "zorder": 0}
_DASHED: Mapping[str, Any] = {
    "color": SOFT,
    "linewidth": 1.2,
    "linestyle": (0, (3, 2)),
    "zorder": 1,
}


def svg(chart: Chart, key: str, paint: Paint, *, wide: bool = False) -> str:
    """The chart as an element of SVG; `key` keeps its ids apart from all others.

    `wide` is for paper and large screens, where that is another drawing.
    """
    # What it says of its cache of fonts is nothing for a coach.
    logging.getLogger("matplotlib").setLevel(logging.ERROR)
    import matplotlib as mpl

    with mpl.rc_context(), warnings.catch_warnings():
        # It measures letters that it does not have; whoever shows them has fonts.
        warnings.filterwarnings("ignore", message="Glyph")
        mpl.rcdefaults()
        cast("Any", mpl.rcParams).update(_RULES)
        drawn = io.BytesIO()
        figure = _drawn(chart, wide=wide)
        figure.savefig(drawn, format="svg", metadata=_NO_METADATA)
    return element(drawn.getvalue(), visible(chart.of), key, paint)


def _drawn(chart: Chart, *, wide: bool) -> Figure:
    return _splits(chart, wide=wide) if isinstance(chart, Splits) else _along(chart)


def _figure(
    size: tuple[float, float], edges: tuple[float, float, float, float]
) -> tuple[Figure, Axes]:
    """A figure and axes within it, so far from its edges: left, below, right, above."""
    from matplotlib.figure import Figure

    wide, tall = size
    left, below, right, above = edges
    figure = Figure(figsize=(wide / _INCH, tall / _INCH))
    axes = figure.add_axes(
        (
            *(left / wide, below / tall),
            *(1 - (left + right) / wide, 1 - (below + above) / tall),
        )
    )
    axes.tick_params(length=3, width=0.8)
    return figure, axes


# --- a row each ----------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    """One row: lines of its label, where its numbers stand and where its bar lies.

    All in points below the top of the axes; `ends` is where the next row begins.
    """

    label: tuple[tuple[float, str], ...]
    says: str
    says_at: float
    bar: float
    ends: float


def _above(rows: Sequence[Split]) -> Iterator[_Line]:
    """Words above each bar: the numbers beside the label, or below where it is long."""
    room = int((_NARROW - 2 * _SIDE) / (_LETTER * _BROAD))
    top = 0.0
    for row in rows:
        lines = _label(row, room)
        beside = cell_width(lines[-1]) + 1 + cell_width(row.says) <= room
        low = top + _LINE * (len(lines) + (not beside))
        label = tuple((top + _LINE * n, line) for n, line in enumerate(lines, 1))
        yield _Line(
            label=label, says=row.says, says_at=low, bar=low + 11, ends=low + _BAR
        )
        top = low + _BAR


def _beside(rows: Sequence[Split]) -> Iterator[_Line]:
    """Words at the left of each bar, the numbers at its right."""
    top = 0.0
    for row in rows:
        lines = _label(row, _MOST_CELLS)
        deep = _LINE * len(lines)
        label = tuple((top + _LINE * n + 1, line) for n, line in enumerate(lines, 1))
        middle = top + (deep + _GAP) / 2
        yield _Line(
            label=label,
            says=row.says,
            says_at=middle + _LINE / 2 - 1,
            bar=middle,
            ends=top + deep + _GAP,
        )
        top += deep + _GAP


def _label(row: Split, room: int) -> list[str]:
    """The label in a few lines; the last one shows that there would be more."""
    every = wrapped(visible(row.label), room)
    first, rest = every[: _MOST_LINES - 1], every[_MOST_LINES - 1 :]
    return [cut(line, room) for line in (*first, *filter(None, [" ".join(rest)]))]


def _rows(
    rows: Sequence[Split], above: float, end: float, title: str, *, wide: bool
) -> tuple[Figure, Axes, list[float]]:
    """Axes with the words of each row, and where its bar lies: points from the top."""
    lines = list((_beside if wide else _above)(rows))
    deep = lines[-1].ends
    left, right = _room_for(lines) if wide else (_SIDE, _SIDE)
    figure, axes = _figure(
        (_WIDE if wide else _NARROW, above + deep + _AXIS),
        (left, _AXIS, right, above),
    )
    axes.set_ylim(deep, 0)
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    marks = _marks(end)
    axes.set_xlim(0, end)
    axes.set_xticks(marks, [f"{mark:g} %" for mark in marks])
    axes.set_xlabel(title)
    for line in lines:
        _write(axes, line, left if wide else 0, right if wide else 0)
    places = [line.bar for line in lines]
    for mark in marks:
        _upright(axes, mark, places, _RULE)
    return figure, axes, places


def _room_for(lines: Sequence[_Line]) -> tuple[float, float]:
    """How wide the words at the left and the numbers at the right are."""
    labels = [text for line in lines for _, text in line.label]
    left, right = (
        max(map(cell_width, texts)) * _LETTER * _BROAD + _SIDE
        for texts in (labels, [line.says for line in lines])
    )
    return left, right


def _write(axes: Axes, line: _Line, left: float, right: float) -> None:
    """The words of a row; `left` and `right` are the room for them beside the axes."""
    whole = _NARROW - 2 * _SIDE if not right else _WIDE - left - right
    for down, text in line.label:
        _put(axes, text, -left / whole, down, fontsize=_LETTER)
    _put(
        *(axes, line.says, 1 + right / whole, line.says_at),
        fontsize=_LETTER,
        color=SOFT,
        horizontalalignment="right",
    )


def _upright(
    axes: Axes, across: float, places: Sequence[float], how: Mapping[str, Any]
) -> None:
    """A line through all bars, broken where words stand."""
    above, below = ([place + by for place in places] for by in (-8, 9))
    axes.vlines([across] * len(places), above, below, **how)


def _put(axes: Axes, text: str, across: float, down: float, **how: object) -> None:
    """A text at a part of the axes' width and some points from their top."""
    axes.text(
        across, down - 3, text, transform=axes.get_yaxis_transform(), **cast("Any", how)
    )


def _marks(end: float) -> list[float]:
    return [end * part / _TICKS for part in range(_TICKS + 1)]


def _axis_words(chart: Rates) -> str:
    whole = _whole(chart)
    return _PERCENT if whole is None else f"{_PERCENT} (dashed: all, {whole:.1f})"


def _whole(chart: Rates) -> float | None:
    """The rate of all together in hundredths, if it is drawn."""
    if chart.whole is None or chart.whole.rate is None:
        return None
    return 100 * chart.whole.rate


def _ranges(axes: Axes, chart: Rates) -> None:
    """Each rate as a ring, where it likely lies as a line with ends."""
    ends = [row.ends for row in chart.rows]
    middles = [middle for _, middle, _ in ends]
    # Rounding alone could put an end on the wrong side of its rate.
    below = [max(0, middle - low) for low, middle, _ in ends]
    above = [max(0, high - middle) for _, middle, high in ends]
    axes.errorbar(
        range(len(ends)),
        middles,
        yerr=[below, above],
        fmt="o",
        color=MARK,
        markerfacecolor=BACK,
        markersize=7,
        markeredgewidth=2,
        elinewidth=2,
        capsize=3.5,
        capthick=2,
        clip_on=False,
    )


def _splits(chart: Splits, *, wide: bool) -> Figure:
    title = f"{chart.unit} in 100"
    figure, axes, places = _rows(chart.rows, _KEY, 100, title, wide=wide)
    for row, place in zip(chart.rows, places, strict=True):
        left = 0.0
        for many, fill in zip(row.parts, _FILLS, strict=False):
            part = 100 * many / row.whole
            if many:
                axes.barh(place, part, left=left, height=12, **_filled(fill))
            left += part
    _key(axes, chart.parts)
    return figure


def _filled(fill: tuple[str, str]) -> dict[str, Any]:
    colour, hatch = fill
    return {
        "facecolor": colour,
        "hatch": hatch,
        "edgecolor": MARK,
        "linewidth": 1,
        "clip_on": False,
    }


def _key(axes: Axes, parts: Sequence[str]) -> None:
    """What the fills mean, side by side above all rows."""
    from matplotlib.patches import Patch

    axes.legend(
        handles=[Patch(**_filled(fill)) for fill in _FILLS[: len(parts)]],
        labels=list(parts),
        loc="lower left",
        bbox_to_anchor=(0, 1),
        ncols=len(parts),
        frameon=False,
        borderaxespad=0.5,
        borderpad=0,
        handlelength=1.6,
        handletextpad=0.5,
        columnspacing=1.4,
    )


# --- side by side --------------------------------------------------------------------


def _along(chart: Rates) -> Figure:
    """Rates along the work, their numbers in a small table below the axis."""
    many = len(chart.rows)
    figure, axes = _figure(
        (_NARROW, _OVER + _TALL + _BELOW), (_HEADS, _BELOW, _SIDE, _OVER)
    )
    axes.set_xlim(-0.5, many - 0.5)
    axes.set_ylim(0, chart.end)
    marks = _marks(chart.end)
    axes.set_yticks(marks, [f"{mark:g} %" for mark in marks])
    axes.hlines(marks, -0.5, many - 0.5, **_RULE)
    axes.set_xticks(range(many), [""] * many)
    figure.text(0, 0.98, _axis_words(chart), color=SOFT, verticalalignment="top")
    whole = _whole(chart)
    if whole is not None:
        axes.axhline(whole, **_DASHED)
    _ranges(axes, chart)
    below = (
        (chart.along, [visible(row.label) for row in chart.rows]),
        ("rate", [percent(row.rate.rate or 0) for row in chart.rows]),
        ("likely", [_to(row) for row in chart.rows]),
        ("no-reps", [out_of(row.rate) for row in chart.rows]),
    )
    longest = max(cell_width(cell) for _, cells in below for cell in cells)
    room = (_NARROW - _HEADS - _SIDE) / many
    size = max(_LEAST, min(_SMALL, room / longest / _BROAD))
    for number, (head, cells) in enumerate(below):
        _line_below(axes, -(9 + _LINE * number), head, cells, size)
    return figure


def _to(row: Rated) -> str:
    """Where a rate likely lies, in hundredths: "4.3 to 11.6"."""
    low, _, high = row.ends
    return f"{low:.1f} to {high:.1f}"


def _line_below(
    axes: Axes, down: float, head: str, cells: Sequence[str], size: float
) -> None:
    """A line of the table: its head at the edge, each cell below its place."""
    for place, cell in enumerate(cells):
        axes.annotate(
            *(cell, (place, 0)),
            xytext=(0, down),
            textcoords="offset points",
            fontsize=size,
            color=INK,
            horizontalalignment="center",
            verticalalignment="top",
            annotation_clip=False,
        )
    axes.annotate(
        *(head, (-0.5, 0)),
        xytext=(-_HEADS, down),
        textcoords="offset points",
        color=SOFT,
        verticalalignment="top",
        annotation_clip=False,
    )
