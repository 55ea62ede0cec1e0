"""What a validator or parser says, in words for a coach: no jargon, no addresses."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime, time
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, get_args

import pydantic

from judgekit.files import cleaning
from judgekit.files.cleaning import clean

if TYPE_CHECKING:
    from collections.abc import Iterable

    from pydantic_core import ErrorDetails

_NAME_LIMIT = 40

_Texts = tuple[str, str]
_Saying = Callable[[object, Mapping[str, Any]], _Texts]


def quoted(value: object) -> str:
    """Something from a file in double quotes, made safe and short."""
    return cleaning.quoted(str(value))


def dotted(path: Sequence[str | int]) -> str:
    """The names of a path joined with dots, as TOML writes them."""
    return ".".join(clean(e, _NAME_LIMIT) for e in path if isinstance(e, str))


def listed(values: Iterable[object]) -> str:
    """Values in double quotes, parted by commas."""
    return ", ".join(quoted(value) for value in values)


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word most like this one, or an empty text."""
    close = get_close_matches(word.casefold(), list(known), n=1, cutoff=0.6)
    return close[0] if close else ""


def one_of(word: object, known: Iterable[str]) -> str:
    """Advice that names the nearest known word, else all of them."""
    words = list(known)
    near = nearest(word, words) if isinstance(word, str) else ""
    return f"did you mean {quoted(near)}?" if near else f"known: {listed(words)}"


def kind_of(value: object) -> str:
    """What sort of value a file holds, in words: "text", "a list", ..."""
    # The order matters: true is an int, and a datetime a date, to the language.
    kinds: tuple[tuple[type | tuple[type, ...], str], ...] = (
        (bool, "true or false"),
        (int, "a whole number"),
        (float, "a number that is not whole"),
        (str, "text"),
        (list, "a list"),
        (dict, "a table"),
        ((date, datetime, time), "a date or time without quotes"),
    )
    return next((words for kind, words in kinds if isinstance(value, kind)), "this")


def shown_value(value: object) -> str:
    """A short value as written, else what kind it is."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return quoted(value)
    return str(value) if isinstance(value, int | float) else kind_of(value)


def placed(table: Mapping[str, object], path: Sequence[str | int], what: str) -> str:
    """`what` with its place before it: 'part "A", movement 2: "reps" is missing'.

    The last key of the path is the subject of `what`.
    """
    words = _place_words(table, path)
    if not words:
        return what
    *around, subject = words
    said = f"{subject}: {what}" if what.startswith('"') else f"{subject} {what}"
    return f"{', '.join(around)}: {said}" if around else said


def _place_words(table: Mapping[str, object], path: Sequence[str | int]) -> list[str]:
    node: object = table
    words: list[str] = []
    for at, element in enumerate(path):
        last = at == len(path) - 1
        if isinstance(element, int):
            node = _item(node, element)
            label = _label(node, element)
            words[-1:] = [f"{words[-1].strip(chr(34))} {label}" if words else label]
        else:
            node = node.get(element) if isinstance(node, Mapping) else None
            name = clean(element, _NAME_LIMIT)
            words.append(f'"{name}"' if last else name)
    return words


def _item(node: object, at: int) -> object:
    return node[at] if isinstance(node, list) and at < len(node) else None


def _label(node: object, at: int) -> str:
    name = node.get("id") if isinstance(node, Mapping) else None
    return quoted(name) if isinstance(name, str) else str(at + 1)


def spoken(error: ErrorDetails, model: type[pydantic.BaseModel]) -> _Texts:
    """What is wrong, and what would be right; the key itself is named elsewhere."""
    kind = error["type"]
    if kind == "extra_forbidden":
        key = error["loc"][-1] if error["loc"] else ""
        return "is not a known key here", one_of(key, _keys_at(model, error["loc"]))
    say = _SAID.get(kind)
    if say is None:
        return f"cannot be used: it is {kind_of(error['input'])}", ""
    return say(error["input"], error.get("ctx") or {})


def _needs(wanted: str) -> _Saying:
    def say(given: object, _context: Mapping[str, Any]) -> _Texts:
        if isinstance(given, bool) and "number" in wanted:
            return f"is {shown_value(given)}, which is not a number", f"write {wanted}"
        return f"is {kind_of(given)}", f"write {wanted}"

    return say


def _bounds(words: str, key: str) -> _Saying:
    def say(given: object, context: Mapping[str, Any]) -> _Texts:
        bound = context.get(key, "")
        return f"is {shown_value(given)}", f"it must be {words} {bound}"

    return say


def _literal(given: object, context: Mapping[str, Any]) -> _Texts:
    values = re.findall(r"'([^']*)'", str(context.get("expected", "")))
    return f"is {shown_value(given)}", f"one of {listed(values)}"


def _fixed(what: str, right: str) -> _Saying:
    return lambda _given, _context: (what, right)


def _value_error(_given: object, context: Mapping[str, Any]) -> _Texts:
    what, _, right = str(context.get("error", "cannot be used")).partition("; ")
    return what, right


def _list(given: object, _context: Mapping[str, Any]) -> _Texts:
    if isinstance(given, dict):
        return "is one table", "write it in double brackets, [[...]], above each one"
    return f"is {kind_of(given)}", "write a list in [ ]"


def _too_short(given: object, context: Mapping[str, Any]) -> _Texts:
    least = context.get("min_length", 1)
    if not given:
        return "is empty", "fill it in, or leave the key out if it may be"
    return "is too short", f"it needs at least {least}"


def _too_long(_given: object, context: Mapping[str, Any]) -> _Texts:
    return "is too long", f"at most {context.get('max_length', '')} fit"


_SAID: Mapping[str, _Saying] = {
    "missing": _fixed("is missing", "add it"),
    "int_type": _needs("a whole number"),
    "int_from_float": _needs("a whole number"),
    "float_type": _needs("a number"),
    "bool_type": _needs("true or false"),
    "string_type": _needs("text in quotes"),
    "list_type": _list,
    "dict_type": _needs("a table, { ... } or [...]"),
    "model_type": _needs("a table, { ... } or [...]"),
    "model_attributes_type": _needs("a table, { ... } or [...]"),
    "date_type": _needs("a date such as 2027-05-08, without quotes"),
    "date_from_datetime_inexact": _needs("a date such as 2027-05-08 alone"),
    "finite_number": _fixed("is inf or nan", "write an ordinary number"),
    "greater_than": _bounds("more than", "gt"),
    "greater_than_equal": _bounds("at least", "ge"),
    "less_than": _bounds("less than", "lt"),
    "less_than_equal": _bounds("at most", "le"),
    "literal_error": _literal,
    "value_error": _value_error,
    "string_too_short": _too_short,
    "string_too_long": _too_long,
    "too_short": _too_short,
    "too_long": _too_long,
    "string_pattern_mismatch": lambda given, _context: (
        f"is {shown_value(given)}",
        "write it in the form that the format asks for",
    ),
}


def _keys_at(model: type[pydantic.BaseModel], loc: Sequence[str | int]) -> list[str]:
    """The keys that the table around the last element of a location may hold."""
    types: list[Any] = [model]
    for element in loc[:-1]:
        inner = [t for kind in types for t in _inside(kind, element)]
        types = inner or types
    names: dict[str, None] = {}
    for kind in types:
        if isinstance(kind, type) and issubclass(kind, pydantic.BaseModel):
            names.update((f.alias or n, None) for n, f in kind.model_fields.items())
    return list(names)


def _inside(kind: Any, element: str | int) -> list[Any]:  # noqa: ANN401 any annotation
    """The types a type can hold under a key or a place in a list."""
    if isinstance(kind, type) and issubclass(kind, pydantic.BaseModel):
        for name, field in kind.model_fields.items():
            if element in (name, field.alias):
                return _models_in(field.annotation)
    return []


def _models_in(annotation: Any) -> list[Any]:  # noqa: ANN401 any annotation
    if isinstance(annotation, type) and not get_args(annotation):
        return [annotation]
    return [m for inner in get_args(annotation) for m in _models_in(inner)]


_HINTS: tuple[tuple[re.Pattern[str], str, str], ...] = (
    (
        re.compile(r"(?<![\w.,])[+-]?\d+,\d+"),
        "a decimal comma is not TOML",
        "write decimals with a full stop, 22.5, and with a unit in quotes",
    ),
    (
        re.compile("[\u201c\u201d\u201e\u2018\u2019\u00ab\u00bb]"),
        "the quotation marks here are curly ones",
        'use the straight ones: "',
    ),
    (
        re.compile(r"[=\[,]\s*(?:True|False|TRUE|FALSE|yes|no)\b"),
        "yes or no is written in another way in TOML",
        "write true or false, in small letters",
    ),
    (
        re.compile(r"[=\[,]\s*\d+:\d+"),
        "a time must stand in quotes",
        'write it as "4:30"',
    ),
    (
        re.compile(r"=\s*\d{1,2}[./-]\d{1,2}[./-]\d{4}"),
        "a date starts with the year",
        "write the date as 2026-11-25",
    ),
    (
        re.compile(r"=\s*\d{4}[./-]\d{1,2}[./-]\d{1,2}"),
        "there is no such date",
        "write the date as 2026-11-25",
    ),
    (
        re.compile(
            r"\b(?:reps|rounds|revision|calories|metres|segments)"
            r"\s*=\s*\[?\s*(?:\d+\s*,\s*)*[A-Za-z]+"
        ),
        "a number is written as a word",
        "write a whole number, such as reps = 10",
    ),
    (
        re.compile(r"[=\[,]\s*[+-]?0\d"),
        "a number must not start with 0",
        "leave the 0 out, or put text in quotes",
    ),
    (
        re.compile(r"[=\[,]\s*[+-]?\d+(?:\.\d+)?\s*[A-Za-z]+\b(?!\s*=)"),
        "a number with a unit must stand in quotes",
        'write it as "47.5 kg"',
    ),
    (
        re.compile(r"=\s*(?:#|$)"),
        "a key has no value",
        "write one after the = sign",
    ),
    (
        re.compile(r"=\s*[A-Za-z]"),
        "text must stand in quotes",
        'write it as key = "text"',
    ),
)

_SYNTAX: tuple[tuple[str, str, str], ...] = (
    ("Expected '='", "there is no = after the key", 'write key = "value"'),
    ("Expected newline", "there is more on this line than one value", "one a line"),
    ("Expected ']", "a [table] line is not closed", "write [part] or [[part]]"),
    (
        "Illegal character '\\n'",
        "a text in quotes is not closed",
        "add the closing quote",
    ),
    ("Expected \"'", "a text in quotes is not closed", "add the closing quotes"),
    ("Unterminated string", "a text in quotes is not closed", "add the closing quote"),
    ("Unclosed array", "a list is not closed", "add the ], and commas between items"),
    (
        "Unclosed inline table",
        "a table in { } is not closed",
        "add the }, and commas between items, all on one line",
    ),
    ("Illegal character", "a text or line holds a character it must not", "retype it"),
    ("Found invalid character", "a line holds a character it must not", "retype it"),
    ("Unescaped", "a backslash stands alone in a text", "write it twice: \\\\"),
    ("Escaped character", "there is no such letter", "check the number after the \\"),
    ("Invalid hex", "there is no such letter", "check the number after the \\"),
    (
        "Invalid initial character",
        "a key is missing, or starts with a sign that it must not",
        "take out the last comma, or put the key in quotes",
    ),
    ("Invalid date", "there is no such date or time", "write 2027-05-08"),
    ("Invalid value", "a value is missing or not one that TOML knows", "check it"),
    ("Invalid statement", "this line is no key, no [table] and no comment", ""),
    ("Cannot overwrite", "a key here is given twice", "keep one of them"),
    ("Cannot declare", "a table here is given twice", "write [[...]] for several"),
)


def syntax(message: str, row: str, column: int) -> _Texts:
    """A parser's message about a row of the file (`column` from 1), in our words."""
    code = _without_strings(row)
    for pattern, what, right in _HINTS:
        for match in pattern.finditer(code):
            if match.start() <= column <= match.end() + 3:
                return what, right
    for start, what, right in _SYNTAX:
        if message.startswith(start):
            return what, right
    return "the file is not TOML from here on", "check quotes, brackets and = signs"


def _without_strings(row: str) -> str:
    """The row with its closed strings blanked out, so that hints see code alone."""
    return re.sub(
        r'"(?:[^"\\]|\\.)*"|\'[^\']*\'', lambda m: '"' + "_" * (len(m[0]) - 1), row
    )
