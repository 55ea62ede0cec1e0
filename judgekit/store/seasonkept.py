"""What is kept of an event for the season: its Parquet files, and what binds them.

`out/season/` in the event's folder holds a folder for each day and `made.json`, which
names the newest entry of every book that they were made of by its hash, the people's
file by its own, and each Parquet file by its own. Where any of these is another now,
all is made anew: a log that grew, a ruling, a damaged or foreign file.
"""

from __future__ import annotations

import hashlib
from contextlib import suppress
from typing import TYPE_CHECKING, NamedTuple

import msgspec

from judgekit.store.whole import write_whole

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from judgekit.review.attempts import LaneRows
    from judgekit.review.lost import Span
    from judgekit.review.pieces import SetPieces

FORMAT = 5
_MADE = "made.json"
_END = ".parquet"
# The files of each day.
ATTEMPTS, SETS, CUES = NAMES = ("attempts", "sets", "cues")


class Bound(msgspec.Struct, frozen=True, kw_only=True):
    """What files are made of: each book's newest entry, and the people's file."""

    books: dict[str, tuple[int, str]]
    people: str


class Day(msgspec.Struct, frozen=True, kw_only=True):
    """One day's files with their hashes, and how many entries tell of each lane."""

    sha256: dict[str, str]
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


class KeptLane(NamedTuple):
    """A lane whose run counts: its rows, and who is who in it by their bibs.

    `log` is the same in every copy of its event, `log_code` names what it was read up
    to, `entries` says how much that is. `sets` are how those of its rows were done,
    `lost` is what each of its attempts took, if it was a no-rep with times.
    """

    rows: LaneRows
    log: str
    log_code: str
    entries: int
    whos: Mapping[str, Who]
    sets: Sequence[SetPieces]
    lost: Sequence[Span | None]

    @property
    def day(self) -> str:
        """The day of its heat."""
        return self.rows.facts.plan.date

    def who(self, bib: str) -> Who:
        """Who has that bib; the lane's own athlete where nobody is named."""
        return self.whos[bib or self.rows.facts.plan.bib]


class Told(NamedTuple):
    """What is to be kept: lanes in order, names, and what is wrong with the log."""

    lanes: Sequence[KeptLane]
    names: Mapping[str, Mapping[str, str]]
    said: Sequence[str]
    whole: bool


def kept(event: Path, bound: Bound) -> Kept | None:
    """What is kept of the event, if it is bound to just that; else None."""
    folder = _folder(event)
    try:
        found = msgspec.json.decode((folder / _MADE).read_bytes(), type=Kept)
        if not found.whole or found.format != FORMAT or found.bound != bound:
            return None
        for day, of in found.days.items():
            for name, sha256 in of.sha256.items():
                if _sha256(day_path(event, day, name).read_bytes()) != sha256:
                    return None
    except (OSError, ValueError, RecursionError, msgspec.MsgspecError):
        return None
    return found


def keep(event: Path, bound: Bound, told: Told) -> Kept:
    """Write an event's files anew; what was kept of days that it has no more goes.

    `bound` is as it was before the log was read: what came since is then seen.
    """
    from judgekit.store.seasonfile import parquets

    by_day: dict[str, list[KeptLane]] = {}
    for lane in told.lanes:
        by_day.setdefault(lane.day, []).append(lane)
    days = {}
    for day, lanes in sorted(by_day.items()):
        files = parquets(lanes)
        for name, data in files.items():
            path = day_path(event, day, name)
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, data, over=True)
        days[day] = Day(
            sha256={name: _sha256(data) for name, data in files.items()},
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


def day_path(event: Path, day: str, name: str) -> Path:
    """Where the attempts of a day are kept, its sets, or its cues."""
    return _folder(event) / f"date={day}" / f"{name}{_END}"


def _folder(event: Path) -> Path:
    return event / "out" / "season"


def _tidy(folder: Path, days: Mapping[str, Day]) -> None:
    """Remove our files of other days: whoever reads the folder would count them."""
    old = (path for name in NAMES for path in folder.glob(f"date=*/{name}{_END}"))
    for path in old:
        if path.parent.name.removeprefix("date=") not in days:
            path.unlink()
            with suppress(OSError):
                path.parent.rmdir()


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
