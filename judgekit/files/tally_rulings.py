"""The tally lines of a head judge's rulings: one form for each effect."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, get_args

from judgekit.core.entry import Dispute, Rule
from judgekit.core.press import Act, Answering, DisputeAt, RuleAt
from judgekit.core.ruling import (
    Close,
    Credit,
    Effect,
    Percent,
    Reopen,
    RepsInSet,
    RunCounts,
    Stands,
    StartBy,
    StatusIs,
    StatusWord,
    TimeBy,
)
from judgekit.files.tally_words import (
    Form,
    LineError,
    Reader,
    Reads,
    form,
    length_of,
    missing,
    moment_of,
    moved_by,
    number,
    one_of,
    set_of,
    signed,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

_ANSWERS = re.compile(
    r"answers ([1-9]\d{0,2}(?:,[1-9]\d{0,2})*)(?: |$)", re.ASCII | re.IGNORECASE
)
STATUSES: Mapping[str, StatusWord] = {
    word.replace(" ", "-"): word for word in get_args(StatusWord)
}


def _ruling(effect: Callable[[Reader], Effect]) -> Reads:
    """A ruling that may say which disputes it answers."""

    def reads(r: Reader) -> Act:
        made = effect(r)
        disputes = _answered(r)
        return _answering(Rule(effect=made, why=r.text("the reason")), disputes)

    return reads


def _apart(effect: Callable[[Reader], Effect]) -> Reads:
    """A ruling that answers no dispute."""
    return lambda r: Rule(effect=effect(r), why=r.text("the reason"))


def _answered(r: Reader) -> tuple[int, ...]:
    """The disputes that a ruling names; words that only begin like it are its why."""
    found = r.taken(_ANSWERS)
    return tuple(map(int, found[1].split(","))) if found else ()


def _answering(ruling: Rule | RuleAt, disputes: tuple[int, ...]) -> Act:
    return Answering(ruling=ruling, disputes=disputes) if disputes else ruling


def _reps_in_set(r: Reader) -> Effect:
    return RepsInSet(set=set_of(r), by=signed(r, "the reps"))


def _percent(r: Reader) -> Effect:
    percent = number(r, "the percentage")
    if not 1 <= percent <= 100:  # noqa: PLR2004 - per cent
        raise LineError(f"{percent} per cent is not from 1 to 100")
    return Percent(percent=percent)


def _run(r: Reader) -> Effect:
    return RunCounts(run=number(r, "the run") or missing("the run, counted from 1,"))


def _ruled_attempt(r: Reader, *, restore: bool) -> Act:
    at = moment_of(r, "the time of the attempt")
    disputes = _answered(r)
    made = RuleAt(restore=restore, at=at, why=r.text("the reason"))
    return _answering(made, disputes)


def _quoted(r: Reader, word: str) -> str:
    """What follows that word in quotes; empty where it does not stand there."""
    if not r.opens(f'{word} "'):
        return ""
    r.word()
    return r.value(word)


def _disputed(r: Reader, claims: Effect | None = None) -> Act:
    by, evidence = _quoted(r, "by"), _quoted(r, "seen")
    about = r.text("what it is about")
    return Dispute(about=about, by=by, claims=claims, evidence=evidence)


def _disputed_attempt(r: Reader, *, counts: bool) -> Act:
    at = moment_of(r, "the time of the attempt")
    by, evidence = _quoted(r, "by"), _quoted(r, "seen")
    about = r.text("what it is about")
    return DisputeAt(at=at, counts=counts, about=about, by=by, evidence=evidence)


def _dispute(shape: str, means: str, example: str, read: Reads) -> Form:
    return form(shape, means, example, read, kind="dispute")


_SAID = '[by "WHO"] [seen "EVIDENCE"] ABOUT'
DISPUTES: tuple[Form, ...] = (
    _dispute(
        f"dispute {_SAID}",
        "a question for the head judge",
        "dispute the rep at 0:04.1",
        _disputed,
    ),
    _dispute(
        f"dispute-reps PART.ROUND.MOVEMENT +N|-N {_SAID}",
        "that so many more, or fewer, were good in a set",
        'dispute-reps 1.2.1 +1 by "the athlete" seen "video 2:10" one not counted',
        lambda r: _disputed(r, _reps_in_set(r)),
    ),
    _dispute(
        f"dispute-time +TIME|-TIME {_SAID}",
        "that the time should be longer, or shorter",
        "dispute-time -0:03 the clock was late",
        lambda r: _disputed(r, TimeBy(by_ms=moved_by(r))),
    ),
    _dispute(
        f"dispute-restore TIME {_SAID}",
        "that the attempt of that time should count",
        "dispute-restore 0:04.1 it was deep enough",
        lambda r: _disputed_attempt(r, counts=True),
    ),
    _dispute(
        f"dispute-void TIME {_SAID}",
        "that the attempt of that time should not count",
        "dispute-void 0:04.1 another lane saw it",
        lambda r: _disputed_attempt(r, counts=False),
    ),
)


def _rule(shape: str, means: str, example: str, read: Reads) -> Form:
    return form(shape, means, example, read, kind="rule", words=2)


RULINGS: tuple[Form, ...] = (
    _rule(
        "rule reps PART.ROUND.MOVEMENT +N|-N [answers N] WHY",
        "reps added to a set, or taken off",
        "rule reps 1.2.1 -1 answers 1 seen on video",
        _ruling(_reps_in_set),
    ),
    _rule(
        "rule time +TIME|-TIME [answers N] WHY",
        "time added to the score, or taken off",
        "rule time +0:30 bar dropped",
        _ruling(lambda r: TimeBy(by_ms=moved_by(r))),
    ),
    _rule(
        "rule start +TIME|-TIME [answers N] WHY",
        "the start was later, or earlier",
        "rule start +0:12 started late",
        _ruling(lambda r: StartBy(by_ms=moved_by(r))),
    ),
    _rule(
        "rule credit TIME [answers N] WHY",
        "time given back",
        "rule credit 0:40 rower broke",
        _ruling(lambda r: Credit(ms=length_of(r, "the time"))),
    ),
    _rule(
        "rule percent N [answers N] WHY",
        "the score made worse by so much",
        "rule percent 15 wrong bar",
        _ruling(_percent),
    ),
    _rule(
        "rule void TIME [answers N] WHY",
        "the attempt of that time does not count",
        "rule void 0:04.1 seen on video",
        lambda r: _ruled_attempt(r, restore=False),
    ),
    _rule(
        "rule restore TIME [answers N] WHY",
        "the attempt of that time counts after all",
        "rule restore 0:04.1 seen on video",
        lambda r: _ruled_attempt(r, restore=True),
    ),
    _rule(
        f"rule status {'|'.join(STATUSES)} [answers N] WHY",
        "a status set by the head judge",
        "rule status did-not-start ill in the morning",
        _ruling(lambda r: StatusIs(status=one_of(r, STATUSES, "the status"))),
    ),
    _rule(
        "rule stands answers N WHY",
        "what is disputed stands as it was judged",
        "rule stands answers 1 not deep enough on video",
        _ruling(lambda _: Stands()),
    ),
    _rule(
        "rule run N WHY",
        "which run of the lane counts",
        "rule run 2 rower broke in run 1",
        _apart(_run),
    ),
    _rule(
        "rule reopen WHY",
        "an accepted scorecard may change again",
        "rule reopen dispute heard",
        _apart(lambda _: Reopen()),
    ),
    _rule(
        "rule close WHY",
        "the scorecard is closed",
        "rule close athlete has left",
        _apart(lambda _: Close()),
    ),
)
