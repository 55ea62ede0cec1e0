"""What the README says is there, and what is there is in the README."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from judgekit.cli.main import COMMANDS
from judgekit.files.tally import GRAMMAR
from judgekit.reports import cost, pieces
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


def test_its_contents_name_every_section_in_order() -> None:
    told = README.partition("Contents: ")[2].partition("\n\n")[0]
    links = re.findall(r"\[([^]]+)\]\(#([^)]+)\)", told)
    heads = re.findall(r"^## (.+)$", README, re.MULTILINE)
    assert [name for name, _ in links] == heads
    for name, link in links:
        assert link == re.sub(r"[^a-z -]", "", name.lower()).replace(" ", "-")


@pytest.mark.parametrize(
    ("what", "text"), [("pieces", pieces.as_csv([])), ("cost", cost.as_csv([]))]
)
def test_every_column_of_pieces_and_cost_is_told(what: str, text: str) -> None:
    table = README.partition(f"| column of `{what}` |")[2].partition("\n\n")[0]
    cells = [row.split("|")[1] for row in table.splitlines() if row.startswith("| ")]
    told = [name.strip() for cell in cells for name in cell.split(",")]
    (columns,) = csv.reader([text.strip()])
    assert told == columns


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
