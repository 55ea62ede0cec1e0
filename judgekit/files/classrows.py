"""The rows of a class's own lists, and by what a class's folder is known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.files.csvtext import csv_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from judgekit.core.classmates import Classmate
    from judgekit.core.people import HeatLane

HEAD = "# A class, written by judgekit; edit it as you like, then: judgekit check\n"
PEOPLE = ("bib", "name", "division", "id")
HEATS = ("heat", "start", "workout", "lane", "bib", "judge")
COACH = "coach"
# Where nothing hangs on a division, there is one for all.
ALL = "class"


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


def append_rows(path: Path, rows: Iterable[Sequence[str]]) -> None:
    """The file with more rows; it is there with all of them or as it was."""
    before = path.read_text(encoding="utf-8")
    between = "" if before.endswith("\n") else "\n"
    part = path.with_name(f".{path.name}.part")
    part.write_text(f"{before}{between}{csv_of(rows)}", encoding="utf-8")
    part.replace(path)
