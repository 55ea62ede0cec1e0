"""A lane's entries as the text of a tally, nothing rounded.

What an entry points at is left out where the line before says it, and else given by
its time. Of entries stamped in the same millisecond the newest is meant.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, assert_never

from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.disputing import answers
from judgekit.core.entry import (
    Absent,
    Accept,
    BackTo,
    Body,
    Claim,
    ClockJump,
    CloseCall,
    Correct,
    Counting,
    Cue,
    Dispute,
    Early,
    Entry,
    Extra,
    FollowedUp,
    Freeze,
    Gap,
    Go,
    GoOn,
    Horn,
    Ignored,
    Is,
    Judged,
    MoveOn,
    NameFault,
    NoRep,
    Note,
    Odd,
    OfDay,
    Official,
    OfHeat,
    OfWatch,
    Reading,
    Recall,
    Rep,
    Rule,
    Scale,
    Session,
    Steering,
    Stop,
    TakeBack,
    Time,
    Trying,
    Undoing,
    Unfreeze,
    WallSet,
    Withdraw,
)
from judgekit.core.quantity import show_time
from judgekit.core.resulting import result_text
from judgekit.core.ruling import (
    Credit,
    Effect,
    Percent,
    Ref,
    RepsInSet,
    RestoreAttempt,
    RunCounts,
    StartBy,
    StatusIs,
    TimeBy,
    VoidAttempt,
)
from judgekit.core.tryentry import Bar, HoldOff, HoldOn, Works
from judgekit.core.watchentry import Look, LookEnd, Result, SetReported
from judgekit.files.cleaning import clean
from judgekit.files.tally_paper import paper_text
from judgekit.files.tally_quotes import cleaned, in_quotes, joined, option, quoted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.plan import Plan, SetKey

_PART_ID = re.compile(r"(?!\d+$)[\w-]+")


def write(entries: Sequence[Entry], plan: Plan | None) -> str:
    """The entries of one lane, in log order, as a tally that reads back the same.

    Lines stand in the order of their times, which go back only where the clock was
    set. The plan, if given, heads the text and names parts by their ids. What has no
    time of its own stands at the time before it.
    """
    writer = _Writer(plan)
    lines = [] if plan is None else [f"# {_heading(plan)}"]
    for at, entry in _in_time(entries):
        text = writer.line(at, entry)
        if text is not None:
            lines.append(f"{time_text(at)}  {text}")
    return "".join(f"{line}\n" for line in lines)


def time_text(ms: int) -> str:
    """A heat time with as many decimals as it needs, at least one: "7:41.2"."""
    precision = next(p for p in (100, 10, 1) if ms % p == 0)
    return show_time(ms, precision)


def _heading(plan: Plan) -> str:
    return clean(f"{plan.workout_name}, heat {plan.heat}, lane {plan.lane}")


def _in_time(entries: Sequence[Entry]) -> list[tuple[int, Entry]]:
    now = min([0, *(entry.at for entry in entries if entry.at is not None)])
    stamped: list[tuple[int, int, Entry]] = []
    sets = 0
    for entry in entries:
        now = now if entry.at is None else entry.at
        stamped.append((sets, now, entry))
        if isinstance(entry.body, WallSet):
            sets, now = sets + 1, entry.body.shows_ms
    stamped.sort(key=lambda row: row[:2])
    return [(at, entry) for _, at, entry in stamped]


class _Writer:
    """Knows what was written before: the times, and what the last line was about."""

    def __init__(self, plan: Plan | None) -> None:
        self._plan = plan
        self._times: dict[Ref, int] = {}
        self._since_go: list[Ref] = []
        self._last: Ref | None = None
        self._no_rep: Ref | None = None
        self._disputes: list[Entry] = []

    def line(self, at: int, entry: Entry) -> str | None:
        """The line of one entry without its time; None where it has no form."""
        self._times[entry.ref] = at
        self._move_times(at, entry)
        text = self._text(at, entry, entry.body)
        if text is not None:
            self._last = _about(entry)
        if isinstance(entry.body, NoRep):
            self._no_rep = entry.ref
        return text

    def _move_times(self, at: int, entry: Entry) -> None:
        """After the clock was set, what was before it is found by its moved time."""
        if isinstance(entry.body, Go) and not entry.body.offset_ms:
            self._since_go.clear()
        self._since_go.append(entry.ref)
        if isinstance(entry.body, WallSet):
            for ref in self._since_go:
                self._times[ref] += entry.body.shows_ms - at

    def _text(self, at: int, entry: Entry, body: Body) -> str | None:
        if isinstance(body, Judged):
            return self._judged(entry, body)
        if isinstance(body, OfHeat):
            return _of_heat(body)
        if isinstance(body, OfDay):
            return _of_day(body)
        if isinstance(body, Undoing):
            return self._undoing(body)
        if isinstance(body, Official):
            return self._official(entry, body)
        return _odd(at, body)

    def _judged(self, entry: Entry, body: Judged) -> str:
        if isinstance(body, Counting):
            return _counting(body, self._label(entry.set))
        return self._steering(entry, body)

    def _steering(self, entry: Entry, body: Steering) -> str:
        match body:
            case NameFault(target=target, fault=fault):
                at = "" if target == self._no_rep else self._time_of(target)
                return joined("name", fault, at and f"at {at}")
            case MoveOn(why=why):
                return joined("move-on", cleaned(why))
            case BackTo(why=why):
                return joined("back-to", self._label(entry.set), cleaned(why))
            case CloseCall(target=target):
                return joined("close-call", self._pointed(target))
            case Horn(counts=counts):
                return f"horn {'yes' if counts else 'no'}"
            case Withdraw(why=why):
                return joined("withdraw", cleaned(why))
            case Works(bib=bib):
                return f"works {cleaned(bib)}"
            case _:
                assert_never(body)

    def _undoing(self, body: Undoing) -> str:
        keyword = "take-back" if isinstance(body, TakeBack) else "count-again"
        if isinstance(body, Extra):
            keyword = f"extra {'yes' if body.one_too_many else 'no'}"
        return joined(keyword, self._pointed(body.target))

    def _official(self, entry: Entry, body: Official) -> str:
        match body:
            case Accept(who=who, signed=signed):
                return f"accept {who}" if signed else f"accept {who} not-signed"
            case Dispute():
                self._disputes.append(entry)
                return self._dispute(body)
            case Note(text=text):
                return joined("note", cleaned(text))
            case FollowedUp(on=on, bib=bib, text=text):
                whose = f"of {quoted(bib)}" if bib else ""
                return joined("followed-up", on, whose, cleaned(text))
            case Rule(effect=effect, why=why):
                answers = self._answers(entry, body)
                return joined("rule", self._effect(effect), answers, cleaned(why))
            case _:
                assert_never(body)

    def _dispute(self, body: Dispute) -> str:
        keyword = "dispute"
        match body.claims:
            case VoidAttempt() | RestoreAttempt() as claim:
                keyword = f"dispute-{claim.effect} {self._time_of(claim.target)}"
            case RepsInSet() | TimeBy() as claim:
                keyword = f"dispute-{self._effect(claim)}"
            case _:
                pass
        by = f"by {in_quotes(body.by)}" if body.by else ""
        seen = f"seen {in_quotes(body.evidence)}" if body.evidence else ""
        return joined(keyword, by, seen, cleaned(body.about))

    def _answers(self, ruling: Entry, rule: Rule) -> str:
        """Which of the disputes written before it a ruling answers."""
        numbers = [
            str(number)
            for number, dispute in enumerate(self._disputes, 1)
            if answers(rule, ruling.wall, dispute)
        ]
        return f"answers {','.join(numbers)}" if numbers else ""

    def _effect(self, effect: Effect) -> str:
        match effect:
            case RepsInSet(set=key, by=by):
                return f"reps {self._label(key)} {by:+d}"
            case VoidAttempt(target=target) | RestoreAttempt(target=target):
                return joined(effect.effect, self._time_of(target))
            case _:
                return _plain_effect(effect)

    def _pointed(self, target: Ref) -> str:
        """Nothing where the line before is meant, else its time."""
        return "" if target == self._last else self._time_of(target)

    def _time_of(self, target: Ref) -> str:
        return time_text(self._times[target]) if target in self._times else ""

    def _label(self, key: SetKey | None) -> str:
        if key is None:
            return ""
        return f"{self._part(key.part)}.{key.round}.{key.movement}"

    def _part(self, number: int) -> str:
        parts = self._plan.parts if self._plan is not None else ()
        ids = [part.id for part in parts]
        name = ids[number - 1] if number <= len(ids) else ""
        folded = [other.casefold() for other in ids]
        alone = folded.count(name.casefold()) == 1
        return name if alone and _PART_ID.fullmatch(name) else str(number)


def _about(entry: Entry) -> Ref:
    """What a line that follows may point at without a time."""
    body = entry.body
    if isinstance(body, TakeBack) or (isinstance(body, Extra) and body.one_too_many):
        return body.target
    return entry.ref


def _counting(body: Counting, where: str) -> str:
    match body:
        case Rep(n=n):
            return "rep" if n == 1 else f"rep x{n}"
        case NoRep(faults=faults):
            return joined("no-rep", *faults)
        case Reading(shows=shows, why=why):
            return joined(f"reading {shows}", cleaned(why))
        case Correct(by=by, said=said):
            return joined("correct", f"{by:+d}", cleaned(said))
        case Cue(fault=fault):
            return f"cue {fault}"
        case Bar() | HoldOn() | HoldOff():
            return _trying(body)
        case SetReported() | Look() | LookEnd() | Result():
            return _watching(body, where)
        case _:
            return paper_text(body, where)


def _watching(body: OfWatch, where: str) -> str:
    match body:
        case SetReported(n=n):
            return joined("set-reported", where, str(n))
        case Look():
            return "look"
        case LookEnd(seen=seen):
            return f"look-end {seen}"
        case Result():
            return f"result {cleaned(result_text(body))}"
        case _:
            assert_never(body)


def _trying(body: Trying) -> str:
    match body:
        case Bar(load=load, confirmed=confirmed):
            return "bar-checked" if confirmed else option("bar", load)
        case HoldOn():
            return "hold-on"
        case HoldOff(faults=faults):
            return joined("hold-off", *faults)
        case _:
            assert_never(body)


def _of_heat(body: OfHeat) -> str:
    match body:
        case Go(offset_ms=offset):
            return f"go +{time_text(offset)}" if offset else "go"
        case Recall(why=why) | Freeze(why=why):
            return joined(body.kind, cleaned(why))
        case Unfreeze(by_mistake=mistake):
            return "unfreeze mistake" if mistake else "unfreeze"
        case Time():
            return body.kind
        case WallSet(shows_ms=shows):
            return f"wall-set {time_text(shows)}"
        case Stop(sign=sign):
            return joined("stop", cleaned(sign))
        case GoOn(by_mistake=mistake, by=by):
            return "go-on mistake" if mistake else joined("go-on by", cleaned(by))
        case _:
            assert_never(body)


def _of_day(body: OfDay) -> str | None:
    match body:
        case Claim():
            return None
        case Is(bib=bib):
            return f"is {cleaned(bib)}"
        case Absent(absent=absent):
            return "absent" if absent else "absent no"
        case Scale():
            return _scale(body)
        case Check() | Unchecked():
            return _checked(body)
        case _:
            assert_never(body)


def _checked(body: Check | Unchecked) -> str:
    if isinstance(body, Unchecked):
        return joined("unchecked", quoted(body.why), *body.items)
    answer = body.answer.replace(" ", "-")
    told = body.value or body.why
    return joined(
        f"check {body.item} {answer}",
        quoted(told) if told else "",
        joined("by", cleaned(body.by)) if body.by else "",
    )


def _scale(body: Scale) -> str:
    return joined(
        f"scale {body.card}",
        option("as", body.substitute),
        f"reps {body.reps}" if body.reps else "",
        option("load", body.load),
        option("height", body.height),
        joined("why", cleaned(body.why)) if body.why else "",
    )


def _plain_effect(effect: Effect) -> str:
    match effect:
        case TimeBy(by_ms=by) | StartBy(by_ms=by):
            return f"{effect.effect} {_signed(by)}"
        case Credit(ms=ms):
            return f"credit {time_text(ms)}"
        case Percent(percent=percent):
            return f"percent {percent}"
        case StatusIs(status=status):
            return f"status {status.replace(' ', '-')}"
        case RunCounts(run=run):
            return f"run {run}"
        case _:
            return effect.effect


def _odd(at: int, body: Odd) -> str | None:
    match body:
        case Session():
            return None
        case Early():
            return "early"
        case Ignored():
            return _ignored(at, body)
        case Gap(off_ms=off, why=why):
            return joined("gap", time_text(off), cleaned(why))
        case ClockJump(by_ms=by):
            return f"clock-jump {_signed(by)}"
        case _:
            assert_never(body)


def _ignored(at: int, body: Ignored) -> str:
    return joined(
        f"ignored {quoted(body.why)}",
        f"x{body.many}" if body.many > 1 else "",
        option("key", body.key),
        f"from {time_text(body.first_ms)}" if body.first_ms != at else "",
        f"to {time_text(body.last_ms)}" if body.last_ms != at else "",
    )


def _signed(ms: int) -> str:
    return time_text(ms) if ms < 0 else f"+{time_text(ms)}"
