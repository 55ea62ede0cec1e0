"""Athletes' sheets: all of a large event as pages and as PDF, and one from the shell.

The demo's recorded lanes are done over and over by other athletes, so that a sheet has
as much to tell as there. The whole command is measured, files and log read anew.
"""

from __future__ import annotations

import csv
import shutil
import subprocess
import time
from typing import TYPE_CHECKING, NamedTuple

from judgekit.cli.demo import demo_folder
from judgekit.cli.transcribe import transcribe_file
from judgekit.files.folder import load_event
from tests.bench.arithmetic import growth, percentile
from tests.bench.console import environment, python
from tests.bench.rows import Group, Line, Setting, growth_line

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

_ATHLETES, _LANES = 200, 6
_MIDDLE = 0.5
# Of how many times fewer athletes the sheets are made, to see how their time grows.
_FEWER, _GROWTH = 4, 1.05
_WORKOUT = "three-gates"


class _Asked(NamedTuple):
    """A command's options, what it is, and the most seconds it may take."""

    options: tuple[str, ...]
    says: str
    most: float


class _Lane(NamedTuple):
    """A recorded lane of the demo, and the division it was done in."""

    tally: str
    division: str


def _recorded(folder: Path) -> list[_Lane]:
    with (folder / "people.csv").open(encoding="utf-8", newline="") as file:
        divisions = {row["bib"]: row["division"] for row in csv.DictReader(file)}
    with (folder / "heats.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["workout"] == _WORKOUT]
    return [
        _Lane(f"heat-{row['heat']}_lane-{row['lane']}.tally", divisions[row["bib"]])
        for row in rows
    ]


def _event(folder: Path, many: int) -> Path:
    """The demo with so many athletes, every lane of them judged."""
    shutil.copytree(demo_folder(), folder)
    lanes = _recorded(folder)
    people = ["bib,name,division,reach"]
    heats = ["heat,start,workout,lane,bib,judge"]
    for number in range(many):
        of = lanes[number % len(lanes)]
        heat, lane = divmod(number, _LANES)
        people.append(f"{100 + number},Athlete {number},{of.division},2.2 m")
        start = f"{8 + heat // 6}:{heat % 6}0"
        heats.append(f"{heat + 1},{start},{_WORKOUT},{lane + 1},{100 + number},kb")
    (folder / "people.csv").write_text("\n".join(people) + "\n", encoding="utf-8")
    (folder / "heats.csv").write_text("\n".join(heats) + "\n", encoding="utf-8")
    event = load_event(folder)
    for number, row in enumerate(event.heats):
        tally = lanes[number % len(lanes)].tally
        transcribe_file(event, row, folder / "tallies" / tally)
    return folder


def measure(_: Sequence[str], setting: Setting) -> Iterator[Line]:
    """Each command several times; the middle one counts.

    Of fewer athletes all sheets are made too: by which power their time grows.
    """
    many = setting.some(_ATHLETES)
    few = many // _FEWER
    event = _event(setting.folder / "sheets", many)
    smaller = _event(setting.folder / "sheets-few", few)
    for asked in (
        _Asked(("--all",), f"{many} sheets as pages, files and all", 8),
        _Asked(("--all", "--format", "pdf"), f"{many} sheets as PDF", 12),
        _Asked(("100",), f"one sheet of {many} from the shell", 1),
    ):
        took: list[float] = []
        less: list[float] = []
        for _round in range(setting.rounds()):
            took.append(_run(event, asked.options))
            less.append(_run(smaller, asked.options))
        yield _middle(asked, took)
        says = f"{asked.says}, against {few}"
        yield growth_line("sheets", says, growth(less, took, _FEWER), _GROWTH)


def _middle(asked: _Asked, took: Sequence[float]) -> Line:
    middle = percentile(took, _MIDDLE)
    return Line(
        row="sheets",
        says=asked.says,
        stat="p50",
        unit="s",
        product=middle,
        goal=f"<= {asked.most:g}",
        verdict="ok" if middle <= asked.most else "MISSED",
    )


def _run(event: Path, options: Sequence[str]) -> float:
    command = python("-m", "judgekit", "athlete", str(event), *options)
    began = time.perf_counter()
    subprocess.run(command, env=environment({}), check=True, capture_output=True)
    return time.perf_counter() - began


GROUP = Group(names=("sheets",), measure=measure)
