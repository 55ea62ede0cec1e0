"""The kinds of value that cards and workouts hold: ids, texts, keys, measures.

Each refuses what cannot be meant and says so for a coach; text comes out clean.
A message's part after "; " says what would be right.
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from typing import Annotated, TypeVar

from pydantic import AfterValidator, Field, PlainValidator

from judgekit.core import quantity
from judgekit.core.card import RESERVED_KEYS
from judgekit.core.quantity import Quantity
from judgekit.files.cleaning import clean
from judgekit.files.wording import kind_of, quoted

T = TypeVar("T")

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_PART_ID = re.compile(r"[A-Za-z0-9]+(?:-[A-Za-z0-9]+)*")
_ID_LIMIT = 60
_CALL_LIMIT = 16
_TWO_WORDS = 2
_THREE_CUES = 3
# A finger's breadth from STOP, or STOP itself, said more exactly than the core's table.
_BY_STOP = {"0": "STOP", "9": "beside STOP"}
_SOURCE = ("body", "title", "edition", "section")
_DAY_MS = 24 * 60 * 60 * 1000
_TALLEST_M = 20
_HEAVIEST_KG = 1000


def _id(text: str) -> str:
    if not _ID.fullmatch(text) or len(text) > _ID_LIMIT:
        raise ValueError(
            f"is {quoted(text)}; ids are small letters and digits with single "
            'hyphens between, such as "wall-ball-shot"'
        )
    return text


def _part_id(text: str) -> str:
    if not _PART_ID.fullmatch(text) or len(text) > _CALL_LIMIT:
        raise ValueError(f'is {quoted(text)}; write a letter or a short word, "A"')
    return text


def _text_up_to(limit: int) -> AfterValidator:
    def check(text: str) -> str:
        cleaned = clean(text, limit)
        if not cleaned:
            raise ValueError("is empty; write some words")
        if cleaned != clean(text, limit + 1):
            raise ValueError(f"is too long; at most {limit} letters fit")
        return cleaned

    return AfterValidator(check)


def _call(text: str) -> str:
    call = clean(text, _CALL_LIMIT + 1)
    if (
        not 1 <= len(call.split()) <= _TWO_WORDS
        or call != call.upper()
        or not any(char.isalpha() for char in call)
        or len(call) > _CALL_LIMIT
    ):
        raise ValueError(
            f'is {quoted(text)}; one or two short words in capitals, such as "DEPTH"'
        )
    return call


def _key(text: str) -> str:
    key = unicodedata.normalize("NFC", text).casefold()
    named = quoted(text)
    use = _BY_STOP.get(key) or RESERVED_KEYS.get("space" if key == " " else key)
    if use:
        raise ValueError(f"is {named}, which is taken: {use}; choose another letter")
    if len(key) != 1 or not (key.isprintable() and clean(key) == key):
        raise ValueError(f'is {named}; one letter is needed, such as "d"')
    return key


def length_of(value: object) -> Quantity:
    """A length from a file, at most 20 m; ValueError otherwise."""
    return _measured(value, "length", '"10 ft" or "2.3 m"', _TALLEST_M)


def mass_of(value: object) -> Quantity:
    """A mass from a file, at most 1000 kg; ValueError otherwise."""
    return _measured(value, "mass", '"70 kg" or "155 lb"', _HEAVIEST_KG)


def _measured(
    value: object, dimension: quantity.Dimension, such_as: str, most: int
) -> Quantity:
    if not isinstance(value, str):
        raise ValueError(  # noqa: TRY004 pydantic reads ValueError alone
            f"is {kind_of(value)}; write it in quotes with its unit, such as {such_as}"
        )
    found = quantity.parse_as(clean(value), dimension)
    if found.amount > Fraction(most):
        raise ValueError(f"is {quoted(value)}, too much to be meant; check the unit")
    return found


def duration_of(value: object) -> int:
    """A time from a file in whole ms, above zero and below a day; else ValueError."""
    such_as = 'write it in quotes, such as "4:30" or "1.2 s"'
    if not isinstance(value, str):
        raise ValueError(f"is {kind_of(value)}; {such_as}")  # noqa: TRY004 as above
    if "," in value:
        raise ValueError(
            f"{quoted(value)} has a comma; write decimals with a full stop"
        )
    ms = quantity.parse_duration(clean(value))
    if not 0 < ms < _DAY_MS:
        raise ValueError(f"is {quoted(value)}; it must be above zero and below a day")
    return ms


def _source(value: object) -> str:
    """A source in words, or a table of body, title, edition and section."""
    fields = value if isinstance(value, dict) else {"title": value}
    if not all(
        key in _SOURCE and isinstance(text, str) for key, text in fields.items()
    ):
        raise ValueError(
            "is no source; write it in quotes, or as a table of body, title, edition "
            "and section"
        )
    words = ", ".join(
        filter(None, (clean(str(fields.get(key, ""))) for key in _SOURCE))
    )
    if not words:
        raise ValueError('is empty; say where the standard is from, "common practice"')
    return clean(words, 300)


def _three(cues: list[str]) -> list[str]:
    if len(cues) != _THREE_CUES:
        raise ValueError(f"has {len(cues)}; exactly three are needed")
    return cues


def different(items: list[T]) -> list[T]:
    """The items themselves; ValueError if one is named twice."""
    twice = [item for at, item in enumerate(items) if item in items[:at]]
    if twice:
        raise ValueError(f"names {quoted(twice[0])} twice; keep one of them")
    return items


Id = Annotated[str, AfterValidator(_id)]
PartId = Annotated[str, AfterValidator(_part_id)]
Short = Annotated[str, _text_up_to(60)]
Text = Annotated[str, _text_up_to(200)]
Long = Annotated[str, _text_up_to(600)]
Revision = Annotated[int, Field(ge=1, le=100_000)]
Length = Annotated[Quantity, PlainValidator(length_of)]
Duration = Annotated[int, PlainValidator(duration_of)]
Key = Annotated[str, AfterValidator(_key)]
Call = Annotated[str, AfterValidator(_call)]
Cues = Annotated[list[Text], AfterValidator(_three)]
Source = Annotated[str, PlainValidator(_source)]
