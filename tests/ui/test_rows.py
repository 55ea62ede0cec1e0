"""Rows of exact width, and what differs between two of them."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.color import ColorSystem
from rich.segment import Segment
from textual.color import Color as TextualColor
from textual.filter import Monochrome
from textual.strip import Strip

from judgekit.ui.text import cut, width_of
from judgekit.ui.widgets.painted import Ground, style_of
from judgekit.ui.widgets.row import Row, Tone, difference, filled, fit, written
from tests.external.test_wcag_contrast import contrast

# What the cells of a terminal are made of: one or two wide, joined, or no cell at all.
LETTERS = "ab 王é\u0301א👍\u200d\u202e\x1b\x9b[]$\\"
TEXTS = st.text(alphabet=LETTERS, max_size=12)
# A pad's edge is a colour beside another one, and no text.
TONES: tuple[Tone, ...] = tuple(
    tone for tone in get_args(Tone) if not tone.startswith("edge")
)
GROUNDS: tuple[Ground, ...] = get_args(Ground)
ROWS = st.lists(st.tuples(TEXTS, st.sampled_from(TONES)), max_size=4)


@given(TEXTS, st.integers(0, 14), st.booleans())
def test_a_text_fills_its_cells_exactly(text: str, columns: int, right: bool) -> None:
    fitted = fit(text, columns, right=right)
    seen = fitted.replace("\u200d", "")
    assert (width_of(fitted), seen.isprintable()) == (columns, True)


@given(TEXTS, st.integers(1, 14))
def test_a_cut_text_is_never_wider_than_its_place(text: str, columns: int) -> None:
    assert width_of(cut(text, columns)) <= columns


@given(ROWS, st.integers(0, 20))
def test_a_row_is_exactly_as_wide_as_asked(
    runs: list[tuple[str, Tone]], columns: int
) -> None:
    assert width_of(written(filled(runs, columns))) == columns


@given(ROWS, ROWS)
def test_whatever_differs_lies_within_the_difference(
    old: list[tuple[str, Tone]], new: list[tuple[str, Tone]]
) -> None:
    before, after = filled(old, 20), filled(new, 20)
    found = difference(before, after)
    if found is None:
        assert before == after
        return
    start, end = found
    assert 0 <= start < end <= 20
    for part in ((0, start), (end, 20)):
        assert _cells(before, *part) == _cells(after, *part)


def _cells(row: Row, start: int, end: int) -> list[tuple[str, object]]:
    strip = Strip([Segment(text, style_of(tone, "usual")) for text, tone in row])
    part = strip.crop(start, end).simplify()
    return [(segment.text, segment.style) for segment in part if segment.text]


def test_what_stands_beside_a_change_is_not_painted_again() -> None:
    row = filled([("title ", "bold"), ("rep 41", "text"), ("saved", "soft")], 20)
    other = filled([("title ", "bold"), ("rep 42", "text"), ("saved", "soft")], 20)
    assert difference(row, other) == (6, 12)


# What xterm and the console of Linux show for the sixteen colours.
XTERM = (
    "000000 cd0000 00cd00 cdcd00 0000ee cd00cd 00cdcd e5e5e5 "
    "7f7f7f ff0000 00ff00 ffff00 5c5cff ff00ff 00ffff ffffff"
)
CONSOLE = (
    "000000 aa0000 00aa00 aa5500 0000aa aa00aa 00aaaa aaaaaa "
    "555555 ff5555 55ff55 ffff55 5555ff ff55ff 55ffff ffffff"
)


@pytest.mark.parametrize("palette", [XTERM, CONSOLE])
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("tone", TONES)
def test_every_tone_can_be_read_in_sixteen_colours(
    tone: Tone, ground: Ground, palette: str
) -> None:
    style = style_of(tone, ground)
    assert style.color is not None
    assert style.bgcolor is not None
    shown = [
        palette.split()[colour.downgrade(ColorSystem.STANDARD).number or 0]
        for colour in (style.color, style.bgcolor)
    ]
    assert contrast(*(f"#{colour}" for colour in shown)) >= 4.5


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("tone", TONES)
def test_every_tone_can_be_read_in_colour_and_as_greys(
    tone: Tone, ground: Ground
) -> None:
    style = style_of(tone, ground)
    grey = Monochrome().apply([Segment("a", style)], _TERMINAL_GROUND)[0].style
    for drawn in (style, grey):
        assert drawn is not None
        assert drawn.color is not None
        assert drawn.bgcolor is not None
        colours = (drawn.color.get_truecolor().hex, drawn.bgcolor.get_truecolor().hex)
        assert contrast(*colours) >= 4.5


_TERMINAL_GROUND = TextualColor.parse("#000000")


def test_what_must_not_be_missed_shows_on_a_terminal_without_colour() -> None:
    marked = {tone for tone in TONES if style_of(tone, "usual").reverse}
    pads = {"pad good", "pad ask", "pad stop"}
    assert marked == {"ask", "alarm", "waiting"} | pads
    for ground in ("no-rep", "stopped"):
        plain = {tone for tone in TONES if not style_of(tone, ground).reverse}
        assert plain == marked
