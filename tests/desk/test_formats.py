"""Logs of other versions: older ones are carried on from, newer ones left alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Claim, Rep
from judgekit.core.errors import BookError
from judgekit.core.lane import fold
from judgekit.core.ruling import Ref
from judgekit.core.score import score
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import EventFolder, load_event
from judgekit.store import lift, sqlfile
from judgekit.store.book import Header, Row, Snapshot, header_bytes, read_header
from judgekit.store.chain import first_link, link
from judgekit.store.folder import read_all
from tests.desk.fakes import FakeClock
from tests.small_event import WORKOUT, write_event

if TYPE_CHECKING:
    from pathlib import Path

WISH = Wish(heat="1", lanes=(1,))
NEWEST = 99


def as_it_is(value: object) -> object:
    return value


def fails_at_25(value: object) -> object:
    if isinstance(value, list) and value[0] == 25:
        raise KeyError("n")
    return value


@pytest.fixture
def clock() -> FakeClock:
    return FakeClock()


@pytest.fixture
def folder(tmp_path: Path, clock: FakeClock) -> EventFolder:
    """A heat whose log has 50 entries, 46 of them reps."""
    event = write_event(tmp_path / "event")
    workout = event / "workouts" / "quayside.toml"
    workout.write_text(WORKOUT.replace("[3, 2]", "[60, 2]"), encoding="utf-8")
    loaded = load_event(event)
    desk, _ = open_desk(loaded, WISH, clock)
    desk.call_go(boot_ms=clock.boot_now)
    desk.work_off()
    clock.pass_(10_000)
    for _ in range(46):
        clock.pass_(2000)
        desk.submit(1, Rep(), boot_ms=clock.boot_now)
    desk.close()
    assert [len(copy.entries) for copy in read_all(loaded.log)] == [50]
    return loaded


def written_as(folder: EventFolder, written: int) -> Path:
    """The one book of the event, as a judgekit of that format would have left it."""
    [copy] = read_all(folder.log)
    head = read_header(copy.stored.header)
    header = header_bytes(
        Header(
            format=written,
            book=head.book,
            event=head.event,
            heat=head.heat,
            created=head.created,
        )
    )
    previous = first_link(header)
    rows: list[Row] = []
    for row in copy.stored.rows:
        previous = link(previous, row.data)
        rows.append(Row(row.number, row.data, previous))
    copy.path.unlink()
    stored = Snapshot(header=header, rows=tuple(rows), plans=copy.stored.plans)
    sqlfile.build(copy.path, stored)
    return copy.path


def test_an_older_log_of_50_entries_is_carried_on_in_a_new_one(
    folder: EventFolder, clock: FakeClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    [copy] = read_all(folder.log)
    [plan] = copy.plans.values()
    worth = score(fold(plan, copy.entries))
    older = written_as(folder, 0)
    before = older.read_bytes()
    same = lift.Lift(entry=as_it_is, plan=as_it_is)
    monkeypatch.setitem(lift.LIFTS, 0, same)
    desk, _ = open_desk(folder, WISH, clock)
    assert desk.lane(1).work.good == 46
    [carried_on] = [
        entry.body.covers
        for copy in read_all(folder.log)
        for entry in copy.entries
        if isinstance(entry.body, Claim) and copy.id == desk.book_id
    ]
    assert carried_on == (Ref(older.stem, 50),)
    assert score(desk.lane(1)) == worth
    clock.pass_(2000)
    desk.submit(1, Rep(), boot_ms=clock.boot_now)
    desk.close()
    assert desk.lane(1).work.good == 47
    assert older.read_bytes() == before
    assert [copy.last for copy in read_all(folder.log) if copy.id == older.stem] == [50]


def test_a_lift_that_fails_half_way_leaves_the_log_byte_for_byte(
    folder: EventFolder, clock: FakeClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    older = written_as(folder, 0)
    before = older.read_bytes()
    broken = lift.Lift(entry=fails_at_25, plan=as_it_is)
    monkeypatch.setitem(lift.LIFTS, 0, broken)
    with pytest.raises(BookError, match="entry 25"):
        open_desk(folder, WISH, clock)
    assert older.read_bytes() == before


def test_a_newer_log_is_refused_and_its_bytes_stay(
    folder: EventFolder, clock: FakeClock
) -> None:
    newer = written_as(folder, NEWEST)
    before = newer.read_bytes()
    with pytest.raises(BookError, match=r"newer judgekit \(format 99, this one knows"):
        open_desk(folder, WISH, clock)
    assert newer.read_bytes() == before
