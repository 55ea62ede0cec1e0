"""A book in memory: the same rules without a disk, for tests and played lanes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.errors import BookError
from judgekit.store import chain
from judgekit.store.book import (
    Broken,
    Header,
    Row,
    Snapshot,
    header_bytes,
    new_plans,
    next_rows,
)
from judgekit.store.codec import decode_plan
from judgekit.store.lift import FORMAT
from judgekit.store.proof import find_broken

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan


class MemoryBook:
    """A book that is gone with its process."""

    def __init__(self, book_id: str, *, event: str, heat: str, wall: int) -> None:
        self.id = book_id
        self.event = event
        self.heat = heat
        self._header = header_bytes(
            Header(format=FORMAT, book=book_id, event=event, heat=heat, created=wall)
        )
        self._rows: list[Row] = []
        self._entries: list[Entry] = []
        self._plans: dict[str, bytes] = {}
        self._closed = False

    @property
    def last(self) -> int:
        return len(self._rows)

    def append(self, entries: Sequence[Entry], plans: Sequence[bytes] = ()) -> None:
        if self._closed:
            raise BookError(f"the log {self.id} is closed")
        previous = self._link_at(self.last)
        rows = next_rows(self.id, self.last, previous, entries)
        self._plans |= new_plans(plans, self._plans)
        self._rows += rows
        self._entries += entries

    def mend(self) -> str:
        """Nothing befalls a book in memory."""
        return ""

    def entries(self, after: int = 0) -> list[Entry]:
        return self._entries[max(after, 0) :]

    def hash_at(self, number: int) -> str:
        if not 0 <= number <= self.last:
            raise BookError(f"the log {self.id} has no entry {number}")
        return self._link_at(number).hex()

    def plans(self) -> dict[str, Plan]:
        return {name: decode_plan(data) for name, data in self._plans.items()}

    def snapshot(self) -> Snapshot:
        return Snapshot(
            header=self._header,
            rows=tuple(self._rows),
            plans=tuple(self._plans.items()),
        )

    def verify(self) -> Broken | None:
        return find_broken(self.snapshot())

    def close(self) -> None:
        self._closed = True

    def _link_at(self, number: int) -> bytes:
        if number == 0:
            return chain.first_link(self._header)
        return self._rows[number - 1].hash
