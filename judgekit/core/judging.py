"""What judged entries do to the work under way."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from judgekit.core.entry import (
    BackTo,
    Correct,
    Counting,
    Cue,
    Entry,
    MoveOn,
    NoRep,
    Reading,
    Rep,
    Trying,
)
from judgekit.core.onpaper import write
from judgekit.core.paperentry import OfPaper
from judgekit.core.running import Running
from judgekit.core.tryentry import Bar, HoldOff, HoldOn
from judgekit.core.watchentry import Look, LookEnd, Result, SetReported

if TYPE_CHECKING:
    from judgekit.core.plan import SetKey
    from judgekit.core.state import Work

_Watched = SetReported | Look | LookEnd
_OfSet = Rep | NoRep | Reading | Correct | Cue | Trying | _Watched


def count(
    now: Running, entry: Entry, body: Counting, key: SetKey | None, at: int
) -> bool:
    """One judgement in its set; whether it waits for an answer at the horn.

    A whole result is of no set, and told even where a count was moved to the end.
    """
    if isinstance(body, Result):
        now.give(entry.ref, body)
    elif isinstance(body, OfPaper):
        write(now, entry, body, key, at)
    elif key is not None:
        return _in_set(now, entry, body, key, at)
    return False


def _in_set(now: Running, entry: Entry, body: _OfSet, key: SetKey, at: int) -> bool:
    match body:
        case Rep() | NoRep():
            return _rep(now, entry, body, key, at)
        case Reading():
            now.reading(entry, key, at, body)
        case Correct(by=by, said=said):
            now.correct(entry, key, at, by, said)
        case Cue(fault=fault):
            now.cue(entry, key, at, fault)
        case Bar() | HoldOn() | HoldOff():
            _try(now, entry, body, key, at)
        case SetReported() | Look() | LookEnd():
            _watch(now, entry, body, key, at)
        case _:
            assert_never(body)
    return False


def as_it_stands(now: Running, at: int) -> Work:
    """The work that a stop or freeze leaves: a hold under way ends there."""
    work = now.frozen()
    if work.hold is None:
        return work
    score = Running(now.plan, work, now.over_ms)
    score.let_go(at)
    return score.frozen()


def _rep(now: Running, entry: Entry, body: Rep | NoRep, key: SetKey, at: int) -> bool:
    """A rep judged, or only seen where sets are reported."""
    if now.plan.watching == "reported":
        now.seeing.press(entry, body, key, at)
        return False
    if isinstance(body, NoRep):
        now.no_rep(entry, key, at, body.faults)
        return False
    now.rep(entry, key, at, body.n)
    return now.waits_for_horn(entry.ref)


def _try(now: Running, entry: Entry, body: Trying, key: SetKey, at: int) -> None:
    match body:
        case Bar(load=load, confirmed=confirmed):
            now.bar(key, load, confirmed=confirmed)
        case HoldOn():
            now.hold_on(entry.ref, key, at)
        case HoldOff(faults=faults):
            now.hold_off(entry.ref, at, faults)
        case _:
            assert_never(body)


def _watch(now: Running, entry: Entry, body: _Watched, key: SetKey, at: int) -> None:
    if now.plan.watching != "reported":
        return  # a log from elsewhere: here every rep is judged
    match body:
        case SetReported(n=n):
            now.report(entry, key, at, n)
        case Look():
            now.seeing.begin(entry, key, at)
        case LookEnd(seen=seen):
            now.seeing.end(at, seen)
        case _:
            assert_never(body)


def move(now: Running, body: MoveOn | BackTo, key: SetKey, at: int) -> None:
    """The set is left short, or worked on again."""
    if isinstance(body, MoveOn):
        now.move_on(key, at, body.why)
    else:
        now.back_to(key)
