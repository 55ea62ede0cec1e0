"""Thousands of damaged files: refused in words, or right when written out again.

Each kind of file is damaged with the seeds 0 to 2,000; a failure names its seed and
what was done, and `mutated(data, Random(seed))` makes the file again.
"""

from __future__ import annotations

import csv
import datetime as dt
import functools
import io
import math
import random
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import tomli_w

from judgekit.core.errors import InputError
from judgekit.core.people import Division
from judgekit.files.cardfile import card_from
from judgekit.files.eventfile import read_event
from judgekit.files.library import load_library
from judgekit.files.tables import Entrants, read_heats, read_people
from judgekit.files.tally import decoded, parse
from judgekit.files.toml import loads
from judgekit.files.workoutfile import workout_from
from judgekit.ui.actions import NAMES_IN_KEYS
from tests.files.samples import CARD, DIVISIONS, ROW_CARD, WORKOUT
from tests.fuzz.mutate import mutated
from tests.small_event import EVENT, HEATS, PEOPLE
from tests.small_event import WORKOUT as QUAYSIDE
from tests.support import for_time

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

MANY = 2000
ROOT = Path(__file__).parents[2]
MEN_AND_WOMEN = (
    Division(id="women", name="Women", standard="women"),
    Division(id="men", name="Men", standard="men"),
)
RICH_EVENT = (
    EVENT
    + """
doubt = "athlete"
early-start = "no-rep"
"wall-ball-shot.line" = "above"

[keys]
good = ["pagedown"]
no-rep = ["pageup"]

[emergency]
call = "112"
say = "Boat shed, gate on the water side"
defibrillator = "left of the door"
first-aid = "Kim Brandt"
"""
)
RICH_TALLY = """\
# lane 4
0:00.0  go
0:02.4  rep
0:04.1  no-rep depth
0:05.0  call lock
0:05.9  rep x2
0:06.5  reading 4
0:07.0  stop Sharp pain
0:08.0  go-on mistake
0:09.0  take-back 0:02.4
0:10.0  count-again
0:11.0  correct +1 that is one more
0:12.0  move-on sore hands
0:13.0  back-to A.1.1 two short
0:14.0  close-call
0:15.0  freeze bar bent
0:16.0  unfreeze
0:17.0  scale row reps 3 load "40 kg" why first week
0:18.0  note a note
0:19.0  rule reps A.1.1 -1 video
0:20.0  rule time +0:30 left the lane
0:21.0  ignored "held key" x3 key "space" from 0:20.0 to 0:20.5
0:22.0  gap 0:01.0 sleep
0:23.0  time
0:24.0  accept athlete
"""


@functools.cache
def standards() -> dict[str, object]:
    return {name: file.card for name, file in load_library().items()}


def same_meaning(read: Callable[[bytes], object], data: bytes) -> object:
    """What TOML bytes mean, and that their values written out anew mean the same."""
    found = read(data)
    table = loads(data, "f.toml").table
    assert read(tomli_w.dumps(table).encode()) == found
    return found


# --- what each kind of file is read by ----------------------------------------------


def card(data: bytes) -> object:
    return card_from(loads(data, "f.toml"), "crate-throw")


def any_card(name: str) -> Callable[[bytes], object]:
    return lambda data: card_from(loads(data, "f.toml"), name)


def sample_workout(data: bytes) -> object:
    cards = {
        "crate-throw": card_from(loads(CARD.encode(), "c"), "crate-throw"),
        "bench-row": card_from(loads(ROW_CARD.encode(), "c"), "bench-row"),
    }
    return workout_from(loads(data, "f.toml"), "harbour", cards, DIVISIONS)


def quayside(data: bytes) -> object:
    return workout_from(
        loads(data, "f.toml"),
        "quayside",
        standards(),  # type: ignore[arg-type]
        MEN_AND_WOMEN,
    )


def event(path: Path) -> Callable[[bytes], object]:
    def read(data: bytes) -> object:
        path.write_bytes(data)
        return read_event(
            path,
            "f.toml",
            cards=standards(),  # type: ignore[arg-type]
            actions=NAMES_IN_KEYS,
        )

    return read


def people(path: Path, data: bytes) -> object:
    path.write_bytes(data)
    athletes, _ = read_people(path, "f.toml", MEN_AND_WOMEN)
    bibs = [one.bib for one in athletes]
    assert len(set(bibs)) == len(bibs)
    known = {division.id for division in MEN_AND_WOMEN}
    for one in athletes:
        assert one.bib.strip() == one.bib != ""
        assert one.name
        assert one.division in known
        assert (one.name + one.bib).isprintable()
    return athletes


def heats(path: Path, data: bytes) -> object:
    path.write_bytes(data)
    lanes, _ = read_heats(
        path,
        "f.toml",
        event=None,
        entrants=Entrants(bibs=("27", "007", "31")),
        workouts=("quayside",),
    )
    assert len({(row.heat, row.lane) for row in lanes}) == len(lanes)
    assert all(row.bib in ("27", "007", "31") for row in lanes)
    return lanes


def rewritten(data: bytes) -> bytes:
    """The same table as a spreadsheet would write it: other separator, line ends."""
    text = data.decode("utf-8-sig")
    first = text.splitlines()[0] if text else ""
    delimiter = max(",;\t", key=first.count)
    out = io.StringIO()
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    csv.writer(out, delimiter=delimiter, quoting=csv.QUOTE_ALL).writerows(rows)
    return out.getvalue().encode()


def tally(data: bytes) -> object:
    """A tally, and its lines as they were meant."""
    lines = parse(decoded(data, "f.toml"), "f.toml", for_time()).lines
    times = [line.at for line in lines]
    assert all(abs(at) < 10**12 for at in times)
    return [(line.at, line.act) for line in lines]


# --- the rule -----------------------------------------------------------------------


def refused(read: Callable[[bytes], object], data: bytes) -> bool:
    """Whether a file is refused; each reason then has its place and its words."""
    try:
        read(data)
    except InputError as error:
        most = data.count(b"\n") + data.count(b"\r") + 1
        for problem in error.problems:
            assert problem.file == "f.toml"
            assert 1 <= problem.line <= most, problem
            assert problem.what, problem
            assert str(problem).isprintable(), problem
        return True
    return False


def storm(read: Callable[[bytes], object], samples: tuple[bytes, ...]) -> int:
    """How many of the damaged files were refused; a failure names its seed."""
    many = 0
    for seed in range(MANY):
        chance = random.Random(seed)  # noqa: S311 - damage, not secrets
        data, done = mutated(chance.choice(samples), chance)
        try:
            many += refused(read, data)
        except Exception as error:
            error.add_note(f"seed {seed}: {done}\n{data.decode('utf-8', 'replace')}")
            raise
    return many


def refuses_most(many: int) -> bool:
    """Damage that no reader notices would be a reader that looks at nothing."""
    return MANY / 4 < many < MANY


def test_damaged_cards_are_refused_or_read_as_they_are_written() -> None:
    many = storm(lambda data: same_meaning(card, data), (CARD.encode(),))
    assert refuses_most(many)


def test_damaged_workouts_are_refused_or_read_as_they_are_written() -> None:
    def read(data: bytes) -> object:
        which = sample_workout if b"crate-throw" in data else quayside
        return same_meaning(which, data)

    assert refuses_most(storm(read, (WORKOUT.encode(), QUAYSIDE.encode())))


def test_damaged_events_are_refused_or_read_as_they_are_written(tmp_path: Path) -> None:
    read = event(tmp_path / "event.toml")
    many = storm(lambda data: same_meaning(read, data), (RICH_EVENT.encode(),))
    assert refuses_most(many)


def test_damaged_people_are_refused_or_whole(tmp_path: Path) -> None:
    def read(data: bytes) -> object:
        found = people(tmp_path / "people.csv", data)
        assert people(tmp_path / "again.csv", rewritten(data)) == found
        return found

    samples = (PEOPLE, PEOPLE.replace(",", ";"), (ROOT / "demo/people.csv").read_text())
    many = storm(read, tuple(text.encode() for text in samples[:2]))
    assert many < MANY


def test_damaged_heats_are_refused_or_whole(tmp_path: Path) -> None:
    def read(data: bytes) -> object:
        found = heats(tmp_path / "heats.csv", data)
        assert heats(tmp_path / "again.csv", rewritten(data)) == found
        return found

    assert refuses_most(storm(read, (HEATS.encode(),)))


def test_damaged_tallies_are_refused_or_read_the_same_again() -> None:
    def read(data: bytes) -> object:
        found = tally(data)
        again = decoded(data, "f.toml").splitlines()
        assert tally("\r\n".join(["# again", *again]).encode()) == found
        return found

    demo = (ROOT / "demo/tallies/heat-2_lane-1.tally").read_bytes()
    assert refuses_most(storm(read, (RICH_TALLY.encode(), demo)))


# --- a known key never takes nonsense -----------------------------------------------

NONSENSE: tuple[object, ...] = (
    True,
    10**30,
    math.inf,
    -(2**70),
    dt.date(2027, 5, 8),
    [[[]]],
    {"zzz": {"zzz": 1}},
)


def places(
    table: object, path: tuple[str | int, ...] = ()
) -> Iterator[tuple[str | int, ...]]:
    """Every value of a document, the tables too."""
    if path:
        yield path
    pairs: Iterator[tuple[str | int, object]] = iter(())
    if isinstance(table, dict):
        pairs = iter(table.items())
    elif isinstance(table, list):
        pairs = iter(enumerate(table))
    for key, value in pairs:
        yield from places(value, (*path, key))


def put(table: object, path: tuple[str | int, ...], value: object) -> None:
    for key in path[:-1]:
        table = table[key]  # type: ignore[index]
    table[path[-1]] = value  # type: ignore[index]


@pytest.mark.parametrize(
    ("name", "text"),
    [("card", CARD), ("row", ROW_CARD), ("workout", WORKOUT), ("event", RICH_EVENT)],
)
def test_no_key_of_a_file_takes_nonsense(name: str, text: str, tmp_path: Path) -> None:
    read = {
        "card": card,
        "row": any_card("bench-row"),
        "workout": sample_workout,
        "event": event(tmp_path / "event.toml"),
    }[name]
    read(text.encode())
    taken = []
    for path in places(loads(text.encode(), "f").table):
        for value in NONSENSE:
            table = dict(loads(text.encode(), "f").table)
            put(table, path, value)
            meant = path == ("date",) and isinstance(value, dt.date)
            if not meant and not refused(read, tomli_w.dumps(table).encode()):
                taken.append((path, value))
    assert taken == []
