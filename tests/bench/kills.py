"""The long kill storm: a desk killed thousands of times, nothing painted ever lost."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.bench.rows import Group, Line, Setting
from tests.pty.storm import storm

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

NAME = "kills"


def measure(_: Sequence[str], setting: Setting) -> Iterator[Line]:
    """One storm; at the first kill that loses anything it ends with what was lost."""
    kills = 20 if setting.quick else setting.kills
    tally = storm(setting.folder / NAME, kills, setting.seed)
    kinds = ", ".join(f"{many} {kind}" for kind, many in sorted(tally.kills.items()))
    for stat, value, says in (
        ("kills", tally.total, f"none lost anything painted; {kinds}"),
        ("keys", tally.keys, "keys sent"),
        ("kept", tally.entries, "entries in the logs, each of a key sent"),
        ("ahead", tally.unpainted, "most entries in a log beyond its last picture"),
        ("gone", tally.unwritten, "most keys sent but not written at a kill"),
    ):
        yield Line(row=NAME, says=says, stat=stat, unit="", product=value)


GROUP = Group(names=(NAME,), measure=measure)
