"""Entries and plans as canonical bytes, and back.

Canonical means: JSON in UTF-8, keys sorted, no blanks, whole numbers and texts only;
the same value always gives the same bytes, so that they can be hashed. An entry is
the array [number, lane, at, wall, who, set, kind, body]; its book is not repeated in
it. Names on disk are our own words, never those of classes or modules.
"""

from __future__ import annotations

import hashlib
import json

from judgekit.core.entry import Body, Entry
from judgekit.core.errors import BookError
from judgekit.core.plan import Plan, SetKey
from judgekit.store.shape import shape_of

_WHOLE = shape_of(int).decode
_TEXT = shape_of(str).decode
_MAYBE_WHOLE = shape_of(int | None).decode
_MAYBE_SET = shape_of(SetKey | None)
_SET = _MAYBE_SET.decode
_BODY = shape_of(Body)
_BODY_DECODE = _BODY.decode
_PLAN = shape_of(Plan)
_FIELDS = 8
_READ = json.JSONDecoder().decode


def canonical(value: object) -> bytes:
    """The canonical bytes of a plain JSON value; BookError for what JSON cannot say."""
    try:
        return json.dumps(
            value,
            ensure_ascii=False,
            sort_keys=True,
            separators=(",", ":"),
            allow_nan=False,
        ).encode()
    except UnicodeEncodeError as error:
        raise BookError("a text holds half a character and cannot be kept") from error
    except (TypeError, ValueError, RecursionError) as error:
        raise BookError(f"a value cannot be kept: {error}") from error


def parsed(data: bytes) -> object:
    """The plain JSON value of stored bytes; BookError if they are damaged."""
    try:
        value: object = _READ(data.decode())
    except (ValueError, RecursionError) as error:
        raise BookError("its bytes are damaged") from error
    return value


def encode_entry(entry: Entry) -> bytes:
    """The stored bytes of an entry; BookError if they would not read back equal."""
    try:
        data = canonical(
            [
                entry.number,
                entry.lane,
                entry.at,
                entry.wall,
                entry.who,
                _MAYBE_SET.encode(entry.set),
                *_BODY.encode(entry.body),
            ]
        )
    except (TypeError, ValueError) as error:
        raise BookError(f"entry {entry.number} cannot be stored: {error}") from error
    if decode_entry(entry.book, data) != entry:
        raise BookError(f"entry {entry.number} would not read back as it was")
    return data


def decode_entry(book: str, data: bytes) -> Entry:
    """The entry of a book that was stored as `data`; BookError if it is damaged."""
    row = parsed(data)
    if type(row) is not list or len(row) != _FIELDS:
        raise BookError("its bytes are no entry")
    number, lane, at, wall, who, key, kind, body = row
    return Entry(
        book=book,
        number=_WHOLE(number),
        lane=_MAYBE_WHOLE(lane),
        at=_MAYBE_WHOLE(at),
        wall=_WHOLE(wall),
        who=_TEXT(who),
        set=_SET(key),
        body=_BODY_DECODE([kind, body]),
    )


def encode_plan(plan: Plan) -> bytes:
    """The stored bytes of a plan; BookError if they would not read back equal."""
    try:
        data = canonical(_PLAN.encode(plan))
    except (TypeError, ValueError) as error:
        raise BookError(f"the plan cannot be stored: {error}") from error
    if decode_plan(data) != plan:
        raise BookError("the plan would not read back as it was")
    return data


def decode_plan(data: bytes) -> Plan:
    """The plan that was stored as `data`; BookError if it is damaged."""
    plan: Plan = _PLAN.decode(parsed(data))
    return plan


def plan_hash(data: bytes) -> str:
    """What names a stored plan: the SHA-256 of its bytes, in hex."""
    return hashlib.sha256(data).hexdigest()
