"""A lane that joins an open desk: claimed in the same book, on a clock of its own."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Claim, Freeze, Go, Recall, Rep, Unfreeze
from judgekit.core.errors import BookError
from judgekit.core.lane import fold
from judgekit.core.runs import counting, runs_of
from judgekit.desk import Joined, Judged, Refused
from tests.desk.fakes import Sitting
from tests.support import for_time

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan
    from judgekit.core.press import Act

NEW = 6


@dataclass(frozen=True)
class Heat:
    """A heat of lanes 4 to 6."""

    def plan_of(self, lane: int, day: Sequence[Entry]) -> Plan:
        del day
        if lane not in (4, 5, NEW):
            raise BookError(f"heat 3 has no lane {lane}")
        return replace(for_time(), lane=lane, bib=f"{20 + lane}")

    def bib_in(self, lane: int, day: Sequence[Entry]) -> str:
        return self.plan_of(lane, day).bib


def at_work() -> Sitting:
    plans = {number: Heat().plan_of(number, ()) for number in (4, 5)}
    return Sitting(plans=plans)


def join(sitting: Sitting, number: int = NEW) -> None:
    now = sitting.clock.boot_now
    sitting.desk.take_in(number, Heat(), boot_ms=now)
    sitting.desk.work_off()


def read_again(sitting: Sitting, number: int) -> object:
    """The lane as whoever opens the book folds it."""
    run = counting(runs_of({"b": sitting.book.entries()}, number))
    assert run is not None
    return fold(sitting.desk.lane(number).plan, run.entries)


def test_a_lane_that_joins_counts_from_its_own_start_and_moves_no_other() -> None:
    sitting = at_work()
    sitting.go()
    sitting.press(Rep(), after=2000, lane=4)
    sitting.clock.pass_(60_000)
    before = {number: sitting.desk.lane(number) for number in (4, 5)}
    join(sitting)
    assert sitting.desk.lanes == (4, 5, NEW)
    assert {number: sitting.desk.lane(number) for number in (4, 5)} == before
    assert sitting.desk.lane(NEW).offset_ms == 62_000
    sitting.press(Rep(), after=3000, lane=NEW)
    assert sitting.desk.lane(NEW).work.attempts[0].at == 3000
    assert sitting.good(NEW) == 1


def test_before_go_a_lane_joins_and_starts_with_the_others() -> None:
    sitting = at_work()
    join(sitting)
    assert not sitting.desk.lane(NEW).started
    sitting.go()
    assert sitting.desk.lane(NEW).started
    assert sitting.desk.lane(NEW).offset_ms == 0


def test_it_is_told_that_the_lane_is_there_before_anything_of_it() -> None:
    sitting = at_work()
    sitting.go()
    sitting.news.clear()
    join(sitting)
    mine = [n for n in sitting.news if isinstance(n, Joined | Judged)]
    assert mine[0] == Joined(lane=NEW)
    assert all(news.lane == NEW for news in mine)


@pytest.mark.parametrize("what", ["", "frozen", "frozen once", "recalled"])
def test_whoever_opens_the_book_reads_the_lane_as_the_desk_has_it(what: str) -> None:
    sitting = at_work()
    sitting.go()
    said: dict[str, tuple[Act, ...]] = {
        "frozen": (Freeze(),),
        "frozen once": (Freeze(), Unfreeze(by_mistake=False)),
        "recalled": (Recall(why="false start"),),
    }
    for act in said.get(what, ()):
        sitting.press(act, after=2000)
    if what == "recalled":
        sitting.go()
    sitting.clock.pass_(5000)
    join(sitting)
    sitting.press(Rep(), after=3000, lane=NEW)
    lane = sitting.desk.lane(NEW)
    assert lane.started
    assert not lane.recalled
    assert read_again(sitting, NEW) == lane


def test_its_plan_is_fixed_by_its_own_go() -> None:
    sitting = at_work()
    sitting.go()
    join(sitting)
    gos = [e for e in sitting.book.entries() if isinstance(e.body, Go)]
    assert [entry.lane for entry in gos] == [None, NEW]
    body = gos[1].body
    assert isinstance(body, Go)
    [(number, plan)] = body.plans
    assert number == NEW
    assert plan in sitting.book.plans()


def test_a_lane_that_is_there_or_that_the_files_do_not_have_changes_nothing() -> None:
    sitting = at_work()
    sitting.go()
    before = sitting.book.entries()
    join(sitting, 4)
    join(sitting, 9)
    assert isinstance(sitting.news[-1], Refused)
    assert "no lane 9" in sitting.news[-1].says
    assert sitting.book.entries() == before
    assert sitting.desk.lanes == (4, 5)


def test_a_desk_that_takes_the_lane_over_later_is_heard() -> None:
    sitting = at_work()
    sitting.go()
    join(sitting)
    claims = [e for e in sitting.book.entries() if isinstance(e.body, Claim)]
    assert [entry.lane for entry in claims] == [4, 5, NEW]
    assert sitting.desk._sitting.others.claimed[NEW] == (claims[-1].wall, "b")
