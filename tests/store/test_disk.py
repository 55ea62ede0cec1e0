"""What kind of disk a log lies on, and what happens when it is full or read-only."""

from __future__ import annotations

import shutil
import subprocess
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from judgekit.core.errors import BookError
from judgekit.store import disk, reserve, sqlite
from judgekit.store.ahead import lengthen
from judgekit.store.stray import wal_of
from tests.small_disk import fill, small_disk
from tests.store.making import closed_book, entries, entry, new_book

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.small_disk import Mount

MOUNTS = """\
22 27 0:21 / /proc rw,relatime - proc proc rw
27 1 254:0 / / rw,relatime shared:1 - ext4 /dev/vda rw
31 27 0:40 / /mnt/share rw,relatime shared:9 master:2 - nfs4 hall:/data rw,vers=4.2
32 31 8:1 / /mnt/share/local rw - xfs /dev/sda1 rw
33 27 0:41 / /mnt/two\\040words rw - cifs //hall/data rw
34 27 0:42 / /media/stick rw - fuseblk /dev/sdb1 rw
35 27 0:43 / /hall/kim/cloud rw - fuse.sshfs kim@hall: rw
36 27 0:44 / /mnt/twice rw - nfs hall:/x rw
37 36 8:2 / /mnt/twice rw - ext4 /dev/sda2 rw
a line that is none
38 27
"""


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/event/log", "ext4"),
        ("/", "ext4"),
        ("/mnt/share", "nfs4"),
        ("/mnt/share/event/log", "nfs4"),
        ("/mnt/shared/event/log", "ext4"),
        ("/mnt/share/local/event/log", "xfs"),
        ("/mnt/two words/event", "cifs"),
        ("/media/stick/event", "fuseblk"),
        ("/hall/kim/cloud/event", "fuse.sshfs"),
        ("/mnt/twice/event", "ext4"),
    ],
)
def test_a_folder_lies_on_the_longest_mount_that_holds_it(path: str, kind: str) -> None:
    assert disk.mounted_kind(MOUNTS, path) == kind


def test_without_a_table_of_mounts_nothing_is_known(tmp_path: Path) -> None:
    assert disk.mounted_kind("", "/event") == ""
    assert disk.kind_of(tmp_path, tmp_path / "none") == ""


def test_links_are_followed_to_the_disk_they_lead_to(tmp_path: Path) -> None:
    table = tmp_path / "mounts"
    far = tmp_path / "far"
    table.write_text(
        f"27 1 254:0 / / rw - ext4 /dev/vda rw\n31 27 0:40 / {far} rw - nfs hall:/ rw\n"
    )
    far.mkdir()
    (tmp_path / "event").symlink_to(far)
    assert disk.kind_of(tmp_path / "event" / "log", table) == "nfs"
    assert disk.kind_of(tmp_path / "log", table) == "ext4"


def test_locks_hold_on_disks_of_this_machine_only() -> None:
    kinds = ("", "ext4", "btrfs", "xfs", "tmpfs", "overlay", "fuseblk", "apfs", "vfat")
    assert [kind for kind in kinds if not disk.locks_hold(kind)] == []
    shared = ("nfs", "nfs4", "cifs", "smb3", "9p", "fuse", "fuse.sshfs", "virtiofs")
    assert [kind for kind in shared if disk.locks_hold(kind)] == []


def test_a_trial_write_leaves_nothing_behind(tmp_path: Path) -> None:
    assert disk.save_ms(tmp_path) >= 0
    assert disk.free_bytes(tmp_path) > 0
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(FileNotFoundError):
        disk.save_ms(tmp_path / "none")


# --- room kept ----------------------------------------------------------------------


def test_room_is_kept_while_a_book_is_open_and_given_back(tmp_path: Path) -> None:
    kept = tmp_path / "b1.reserve"
    with closing(new_book(tmp_path)) as book:
        assert not kept.exists()
        book.keep_reserve()
        book.mend()
        assert kept.stat().st_size == reserve.SIZE
        kept.unlink()
        book.mend()
        assert kept.exists()
    assert not kept.exists()


def test_room_is_not_kept_where_there_is_little(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reserve, "free_bytes", lambda _folder: reserve.SIZE * 15)
    room = reserve.Reserve(tmp_path / "b1.reserve")
    assert not room.keep()
    assert not room.give_up()
    assert list(tmp_path.iterdir()) == []


def test_room_that_cannot_be_written_is_no_trouble(tmp_path: Path) -> None:
    (tmp_path / "b1.reserve").mkdir()
    room = reserve.Reserve(tmp_path / "b1.reserve")
    assert not room.keep()
    assert not reserve.Reserve(tmp_path / "none" / "b1.reserve").keep()


# --- a small disk ---------------------------------------------------------------------


@pytest.fixture
def mount(tmp_path: Path) -> Iterator[Mount]:
    with small_disk(tmp_path / "small") as mounted:
        yield mounted


def test_on_a_full_disk_the_reserve_lets_a_whole_heat_go_on(mount: Mount) -> None:
    folder = mount("size=20m")
    with closing(new_book(folder)) as book:
        book.keep_reserve()
        book.append(entries(3))
        book.mend()
        fill(folder)
        told: list[str] = []
        for number in range(4, 1501):
            try:
                book.append([entry(number)])
            except BookError:
                told.append(book.mend())
                book.append([entry(number)])
        assert [words for words in told if words] == [
            "The disk is full. Some room was kept for this: go on, and make more."
        ]
        assert not (folder / "b1.reserve").exists()
        assert book.verify() is None
    assert sqlite.read(book.path).entries() == entries(1500)


def append_until_full(book: sqlite.SqliteBook) -> int:
    """Appends until not even mending helps; the number that was not saved."""
    number = book.last
    while True:
        number += 1
        try:
            book.append([entry(number)])
        except BookError:
            book.mend()
            # What is in use already is used again before that is the end of it.
            try:
                book.append([entry(number)])
            except BookError:
                return number


def test_a_disk_full_to_the_brim_saves_nothing_until_there_is_room(
    mount: Mount,
) -> None:
    folder = mount("size=400k")
    with closing(new_book(folder)) as book:
        book.keep_reserve()
        book.append(entries(3))
        book.mend()
        rest = fill(folder)
        number = append_until_full(book)
        with pytest.raises(BookError, match="could not be saved: the disk is full"):
            book.append([entry(number)])
        assert book.entries() == entries(number - 1)
        rest.unlink()
        book.append([entry(number)])
        assert book.entries() == entries(number)
    assert sqlite.read(book.path).verify() is None


def test_room_made_ahead_of_which_the_disk_has_too_little_is_no_harm(
    mount: Mount,
) -> None:
    folder = mount("size=400k")
    with closing(new_book(folder)) as book:
        book.append(entries(3))
        lengthen(wal_of(book.path))
        number = append_until_full(book)
        assert number > 10
        assert book.entries() == entries(number - 1)
        assert book.verify() is None


def test_a_disk_that_may_only_be_read_is_refused_in_words(mount: Mount) -> None:
    folder = mount("size=4m")
    path = closed_book(folder, 3)
    remount = [str(shutil.which("mount")), "-o", "remount,ro", str(folder)]
    subprocess.run(remount, check=True)
    assert sqlite.read(path).entries() == entries(3)
    with pytest.raises(BookError, match="could not be opened: Read-only file system"):
        sqlite.reopen(path)
    with pytest.raises(BookError, match="could not be opened: Read-only file system"):
        new_book(folder, "b2")
    assert [file.name for file in folder.glob("b2*")] == []
