"""What is kept of an event for the season: its Parquet files, and what binds them.

`out/season/` in the event's folder holds one file for each day and `made.json`, which
names the newest entry of every book that they were made of by its hash, the people's
file by its own, and each Parquet file by its own. Where any of these is another now,
all is made anew: a log that grew, a ruling, a damaged or foreign file.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from contextlib import closing, suppress
from typing import TYPE_CHECKING, NamedTuple

import msgspec

from judgekit.core.errors import BookError
from judgekit.core.values import dataclass
from judgekit.review.attempts import LaneRows
from judgekit.store import sqlfile
from judgekit.store.folder import book_paths
from judgekit.store.whole import write_whole

if TYPE_CHECKING:
    from pathlib import Path

FORMAT = 1
_MADE = "made.json"
_DAY = "attempts.parquet"


class Bound(msgspec.Struct, frozen=True, kw_only=True):
    """What files are made of: each book's newest entry, and the people's file."""

    books: dict[str, tuple[int, str]]
    people: str


class Day(msgspec.Struct, frozen=True, kw_only=True):
    """One day's file: its hash, its rows, and how many entries tell of each lane."""

    sha256: str
    rows: int
    lanes: dict[str, int]


class Kept(msgspec.Struct, frozen=True, kw_only=True):
    """What was kept of an event, by days; `names` by what and id, `said` what is wrong.

    It is not `whole` where a part of the log could not be read.
    """

    format: int
    bound: Bound
    days: dict[str, Day]
    names: dict[str, dict[str, str]]
    said: list[str]
    whole: bool


class Who(NamedTuple):
    """Somebody over all events, and the name as they want it shown."""

    athlete: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptLane:
    """A lane whose run counts: its rows, and who is who in it by their bibs.

    `log` is the same in every copy of its event, `log_code` names what it was read up
    to, `entries` says how much that is.
    """

    rows: LaneRows
    log: str
    log_code: str
    entries: int
    whos: Mapping[str, Who]

    @property
    def day(self) -> str:
        """The day of its heat."""
        return self.rows.facts.plan.date

    def who(self, bib: str) -> Who:
        """Who has that bib; the lane's own athlete where nobody is named."""
        return self.whos[bib or self.rows.facts.plan.bib]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What is to be kept: lanes in order, names, and what is wrong with the log."""

    lanes: Sequence[KeptLane]
    names: Mapping[str, Mapping[str, str]]
    said: Sequence[str]
    whole: bool


def bound_to(event: Path) -> Bound:
    """What files of the event would be bound to now; BookError for a damaged book."""
    people = event / "people.csv"
    return Bound(
        books={path.name: _newest(path) for path in book_paths(event / "log")},
        people=_sha256(people.read_bytes()) if people.is_file() else "",
    )


def kept(event: Path) -> Kept | None:
    """What is kept of the event, if it is what the books say now; else None."""
    folder = _folder(event)
    try:
        found = msgspec.json.decode((folder / _MADE).read_bytes(), type=Kept)
        if not found.whole or found.format != FORMAT or found.bound != bound_to(event):
            return None
        for day, of in found.days.items():
            if _sha256(day_path(event, day).read_bytes()) != of.sha256:
                return None
    except (OSError, ValueError, RecursionError, BookError, msgspec.MsgspecError):
        return None
    return found


def keep(event: Path, bound: Bound, told: Told) -> Kept:
    """Write an event's files anew; what was kept of days that it has no more goes.

    `bound` is as it was before the log was read: what came since is then seen.
    """
    from judgekit.store.seasonfile import parquet

    by_day: dict[str, list[KeptLane]] = {}
    for lane in told.lanes:
        by_day.setdefault(lane.day, []).append(lane)
    days = {}
    for day, lanes in sorted(by_day.items()):
        data = parquet(lanes)
        path = day_path(event, day)
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, data, over=True)
        days[day] = Day(
            sha256=_sha256(data),
            rows=sum(len(lane.rows.attempts) for lane in lanes),
            lanes={lane.log: lane.entries for lane in lanes},
        )
    made = Kept(
        format=FORMAT,
        bound=bound,
        days=days,
        names={what: dict(names) for what, names in told.names.items()},
        said=list(told.said),
        whole=told.whole,
    )
    folder = _folder(event)
    folder.mkdir(parents=True, exist_ok=True)
    write_whole(folder / _MADE, msgspec.json.encode(made), over=True)
    _tidy(folder, days)
    return made


def day_path(event: Path, day: str) -> Path:
    """Where the attempts of a day are kept."""
    return _folder(event) / f"date={day}" / _DAY


def _folder(event: Path) -> Path:
    return event / "out" / "season"


def _tidy(folder: Path, days: Mapping[str, Day]) -> None:
    """Remove our files of other days: whoever reads the folder would count them."""
    for path in folder.glob(f"date=*/{_DAY}"):
        if path.parent.name.removeprefix("date=") not in days:
            path.unlink()
            with suppress(OSError):
                path.parent.rmdir()


def _newest(path: Path) -> tuple[int, str]:
    """A book's newest entry by its number and hash."""
    with sqlfile.in_words(path, "read"), closing(sqlfile.open_reader(path)) as book:
        rows = book.execute(
            "SELECT number, hash FROM entry ORDER BY number DESC LIMIT 1"
        ).fetchall()
    if not rows:
        return 0, ""
    number, link = rows[0]
    if type(number) is not int or type(link) is not bytes:
        raise BookError(f"{path.name} is damaged")
    return number, link.hex()


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
