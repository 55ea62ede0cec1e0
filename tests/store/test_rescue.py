"""A file that is deleted, replaced or changed while its book is open costs nothing."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.core.errors import BookError
from judgekit.store import rescue, sqlite
from judgekit.store.book import BookHeld
from judgekit.store.folder import look
from judgekit.store.verify import verify_folder
from tests.store.making import closed_book, entries, entry, new_book, plan_bytes

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).parents[2]
GONE = "The log's file was gone: it was written anew, all 3 entries."
CHANGED = (
    "Something changed the log's file: it was written anew, all 3 entries. "
    "The other is b1.sqlite.aside-1."
)


def delete_file(path: Path) -> None:
    path.unlink()


def delete_all(path: Path) -> None:
    for file in path.parent.iterdir():
        file.unlink()


def delete_wal(path: Path) -> None:
    path.with_name("b1.sqlite-wal").unlink()


def delete_folder(path: Path) -> None:
    shutil.rmtree(path.parent)


def delete_event(path: Path) -> None:
    shutil.rmtree(path.parent.parent)


def rename_folder(path: Path) -> None:
    path.parent.rename(path.parent.with_name("moved"))


def replace_by_letter(path: Path) -> None:
    letter = path.with_name("letter")
    letter.write_bytes(b"a letter")
    letter.replace(path)


def write_over(path: Path) -> None:
    path.write_bytes(b"a letter")


def put_older_copy_back(path: Path) -> None:
    other = closed_book(path.parent / "elsewhere", 1)
    other.replace(path)
    shutil.rmtree(other.parent)


def cut_off(path: Path) -> None:
    os.truncate(path, 4096)


def make_folder_of_it(path: Path) -> None:
    path.unlink()
    path.mkdir()


FAULTS: list[tuple[Callable[[Path], None], str]] = [
    (delete_file, GONE),
    (delete_all, GONE),
    (delete_wal, CHANGED),
    (delete_folder, GONE),
    (delete_event, GONE),
    (rename_folder, GONE),
    (replace_by_letter, CHANGED),
    (write_over, CHANGED),
    (put_older_copy_back, CHANGED),
    (cut_off, CHANGED),
    (make_folder_of_it, CHANGED),
]


@pytest.mark.parametrize(("befall", "says"), FAULTS)
def test_a_file_gone_astray_is_written_anew_with_every_entry(
    tmp_path: Path, befall: Callable[[Path], None], says: str
) -> None:
    log = tmp_path / "event" / "log"
    with closing(new_book(log)) as book:
        book.append(entries(3), [plan_bytes()])
        before = book.snapshot()
        befall(book.path)
        with pytest.raises(
            BookError, match=r"could not be saved|moved, deleted or changed"
        ):
            book.append([entry(4)])
        assert book.mend() == says
        assert book.mend() == ""
        assert sqlite.read(book.path).snapshot() == before
        book.append([entry(4)])
        with pytest.raises(BookHeld):
            sqlite.reopen(book.path, patience=0)
    assert sqlite.read(book.path).entries() == entries(4)
    assert sqlite.read(book.path).verify() is None
    assert not list(log.glob("*.new"))


@pytest.mark.parametrize("befall", [replace_by_letter, write_over])
def test_what_took_the_logs_place_is_kept_byte_for_byte(
    tmp_path: Path, befall: Callable[[Path], None]
) -> None:
    log = tmp_path / "event" / "log"
    with closing(new_book(log)) as book:
        for turn in (1, 2):
            book.append([entry(turn)])
            befall(book.path)
            book.mend()
            aside = log / f"b1.sqlite.aside-{turn}"
            assert aside.read_bytes() == b"a letter"
    assert sqlite.read(book.path).entries() == entries(2)


def test_a_strangers_file_keeps_the_file_that_belongs_to_it(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append(entries(1))
        for end in ("", "-wal", "-shm"):
            book.path.with_name(f"b1.sqlite{end}").unlink()
            book.path.with_name(f"b1.sqlite{end}").write_bytes(b"other" + end.encode())
        book.mend()
        names = {path.name: path for path in tmp_path.glob("*aside*")}
        assert {name: path.read_bytes() for name, path in names.items()} == {
            "b1.sqlite.aside-1": b"other",
            "b1.sqlite.aside-1-wal": b"other-wal",
            "b1.sqlite.aside-1-shm": b"other-shm",
        }
        assert book.verify() is None


def test_our_own_newest_pages_are_never_put_on_a_strangers_file(
    tmp_path: Path,
) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append(entries(3))
        put_older_copy_back(book.path)
        book.mend()
        names = {path.name for path in tmp_path.glob("*aside*")}
        assert names == {
            "b1.sqlite.aside-1",
            "b1.sqlite.aside-1.wal",
            "b1.sqlite.aside-1.shm",
        }


def test_a_lock_file_that_was_deleted_is_taken_again(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append(entries(1))
        book.path.with_suffix(".lock").unlink()
        assert book.mend() == ""
        with pytest.raises(BookHeld):
            sqlite.reopen(book.path, patience=0)


def test_a_desk_whose_lock_another_took_meanwhile_writes_no_more(
    tmp_path: Path,
) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append(entries(1))
        book.path.with_suffix(".lock").unlink()
        other = sqlite.take_lock(book.path, 0)
        for _ in range(2):
            with pytest.raises(BookHeld):
                book.mend()
        with pytest.raises(BookError, match="open at another desk by now"):
            book.append([entry(2)])
        other.release()
        assert book.mend() == ""
        book.append([entry(2)])
        assert book.entries() == entries(2)


def test_a_rescue_that_fails_is_said_and_tried_again(tmp_path: Path) -> None:
    log = tmp_path / "event" / "log"
    with closing(new_book(log)) as book:
        book.append(entries(3))
        shutil.rmtree(log)
        log.write_text("a file where the folder belongs")
        with pytest.raises(BookError, match=r"b1\.sqlite could not be"):
            book.mend()
        log.unlink()
        assert book.mend() == GONE
        book.append([entry(4)])
    assert sqlite.read(book.path).entries() == entries(4)


def test_a_rescue_cut_short_leaves_no_half_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append(entries(3))
        book.path.unlink()

        def no_name(*_: object) -> None:
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(rescue, "take_name", no_name)
        with pytest.raises(BookError, match="No space left on device"):
            book.mend()
        assert not list(tmp_path.glob("*.new"))
        monkeypatch.undo()
        assert book.mend() == GONE


def test_closing_touches_nothing_that_is_another_files(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    book.append(entries(2))
    for end in ("", "-wal"):
        book.path.with_name(f"b1.sqlite{end}").unlink()
        book.path.with_name(f"b1.sqlite{end}").write_bytes(b"other" + end.encode())
    book.close()
    assert book.path.read_bytes() == b"other"
    assert book.path.with_name("b1.sqlite-wal").read_bytes() == b"other-wal"


def test_our_own_tidying_is_no_change_by_others(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        for number in range(1, 251):
            book.append([entry(number)])
            assert book.mend() == ""
        wal = book.path.with_name("b1.sqlite-wal")
        assert 0 < wal.stat().st_size < 1_300_000
    assert sqlite.read(book.path).entries() == entries(250)


def test_a_desk_that_never_rests_is_tidied_all_the_same(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        for number in range(1, 2201):
            book.append([entry(number)])
        assert book.path.with_name("b1.sqlite-wal").stat().st_size < 16_000_000
        assert book.mend() == ""


def test_a_file_only_touched_is_still_the_book(tmp_path: Path) -> None:
    with closing(new_book(tmp_path)) as book:
        book.append(entries(1))
        os.utime(book.path, (1, 1))
        book.append([entry(2)])
        os.utime(book.path, (2, 2))
        assert book.mend() == ""
        assert not list(tmp_path.glob("*aside*"))
    assert sqlite.read(book.path).entries() == entries(2)


def test_a_book_just_opened_has_something_beside_it(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 3)
    with closing(sqlite.reopen(path)):
        left = tmp_path / "left"
        left.mkdir()
        for end in ("", "-wal"):
            name = f"{path.name}{end}"
            shutil.copyfile(tmp_path / name, left / name)
    assert all(verify_folder(left))
    assert sqlite.read(left / path.name).entries() == entries(3)


def test_a_closed_book_is_not_mended(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    book.close()
    book.path.unlink()
    assert book.mend() == ""
    assert not book.path.exists()


# A desk whose file a letter replaces; it is killed before the given change of names.
KILLED = """
import os, signal, sys
from pathlib import Path
from tests.store.making import entries, new_book
log, left = Path(sys.argv[1]), int(sys.argv[2])
book = new_book(log)
book.append(entries(3))
letter = log / "letter"
letter.write_bytes(b"a letter")
letter.replace(book.path)
def counted(change):
    def changed(*args, **more):
        global left
        left -= 1
        if not left:
            os.kill(os.getpid(), signal.SIGKILL)
        return change(*args, **more)
    return changed
for name in ("rename", "replace", "link"):
    setattr(os, name, counted(getattr(os, name)))
book.mend()
"""


def test_killed_at_any_instant_of_a_rescue_the_whole_log_is_found_and_told(
    tmp_path: Path,
) -> None:
    found_at = []
    for before in range(1, 99):
        log = tmp_path / str(before)
        code = subprocess.run(
            [sys.executable, "-c", KILLED, log, str(before)], cwd=ROOT, check=False
        ).returncode
        if code == 0:
            break
        assert code == -signal.SIGKILL
        whole = [copy for copy in look(log).copies if list(copy.entries) == entries(3)]
        # Until it is written whole, there is what befell it and nothing else.
        assert len(whole) == (before > 1)
        for copy in whole:
            found_at.append(copy.path.name)
            letters = log.glob("b1.sqlite*")
            there = any(one.read_bytes() == b"a letter" for one in letters)
            with closing(sqlite.reopen(copy.path)) as book:
                assert book.path == log / "b1.sqlite"
                assert book.entries() == entries(3)
                assert "written anew, all 3 entries" in book.mend()
                assert book.mend() == ""
                book.append([entry(4)])
            aside = log.glob("b1.sqlite.aside-?")
            assert there
            assert [one.read_bytes() for one in aside] == [b"a letter"]
            assert not list(log.glob("*.anew*"))
            assert all(verify_folder(log))
    assert found_at == ["b1.anew.sqlite"] * 4


def test_a_rescue_killed_at_its_very_end_is_only_tidied(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 3)
    os.link(path, rescue.anew_of(path))
    with closing(sqlite.reopen(rescue.anew_of(path))) as book:
        assert (book.path, book.mend()) == (path, "")
        assert book.entries() == entries(3)
    assert sorted(one.name for one in tmp_path.iterdir()) == ["b1.lock", "b1.sqlite"]
