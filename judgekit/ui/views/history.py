"""What an entry says in a few words, for the last entries and the log's list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.entry import (
    Absent,
    Accept,
    BackTo,
    Body,
    Claim,
    ClockJump,
    CloseCall,
    Correct,
    Cue,
    Dispute,
    Early,
    Entry,
    Extra,
    Freeze,
    Gap,
    Go,
    GoOn,
    Horn,
    Ignored,
    Is,
    MoveOn,
    NameFault,
    NoRep,
    PutBack,
    Reading,
    Recall,
    Rep,
    Rule,
    Scale,
    Stop,
    TakeBack,
    Time,
    Unfreeze,
    WallSet,
    Withdraw,
)
from judgekit.core.quantity import show_time
from judgekit.reports.names import said_words, taken_off_words
from judgekit.ui.keys import DEAD
from judgekit.ui.views.checkwords import check_words
from judgekit.ui.views.naming import who
from judgekit.ui.views.tried import call_of, tried_words

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from judgekit.core.people import EarlyStart
    from judgekit.core.ruling import Ref
    from judgekit.core.state import Attempt, Lane

TENTHS_MS = 100
# What a press in a look may be: it says what was seen, not what counts.
Seen = Rep | NoRep | NameFault


_NOBODY: Mapping[str, str] = {}


def words(lane: Lane, entry: Entry, judges: Mapping[str, str] = _NOBODY) -> str:
    """What the entry says, without its time; empty if a judge need not see it.

    `judges` maps ids to names, for those whose name is known.
    """
    judged = _counting(lane, entry) or _steering(lane, entry)
    if judged:
        return f"{judged}{_gone(lane, entry)}"
    return (
        _undoing(lane, entry)
        or _heat(entry.body)
        or _day(entry.body, judges)
        or check_words(lane.plan, entry.body)
        or _official(entry.body)
        or _odd(entry.body)
    )


def _gone(lane: Lane, entry: Entry) -> str:
    """Whether it does not stand any more, and why."""
    taken = next((t for t in lane.taken_back if t.target == entry.ref), None)
    if taken is None:
        return ""
    return ", one too many" if taken.extra else ", undone"


def stamped(lane: Lane, entry: Entry, judges: Mapping[str, str] = _NOBODY) -> str:
    """Time and words: "7:41.2  rep 9"."""
    at = lane.when(entry)
    when = "" if at is None or at < 0 else show_time(at, TENTHS_MS)
    return f"{when}  {words(lane, entry, judges)}".strip()


def newest(
    lane: Lane, many: int, judges: Mapping[str, str] = _NOBODY
) -> tuple[Entry, ...]:
    """The newest entries that have words, newest first; but no keys without meaning."""
    found: list[Entry] = []
    for entry in reversed(lane.entries):
        if len(found) == many:
            break
        dead = isinstance(entry.body, Ignored) and entry.body.why == DEAD
        if not dead and words(lane, entry, judges):
            found.append(entry)
    return tuple(found)


def last(
    lane: Lane, many: int, judges: Mapping[str, str] = _NOBODY
) -> tuple[Entry, ...]:
    """The newest entries, each told once: what was undone says so itself."""
    found = newest(lane, many + 2, judges)
    shown = {entry.ref for entry in found[: many + 1]}
    return tuple(e for e in found if not _retold(e.body, shown))[:many]


def _retold(body: Body, shown: Collection[Ref]) -> bool:
    match body:
        case TakeBack(target=target) | PutBack(target=target):
            return target in shown
        case Extra(target=target, one_too_many=True):
            return target in shown
        case _:
            return False


def mark(lane: Lane) -> str:
    """The newest judgement as sign and word: "+ good", "x NO REP depth"."""
    entry = next(iter(newest(lane, 1)), None)
    if entry is None:
        return ""
    if lane.plan.watching == "reported" and isinstance(entry.body, Seen):
        return words(lane, entry)
    return _mark(lane, entry)


def _mark(lane: Lane, entry: Entry) -> str:
    match entry.body:
        case Rep() | Reading():
            return _good(lane, entry.ref)
        case NoRep() | NameFault():
            target = entry.ref if isinstance(entry.body, NoRep) else entry.body.target
            if not looking.is_newest_attempt(lane, target):
                return f"named {called(lane, target)}"
            sign = "held, NO REP" if _is_held(lane, target) else "✗ NO REP"
            return f"{sign} {called(lane, target)}".rstrip()
        case TakeBack():
            return "↶ undone"
        case Extra(one_too_many=True):
            return "↶ taken off"
        case PutBack():
            return "↷ counted again"
        case _:
            return tried_words(lane, entry) or said_words(entry.body)


def _good(lane: Lane, ref: Ref) -> str:
    """A good rep's sign, or why there is none: a ✓ promises that it counts."""
    attempt = _attempt(lane, ref)
    if attempt is None or _is_held(lane, ref):
        return "held" if attempt is not None else ""
    return "✓ good" if attempt.counts else _uncounted(attempt)


def _is_held(lane: Lane, ref: Ref) -> bool:
    attempt = _attempt(lane, ref)
    return attempt is not None and bool(lane.holds) and "held" in attempt.marks


def turned(lane: Lane, entry: Entry) -> str:
    """What was undone or counted again, when it was made, and for whom."""
    plan = lane.plan
    target = _target(lane, entry.body)
    at = lane.when(target) if target is not None else None
    when = "" if at is None else f" of {show_time(at, TENTHS_MS)}"
    who_ = who(plan.name, plan.show, plan.bib)
    if isinstance(entry.body, Extra):
        taken_off = taken_off_words(lane, target, when)
        return f"{who_}: {taken_off}; u counts it again"
    return f"{who_}: {_undoing(lane, entry)}{when}"


def called(lane: Lane, no_rep: Ref) -> str:
    """The calls that a no-rep has so far, in lower case; empty while unnamed."""
    attempt = _attempt(lane, no_rep)
    if attempt is None or not attempt.faults:
        return ""
    return ", ".join(call_of(lane, attempt.set, f) for f in attempt.faults)


def _attempt(lane: Lane, ref: Ref) -> Attempt | None:
    return next((a for a in _newest_attempts(lane) if a.ref == ref), None)


def _newest_attempts(lane: Lane) -> Iterator[Attempt]:
    return reversed(looking.work_now(lane).attempts)


def repeats(many: int) -> str:
    """How many repeats, in words: "1 repeat", "29 repeats"."""
    return f"{many} repeat" if many == 1 else f"{many} repeats"


def _rep(lane: Lane, entry: Entry, n: int) -> str:
    attempt = _attempt(lane, entry.ref)
    if attempt is None:
        seen = ", seen" if lane.plan.watching == "reported" else ""
        return f"{'rep' if n == 1 else f'{n} reps'}{seen}"
    if "held" in attempt.marks and lane.holds:
        return "rep, held"
    if not attempt.counts:
        return _uncounted(attempt)
    many = f"{n} reps to" if n > 1 else "rep"
    return f"{many} {_number(lane, attempt)}{_early(attempt)}"


def _uncounted(attempt: Attempt) -> str:
    if "at the horn" in attempt.marks:
        return "rep at the horn?"
    if "early" in attempt.marks:
        return "rep, early"
    return "rep, not counted"


def _early(attempt: Attempt | None) -> str:
    return ", early" if attempt is not None and "early" in attempt.marks else ""


def early_words(lane: Lane, entry: Entry) -> str:
    """What became of a press made before a rest was over; empty for any other."""
    attempt = _attempt(lane, entry.ref)
    if attempt is None or "early" not in attempt.marks:
        return ""
    until = show_time(looking.line_of(lane).shut_until(attempt.set) or 0)
    kept = _EARLY[lane.plan.early_start] if attempt.good else "no rep"
    return f"Early: the rest lasts to {until}. Kept, {kept}."


_EARLY: Mapping[EarlyStart, str] = {
    "no-rep": "does not count",
    "seconds": "counts; the rest still due is added",
    "counts": "counts",
}


def _number(lane: Lane, wanted: Attempt) -> int:
    """Which rep of its set it was: the set's count, less what came after it."""
    work = looking.work_now(lane)
    done = work.set_done(wanted.set)
    number = done.good if done is not None else 0
    number -= sum(
        c.by for c in work.corrections if c.set == wanted.set and c.at > wanted.at
    )
    for attempt in _newest_attempts(lane):
        if attempt is wanted:
            break
        if attempt.set == wanted.set and attempt.counts:
            number -= attempt.n
    return number


def _no_rep(lane: Lane, entry: Entry) -> str:
    attempt = _attempt(lane, entry.ref)
    if attempt is None:
        seen = " seen" if lane.plan.watching == "reported" else ""
        return f"{_undone_no_rep(lane, entry)}{seen}"
    return f"NO REP {called(lane, entry.ref)}".rstrip() + _early(attempt)


def _undone_no_rep(lane: Lane, no_rep: Entry) -> str:
    """A no-rep that is no attempt any more, with the reasons it had."""
    gone = {taken.target for taken in lane.taken_back}
    faults = list(no_rep.body.faults) if isinstance(no_rep.body, NoRep) else []
    for entry in lane.entries:
        body = entry.body
        named = isinstance(body, NameFault) and body.target == no_rep.ref
        if isinstance(body, NameFault) and named and entry.ref not in gone:
            faults.append(body.fault)
    calls = ", ".join(call_of(lane, no_rep.set, fault) for fault in faults)
    return f"NO REP {calls}".rstrip()


def _counting(lane: Lane, entry: Entry) -> str:
    match entry.body:
        case Rep(n=n):
            return _rep(lane, entry, n)
        case NoRep():
            return _no_rep(lane, entry)
        case Reading(shows=shows):
            return f"monitor {shows}{_early(_attempt(lane, entry.ref))}"
        case Correct(by=by, said=said):
            return f"corrected {by:+d}, said {said}"
        case Cue(fault=fault):
            return f"cue {call_of(lane, entry.set, fault)}"
        case _:
            return tried_words(lane, entry) or said_words(entry.body)


def _steering(lane: Lane, entry: Entry) -> str:
    match entry.body:
        case NameFault(fault=fault):
            return f"reason {call_of(lane, entry.set, fault)}"
        case MoveOn(why=why):
            return f"moved on: {why}"
        case BackTo(why=why):
            return f"back a set: {why}"
        case CloseCall():
            return "that was close"
        case Horn(counts=counts):
            return f"in time: {_yes(counts)}"
        case Withdraw(why=why):
            return f"withdrew: {why}" if why else "withdrew"
        case _:
            return ""


def _yes(answer: bool) -> str:
    return "yes" if answer else "no"


def _undoing(lane: Lane, entry: Entry) -> str:
    body = entry.body
    target = _target(lane, body)
    if isinstance(body, Extra):
        return _answered(lane, body, target)
    if not isinstance(body, TakeBack | PutBack):
        return ""
    verb = "counted again"
    if isinstance(body, TakeBack):
        late = any(t.by == entry.ref and t.late for t in lane.taken_back)
        verb = "undone late" if late else "undone"
    what = "" if target is None else _what(lane, target)
    return f"{verb}: {what}" if what else verb


def _answered(lane: Lane, answer: Extra, pressed: Entry | None) -> str:
    if not answer.one_too_many:
        return "a rep of its own"
    return taken_off_words(lane, pressed)


def _what(lane: Lane, target: Entry) -> str:
    """What was undone, with its reason where it has one."""
    if isinstance(target.body, NoRep):
        return _undone_no_rep(lane, target)
    what = _TARGETS.get(type(target.body), "") or said_words(target.body)
    if isinstance(target.body, NameFault):
        return f"{what} {call_of(lane, target.set, target.body.fault)}"
    return what


def _target(lane: Lane, body: Body) -> Entry | None:
    """The entry that is undone, counted again or answered for."""
    if not isinstance(body, TakeBack | PutBack | Extra):
        return None
    return next((e for e in reversed(lane.entries) if e.ref == body.target), None)


_TARGETS: Mapping[type[Body], str] = {
    Rep: "rep",
    Reading: "monitor",
    Correct: "correction",
    Cue: "cue",
    NameFault: "reason",
    MoveOn: "moving on",
    BackTo: "going back",
    CloseCall: "close call",
    Horn: "answer",
    Withdraw: "withdrawal",
}


def _heat(body: Body) -> str:
    match body:
        case Stop(sign=sign):
            return f"STOP: {sign}" if sign else "STOP"
        case GoOn(by_mistake=by_mistake, by=by):
            return "stopped by mistake" if by_mistake else f"let go on by {by}"
        case Recall():
            return "recalled"
        case WallSet(shows_ms=shows):
            return f"clock set: the wall shows {show_time(shows)}"
        case _:
            return _HEAT.get(type(body), "")


_HEAT: Mapping[type[Body], str] = {
    Go: "go",
    Freeze: "frozen",
    Unfreeze: "work goes on",
    Time: "time",
}


def _day(body: Body, judges: Mapping[str, str]) -> str:
    match body:
        case Claim(judge=judge):
            return f"judge {judges.get(judge, judge)}" if judge else ""
        case Is(bib=bib):
            return f"athlete is {bib}"
        case Scale():
            return "changed for today"
        case Absent(absent=absent):
            return "absent" if absent else "here after all"
        case _:
            return ""


def _official(body: Body) -> str:
    match body:
        case Accept(who=who, signed=signed):
            return f"{who} {'accepts' if signed else 'has not signed'}"
        case Dispute(about=about):
            return f"disputed: {about}"
        case Rule(why=why):
            return f"ruling: {why}"
        case _:
            return ""


def _odd(body: Body) -> str:
    match body:
        case Early():
            return "before zero: not counted"
        case Ignored(why="held key", key=key, many=many):
            return f"held {key}: {repeats(many)} not counted"
        case Ignored(why=why, key=key):
            return f"{key} {why}: not counted"
        case Gap(why=why):
            return f"away: {why}"
        case ClockJump(by_ms=by):
            return f"clock jumped {by / 1000:g} s"
        case _:
            return ""
