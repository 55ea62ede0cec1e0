"""Questions to a season's sets, and to what its no-reps took."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from judgekit.review.lost import Span
from judgekit.review.seasondone import LostGroup, SetGroup
from judgekit.store.seasonask import COLUMNS, scan, value_of
from judgekit.store.seasonkept import ATTEMPTS, SETS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.review.season import Word
    from judgekit.store.seasonask import File


def set_groups(files: Sequence[File], words: Sequence[Word]) -> list[SetGroup]:
    """The groups of all sets by some words; what nobody judged is untold there.

    A set of one rep is one piece however it was done, so that it tells nothing.
    """
    timed = pl.col("untold").cast(pl.String) == ""
    told = timed & (pl.col("reps") > 1)
    pieces = pl.col("pieces").list.len()
    found = _grouped(
        scan(files, SETS),
        words,
        [
            told.sum().alias("sets"),
            (~timed).sum().alias("without"),
            (told & (pieces == 1)).sum().alias("unbroken"),
            pl.col("as_advised").filter(told).is_not_null().sum().alias("advised"),
            pl.col("as_advised").filter(told).sum().alias("kept"),
            pl.col("pace_ms").filter(told).median().alias("pace"),
            pl.col("breaks").filter(told).sum(),
            pl.col("rested_ms").filter(told).sum(),
            pl.col("athlete").filter(told).n_unique().alias("athletes"),
        ],
    )
    return [
        SetGroup(
            of=tuple(value_of(row, word) for word in words),
            sets=row["sets"],
            untold=row["without"],
            unbroken=row["unbroken"],
            advised=row["advised"],
            as_advised=row["kept"],
            pace_ms=None if row["pace"] is None else round(row["pace"]),
            breaks=row["breaks"],
            rested_ms=row["rested_ms"],
            athletes=row["athletes"],
        )
        for row in found.iter_rows(named=True)
    ]


def lost_groups(files: Sequence[File], words: Sequence[Word]) -> list[LostGroup]:
    """The groups of all judged no-reps; each counts under all of its reasons."""
    judged = pl.col("watched").cast(pl.String) == "judged"
    rows = scan(files, ATTEMPTS).filter(judged & ~pl.col("good"))
    if "fault" in words:
        rows = rows.explode("faults")
    found = _grouped(
        rows,
        words,
        [
            pl.len().alias("no_reps"),
            pl.col("lost_middle_ms").is_not_null().sum().alias("with_times"),
            pl.col("lost_low_ms", "lost_middle_ms", "lost_high_ms").sum(),
            pl.col("athlete").n_unique().alias("athletes"),
        ],
    )
    return [
        LostGroup(
            of=tuple(value_of(row, word) for word in words),
            no_reps=row["no_reps"],
            timed=row["with_times"],
            lost=Span(
                low=row["lost_low_ms"],
                middle=row["lost_middle_ms"],
                high=row["lost_high_ms"],
            ),
            athletes=row["athletes"],
        )
        for row in found.iter_rows(named=True)
    ]


def _grouped(
    rows: pl.LazyFrame, words: Sequence[Word], what: Sequence[pl.Expr]
) -> pl.DataFrame:
    columns = dict.fromkeys(column for word in words for column in COLUMNS[word])
    month = pl.col("date").dt.month_start().alias("month")
    return rows.with_columns(month).group_by(list(columns)).agg(what).collect()
