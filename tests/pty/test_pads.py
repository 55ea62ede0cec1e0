"""Pads in a real terminal: a press counts once, as it comes down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import Rep, Stop
from tests.pty.terminal import Terminal
from tests.web.serving import bodies, under_way

if TYPE_CHECKING:
    from pathlib import Path

FLOOR = ("floor", "event", "--heat", "1", "--lane", "1")


def place_of(terminal: Terminal, words: str) -> str:
    """The column and row of these words, counted from one; the lowest there are."""
    rows = terminal.text().split("\n")
    row = max(number for number, line in enumerate(rows) if words in line)
    return f"{rows[row].index(words) + 1};{row + 1}"


def test_a_finger_on_a_terminal_counts_as_it_comes_down(tmp_path: Path) -> None:
    folder = under_way(tmp_path / "event")
    with Terminal((*FLOOR, "--pads"), folder=tmp_path, size=(80, 40)) as terminal:
        terminal.wait_for(lambda text: "GOOD REP" in text and "saved" in text)
        good = place_of(terminal, "GOOD REP")
        for number in range(1, 6):
            terminal.send(f"\x1b[<0;{good}M")
            terminal.wait_for(f"rep {number}")
            # The finger moves, and is lifted.
            terminal.send(f"\x1b[<32;{good}M\x1b[<0;{good}m")
        terminal.send(f"\x1b[<0;{place_of(terminal, 'MORE')}M")
        terminal.wait_for("close desk")
        terminal.send("\x1b[<0;40;2M")
        terminal.wait_for("STOPPED")
    assert [len(bodies(folder, kind)) for kind in (Rep, Stop)] == [5, 1]


def test_the_head_judge_s_pads_take_a_finger_on_a_terminal(tmp_path: Path) -> None:
    under_way(tmp_path / "event")
    head = Terminal(
        ("head", "event", "--pads"),
        folder=tmp_path,
        size=(80, 50),
        # Of another window: the terminal's own size is the one that counts.
        env={"COLUMNS": "80", "LINES": "24"},
    )
    with head:
        head.wait_for(lambda text: "EMERGENCY" in text and "VIEW" in text)
        head.send(f"\x1b[<0;{place_of(head, 'VIEW')}M")
        head.wait_for(lambda text: "Close this view?" in text and "YES" in text)
        head.send(f"\x1b[<0;{place_of(head, 'YES')}M")
        assert head.ended() == 0


def test_without_pads_a_terminal_s_mouse_does_nothing(tmp_path: Path) -> None:
    folder = under_way(tmp_path / "event")
    with Terminal(FLOOR, folder=tmp_path, size=(80, 40)) as terminal:
        terminal.wait_for("saved")
        assert b"\x1b[?1000h" not in terminal.raw
        terminal.send("\x1b[<0;40;38M\x1b[<0;40;38m ")
        terminal.wait_for("rep 1")
    assert len(bodies(folder, Rep)) == 1
