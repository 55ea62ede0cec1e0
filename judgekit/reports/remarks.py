"""What else the log holds about a lane, in words: a line for each fact, in log order.

Stops and who let the athlete go on, freezes, a withdrawal and why, disputes, notes,
rulings with who and why, corrections and late take-backs.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, assert_never

from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.checkitems import REACH, items
from judgekit.core.disputing import ended, is_late, number_of
from judgekit.core.entry import (
    BackTo,
    Body,
    CloseCall,
    Correct,
    Cue,
    Dispute,
    Extra,
    Freeze,
    GoOn,
    Horn,
    MoveOn,
    NameFault,
    NoRep,
    Note,
    Reading,
    Recall,
    Rep,
    Rule,
    Stop,
    Unfreeze,
    WallSet,
    Withdraw,
)
from judgekit.core.lane import own_ms
from judgekit.core.lanecheck import TRANSCRIBED, name_of
from judgekit.core.papertimes import doubted
from judgekit.core.quantity import show_time
from judgekit.core.ruling import (
    Close,
    Credit,
    Effect,
    Percent,
    Ref,
    Reopen,
    RepsInSet,
    RestoreAttempt,
    RunCounts,
    Stands,
    StartBy,
    StatusIs,
    TimeBy,
    VoidAttempt,
)
from judgekit.reports.names import call_of, said_words, taken_off_words
from judgekit.reports.watchwords import looks

if TYPE_CHECKING:
    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.state import Lane

Names = Mapping[str, str]

_TENTH = 100
_PLAIN: Mapping[type[Body], str] = {
    MoveOn: "moving on",
    BackTo: "going back",
    CloseCall: "close call",
    Horn: "answer at the horn",
    Withdraw: "withdrawal",
}


def press_time(plan: Plan, ms: int) -> str:
    """When a single press was made: to a tenth, or finer where the score is finer."""
    return show_time(ms, min(_TENTH, plan.precision_ms))


def remarks(lane: Lane, names: Names) -> tuple[str, ...]:
    """Every fact of the log that no other part of the scorecard holds.

    `names` gives names to the ids of those who rule.
    """
    lines = (_remark(lane, entry, names) for entry in lane.entries)
    told = (*lines, _not_of_a_clock(lane))
    return (*(line for line in told if line), *looks(lane), *lane.flags)


def _not_of_a_clock(lane: Lane) -> str:
    """A time from paper that cannot be; the score has it as it was written."""
    doubt = doubted(lane)
    return f"from paper, counted as written: {doubt}" if doubt else ""


def corrections(lane: Lane, names: Names) -> tuple[str, ...]:
    """Every change of the count by judge or ruling: who, where, how much, why."""
    rulings = {ruling.ref: ruling.who for ruling in lane.rulings}
    lines: list[str] = []
    for c in lane.work.corrections:
        who = f"judge, {press_time(lane.plan, c.at)}"
        if c.ref in rulings:
            who = _ruling_by(rulings[c.ref], names)
        lines.append(f"{who}: {set_words(lane.plan, c.set)}: {c.by:+d} ({c.why})")
    return tuple(lines)


def late_take_backs(lane: Lane) -> tuple[str, ...]:
    """What was taken back late, and when; what was one too many is a remark."""
    return tuple(
        f"{entry_at(lane, t.target)}, late, at {press_time(lane.plan, t.at)}"
        for t in lane.taken_back
        if t.late and not t.extra
    )


# --- one entry -----------------------------------------------------------------------


def _remark(lane: Lane, entry: Entry, names: Names) -> str:
    body = entry.body
    match body:
        case Rule():
            return _ruling(lane, entry, body, names)
        case Withdraw(why=why) if _stands(lane, entry):
            return f"withdrew at {_stamp(lane, entry)}{_because(why)}"
        case Dispute():
            return dispute_words(lane, entry, body)
        case Note(text=text):
            return f"note: {text}"
        case Extra():
            return _taken_off(lane, entry)
        case Check() | Unchecked():
            return _checked(lane, entry, body)
        case Stop() | GoOn() | Freeze() | Unfreeze() | WallSet() | Recall():
            return _of_heat(lane, entry)
        case _:
            return ""


def _stopped(lane: Lane, entry: Entry, when: str) -> str:
    """A stop with its sign; the entry that names the sign tells nothing more."""
    stop = next((s.body for s in lane.stops if s.ref == entry.ref), None)
    sign = stop.sign if isinstance(stop, Stop) else ""
    return "" if stop is None else f"STOP {when}{_because(sign)}"


def _of_heat(lane: Lane, entry: Entry) -> str:
    when = f"at {_stamp(lane, entry)}"
    match entry.body:
        case Stop():
            return _stopped(lane, entry, when)
        case GoOn(by_mistake=True):
            return f"stopped by mistake, said {when}"
        case GoOn(by=by):
            return f"let go on {when} by {by}"
        case Freeze(why=why):
            return f"frozen {when}{_because(why)}"
        case Unfreeze(by_mistake=mistake):
            return f"work went on {when}{_because('frozen by mistake' * mistake)}"
        case WallSet(shows_ms=shows):
            moved = (shows - (entry.at or 0)) / 1000
            return f"clock set by the wall {when}: moved {moved:+g} s"
        case Recall(why=why):
            return f"recalled {when}{_because(why)}"
        case _:
            return ""


def _checked(lane: Lane, entry: Entry, body: Check | Unchecked) -> str:
    """What departs from the plan, what was measured in mid-heat, what went open."""
    if isinstance(body, Unchecked):
        return _went_open(lane.plan, body)
    name = name_of(lane.plan, body.item)
    if body.answer == "not as planned":
        agreed = f", agreed by {body.by}" if body.by else ""
        return f"not as planned, {name}: {body.why}{agreed}"
    if body.item == REACH and body.value and not _same_reach(body):
        return f"Reach measured: {body.value}, planned {body.planned}"
    at = lane.when(entry)
    if not body.value or at is None or own_ms(lane, at) < 0:
        return ""
    refused = ", refused" * (body.answer == "refused")
    return f"{name} measured at {_stamp(lane, entry)}: {body.value}{refused}"


def _same_reach(body: Check) -> bool:
    return body.planned.startswith(f"{body.value} for ")


def _went_open(plan: Plan, body: Unchecked) -> str:
    """A log written from paper has no lane check, which says nothing of the lane."""
    if body.why == TRANSCRIBED:
        return ""
    names = ", ".join(name_of(plan, item) for item in body.items)
    if {item.id for item in items(plan)} <= set(body.items):
        names = "the whole lane check"
    return f"went with {names} open ({body.why})"


def _taken_off(lane: Lane, answer: Entry) -> str:
    """A press that was one too many: what it was an extra of, and if said late."""
    taken = next((t for t in lane.taken_back if t.by == answer.ref), None)
    pressed = _entry_of(lane, taken.target) if taken is not None else None
    if taken is None or pressed is None:
        return ""
    late = f", late, at {press_time(lane.plan, taken.at)}" if taken.late else ""
    made = f"{what(lane.plan, pressed)} at {_stamp(lane, pressed)}"
    return f"{taken_off_words(lane, pressed)}: {made}{late}"


def _because(why: str) -> str:
    return f" ({why})" if why else ""


def _stands(lane: Lane, withdrawal: Entry) -> bool:
    """Neither taken back nor replaced by a later one."""
    taken = any(t.target == withdrawal.ref for t in lane.taken_back)
    return not taken and own_ms(lane, lane.when(withdrawal) or 0) == lane.withdrawn_ms


def _stamp(lane: Lane, entry: Entry) -> str:
    """When an entry was made, on the lane's own clock."""
    return press_time(lane.plan, own_ms(lane, lane.when(entry) or 0))


# --- rulings -------------------------------------------------------------------------


def _ruling(lane: Lane, entry: Entry, rule: Rule, names: Names) -> str:
    """A ruling's line; one that moved a count stands among the corrections."""
    moved = any(c.ref == entry.ref for c in lane.work.corrections)
    if moved and isinstance(rule.effect, RepsInSet):
        return ""
    says = effect_words(lane, rule.effect)
    return f"{_ruling_by(entry.who, names)}: {says}{_because(rule.why)}"


def dispute_words(lane: Lane, entry: Entry, body: Dispute) -> str:
    """What is questioned, by whom, with what for it, and how it was answered."""
    by = f" by {body.by}" if body.by else ""
    claims = "" if body.claims is None else f"asks: {effect_words(lane, body.claims)}"
    seen = f"seen: {body.evidence}" if body.evidence else ""
    late = "after the time for it" if is_late(lane, entry) else ""
    said = (body.about, claims, seen, late, _answer_words(lane, entry))
    told = "; ".join(filter(None, said))
    return f"dispute {number_of(lane, entry.ref)}{by}: {told}"


def _answer_words(lane: Lane, dispute: Entry) -> str:
    ruling = ended(lane).get(dispute.ref)
    if ruling is None:
        return "not answered yet"
    rule = ruling.rule
    return f"answered: {effect_words(lane, rule.effect)}{_because(rule.why)}"


def _ruling_by(who: str, names: Names) -> str:
    return f"ruling by {names.get(who, who)}" if who else "ruling"


def effect_words(lane: Lane, effect: Effect) -> str:
    """What a ruling changes."""
    match effect:
        case RepsInSet(set=key, by=by):
            return f"{set_words(lane.plan, key)}: {by:+d}"
        case VoidAttempt(target=target):
            return f"{entry_at(lane, target)} does not stand"
        case RestoreAttempt(target=target):
            return f"{entry_at(lane, target)} counts"
        case StartBy() | TimeBy() | Credit() | Percent():
            return _on_the_score(effect)
        case StatusIs() | Stands() | RunCounts() | Reopen() | Close():
            return _on_the_lane(effect)
        case _:
            assert_never(effect)


def _on_the_score(effect: StartBy | TimeBy | Credit | Percent) -> str:
    match effect:
        case StartBy(by_ms=by):
            return f"start moved by {by / 1000:+g} s"
        case TimeBy(by_ms=by):
            return f"{by / 1000:+g} s on the score"
        case Credit(ms=ms):
            return f"{ms / 1000:g} s given back"
        case Percent(percent=percent):
            return f"score made worse by {percent} %"
        case _:
            assert_never(effect)


def _on_the_lane(effect: StatusIs | Stands | RunCounts | Reopen | Close) -> str:
    match effect:
        case StatusIs(status=status):
            return f"status: {status}"
        case Stands():
            return "it stands as judged"
        case RunCounts(run=number):
            return f"try {number} of this lane counts"
        case Reopen():
            return "scorecard opened again"
        case Close():
            return "scorecard closed"
        case _:
            assert_never(effect)


def set_words(plan: Plan, key: SetKey) -> str:
    """Which set that is: "Front squat, part A round 1"."""
    if not plan.holds(key):
        return "a set that is not in this workout"
    part = plan.part(key).id
    place = f"part {part} round {key.round}" if part else f"round {key.round}"
    return f"{plan.card_of(key).name}, {place}"


# --- entries that others point at ----------------------------------------------------


def _entry_of(lane: Lane, target: Ref) -> Entry | None:
    return next((one for one in lane.entries if one.ref == target), None)


def entry_at(lane: Lane, target: Ref) -> str:
    """An entry that another one points at, and when it was made."""
    entry = _entry_of(lane, target)
    if entry is None:
        return "an entry that is not here"
    said = what(lane.plan, entry)
    return said if entry.at is None else f"{said} at {_stamp(lane, entry)}"


def what(plan: Plan, entry: Entry) -> str:
    """An entry of the judge's in a few words: "2 reps", "no-rep DEPTH"."""
    call = _caller(plan, entry.set)
    match entry.body:
        case Rep(n=n):
            seen = "seen: " if plan.watching == "reported" else ""
            return f"{seen}rep" if n == 1 else f"{seen}{n} reps"
        case NoRep(faults=faults):
            seen = "seen: " if plan.watching == "reported" else ""
            return f"{seen}no-rep {' + '.join(map(call, faults))}".rstrip()
        case NameFault(fault=fault):
            return f"reason {call(fault)}"
        case Cue(fault=fault):
            return f"cue {call(fault)}"
        case Reading(shows=shows):
            return f"monitor {shows}"
        case Correct(by=by):
            return f"correction {by:+d}"
        case _:
            plain = _PLAIN.get(type(entry.body), "entry")
            return said_words(entry.body) or plain


def _caller(plan: Plan, key: SetKey | None) -> Callable[[str], str]:
    """What gives a fault of that set its call, or leaves its id as logged."""
    if key is None or not plan.holds(key):
        return str
    card = plan.card_of(key)
    return lambda fault: call_of(card, fault)
