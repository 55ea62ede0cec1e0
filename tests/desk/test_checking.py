"""The lane check at a desk: what is open, go with a reason, other heats, paper."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.entry import Claim, Go, Recall
from judgekit.core.lanecheck import OTHER_DESK, checks_in
from judgekit.desk import News, Refused
from judgekit.desk.lastchecks import last_checks
from judgekit.desk.opening import Wish, open_desk
from judgekit.desk.transcribing import transcribe
from judgekit.files import tally
from judgekit.files.folder import EventFolder, load_event
from judgekit.store.folder import read_all
from judgekit.store.reading import read_lanes
from judgekit.store.verify import verify_folder
from tests.desk.fakes import FakeClock
from tests.small_event import EVENT, TALLY, write_event

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.core.lanecheck import LaneCheck
    from judgekit.desk import Desk
    from judgekit.desk.following import Follower

EVERYTHING = (
    "athlete",
    "load-front-squat",
    "hanging-gear",
    "safety",
    "clock",
    "limits",
)


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    path = write_event(tmp_path / "event")
    checked = EVENT.replace('lane-check = "off"', 'lane-check = "on"')
    (path / "event.toml").write_text(checked, encoding="utf-8")
    return load_event(path)


@pytest.fixture
def clock() -> FakeClock:
    return FakeClock()


Sat = tuple["Desk", "Follower", list[News]]


class Sits:
    """Opens desks, and closes them at the end."""

    def __init__(self, folder: EventFolder, clock: FakeClock) -> None:
        self.folder = folder
        self.clock = clock
        self.open: list[Desk] = []

    def down(self, heat: str = "1", lane: int = 1, *, again: str = "") -> Sat:
        self.clock.pass_(1)
        wish = Wish(heat=heat, lanes=(lane,), again=again)
        desk, follower = open_desk(self.folder, wish, self.clock)
        self.open.append(desk)
        news: list[News] = []
        desk.listen(news.append)
        return desk, follower, news


@pytest.fixture
def sits(folder: EventFolder, clock: FakeClock) -> Iterator[Sits]:
    made = Sits(folder, clock)
    yield made
    for desk in made.open:
        desk.close()


def check(desk: Desk) -> LaneCheck:
    found = desk.lane_check(desk.lanes[0])
    assert found is not None
    return found


def say(desk: Desk, *items: str) -> None:
    """As planned, all of these."""
    for item in items:
        answer = Check(item=item, answer="as planned")
        desk.submit(desk.lanes[0], answer, boot_ms=desk.clock.boot_ms())
    desk.work_off()


def go(desk: Desk, why: str = "") -> None:
    desk.call_go(boot_ms=desk.clock.boot_ms(), why=why)
    desk.work_off()


def kept(folder: EventFolder, heat: str = "1") -> list[object]:
    entries = [e for copy in read_all(folder.log, heat) for e in copy.entries]
    return [e.body for e in entries if isinstance(e.body, Check | Unchecked | Go)]


def test_an_event_without_a_lane_check_has_none(tmp_path: Path) -> None:
    quiet = load_event(write_event(tmp_path / "quiet"))
    desk, _, _ = Sits(quiet, FakeClock()).down()
    assert desk.lane_check(1) is None
    go(desk)
    assert desk.lane(1).started
    desk.close()


def test_go_with_open_items_needs_a_reason_which_is_written_before_it(
    folder: EventFolder, sits: Sits
) -> None:
    desk, _, news = sits.down()
    say(desk, "athlete", "clock")
    go(desk)
    [refused] = [n for n in news if isinstance(n, Refused)]
    assert refused.says.startswith("Items of the lane check are open: say why")
    assert not desk.lane(1).started
    go(desk, "no time left")
    assert desk.lane(1).started
    desk.close()
    *_, unchecked, start = kept(folder)
    left = tuple(item for item in EVERYTHING if item not in ("athlete", "clock"))
    assert unchecked == Unchecked(items=left, why="no time left")
    assert isinstance(start, Go)
    assert all(verify_folder(folder.log))


def test_go_with_everything_answered_needs_none(sits: Sits) -> None:
    desk, _, _ = sits.down()
    say(desk, *EVERYTHING)
    assert check(desk).open == ()
    go(desk)
    assert desk.lane(1).started


def recall(desk: Desk) -> None:
    desk.submit(desk.lanes[0], Recall(why="false start"), boot_ms=desk.clock.boot_ms())
    desk.work_off()
    assert not desk.lane(desk.lanes[0]).started


def open_items(desk: Desk) -> tuple[str, ...]:
    return tuple(item.id for item in check(desk).open)


LEFT = tuple(item for item in EVERYTHING if item not in ("athlete", "clock"))


def test_a_crash_and_a_recall_leave_answers_as_they_were(sits: Sits) -> None:
    first, _, _ = sits.down()
    say(first, "athlete", "clock")
    first.close()
    desk, _, _ = sits.down()
    assert open_items(desk) == LEFT
    go(desk, "no time left")
    recall(desk)
    assert open_items(desk) == LEFT


def test_what_a_recalled_go_left_open_needs_its_reason_anew(
    folder: EventFolder, sits: Sits
) -> None:
    desk, _, news = sits.down()
    say(desk, "athlete", "clock")
    go(desk, "no time left")
    recall(desk)
    go(desk)
    assert not desk.lane(1).started
    [said] = [one.says for one in news if isinstance(one, Refused)]
    assert said.startswith("Items of the lane check are open: say why")
    say(desk, "safety")
    go(desk, "practice")
    assert desk.lane(1).started
    reasons = [body for body in kept(folder) if isinstance(body, Unchecked)]
    left = tuple(item for item in LEFT if item != "safety")
    assert reasons == [
        Unchecked(items=LEFT, why="no time left"),
        Unchecked(items=left, why="practice"),
    ]
    # Each start has its own reason on its own card, and the second the answers, too.
    first, second = read_lanes(folder.log, "1").lanes[0].runs
    assert [e.body for e in checks_in(first.entries)][-1] == reasons[0]
    assert [e.body for e in checks_in(second.entries)][-1] == reasons[1]
    assert len(checks_in(second.entries)) == 4


def test_a_start_with_everything_answered_needs_no_reason_after_a_recall(
    sits: Sits,
) -> None:
    desk, _, _ = sits.down()
    say(desk, *EVERYTHING)
    go(desk)
    recall(desk)
    assert open_items(desk) == ()
    go(desk)
    assert desk.lane(1).started


def test_answers_outlast_another_judge_and_another_desk_at_a_recall(
    folder: EventFolder, sits: Sits
) -> None:
    first, _, _ = sits.down()
    say(first, "athlete", "clock")
    first.close()
    # Another desk takes the lane over: its log is another one.
    taken = Wish(heat="1", lanes=(1,), take_over=True)
    second, _ = open_desk(folder, taken, sits.clock)
    sits.open.append(second)
    say(second, "safety")
    second.submit(1, Claim(judge="mo"), boot_ms=second.clock.boot_ms())
    second.work_off()
    assert second.who == "mo"
    go(second, "no time left")
    recall(second)
    left = tuple(item for item in LEFT if item != "safety")
    assert open_items(second) == left
    say(second, "limits")
    second.close()
    third, _, _ = sits.down()
    assert not third.lane(1).started
    assert open_items(third) == tuple(item for item in left if item != "limits")
    go(third, "no time left")
    [found] = read_lanes(folder.log, "1").lanes
    assert checks_in(found.lane.entries) == checks_in(third.lane(1).entries)


def test_a_reach_and_its_marks_stand_after_a_recall(
    folder: EventFolder, sits: Sits
) -> None:
    """What is measured then goes by the reach that was measured before."""
    path = folder.folder / "cards" / "toes-to-bar.toml"
    path.parent.mkdir()
    path.write_text(
        'id = "toes-to-bar"\n\n[[criterion]]\nid = "mark"\nkind = "target-height"\n'
        'at = "finish"\nsays = "Both feet at the mark"\n'
        'measured-to = "centre"\nheight = { above-reach = "6 in" }\n',
        encoding="utf-8",
    )
    sits.folder = load_event(folder.folder)
    desk, _, news = sits.down()
    target = Check(item="target-toes-to-bar", answer="measured", value="2.36 m")
    for act in (Check(item="reach", answer="measured", value="2.20 m"), target):
        desk.submit(1, act, boot_ms=desk.clock.boot_ms())
    desk.work_off()
    go(desk, "no time left")
    recall(desk)
    assert not {"reach", target.item} & set(open_items(desk))
    desk.submit(1, replace(target, value="2.26 m"), boot_ms=desk.clock.boot_ms())
    desk.work_off()
    assert [one for one in news if isinstance(one, Refused)] == []
    assert target.item in open_items(desk)


def test_another_run_is_checked_again_and_knows_of_the_one_before(sits: Sits) -> None:
    first, _, _ = sits.down()
    say(first, *EVERYTHING)
    go(first)
    first.close()
    desk, _, _ = sits.down(again="video")
    assert [item.id for item in check(desk).open] == list(EVERYTHING)
    assert [item.id for item in check(desk).unchanged] == [
        "hanging-gear",
        "safety",
        "clock",
        "limits",
    ]


def test_the_same_lane_an_hour_ago_vouches_for_what_has_not_changed(
    folder: EventFolder, sits: Sits
) -> None:
    first, _, _ = sits.down()
    say(first, *EVERYTHING)
    first.close()
    assert last_checks(folder, "1", 1) == ()
    earlier = last_checks(folder, "2", 1)
    assert earlier == checks_in(read_all(folder.log, "1")[0].entries)
    desk, _, _ = sits.down("2")
    found = desk.lane_check(1, earlier)
    assert found is not None
    # Another athlete stands there, with limits of their own.
    assert [i.id for i in found.unchanged] == ["hanging-gear", "safety", "clock"]
    assert check(desk).unchanged == ()


def test_another_days_heat_vouches_for_nothing(folder: EventFolder, sits: Sits) -> None:
    first, _, _ = sits.down()
    say(first, *EVERYTHING)
    first.close()
    moved = tuple(
        replace(row, date="2027-05-09") if row.heat == "2" else row
        for row in folder.heats
    )
    assert last_checks(replace(folder, heats=moved), "2", 1) == ()


def test_a_go_from_another_desk_says_so_for_what_is_open_here(
    folder: EventFolder, sits: Sits
) -> None:
    here, follower, _ = sits.down(lane=2)
    there, _, _ = sits.down(lane=1)
    go(there, "no time left")
    follower.look()
    here.work_off()
    assert here.lane(2).started
    [own] = [
        body
        for copy in read_all(folder.log, "1")
        if copy.id == here.book_id
        for body in (e.body for e in copy.entries)
        if isinstance(body, Unchecked)
    ]
    assert own == Unchecked(items=EVERYTHING, why=OTHER_DESK)


def test_a_tally_leaves_open_what_its_paper_does_not_say(folder: EventFolder) -> None:
    text = f"0:00.0  check safety as-planned\n{TALLY}"
    row = folder.lanes("1")[0]
    parsed = tally.parse(text, "lane.tally")
    transcribe(folder, row, parsed, text.encode(), shown="lane.tally")
    said, unchecked, start = kept(folder)
    assert said == Check(
        item="safety", answer="as planned", planned="lane and exit free"
    )
    left = tuple(item for item in EVERYTHING if item != "safety")
    assert unchecked == Unchecked(items=left, why="transcribed")
    assert isinstance(start, Go)
    [copy] = read_all(folder.log)
    [plan] = copy.plans.values()
    assert tally.write(copy.entries, plan).splitlines()[1:4] == [
        "0:00.0  check safety as-planned",
        f"0:00.0  unchecked transcribed {' '.join(left)}",
        "0:00.0  go",
    ]
