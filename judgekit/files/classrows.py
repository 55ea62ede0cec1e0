"""The rows of a class's own lists, and by what a class's folder is known."""

from __future__ import annotations

from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

from judgekit.core.errors import InputError, Problem
from judgekit.files.csvtext import csv_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from judgekit.core.classmates import Classmate
    from judgekit.core.people import HeatLane

HEAD = "# A class, written by judgekit; edit it as you like, then: judgekit check\n"
PEOPLE = ("bib", "name", "division", "id")
HEATS = ("heat", "start", "workout", "lane", "bib", "judge")
COACH = "coach"
# Where nothing hangs on a division, there is one for all.
ALL = "class"
# How long somebody else may take to write a row in each list.
PATIENCE_SECONDS = 10.0


def is_class(folder: Path) -> bool:
    """Whether judgekit wrote the folder for a class, and its lists still look so."""
    heads = {
        "event.toml": HEAD.partition(";")[0],
        "people.csv": f"{','.join(PEOPLE)}\n",
        "heats.csv": f"{','.join(HEATS)}\n",
    }
    return all(_begins(folder / name, head) for name, head in heads.items())


def _begins(path: Path, head: str) -> bool:
    try:
        with path.open(encoding="utf-8") as file:
            return file.readline().startswith(head)
    except (OSError, ValueError):
        return False


def row_of_person(bib: str, mate: Classmate) -> tuple[str, ...]:
    """Somebody's row of people.csv."""
    return bib, mate.name, mate.division or ALL, mate.person


def row_of_heat(like: HeatLane, lane: int, bib: str) -> tuple[str, ...]:
    """A row of heats.csv in the same heat as another."""
    return like.heat, start_of(like), like.workout, str(lane), bib, COACH


def start_of(row: HeatLane) -> str:
    """When a heat starts, as heats.csv has it: "HH:MM" or "HH:MM:SS"."""
    minutes, seconds = divmod(row.start_ms // 1000, 60)
    clock = f"{minutes // 60:02}:{minutes % 60:02}"
    return f"{clock}:{seconds:02}" if seconds else clock


def csv_of(rows: Iterable[Sequence[str]]) -> str:
    """Rows as text; what a spreadsheet would take for a formula is none."""
    # Not needed to know a class's folder, which every Floor asks for.
    import csv
    import io

    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(
        [csv_text(cell) for cell in row] for row in rows
    )
    return text.getvalue()


@contextmanager
def lists_alone(folder: Path) -> Iterator[None]:
    """A class's lists for nobody else, from reading them to the last check.

    InputError where another desk keeps them for too long.
    """
    # A Floor is painted before anybody walks in.
    from filelock import FileLock, Timeout

    lock = FileLock(folder / ".lists.lock", timeout=PATIENCE_SECONDS)
    try:
        lock.acquire()
    except Timeout as error:
        what = "another desk is writing in this class's lists"
        raise InputError(
            [Problem(file=str(folder), line=1, what=what, right="try again")]
        ) from error
    try:
        yield
    finally:
        lock.release()


@contextmanager
def rows_added(
    folder: Path, rows: Mapping[str, Iterable[Sequence[str]]]
) -> Iterator[None]:
    """More rows in some lists; where what follows fails, just those are gone again."""
    added: dict[Path, str] = {}
    try:
        for name, more in rows.items():
            path = folder / name
            added[path] = _append_rows(path, more)
        yield
    except (InputError, OSError):
        for path, text in added.items():
            with suppress(OSError):
                _take_away(path, text)
        raise


def _append_rows(path: Path, rows: Iterable[Sequence[str]]) -> str:
    """The text that the file has more; it is there with all of it or as it was."""
    before = _text_of(path)
    added = f"{'' if before.endswith(_ENDS) else _ENDS}{csv_of(rows)}"
    _write(path, before + added)
    return added


def _take_away(path: Path, added: str) -> None:
    before, found, after = _text_of(path).rpartition(added)
    if found:
        _write(path, before + after)


_ENDS = "\n"


def _text_of(path: Path) -> str:
    """A list's text with its line ends as they are."""
    with path.open(encoding="utf-8", newline="") as file:
        return file.read()


def _write(path: Path, text: str) -> None:
    part = path.with_name(f".{path.name}.part")
    part.write_text(text, encoding="utf-8", newline="")
    part.replace(path)
