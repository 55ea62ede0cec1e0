"""Every format of the README, counted in a real terminal from go to the scorecard.

The clock is moved by hand. Of each lane the test says what the Floor must show at the
moments that matter to its judge, and the score as it is read aloud, worked by hand.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.core.quantity import show_time
from judgekit.ui.glyphs import SCALES, drawn
from tests.pty.hand_clock import HandClock
from tests.pty.terminal import Terminal

if TYPE_CHECKING:
    from collections.abc import Iterator

FORMATS = Path(__file__).parents[1] / "formats"
COUNTDOWN_MS = 10_000
# A hand between two keys of one answer.
KEY_MS = 150
_TENTHS_MS = 100
DOWN, ENTER, BACK = "\x1b[B", "\r", "\x7f"

# Metres, reps and loads that each division has of its own.
FAR_SHORE = """
id = "far-shore"
name = "Far Shore"
revision = 1
score = "time"
cap = "10:00"

[[part]]
rounds = 2
[[part.movement]]
card = "row"
metres = { men = 500, women = 400 }
[[part.movement]]
card = "front-squat"
reps = { men = 3, women = 2 }
load = { men = "60 kg", women = "40 kg" }
"""
PAGE_DOWN, PAGE_UP = "\x1b[6~", "\x1b[5~"
MORE_HEATS = """30,16:15,far-shore,1,11,vt
31,16:30,far-shore,1,21,vt
32,16:45,capstan,1,21,vt
"""


class Hall:
    """One terminal in the event's folder: heat after heat is opened from the list."""

    def __init__(self, where: Path) -> None:
        self.event = where / "event"
        shutil.copytree(FORMATS, self.event)
        with (self.event / "event.toml").open("a", encoding="utf-8") as file:
            file.write('\n[settings]\nlane-check = "off"\n')
        far_shore = self.event / "workouts" / "far-shore.toml"
        far_shore.write_text(FAR_SHORE, encoding="utf-8")
        with (self.event / "heats.csv").open("a", encoding="utf-8") as file:
            file.write(MORE_HEATS)
        listed = (self.event / "heats.csv").read_text(encoding="utf-8").splitlines()
        self._rows = [tuple(line.split(",")) for line in listed[1:]]
        self.clock = HandClock(where / "site")
        self._terminal: Terminal | None = None
        self._at_the_list = False

    def sit_down(self, heat: int, lane: int) -> Judge:
        """The Floor of a lane, as `enter` opens it from the list."""
        if not self._at_the_list:
            self.close()
            self._terminal = Terminal((), folder=self.event, env=self.clock.env)
        assert self._terminal is not None
        self._at_the_list = False
        self._terminal.wait_for("enter opens")
        place = [(row[0], row[3]) for row in self._rows].index((str(heat), str(lane)))
        self._terminal.send(DOWN * place + ENTER)
        self._terminal.wait_for(f"heat {heat}  lane {lane} ")
        self._terminal.wait_for("Not started")
        return Judge(self._terminal, self.clock)

    def left(self) -> None:
        """The desk was closed: the list is there again."""
        self._at_the_list = True

    def close(self) -> None:
        if self._terminal is not None:
            self._terminal.close()


class Judge:
    """The keys of one lane by heat time; each waits for what the screen makes of it."""

    def __init__(self, terminal: Terminal, clock: HandClock) -> None:
        self._terminal = terminal
        self._clock = clock
        self._zero = 0

    def go(self) -> None:
        """Go, then its answer; the countdown passes."""
        self._key("g", "y starts")
        self._key("y", "seconds to go")
        self._zero = self._clock.ms + COUNTDOWN_MS
        self._clock.set(self._zero)
        self._terminal.wait_for(lambda text: "Nothing counts" not in text)

    def press(self, at: float, key: str) -> None:
        """A key that writes an entry; the last entries begin with its time."""
        self._at(at)
        self._terminal.send(key)
        self._terminal.wait_for(self._told(at))

    def type(self, at: float, number: str) -> None:
        """A number after `enter`; the second `enter` is at that time."""
        self._at(at - 1)
        self._key(ENTER, "digits, then enter")
        for end in range(1, len(number) + 1):
            self._key(number[end - 1], f"{number[:end]}_")
        self.press(at, ENTER)

    def choose(self, at: float, *keys: str) -> None:
        """A way through the menus behind w; the last digit is at that time."""
        self._at(at - 1)
        self._key("w", "MORE")
        for key in keys[:-1]:
            self._key(key, "WHO WORKS NOW")
        self.press(at, keys[-1])

    def see(self, at: float, *texts: str, large: str = "") -> None:
        """What the Floor shows at a moment, all of it at once."""
        self._at(at)
        wanted = [_is_there(text) for text in texts]
        wanted += [_is_large(large)] if large else []
        try:
            self._terminal.wait_for(lambda text: all(is_so(text) for is_so in wanted))
        except AssertionError as error:
            text = self._terminal.text()
            seen = [is_so(text) for is_so in wanted]
            error.add_note(f"at {at}: {dict(zip((*texts, large), seen, strict=False))}")
            raise

    def scorecard(self, aloud: str, *texts: str) -> None:
        """The score as it is read aloud, signed by both; then the desk is closed."""
        self._key("g", "READ ALOUD")
        lines = self._terminal.text().splitlines()
        head = next(n for n, line in enumerate(lines) if "READ ALOUD" in line)
        told = " ".join(line.strip() for line in lines[head + 1 : head + 3])
        assert told.startswith(f"{aloud} "), told
        for text in texts:
            below = not _is_there(text)(self._terminal.text())
            if below:
                self._terminal.send(PAGE_DOWN)
            self._terminal.wait_for(_is_there(text))
            if below:
                self._terminal.send(PAGE_UP)
                self._terminal.wait_for("READ ALOUD")
        self._key("1", "athlete: accepted")
        self._key("2", "Accepted and closed")
        self._key("q", "y closes")
        self._key("y", "enter opens")

    def _at(self, seconds: float) -> None:
        moment = self._zero + round(seconds * 1000)
        # A question is open for so long on the hand clock, and the hands never go back.
        self._clock.set(max(moment, self._clock.ms))

    def _key(self, key: str, seen: str | Callable[[str], bool]) -> None:
        self._clock.wait(KEY_MS)
        self._terminal.send(key)
        self._terminal.wait_for(seen)

    def _told(self, at: float) -> Callable[[str], bool]:
        stamp = f" {show_time(round(at * 1000), _TENTHS_MS)}  "
        return lambda text: any(line.startswith(stamp) for line in text.splitlines())


def _is_there(wanted: str) -> Callable[[str], bool]:
    """Whether a text stands on the screen, whatever blanks lie between its words."""
    words = re.compile(r"\s+".join(map(re.escape, wanted.split())))
    return lambda text: words.search(text) is not None


def _is_large(word: str) -> Callable[[str], bool]:
    """Whether block figures say just that, whatever their size."""
    ways = [[line.rstrip() for line in drawn(word, scale)] for scale in SCALES]

    def is_so(text: str) -> bool:
        rows = [line[1:] for line in text.splitlines()]
        return any(_begins(rows, way) for way in ways)

    return is_so


def _begins(rows: list[str], way: list[str]) -> bool:
    """Whether the lines stand below each other at the left, and no more of them."""
    for first in range(len(rows) - len(way) + 1):
        below = rows[first : first + len(way)]
        if all(
            row.startswith(line) and "█" not in row[len(line) : 47]
            for row, line in zip(below, way, strict=True)
        ):
            return True
    return False


@pytest.fixture(scope="module")
def hall(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Hall]:
    made = Hall(tmp_path_factory.mktemp("formats"))
    yield made
    made.close()


# --- what a judge does, in the order of the heat --------------------------------------

Step = Callable[[Judge], None]


def press(key: str, *at: float) -> Step:
    def do(judge: Judge) -> None:
        for moment in at:
            judge.press(moment, key)

    return do


def good(*at: float) -> Step:
    """A good rep at each of the times: space."""
    return press(" ", *at)


def see(at: float, *texts: str, large: str = "") -> Step:
    return lambda judge: judge.see(at, *texts, large=large)


def reads(at: float, number: str) -> Step:
    """What the monitor shows, typed."""
    return lambda judge: judge.type(at, number)


def load(at: float, number: str) -> Step:
    """The load of the attempt that comes, in kg."""
    return lambda judge: judge.type(at, number)


def works(at: float, digit: str) -> Step:
    """Who of the team works: the fifth of the list behind w, then the member."""
    return lambda judge: judge.choose(at, "5", digit)


# Each: steps, what is read aloud, and what else the scorecard must show.
Played = tuple[tuple[Step, ...], str, tuple[str, ...]]
OVER = "Time. Work is over. g scorecard"
ROWS: dict[tuple[int, int], Played] = {
    # For time: the last of 6 + 6 + 4 + 4 reps at 1:04.5, cut to the second.
    (1, 1): (
        (
            see(0, "FRONT SQUAT 35 kg", "of 6", "no cap", large="00"),
            good(4, 7, 10, 13, 16, 19),
            see(20, "TOES-TO-BAR", "round 1 of 2", "next front squat 4 35 kg"),
            good(25, 26.5, 28, 29.5, 31, 32.5),
            press("d", 40),
            see(41, "of 4", "round 2 of 2", "no-reps 1 in all", large="00"),
            good(44, 47, 50, 53),
            see(54, "TOES-TO-BAR", "last set"),
            good(60, 61.5, 63, 64.5),
            see(70, "Work is done at 1:04", "no-reps 1 of 21 tries", large="20"),
        ),
        "1:04, one no-rep: depth 1",
        ("last rep at 1:04.500",),
    ),
    # Capped: 8 + 8 + 4 of 32 reps at 1:00; 12 short are 12 s. The 16th was at 0:43.5.
    (2, 1): (
        (
            good(4, 7, 10, 13, 16, 19, 22, 25),
            good(33, 34.5, 36, 37.5, 39, 40.5, 42, 43.5),
            see(45, "round 2 of 2", "cap 1:00 0:15 left"),
            good(50, 53, 56, 59),
            see(60.5, "TIME", "0:00 left", large="04"),
            see(62, OVER, large="20"),
        ),
        "1:12 (capped, 12 short), tie-break 0:43, no no-reps",
        ("12 short, 1 s each +12 s",),
    ),
    # Rounds and reps: 5 + 3, then 5 + 2 are 15. The first round ended at 0:25.
    (3, 1): (
        (
            see(0, "ends 2:00", "round 1", "next pull-up 3"),
            good(4, 7, 10, 13, 16, 21, 23, 25),
            see(26, "AIR SQUAT", "round 2", "of 5", large="00"),
            good(30, 33, 36, 39, 42, 47, 49),
            see(122, OVER, large="15"),
        ),
        "1 round and 5 + 2 (15 reps), tie-break 0:25, 0:49, no no-reps",
        (),
    ),
    # Rising rounds: 2 + 2, 4 + 4, then 3 of 6: 15.
    (4, 1): (
        (
            good(4, 7, 12, 14),
            see(15, "round 2", "of 4", "next toes-to-bar 4"),
            good(18, 21, 24, 27, 32, 34, 36),
            see(37, "next front squat 6 35 kg"),
            good(38),
            see(40, "round 3", "of 6", large="00"),
            good(43, 46, 49),
            see(122, OVER, large="15"),
        ),
        "2 rounds and 3 (15 reps), tie-break 0 no-reps, no no-reps",
        (),
    ),
    # One long list: 14 calories at 1:00, 9 squats to 1:30 (the 23rd), 7, 5 to 2:06.
    (5, 1): (
        (
            see(0, "ROW", "of 14 cal", "enter type the monitor", "space all 14"),
            reads(40, "9"),
            see(41, "of 14 cal", "next front squat 9", large="09"),
            reads(60, "14"),
            see(61, "FRONT SQUAT", "of 9", "cap 12:00 10:59 left"),
            good(66, 69, 72, 75, 78, 81, 84, 87, 90),
            good(96, 98, 100, 102, 104, 106, 108),
            see(110, "BURPEE", "of 5", "last set"),
            good(114, 117, 120, 123, 126),
            see(130, "Work is done at 2:06", large="35"),
        ),
        "2:06, tie-break 1:30, 0 no-reps, no no-reps",
        (),
    ),
    # Each minute 4: kept, kept, left at 3, kept. Work of the kept: 0:12 three times.
    (6, 1): (
        (
            good(3, 6, 9),
            see(10, "minute 1 of 4", "minute ends 1:00 0:50 left", large="03"),
            good(12),
            see(30, "REST", "minute 2 of 4", "starts 1:00", large="0:30"),
            good(63, 66, 69, 72, 123, 126, 129),
            see(170, "minute 3 of 4", "minute ends 3:00 0:10 left", large="03"),
            see(181, "minute 4 of 4", "of 4", "last set", large="00"),
            good(183, 186, 189, 192),
            see(193, "Work is done at 3:12", large="15"),
        ),
        "3 of 4 intervals kept, tie-break 0:36, no no-reps",
        ("part A, intervals kept 3 of 4",),
    ),
    # 0:45 of each 1:15, all reps: 5 + 6 + 4 are 15.
    (7, 1): (
        (
            good(3, 6, 9, 12, 15),
            see(16, "reps so far", "next rest 0:30, then burpee max", large="05"),
            see(47, "REST", "interval 2 of 3", "starts 1:15", large="0:28"),
            good(78, 81, 84, 87, 90, 93),
            see(151, "interval 3 of 3", "interval ends 3:15 0:44 left", large="00"),
            good(153, 156, 159, 162),
            see(197, OVER, large="15"),
        ),
        "15 reps, no no-reps",
        ("Burpee 5 max",),
    ),
    # The worst of 6, 5 and 6.
    (8, 1): (
        (
            good(3, 6, 9, 12, 15, 18),
            see(60, "REST", "starts 1:30", large="0:30"),
            good(93, 96, 99, 102, 105),
            press("d", 112),
            see(113, "interval 2 of 3", "no-reps 1 in all", large="05"),
            good(183, 186, 189, 192, 195, 198),
            see(212, OVER, large="17"),
        ),
        "5 reps, one no-rep: depth 1",
        ("part A, least of 3 intervals 5 reps",),
    ),
    # 0:24 of each 0:36: 6 + 6 + 5 + 6 are 23.
    (9, 1): (
        (
            good(3, 6, 9, 12, 15, 18),
            see(25, "REST", "interval 2 of 4", "starts 0:36", large="0:11"),
            good(39, 42, 45, 48, 51, 54, 75, 78, 81, 84, 87),
            see(109, "interval 4 of 4", "interval ends 2:12 0:23 left", large="00"),
            good(111, 114, 117, 120, 123, 126),
            see(134, OVER, large="23"),
        ),
        "23 reps, no no-reps",
        (),
    ),
    # In turn: 4 squats, 6 toes-to-bar, 4 squats, 5 of 6: 19.
    (10, 1): (
        (
            see(0, "FRONT SQUAT", "minute 1 of 4", "next toes-to-bar 6"),
            good(3, 6, 9, 12),
            see(61, "TOES-TO-BAR", "minute 2 of 4", "of 6", large="00"),
            good(63, 65, 67, 69, 71, 73, 123, 126, 129, 132),
            good(183, 185, 187, 189, 191),
            see(242, OVER, large="19"),
        ),
        "19 reps, no no-reps",
        (),
    ),
    # Own rest of 1:00: 0:19; from 1:19 to 1:41 are 0:22; from 2:41 to 3:06 are 0:25.
    (11, 1): (
        (
            see(0, "next rest 1:00, then front squat 6", "round 1 of 3"),
            good(4, 7, 10, 13, 16, 19),
            see(20, "REST", "round 2 of 3", large="0:59"),
            good(86, 89, 92, 95, 98, 101),
            good(170, 173.2, 176.4, 179.6, 182.8, 186),
        ),
        "0:25, no no-reps",
        ("1:41 0:22", "3:06 0:25", "part A, slowest round, number 3 0:25"),
    ),
    # A ladder in reps: 2, 3 and 4 are kept, then 3 of 5: 12 reps, and out at 4:00.
    (12, 1): (
        (
            good(3, 6),
            see(20, "REST", "minute 2 of 12", "next front squat 3"),
            good(63, 66, 69, 123, 126, 129, 132, 183, 186, 189),
            see(200, "minute 4 of 12", "of 5", "next front squat 6", large="03"),
            see(242, OVER, large="12"),
        ),
        "3 of 12 intervals kept (12 reps), no no-reps",
        (),
    ),
    # A ladder in load: 40, 47.5 and 55 kg are good, the last at its second try.
    (13, 1): (
        (
            see(0, "POWER CLEAN 40 kg", "of 1", "next power clean 1 47.5 kg"),
            good(8),
            see(
                81, "POWER CLEAN 47.5 kg", "interval 2 of 4", "next power clean 1 55 kg"
            ),
            good(88),
            press("n", 168),
            see(171, "POWER CLEAN 55 kg", "✗ NO REP", large="00"),
            good(185),
            press("n", 250),
            see(260, "POWER CLEAN 62.5 kg", "last set", "no-reps 2 in all"),
            see(322, OVER),
        ),
        "55 kg, two no-reps: no reason given 2",
        ("part A 55 kg (interval 3)",),
    ),
    # 9 pull-ups, a no-rep, 8 more, and one at the horn that was in time: 18.
    (14, 1): (
        (
            see(0, "ends 1:00", "reps so far", "last set"),
            good(3, 5, 7, 9, 11, 13, 15, 17, 19),
            press("n", 22),
            good(26, 28, 30, 32, 34, 36, 38, 40, 60.4),
            see(60.6, "TIME", "rep at the horn?", large="17"),
            see(62.5, "Rep at the horn: finished in time? y yes n no"),
            press("y", 64),
            see(65, OVER, large="18"),
        ),
        "18 reps, tie-break 1:00, one no-rep: no reason given 1",
        (),
    ),
    # Free attempts: 60 good, 70 not, 70 and 75 good; one off the floor too late.
    (15, 1): (
        (
            see(0, "attempt 1", "enter the load", "next attempt 2", large="--"),
            load(10, "60"),
            see(11, "DEADLIFT 60 kg", "kg said", "y bar checked", large="60"),
            good(20),
            see(21, "attempt 2", "✓ good 60 kg", "good 60 kg", large="--"),
            load(80, "70"),
            press("y", 90),
            see(91, "kg checked", "space good lift", large="70"),
            press("n", 100),
            see(102.5, "attempt 3", "✗ NO REP 70 kg", "1:40.0 NO REP 70 kg"),
            load(160, "70"),
            good(175),
            load(268, "75"),
            see(270, "attempt 4", "ends 5:00 0:30 left", large="75"),
            good(299),
            good(303),
            see(312, "Lift at the horn: off the floor in time? y yes n no"),
            press("n", 313),
            see(314, OVER, "good lifts", large="03"),
        ),
        "75 kg, one no-rep: no reason given 1",
        ("part A 75 kg (attempt 4)",),
    ),
    # In turns: 47.5 good, 52.5 not, 52.5 good.
    (16, 1): (
        (
            load(10, "47.5"),
            press("y", 14),
            see(15, "attempt 1 of 3", "kg checked", large="47.5"),
            good(20),
            load(200, "52.5"),
            press("n", 214),
            see(217, "attempt 3 of 3", "✗ NO REP 52.5 kg", "last set"),
            load(400, "52.5"),
            good(414),
            see(416, "Work is done at 6:54", "good lifts", large="02"),
        ),
        "52.5 kg, tie-break attempt 3, 61.5 kg body mass, one no-rep:",
        ("part A 52.5 kg (attempt 3)",),
    ),
    # As long as it lasts: from 0:05.0 to 1:37.4 are 92.4 s.
    (17, 1): (
        (
            see(0, "PLANK", "s held", "space the hold begins", large="00"),
            good(5),
            see(30, "holding", "space ends the hold", large="25"),
            see(96.5, "holding", large="91"),
            good(97.4),
            see(100, "Work is done at 1:37", "held 92 s", "s in all", large="92"),
        ),
        "92 s, no no-reps",
        ("Plank 92 max",),
    ),
    # A minute at most: from 0:03 on it is full at 1:03 by itself.
    (18, 1): (
        (
            good(3),
            see(40, "of 60 s", "holding", large="37"),
            see(64, "Work is done at 1:03", "1:03.0 held 60 s", large="60"),
        ),
        "60 s, no no-reps",
        (),
    ),
    # Three segments, and one that does not count.
    (19, 1): (
        (
            see(0, "HANDSTAND WALK", "segments so far", "space good segment"),
            good(12, 24),
            see(25, "segment 2", "ends 1:30 1:05 left", large="02"),
            press("n", 40),
            good(60),
            see(92, OVER, "segments in all", large="03"),
        ),
        "3 segments, one no-rep: no reason given 1",
        (),
    ),
    # What the monitor shows: 27, read after the horn.
    (20, 1): (
        (
            see(0, "ROW", "cal so far", "enter type the monitor", large="00"),
            reads(60, "12"),
            see(61, "monitor 12", "ends 2:00 0:59 left", large="12"),
            see(120.5, "TIME", "enter type the monitor g scorecard"),
            see(122, OVER, large="12"),
            reads(124, "27"),
            see(125, "monitor 27", "cal in all", large="27"),
        ),
        "27 calories, no no-reps",
        (),
    ),
    # A complex: 40 kg through all three, 45 kg only through the first.
    (21, 1): (
        (
            load(5, "40"),
            see(6, "POWER CLEAN 40 kg", "attempt 1 of 2", "next front squat 1"),
            good(20),
            see(21, "FRONT SQUAT 40 kg", "power clean good 40 kg", "next push jerk 1"),
            good(24, 28),
            see(29, "POWER CLEAN", "attempt 2 of 2", "enter the load", large="--"),
            load(200, "45"),
            good(220),
            press("n", 224),
            see(227, "Work is done at 3:44", "NO REP 45 kg"),
        ),
        "40 kg, one no-rep: no reason given 1",
        (),
    ),
    # A relay: four rounds of 5, the last rep at 1:16.
    (22, 1): (
        (
            see(0, "Heron: Runa Halvard works", "round 1 of 4", "of 5"),
            good(4, 7, 10, 13, 16),
            see(18, "Heron: Tilde Akers works", "round 2 of 4", large="00"),
            works(20, "2"),
            good(24, 27, 30, 33, 36),
            works(41, "1"),
            see(42, "Heron: Runa Halvard works", "round 3 of 4"),
            good(44, 47, 50, 53, 56),
            works(60, "2"),
            good(64, 67, 70, 73, 76),
            see(80, "Work is done at 1:16", large="20"),
        ),
        "1:16, no no-reps",
        (),
    ),
    # Shared work: 12 squats of one, 8 of the other; each has done the least of 5.
    (23, 1): (
        (
            see(0, "FRONT SQUAT 50 kg", "of 20", "w who works", "ends 3:00"),
            works(2, "1"),
            see(3, "Otter: Jorin Vasker works"),
            good(4, 7, 10, 13, 16, 19, 22, 25, 28, 31, 34, 37),
            works(42, "2"),
            see(43, "Otter: Emeric Sond works", large="12"),
            good(46, 49, 52, 55, 58, 61, 64, 67),
            see(70, "TOES-TO-BAR", "of 20", large="00"),
            see(182, OVER, large="20"),
        ),
        "0 rounds and 20 (20 reps), no no-reps",
        ("STILL OPEN not accepted yet",),
    ),
    # Together: 10 squats that both did, and one that they did not.
    (24, 1): (
        (
            good(4, 7, 10, 13, 16, 19),
            press("n", 24),
            see(26.5, "AIR SQUAT", "no-reps 1 in all", "next burpee 6", large="06"),
            good(28, 31, 34, 37),
            see(40, "BURPEE", "of 6", "next air squat 10", large="00"),
            see(122, OVER, large="10"),
        ),
        "0 rounds and 10 (10 reps), one no-rep: no reason given 1",
        (),
    ),
    # 6 squats to be done, then what is left until 2:00: 11 toes-to-bar count.
    (25, 1): (
        (
            see(0, "part A", "cap 2:00", "next toes-to-bar max", large="00"),
            good(4, 7, 10, 13, 16, 19),
            see(20, "part B", "part ends 2:00 1:40 left", "reps so far", "last set"),
            good(27, 29, 31, 33, 36, 38, 40, 42, 50, 53, 56),
            see(122, OVER, large="17"),
        ),
        "11 reps, no no-reps",
        ("part B 11 reps",),
    ),
    # A buy-in of 10 calories, two rounds of 4 + 4, 10 calories to cash out at 2:20.
    (26, 1): (
        (
            see(0, "part A", "of 10 cal", "space all 10", "cap 8:00"),
            good(40),
            see(41, "part B round 1 of 2", "FRONT SQUAT 35 kg", "cap 8:00 7:19 left"),
            good(45, 48, 51, 54, 58, 60, 62, 64, 68, 71, 74, 77, 82, 84, 86, 88),
            see(100, "part C", "ROW", "of 10 cal", "last set", large="00"),
            good(140),
            see(141, "Work is done at 2:20"),
        ),
        "2:20, no no-reps",
        (),
    ),
    # Placed apart: A at 0:28, 7 pull-ups from 1:30 to 2:30, 60 kg from 3:00 on.
    (27, 1): (
        (
            good(4, 7, 10, 13, 16, 20, 22, 24, 26),
            see(27, "part A", "next rest until 1:30, then pull-up max", large="04"),
            good(28),
            see(60, "REST", "part B", "starts 1:30", large="0:30"),
            good(93, 95, 97, 99, 101, 103, 105),
            see(130, "part ends 2:30 0:20 left", large="07"),
            see(160, "REST", "starts 3:00", "next deadlift, attempt 1", large="0:20"),
            load(186, "60"),
            good(200),
            load(260, "65"),
            press("n", 275),
            see(300, "part C attempt 3", "part ends 6:00 1:00 left", large="--"),
            see(362, OVER, large="18"),
        ),
        "A 0:28, B 7 reps, C 60 kg, one no-rep: no reason given 1",
        (),
    ),
    # Three calories are one rep: 4 + 6, then 4 + 5 are 19.
    (28, 1): (
        (
            good(60),
            see(61, "FRONT SQUAT", "round 1", "monitor 12"),
            good(66, 69, 72, 75, 78, 81),
            see(82, "ROW", "round 2", "of 12 cal"),
            good(140, 146, 149, 152, 155, 158),
            see(182, OVER),
        ),
        "1 round and 12 + 5 (19 reps), no no-reps",
        (),
    ),
    # A total: 47.5 kg at the third attempt, 60 kg at the second, 107.5 kg together.
    (29, 1): (
        (
            load(10, "45"),
            good(20),
            load(190, "47.5"),
            press("n", 200),
            load(370, "47.5"),
            good(380),
            see(400, "REST", "attempt 1 of 3"),
            load(990, "57.5"),
            good(1005),
            load(1170, "60"),
            good(1185),
            load(1350, "62.5"),
            press("n", 1365),
            see(1370, "Work is done at 22:45"),
        ),
        (
            "107.5 kg, tie-break 60 kg in part B, attempt 2, "
            "two no-reps: no reason given 2"
        ),
        (),
    ),
    # The women's 400 m, 2 squats with 40 kg, twice; the last at 3:33.4.
    (30, 1): (
        (
            see(0, "ROW", "of 400 m", "space all 400", "next front squat 2 40 kg"),
            reads(50, "250"),
            see(51, "of 400 m", "monitor 250", large="250"),
            good(90),
            see(91, "FRONT SQUAT 40 kg", "of 2", "round 1 of 2"),
            good(100, 103, 200, 210, 213.4),
            see(214, "Work is done at 3:33"),
        ),
        "3:33, no no-reps",
        (),
    ),
    # The men's 500 m and 3 squats with 60 kg: in the second round 2 of 3 at the cap.
    (31, 1): (
        (
            see(0, "Jorin Vasker Men", "of 500 m", "next front squat 3 60 kg"),
            good(100, 110, 113, 116, 300, 310, 313),
            see(314, "of 3", "round 2 of 2", large="02"),
            see(602, OVER, large="1005"),
        ),
        "capped: 1005 of 1006, 1 short, no no-reps",
        (),
    ),
    # The men's ladder: 60 kg, then nothing.
    (32, 1): (
        (
            see(0, "POWER CLEAN 60 kg", "next power clean 1 70 kg"),
            good(8),
            see(81, "POWER CLEAN 70 kg", "next power clean 1 80 kg"),
            see(322, OVER),
        ),
        "60 kg, no no-reps",
        ("part A 60 kg (interval 1)",),
    ),
}


@pytest.mark.parametrize(("heat", "lane"), ROWS)
def test_each_format_is_counted_from_go_to_the_scorecard(
    hall: Hall, heat: int, lane: int
) -> None:
    steps, aloud, more = ROWS[heat, lane]
    judge = hall.sit_down(heat, lane)
    judge.go()
    for step in steps:
        step(judge)
    judge.scorecard(aloud, *more)
    hall.left()
