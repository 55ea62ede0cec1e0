"""The colours: white, blue and orange on near black, told apart without red and green.

`PAIRS` lists every text colour with what it stands on; each keeps a contrast of at
least 4.5, in colour and as the greys that a terminal without colour shows.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.theme import Theme

if TYPE_CHECKING:
    from collections.abc import Mapping

COLOURS: Mapping[str, str] = {
    "ground": "#0A1018",
    "text": "#F4F7FB",
    "soft": "#B4C0D0",
    "blue": "#6CC0F0",
    "orange": "#F0A81E",
    "ink": "#06090E",
    "paper": "#FFFFFF",
    "pad": "#242A30",
}

# Text colour, and the colour behind it.
PAIRS: tuple[tuple[str, str], ...] = (
    ("text", "ground"),
    ("soft", "ground"),
    ("blue", "ground"),
    ("orange", "ground"),
    ("ink", "orange"),
    ("ink", "paper"),
    ("ink", "blue"),
    ("paper", "ink"),
    ("text", "pad"),
    ("orange", "pad"),
)

JUDGEKIT = Theme(
    name="judgekit",
    primary=COLOURS["blue"],
    secondary=COLOURS["blue"],
    accent=COLOURS["orange"],
    warning=COLOURS["orange"],
    error=COLOURS["orange"],
    success=COLOURS["blue"],
    foreground=COLOURS["text"],
    background=COLOURS["ground"],
    surface=COLOURS["ground"],
    panel=COLOURS["ground"],
    dark=True,
    variables=dict(COLOURS),
)
