"""From all books of a heat to the runs of one lane, and which of them counts.

Each lane entry of a book that claims the lane is in some run, scored or unscored;
the order in which the books are given never matters.

Fold order: the books of a run in claim order, each by number. What officials wrote
into books that claim nothing here is put between by wall time, with two exceptions
that keep clocks of two machines apart from the score: an entry never comes before
one that it names, and an acceptance comes right after the last entry it covers.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import replace
from operator import attrgetter
from typing import TYPE_CHECKING

from judgekit.core.between import named_by, put_between
from judgekit.core.entry import (
    Absent,
    Claim,
    Entry,
    Go,
    Is,
    Judged,
    Official,
    Recall,
    Rule,
    Scale,
    Source,
)
from judgekit.core.kinds import kinds_in
from judgekit.core.recalls import AFTER_RECALL, cut_at_recalls, since_recall
from judgekit.core.ruling import Ref, RunCounts
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    Books = Mapping[str, Sequence[Entry]]

# Live runs are numbered first, so that a tally written later renumbers none of them.
_SOURCES: tuple[Source, ...] = ("live", "transcribed", "second")
# Logs are long: what is asked of each entry is asked in as few steps as can be.
_NUMBER = attrgetter("number")
_REF = attrgetter("book", "number")
_ON_THE_DAY = frozenset((Scale, Is, Absent))


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One try of one lane.

    `number` counts from 1, `why` says why there is another one. `entries` are in fold
    order, the first `standing` of them said before a recall; `unscored` are the lane's
    entries written after a later desk had taken over.
    In a `conflict` two desks carried the same run on, each without the other.
    `missing` names what was taken over from books that are not here, or not whole.
    """

    number: int
    why: str
    source: Source
    claims: tuple[Entry, ...]
    entries: tuple[Entry, ...]
    standing: int = 0
    unscored: tuple[Entry, ...] = ()
    conflict: bool = False
    recalled: bool = False
    missing: tuple[Ref, ...] = ()

    @property
    def started(self) -> bool:
        """Whether there was a go, or anything judged."""
        return any(isinstance(entry.body, Go | Judged) for entry in self.entries)

    @property
    def judge(self) -> str:
        """Who judges it: the newest claim's judge."""
        return _claimed(self.claims[-1]).judge


def runs_of(books: Books, lane: int) -> tuple[Run, ...]:
    """Every run of a lane: live ones in claim order, transcribed ones, second ones."""
    claims = _Claims(_real(books), lane)
    found: dict[tuple[tuple[str, int], ...], Run] = {}
    for last in claims.unclaimed():
        for run in claims.runs_ending_with(last):
            refs = tuple(map(_REF, run.entries))
            # Two desks that share a past run have no quarrel about that one.
            found[refs] = replace(run, conflict=False) if refs in found else run
    ordered = sorted(found.values(), key=lambda run: _SOURCES.index(run.source))
    runs = [replace(run, number=n) for n, run in enumerate(ordered, 1)]
    return _with_officials(runs, claims.from_elsewhere())


def counting(runs: Sequence[Run]) -> Run | None:
    """The run that counts, or None while none does (a conflict, or only a second's).

    The newest ruling that names a run decides. Without one it is the run claimed last
    that has started; a live run goes before a transcribed one.
    """
    return _chosen(runs, (e for run in runs for e in run.entries))


def day_entries(books: Books) -> tuple[Entry, ...]:
    """What was said on the day about who does what, by wall time, book and number."""
    return tuple(
        sorted(
            (
                entry
                for entries in _real(books).values()
                for entry in entries
                if type(entry.body) in _ON_THE_DAY
            ),
            key=_when,
        )
    )


def _real(books: Books) -> Books:
    """Without those of a rehearsal, wherever somebody may have put them."""
    return {book: entries for book, entries in books.items() if not _practised(entries)}


def _practised(entries: Sequence[Entry]) -> bool:
    return any(
        entry.body.source == "practice"
        for entry in entries
        if isinstance(entry.body, Claim)
    )


def _when(entry: Entry) -> tuple[int, str, int]:
    return entry.wall, entry.book, entry.number


# --- claims ----------------------------------------------------------------------


class _Claims:
    """The claims on one lane, and which claim takes over from which, up to where."""

    def __init__(self, books: Books, lane: int) -> None:
        self._lane = lane
        self._stretches: dict[Ref, tuple[Entry, ...]] = {}
        self._elsewhere: list[Entry] = []
        self._last: dict[str, int] = {}
        claims: list[Entry] = []
        for book, entries in books.items():
            in_order = sorted(entries, key=_NUMBER)
            self._last[book] = in_order[-1].number if in_order else 0
            claims += self._add_book(in_order)
        self._missing: dict[Ref, tuple[Ref, ...]] = {}
        takes = {claim.ref: self._covered(claim, claims) for claim in claims}
        self._order = _claim_order(claims, takes)
        place = {claim.ref: index for index, claim in enumerate(self._order)}
        self._place = place
        # A claim carries on only what was claimed before it.
        self._takes = {
            ref: {old: n for old, n in taken.items() if place[old] < place[ref]}
            for ref, taken in takes.items()
        }
        self._lineage: dict[Ref, set[Ref]] = {}
        for claim in self._order:
            before = (self._lineage[old] for old in self._takes[claim.ref])
            self._lineage[claim.ref] = {claim.ref}.union(*before)

    def _add_book(self, entries: Sequence[Entry]) -> list[Entry]:
        lane = self._lane
        mine = [e for e in entries if e.lane is None or e.lane == lane]
        claims = [e for e in mine if isinstance(e.body, Claim) and e.lane == lane]
        if not claims:
            self._elsewhere += [
                e
                for e in mine
                if e.lane == self._lane and isinstance(e.body, Official | Absent)
            ]
        parted = [bisect_left(mine, c.number, key=_NUMBER) for c in claims[1:]]
        for claim, start, end in zip(
            claims, [0, *parted], [*parted, None], strict=False
        ):
            stretch = mine[start:end]
            # Whoever was claimed in mid-heat was there for no earlier start.
            self._stretches[claim.ref] = (
                tuple(stretch) if start else since_recall(stretch, claim)
            )
        return claims

    def _covered(self, claim: Entry, claims: Sequence[Entry]) -> dict[Ref, int]:
        """The earlier claims that a claim takes over, each with its last number."""
        taken: dict[Ref, int] = {}
        missing: list[Ref] = []
        for cover in _claimed(claim).covers:
            old = _holder(cover, claims, second=_is_second(claim))
            if old is not None and old.ref != claim.ref:
                taken[old.ref] = cover.number
            if old is None or cover.number > self._last[cover.book]:
                missing.append(cover)
        self._missing[claim.ref] = tuple(missing)
        return taken

    def unclaimed(self) -> list[Entry]:
        """The claims that no later one took over, in the order of their openings.

        Each ends one line of claims.
        """
        taken = {old for taken in self._takes.values() for old in taken}
        last = [claim for claim in self._order if claim.ref not in taken]
        return sorted(
            last, key=lambda c: min(self._place[ref] for ref in self._lineage[c.ref])
        )

    def from_elsewhere(self) -> list[Entry]:
        """What was said officially about the lane in books that do not claim it."""
        return sorted(self._elsewhere, key=_when)

    def runs_ending_with(self, last: Entry) -> list[Run]:
        """The runs of one line of claims: a go after a recall begins another."""
        lineage = self._lineage[last.ref]
        line = [c for c in self._order if c.ref in lineage]
        ends = self._ends(line)
        entries: list[Entry] = []
        unscored: list[Entry] = []
        for claim in line:
            end = ends.get(claim.ref)
            stretch = self._stretches[claim.ref]
            if end is not None:
                past = bisect_right(stretch, end, key=_NUMBER)
                unscored += [e for e in stretch[past:] if e.lane == self._lane]
                stretch = stretch[:past]
            entries += stretch
        opening = _claimed(line[0])
        runs = [
            Run(
                number=0,
                why=AFTER_RECALL if index else opening.why,
                source=opening.source,
                claims=tuple(
                    e for e in piece if isinstance(e.body, Claim) and e.ref in lineage
                ),
                entries=piece,
                standing=standing,
                conflict=self._is_conflict(line),
                recalled=Recall in kinds_in(piece),
                missing=tuple(m for c in line for m in self._missing[c.ref]),
            )
            for index, (piece, standing) in enumerate(
                cut_at_recalls(entries, self._lane)
            )
        ]
        runs[-1] = replace(runs[-1], unscored=tuple(unscored))
        return runs

    def _ends(self, line: Sequence[Entry]) -> dict[Ref, int]:
        """Where each taken-over claim ends: the first to take it over says so."""
        ends: dict[Ref, int] = {}
        for claim in line:
            for old, number in self._takes[claim.ref].items():
                ends.setdefault(old, number)
        return ends

    def _is_conflict(self, line: Sequence[Entry]) -> bool:
        openings = [c for c in line if not self._takes[c.ref]]
        if len(openings) > 1:
            return True
        return any(self._contested(claim.ref) for claim in line)

    def _contested(self, old: Ref) -> bool:
        takers = [ref for ref, taken in self._takes.items() if old in taken]
        return any(
            one not in self._lineage[other] and other not in self._lineage[one]
            for one in takers
            for other in takers
        )


def _claimed(claim: Entry) -> Claim:
    return claim.body if isinstance(claim.body, Claim) else Claim(judge="")


def _is_second(claim: Entry) -> bool:
    return _claimed(claim).source == "second"


def _holder(cover: Ref, claims: Sequence[Entry], *, second: bool) -> Entry | None:
    """The claim whose stretch holds that entry; a second judge's never mix in."""
    of_book = [c for c in claims if c.book == cover.book and _is_second(c) == second]
    before = [c for c in of_book if c.number <= cover.number]
    if before:
        return before[-1]
    return of_book[0] if of_book else None


def _claim_order(
    claims: Iterable[Entry], takes: Mapping[Ref, Mapping[Ref, int]]
) -> list[Entry]:
    """Claims by wall time, each after those it takes over, whatever the clocks say."""
    waiting = sorted(claims, key=_when)
    placed: dict[Ref, Entry] = {}
    while waiting:
        ready = (c for c in waiting if takes[c.ref].keys() <= placed.keys())
        following = next(ready, waiting[0])
        waiting.remove(following)
        placed[following.ref] = following
    return list(placed.values())


# --- which run counts ----------------------------------------------------------------


def _chosen(runs: Sequence[Run], entries: Iterable[Entry]) -> Run | None:
    numbers = {run.number: run for run in runs}
    ruled = {
        _when(entry): numbers[entry.body.effect.run]
        for entry in entries
        if isinstance(entry.body, Rule)
        and isinstance(entry.body.effect, RunCounts)
        and entry.body.effect.run in numbers
    }
    if ruled:
        return ruled[max(ruled)]
    for source in ("live", "transcribed"):
        of_source = [run for run in runs if run.source == source]
        # A try that never started takes nothing away from one that did.
        last = ([run for run in of_source if run.started] or of_source)[-1:]
        if last and (last[0].started or source == "transcribed"):
            return None if last[0].conflict else last[0]
    unstarted = [run for run in runs if run.source == "live"][-1:]
    return unstarted[0] if unstarted and not unstarted[0].conflict else None


# --- officials' books ----------------------------------------------------------------


def _with_officials(runs: list[Run], officials: Sequence[Entry]) -> tuple[Run, ...]:
    """The runs with what was said about them elsewhere put in its place."""
    if not runs:
        return ()
    said: dict[int, list[Entry]] = {run.number: [] for run in runs}
    for entry in officials:
        for run in _meant(runs, entry, said):
            said[run.number].append(entry)
    return tuple(
        replace(run, entries=put_between(run.entries, said[run.number])) for run in runs
    )


def _meant(
    runs: Sequence[Run], entry: Entry, said: Mapping[int, Sequence[Entry]]
) -> list[Run]:
    """The run that an official entry is about; `said` is what was said of each.

    It is the one that it names, or that holds what it names; else the one that
    counted when it was written.
    """
    body = entry.body
    if isinstance(body, Rule) and isinstance(body.effect, RunCounts):
        by_number = [run for run in runs if run.number == body.effect.run]
        if by_number:
            return by_number
    named = named_by(body)
    held = [
        sum(e.ref in named for e in (*run.entries, *said[run.number])) for run in runs
    ]
    if any(held):
        # What was looked at before a recall stands in both runs.
        return [run for run, many in zip(runs, held, strict=True) if many == max(held)]
    begun = [run for run in runs if _begun_at(run) <= entry.wall] or list(runs[:1])
    scoring = [run for run in begun if run.source != "second"] or begun
    told = (e for entries in said.values() for e in entries)
    known = [*told, *(e for run in begun for e in run.entries)]
    before = (e for e in known if _when(e) < _when(entry))
    return [_chosen(begun, before) or scoring[-1]]


def _begun_at(run: Run) -> int:
    own = [e for e in run.entries[run.standing :] if e not in run.claims]
    return (own or run.claims)[0].wall
