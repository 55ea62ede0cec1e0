"""Standings, briefing and scorecards as PDF: what the page for a screen tells."""

from __future__ import annotations

from typing import TYPE_CHECKING
from unittest.mock import patch

import pytest
from pypdf import PdfReader

from tests.cli.running import judged_event, run

if TYPE_CHECKING:
    from pathlib import Path

TOLD = {
    ("standings",): ("Quayside Saturday: standings", "Ines Varga"),
    ("standings", "--overall"): ("Overall, Women", "Ines Varga"),
    ("standings", "--explain", "27"): ("Ines Varga", "place 1 of 2"),
    ("brief",): ("Rules in force", "27"),
    ("scorecard", "--heat", "1"): ("Heat 1, lane 1: 27 Ines Varga", "Splits"),
}


@pytest.mark.parametrize("asked", TOLD)
def test_a_pdf_tells_what_the_screen_tells(
    tmp_path: Path, asked: tuple[str, ...]
) -> None:
    event, out = judged_event(tmp_path), tmp_path / "one.pdf"
    command, *more = asked
    done = run(command, event, *more, "--format", "pdf", "--out", out)
    assert (done.code, done.out) == (0, "")
    told = "\n".join(page.extract_text() for page in PdfReader(out).pages)
    for words in TOLD[asked]:
        assert words in told
    again = run(command, event, *more, "--format", "pdf", "--out", out)
    assert (again.code, "--force" in again.err) == (2, True)


@pytest.mark.parametrize("asked", TOLD)
def test_no_pdf_is_written_to_a_screen(tmp_path: Path, asked: tuple[str, ...]) -> None:
    command, *more = asked
    with patch("judgekit.cli.output._on_screen", return_value=True):
        done = run(command, judged_event(tmp_path), *more, "--format", "pdf")
    assert (done.code, done.out) == (2, "")
    assert "--out" in done.err
