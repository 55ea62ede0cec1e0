"""The table of what is served, and how its screens are begun."""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.files.folder import load_event
from judgekit.ui.served import SERVER, WEB_DRIVER
from judgekit.web.child import command, environment
from judgekit.web.desks import pin_of, served
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path


def test_every_lane_of_every_heat_is_served_and_the_standings(tmp_path: Path) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    found = served(folder)
    assert [(d.group, d.name, d.pin) for d in found] == [
        ("To look at", "Standings", ""),
        ("Heat 1", "Lane 1", "lane 1"),
        ("Heat 1", "Lane 2", "lane 2"),
        ("Heat 2", "Lane 1", "lane 1"),
    ]
    assert [desk.alone for desk in found] == [False, True, True, True]
    assert len({desk.id for desk in found}) == 4


def test_one_heat_keeps_the_names_that_its_lanes_have_among_all(tmp_path: Path) -> None:
    """A page that is open when the server starts again with fewer heats stays right."""
    folder = load_event(write_event(tmp_path / "event"))
    everything = {desk.id: desk for desk in served(folder)}
    some = served(folder, ["2"])
    assert [desk.group for desk in some] == ["To look at", "Heat 2"]
    assert all(everything[desk.id] == desk for desk in some)


def test_names_from_files_are_one_word_each_and_never_an_option(tmp_path: Path) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    name = "--help; $(touch x) `y` 'z'"
    rows = tuple(replace(row, heat=name) for row in folder.heats[:1])
    desk = served(replace(folder, heats=rows))[-1]
    event = str(folder.folder.resolve())
    assert desk.arguments == ("floor", f"--heat={name}", "--lane=1", "--", event)
    assert desk.arguments_over[:2] == ("floor", "--take-over")
    assert command(desk.arguments)[:4] == (sys.executable, "-P", "-m", "judgekit")
    assert command(desk.arguments)[4:] == desk.arguments


def test_a_screen_knows_little_of_the_machine_and_nothing_secret() -> None:
    around = {
        "PATH": "/bin",
        "TZ": "Europe/Berlin",
        "DATABASE_PASSWORD": "x",
        "LD_PRELOAD": "x.so",
        "PYTHONSTARTUP": "x.py",
        "TEXTUAL_LOG": "x",
    }
    known = environment((43, 40), around)
    assert (known["COLUMNS"], known["ROWS"]) == ("43", "40")
    assert (known["TEXTUAL_DRIVER"], known[SERVER]) == (WEB_DRIVER, str(os.getpid()))
    assert (known["PATH"], known["TZ"]) == ("/bin", "Europe/Berlin")
    assert not {
        "DATABASE_PASSWORD",
        "LD_PRELOAD",
        "PYTHONSTARTUP",
        "TEXTUAL_LOG",
    } & set(known)


def test_the_pin_of_a_lane_is_the_same_in_every_heat() -> None:
    assert pin_of(4) == "lane 4"
