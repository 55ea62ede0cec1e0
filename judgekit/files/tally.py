"""Tallies: the log of a lane as text, for paper, video and tests.

One line each: a heat time and what happened. Blank lines and lines that begin with #
say nothing. `GRAMMAR` lists every form; sessions and claims have none. Totals from
paper have lines of their own, without times (`papertotals.py`).
"""

from __future__ import annotations

from dataclasses import replace
from difflib import get_close_matches
from itertools import pairwise
from typing import TYPE_CHECKING

from judgekit.core.entry import (
    Accept,
    Counting,
    Go,
    MoveOn,
    Recall,
    Time,
    WallSet,
    Withdraw,
)
from judgekit.core.errors import InputError, Problem
from judgekit.core.paperentry import PaperTime
from judgekit.core.press import (
    Act,
    AnswerExtra,
    AnswerHorn,
    Called,
    CountAgain,
    EndLook,
    GoBack,
    Name,
    ReportSet,
    TakeBackOne,
    WasClose,
    WriteNoReps,
    WriteSet,
)
from judgekit.core.values import dataclass
from judgekit.files.cleaning import clean, quoted
from judgekit.files.papertotals import (
    NoTotalsError,
    Said,
    Totals,
    is_stamped,
    is_totals,
)
from judgekit.files.tally_forms import GRAMMAR, NO_FORM
from judgekit.files.tally_text import time_text, write
from judgekit.files.tally_words import Form, LineError, Reader, moment

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from judgekit.core.plan import Plan

__all__ = [
    "GRAMMAR",
    "NO_FORM",
    "Form",
    "Tally",
    "TallyLine",
    "decoded",
    "parse",
    "read",
    "write",
]

_MOST_BYTES = 1_000_000
_FORMS = {form.keyword: form for form in GRAMMAR}
_COUNTED = Counting | Called | ReportSet | EndLook | WriteSet | WriteNoReps
_AFTER_GO = (
    _COUNTED
    | TakeBackOne
    | CountAgain
    | Name
    | WasClose
    | AnswerExtra
    | AnswerHorn
    | MoveOn
    | GoBack
    | Withdraw
    | Recall
    | Time
    | WallSet
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TallyLine:
    """One line: its number in the file, its heat time in whole ms, and its act."""

    line: int
    at: int
    act: Act


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """The lines of a tally that say something, in their order.

    `on_paper`: it holds totals, so that the clock's own end stands nowhere in it.
    `problems` are of the lines of totals that could not be read.
    """

    lines: tuple[TallyLine, ...]
    on_paper: bool = False
    problems: tuple[Problem, ...] = ()


def read(path: Path, shown: str) -> bytes:
    """A tally's bytes; InputError if it is no file, or larger than any tally."""
    try:
        if not path.is_file():
            there = path.exists()
            what = "this is not a file" if there else "there is no such file"
            raise _refused(shown, what, "check its name and folder")
        with path.open("rb") as file:
            data = file.read(_MOST_BYTES + 1)
    except OSError as error:
        raise _refused(shown, f"the file cannot be read ({error.strerror})") from error
    if len(data) > _MOST_BYTES:
        raise _refused(shown, "the file is larger than 1 MB", "a tally is of one lane")
    return data


def decoded(data: bytes, shown: str) -> str:
    """The text of a tally's bytes; InputError names the line that is none."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        what = "this line is not UTF-8 text"
        raise _refused(shown, what, "save it as UTF-8", line=line) from error


def _refused(shown: str, what: str, right: str = "", *, line: int = 1) -> InputError:
    return InputError([Problem(file=shown, line=line, what=what, right=right)])


def parse(text: str, shown: str, plan: Plan | None = None) -> Tally:
    """A tally from its text; `shown` is the file as the user named it.

    The plan is asked only for the ids of its parts; without it, parts go by number.
    Raises InputError with every bad line.
    """
    found = parse_paper(text, shown, plan)
    if found.problems:
        raise InputError(found.problems)
    return found


def parse_paper(text: str, shown: str, plan: Plan | None) -> Tally:
    """The same, but bad lines of totals are told beside those that could be read.

    So a line that cannot stand is named though another one cannot be read.
    """
    lines: list[TallyLine] = []
    problems: list[Problem] = []
    said = list(_said(text))
    on_paper = is_totals([raw for _, raw in said])
    totals = Totals(plan) if on_paper and plan is not None else None
    told: list[tuple[int, Said]] = []
    for number, raw in said:
        try:
            if on_paper and not is_stamped(raw):
                told += [(number, one) for one in _read_totals(raw, totals)]
            else:
                lines.append(_read(raw, number, plan))
        except _BadLineError as bad:
            problems.append(
                Problem(file=shown, line=number, what=bad.what, right=bad.right)
            )
    problems += _out_of_order(lines, shown)
    if on_paper and (told or not problems):
        lines = _woven(lines, told)
        problems += () if problems else _go_problems(lines, shown)
        return Tally(lines=tuple(lines), on_paper=True, problems=_sorted(problems))
    if not lines and not problems:
        problems.append(
            Problem(
                file=shown,
                line=1,
                what="nothing is tallied here",
                right="begin with a line such as: 0:00.0  go",
            )
        )
    elif not problems:
        # A bad line may be the very go that seems to be missing.
        problems += _go_problems(lines, shown)
    if problems:
        raise InputError(_sorted(problems))
    return Tally(lines=tuple(lines))


def _sorted(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    return tuple(sorted(problems, key=lambda problem: problem.line))


def _read_totals(raw: str, totals: Totals | None) -> list[Said]:
    if totals is None:
        raise _BadLineError("totals are of a workout, and none is known here", "")
    try:
        return totals.line(raw)
    except LineError as wrong:
        right = wrong.right if isinstance(wrong, NoTotalsError) else ""
        raise _BadLineError(str(wrong), right) from wrong


def _woven(
    stamped: Sequence[TallyLine], told: Sequence[tuple[int, Said]]
) -> list[TallyLine]:
    """Totals among the lines with a time: go, what has none, the times, who signed.

    Go goes without saying.
    """
    opening = [line for line in stamped if line.at <= 0]
    if not any(isinstance(line.act, Go) for line in stamped):
        go = Go(boot="", boot_ms=0, zero_ms=0)
        opening.append(TallyLine(line=1, at=0, act=go))
    lines = [TallyLine(line=n, at=one.at or 0, act=one.act) for n, one in told]
    signed = [line for line in lines if isinstance(line.act, Accept)]
    untimed = [x for x in lines if isinstance(x.act, WriteSet | WriteNoReps)]
    times = [line for line in lines if isinstance(line.act, PaperTime)]
    later = [*times, *(line for line in stamped if line.at > 0)]
    later.sort(key=lambda line: line.at)
    last = later[-1].at if later else 0
    return [*opening, *untimed, *later, *(replace(line, at=last) for line in signed)]


class _BadLineError(Exception):
    def __init__(self, what: str, right: str) -> None:
        self.what = what
        self.right = right
        super().__init__(what)


def _said(text: str) -> Iterator[tuple[int, str]]:
    whole = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    for number, raw in enumerate(whole.split("\n"), 1):
        line = raw.strip()
        if line and not line.startswith("#"):
            yield number, line


def _read(raw: str, number: int, plan: Plan | None) -> TallyLine:
    stamp, *tail = raw.split(maxsplit=1)
    stamp = clean(stamp)
    try:
        at = moment(stamp)
    except LineError as wrong:
        raise _BadLineError(
            f"the line should begin with a time: {wrong}",
            "write the heat time first, as in: 0:02.4  rep",
        ) from wrong
    reader = Reader(tail[0] if tail else "", at, plan)
    form = _form(reader)
    try:
        act = form.read(reader)
        _nothing_left(reader)
        _not_before_zero(at, act)
    except LineError as wrong:
        right = f"write {form.shape}, as in: {stamp}  {form.example}"
        if " #" in raw:
            right = "a comment needs a line of its own"
        raise _BadLineError(f"{form.keyword}: {wrong}", right) from wrong
    return TallyLine(line=number, at=at, act=act)


def _form(reader: Reader) -> Form:
    word = reader.word().lower()
    if word == "rule":
        word = f"rule {reader.word().lower()}".strip()
    form = _FORMS.get(word)
    if form is not None:
        return form
    if not word:
        raise _BadLineError(
            "the line ends after its time", "say what happened, such as: rep"
        )
    group = [key for key in _FORMS if key.startswith("rule ")]
    known = group if word.startswith("rule") else list(_FORMS)
    near = get_close_matches(word, known, n=1)
    hint = f'did you mean "{near[0]}"?' if near else f"known are: {', '.join(known)}"
    raise _BadLineError(f"{quoted(word)} is not a word of a tally", hint)


def _nothing_left(reader: Reader) -> None:
    more = reader.rest()
    if more:
        raise LineError(f"{quoted(more)} is too much")


def _not_before_zero(at: int, act: Act) -> None:
    if at < 0 and isinstance(act, _COUNTED):
        raise LineError("nothing counts before 0:00; a rep made there is: early")
    if at > 0 and isinstance(act, Go) and not act.offset_ms:
        raise LineError("times count from go, at 0:00; a later start says by how much")


def _out_of_order(lines: Sequence[TallyLine], shown: str) -> Iterator[Problem]:
    for before, line in pairwise(lines):
        act = before.act
        so_far = act.shows_ms if isinstance(act, WallSet) else before.at
        if line.at < so_far:
            yield Problem(
                file=shown,
                line=line.line,
                what=f"{time_text(line.at)} comes after {time_text(so_far)}"
                f" of line {before.line}",
                right="times never go back; put the lines in order, or mend the time",
            )


def _go_problems(lines: Sequence[TallyLine], shown: str) -> Iterator[Problem]:
    gone: TallyLine | None = None
    for line in lines:
        if isinstance(line.act, Go):
            if gone is not None and not line.act.offset_ms:
                yield Problem(
                    file=shown,
                    line=line.line,
                    what=f"go stands in line {gone.line} already",
                    right="a second run has a tally of its own",
                )
            gone = gone or line
    first = next((line for line in lines if isinstance(line.act, _AFTER_GO)), None)
    if first is not None and (gone is None or first.line < gone.line):
        yield Problem(
            file=shown,
            line=first.line,
            what="nothing can be judged before go",
            right="put a line before it: 0:00.0  go",
        )
