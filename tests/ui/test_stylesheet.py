"""Every colour in the stylesheet is one of the theme's, and every pair is checked."""

from __future__ import annotations

import re
from pathlib import Path

from judgekit.ui.theme import COLOURS, PAIRS

UI = Path(__file__).parents[2] / "judgekit" / "ui"
SHEET = (UI / "judgekit.tcss").read_text(encoding="utf-8")
_BLOCK = re.compile(r"[^{}]+\{([^{}]*)\}")


def test_the_stylesheet_names_no_colour_of_its_own() -> None:
    assert set(re.findall(r"\$([a-z-]+)", SHEET)) <= set(COLOURS)
    assert re.findall(r"#[0-9a-fA-F]{6}\b", SHEET) == []


def test_every_pair_of_colours_in_one_rule_has_its_contrast_checked() -> None:
    used = set()
    for body in _BLOCK.findall(re.sub(r"/\*.*?\*/", "", SHEET, flags=re.DOTALL)):
        text = re.search(r"(?<![-\w])color: \$(\w+)", body)
        ground = re.search(r"(?<![-\w])background: \$(\w+)", body)
        if text and ground:
            used.add((text[1], ground[1]))
    assert len(used) >= 3
    assert used <= set(PAIRS)


def test_nothing_is_ever_drawn_as_markup_nor_the_app_suspended() -> None:
    found = [
        f"{path.name}: {word}"
        for path in UI.rglob("*.py")
        for word in ("from_markup", ".suspend(", "Label(", ".notify(", "push_screen")
        if word in path.read_text(encoding="utf-8")
        and (path.name, word) != ("app.py", "push_screen")
    ]
    assert found == []
