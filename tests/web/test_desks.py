"""The table of what is served, and how its screens are begun."""

from __future__ import annotations

import os
import re
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.workout import Team
from judgekit.files.folder import load_event
from judgekit.ui.served import SERVER, WEB_DRIVER
from judgekit.web.child import command, environment
from judgekit.web.desks import pin_of, served
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path


def test_what_is_looked_at_has_no_pin_and_every_desk_that_writes_one_of_its_own(
    tmp_path: Path,
) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    found = served(folder)
    assert [(d.group, d.name, d.pin) for d in found] == [
        ("To look at", "Board", ""),
        ("To look at", "Standings", ""),
        ("Head judge", "All lanes", "head judge"),
        ("Heat 1", "Lane 1", "lane 1"),
        ("Heat 1", "Lane 2", "lane 2"),
        ("Heat 2", "Lane 1", "lane 1"),
    ]
    assert {desk.name for desk in found if not desk.alone} == {"Board", "Standings"}
    assert all(bool(desk.pin) == desk.alone == desk.pads for desk in found)
    assert len({desk.id for desk in found}) == len(found)


def test_a_lane_is_a_number_s_or_a_team_s(tmp_path: Path) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    (workout,) = folder.workouts.values()
    assert [d.about for d in served(folder)][-2:] == ["number 007", "number 31"]
    row = replace(folder.heats[0], bib="Herons")
    team = replace(workout, team=Team(size=2, how="shared"))
    teams = replace(folder, workouts={workout.id: team}, heats=(row,))
    assert served(teams)[-1].about == "team Herons"


def test_a_judge_of_several_lanes_has_one_desk_for_them(tmp_path: Path) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    base = folder.heats[0]
    judges = {1: "kb", 2: "kb", 3: "kb", 4: "mo", 5: "", 7: ""}
    heats = tuple(replace(base, lane=lane, judge=who) for lane, who in judges.items())
    heats = (*heats, *(replace(row, heat="2") for row in heats[:2]))
    found = {desk.id: desk for desk in served(replace(folder, heats=heats))}
    several = [desk for desk in found.values() if desk.id.startswith("lanes-")]
    assert [(d.group, d.name, d.pin) for d in several] == [
        ("Heat 1", "Lanes 1-3", "lanes 1-3"),
        ("Heat 1", "Lanes 5,7", "lanes 5,7"),
        ("Heat 2", "Lanes 1-2", "lanes 1-2"),
    ]
    event = str(folder.folder.resolve())
    first = several[0]
    assert first.arguments == ("floor", "--heat=1", "--lane=1-3", "--", event)
    assert first.arguments_over[:2] == ("floor", "--take-over")
    # Each lane can be had alone as well, by its own PIN.
    alone = [found[name].pin for name in ("lane-1-1", "lane-1-4", "lane-2-1")]
    assert alone == ["lane 1", "lane 4", "lane 1"]
    again = served(replace(folder, heats=heats), ["2"])
    assert all(found[desk.id] == desk for desk in again)


def test_without_heats_there_is_nothing_to_be_head_judge_of(tmp_path: Path) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    found = served(replace(folder, heats=()))
    assert [desk.name for desk in found] == ["Board", "Standings"]


def test_one_heat_keeps_the_names_that_its_lanes_have_among_all(tmp_path: Path) -> None:
    """A page that is open when the server starts again with fewer heats stays right."""
    folder = load_event(write_event(tmp_path / "event"))
    everything = {desk.id: desk for desk in served(folder)}
    some = served(folder, ["2"])
    groups = list(dict.fromkeys(desk.group for desk in some))
    assert groups == ["To look at", "Head judge", "Heat 2"]
    assert all(everything[desk.id] == desk for desk in some)


def test_names_from_files_are_one_word_each_and_never_an_option(tmp_path: Path) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    name = "--help; $(touch x) `y` 'z'"
    rows = tuple(replace(row, heat=name) for row in folder.heats[:1])
    desk = served(replace(folder, heats=rows))[-1]
    event = str(folder.folder.resolve())
    assert desk.arguments == ("floor", f"--heat={name}", "--lane=1", "--", event)
    assert re.fullmatch(r"lane-_[0-9a-f]{12}-1", desk.id)
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


def test_the_pin_of_a_desk_is_named_by_its_lanes_alone() -> None:
    assert pin_of([4]) == "lane 4"
    assert (pin_of([1, 2, 3]), pin_of([2, 5])) == ("lanes 1-3", "lanes 2,5")
