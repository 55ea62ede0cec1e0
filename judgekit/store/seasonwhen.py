"""When in the work no-reps come over a season: counted in its files of attempts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from judgekit.review.halves import Halves, compared
from judgekit.review.tiring import MINUTE_MS, Counted
from judgekit.review.trend import Split
from judgekit.store.seasonask import scan
from judgekit.store.seasonkept import ATTEMPTS

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.review.tiring import Along
    from judgekit.store.seasonask import File

_MISSED = (~pl.col("good")).sum().alias("missed")
_AT: Mapping[Along, pl.Expr] = {
    "rep": pl.col("rep"),
    "round": pl.col("round"),
    # What came before a start that was ruled later is of the first minute.
    "minute": pl.col("at_ms").clip(0) // MINUTE_MS + 1,
}


def counts(files: Sequence[File], along: Along) -> list[Counted]:
    """No-reps and attempts at each place, by who they are held against."""
    rows = _by_rep(files) if along == "rep" else _placed(files)
    # Parts follow each other, so that by the minute they are the scale itself.
    part = pl.lit("") if along == "minute" else pl.col("part")
    found = (
        rows.group_by("athlete", "card", part=part, at=_AT[along])
        .agg(_MISSED, pl.col("n").sum())
        .select(pl.col("athlete", "part", "card").cast(pl.String), "at", "missed", "n")
        .collect()
    )
    return [Counted(*row) for row in found.iter_rows()]


def both_halves(files: Sequence[File]) -> Halves:
    """Both halves of all sets that have a target."""
    second = pl.col("rep") > (pl.col("target") + 1) // 2
    found = (
        _by_rep(files)
        .filter(pl.col("target") > 1)
        .group_by("athlete", "card")
        .agg(
            (second & ~pl.col("good")).sum().alias("hits"),
            second.sum().alias("tries"),
            (~second & ~pl.col("good")).sum().alias("hits_before"),
            (~second).sum().alias("tries_before"),
        )
        .with_columns(pl.col("athlete", "card").cast(pl.String))
        .collect()
    )
    return compared((row[0], row[1], Split(*row[2:])) for row in found.iter_rows())


def _placed(files: Sequence[File]) -> pl.LazyFrame:
    """What was judged at a known place of a set."""
    judged = pl.col("watched").cast(pl.String) == "judged"
    return scan(files, ATTEMPTS).filter(judged & pl.col("timed") & pl.col("rated"))


def _by_rep(files: Sequence[File]) -> pl.LazyFrame:
    """The same with several good reps of one press each at a place of its own."""
    last = pl.col("rep")
    return (
        _placed(files)
        .with_columns(rep=pl.int_ranges(last - pl.col("n") + 1, last + 1))
        .explode("rep")
        .with_columns(n=pl.lit(1))
    )
