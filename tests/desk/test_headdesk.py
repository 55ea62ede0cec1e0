"""The head judge's desk: its orders are obeyed, its rulings are read with the lane."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.disputing import unruled
from judgekit.core.entry import Claim, Dispute, Freeze, Recall, Rep, Rule, Unfreeze
from judgekit.core.plan import SetKey
from judgekit.core.press import Answering
from judgekit.core.ruling import RepsInSet, Stands, TimeBy
from judgekit.core.score import score
from judgekit.desk.headdesk import HeadDesk
from judgekit.desk.onlooker import HeatSeen, Onlooker
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.store.folder import read_all
from tests.desk.fakes import FakeClock
from tests.small_event import write_event

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.core.press import Act
    from judgekit.core.state import Lane
    from judgekit.desk import Desk
    from judgekit.desk.following import Follower
    from judgekit.files.eventfolder import EventFolder


class Hall:
    """One desk with both lanes of heat 1, and a head judge's beside it."""

    def __init__(self, folder: EventFolder) -> None:
        self.folder = folder
        self.clock = FakeClock()
        self.desk: Desk
        self.follower: Follower
        wish = Wish(heat="1", lanes=(1, 2), judge="kb")
        self.desk, self.follower = open_desk(folder, wish, self.clock)
        self.onlooker = Onlooker(folder)
        self.head = HeadDesk(folder, self.clock)

    def press(self, lane: int, act: Act, after: int = 2000) -> None:
        self.clock.pass_(after)
        self.desk.submit(lane, act, boot_ms=self.clock.boot_now)
        self.desk.work_off()

    def go(self) -> None:
        self.desk.call_go(boot_ms=self.clock.boot_now)
        self.desk.work_off()
        self.clock.pass_(10_000)

    @property
    def seen(self) -> HeatSeen:
        self.onlooker.look()
        return next(seen for seen in self.onlooker.heats if seen.heat == "1")

    def lane(self, number: int) -> Lane:
        """The lane as whoever looks on sees it."""
        return next(r.lane for r in self.seen.lanes if r.number == number)

    def order(self, body: Freeze | Unfreeze | Recall, lane: int | None = None) -> None:
        self.clock.pass_(1000)
        assert self.head.order(self.seen, body, lane) == ""
        self.follower.look()
        self.desk.work_off()

    def rule(self, lane: int, act: Act) -> str:
        self.clock.pass_(1000)
        return self.head.rule(self.seen, lane, act)

    def close(self) -> None:
        self.follower.close()
        self.desk.close("done")
        self.head.close()


@pytest.fixture
def hall(tmp_path: Path) -> Iterator[Hall]:
    found = Hall(load_event(write_event(tmp_path / "event")))
    yield found
    found.close()


def test_all_lanes_are_frozen_and_go_on_by_the_head_judges_word(hall: Hall) -> None:
    hall.go()
    hall.order(Freeze(why="a cable"))
    assert [h.why for n in (1, 2) for h in hall.lane(n).holds] == ["a cable"] * 2
    hall.press(1, Rep())
    assert hall.lane(1).work.good == 0
    hall.order(Unfreeze(by_mistake=True))
    assert (hall.lane(1).work.good, hall.lane(1).holds, hall.lane(2).holds) == (
        1,
        (),
        (),
    )


def test_one_lane_of_a_desk_with_two_is_frozen_and_the_other_goes_on(
    hall: Hall,
) -> None:
    hall.go()
    hall.order(Freeze(why="the bar"), 2)
    hall.press(1, Rep())
    hall.press(2, Rep())
    assert (hall.lane(1).holds, hall.lane(1).work.good) == ((), 1)
    assert [hold.why for hold in hall.lane(2).holds] == ["the bar"]
    assert hall.lane(2).work.good == 0
    hall.order(Unfreeze(by_mistake=False), 2)
    hall.press(2, Rep())
    assert (hall.lane(2).holds, hall.lane(2).work.good) == ((), 1)


def test_an_order_to_all_reaches_the_lanes_that_it_moves_whatever_the_others_are(
    hall: Hall,
) -> None:
    hall.go()
    hall.order(Freeze(why="the bar"), 1)
    hall.order(Freeze(why="a cable"))
    assert [h.why for n in (1, 2) for h in hall.lane(n).holds] == ["the bar", "a cable"]
    hall.order(Unfreeze(by_mistake=False), 1)
    hall.order(Unfreeze(by_mistake=False))
    assert (hall.lane(1).holds, hall.lane(2).holds) == ((), ())


def test_a_recall_sends_every_lane_back_to_the_start(hall: Hall) -> None:
    hall.go()
    hall.press(1, Rep())
    hall.order(Recall(why="a false start"))
    assert hall.seen.zero is None
    hall.go()
    hall.press(1, Rep())
    assert hall.lane(1).work.good == 1
    assert hall.seen.zero is not None


def test_before_go_there_is_nothing_to_freeze(hall: Hall) -> None:
    assert hall.head.order(hall.seen, Freeze()) == "Heat 1 has not started."
    assert len(read_all(hall.folder.log)) == 1


def test_rulings_and_answers_stand_in_one_book_of_its_own(hall: Hall) -> None:
    hall.go()
    hall.press(1, Rep())
    first = SetKey(1, 1, 1)
    asks = Dispute(about="one more", claims=RepsInSet(set=first, by=1))
    hall.press(1, asks)
    ruling = Rule(effect=RepsInSet(set=first, by=1), why="seen on video")
    assert hall.rule(1, Answering(ruling=ruling, disputes=(1,))) == ""
    assert hall.lane(1).work.good == 2
    assert unruled(hall.lane(1)) == ()
    assert hall.rule(2, Rule(effect=TimeBy(by_ms=30_000), why="left the lane")) == ""
    assert [step.label for step in score(hall.lane(2)).steps]
    hall.head.close()
    books = read_all(hall.folder.log)
    [own] = [b for b in books if not any(isinstance(e.body, Claim) for e in b.entries)]
    assert [(e.lane, e.who) for e in own.entries] == [
        (1, "head judge"),
        (2, "head judge"),
    ]


def test_what_cannot_be_ruled_is_refused_and_nothing_is_written(hall: Hall) -> None:
    stands = Rule(effect=Stands(), why="no")
    assert hall.rule(2, stands).startswith("Say which dispute is answered")
    hall.go()
    answer = Answering(ruling=stands, disputes=(1,))
    assert "no dispute 1" in hall.rule(1, answer)
    assert len(read_all(hall.folder.log)) == 1


def test_another_desk_that_is_opened_later_obeys_the_freeze_too(hall: Hall) -> None:
    hall.go()
    hall.order(Freeze(why="a cable"))
    hall.follower.close()
    hall.desk.close("crash")
    wish = Wish(heat="1", lanes=(1, 2), judge="kb")
    hall.desk, hall.follower = open_desk(hall.folder, wish, hall.clock)
    hall.follower.look()
    hall.desk.work_off()
    assert [hold.kind for hold in hall.desk.lane(1).holds] == ["freeze"]
    hall.order(Unfreeze(by_mistake=False))
    assert hall.lane(1).holds == ()
