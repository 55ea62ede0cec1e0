"""Where each key of a TOML file stands: a small index, since tomllib keeps no lines.

The pass is lenient: on text it cannot follow it stops and keeps what it has. What a
file means is tomllib's to say; this says only on which line it was said.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_left
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

KeyPath = tuple[str | int, ...]

# Our files nest eight levels deep at most; the rest guards the stack and the memory.
MAX_DEPTH = 32

_GAP = re.compile(r"(?:[ \t\n]+|#[^\n]*)+")
_SPACES = re.compile(r"[ \t]+")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"(?:[^"\\\n]|\\.)*"')
_LITERAL = re.compile(r"'[^'\n]*'")
_TEXTS = (
    re.compile(r'"""(?:[^"\\]|\\.|"{1,2}(?!"))*"{3,5}', re.DOTALL),
    re.compile(r"'''(?:[^']|'{1,2}(?!'))*'{3,5}", re.DOTALL),
    _BASIC,
    _LITERAL,
)
_PLAIN = re.compile(r"\d{4}-\d\d-\d\d \d\d:[^\s,\]}#]*|[^\s,\]}#\"'\[{]+")


class Lines:
    """The line of each table, key and list item of one file, counted from 1."""

    def __init__(self, found: Mapping[KeyPath, int]) -> None:
        self._found = dict(found)

    def at(self, path: Sequence[str | int]) -> int:
        """The line of the deepest part of the path that is known, else 1."""
        for length in range(len(path), 0, -1):
            line = self._found.get(tuple(path[:length]))
            if line is not None:
                return line
        return 1

    def walked(self, path: Sequence[str | int], start: KeyPath = ()) -> KeyPath:
        """The path without the elements that lead nowhere in the file."""
        known = start
        for element in path:
            if (*known, element) in self._found:
                known = (*known, element)
        return known


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """A key or table given on two lines; `header` says the first was a [table]."""

    path: KeyPath
    first: int
    second: int
    header: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Index:
    """What one pass found; `stopped` and `too_deep` are lines, 0 where neither is."""

    lines: Lines
    clashes: tuple[Clash, ...]
    stopped: int
    too_deep: int


def index(text: str) -> Index:
    """The index of a file's text, whose line ends are all line feeds."""
    scanner = _Scanner(text)
    stopped = too_deep = 0
    try:
        scanner.run()
    except _StopError as stop:
        line = scanner.line(stop.position)
        stopped, too_deep = (0, line) if stop.deep else (line, 0)
    return Index(
        lines=Lines(scanner.found),
        clashes=tuple(scanner.clashes),
        stopped=stopped,
        too_deep=too_deep,
    )


class _StopError(Exception):
    """The pass cannot follow the text from this position on."""

    def __init__(self, position: int, *, deep: bool = False) -> None:
        super().__init__(position)
        self.position = position
        self.deep = deep


class _Scanner:
    """One walk over the text. `how` says in which way each path came to be."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.found: dict[KeyPath, int] = {}
        self.clashes: list[Clash] = []
        self._how: dict[KeyPath, str] = {}
        self._counts: dict[KeyPath, int] = {}
        self._table: KeyPath = ()
        self._muted = False  # the keys of a table given twice are not news
        self._position = 0
        self._breaks = [match.start() for match in re.finditer("\n", text)]

    def line(self, position: int) -> int:
        return bisect_left(self._breaks, position) + 1

    def run(self) -> None:
        self._skip(_GAP)
        while self._position < len(self.text):
            if self._sees("["):
                self._header()
            else:
                self._pair(self._table)
            self._skip(_GAP)

    def _sees(self, start: str) -> bool:
        return self.text.startswith(start, self._position)

    def _skip(self, pattern: re.Pattern[str]) -> bool:
        match = pattern.match(self.text, self._position)
        if match:
            self._position = match.end()
        return match is not None

    def _expect(self, sign: str) -> None:
        self._skip(_SPACES)
        if not self._sees(sign):
            raise _StopError(self._position)
        self._position += len(sign)

    def _check_depth(self, path: Sequence[str | int]) -> None:
        if len(path) > MAX_DEPTH:
            raise _StopError(self._position, deep=True)

    def _header(self) -> None:
        line = self.line(self._position)
        signs = "[[" if self._sees("[[") else "["
        self._position += len(signs)
        keys = self._keys()
        self._expect("]" * len(signs))
        self._muted = False
        path: KeyPath = ()
        for key in keys[:-1]:
            path = self._into((*path, key), "implied", line)
        path = (*path, keys[-1])
        how = self._how.get(path)
        if len(signs) > 1:
            if how not in (None, "array"):
                self._clash(path, line)
            self._how[path] = "array"
            self.found.setdefault(path, line)
            self._counts[path] = self._counts.get(path, 0) + 1
            path = (*path, self._counts[path] - 1)
        else:
            if how not in (None, "implied"):
                self._clash(path, line)
            self._how[path] = "table"
        self.found[path] = line
        self._table = path

    def _pair(self, table: KeyPath) -> None:
        line = self.line(self._position)
        keys = self._keys()
        path = table
        for key in keys[:-1]:
            path = self._into((*path, key), "dotted", line)
        path = (*path, keys[-1])
        self._check_depth(path)
        if path in self._how:
            self._clash(path, line)
        self._how.setdefault(path, "value")
        self.found.setdefault(path, line)
        self._expect("=")
        self._skip(_SPACES)
        self._value(path)

    def _into(self, path: KeyPath, how: str, line: int) -> KeyPath:
        """The table at a path, the newest one of several, made if there is none."""
        if self._how.get(path) == "value":
            self._clash(path, line)
        self._how.setdefault(path, how)
        self.found.setdefault(path, line)
        return (*path, self._counts[path] - 1) if path in self._counts else path

    def _clash(self, path: KeyPath, line: int) -> None:
        if self._muted:
            return
        header = self._how[path] in ("table", "array")
        first = self.found[path]
        self.clashes.append(Clash(path=path, first=first, second=line, header=header))
        self._muted = header

    def _keys(self) -> list[str]:
        keys = [self._key()]
        self._skip(_SPACES)
        while self._sees("."):
            self._position += 1
            keys.append(self._key())
            self._check_depth(keys)
            self._skip(_SPACES)
        return keys

    def _key(self) -> str:
        self._skip(_SPACES)
        start = self._position
        if self._skip(_BARE_KEY):
            return self.text[start : self._position]
        if self._skip(_LITERAL):
            return self.text[start + 1 : self._position - 1]
        if self._skip(_BASIC):
            quoted = self.text[start : self._position]
            try:
                return str(tomllib.loads(f"key = {quoted}")["key"])
            except tomllib.TOMLDecodeError as error:
                raise _StopError(start) from error
        raise _StopError(start)

    def _value(self, path: KeyPath) -> None:
        self._check_depth(path)
        if self._sees("["):
            self._array(path)
        elif self._sees("{"):
            self._inline_table(path)
        elif not any(self._skip(pattern) for pattern in (*_TEXTS, _PLAIN)):
            raise _StopError(self._position)

    def _array(self, path: KeyPath) -> None:
        opened = self._position
        self._position += 1
        self._skip(_GAP)
        count = 0
        while not self._sees("]"):
            if self._position >= len(self.text):
                raise _StopError(opened)
            self.found[(*path, count)] = self.line(self._position)
            self._value((*path, count))
            count += 1
            self._skip(_GAP)
            self._comma_or("]", opened)
        self._position += 1

    def _inline_table(self, path: KeyPath) -> None:
        opened = self._position
        self._position += 1
        self._skip(_GAP)
        while not self._sees("}"):
            if self._position >= len(self.text):
                raise _StopError(opened)
            self._pair(path)
            self._skip(_GAP)
            self._comma_or("}", opened)
        self._position += 1

    def _comma_or(self, closing: str, opened: int) -> None:
        if self._sees(","):
            self._position += 1
            self._skip(_GAP)
        elif not self._sees(closing):
            at_end = self._position >= len(self.text)
            raise _StopError(opened if at_end else self._position)
