"""Heats under way, with as many entries in the book as a row asks for."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from judgekit.core.entry import Cue, Entry, NameFault, NoRep, Rep, TakeBack
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.store import sqlite
from judgekit.store.folder import read_all
from tests.small_event import EVENT, write_event

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.core.entry import Body
    from judgekit.core.plan import Plan, PlanCard

FLOOR = ("-m", "judgekit", "floor", ".", "--heat", "1", "--lane", "1")
# Stands in the lowest line of a Floor that takes keys, and of one whose log is read.
PAINTED, COUNTS = b"space good rep", b"saved"
_DATE = "2027-05-08"
_WISH = Wish(heat="1", lanes=(1,))
_AWAY_MS = 30_000
_PACE_MS = 2000
_LANE = 1
# Of a hundred judgements: no-reps with a reason, reasons given later, cues, and reps
# taken back; all others are good reps.
_NO_REPS, _LATER, _CUES, _BACK = 6, 2, 1, 2
_QUICK = """
repeat = "0 s"

[keys]
good = ["pagedown", "pageup", "home", "end", "insert"]
"""
# Keys for a good rep, taken in turn; more than four in one read, or closer than 5 ms,
# are a paste to the Floor, so this is as fast as keys can count.
GOODS = (b" ", b"\x1b[6~", b"\x1b[5~", b"\x1b[H", b"\x1b[F", b"\x1b[2~")
GOODS_GAP_S = 0.008
_LONG = """\
id = "quayside"
name = "Quayside"
revision = 1
score = "time"

[[part]]
id = "A"
rounds = {rounds}
[[part.movement]]
card = "front-squat"
reps = {reps}
load = {{ men = "60 kg", women = "42.5 kg" }}
[[part.movement]]
card = "toes-to-bar"
reps = {reps}
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A workout of rounds of two movements, and how many entries are judged already.

    With `quick` there are more keys for a good rep, and no guard against held ones.
    Heats of two events on one `date` would be copies of each other.
    """

    rounds: int = 1
    reps: int = 9000
    judged: int = 0
    quick: bool = False
    date: str = _DATE


def write_heat(folder: Path, shape: Shape) -> Path:
    """An event whose heat 1 is under way on lane 1, its book closed."""
    event = write_event(folder)
    write_workout(event, shape)
    text = EVENT.replace(_DATE, shape.date) + _QUICK * shape.quick
    (event / "event.toml").write_text(text, encoding="utf-8")
    loaded = load_event(event)
    clock = SystemClock()
    desk, _ = open_desk(loaded, _WISH, clock)
    ago = _AWAY_MS + shape.judged * _PACE_MS
    desk.call_go(boot_ms=clock.boot_ms() - ago)
    desk.close()
    [copy] = read_all(loaded.log)
    if shape.judged:
        [(_, plan)] = copy.plans.items()
        book = sqlite.reopen(copy.path)
        first = replace(copy.entries[-1], number=copy.last + 1)
        book.append(list(judged(plan, first, shape.judged)))
        book.close()
    return event


def write_workout(event: Path, shape: Shape) -> None:
    """The event's workout, of that many rounds and reps."""
    workout = _LONG.format(rounds=shape.rounds, reps=shape.reps)
    (event / "workouts" / "quayside.toml").write_text(workout, encoding="utf-8")


def book_of(event: Path) -> Path:
    """The one book of such an event."""
    [path] = (event / "log").glob(f"*{sqlite.SUFFIX}")
    return path


def reps_in(event: Path) -> int:
    """How many reps stand in the book, read from outside."""
    entries = sqlite.read(book_of(event)).entries()
    return sum(isinstance(entry.body, Rep) for entry in entries)


def good_in(event: Path) -> int:
    """How many good reps the book holds, what was taken back not counted."""
    entries = sqlite.read(book_of(event)).entries()
    back = sum(isinstance(entry.body, TakeBack) for entry in entries)
    return sum(isinstance(entry.body, Rep) for entry in entries) - back


def judged(plan: Plan, first: Entry, many: int) -> Iterator[Entry]:
    """Judgements as a heat has them, one every two seconds: `first` says from where."""
    chance = random.Random(many)  # noqa: S311 - the same mix every time
    faults = {card.id: _faults(card) for card in plan.cards}
    sets = iter(plan.all_sets())
    key, good, before = next(sets), 0, first
    for step in range(1, many + 1):
        void, cue = faults[plan.movement(key).card]
        body, by = _next(
            _Moment(
                before=before,
                good=good,
                void=chance.choice(void),
                cue=chance.choice(cue),
            ),
            chance.randrange(100),
        )
        before = replace(
            first,
            number=first.number + step - 1,
            lane=_LANE,
            at=_PACE_MS * step,
            wall=first.wall + _PACE_MS * step,
            set=None if isinstance(body, TakeBack | NameFault) else key,
            body=body,
        )
        yield before
        good += by
        if good == plan.target(key):
            key, good = next(sets), 0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Moment:
    """The entry just made, the set's good reps, and the faults that could be next."""

    before: Entry
    good: int
    void: str
    cue: str


def _faults(card: PlanCard) -> tuple[list[str], list[str]]:
    voids = [fault.id for fault in card.faults if fault.weight == "void"]
    return voids, [fault.id for fault in card.faults if fault.weight == "cue"] or voids


def _next(now: _Moment, roll: int) -> tuple[Body, int]:
    """The next entry's body, and by how much it moves the set's good reps."""
    if now.before.body == NoRep():
        return NameFault(target=now.before.ref, fault=now.void), 0
    bodies: list[tuple[int, Body, int]] = [
        (_NO_REPS, NoRep(faults=(now.void,)), 0),
        (_LATER, NoRep(), 0),
        (_CUES, Cue(fault=now.cue), 0),
    ]
    if now.good and isinstance(now.before.body, Rep):
        bodies.append((_BACK, TakeBack(target=now.before.ref), -1))
    for share, body, by in bodies:
        if roll < share:
            return body, by
        roll -= share
    return Rep(), 1
