"""TOML files as their authors see them: values, the line of each, every problem."""

from __future__ import annotations

import re
import tomllib
from typing import TYPE_CHECKING, TypeVar

import pydantic

from judgekit.core.errors import InputError, Problem
from judgekit.core.values import dataclass
from judgekit.files import wording
from judgekit.files.lines import Index, KeyPath, Lines, index

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from judgekit.files.lines import Clash

__all__ = ["MAX_BYTES", "Document", "FileModel", "Lines", "loads", "read", "validated"]

MAX_BYTES = 65536

_BOM = b"\xef\xbb\xbf"
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
_WHERE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_TWICE = (
    "Cannot overwrite",
    "Cannot declare",
    "Cannot mutate",
    "Cannot redefine",
    "Duplicate",
)
# TOML asks for 64-bit whole numbers only.
_LARGEST_INTEGER = 2**63 - 1
_LONG_NUMBER = re.compile(r"\d[\d_]{400}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """One TOML file read: its name as shown to the user, its values, their lines."""

    file: str
    table: dict[str, object]
    lines: Lines

    def problem(self, path: Sequence[str | int], what: str, right: str = "") -> Problem:
        """A problem at the line of a path, its place in the file said before `what`.

        Elements of the path that are not in the file (a missing key, say) are named
        in the words and skipped for the line.
        """
        return Problem(
            file=self.file,
            line=self.lines.at(self.lines.walked(path)),
            what=wording.placed(self.table, path, what),
            right=right,
        )


def _key_in_file(field: str) -> str:
    return field.rstrip("_").replace("_", "-")


class FileModel(pydantic.BaseModel):
    """The base of every shape of a file: strict, complete, nothing unknown.

    A field `measured_to` is the key `measured-to` in the file, `is_` is `is`.
    """

    model_config = pydantic.ConfigDict(
        strict=True,
        extra="forbid",
        frozen=True,
        allow_inf_nan=False,
        alias_generator=_key_in_file,
        hide_input_in_errors=True,
    )


Model = TypeVar("Model", bound=FileModel)


def read(path: Path, shown: str) -> Document:
    """The document at a path; InputError holds what is wrong with it."""
    try:
        if not path.is_file():
            raise _refused(shown, 1, *_not_a_file(path))
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except OSError as error:
        what = f"the file cannot be read: {error.strerror or 'the system refused'}"
        raise _refused(shown, 1, what, "check its name and permissions") from error
    return loads(data, shown)


def loads(data: bytes, shown: str) -> Document:
    """The document in these bytes; InputError holds what is wrong with it."""
    text = _decoded(data, shown)
    found = index(text)
    if found.too_deep:
        raise _refused(
            shown, found.too_deep, "tables or lists are nested too deeply to be meant"
        )
    document = Document(
        file=shown, table=_parsed(text, shown, found), lines=found.lines
    )
    problems = _numbers_too_large(document)
    if problems:
        raise InputError(problems)
    return document


def validated(
    model: type[Model],
    table: Mapping[str, object],
    document: Document,
    prefix: KeyPath = (),
) -> Model:
    """The table as a model, or InputError with one problem for each thing wrong.

    `prefix` is where the table stands in the document.
    """
    try:
        return model.model_validate(table)
    except pydantic.ValidationError as error:
        problems = []
        for details in error.errors(include_url=False):
            what, right = wording.spoken(details, model)
            path = (*prefix, *details["loc"])
            problems.append(document.problem(path, what, right))
        raise InputError(sorted(problems, key=lambda p: p.line)) from None


def _refused(shown: str, line: int, what: str, right: str = "") -> InputError:
    return InputError([Problem(file=shown, line=line, what=what, right=right)])


def _not_a_file(path: Path) -> tuple[str, str]:
    if path.exists():
        return "this is not a file", "a text file in TOML is needed"
    return "there is no such file", "check its name and folder"


def _decoded(data: bytes, shown: str) -> str:
    """The file's text with its line ends made one; InputError if it is not text."""
    if len(data) > MAX_BYTES:
        what = f"the file is larger than {MAX_BYTES // 1024} KB"
        raise _refused(shown, 1, what, "cards and workouts are a few KB")
    if data.startswith(_UTF_16):
        raise _refused(shown, 1, "the file is saved as UTF-16", "save it as UTF-8")
    data = data.removeprefix(_BOM)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        what = "a letter here is not UTF-8; the file was saved in an older encoding"
        raise _refused(shown, line, what, "save it as UTF-8") from None
    text = text.replace("\r\n", "\n")
    if "\r" in text:
        line = text.count("\n", 0, text.index("\r")) + 1
        what = "a line ends in the way of very old systems (a lone carriage return)"
        raise _refused(
            shown, line, what, "save the file with Unix or Windows line ends"
        )
    return text


def _parsed(text: str, shown: str, found: Index) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(_syntax_problems(str(error), text, shown, found)) from None
    except (ValueError, RecursionError):
        long_number = _LONG_NUMBER.search(text)
        line = text.count("\n", 0, long_number.start()) + 1 if long_number else 1
        raise _refused(
            shown, line, "a number or list here is too large to be meant"
        ) from None


def _syntax_problems(
    message: str, text: str, shown: str, found: Index
) -> list[Problem]:
    """Each key given twice, and the one place where the text stops being TOML."""
    problems = [_clash_problem(clash, shown) for clash in found.clashes]
    if problems and message.startswith(_TWICE):
        return problems
    where = _WHERE.search(message)
    rows = text.split("\n")
    if where and where[1]:
        line, column = int(where[1]), int(where[2])
        row = rows[line - 1]
    else:
        line = found.stopped or max(1, text.rstrip().count("\n") + 1)
        row = rows[line - 1]
        column = len(row) + 1
    what, right = wording.syntax(_WHERE.sub("", message), row, column)
    problems.append(Problem(file=shown, line=line, what=what, right=right))
    return sorted(problems, key=lambda p: p.line)


def _clash_problem(clash: Clash, shown: str) -> Problem:
    name = wording.dotted(clash.path)
    lines = f"lines {clash.first} and {clash.second}"
    if clash.first == clash.second:
        lines = f"line {clash.first}"
    if clash.header:
        what = f"the table [{name}] is given twice, on {lines}"
        right = f"write [[{name}]] above each if there are several, else keep one"
    else:
        what, right = f'the key "{name}" is given twice, on {lines}', "keep one of them"
    return Problem(file=shown, line=clash.second, what=what, right=right)


def _numbers_too_large(document: Document) -> list[Problem]:
    problems = []
    waiting: list[tuple[KeyPath, object]] = [((), document.table)]
    while waiting:
        path, value = waiting.pop()
        if isinstance(value, dict):
            waiting.extend(((*path, key), item) for key, item in value.items())
        elif isinstance(value, list):
            waiting.extend(((*path, at), item) for at, item in enumerate(value))
        elif isinstance(value, int) and abs(value) > _LARGEST_INTEGER:
            what = "is a number too large to be meant"
            problems.append(document.problem(path, what))
    return sorted(problems, key=lambda p: p.line)
