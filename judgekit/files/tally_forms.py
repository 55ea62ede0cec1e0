"""The line forms of a tally: one table that parsing, messages and docs read.

A form reads what stands after its keyword and gives an act, or raises LineError.
Sessions and claims have no form: transcribing makes them itself.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, get_args

from judgekit.core.checkentry import Answer, Check, Unchecked
from judgekit.core.entry import (
    Absent,
    Accept,
    ClockJump,
    Correct,
    Cue,
    Early,
    FollowedUp,
    Gap,
    Go,
    GoOn,
    Ignored,
    Is,
    MoveOn,
    NoRep,
    Note,
    Reading,
    Rep,
    Scale,
    Signer,
    Stop,
    Withdraw,
)
from judgekit.core.press import (
    Act,
    AnswerExtra,
    AnswerHorn,
    Called,
    CountAgain,
    GoBack,
    Name,
    TakeBackOne,
    WasClose,
)
from judgekit.core.tryentry import Bar, HoldOff, HoldOn, Works
from judgekit.files.cleaning import quoted
from judgekit.files.tally_heat import OF_HEAT
from judgekit.files.tally_paper import ON_PAPER
from judgekit.files.tally_rulings import DISPUTES, RULINGS
from judgekit.files.tally_watching import WATCHING
from judgekit.files.tally_words import (
    MANY,
    SET,
    Form,
    LineError,
    Reader,
    fault,
    flag,
    form,
    id_of,
    length,
    many,
    missing,
    moment_if_any,
    moment_of,
    moved_by,
    number,
    one_fault,
    one_of,
    set_of,
    signed,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

_LONGEST_BIB = 20
SIGNERS: tuple[Signer, ...] = get_args(Signer)


# --- of a lane -------------------------------------------------------------------


def _go(r: Reader) -> Act:
    offset = length(r.word().removeprefix("+")) if r.peek() else 0
    return Go(boot="", boot_ms=0, zero_ms=0, offset_ms=offset)


def _rep(r: Reader) -> Act:
    return Rep(n=many(r.word()) if r.peek() else 1)


def _no_rep(r: Reader) -> Act:
    return NoRep(faults=tuple(dict.fromkeys(map(fault, r.rest().split()))))


def _name(r: Reader) -> Act:
    fault = one_fault(r)
    return Name(fault=fault, at=moment_of(r, "the time") if flag(r, "at") else None)


def _go_on(r: Reader) -> Act:
    if flag(r, "mistake"):
        return GoOn(by_mistake=True)
    if not flag(r, "by"):
        raise LineError(
            "after a stop, say whether by mistake or who lets the athlete go on"
        )
    return GoOn(by_mistake=False, by=r.text("who lets the athlete go on"))


def _correct(r: Reader) -> Act:
    by = signed(r, "the correction")
    return Correct(by=by, said=r.text("what was said aloud"))


def _back_to(r: Reader) -> Act:
    to = set_of(r) if SET.fullmatch(r.peek()) else None
    return GoBack(why=r.text("the reason"), to=to)


def _horn(r: Reader) -> Act:
    return AnswerHorn(counts=_yes_or_no(r))


def _extra(r: Reader) -> Act:
    return AnswerExtra(yes=_yes_or_no(r), at=moment_if_any(r))


def _yes_or_no(r: Reader) -> bool:
    return one_of(r, {"yes": True, "no": False}, "the answer")


# --- of the day, official, odd ---------------------------------------------------


def _scale(r: Reader) -> Act:
    card = id_of(r.word() or missing("the card"), "a card")
    found: dict[str, str] = {}
    while r.peek():
        option = r.word().lower()
        if option not in ("as", "reps", "load", "height", "why"):
            known = "as, reps, load, height, why"
            raise LineError(f"{quoted(option)} is none of {known}")
        if option in found:
            raise LineError(f"{quoted(option)} stands twice")
        is_text = option == "why"
        found[option] = r.text("the reason") if is_text else r.value(option)
    if not found.keys() - {"why"}:
        raise LineError("nothing is scaled")
    return Scale(
        card=card,
        substitute=id_of(found["as"], "a card") if "as" in found else "",
        reps=number(Reader(found["reps"]), "reps") if "reps" in found else 0,
        load=found.get("load", ""),
        height=found.get("height", ""),
        why=found.get("why", ""),
    )


def _check(r: Reader) -> Act:
    item = id_of(r.word() or missing("the item"), "an item")
    answer = one_of(r, _ANSWERS, "the answer")
    if answer in ("measured", "refused"):
        return Check(item=item, answer=answer, value=r.value("what was measured"))
    if answer == "as planned":
        return Check(item=item, answer=answer)
    why = r.value("the reason")
    by = r.text("who agreed to it") if flag(r, "by") else ""
    return Check(item=item, answer=answer, why=why, by=by)


_ANSWERS: Mapping[str, Answer] = {
    answer.replace(" ", "-"): answer for answer in get_args(Answer)
}


def _unchecked(r: Reader) -> Act:
    why = r.value("the reason")
    items = tuple(id_of(word, "an item") for word in r.rest().split())
    return Unchecked(items=items or missing("an item"), why=why)


def _bib(r: Reader) -> str:
    bib = r.text("the bib")
    if len(bib) > _LONGEST_BIB:
        raise LineError(f"the bib {quoted(bib)} is longer than {_LONGEST_BIB} letters")
    return bib


def _accept(r: Reader) -> Act:
    who = one_of(r, {signer: signer for signer in SIGNERS}, "who")
    return Accept(who=who, signed=not flag(r, "not-signed"))


def _ignored(r: Reader) -> Act:
    why = r.value("the reason")
    times = many(r.word()) if MANY.fullmatch(r.peek()) else 1
    key = r.value("the key") if flag(r, "key") else ""
    first = moment_of(r, "the first time") if flag(r, "from") else r.at
    last = moment_of(r, "the last time") if flag(r, "to") else r.at
    return Ignored(why=why, key=key, first_ms=first, last_ms=last, many=times)


def _whose(r: Reader) -> str:
    if r.peek() != "of":
        return ""
    r.word()
    return r.value("whose bib")


def _followed_up(r: Reader) -> Act:
    day = r.value("the day, as YYYY-MM-DD")
    try:
        on = date.fromisoformat(day).isoformat()
    except ValueError:
        missing("the day, as YYYY-MM-DD")
    bib = _whose(r)
    return FollowedUp(on=on, bib=bib, text=r.rest())


def _gap(r: Reader) -> Act:
    return Gap(off_ms=moment_of(r, "how far off the clock may be"), why=r.rest())


GRAMMAR: tuple[Form, ...] = (
    form("go [+TIME]", "the start; this lane starts that much later", "go", _go),
    form("rep [xN]", "good reps, one if not said otherwise", "rep x5", _rep),
    form("no-rep [FAULT ...]", "a rep that does not count", "no-rep depth", _no_rep),
    form(
        "call FAULT",
        "the fault's key: a no-rep, or a second reason for the one just made",
        "call depth",
        lambda r: Called(fault=one_fault(r)),
        kind="no-rep",
    ),
    form(
        "name FAULT [at TIME]",
        "a reason for the newest no-rep, or for the one of that time",
        "name depth at 0:04.1",
        _name,
        kind="name-fault",
    ),
    form(
        "cue FAULT",
        "a fault in a rep that counts",
        "cue low-catch",
        lambda r: Cue(fault=one_fault(r)),
    ),
    form(
        "reading N [WHY]",
        "what the monitor shows; why, where it shows less than before",
        "reading 15",
        lambda r: Reading(shows=number(r, "what the monitor shows"), why=r.rest()),
    ),
    *WATCHING,
    *ON_PAPER,
    form(
        'bar "LOAD"',
        "the load said for the attempt that comes, or for one judged without",
        'bar "62.5 kg"',
        lambda r: Bar(load=r.value("the load")),
    ),
    form(
        "bar-checked",
        "the bar carries that load",
        "bar-checked",
        lambda _: Bar(load="", confirmed=True),
        kind="bar",
    ),
    form("hold-on", "a hold begins", "hold-on", lambda _: HoldOn()),
    form(
        "hold-off [FAULT ...]",
        "the hold ends, by a fault or as the athlete lets go",
        "hold-off sag",
        lambda r: HoldOff(faults=tuple(dict.fromkeys(map(fault, r.rest().split())))),
    ),
    form(
        "works BIB",
        "which member of the team works from now on",
        "works 31",
        lambda r: Works(bib=_bib(r)),
    ),
    form(
        "stop [SIGN]",
        "STOP: the athlete is unsafe",
        "stop dizzy",
        lambda r: Stop(sign=r.rest()),
    ),
    form(
        "go-on mistake | by WHO",
        "after a stop: it was a mistake, or someone lets the athlete go on",
        "go-on mistake",
        _go_on,
    ),
    form(
        "take-back [TIME]",
        "the newest judgement, or the newest of that time, does not stand",
        "take-back 0:04.1",
        lambda r: TakeBackOne(at=moment_if_any(r)),
    ),
    form(
        "count-again [TIME]",
        "what was taken back last, or the newest of that time, stands again",
        "count-again",
        lambda r: CountAgain(at=moment_if_any(r)),
        kind="put-back",
    ),
    form(
        "correct +N|-N SAID",
        "the count moves, with what was said aloud",
        "correct +1 That is twelve",
        _correct,
    ),
    form(
        "move-on WHY",
        "the set is left short",
        "move-on ran out of time",
        lambda r: MoveOn(why=r.text("the reason")),
    ),
    form(
        "back-to [PART.ROUND.MOVEMENT] WHY",
        "back to that set, or to the one before",
        "back-to 1.2.1 two reps short",
        _back_to,
    ),
    form(
        "extra yes|no [TIME]",
        "whether the press just made, or the one of that time, was one too many",
        "extra yes 0:04.1",
        _extra,
    ),
    form(
        "close-call [TIME]",
        "the newest judgement, or the newest of that time, was close",
        "close-call 0:04.1",
        lambda r: WasClose(at=moment_if_any(r)),
    ),
    form("horn yes|no", "whether the rep at the horn was in time", "horn yes", _horn),
    form(
        "withdraw [WHY]",
        "the athlete leaves the heat",
        "withdraw sore shoulder",
        lambda r: Withdraw(why=r.rest()),
    ),
    *OF_HEAT,
    form(
        'scale CARD [as CARD] [reps N] [load "LOAD"] [height "HEIGHT"] [why WHY]',
        "what this athlete does instead today",
        'scale front-squat load "47.5 kg" why first time back',
        _scale,
    ),
    form(
        "is BIB",
        "the lane has another athlete than the heat list says",
        "is 31",
        lambda r: Is(bib=_bib(r)),
    ),
    form(
        "absent [no]",
        "the athlete is not here, or is after all",
        "absent",
        lambda r: Absent(absent=not flag(r, "no")),
    ),
    form(
        'check ITEM as-planned|measured "VALUE"|refused "VALUE"'
        '|not-as-planned "WHY" [by WHO]',
        "an item of the lane check is answered; a value that misses is refused",
        'check target-wall-ball-shot measured "2.75 m"',
        _check,
    ),
    form(
        'unchecked "WHY" ITEM ...',
        "the lane goes with these items of its check open",
        'unchecked "no time left" clock safety',
        _unchecked,
    ),
    form(
        "accept athlete|judge [not-signed]",
        "the scorecard is accepted, or not signed",
        "accept athlete",
        _accept,
    ),
    *DISPUTES,
    *RULINGS,
    form(
        "note TEXT",
        "words kept with the lane",
        "note tape on both hands",
        lambda r: Note(text=r.text("the text")),
    ),
    form(
        "followed-up DAY [of BIB] [TEXT]",
        "somebody spoke with the athlete that day; for the coach",
        "followed-up 2027-05-09 fine, slept well",
        _followed_up,
    ),
    form("early", "a rep before zero, kept, not counted", "early", lambda _: Early()),
    form(
        'ignored "WHY" [xN] [key "KEY"] [from TIME] [to TIME]',
        "presses kept that do nothing",
        'ignored "after the horn" x2 key rep',
        _ignored,
    ),
    form("gap TIME [WHY]", "the clock may be that far off", "gap 0:02", _gap),
    form(
        "clock-jump +TIME|-TIME",
        "the wall clock moved",
        "clock-jump +0:08",
        lambda r: ClockJump(by_ms=moved_by(r)),
    ),
)

# Kinds of entries that no tally line makes.
NO_FORM: Mapping[str, str] = {
    "session": "transcribing opens and closes its own book",
    "claim": "transcribing claims the lane itself",
}
