"""Whether a book stands: its chain, its contents and its plans, from the stored bytes.

What is only to be proved is not made into entries; that would cost most of the time.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from judgekit.core.entry import Body, Entry, Go, Is, Scale
from judgekit.core.errors import BookError
from judgekit.core.plan import Plan
from judgekit.core.values import dataclass
from judgekit.store import chain, lift
from judgekit.store.book import (
    AT_ONCE,
    Broken,
    Snapshot,
    StoredRow,
    entry_of,
    plans_of,
    read_header,
    row_of,
    sound_entries,
)
from judgekit.store.codec import bodies_of, plan_hash

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

_SEALING = frozenset((Go, Is, Scale))


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """A book read and proved: all of it, or what stands before `broken`."""

    entries: tuple[Entry, ...] = ()
    plans: dict[str, Plan] = field(default_factory=dict)
    links: tuple[bytes, ...] = ()
    broken: Broken | None = None


def find_broken(snapshot: Snapshot) -> Broken | None:
    """The first entry that does not stand, or None if the whole book does."""
    return first_broken(snapshot.header, _some(snapshot), lambda: snapshot.plans)


def first_broken(
    head: bytes,
    rows: Iterable[Sequence[StoredRow]],
    plans: Callable[[], Iterable[tuple[str, bytes]]],
) -> Broken | None:
    """The same of a book as it is being read, some rows at a time, then its plans."""
    try:
        proof = _Proof(head)
    except BookError as error:
        return Broken(number=0, what=str(error))
    return _first(proof.rows(some) for some in rows) or proof.plans(plans())


def checked(snapshot: Snapshot) -> Checked:
    """Read a book and prove its chain, its contents and its plans, in one go."""
    try:
        proof = _Reading(snapshot.header)
    except BookError as error:
        return Checked(broken=Broken(number=0, what=str(error)))
    rows = _first(proof.rows(some) for some in _some(snapshot))
    broken = rows or proof.plans(snapshot.plans)
    return Checked(
        entries=tuple(proof.entries),
        plans=proof.read,
        links=tuple(proof.links),
        broken=broken,
    )


def _some(snapshot: Snapshot) -> Iterator[Sequence[StoredRow]]:
    rows = snapshot.rows
    return (rows[at : at + AT_ONCE] for at in range(0, len(rows), AT_ONCE))


def _first(found: Iterable[Broken | None]) -> Broken | None:
    return next((broken for broken in found if broken is not None), None)


class _Proof:
    """A book proved as it is read; BookError if not even its head stands."""

    def __init__(self, head: bytes) -> None:
        self.header = read_header(head)
        self.read: dict[str, Plan] = {}
        self._link = chain.first_link(head)
        self._last = 0
        # Each plan that an entry names, and the newest entry that does.
        self._sealed: dict[str, int] = {}

    def rows(self, some: Sequence[StoredRow]) -> Broken | None:
        """The first of the next rows that does not stand."""
        numbers, stored, hashes = zip(*some, strict=True)
        first = self._last + 1
        try:
            links = chain.links(self._link, stored)
        except TypeError:  # not even bytes any more
            return self._look_closely(some)
        sound = hashes == (*links,) and numbers == (*range(first, first + len(some)),)
        bodies = self._bodies(stored) if sound else None
        if bodies is None:
            return self._look_closely(some)
        for number, body in enumerate(bodies, first):
            if type(body) in _SEALING:
                self._seal(number, body)
        self._stand(links)
        return None

    def plans(self, stored: Iterable[tuple[str, bytes]]) -> Broken | None:
        """What is wrong with a plan, at the entry naming it."""
        gone = self._sealed
        for name, data in stored:
            if plan_hash(data) != name:
                what = "has a plan that was changed"
                return Broken(number=gone.get(name, 0), what=what)
            try:
                self.read |= plans_of(self.header, [(name, data)])
            except BookError as error:
                what = f"has an unreadable plan: {error}"
                return Broken(number=gone.get(name, 0), what=what)
            gone.pop(name, None)
        if gone:
            what = "names a plan that is missing"
            return Broken(number=min(gone.values()), what=what)
        return None

    def _bodies(self, stored: Sequence[bytes]) -> Sequence[Body] | None:
        """The bodies of the next rows, or None where any needs a closer look."""
        if self.header.format != lift.FORMAT:
            return None
        return bodies_of(self._last + 1, stored)

    def _stand(self, links: Sequence[bytes]) -> None:
        """So many rows more stand."""
        self._link = links[-1]
        self._last += len(links)

    def _keep(self, entry: Entry) -> None:
        """An entry that was looked at closely, and stands."""
        self._seal(entry.number, entry.body)

    def _look_closely(self, some: Sequence[StoredRow]) -> Broken | None:
        for found in some:
            number = self._last + 1
            if found[0] != number:
                return Broken(number=number, what="is missing or out of place")
            try:
                row = row_of(found)
                link = chain.link(self._link, row.data)
                if row.hash != link:
                    what = "was changed, or what comes before it was"
                    return Broken(number=number, what=what)
                self._keep(entry_of(self.header, row))
            except BookError as error:
                return Broken(number=number, what=f"cannot be read: {error}")
            self._stand([link])
        return None

    def _seal(self, number: int, body: Body) -> None:
        match body:
            case Go(plans=plans):
                self._sealed |= {name: number for _, name in plans}
            case Is(plan=name) | Scale(plan=name) if name:
                self._sealed[name] = number
            case _:
                pass


class _Reading(_Proof):
    """The same, and what was read on the way."""

    def __init__(self, head: bytes) -> None:
        super().__init__(head)
        self.entries: list[Entry] = []
        self.links = [self._link]

    def _bodies(self, stored: Sequence[bytes]) -> Sequence[Body] | None:
        first = self._last + 1
        numbers = range(first, first + len(stored))
        entries = sound_entries(self.header, numbers, stored)
        if entries is None:
            return None
        self.entries += entries
        return [entry.body for entry in entries]

    def _stand(self, links: Sequence[bytes]) -> None:
        super()._stand(links)
        self.links += links

    def _keep(self, entry: Entry) -> None:
        super()._keep(entry)
        self.entries.append(entry)
