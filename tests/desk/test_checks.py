"""Opening on a log or a disk that cannot be trusted: said, and a way on."""

from __future__ import annotations

import os
import shutil
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Claim, Rep, Session
from judgekit.core.errors import BookError
from judgekit.core.ruling import Ref
from judgekit.desk import News, Told
from judgekit.desk.checks import check_disk
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import EventFolder, load_event
from judgekit.store import disk, sqlite
from judgekit.store.book import BookHeld
from judgekit.store.folder import look, read_all
from judgekit.store.reading import read_lanes
from judgekit.store.verify import verify_folder
from tests.desk.fakes import FakeClock
from tests.small_event import write_event
from tests.store.making import tamper

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from judgekit.desk import Desk

ONE = Wish(heat="1", lanes=(1,))
TWO = Wish(heat="1", lanes=(2,))


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return load_event(write_event(tmp_path / "event"))


@pytest.fixture
def clock() -> FakeClock:
    return FakeClock()


def rep(desk: Desk, clock: FakeClock) -> None:
    clock.pass_(2000)
    desk.submit(desk.lanes[0], Rep(), boot_ms=clock.boot_now)
    desk.work_off()


@pytest.fixture
def judged(folder: EventFolder, clock: FakeClock) -> Path:
    """Lane 1 with four reps; entries 1 to 8: session, claim, go, reps, session."""
    desk, _ = open_desk(folder, ONE, clock)
    desk.call_go(boot_ms=clock.boot_now)
    desk.work_off()
    clock.pass_(10_000)
    for _ in range(4):
        rep(desk, clock)
    desk.close()
    [copy] = read_all(folder.log)
    assert copy.last == 8
    return copy.path


def told_by(desk: Desk) -> list[str]:
    news: list[News] = []
    desk.listen(news.append)
    return [one.says for one in news if isinstance(one, Told)]


def change_entry(path: Path) -> None:
    change = "UPDATE entry SET data = CAST(replace(data, '1', '2') AS BLOB)"
    tamper(path, f"{change} WHERE number = 6")


def drop_entry(path: Path) -> None:
    tamper(path, "DELETE FROM entry WHERE number = 6")


@pytest.mark.parametrize("damage", [change_entry, drop_entry])
def test_a_damaged_log_is_carried_on_from_what_stands(
    folder: EventFolder,
    clock: FakeClock,
    judged: Path,
    damage: Callable[[Path], None],
) -> None:
    damage(judged)
    before = judged.read_bytes()
    assert look(folder.log).copies == ()
    desk, _ = open_desk(folder, ONE, clock)
    assert told_by(desk)[0].startswith(
        "Check the count: the log is damaged, and goes on from entry 5."
    )
    assert desk.lane(1).work.good == 2
    rep(desk, clock)
    assert desk.lane(1).work.good == 3
    desk.close()
    assert judged.read_bytes() == before
    [new] = [copy for copy in read_all(folder.log) if copy.path != judged]
    [claim] = [e.body for e in new.entries if isinstance(e.body, Claim)]
    assert claim.covers == (Ref(judged.stem, 5),)
    session = new.entries[0].body
    assert isinstance(session, Session)
    assert session.why == f"{judged.stem} is damaged after entry 5"


def test_what_was_carried_on_counts_and_the_damage_is_still_said(
    folder: EventFolder, clock: FakeClock, judged: Path
) -> None:
    change_entry(judged)
    desk, _ = open_desk(folder, ONE, clock)
    rep(desk, clock)
    desk.close()
    read = read_lanes(folder.log)
    [lane] = read.lanes
    assert (lane.scored, lane.lane.work.good) == (True, 3)
    [said] = read.wrong
    assert said.startswith(f"{judged.name}: entry 6 was changed")
    assert said.endswith("; carried on from entry 5")
    assert [bool(one) for one in verify_folder(folder.log)] == [False, True]
    again, _ = open_desk(folder, ONE, clock)
    assert again.lane(1).work.good == 3
    assert [words for words in told_by(again) if "damaged" in words] == []
    again.close()
    assert len(read_all(folder.log)) == 2


def test_without_a_desk_that_carries_on_a_damaged_log_counts_nothing(
    folder: EventFolder, judged: Path
) -> None:
    change_entry(judged)
    read = read_lanes(folder.log)
    assert (read.lanes, len(read.wrong)) == ((), 1)
    with pytest.raises(BookError, match="entry 6 was changed"):
        read_all(folder.log)


def zero_page(path: Path, page: int) -> None:
    with path.open("r+b") as file:
        file.seek(page * 4096)
        file.write(bytes(4096))


@pytest.mark.parametrize("page", range(1, 6))
def test_a_page_of_zeros_is_said_and_never_counted_on(
    folder: EventFolder, clock: FakeClock, judged: Path, page: int
) -> None:
    assert page * 4096 < judged.stat().st_size
    zero_page(judged, page)
    # Some pages only stand for an index; then nothing is wrong.
    sound = bool(verify_folder(folder.log)[0])
    desk, _ = open_desk(folder, ONE, clock)
    good = desk.lane(1).work.good
    words = " ".join(told_by(desk))
    assert (good == 4) if sound else ("Check the count: " in words and good <= 4)
    desk.close()


@pytest.mark.parametrize("size", [0, 100, 4096, 8192])
def test_a_log_cut_off_is_said_and_never_counted_on(
    folder: EventFolder, clock: FakeClock, judged: Path, size: int
) -> None:
    os.truncate(judged, size)
    before = judged.read_bytes()
    assert not verify_folder(folder.log)[0]
    desk, _ = open_desk(folder, ONE, clock)
    assert "Check the count: " in " ".join(told_by(desk))
    assert desk.lane(1).work.good == 0
    desk.close()
    assert judged.read_bytes() == before


def test_a_log_of_another_lane_that_is_damaged_stops_nobody(
    folder: EventFolder, clock: FakeClock, judged: Path
) -> None:
    change_entry(judged)
    desk, _ = open_desk(folder, TWO, clock)
    assert told_by(desk)[0].startswith(
        "Another log of this heat is damaged; see judgekit log verify."
    )
    desk.close()
    read = read_lanes(folder.log)
    assert [lane.number for lane in read.lanes] == []


def killed(folder: EventFolder, clock: FakeClock, tmp_path: Path) -> Path:
    """A log as a killed desk leaves it, in another event of the same files."""
    desk, _ = open_desk(folder, ONE, clock)
    desk.call_go(boot_ms=clock.boot_now)
    desk.work_off()
    clock.pass_(10_000)
    rep(desk, clock)
    [path] = folder.log.glob("*.sqlite")
    left = write_event(tmp_path / "left") / "log"
    left.mkdir()
    for end in ("", "-wal"):
        name = f"{path.name}{end}"
        shutil.copyfile(folder.log / name, left / name)
    desk.close()
    return left / path.name


def test_what_a_killed_desk_left_is_whole(
    folder: EventFolder, clock: FakeClock, tmp_path: Path
) -> None:
    path = killed(folder, clock, tmp_path)
    [found] = verify_folder(path.parent)
    assert (bool(found), found.entries) == (True, 4)


@pytest.mark.parametrize("emptied", [False, True])
def test_a_log_left_open_without_the_file_beside_it_may_miss_entries(
    folder: EventFolder, clock: FakeClock, tmp_path: Path, emptied: bool
) -> None:
    path = killed(folder, clock, tmp_path)
    kept = sqlite.reopen(path)
    kept.close()
    left = sqlite.reopen(path)
    wal = path.with_name(f"{path.name}-wal")
    copy = tmp_path / "copy" / "log" / path.name
    copy.parent.mkdir(parents=True)
    shutil.copyfile(path, copy)
    left.close()
    assert not wal.exists()
    if emptied:
        copy.with_name(wal.name).touch()
    [found] = verify_folder(copy.parent)
    assert str(found.broken) == (
        f"entry 5 and later ones may be missing: {wal.name}, which belongs here, is "
        "gone"
    )
    [damaged] = look(copy.parent).damaged
    assert damaged.standing is not None
    assert damaged.standing.last == 4


def test_a_log_whose_entries_another_file_hides_is_refused_with_a_way_out(
    folder: EventFolder, clock: FakeClock, judged: Path, tmp_path: Path
) -> None:
    wal = judged.with_name(f"{judged.name}-wal")
    desk, _ = open_desk(folder, ONE, clock)
    shutil.copyfile(wal, tmp_path / "old")
    for _ in range(3):
        rep(desk, clock)
    desk.close()
    shutil.copyfile(tmp_path / "old", wal)
    with pytest.raises(BookError, match=f"{wal.name} beside the log is from another"):
        open_desk(folder, ONE, clock)
    wal.unlink()
    judged.with_name(f"{judged.name}-shm").unlink(missing_ok=True)
    desk, _ = open_desk(folder, ONE, clock)
    assert desk.lane(1).work.good == 7
    desk.close()


def test_a_damaged_log_that_another_desk_still_writes_is_held(
    folder: EventFolder, clock: FakeClock, judged: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sqlite, "PATIENCE_SECONDS", 0.0)
    change_entry(judged)
    lock = sqlite.take_lock(judged, 0)
    with pytest.raises(BookHeld):
        open_desk(folder, ONE, clock)
    lock.release()
    desk, _ = open_desk(folder, ONE, clock)
    desk.close()


def write_on(copy: Path) -> None:
    """One more entry in a copy under another name, as no desk would write it."""
    proper = copy.parent / "elsewhere" / f"{sqlite.read(copy).id}.sqlite"
    proper.parent.mkdir()
    shutil.move(copy, proper)
    with closing(sqlite.reopen(proper)) as book:
        last = book.entries()[-1]
        session = Session(start=True, why="elsewhere")
        book.append([replace(last, number=last.number + 1, body=session)])
    shutil.move(proper, copy)


def test_two_logs_that_contradict_each_other_are_refused_with_a_way_out(
    folder: EventFolder, clock: FakeClock, judged: Path
) -> None:
    copy = judged.with_name("from-a-stick.sqlite")
    shutil.copyfile(judged, copy)
    desk, _ = open_desk(folder, ONE, clock)
    rep(desk, clock)
    desk.close()
    write_on(copy)
    with pytest.raises(BookError, match="keep the right one here and move the other"):
        open_desk(folder, ONE, clock)
    found = verify_folder(folder.log)
    assert [bool(one) for one in found] == [False, False]


# --- disks whose locks cannot be trusted ----------------------------------------------


def test_a_shared_disk_is_refused_with_a_reason_and_a_way_out(tmp_path: Path) -> None:
    assert check_disk(tmp_path, trust=False, kind="ext4") == ""
    with pytest.raises(BookError) as caught:
        check_disk(tmp_path / "log", trust=False, kind="nfs4")
    assert str(caught.value) == (
        f"{tmp_path / 'log'} is on a shared disk (nfs4), where a second desk is not "
        "kept out for certain, and a log can be damaged. Copy the event to this "
        "computer's own disk and judge there. If only this computer opens this heat, "
        "judgekit floor with --trust-disk opens it all the same"
    )


def test_a_shared_disk_that_is_trusted_is_written_down(
    folder: EventFolder, clock: FakeClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(disk, "kind_of", lambda _log: "cifs")
    with pytest.raises(BookError, match=r"shared disk \(cifs\)"):
        open_desk(folder, ONE, clock)
    assert not folder.log.exists()
    trusting = Wish(heat="1", lanes=(1,), trust_disk=True)
    desk, _ = open_desk(folder, trusting, clock)
    desk.close()
    [copy] = read_all(folder.log)
    session = copy.entries[0].body
    assert isinstance(session, Session)
    assert session.why == "on a shared disk (cifs), trusted by --trust-disk"
