"""Commands that open a screen, in a real terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.cli.running import judged_event
from tests.pty.terminal import Terminal
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path


def close_desk(terminal: Terminal) -> None:
    terminal.send("q")
    terminal.wait_for("y closes")
    terminal.send("y")


def ended(terminal: Terminal) -> tuple[int, str]:
    """The exit code, and all that was printed."""
    code = terminal.ended()
    return code, bytes(terminal.raw).decode("utf-8", errors="replace")


def test_the_demo_opens_your_lane_and_says_what_comes_next(tmp_path: Path) -> None:
    with Terminal(["demo"], folder=tmp_path) as terminal:
        terminal.wait_for("FRONT SQUAT")
        close_desk(terminal)
        code, said = ended(terminal)
    assert code == 0
    assert "Heat 1, lane 1 is saved in judgekit-demo/log. What next:" in said
    for words in (
        "demo",
        "scorecard judgekit-demo --heat 1",
        "standings judgekit-demo",
    ):
        assert f"  judgekit {words}" in said
    assert "is open" not in said
    assert len(list((tmp_path / "judgekit-demo" / "log").glob("*.sqlite"))) == 18


def test_the_demo_carries_on_in_its_newest_folder(tmp_path: Path) -> None:
    for number in (1, 2):
        args = ["demo", "--fresh"] if number > 1 else ["demo"]
        with Terminal(args, folder=tmp_path) as terminal:
            terminal.wait_for("FRONT SQUAT")
            close_desk(terminal)
            assert ended(terminal)[0] == 0
    with Terminal(["demo"], folder=tmp_path) as terminal:
        terminal.wait_for("FRONT SQUAT")
        close_desk(terminal)
        code, said = ended(terminal)
    assert code == 0
    assert "Heat 1, lane 1 is saved in judgekit-demo-2/log." in said


def test_a_lane_open_at_another_desk_is_refused_with_whose_it_is(
    tmp_path: Path,
) -> None:
    event = judged_event(tmp_path)
    args = ["floor", str(event), "--heat", "1", "--lane", "2"]
    with Terminal(args, folder=tmp_path) as first:
        first.wait_for("FRONT SQUAT")
        with Terminal(args, folder=tmp_path) as second:
            code, said = ended(second)
        assert code == 2
        assert f"process {first.process.pid}" in said
        carry_on = f"judgekit floor {event} --heat 1 --lane 2 --take-over"
        assert carry_on in "".join(said.splitlines())
        close_desk(first)
        assert ended(first)[0] == 0


def test_alone_in_an_event_s_folder_it_lists_heats_and_comes_back(
    tmp_path: Path,
) -> None:
    event = judged_event(tmp_path)
    with Terminal([], folder=event) as terminal:
        listed = terminal.wait_for("enter opens")
        assert "accepted, 0:33" in listed
        terminal.send("\x1b[B\r")
        terminal.wait_for("FRONT SQUAT")
        close_desk(terminal)
        terminal.wait_for("enter opens")
        terminal.send("q")
        assert ended(terminal)[0] == 0


def test_the_briefing_stands_on_the_screen_until_it_is_left(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    with Terminal(["brief", str(event), "--screen"], folder=tmp_path) as terminal:
        terminal.wait_for("page 1 of")
        terminal.wait_for("3, 2 front squat: Women 42.5 kg; Men 60 kg")
        terminal.send(" ")
        terminal.wait_for("bar 20 kg, each side 10 + 1.25 kg")
        terminal.send("q")
        assert ended(terminal)[0] == 0


def test_home_shows_a_heats_briefing_and_comes_back(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    with Terminal([], folder=event) as terminal:
        terminal.wait_for("enter opens")
        terminal.send("b")
        terminal.wait_for("page 1 of")
        terminal.wait_for("3, 2 front squat, 42.5 kg")
        terminal.send("q")
        terminal.wait_for("enter opens")
        terminal.send("q")
        assert ended(terminal)[0] == 0


def test_a_opens_all_lanes_of_the_heat_on_one_floor(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    with Terminal([], folder=event) as terminal:
        terminal.wait_for("a all lanes")
        terminal.send("a")
        shown = terminal.wait_for(lambda text: ", good   . no rep" in text)
        assert ("Ines Varga" in shown, "Zoé Marr" in shown) == (True, True)
        close_desk(terminal)
        terminal.wait_for("a all lanes")
        terminal.send("q")
        assert ended(terminal)[0] == 0
