"""Questions to a season's Parquet files: attempts and no-reps by any set of words.

Files are scanned once, down to how often each athlete tried and missed in the smallest
groups that will be asked about; every table is added up from that.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import polars as pl

from judgekit.review.season import Group
from judgekit.store.seasonfile import SCHEMAS
from judgekit.store.seasonkept import ATTEMPTS, CUES

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from judgekit.review.season import Call, Word

_FAULT = "faults"
# What files have for each word.
COLUMNS: Mapping[Word, tuple[str, ...]] = {
    "movement": ("card",),
    "fault": (_FAULT,),
    "athlete": ("athlete",),
    "division": ("division",),
    "part": ("workout", "part"),
    "round": ("workout", "part", "round"),
    "judge": ("judge",),
    "date": ("date",),
    # Made of the date, once there are few rows left.
    "month": ("month",),
    "workout": ("workout",),
    "heat": ("heat",),
    "load": ("load",),
}
_WATCHED = ("watched", "rated")
# A movement's card, and a fault on it.
_CALL: Mapping[str, type[pl.String]] = {"card": pl.String, _FAULT: pl.String}
_TRIED = (
    pl.col("n").sum(),
    pl.col("athlete").n_unique().alias("of_athletes"),
    (pl.col("n").sum() - pl.col("missed").sum()).alias("good"),
)
_NUMBERS = ("n", "good", "missed", "athletes", "of_athletes", "cues")
_MONTH = len("2027-05")


class File(NamedTuple):
    """A file to be asked, without the lanes that a copy of its event tells better."""

    path: Path
    without: frozenset[str] = frozenset()


class Season:
    """What files of attempts and of cues say, ready to be grouped by some words."""

    def __init__(
        self,
        files: Sequence[File],
        words: Iterable[Word],
        cues: Sequence[File] = (),
        known: Iterable[Call] = (),
    ) -> None:
        """`known` are the faults that can be called of each movement."""
        columns = {column for word in words for column in COLUMNS[word]}
        if _FAULT in columns:
            columns.add("card")
        self._known = pl.DataFrame(list(known), schema=_CALL, orient="row")
        if "month" in columns:
            columns.add("date")
        keys = sorted({*columns, *_WATCHED, "athlete"} - {_FAULT, "month"})
        rows = scan(files, ATTEMPTS)
        missed = ~pl.col("good")
        # A no-rep is one attempt, so that rows of them can be counted.
        self._tries, self._missed, self._cues = pl.collect_all(
            [
                rows.group_by(keys).agg(
                    pl.col("n").sum(), missed.sum().alias("missed")
                ),
                rows.filter(missed)
                .explode(_FAULT)
                .group_by([*keys, _FAULT])
                .agg(pl.len().alias("missed")),
                scan(cues, CUES)
                .rename({"fault": _FAULT})
                .group_by([*keys, _FAULT])
                .agg(pl.len().alias("cues")),
            ]
        )

        if "month" in columns:
            month = pl.col("date").dt.month_start().alias("month")
            self._tries = self._tries.with_columns(month)
            self._missed = self._missed.with_columns(month)
            self._cues = self._cues.with_columns(month)
        if _FAULT in columns:
            # Held against what is known of cards, which is text.
            card, fault = (pl.col(name).cast(pl.String) for name in _CALL)
            self._tries = self._tries.with_columns(card)
            self._missed = self._missed.with_columns(card, fault)
            self._cues = self._cues.with_columns(card, fault)

    def by(self, words: Sequence[Word]) -> list[Group]:
        """The groups by some of the words that were asked for, in their order."""
        columns = [column for word in words for column in COLUMNS[word]]
        plain = [*dict.fromkeys(c for c in columns if c != _FAULT), *_WATCHED]
        if _FAULT in columns:
            found = self._faults(plain)
        else:
            missed = pl.col("missed")
            had = pl.col("athlete").filter(missed > 0).n_unique().alias("athletes")
            tried = self._tries.group_by(plain).agg(*_TRIED, missed.sum(), had)
            found = self._with_cues(tried, plain)
        found = found.with_columns(pl.col(_NUMBERS).fill_null(0))
        return [_group(row, words) for row in found.iter_rows(named=True)]

    def _faults(self, plain: list[str]) -> pl.DataFrame:
        """Each fault of each group, and what was tried where it can be called."""
        keys = [*plain, _FAULT]
        missed = self._missed.group_by(keys).agg(
            pl.col("missed").sum(), pl.col("athlete").n_unique().alias("athletes")
        )
        noted = self._with_cues(missed, keys)
        places = [*dict.fromkeys([*plain, "card"])]
        tried = (
            self._tries.join(
                self._where(noted.select(keys), keys), on=places, nulls_equal=True
            )
            .group_by(keys)
            .agg(_TRIED)
        )
        return noted.join(tried, on=keys, how="left", nulls_equal=True)

    def _where(self, faults: pl.DataFrame, keys: list[str]) -> pl.DataFrame:
        """At which movements each of the faults can be called.

        Its card has it, or it was logged there; a no-rep may have no reason anywhere.
        """
        if "card" in keys:
            return faults
        cards = self._tries.select("card").unique()
        every = [*keys, "card"]
        return pl.concat(
            [
                faults.join(self._known, on=_FAULT).select(every),
                faults.filter(pl.col(_FAULT) == "").join(cards, how="cross"),
                self._missed.select(every),
                self._cues.select(every),
            ]
        ).unique()

    def _with_cues(self, groups: pl.DataFrame, keys: list[str]) -> pl.DataFrame:
        """Groups with how many cues were noted; also those in which all is a cue."""
        cues = self._cues.group_by(keys).agg(pl.col("cues").sum())
        return groups.join(cues, on=keys, how="full", coalesce=True, nulls_equal=True)


def scan(files: Sequence[File], name: str) -> pl.LazyFrame:
    """All rows of files of one kind; none where there is no file."""
    whole = [file.path for file in files if not file.without]
    scans = [_rows(whole)] if whole else []
    scans += [
        _rows([file.path]).filter(
            ~pl.col("log").cast(pl.String).is_in(sorted(file.without))
        )
        for file in files
        if file.without
    ]
    return pl.concat(scans or [pl.LazyFrame(schema=SCHEMAS[name])])


def _rows(paths: list[Path]) -> pl.LazyFrame:
    """The rows as they stand in files: nothing in a folder's name says more.

    A folder may be called anything: no sign of it stands for others, and "a=1" in it
    is no column.
    """
    return pl.scan_parquet(paths, hive_partitioning=False, glob=False)


def _group(row: Mapping[str, Any], words: Sequence[Word]) -> Group:
    return Group(
        of=tuple(value_of(row, word) for word in words),
        watched=row["watched"],
        rated=row["rated"],
        attempts=row["n"],
        good=row["good"],
        no_reps=row["missed"],
        athletes=row["athletes"],
        of_athletes=row["of_athletes"],
        cues=row["cues"],
    )


def value_of(row: Mapping[str, Any], word: Word) -> str:
    """A word's value as text: "wheel A.2" is the second round of part A.

    It is "wheel A" where paper does not say the round.
    """
    cells = (row[column] for column in COLUMNS[word])
    first, *place = (str(cell) for cell in cells if cell is not None)
    if word == "month":
        return first[:_MONTH]
    return f"{first} {'.'.join(place)}" if place else first
