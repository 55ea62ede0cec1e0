"""Lines of results told after class: "Ana 7:41", "Bo 5+8 with ring row"."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.files.cleaning import clean
from judgekit.files.resulttext import FORMS
from judgekit.files.tally_words import LineError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

_LONGEST = 300
_RESULT = r"\d+:[\d:.]+|\d+ ?\+ ?\d+|\d+(?:\.\d+)? ?[a-z]+|\d+"
_LINE = re.compile(
    rf"(?P<who>.+?)[:,]? +(?P<result>{_RESULT})", re.ASCII | re.IGNORECASE
)
_WITH = re.compile(r"(?P<rest>.+?) with (?P<instead>.+)", re.IGNORECASE)
_AND = re.compile(r" and |, ?", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultLine:
    """Who, the result as it was told, and what was done instead of what is written."""

    text: str
    who: str
    result: str
    instead: tuple[str, ...] = ()


def said_lines(raw: Iterable[str]) -> Iterator[tuple[int, str]]:
    """The lines that say something, with their numbers; # begins a remark."""
    for number, text in enumerate(raw, 1):
        line = clean(text, _LONGEST)
        if line and not line.startswith("#"):
            yield number, line


def read_line(text: str) -> ResultLine:
    """One line; LineError says what it lacks."""
    parted = _WITH.fullmatch(text)
    rest = parted["rest"] if parted else text
    instead = _AND.split(parted["instead"]) if parted else []
    found = _LINE.fullmatch(rest)
    if not found:
        raise LineError(f"there is no result; write a name and then {FORMS}")
    return ResultLine(
        text=text,
        who=found["who"],
        result=found["result"],
        instead=tuple(word.strip() for word in instead if word.strip()),
    )
