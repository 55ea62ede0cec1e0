"""One example of each format: its file is clean, and a lane of it plays whole."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.desk.transcribing import read_tally
from judgekit.files import tally
from judgekit.files.folder import EventFolder, check_paths, load_event

if TYPE_CHECKING:
    from judgekit.core.state import Lane

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "tests" / "formats"

# What the tally counts in each set that was begun, one list for each part.
COUNTS: dict[str, list[list[int]]] = {
    "towpath": [[6, 6, 4, 4]],
    "high-water": [[8, 8, 4]],
    "tideline": [[5, 3, 5, 2]],
    "spiral": [[2, 2, 4, 4, 3]],
    "drift-line": [[14, 9, 7, 5]],
    "bell-buoy": [[4, 4, 3, 4]],
    "three-bells": [[5, 6, 4]],
    "slack-water": [[6, 5, 6]],
    "halyard": [[6, 6, 5, 6]],
    "port-starboard": [[4, 6, 4, 5]],
    "ferry": [[6, 6, 6]],
    "rungs": [[2, 3, 4, 3]],
    "capstan": [[1, 1, 1, 0]],
    "one-breath": [[17]],
    "anchor": [[1, 0, 1, 1]],
    "three-turns": [[1, 0, 1]],
    "windlass": [[1, 0, 1], [1, 1, 0]],
    # From 0:05 to 1:37.4 are 92.4 s; a minute at most from 0:03 on is 60.
    "still-water": [[92]],
    "minute-glass": [[60]],
    "long-quay": [[3]],
    "oarsman": [[27]],
    "oar-and-bar": [[12, 6, 12, 5]],
    # The second try fails at its front squat, so its jerk is not done.
    "knot": [[1, 1, 1, 1, 0, 0]],
    "baton": [[5, 5, 5, 5]],
    "common-rope": [[20]],
    "in-step": [[10]],
    "rising-tide": [[6], [11]],
    "gangway": [[10], [4, 4, 4, 4], [10]],
    "three-crates": [[5, 5], [7], [1, 0]],
}


@cache
def event() -> EventFolder:
    return load_event(EXAMPLES, shown="formats")


def test_nothing_is_wrong_with_the_examples_and_there_is_no_advice() -> None:
    assert check_paths([EXAMPLES]) == ()


def test_every_workout_has_a_heat_and_a_tally_and_no_tally_is_left_over() -> None:
    workouts = sorted(path.stem for path in (EXAMPLES / "workouts").iterdir())
    tallies = sorted(path.stem for path in (EXAMPLES / "tallies").iterdir())
    assert workouts == tallies == sorted(COUNTS)
    assert sorted(row.workout for row in event().heats) == workouts


def test_the_readme_s_table_has_every_example() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    table = re.findall(r"^\|.*\| `([a-z-]+)` \|$", readme, re.MULTILINE)
    assert sorted(table) == sorted(COUNTS)


@cache
def lane_of(workout: str) -> Lane:
    """The lane that a format's tally makes."""
    [row] = [row for row in event().heats if row.workout == workout]
    path = EXAMPLES / "tallies" / f"{workout}.tally"
    plan, data = event().plan_of(row, ()), path.read_bytes()
    lines = tally.parse(tally.decoded(data, path.name), path.name, plan)
    return read_tally(event(), row, lines, data, shown=path.name).lane


@pytest.mark.parametrize("workout", COUNTS)
def test_a_lane_of_each_format_plays_whole(workout: str) -> None:
    lane = lane_of(workout)
    parts = dict.fromkeys(done.key.part for done in lane.work.sets)
    counts = [
        [done.good for done in lane.work.sets if done.key.part == part]
        for part in parts
    ]
    assert counts == COUNTS[workout]
    assert lane.closed
    odd = {"soon", "changeover", "unlikely"}
    hurried = [a.at for a in lane.work.attempts if odd & {*a.marks}]
    assert hurried == []
