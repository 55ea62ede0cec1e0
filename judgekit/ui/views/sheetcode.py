"""A code of a sheet as lines of half blocks, with the words around it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.athletecodes import CLOSES, OPENS
from judgekit.ui.views.sheet import SheetLine

if TYPE_CHECKING:
    from collections.abc import Iterator

    from judgekit.ui.athletecodes import AthleteCode, Code
    from judgekit.ui.views.sheet import Keys

# So many light squares stand around a code; a phone reads it with fewer than the best.
_BEST, _LEAST = 4, 2
# Two squares, the upper and the lower one, dark or not, are a letter.
_BLOCKS = {"00": " ", "10": "▀", "01": "▄", "11": "█"}
_TOO_SMALL = "This window is too small for the code. The link:"


def code_lines(code: Code, columns: int, rows: int) -> tuple[SheetLine, ...]:
    """The whole code with its light border, or the link where there is no room."""
    room = min(columns, 2 * rows) - len(code.rows)
    border = min(_BEST, room // 2)
    if border < _LEAST:
        links = _parts(code.link, max(1, columns))
        return (
            SheetLine("ask", _TOO_SMALL),
            *(SheetLine("plain", one) for one in links),
        )
    return tuple(SheetLine("code", line) for line in _blocks(code, border))


def _parts(text: str, columns: int) -> Iterator[str]:
    for at in range(0, len(text), columns):
        yield text[at : at + columns]


def _blocks(code: Code, border: int) -> Iterator[str]:
    wide = len(code.rows) + 2 * border
    light = ["0" * wide] * border
    rows = [
        *light,
        *(f"{'0' * border}{row}{'0' * border}" for row in code.rows),
        *light,
    ]
    if len(rows) % 2:
        rows.append("0" * wide)
    for upper, lower in zip(rows[::2], rows[1::2], strict=True):
        yield "".join(
            _BLOCKS[both + under] for both, under in zip(upper, lower, strict=True)
        )


def opening(many: int) -> Keys:
    """What opens the codes, in words; nothing where there are none."""
    if not many:
        return ()
    return (f"{OPENS} athlete's sheet" if many == 1 else f"{OPENS} athletes' sheets",)


def code_footer(shown: AthleteCode, *, last: bool) -> tuple[Keys, Keys]:
    """Whose code it is, and the keys while it is shown."""
    on = () if last else (f"{OPENS} next athlete",)
    return (f"Sheet of {shown.who}: hold a phone's camera here",), (
        *on,
        f"{CLOSES} to the scorecard",
    )
