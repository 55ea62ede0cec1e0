"""Block letters and digits, drawn on a small grid and scaled to whole cells."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

ROWS = 5
# Columns and rows of cells for one square of the grid, largest first. A cell is
# about twice as high as wide, so 2 x 1 is nearly a square.
SCALES: tuple[tuple[int, int], ...] = (
    *((8, 4), (6, 3), (5, 3)),
    *((4, 2), (3, 2), (2, 1), (1, 1)),
)
_INK = "█"

_DRAWN = """
0 ### #.# #.# #.# ###
1 .#. ##. .#. .#. ###
2 ### ..# ### #.. ###
3 ### ..# .## ..# ###
4 #.# #.# ### ..# ..#
5 ### #.. ### ..# ###
6 ### #.. ### #.# ###
7 ### ..# ..# .#. .#.
8 ### #.# ### #.# ###
9 ### #.# ### ..# ###
A .#. #.# ### #.# #.#
B ##. #.# ##. #.# ##.
C .## #.. #.. #.. .##
D ##. #.# #.# #.# ##.
E ### #.. ##. #.. ###
F ### #.. ##. #.. #..
G .## #.. #.# #.# .##
H #.# #.# ### #.# #.#
I ### .#. .#. .#. ###
J ..# ..# ..# #.# .#.
K #.# #.# ##. #.# #.#
L #.. #.. #.. #.. ###
M #...# ##.## #.#.# #...# #...#
N #..# ##.# #.## #..# #..#
O .#. #.# #.# #.# .#.
P ##. #.# ##. #.. #..
Q ### #.# #.# ### ..#
R ##. #.# ##. #.# #.#
S .## #.. .#. ..# ##.
T ### .#. .#. .#. .#.
U #.# #.# #.# #.# ###
V #.# #.# #.# #.# .#.
W #...# #...# #.#.# ##.## #...#
X #.# #.# .#. #.# #.#
Y #.# #.# .#. .#. .#.
Z ### ..# .#. #.. ###
: . # . # .
. . . . . #
- ... ... ### ... ...
? ##. ..# .#. ... .#.
! # # # . #
' # # . . .
& .#. #.# .#. #.# .##
/ ..# ..# .#. #.. #..
+ ... .#. ### .#. ...
"""


def _read(drawn: str) -> dict[str, tuple[str, ...]]:
    rows = (line.split() for line in drawn.strip().splitlines())
    return {name: tuple(pattern) for name, *pattern in rows} | {" ": ("..",) * ROWS}


GLYPHS: Mapping[str, tuple[str, ...]] = _read(_DRAWN)


def can_draw(text: str) -> bool:
    """Whether every character has a block letter."""
    return bool(text) and all(character in GLYPHS for character in text.upper())


def width(text: str, scale: tuple[int, int]) -> int:
    """How many columns a line of block letters takes."""
    squares = sum(len(GLYPHS[c][0]) for c in text.upper())
    return squares * scale[0] + max(0, len(text) - 1) * _gap(scale)


def drawn(text: str, scale: tuple[int, int]) -> list[str]:
    """The text in block letters, `ROWS` x scale lines, all equally wide."""
    across, down = scale
    gap = " " * _gap(scale)
    lines = []
    for row in range(ROWS):
        line = gap.join(
            "".join((_INK if square == "#" else " ") * across for square in pattern)
            for pattern in (GLYPHS[c][row] for c in text.upper())
        )
        lines += [line] * down
    return lines


def fitted(text: str, columns: int, rows: int) -> list[str]:
    """The text as large as it fits; plain text where no block letters do."""
    if can_draw(text):
        for scale in SCALES:
            if scale[1] * ROWS <= rows and width(text, scale) <= columns:
                return drawn(text, scale)
    return [text]


def stacked(texts: Sequence[str], columns: int, rows: int) -> list[str]:
    """Several texts below each other, each as large as its share of the rows."""
    share = (rows - (len(texts) - 1)) // max(1, len(texts))
    lines: list[str] = []
    for text in texts:
        if lines:
            lines.append("")
        lines += fitted(text, columns, share)
    return lines


def _gap(scale: tuple[int, int]) -> int:
    # Half a square is enough to part two letters, except where it is no cell at all.
    return max(1, scale[0] // 2)
