"""Dataclasses to plain JSON values and back, strictly; types are read once.

A value that does not have exactly the shape of its type is refused: true is not a
number, a missing or unknown key is an error, and nothing is ever guessed.
"""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import cache
from types import NoneType, UnionType
from typing import (
    TYPE_CHECKING,
    Any,
    Literal,
    TypeVar,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

from judgekit.core.errors import BookError
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable

T = TypeVar("T")

# Whole numbers that every JSON reader keeps exactly (RFC 8259, section 6).
LARGEST = 2**53 - 1
_SHOWN = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """How values of one type become plain JSON values, and how they come back.

    `decode` raises BookError, saying what stands where what should stand.
    """

    encode: Callable[[Any], Any]
    decode: Callable[[object], Any]


@cache
def shape_of(hint: Hashable) -> Shape:
    """The shape of a type: int, str, bool, literals, tuples, dataclasses, unions.

    A union of dataclasses is stored as [name, body], named by the class's own
    `kind` or `effect`. Raises TypeError for any other type.
    """
    if hint in _LEAVES:
        return _LEAVES[hint]
    origin = get_origin(hint)
    if origin is Literal:
        return _words(get_args(hint))
    if origin is tuple:
        return _many(hint)
    if origin in (Union, UnionType):
        return _either(tuple(a for a in get_args(hint) if a is not NoneType), hint)
    if isinstance(hint, type) and issubclass(hint, tuple):
        return _fixed(hint._make, tuple(get_type_hints(hint).values()))  # type: ignore[attr-defined]
    if isinstance(hint, type) and is_dataclass(hint):
        return _record(hint)
    raise TypeError(f"{hint} has no stored shape")


def tag_of(kind: type) -> str:
    """The stored name of a class: its `kind`, or a ruling's `effect`."""
    tag = vars(kind).get("kind", vars(kind).get("effect"))
    if not isinstance(tag, str):
        raise TypeError(f"{kind.__name__} has no stored name")
    return tag


def maker_of(kind: type[T]) -> Callable[..., list[T]]:
    """What makes many values of a slotted dataclass from one column for each field.

    Its own constructor costs three times as much, and logs are long. The first
    column may have no end; the others are as long as the last.
    """
    fill = tuple(vars(kind)[field.name].__set__ for field in fields(kind))  # type: ignore[arg-type]

    def make(*columns: Iterable[object]) -> list[T]:
        made = [object.__new__(kind) for _ in columns[-1]]
        for one, column in zip(fill, columns, strict=True):
            deque(map(one, made, column), maxlen=0)
        return made

    return make


def _misfit(value: object, wanted: str) -> BookError:
    text = json.dumps(value, default=str)
    short = text if len(text) <= _SHOWN else f"{text[:_SHOWN]}..."
    return BookError(f"{short} stands where {wanted} belongs")


def _same(value: object) -> object:
    return value


def _whole(value: object) -> int:
    if type(value) is int and -LARGEST <= value <= LARGEST:
        return value
    raise _misfit(value, "a whole number")


def _text(value: object) -> str:
    if type(value) is str:
        return value
    raise _misfit(value, "a text")


def _flag(value: object) -> bool:
    if type(value) is bool:
        return value
    raise _misfit(value, "true or false")


_LEAVES: dict[Hashable, Shape] = {
    int: Shape(encode=_same, decode=_whole),
    str: Shape(encode=_same, decode=_text),
    bool: Shape(encode=_same, decode=_flag),
}


def _words(words: tuple[str, ...]) -> Shape:
    known = frozenset(words)

    def decode(value: object) -> str:
        if type(value) is str and value in known:
            return value
        raise _misfit(value, f"one of {', '.join(words)}")

    return Shape(encode=_same, decode=decode)


def _many(hint: Hashable) -> Shape:
    kinds = get_args(hint)
    if kinds[-1] is not Ellipsis:
        return _fixed(tuple, kinds)
    item = shape_of(kinds[0])
    encode_one, decode_one = item.encode, item.decode

    def encode(value: Any) -> object:  # noqa: ANN401 - the shape checks it
        return [encode_one(one) for one in value]

    def decode(value: object) -> tuple[object, ...]:
        if type(value) is not list:
            raise _misfit(value, "a list")
        return tuple([decode_one(one) for one in value])

    return Shape(encode=encode, decode=decode)


def _fixed(make: Callable[[list[object]], Any], kinds: tuple[Hashable, ...]) -> Shape:
    shapes = tuple(shape_of(kind) for kind in kinds)
    encoders = tuple(shape.encode for shape in shapes)
    decoders = tuple(shape.decode for shape in shapes)
    length = len(kinds)

    def encode(value: Any) -> object:  # noqa: ANN401 - the shape checks it
        return [one(part) for one, part in zip(encoders, value, strict=True)]

    def decode(value: object) -> object:
        if type(value) is not list or len(value) != length:
            raise _misfit(value, f"a list of {length}")
        return make([one(part) for one, part in zip(decoders, value)])  # noqa: B905 - as long as each other, and called for each entry

    return Shape(encode=encode, decode=decode)


def _either(kinds: tuple[type, ...], hint: Hashable) -> Shape:
    inner = _tagged(kinds) if len(kinds) > 1 else shape_of(kinds[0])
    if NoneType not in get_args(hint):
        return inner
    encode_inner, decode_inner = inner.encode, inner.decode
    return Shape(
        encode=lambda value: None if value is None else encode_inner(value),
        decode=lambda value: None if value is None else decode_inner(value),
    )


def _tagged(kinds: tuple[type, ...]) -> Shape:
    names = {kind: (tag_of(kind), shape_of(kind).encode) for kind in kinds}
    decoders = {tag_of(kind): shape_of(kind).decode for kind in kinds}

    def encode(value: object) -> object:
        found = names.get(type(value))
        if found is None:
            raise BookError(f"{type(value).__name__} is nothing that a log holds")
        return [found[0], found[1](value)]

    def decode(value: object) -> object:
        if type(value) is not list or len(value) != 2 or type(value[0]) is not str:  # noqa: PLR2004 - a name and a body
            raise _misfit(value, "a name and its body")
        decoder = decoders.get(value[0])
        if decoder is None:
            raise BookError(f'"{value[0]}" is no kind that this version knows')
        try:
            return decoder(value[1])
        except BookError as error:
            raise BookError(f"{value[0]}: {error}") from error

    return Shape(encode=encode, decode=decode)


def _record(kind: type) -> Shape:
    hints = get_type_hints(kind)
    names = tuple(field.name for field in fields(kind))
    shapes = {name: shape_of(hints[name]) for name in names}
    encoders = tuple((name, shape.encode) for name, shape in shapes.items())
    decoders = tuple((name, shape.decode) for name, shape in shapes.items())
    wanted = frozenset(names)

    def encode(value: object) -> object:
        if type(value) is not kind:
            raise BookError(f"{value!r} is not a {kind.__name__}")
        return {name: one(getattr(value, name)) for name, one in encoders}

    def decode(value: object) -> object:
        if type(value) is not dict or value.keys() != wanted:
            raise _wrong_keys(value, wanted)
        built: dict[str, object] = {}
        for name, one in decoders:
            try:
                built[name] = one(value[name])
            except BookError as error:
                raise BookError(f'"{name}": {error}') from error
        return kind(**built)

    return Shape(encode=encode, decode=decode)


def _wrong_keys(value: object, wanted: frozenset[str]) -> BookError:
    if not isinstance(value, dict):
        return _misfit(value, "a table")
    missing = [f'"{key}" is missing' for key in sorted(wanted - value.keys())]
    unknown = [f'"{key}" is unknown' for key in sorted(value.keys() - wanted)]
    return BookError(", ".join([*missing, *unknown]))
