"""Whatever befalls the disk: order kept, nothing dropped, the judge told in a line."""

from __future__ import annotations

import shutil
import sqlite3
import threading
import time
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Claim, Rep, Session
from judgekit.core.errors import BookError
from judgekit.core.lane import empty
from judgekit.desk import Desk, Judged, News, Refused, Saved, Seat, Slow, Told, Unsaved
from judgekit.desk.pen import Pen
from judgekit.desk.room import LEAST_BYTES, LOW_BYTES, Room
from judgekit.desk.slowness import SlowWatch
from judgekit.store import sqlite
from judgekit.store.memory import MemoryBook
from tests.desk.fakes import FakeClock
from tests.store.making import closed_book
from tests.support import for_time

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from judgekit.core.entry import Entry
    from judgekit.store.book import Book


class At:
    """A desk of one lane on a book, its go called; presses are worked off at once."""

    def __init__(self, book: Book, room: Room | None = None) -> None:
        self.news: list[News] = []
        self.clock = FakeClock()
        self.book = book
        seat = Seat(
            heat="3",
            lanes={4: empty(for_time())},
            resolve=lambda _n, _day: for_time(),
            who="kb",
            room=room,
            notes=("This disk takes 45 ms to save.",) if room else (),
        )
        self.desk = Desk(seat, book, self.clock)
        self.desk.listen(self.news.append)
        self.desk.begin([(None, Session(start=True)), (4, Claim(judge="kb"))])

    def go(self) -> None:
        self.desk.call_go(boot_ms=self.clock.boot_now)
        self.desk.work_off()
        self.clock.pass_(10_000)

    def rep(self) -> None:
        self.clock.pass_(2000)
        self.desk.submit(4, Rep(), boot_ms=self.clock.boot_now)
        self.desk.work_off()

    @property
    def good(self) -> int:
        return self.desk.lane(4).work.good

    def told(self) -> list[str]:
        return [news.says for news in self.news if isinstance(news, Told)]


@pytest.fixture
def at(tmp_path: Path) -> At:
    log = tmp_path / "event" / "log"
    found = At(sqlite.create(log, "b", event="E", heat="3", wall=0))
    found.go()
    return found


def path_of(at: At) -> Path:
    assert isinstance(at.book, sqlite.SqliteBook)
    return at.book.path


def remove_folder(path: Path) -> None:
    shutil.rmtree(path.parent)


def put_another(path: Path) -> None:
    closed_book(path.parent / "elsewhere", 1).replace(path)


GONE = "The log's file was gone: it was written anew, all {} entries."
CHANGED = (
    "Something changed the log's file: it was written anew, all {} entries. "
    "The other is b.sqlite.aside-1."
)


@pytest.mark.parametrize(
    ("befall", "says"), [(remove_folder, GONE), (put_another, CHANGED)]
)
def test_the_press_after_the_file_went_counts_and_is_saved(
    at: At, befall: Callable[[Path], None], says: str
) -> None:
    at.rep()
    many = at.book.last
    befall(path_of(at))
    at.rep()
    assert at.good == 2
    assert at.told() == [says.format(many)]
    assert not [news for news in at.news if isinstance(news, Unsaved)]
    at.desk.close()
    reps = [e for e in sqlite.read(path_of(at)).entries() if isinstance(e.body, Rep)]
    assert len(reps) == 2


def test_a_deleted_file_is_noticed_though_nobody_presses(at: At) -> None:
    at.rep()
    path_of(at).unlink()
    at.desk.idle()
    assert path_of(at).exists()
    at.clock.pass_(300)
    path_of(at).unlink()
    at.desk.idle()
    assert not path_of(at).exists()
    at.clock.pass_(700)
    at.desk.idle()
    assert path_of(at).exists()
    assert at.told() == [GONE.format(at.book.last)] * 2
    at.desk.close()


def test_what_cannot_be_mended_is_told_once_and_its_end_too(at: At) -> None:
    log = path_of(at).parent
    shutil.rmtree(log)
    log.write_text("a file where the folder belongs")
    for _ in range(3):
        at.clock.pass_(1000)
        at.desk.idle()
    [told] = at.told()
    assert told.startswith("NOT SAFE: b.sqlite could not be ")
    assert told.endswith("Tried again each second.")
    log.unlink()
    at.clock.pass_(1000)
    at.desk.idle()
    assert at.told()[1:] == [GONE.format(at.book.last)]
    at.desk.close()


def test_presses_wait_in_order_until_the_file_can_be_written_anew(
    at: At, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = path_of(at).parent
    shutil.rmtree(log)
    log.write_text("a file where the folder belongs")
    waits: list[float] = []

    def pause(seconds: float) -> None:
        waits.append(seconds)
        if len(waits) == 2:
            log.unlink()

    monkeypatch.setattr(Pen, "pause", staticmethod(pause))
    for _ in range(3):
        at.desk.submit(4, Rep(), boot_ms=at.clock.boot_now)
        at.clock.pass_(2000)
    at.desk.work_off()
    unsaved = [news for news in at.news if isinstance(news, Unsaved)]
    assert [news.waiting for news in unsaved] == [3, 3]
    assert waits == [1.0, 1.0]
    assert [news for news in at.news if isinstance(news, Saved)] == [Saved()]
    assert at.good == 3
    stamps = [e.at for e in at.desk.lane(4).entries if isinstance(e.body, Rep)]
    assert stamps == [0, 2000, 4000]
    at.desk.close()


def test_presses_wait_while_another_program_keeps_the_file_busy(
    at: At, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert isinstance(at.book, sqlite.SqliteBook)
    at.book._connection.execute("PRAGMA busy_timeout = 0").fetchall()
    with closing(sqlite3.connect(path_of(at), isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")

        def pause(_seconds: float) -> None:
            other.execute("ROLLBACK")

        monkeypatch.setattr(Pen, "pause", staticmethod(pause))
        at.rep()
        why = "b.sqlite could not be saved: another program keeps it busy"
        told = [news for news in at.news if isinstance(news, Unsaved | Saved | Told)]
        assert told == [Unsaved(waiting=1, why=why), Saved()]
        assert at.good == 1
    at.desk.close()


# --- slow disks ---------------------------------------------------------------------


class SlowBook(MemoryBook):
    """A book whose every commit takes its time, or waits to be let go."""

    def __init__(self, ms: int = 0) -> None:
        super().__init__("b", event="E", heat="3", wall=0)
        self.ms = ms
        self.free = threading.Event()
        self.free.set()
        self.reached = threading.Event()

    def append(self, entries: Sequence[Entry], plans: Sequence[bytes] = ()) -> None:
        self.reached.set()
        assert self.free.wait(30)
        time.sleep(self.ms / 1000)
        super().append(entries, plans)


@pytest.mark.parametrize(("ms", "presses"), [(20, 8), (200, 4), (2000, 1)])
def test_a_slow_disk_delays_every_press_and_drops_none(ms: int, presses: int) -> None:
    book = SlowBook()
    at = At(book)
    at.go()
    book.ms = ms
    at.desk.start()
    for _ in range(presses):
        at.clock.pass_(2000)
        at.desk.submit(4, Rep(), boot_ms=at.clock.boot_now)
    at.desk.close()
    reps = [e for e in book.entries() if isinstance(e.body, Rep)]
    assert [e.at for e in reps] == [2000 * n for n in range(1, presses + 1)]
    assert at.good == presses
    slow = [news for news in at.news if isinstance(news, Slow | Saved)]
    if ms == 2000:
        assert isinstance(slow[0], Slow)
        assert slow[-1] == Saved()


def test_a_press_returns_at_once_however_long_the_disk_takes() -> None:
    book = SlowBook()
    at = At(book)
    at.go()
    heard = threading.Event()
    at.desk.listen(lambda news: heard.set() if isinstance(news, Slow) else None)
    at.desk.start()
    book.reached.clear()
    book.free.clear()
    for _ in range(3):
        # Nothing can be saved now, so a press that waited would never return.
        at.desk.submit(4, Rep(), boot_ms=at.clock.boot_now)
    assert book.reached.wait(30)
    assert heard.wait(30)
    assert at.good == 0
    first = next(news for news in at.news if isinstance(news, Slow))
    assert first == Slow(waiting=3, ms=500)
    book.free.set()
    at.desk.close()
    assert at.good == 3


def test_slowness_is_told_each_second_or_press_and_ended_once() -> None:
    news: list[News] = []
    now = [10.0]
    queue = [0]
    watch = SlowWatch(tell=news.append, waiting=lambda: queue[0], now=lambda: now[0])
    watch.look()
    with watch.watched():
        for passed, waiting in ((0.4, 0), (0.6, 0), (0.9, 0), (0.9, 2), (1.2, 2)):
            now[0], queue[0] = 10.0 + passed, waiting
            watch.look()
    watch.look()
    with watch.watched():
        watch.look()
    assert news == [
        Slow(waiting=1, ms=500),
        Slow(waiting=3, ms=500),
        Slow(waiting=3, ms=1000),
        Saved(),
    ]


# --- room before go -----------------------------------------------------------------


def test_there_is_no_go_without_room_and_the_judge_is_told_why(tmp_path: Path) -> None:
    free = [LEAST_BYTES - 1]
    at = At(
        MemoryBook("b", event="E", heat="3", wall=0),
        Room(tmp_path, free=lambda _: free[0]),
    )
    at.go()
    assert at.news[-1] == Refused(
        lane=4,
        key="g",
        says="No go: only 10 MB are free on this disk. Make room "
        "(10 MB at least), then g again.",
    )
    assert at.desk.zero_boot_ms is None
    free[0] = LEAST_BYTES
    at.go()
    assert at.desk.zero_boot_ms is not None


def test_what_was_found_at_opening_is_told_to_the_first_who_listens(
    tmp_path: Path,
) -> None:
    at = At(MemoryBook("b", event="E", heat="3", wall=0), Room(tmp_path))
    assert at.told() == ["This disk takes 45 ms to save."]
    later: list[News] = []
    at.desk.listen(later.append)
    assert later == []


def test_room_that_grows_short_in_the_heat_is_told_within_a_minute(
    tmp_path: Path,
) -> None:
    free = [LOW_BYTES]
    at = At(
        MemoryBook("b", event="E", heat="3", wall=0),
        Room(tmp_path, free=lambda _: free[0]),
    )
    at.go()
    at.news.clear()
    for bytes_left in (LOW_BYTES, LOW_BYTES - 1, LOW_BYTES // 2, LOW_BYTES, 60 * 10**6):
        free[0] = bytes_left
        for _ in range(2):
            at.desk.idle()
            at.clock.pass_(30_000)
    assert at.told() == [
        "Only 200 MB are free on this disk: make room.",
        "Only 60 MB are free on this disk: make room.",
    ]
    at.rep()
    assert [type(news) for news in at.news[2:]] == [Judged]


def broken_disk(_folder: Path) -> int:
    raise OSError(5, "Input/output error")


@pytest.mark.parametrize(
    ("save_ms", "says"),
    [
        (lambda _: 20, ()),
        (
            lambda _: 45,
            ("This disk takes 45 ms to save; counts show that much later.",),
        ),
        (broken_disk, ("The disk cannot be tried: Input/output error.",)),
    ],
)
def test_a_disk_that_takes_long_to_save_is_said_at_opening(
    tmp_path: Path, save_ms: Callable[[Path], int], says: tuple[str, ...]
) -> None:
    room = Room(tmp_path, free=lambda _: LOW_BYTES, save_ms=save_ms)
    assert room.at_opening(0) == says


def test_a_disk_that_nobody_can_ask_keeps_nobody_from_starting(tmp_path: Path) -> None:
    room = Room(tmp_path, free=broken_disk)
    assert (room.refusal(), room.look(0)) == ("", "")


def test_a_book_that_may_not_be_written_to_is_not_mended_in_silence() -> None:
    class Dead(MemoryBook):
        def mend(self) -> str:
            raise BookError("b.sqlite could not be written anew: it is damaged")

    at = At(Dead("b", event="E", heat="3", wall=0))
    at.clock.pass_(1000)
    at.desk.idle()
    says = "b.sqlite could not be written anew: it is damaged"
    assert at.told() == [f"NOT SAFE: {says}. Tried again each second."]
