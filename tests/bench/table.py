"""Lines of the bench as text."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.bench.rows import Line

_WIDE = (12, 9, 9, 9, 4, 6, 8, 5, 6)
_LEFT = (0, 1, 4)
_HEAD = ("row", "stat", "product", "floor", "", "ratio", "goal", "A/A", "")


def head() -> str:
    """The table's first line."""
    return _laid((*_HEAD, "what"))


def shown(line: Line) -> str:
    """One line of the table."""
    return _laid(
        (
            line.row,
            line.stat,
            _number(line.product),
            _number(line.floor),
            line.unit,
            _ratio(line.ratio),
            line.goal,
            _ratio(line.again),
            line.verdict,
            line.says,
        )
    )


def _laid(cells: tuple[str, ...]) -> str:
    *fixed, last = cells
    laid = [
        f"{text:<{wide}}" if place in _LEFT else f"{text:>{wide}}"
        for place, (text, wide) in enumerate(zip(fixed, _WIDE, strict=True))
    ]
    return f"{'  '.join(laid)}  {last}".rstrip()


def _number(value: float | None) -> str:
    if value is None:
        return ""
    return f"{value:.0f}" if value >= 1000 else f"{value:.3g}"


def _ratio(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}"
