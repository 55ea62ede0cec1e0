"""What the README says is there, and what is there is in the README."""

from __future__ import annotations

from pathlib import Path

from judgekit.cli.main import COMMANDS
from judgekit.files.tally import GRAMMAR
from judgekit.ui.actions import ACTIONS

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_its_two_commands_do_everything_on_a_machine_with_python_alone() -> None:
    commands = [line.strip() for line in README.splitlines() if "-m venv" in line]
    made = "python3 -m venv .venv"
    tested = ".venv/bin/python -m pytest -n 3 --dist worksteal"
    assert commands == [
        f"{made} && .venv/bin/pip install . && .venv/bin/judgekit demo",
        f"{made} && .venv/bin/pip install '.[test]' && {tested}",
    ]


def test_every_command_is_told() -> None:
    missing = [name for name in COMMANDS if f"judgekit {name}" not in README]
    assert missing == []


def test_every_key_of_the_floor_is_told() -> None:
    rows = [line for line in README.splitlines() if line.startswith("| ")]
    keys = {
        key.strip(" *`") or key.strip(" `")
        for row in rows
        for key in row.split("|")[1].replace(" to ", ",").split(",")
    }
    assert [a.key for a in ACTIONS if a.key not in keys] == []


def test_every_form_of_the_tally_is_told() -> None:
    shapes = [form.shape.replace("|", "\\|") for form in GRAMMAR]
    assert [shape for shape in shapes if f"`{shape}`" not in README] == []
