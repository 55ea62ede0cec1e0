"""A disk that takes its time: what is not durable is never shown as saved."""

from __future__ import annotations

import re
import time
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Rep
from tests.pty.failing import bodies, failing, under_way

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.folder import EventFolder

# Longer than the autorepeat guard, so that every press counts.
GAP_S = 0.12
PRESSES = 5
SLOW = """
import time
import judgekit.store.sqlfile as sqlfile
was = sqlfile.insert
def insert(connection, rows, plans):
    if MARK.exists():
        time.sleep(DELAY_S)
    was(connection, rows, plans)
sqlfile.insert = insert
"""


def reps(folder: EventFolder) -> int:
    return sum(isinstance(body, Rep) for body in bodies(folder))


def painted(text: str) -> int:
    return max(int(number) for number in re.findall(r"\brep (\d+)\b", text))


def some_wait(text: str) -> bool:
    return bool(re.search(r"NOT SAVED: [2-5] waiting", text))


@pytest.mark.parametrize("delay_s", [0.2, 2.0])
def test_each_press_waits_for_the_disk_and_none_is_lost_or_shown_before(
    tmp_path: Path, delay_s: float
) -> None:
    folder = under_way(tmp_path)
    with failing(folder, SLOW.replace("DELAY_S", str(delay_s))) as floor:
        floor.wait_for("rep 1 ")
        (tmp_path / "site" / "failed").touch()
        for _ in range(PRESSES):
            floor.send(" ")
            time.sleep(GAP_S)  # sooner would be a held key
        if delay_s > 1:
            floor.wait_for("the disk is slow")
            floor.wait_for(some_wait)
        for number in range(2, PRESSES + 2):
            shown = floor.wait_for(f"rep {number} ")
            assert painted(shown) <= reps(folder)
        floor.wait_for("keys                            saved")
        assert "NOT SAVED" not in floor.text()
    assert reps(folder) == PRESSES + 1
