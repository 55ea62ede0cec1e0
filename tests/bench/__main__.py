"""The bench: `python -m tests.bench`, every row with its floor, ratio and goal.

Figures mean something on a quiet machine only; a row whose floor does not agree with
itself is void and says so.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
import time
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from tests.bench import (
    append,
    board,
    burst,
    desks,
    keys,
    kills,
    memory,
    pieces,
    replay,
    scoring,
    season,
    sheets,
    start,
)
from tests.bench.rows import Line, Setting
from tests.bench.table import head, shown

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from tests.bench.rows import Group

GROUPS: tuple[Group, ...] = (
    keys.GROUP,
    burst.GROUP,
    append.GROUP,
    desks.GROUP,
    board.GROUP,
    replay.GROUP,
    start.GROUP,
    memory.GROUP,
    scoring.GROUP,
    sheets.GROUP,
    pieces.GROUP,
    season.GROUP,
    kills.GROUP,
)
# Only when asked for by name: it takes long.
ASKED_FOR = frozenset({"kills"})


def main(arguments: Sequence[str]) -> int:
    """Measure, print as it goes, and say with 1 that a goal was missed."""
    names = [name for group in GROUPS for name in group.names]
    given = _parser(names).parse_args(arguments)
    if given.list:
        _say("\n".join(names))
        return 0
    wanted = given.only or [name for name in names if name not in ASKED_FOR]
    began = time.perf_counter()
    with tempfile.TemporaryDirectory(prefix="bench-", dir=given.folder) as folder:
        setting = Setting(folder=Path(folder), quick=given.quick, kills=given.kills)
        _say(_machine(folder))
        _say(head())
        found = []
        for line in _measured(wanted, setting):
            found.append(line)
            _say(shown(line))
    _say(f"{time.perf_counter() - began:.0f} s, load {os.getloadavg()[0]:.1f}")
    if given.json:
        rows = json.dumps([asdict(line) for line in found], indent=2)
        Path(given.json).write_text(f"{rows}\n", encoding="utf-8")
    return 1 if any(line.verdict == "MISSED" for line in found) else 0


def _measured(wanted: Sequence[str], setting: Setting) -> Iterator[Line]:
    for group in GROUPS:
        here = [name for name in group.names if name in wanted]
        try:
            yield from group.measure(here, setting) if here else ()
        except AssertionError as error:
            # The other rows are worth having all the same.
            says = str(error).splitlines()[0][:200]
            yield Line(
                row=here[0], says=says, stat="-", unit="", product=0, verdict="MISSED"
            )


def _parser(names: Sequence[str]) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--only", nargs="+", choices=names, metavar="ROW")
    parser.add_argument("--quick", action="store_true", help="a look: fewer rounds")
    parser.add_argument("--list", action="store_true", help="the names of the rows")
    parser.add_argument("--json", metavar="FILE", help="write the lines there, too")
    parser.add_argument("--kills", type=int, default=2000, metavar="N")
    parser.add_argument("--folder", help="measure on the disk of this folder")
    return parser


def _machine(folder: str) -> str:
    kind = "quick look, " if "--quick" in sys.argv else ""
    return (
        f"{kind}Python {sys.version.split()[0]}, {os.cpu_count()} CPUs, "
        f"load {os.getloadavg()[0]:.1f}, files in {Path(folder).parent}"
    )


def _say(text: str) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
