"""Where pads lie, how they are drawn, and which of them a finger meets.

A pad's last row is half a cell high and its last column free, so that neighbours can be
told apart; a finger on either still means that pad.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import accumulate
from typing import TYPE_CHECKING

from judgekit.ui.text import width_of, wrapped
from judgekit.ui.widgets.row import Row, Run, Tone, fit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.ui.views.pads import Board, Pad, PadKind

_TONES: dict[PadKind, tuple[Tone, Tone]] = {
    "good": ("pad good", "edge good"),
    "ask": ("pad ask", "edge ask"),
    "call": ("pad call", "edge call"),
    "stop": ("pad stop", "edge stop"),
    "plain": ("pad", "edge"),
}
_HALF = "▀"


@lru_cache(maxsize=32)
def pad_rows(board: Board, columns: int, rows: int) -> tuple[Row, ...]:
    """All rows of the pads, each exactly so many cells."""
    drawn: list[Row] = []
    for row, high in zip(board, _heights(board, rows), strict=True):
        edges = _edges([1] * len(row.pads), columns)
        widths = [there - here for here, there in zip((0, *edges), edges, strict=False)]
        cells = [
            _pad(pad, wide, high) for pad, wide in zip(row.pads, widths, strict=True)
        ]
        drawn += [
            tuple(run for cell in line for run in cell)
            for line in zip(*cells, strict=True)
        ]
    return tuple(drawn)


def pad_at(board: Board, size: tuple[int, int], x: int, y: int) -> Pad | None:
    """The pad at a cell; None where there is none."""
    columns, rows = size
    lower = list(accumulate(_heights(board, rows)))
    row = next((row for row, end in zip(board, lower, strict=True) if y < end), None)
    if row is None:
        return None
    right = _edges([1] * len(row.pads), columns)
    found = (pad for pad, end in zip(row.pads, right, strict=True) if x < end)
    pad = next(found, None)
    return pad if pad is not None and pad.key else None


def _heights(board: Board, rows: int) -> list[int]:
    """How high each row is: the fixed ones first, where there is room at all."""
    fixed = sum(row.rows for row in board)
    shares = [row.rows or 0 for row in board]
    free = [at for at, row in enumerate(board) if not row.rows]
    least = len(free) * 2
    if fixed + least > rows or not free:
        # Too low for what was wished: everything has its share.
        ends = _edges([row.rows or 3 for row in board], rows)
        return [there - here for here, there in zip((0, *ends), ends, strict=False)]
    ends = _edges([1] * len(free), rows - fixed)
    for at, here, there in zip(free, (0, *ends), ends, strict=False):
        shares[at] = there - here
    return shares


def _edges(weights: Sequence[int], room: int) -> list[int]:
    whole = sum(weights)
    return [room * end // whole for end in accumulate(weights)]


def _pad(pad: Pad, wide: int, high: int) -> list[tuple[Run, ...]]:
    """The lines of one pad, each a run and the gap behind it."""
    if wide <= 0 or high <= 0:
        return [()] * high
    if pad.kind == "none":
        return [((" " * wide, "text"),)] * high
    inner = max(1, wide - 1)
    face, edge = _TONES[pad.kind]
    filled = max(1, high - 1)
    gap: Run = (" " * (wide - inner), "text")
    lines = [line for words in pad.says for line in wrapped(words, inner, filled)][
        :filled
    ]
    # The half row below belongs to the pad, so the middle lies a little lower.
    above = max(0, min(filled - len(lines), (filled + 1 - len(lines)) // 2))
    texts = [*[""] * above, *lines, *[""] * filled][:filled]
    drawn = [((_middle(text, inner), face), gap) for text in texts]
    if high > 1:
        drawn.append(((_HALF * inner, edge), gap))
    return [tuple(run for run in line if run[0]) for line in drawn]


def _middle(text: str, columns: int) -> str:
    left = max(0, columns - width_of(text)) // 2
    return fit(" " * left + text, columns)
