"""The line forms of a tally for totals from paper (short ones: `papertotals.py`)."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, assert_never

from judgekit.core.paperentry import OfPaper, PaperNoReps, PaperSet, PaperTime
from judgekit.core.plan import SetKey
from judgekit.core.press import Act, WriteNoReps, WriteSet
from judgekit.files.cleaning import quoted
from judgekit.files.tally_quotes import joined, option
from judgekit.files.tally_words import (
    Form,
    LineError,
    Reader,
    fault,
    flag,
    form,
    number,
    part_of,
    set_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable

_MOVEMENT = re.compile(r"([\w-]+)\.([1-9]\d{0,3})", re.ASCII)


def _set(r: Reader) -> Act:
    key = set_of(r)
    n = number(r, "how many were good")
    return WriteSet(set=key, n=n, load=r.value("the load") if flag(r, "load") else "")


def _no_reps(r: Reader) -> Act:
    found = _MOVEMENT.fullmatch(r.peek())
    if found:
        r.word()
        key = SetKey(part_of(found[1], r.plan), 1, int(found[2]))
    else:
        key = set_of(r)
    n = number(r, "how many no-reps")
    return WriteNoReps(
        set=key,
        n=n,
        fault=fault(r.word()) if r.peek() else "",
        any_round=found is not None,
    )


def _time(r: Reader) -> Act:
    if not r.peek():
        return PaperTime()
    word = r.word().lower()
    reads = _TIMES.get(word)
    if reads is None:
        raise LineError(f"{quoted(word)} is none of {', '.join(_TIMES)}")
    return reads(r)


def _round_time(r: Reader) -> Act:
    found = _MOVEMENT.fullmatch(r.word())
    if not found:
        raise LineError("the round is missing, as in: round A.2")
    return PaperTime(part=part_of(found[1], r.plan), round=int(found[2]))


def _part_time(r: Reader) -> Act:
    word = r.word()
    if not word:
        raise LineError("the part is missing")
    return PaperTime(part=part_of(word, r.plan))


_TIMES: dict[str, Callable[[Reader], Act]] = {
    "part": _part_time,
    "round": _round_time,
    "rep": lambda r: PaperTime(rep=number(r, "which rep") or 1),
}
ON_PAPER: tuple[Form, ...] = (
    form(
        'paper-set PART.ROUND.MOVEMENT N [load "LOAD"]',
        "from paper: N of that set were good, and the load beside it",
        "paper-set 1.2.1 12",
        _set,
    ),
    form(
        "paper-no-reps PART[.ROUND].MOVEMENT N [FAULT]",
        "from paper: N no-reps of a movement, in that round or in any",
        "paper-no-reps 1.1 3 depth",
        _no_reps,
    ),
    form(
        "paper-time [part PART | round PART.ROUND | rep N]",
        "from paper: the clock when that was done, or all of the work",
        "paper-time part 1",
        _time,
    ),
)


def paper_text(body: OfPaper, where: str) -> str:
    """An entry from paper as its line; `where` names its set."""
    match body:
        case PaperSet(n=n, load=load):
            return joined("paper-set", where, str(n), option("load", load))
        case PaperNoReps(n=n, fault=fault, any_round=any_round):
            part, _, rest = where.partition(".")
            movement = rest.partition(".")[2]
            named = f"{part}.{movement}" if any_round and movement else where
            return joined("paper-no-reps", named, str(n), fault)
        case PaperTime(part=part, round=round_, rep=rep):
            if rep:
                return f"paper-time rep {rep}"
            if round_:
                return f"paper-time round {part}.{round_}"
            return f"paper-time part {part}" if part else "paper-time"
        case _:
            assert_never(body)
