"""Where what officials wrote elsewhere comes among the entries of a run.

By wall time; but never before an entry that it names, and an acceptance comes right
after the last entry that it covers.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import Accept, Body, Entry, Rule
from judgekit.core.ruling import Ref, RestoreAttempt, VoidAttempt

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


def named_by(body: Body) -> frozenset[Ref]:
    """The entries that an official one names."""
    match body:
        case Accept(covers=covers):
            return frozenset(covers)
        case Rule(effect=effect, answers=answers):
            named = frozenset(answers or ())
            if isinstance(effect, VoidAttempt | RestoreAttempt):
                return named | {effect.target}
            return named
        case _:
            return frozenset()


def put_between(
    entries: Sequence[Entry], officials: Sequence[Entry]
) -> tuple[Entry, ...]:
    """The entries with the official ones each in its place."""
    if not officials:
        return tuple(entries)
    gaps: dict[Ref, int] = {}
    for entry in officials:
        gaps[entry.ref] = _gap(entry, entries, gaps)
    out: list[Entry] = []
    for index in range(len(entries) + 1):
        out += (e for e in officials if gaps[e.ref] == index)
        out += entries[index : index + 1]
    return tuple(out)


def _gap(entry: Entry, entries: Sequence[Entry], placed: Mapping[Ref, int]) -> int:
    """Before which of the run's own entries an official one comes."""
    upto: dict[str, int] = {}
    for ref in named_by(entry.body):
        upto[ref.book] = max(ref.number, upto.get(ref.book, 0))
    if isinstance(entry.body, Accept):
        known = [i for i, e in enumerate(entries, 1) if e.number <= upto.get(e.book, 0)]
        seen = [g for ref, g in placed.items() if ref.number <= upto.get(ref.book, 0)]
        if known:
            return max(known + seen)
    named = named_by(entry.body)
    least = max((i for i, e in enumerate(entries, 1) if e.ref in named), default=0)
    by_wall = next(
        (i for i, e in enumerate(entries) if e.wall > entry.wall), len(entries)
    )
    return max(least, by_wall)
