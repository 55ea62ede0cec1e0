"""Our colours against W3C's contrast ratio: WCAG 2.2, "contrast ratio" and SC 1.4.3.

L = 0.2126 R + 0.7152 G + 0.0722 B, where each channel c of 0 to 1 is c / 12.92 up to
0.04045 and ((c + 0.055) / 1.055) ^ 2.4 above it; the ratio of two colours is
(L1 + 0.05) / (L2 + 0.05), the lighter one first. Text needs 4.5 : 1, never rounded up.
"""

from __future__ import annotations

import pytest
from textual.color import Color

from judgekit.ui.theme import COLOURS, PAIRS

TEXT = 4.5


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#FF3838", "#FFFFFF", 3.6),
        ("#E3660E", "#FFFFFF", 3.4),
        ("#FFF000", "#FFFFFF", 1.2),
        ("#3366CC", "#000000", 3.9),
        ("#E5E5E5", "#6221EA", 5.6),
    ],
)
def test_the_formula_gives_what_w3c_prints(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=0.1)


@pytest.mark.parametrize(
    ("one", "ratio"),
    [
        ("#000000", 21),
        ("#777777", 4.47809),
        ("#767676", 4.54222),
        ("#595959", 7.00473),
        ("#949494", 3.03347),
        ("#FF0000", 3.99848),
        ("#0000FF", 8.59247),
    ],
)
def test_the_formula_is_exact_on_white(one: str, ratio: float) -> None:
    assert contrast(one, "#FFFFFF") == pytest.approx(ratio, abs=5e-6)


@pytest.mark.parametrize(("text", "ground"), PAIRS)
def test_all_our_text_can_be_read(text: str, ground: str) -> None:
    assert contrast(COLOURS[text], COLOURS[ground]) >= TEXT


@pytest.mark.parametrize(("text", "ground"), PAIRS)
def test_all_our_text_can_be_read_in_grey(text: str, ground: str) -> None:
    greys = [Color.parse(COLOURS[name]).monochrome.hex for name in (text, ground)]
    assert contrast(*greys) >= TEXT


def test_a_no_rep_and_a_stop_stand_out_from_the_usual_ground_in_grey() -> None:
    usual, no_rep, stop = (
        Color.parse(COLOURS[name]).monochrome.hex
        for name in ("ground", "orange", "paper")
    )
    assert min(contrast(usual, no_rep), contrast(usual, stop)) >= TEXT
