"""Every key through a real terminal: once in the log, as a judgement or as ignored."""

from __future__ import annotations

import itertools
import json
import subprocess
import sys
import threading
from time import monotonic
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Early, Ignored, NoRep, Rep, Session, TakeBack
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.files.keynames import KEY_NAMES
from judgekit.store.folder import read_all
from judgekit.ui.guard import AGAIN_MS
from tests.key_rows import PROTOCOLS, Row, rows
from tests.pty.terminal import Terminal
from tests.small_event import EVENT, WORKOUT, write_event

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from judgekit.files.folder import EventFolder

# Never set: how a hand waits between two keys.
_PACE = threading.Event()
# Nearly as long as the guard takes a key for a repeat: reading takes a little, too.
_REPEAT_S = 0.06
FLOOR = ("floor", ".", "--heat", "1", "--lane", "1")
DEAD = "does nothing"
# The front squat's voiding faults by their letters, and by their place on the card.
FAULTS = {
    "d": "shallow",
    "s": "not-tall",
    "k": "elbow-touch",
    "h": "bar-slides",
    "a": "wrong-load",
}
FAULTS |= dict(zip("12345", FAULTS.values(), strict=True))
ELSEWHERE = dict(zip("\u0444\u044b\u0432\u043b\u0440", "asdkh", strict=True))
ELSEWHERE |= {"\u0456": "s"}
ELSEWHERE |= dict(zip("δσκηα", "dskha", strict=True))
ELSEWHERE |= dict(zip("\u05d2\u05d3\u05dc\u05d9\u05e9", "dskha", strict=True))
ELSEWHERE |= dict(zip("\u064a\u0633\u0646\u0627\u0634", "dskha", strict=True))
# What must be told before the next key: what follows Escape at once makes another key
# of it, and that a judgement was undone is told in the place of what a key said before.
TOLD: dict[tuple[str, ...], str] = {
    ("escape",): "escape does nothing",
    ("backspace",): "Ines Varga: undone",
}
# These open a panel, or are refused where every rep is judged: no entry tells of them.
PANELS = ("+", "*")
# Without the kitty protocol these never come.
KITTY_ONLY = {
    *("f21", "f22", "f23", "f24", "raise_volume", "lower_volume", "mute_volume"),
    *("media_play_pause", "media_track_next", "media_track_previous", "media_stop"),
}


def under_way(tmp_path: Path, event: str, *, reps: int = 5000) -> EventFolder:
    """A heat under way for 20 s, with one set and one rep in it."""
    folder = write_event(tmp_path / "event")
    (folder / "event.toml").write_text(event, encoding="utf-8")
    head, *movements = WORKOUT.split("[[part.movement]]")
    one = head.replace("rounds = 2", "rounds = 1") + "[[part.movement]]"
    one += movements[0].replace("[3, 2]", str(reps))
    (folder / "workouts" / "quayside.toml").write_text(one, encoding="utf-8")
    loaded = load_event(folder)
    clock = SystemClock()
    desk, _ = open_desk(loaded, Wish(heat="1", lanes=(1,)), clock)
    desk.call_go(boot_ms=clock.boot_ms() - 30_000)
    desk.submit(1, Rep(), boot_ms=clock.boot_ms() - 5000)
    desk.close()
    return loaded


# No guard against held keys, and no second reason: each row stands for itself.
BARE = EVENT + 'repeat = "0 s"\nsecond-reason = "0 s"\n'


@pytest.fixture
def bare(tmp_path: Path) -> EventFolder:
    return under_way(tmp_path, BARE)


@pytest.fixture
def guarded(tmp_path: Path) -> EventFolder:
    return under_way(tmp_path, EVENT)


class Station:
    """A Floor at a terminal; dead keys between the others show that those were read."""

    def __init__(self, folder: EventFolder, terminal: Terminal) -> None:
        self.folder = folder
        self.terminal = terminal
        self._between = itertools.cycle("öü")

    def press(self, sent: bytes, *, seen: str | Callable[[str], bool] = "") -> None:
        """Bytes in one write, all of them handled before this returns."""
        # No faster than a finger: keys within 5 ms of each other came at once.
        _PACE.wait(0.01)
        self.terminal.send(sent)
        if seen:
            self.terminal.wait_for(seen)
        _PACE.wait(0.01)
        mark = next(self._between)
        self.terminal.send(mark)
        self.terminal.wait_for(f"{mark} does nothing on")

    def close(self) -> list[tuple[object, ...]]:
        """What the log holds of this sitting, without the marks."""
        self.terminal.send("q")
        self.terminal.wait_for("y closes")
        self.terminal.send("y")
        assert self.terminal.ended() == 0
        [copy] = read_all(self.folder.log)
        bodies = [entry.body for entry in copy.entries]
        starts = [n for n, b in enumerate(bodies) if isinstance(b, Session) and b.start]
        kept = (in_short(body) for body in bodies[starts[-1] + 1 : -1])
        return [body for body in kept if body not in (("ö", DEAD), ("ü", DEAD))]


def in_short(body: object) -> tuple[object, ...]:
    match body:
        case Ignored(key=key, why=why, many=1):
            return (key, why)
        case Ignored(key=key, why=why, many=many):
            return (key, why, many)
        case NoRep(faults=faults):
            return ("no-rep", *faults)
        case Rep() | TakeBack() | Early():
            return (body.kind,)
        case _:
            return (type(body).__name__,)


@pytest.fixture
def station(guarded: EventFolder) -> Iterator[Station]:
    with Terminal(FLOOR, folder=guarded.folder) as terminal:
        terminal.wait_for("rep 1")
        yield Station(guarded, terminal)


def expected(row: Row) -> list[tuple[object, ...]]:
    return [_of(key) for key in row.keys if key not in PANELS]


def _of(key: str) -> tuple[object, ...]:
    fault = FAULTS.get(ELSEWHERE.get(key, key))
    if fault is not None:
        return ("no-rep", fault)
    if key in ("space", "backspace"):
        return ("rep",) if key == "space" else ("take-back",)
    return (key, DEAD)


@pytest.mark.parametrize("protocol", PROTOCOLS)
def test_each_key_is_in_the_log_once_as_what_it_is(
    bare: EventFolder, protocol: str
) -> None:
    table = rows(protocol)
    with Terminal(FLOOR, folder=bare.folder) as terminal:
        terminal.wait_for("rep 1")
        station = Station(bare, terminal)
        for row in table:
            station.press(row.sent(protocol) or b"", seen=TOLD.get(row.keys, ""))
        log = station.close()
    assert log == [entry for row in table for entry in expected(row)]


@pytest.mark.parametrize("protocol", PROTOCOLS)
def test_each_extra_key_does_what_it_was_given_for(
    tmp_path: Path, protocol: str
) -> None:
    extra = [*KEY_NAMES, "/", "é", "в", "€", "ß"]
    keys = "\n[keys]\ngood = " + json.dumps(extra, ensure_ascii=False)
    folder = under_way(tmp_path, BARE + keys)
    table = [row for row in rows(protocol) if row.keys in {(key,) for key in extra}]
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("rep 1")
        station = Station(folder, terminal)
        for row in table:
            station.press(row.sent(protocol) or b"")
        station.press("ß".encode() if protocol == "legacy" else b"\x1b[223;;223u")
        log = station.close()
    missing = KITTY_ONLY if protocol == "legacy" else set()
    assert {row.keys[0] for row in table} == {*extra} - {"ß", *missing}
    assert log == [("rep",)] * (len(table) + 1)


def test_an_extra_key_held_down_counts_once_more_at_most(tmp_path: Path) -> None:
    folder = under_way(tmp_path, EVENT + '\n[keys]\ngood = ["pagedown"]')
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("rep 1")
        station = Station(folder, terminal)
        station.press(b"\x1b[6~", seen="rep 2")
        for _ in range(20):
            _PACE.wait(0.033)
            terminal.send(b"\x1b[6~")
        terminal.wait_for("Held pagedown")
        log = station.close()
    assert log.count(("rep",)) <= 2
    assert sum(entry[:2] == ("pagedown", "held key") for entry in log) >= 1


def test_a_sequence_in_two_pieces_is_one_key_and_judges_nothing(
    station: Station,
) -> None:
    for first, second in ((b"\x1b", b"[D"), (b"\x1b[", b"C"), (b"\x1bO", b"B")):
        station.terminal.send(first)
        _PACE.wait(0.03)
        station.press(second)
    assert station.close() == [("left", DEAD), ("right", DEAD), ("down", DEAD)]


def test_escape_and_at_once_a_fault_is_the_fault(station: Station) -> None:
    station.press(b"\x1bd", seen="NO REP depth")
    station.press(b"\x1b ", seen="rep 2")
    assert station.close() == [("no-rep", "shallow"), ("rep",)]


def test_bytes_that_are_no_text_end_nothing(station: Station) -> None:
    station.press(b"\xff")
    _PACE.wait(0.1)
    # Latin-1's é: what a beginning of a longer letter is, is known by what follows it.
    station.press(b"\xe9")
    station.press(b" ", seen="rep 2")
    assert station.close() == [("\ufffd", DEAD), ("\ufffd", DEAD), ("rep",)]


def test_a_mouse_that_nobody_asked_for_does_nothing(station: Station) -> None:
    for n in range(20):
        station.terminal.send(b"\x1b[<0;%d;%dM\x1b[<0;%d;%dm" % (4 * n, n, 4 * n, n))
    station.press(b" ", seen="rep 2")
    assert station.close() == [("rep",)]


def test_a_click_that_nobody_asked_for_opens_no_lane(tmp_path: Path) -> None:
    with Terminal((), folder=write_event(tmp_path / "event")) as terminal:
        shown = terminal.wait_for("enter opens").splitlines()
        [row] = [n for n, line in enumerate(shown, 1) if "Ines Varga" in line]
        terminal.send(f"\x1b[<0;10;{row}M\x1b[<0;10;{row}m")
        terminal.send("x")
        terminal.wait_for("x does nothing here")
        terminal.send("q")
        assert terminal.ended() == 0


def test_a_paste_counts_nothing_with_marks_and_without(station: Station) -> None:
    marked = b"\x1b[200~add  dad\x1b[201~"
    station.press(marked, seen="Pasted text counts nothing")
    station.press(b"add  dad", seen="8 keys at once")
    assert station.close() == [
        ("text", "was pasted"),
        ("a d d space space d a d", "came at once, faster than a hand", 8),
    ]


def test_a_few_keys_of_one_read_all_count_and_are_told(station: Station) -> None:
    station.press(b"   ", seen="3 keys came at once: each of them counts")
    _PACE.wait(AGAIN_MS / 1000 + 0.05)
    station.press(b"d d", seen="3 keys came at once: each of them counts")
    assert station.close() == [
        *[("rep",)] * 3,
        *[("no-rep", "shallow"), ("rep",), ("no-rep", "shallow")],
    ]


def test_a_held_key_counts_once_more_at_most(station: Station) -> None:
    station.press(b" ", seen="rep 2")
    _PACE.wait(0.5)
    # A busy machine may hold this very test up: what it sent late is no repeat.
    sent, late = monotonic(), 0
    for _ in range(50):
        station.terminal.send(b" ")
        _PACE.wait(0.033)
        late += monotonic() - sent > _REPEAT_S
        sent = monotonic()
    station.terminal.wait_for("Held space")
    log = station.close()
    reps = log.count(("rep",))
    held = sum(
        int(str(entry[2])) if len(entry) > 2 else 1
        for entry in log
        if entry[:2] == ("space", "held key")
    )
    assert reps <= 2 + late
    assert reps + held == 51


def test_under_load_no_key_of_one_write_is_taken_for_a_held_one(
    station: Station,
) -> None:
    """Two busy processes beside it: what counts goes by the read, not by the time."""
    busy = threading.Event()
    workers = [threading.Thread(target=_spin, args=(busy,)) for _ in range(2)]
    for worker in workers:
        worker.start()
    try:
        for n in range(6):
            _PACE.wait(AGAIN_MS / 1000 + 0.05)
            station.press(b"   ", seen=f"rep {3 * n + 4} ")
    finally:
        busy.set()
        for worker in workers:
            worker.join()
    station.press(b" " * 37, seen="37 keys at once")
    assert station.close() == [
        *[("rep",)] * 18,
        (
            " ".join(["space"] * 12) + " …",
            "came at once, faster than a hand",
            37,
        ),
    ]


def _spin(done: threading.Event) -> None:
    """A process that only computes, until it is told to stop."""
    process = subprocess.Popen([sys.executable, "-c", "while True: pass"])
    done.wait()
    process.kill()
    process.wait()


# --- while the screen changes ---------------------------------------------------------


def test_keys_between_floor_and_scorecard_are_kept_and_answer_nothing(
    tmp_path: Path,
) -> None:
    folder = under_way(tmp_path, EVENT, reps=1)
    # The scorecard may already have been asked for, or stand but not be drawn.
    there = {
        "pressed on the way to the scorecard",
        "pressed before the scorecard stood",
    }
    back = "pressed on the way from the scorecard"
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("Work is done")
        terminal.send(b"g1d")
        terminal.wait_for("READ ALOUD")
        terminal.send(b"x")
        terminal.wait_for("x does nothing on the scorecard")
        terminal.send(b"b 1")
        # What the log says of a key may take the place of what the next one is told.
        terminal.wait_for("1 pressed on the way")
        terminal.send("ö")
        terminal.wait_for("ö does nothing")
        _PACE.wait(0.1)
        terminal.send(b"gg")
        terminal.wait_for("READ ALOUD")
        terminal.send(b"1")
        terminal.wait_for("athlete: accepted")
        log = Station(folder, terminal).close()
    assert [row[0] for row in log] == ["1", "d", "space", "1", "g", "Accept"]
    assert [row[1:] for row in log[2:4]] == [(back,), (back,)]
    assert {why for row in (*log[:2], log[4]) for why in row[1:]} <= there


def test_keys_around_a_panel_that_opens_and_closes_are_each_handled_once(
    station: Station,
) -> None:
    station.press(b"w d", seen="NO REP depth")
    _PACE.wait(0.5)
    station.press(b"w", seen="n  no rep, why next")
    _PACE.wait(0.5)
    station.press(b"w w", seen="rep 3 ")
    _PACE.wait(0.5)
    station.press(b"m1 ", seen="Work is done")
    assert station.close() == [
        *(("rep",), ("no-rep", "shallow"), ("rep",)),
        *(("MoveOn",), ("rep", "after the last rep")),
    ]
