"""Lanes of a season, judged by chance, and their attempts in Parquet files."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from hypothesis import strategies as st

from judgekit.core.entry import NoRep, Reading, Rep
from judgekit.core.press import EndLook, TakeBackOne
from judgekit.core.watchentry import Look
from judgekit.review.attempts import lane_rows
from judgekit.review.lost import by_attempt, losses
from judgekit.review.pieces import lane_pieces
from judgekit.store.seasonask import File
from judgekit.store.seasonfile import attempts_file
from judgekit.store.seasonkept import KeptLane, Who
from tests.support import Played, for_time, simple, window

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from judgekit.core.plan import Plan
    from judgekit.core.press import Act
    from judgekit.core.state import Lane

PLANS = (
    simple(40),
    window(),
    for_time(),
    replace(simple(40), watching="reported"),
)
ACTS: tuple[Act, ...] = (
    Rep(),
    Rep(n=3),
    NoRep(),
    NoRep(faults=("depth",)),
    NoRep(faults=("depth", "lock")),
    TakeBackOne(),
    Reading(shows=4),
    Look(),
    EndLook(seen=9),
)


class Judged(NamedTuple):
    """A lane to be played: which plan, on which day, by whom, and what was pressed."""

    plan: int
    day: int
    bib: int
    presses: list[int]

    def lane(self, number: int) -> Lane:
        played = Played(self.changed(PLANS[self.plan], number)).go()
        for second, act in enumerate(self.presses, 2):
            played.press(3 * second, ACTS[act])
        return played.lane

    def changed(self, plan: Plan, number: int) -> Plan:
        return replace(
            plan,
            date=f"2027-0{3 + self.day % 3}-0{1 + self.day}",
            heat=str(number),
            bib=str(self.bib),
            division="men" if self.bib % 2 else "women",
        )


judged_lanes = st.lists(
    st.builds(
        Judged,
        st.integers(0, len(PLANS) - 1),
        st.integers(0, 5),
        st.integers(1, 4),
        st.lists(st.integers(0, len(ACTS) - 1), max_size=25),
    ),
    min_size=1,
    max_size=6,
)


def kept_lane(lane: Lane, log: str = "") -> KeptLane:
    plan = lane.plan
    rows = lane_rows(lane)
    pieces = lane_pieces(lane, rows=rows)
    return KeptLane(
        rows=rows,
        log=log or f"{plan.heat}#1/{plan.lane}",
        log_code="7.0123456789",
        entries=len(lane.entries),
        whos={plan.bib: Who(f"id:{plan.bib}", f"Athlete {plan.bib}")},
        sets=pieces.sets,
        lost=by_attempt(losses(pieces, rows), rows),
    )


def files_in(folder: Path, lanes: Sequence[KeptLane]) -> list[File]:
    """A file for each day."""
    folder.mkdir(parents=True, exist_ok=True)
    days: dict[str, list[KeptLane]] = {}
    for lane in lanes:
        days.setdefault(lane.day, []).append(lane)
    for day, of in days.items():
        (folder / f"{day}.parquet").write_bytes(attempts_file(of))
    return [File(folder / f"{day}.parquet") for day in days]
