"""Entries and plans as canonical bytes, and back.

Canonical means: JSON in UTF-8, keys sorted, no blanks, whole numbers and texts only;
the same value always gives the same bytes, so that they can be hashed. An entry is
the array [number, lane, at, wall, who, set, kind, body]; its book is not repeated in
it. Names on disk are our own words, never those of classes or modules.
"""

from __future__ import annotations

import hashlib
import json
from itertools import repeat
from typing import TYPE_CHECKING, Annotated, Any, TypeVar, get_type_hints

import msgspec

from judgekit.core.entry import Body, Entry
from judgekit.core.errors import BookError
from judgekit.core.plan import Plan, SetKey
from judgekit.store.shape import LARGEST, maker_of, shape_of

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Sequence

T = TypeVar("T")

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
# What comes before each of the two texts of a row, the judge and the kind.
_TEXTS = b',"'
_KEPT = 20_000
# Cards are long, and few.
_PLANS_KEPT = 200
_Whole = Annotated[int, msgspec.Meta(ge=-LARGEST, le=LARGEST)]
_Head = tuple[_Whole, _Whole | None, _Whole | None, _Whole]
_Tail = tuple[str, SetKey | None, Body]
_HEAD = msgspec.json.Decoder(_Head)
_HEADS = msgspec.json.Decoder(list[_Head])
_WRITE = msgspec.json.Encoder(order="sorted").encode
_MAKE = maker_of(Entry)
# What reading bytes that are no entry may end in.
_DOUBT = (TypeError, ValueError, msgspec.MsgspecError, BookError)


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
    return _at_once(entry) or _by_shape(entry)


def _at_once(entry: Entry) -> bytes | None:
    """The same bytes in one go, proved as `decode_many` proves; None where in doubt.

    Somebody waits for it at each press, and a ruling alone is beyond it.
    """
    body = entry.body
    head = entry.number, entry.lane, entry.at, entry.wall
    tail = entry.who, entry.set, body
    try:
        data = _WRITE((*head, entry.who, entry.set, body.kind, body))
        start, _, end = data.partition(_TEXTS)
        if _HEAD.decode(start + b"]") == head and _TAILS[end] == tail:
            return data
    except (*_DOUBT, AttributeError, RecursionError):
        pass
    return None


def _by_shape(entry: Entry) -> bytes:
    """Value by value, saying what cannot be kept."""
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


def decode_many(book: str, stored: Sequence[bytes]) -> list[Entry] | None:
    """The entries of many rows at once, or None where any needs a closer look.

    What comes back is what `decode_entry` gives, at a fraction of its time: numbers
    are read in one go, and what rows have in common (judge, set, body) is read once.
    """
    proved = _proved(stored)
    if proved is None:
        return None
    heads, tails = proved
    return _MAKE(repeat(book), *zip(*heads, strict=True), *zip(*tails, strict=True))


def bodies_of(first: int, stored: Sequence[bytes]) -> list[Body] | None:
    """The bodies of rows numbered on from `first`, or None as `decode_many` gives it.

    All of each row is proved, but no entry is made of it.
    """
    proved = _proved(stored)
    if proved is None:
        return None
    heads, tails = proved
    if [head[0] for head in heads] != [*range(first, first + len(stored))]:
        return None
    return [tail[2] for tail in tails]


def _proved(
    stored: Sequence[bytes],
) -> tuple[Sequence[_Head], Sequence[_Tail]] | None:
    """What each row holds, or None where any is not surely an entry."""
    try:
        heads, _, ends = zip(*[data.partition(_TEXTS) for data in stored], strict=True)
        # Each row's text up to its first text value is one array of four numbers.
        # Whatever a damaged one holds, its bracket closes at least one such array,
        # so as many arrays as rows are one from each.
        joined = _HEADS.decode(b"[%b]]" % b"],".join(heads))
        tails = list(map(_TAILS.__getitem__, ends))
    except _DOUBT:
        return None
    return (joined, tails) if len(joined) == len(stored) else None


class _Read(dict[bytes, T]):
    """Stored fragments and their values; facts are frozen, so equal ones are one."""

    def __init__(self, read: Callable[[bytes], T], most: int = _KEPT) -> None:
        super().__init__()
        self._read = read
        self._most = most

    def __missing__(self, fragment: bytes) -> T:
        if len(self) >= self._most:
            self.clear()
        value = self[fragment] = self._read(fragment)
        return value


def _tail(tail: bytes) -> _Tail:
    middle, _, end = tail.partition(_TEXTS)
    return *_MIDDLES[middle], _ENDS[end]


def _pair(data: bytes) -> tuple[object, object]:
    pair = parsed(data)
    if type(pair) is not list or len(pair) != 2:  # noqa: PLR2004 - a pair
        raise BookError("its bytes are no entry")
    return pair[0], pair[1]


def _who_and_set(middle: bytes) -> tuple[str, SetKey | None]:
    who, key = _pair(b'["%b]' % middle)
    return _TEXT(who), _SET(key)


def _body(end: bytes) -> Body:
    kind, body = _pair(b'["%b' % end)
    value: Body = _BODY_DECODE([kind, body])
    return value


_MIDDLES = _Read(_who_and_set)
_ENDS = _Read(_body)
_TAILS = _Read(_tail)


def _field(hint: Hashable) -> _Read[Any]:
    decode = shape_of(hint).decode
    return _Read(lambda fragment: decode(parsed(fragment)), _PLANS_KEPT)


_RAW_FIELDS = msgspec.json.Decoder(dict[str, msgspec.Raw])
_PLAN_FIELDS = {name: _field(hint) for name, hint in get_type_hints(Plan).items()}


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
    plan: Plan = _by_field(data) or _PLAN.decode(parsed(data))
    return plan


def _by_field(data: bytes) -> Plan | None:
    """The same, reading what the lanes of a day share once; None where in doubt.

    Each field is read as it is in a whole plan, and of all of them this one is made.
    """
    try:
        fields = _RAW_FIELDS.decode(data)
        if fields.keys() != _PLAN_FIELDS.keys():
            return None
        return Plan(
            **{name: _PLAN_FIELDS[name][bytes(raw)] for name, raw in fields.items()}
        )
    except (*_DOUBT, RecursionError):
        return None


def plan_hash(data: bytes) -> str:
    """What names a stored plan: the SHA-256 of its bytes, in hex."""
    return hashlib.sha256(data).hexdigest()
