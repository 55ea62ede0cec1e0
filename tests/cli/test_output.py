from __future__ import annotations

import pytest

from judgekit.cli.output import plain, say
from judgekit.store.book import BookHeld


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("  judgekit floor  x\n\nnext", "  judgekit floor  x\n\nnext"),
        ("h\x1b[2Jst", "h\ufffd[2Jst"),
        ("a\u202eb", "ab"),
        ("Zoé 9 kg ≈ 20 lb", "Zoé 9 kg ≈ 20 lb"),
        ("x" * 900, "x" * 900),
    ],
)
def test_a_message_keeps_its_lines_and_loses_what_acts(text: str, shown: str) -> None:
    assert plain(text) == shown


def test_the_host_of_a_book_from_elsewhere_is_only_text(
    capsys: pytest.CaptureFixture[str],
) -> None:
    say(str(BookHeld("b1", process=7, host="h\x1b[2J")))
    assert capsys.readouterr().err == (
        "the log b1 is open at another desk: process 7 on h\ufffd[2J\n"
    )
