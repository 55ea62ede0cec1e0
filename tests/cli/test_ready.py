"""`judgekit ready` where there is no terminal: all the rest is looked at."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from judgekit.cli import machine
from tests.cli.running import run
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


def test_what_is_looked_at_without_a_terminal(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    before = sorted(path.name for path in event.iterdir())
    done = run("ready", event, "--format", "json")
    marks = {row["what"]: row["mark"] for row in json.loads(done.out)["rows"]}
    assert done.code == 1
    assert marks["terminal"] == "no"
    assert {"keys", "disk", "room", "saving", "SQLite", "clock"} <= set(marks)
    assert sorted(path.name for path in event.iterdir()) == before


def test_the_systems_own_file_says_what_makes_it_sleep(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    conf = tmp_path / "logind.conf"
    conf.write_text("[Login]\nIdleAction=suspend\n#HandleLidSwitch=ignore\n")
    assert machine.sleeps(conf) == (
        "closing the lid: suspend",
        "doing nothing: suspend",
    )
    assert machine.sleeps(tmp_path / "none") == ()
    conf.write_text("no sections")
    assert machine.sleeps(conf) == ("closing the lid: suspend", "doing nothing: ignore")
    supplies = tmp_path / "supplies"
    for name, files in {
        "AC": {"type": "Mains", "online": "0"},
        "BAT0": {"type": "Battery", "capacity": "43"},
    }.items():
        (supplies / name).mkdir(parents=True)
        for file, text in files.items():
            (supplies / name / file).write_text(f"{text}\n")
    monkeypatch.setattr(machine, "_SUPPLIES", supplies)
    assert (machine.power().on_battery, machine.power().percent) == (True, 43)
    (supplies / "AC" / "online").write_text("1\n")
    assert machine.power().on_battery is False
