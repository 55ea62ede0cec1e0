"""Sitting down: a book begun, carried on, taken over; one go for two desks."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Absent, Claim, Go, Is, Recall, Rep
from judgekit.core.errors import BookError
from judgekit.core.plan import SetKey
from judgekit.core.ruling import Ref
from judgekit.core.runs import counting, runs_of
from judgekit.desk import News, Refused
from judgekit.desk.opening import Wish, open_desk
from judgekit.desk.transcribing import transcribe
from judgekit.files import tally
from judgekit.files.folder import EventFolder, load_event
from judgekit.store import sqlite
from judgekit.store.book import BookHeld
from judgekit.store.folder import read_all
from judgekit.store.sqlfile import copy_pages
from tests.desk.fakes import FakeClock
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from judgekit.core.entry import Entry
    from judgekit.core.press import Act
    from judgekit.desk import Desk
    from judgekit.desk.following import Follower

    Sit = Callable[..., tuple[Desk, Follower]]

ONE = Wish(heat="1", lanes=(1,))
TWO = Wish(heat="1", lanes=(2,))


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return load_event(write_event(tmp_path / "event"))


@pytest.fixture
def clock() -> FakeClock:
    return FakeClock()


@pytest.fixture
def sit(folder: EventFolder, clock: FakeClock) -> Sit:
    def opened(wish: Wish) -> tuple[Desk, Follower]:
        clock.pass_(1)
        return open_desk(folder, wish, clock)

    return opened


def press(desk: Desk, clock: FakeClock, act: Act, after: int = 2000) -> None:
    clock.pass_(after)
    desk.submit(desk.lanes[0], act, boot_ms=clock.boot_now)
    desk.work_off()


def start(desk: Desk, clock: FakeClock) -> None:
    desk.call_go(boot_ms=clock.boot_now)
    desk.work_off()
    clock.pass_(10_000)


def books(folder: EventFolder) -> dict[str, int]:
    return {copy.id: copy.last for copy in read_all(folder.log)}


def test_opening_the_same_lane_again_carries_its_book_on(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    desk, _ = sit(ONE)
    start(desk, clock)
    press(desk, clock, Rep())
    desk.close()
    clock.pass_(60_000)
    again, _ = sit(ONE)
    assert again.book_id == desk.book_id
    assert again.lane(1).work.good == 1
    assert again.heat_ms() == 62_001
    press(again, clock, Rep())
    again.close()
    assert len(books(folder)) == 1


def test_what_was_written_until_the_lock_is_held_is_read_too(
    sit: Sit, clock: FakeClock, folder: EventFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk, _ = sit(ONE)
    start(desk, clock)
    press(desk, clock, Rep())
    desk.close()
    real = sqlite.reopen

    def late(path: Path) -> sqlite.SqliteBook:
        with closing(real(path)) as book:
            rep = next(e for e in book.entries() if isinstance(e.body, Rep))
            book.append([replace(rep, number=book.last + 1)])
        return real(path)

    monkeypatch.setattr("judgekit.desk.opening.sqlite.reopen", late)
    desk, _ = sit(ONE)
    assert desk.lane(1).work.good == 2
    desk.close()


def test_a_lane_that_is_held_says_by_whom(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    desk, _ = sit(ONE)
    with pytest.raises(BookHeld) as held:
        sit(ONE)
    assert "process" in str(held.value)
    desk.close()


def test_taking_over_begins_a_book_that_covers_the_old_one(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    desk, follower = sit(ONE)
    start(desk, clock)
    press(desk, clock, Rep())
    other, _ = sit(replace(ONE, take_over=True, judge="mo"))
    assert other.lane(1).work.good == 1
    press(other, clock, Rep())
    follower.look()
    press(desk, clock, Rep())
    assert desk.lane(1).work.good == 1
    desk.close()
    other.close()
    copies = read_all(folder.log, "1")
    run = counting(runs_of({c.id: c.entries for c in copies}, 1))
    assert run is not None
    assert run.judge == "mo"
    assert sum(isinstance(e.body, Rep) for e in run.entries) == 2


def test_another_choice_of_lanes_covers_what_is_there(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    desk, _ = sit(ONE)
    start(desk, clock)
    press(desk, clock, Rep())
    last = desk.lane(1).entries[-1].number
    desk.close()
    both, _ = sit(Wish(heat="1", lanes=(1, 2)))
    claims = {
        e.lane: e.body.covers
        for e in both.lane(1).entries + both.lane(2).entries
        if isinstance(e.body, Claim) and e.book == both.book_id
    }
    assert claims == {1: (Ref(desk.book_id, last + 1),), 2: ()}
    assert both.lane(1).work.good == 1
    both.close()


def test_again_is_a_new_run_and_the_old_one_stays(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    desk, _ = sit(ONE)
    start(desk, clock)
    press(desk, clock, Rep())
    desk.close()
    rerun, follower = sit(replace(ONE, again="rope snapped"))
    follower.look()
    rerun.work_off()
    assert rerun.zero_boot_ms is None
    start(rerun, clock)
    assert rerun.lane(1).work.good == 0
    rerun.close()
    copies = read_all(folder.log, "1")
    runs = runs_of({c.id: c.entries for c in copies}, 1)
    assert [run.why for run in runs] == ["", "rope snapped"]


def test_again_is_refused_while_the_other_desk_rescues_its_log(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    """The whole log stands under another name then; its lock does not."""
    desk, _ = sit(ONE)
    start(desk, clock)
    press(desk, clock, Rep())
    path = folder.log / f"{desk.book_id}.sqlite"
    copy_pages(path, path.with_suffix(".anew.sqlite"))
    path.unlink()
    with pytest.raises(BookHeld):
        sit(replace(ONE, again="rope snapped"))
    desk.close()


def test_two_desks_of_a_heat_share_one_zero(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    first, _ = sit(ONE)
    second, follower = sit(TWO)
    first.call_go(boot_ms=clock.boot_now)
    first.work_off()
    clock.pass_(100)
    follower.look()
    second.work_off()
    assert second.zero_boot_ms == first.zero_boot_ms
    late, late_follower = sit(replace(TWO, second=True))
    late_follower.look()
    late.work_off()
    assert late.zero_boot_ms == first.zero_boot_ms
    copies = [e.body for e in late.lane(2).entries if isinstance(e.body, Go)]
    assert copies[0].copies is not None
    for desk in (first, second, late):
        desk.close()


def test_a_recall_at_one_desk_reaches_the_other(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    first, _ = sit(ONE)
    second, follower = sit(TWO)
    start(first, clock)
    follower.look()
    second.work_off()
    press(first, clock, Recall(why="lane 2 moved"))
    follower.look()
    second.work_off()
    assert second.zero_boot_ms is None
    first.close()
    second.close()
    reopened, _ = sit(ONE)
    assert not reopened.lane(1).started
    reopened.close()


def test_the_plan_is_sealed_at_go_and_files_change_nothing_afterwards(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    desk, _ = sit(ONE)
    start(desk, clock)
    plan = desk.lane(1).plan
    desk.close()
    path = folder.folder / "workouts" / "quayside.toml"
    text = path.read_text(encoding="utf-8").replace("[3, 2]", "[9, 9]")
    path.write_text(text, encoding="utf-8")
    again, _ = open_desk(load_event(folder.folder), ONE, clock)
    assert again.lane(1).plan == plan
    again.close()


def test_another_athlete_in_the_lane_is_an_entry_and_another_plan(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    desk, _ = sit(ONE)
    press(desk, clock, Is(bib="31"))
    plan = desk.lane(1).plan
    assert (plan.bib, plan.load(SetKey(1, 1, 1))) == ("31", "60 kg ≈ 132 lb")
    start(desk, clock)
    press(desk, clock, Rep())
    press(desk, clock, Is(bib="27"))
    assert desk.lane(1).plan.bib == "27"
    assert desk.lane(1).work.good == 1
    desk.close()
    again, _ = sit(ONE)
    assert again.lane(1).plan.bib == "27"
    press(again, clock, Is(bib="99"))
    assert again.lane(1).plan.bib == "27"
    again.close()


def test_what_was_judged_stays_judged_whatever_the_files_say_by_then(
    folder: EventFolder, clock: FakeClock
) -> None:
    reported = replace(folder.event.rules, watching="reported")
    changed = replace(folder, event=replace(folder.event, rules=reported))
    desk, _ = open_desk(folder, ONE, clock)
    with closing(desk):
        start(desk, clock)
        press(desk, clock, Rep())
    desk, _ = open_desk(changed, ONE, clock)
    with closing(desk):
        press(desk, clock, Is(bib="007"))
        state = desk.lane(1)
        assert state.plan.bib == "007"
        assert (state.plan.watching, state.work.good) == ("judged", 1)


def test_absent_is_an_entry_before_go(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    desk, _ = sit(ONE)
    press(desk, clock, Absent())
    assert desk.lane(1).absent
    press(desk, clock, Absent(absent=False))
    assert not desk.lane(1).absent
    desk.close()


def test_a_lane_that_the_heat_list_lacks_is_named(sit: Sit) -> None:
    with pytest.raises(BookError, match="heat 1 has no lane 7"):
        sit(Wish(heat="1", lanes=(7,)))


def test_a_second_judge_never_scores_alone(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    shadow, _ = sit(replace(ONE, second=True, judge="mo"))
    start(shadow, clock)
    press(shadow, clock, Rep())
    shadow.close()
    copies = read_all(folder.log, "1")
    assert counting(runs_of({c.id: c.entries for c in copies}, 1)) is None


def test_a_swap_reaches_the_other_lanes_desk(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    one, _ = sit(ONE)
    two, follower = sit(TWO)
    one.swap(1, 2, boot_ms=clock.boot_now)
    one.work_off()
    follower.look()
    two.work_off()
    assert (one.lane(1).plan.bib, two.lane(2).plan.bib) == ("007", "27")
    start(one, clock)
    follower.look()
    two.work_off()
    assert two.lane(2).plan.bib == "27"
    one.swap(1, 2, boot_ms=clock.boot_now)
    one.work_off()
    follower.look()
    two.work_off()
    assert (one.lane(1).plan.bib, two.lane(2).plan.bib) == ("27", "007")
    one.close()
    two.close()
    again, _ = sit(TWO)
    assert again.lane(2).plan.bib == "007"
    again.close()


def test_a_copy_of_a_log_in_its_folder_is_no_news(
    folder: EventFolder, clock: FakeClock, sit: Sit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A rescue stands there for a moment, whole, before it takes the log's place."""
    desk, follower = sit(ONE)
    start(desk, clock)
    path = folder.log / f"{desk.book_id}.sqlite"
    copy_pages(path, path.with_suffix(".anew.sqlite"))
    heard: list[list[Entry]] = []
    monkeypatch.setattr(desk, "hear", heard.append)
    follower.look()
    assert heard == [[]]
    desk.close()


def test_a_swap_with_a_lane_that_is_not_there_is_refused(
    clock: FakeClock, sit: Sit
) -> None:
    one, _ = sit(ONE)
    said: list[News] = []
    one.listen(said.append)
    one.swap(1, 7, boot_ms=clock.boot_now)
    one.work_off()
    assert one.lane(1).plan.bib == "27"
    assert isinstance(said[-1], Refused)
    one.close()


def test_another_judge_at_the_same_desk_carries_the_run_on(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    desk, follower = sit(ONE)
    start(desk, clock)
    press(desk, clock, Rep())
    press(desk, clock, Claim(judge="mo"))
    press(desk, clock, Rep())
    follower.look()
    desk.work_off()
    assert (desk.lane(1).judge, desk.lane(1).work.good) == ("mo", 2)
    desk.close()
    copies = read_all(folder.log, "1")
    runs = runs_of({c.id: c.entries for c in copies}, 1)
    assert [(run.judge, run.conflict) for run in runs] == [("mo", False)]
    assert sum(isinstance(e.body, Rep) for e in runs[0].entries) == 2
    again, _ = sit(ONE)
    assert again.lane(1).work.good == 2
    again.close()


def test_a_lane_judged_from_a_tally_is_not_opened_without_a_reason(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    parsed = tally.parse(TALLY, "lane.tally")
    data = TALLY.encode()
    row = folder.lanes("1")[0]
    transcribe(folder, row, parsed, data, shown="lane.tally")
    with pytest.raises(BookError, match="judged already, from a tally"):
        sit(ONE)
    rerun, _ = sit(replace(ONE, again="the video was cut"))
    rerun.close()
    copies = read_all(folder.log, "1")
    run = counting(runs_of({c.id: c.entries for c in copies}, 1))
    assert run is not None
    assert run.source == "transcribed"


def test_a_try_that_never_started_takes_nothing_away(
    folder: EventFolder, clock: FakeClock, sit: Sit
) -> None:
    desk, _ = sit(ONE)
    start(desk, clock)
    press(desk, clock, Rep())
    desk.close()
    empty_try, _ = sit(replace(ONE, again="opened by mistake"))
    empty_try.close()
    again, _ = sit(ONE)
    assert (again.book_id, again.lane(1).work.good) == (desk.book_id, 1)
    again.close()


def test_another_try_is_refused_while_a_desk_still_sits_there(
    clock: FakeClock, sit: Sit
) -> None:
    desk, _ = sit(ONE)
    with pytest.raises(BookHeld):
        sit(replace(ONE, again="oops"))
    start(desk, clock)
    press(desk, clock, Rep())
    assert desk.lane(1).work.good == 1
    desk.close()


def test_opening_tells_how_far_it_is(folder: EventFolder, clock: FakeClock) -> None:
    told: list[int] = []
    desk, _ = open_desk(folder, ONE, clock, told.append)
    desk.close()
    assert told == sorted({*told})
    assert 0 < told[0] <= told[-1] < 100
