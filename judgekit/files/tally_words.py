"""The words of one tally line, read from the left."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Literal, NoReturn, TypeVar

from judgekit.core.plan import Plan, SetKey
from judgekit.core.press import Act
from judgekit.core.quantity import parse_duration
from judgekit.core.values import dataclass
from judgekit.files.cleaning import clean, quoted

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*", re.ASCII)
MANY = re.compile(r"x([1-9]\d{0,3})", re.ASCII | re.IGNORECASE)
_NUMBER = re.compile(r"\d{1,6}", re.ASCII)
_SIGNED = re.compile(r"[+-][1-9]\d{0,3}", re.ASCII)
SET = re.compile(r"([\w-]+)\.([1-9]\d{0,3})\.([1-9]\d{0,3})", re.ASCII)
_VALUE = re.compile(r'"((?:[^"\\]|\\.)*)"(?!\S)|([^"\s]\S*)')
_LONGEST_ID = 60
_LONGEST_TIME = 20

T = TypeVar("T")
Reads = Callable[["Reader"], Act]


class LineError(ValueError):
    """What is wrong with one line, in words for whoever wrote it."""


class Reader:
    """The words of one line, taken from the left; `at` is the line's time in ms."""

    def __init__(self, text: str, at: int = 0, plan: Plan | None = None) -> None:
        self._left = clean(text, limit=len(text))
        self.at = at
        self.plan = plan

    def word(self) -> str:
        """The next word, or nothing at the line's end."""
        word, _, self._left = self._left.partition(" ")
        return word

    def peek(self) -> str:
        """The next word, left where it is."""
        return self._left.partition(" ")[0]

    def opens(self, text: str) -> bool:
        """Whether what is left begins so."""
        return self._left.casefold().startswith(text)

    def value(self, what: str) -> str:
        """The next word, or the next words in double quotes."""
        found = _VALUE.match(self._left)
        if not found:
            if not self._left:
                raise LineError(f"{what} is missing")
            raise LineError(f"{what}: a quotation mark is not closed")
        self._left = self._left[found.end() :].lstrip()
        if found[2] is not None:
            return found[2]
        return re.sub(r"\\(.)", r"\1", found[1])

    def taken(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """What is left begins so, and is taken off; None where it does not."""
        found = pattern.match(self._left)
        if found:
            self._left = self._left[found.end() :]
        return found

    def rest(self) -> str:
        """Everything up to the line's end."""
        rest, self._left = self._left, ""
        return clean(rest, limit=len(rest))

    def text(self, what: str) -> str:
        """Everything up to the line's end, which must be something."""
        return self.rest() or missing(what)


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """How one kind of line is written, what it means, and one example without time.

    `kind` is the kind of entry that such a line becomes.
    """

    keyword: str
    shape: str
    means: str
    example: str
    kind: str
    read: Reads


def form(
    shape: str,
    means: str,
    example: str,
    read: Reads,
    *,
    kind: str = "",
    words: Literal[1, 2] = 1,
) -> Form:
    """A form whose keyword is the first word, or two, of its shape."""
    keyword = " ".join(shape.split()[:words])
    return Form(
        keyword=keyword,
        shape=shape,
        means=means,
        example=example,
        kind=kind or keyword,
        read=read,
    )


def moment(text: str) -> int:
    """Whole ms of a heat time such as "7:41.2"; a leading minus is before zero."""
    sign = -1 if text.startswith("-") else 1
    return sign * length(text.removeprefix("-"))


def length(text: str) -> int:
    """Whole ms of a length of time such as "0:40"."""
    if ":" not in text:
        raise LineError(f'{quoted(text)} is not a time such as "7:41.2"')
    if len(text) > _LONGEST_TIME:
        raise LineError(f"{quoted(text)} is too long for a time")
    try:
        return parse_duration(text)
    except ValueError as error:
        raise LineError(str(error)) from error


def missing(what: str) -> NoReturn:
    raise LineError(f"{what} is missing")


def moment_of(r: Reader, what: str) -> int:
    return moment(r.word() or missing(what))


def moment_if_any(r: Reader) -> int | None:
    return moment(r.word()) if r.peek() else None


def moved_by(r: Reader) -> int:
    word = r.word() or missing("the time with + or -")
    if word[0] not in "+-":
        raise LineError(f"{quoted(word)} needs + or - before it")
    return length(word[1:]) * (-1 if word[0] == "-" else 1)


def length_of(r: Reader, what: str) -> int:
    return length(r.word() or missing(what))


def number(r: Reader, what: str) -> int:
    word = r.word() or missing(what)
    if not _NUMBER.fullmatch(word):
        raise LineError(f"{what}: {quoted(word)} is not a whole number")
    return int(word)


def signed(r: Reader, what: str) -> int:
    word = r.word() or missing(what)
    if not _SIGNED.fullmatch(word):
        raise LineError(f"{what}: {quoted(word)} is not a number with + or - before it")
    return int(word)


def many(word: str) -> int:
    found = MANY.fullmatch(word)
    if not found:
        raise LineError(f"{quoted(word)} does not say how many")
    return int(found[1])


def fault(word: str) -> str:
    return id_of(word, "a fault")


def id_of(word: str, what: str) -> str:
    """The id of a fault or card, in small letters."""
    if len(word) > _LONGEST_ID or not _ID.fullmatch(word.lower()):
        raise LineError(f"{quoted(word)} is not the id of {what}")
    return word.lower()


def one_fault(r: Reader) -> str:
    return fault(r.word() or missing("the fault"))


def one_of(r: Reader, known: Mapping[str, T], what: str) -> T:
    word = r.word() or missing(what)
    if word.lower() not in known:
        raise LineError(f"{what}: {quoted(word)} is none of {', '.join(known)}")
    return known[word.lower()]


def flag(r: Reader, word: str) -> bool:
    """Whether that one word follows."""
    if r.peek().lower() != word:
        return False
    r.word()
    return True


def set_of(r: Reader) -> SetKey:
    word = r.word() or missing("the set")
    found = SET.fullmatch(word)
    if not found:
        raise LineError(f"{quoted(word)} is not a set")
    return SetKey(part_of(found[1], r.plan), int(found[2]), int(found[3]))


def part_of(name: str, plan: Plan | None) -> int:
    """A part's number: digits are its place, anything else its id in the workout."""
    if _NUMBER.fullmatch(name) and int(name):
        return int(name)
    parts = plan.parts if plan is not None else ()
    for place, part in enumerate(parts, 1):
        if part.id.casefold() == name.casefold():
            return place
    known = ", ".join(part.id for part in parts if part.id) or "numbers from 1 only"
    raise LineError(f"there is no part {quoted(name)}; the parts are {known}")
