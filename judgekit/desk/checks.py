"""Before a desk opens: the disk that its log lies on, and what the log is worth.

What is damaged is said, never counted on without a word: what stands before the
damage is carried on in a new book, and the damaged file stays as it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import TYPE_CHECKING

from judgekit.core.entry import Claim
from judgekit.core.errors import BookError
from judgekit.core.runs import Run, runs_of
from judgekit.core.values import dataclass
from judgekit.store import disk, sqlite
from judgekit.store.book import read_header
from judgekit.store.folder import BookCopy, look
from judgekit.store.lift import FORMAT, NewerFormat

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from judgekit.store.folder import Damaged


@dataclass(frozen=True, slots=True, kw_only=True)
class LogRead:
    """A heat's log as a desk finds it.

    `copies` are the books to carry on from; of those in `damaged` (their ids) only
    what stands, and nothing more is to be written to them. `runs` are those of each
    lane asked for. `notes` are for the judge, `why` for the log itself.
    """

    copies: tuple[BookCopy, ...]
    runs: Mapping[int, tuple[Run, ...]] = field(default_factory=dict)
    damaged: frozenset[str] = frozenset()
    notes: tuple[str, ...] = ()
    why: tuple[str, ...] = ()


def check_disk(log: Path, *, trust: bool, kind: str | None = None) -> str:
    """What the log should say about its disk's locks, empty if they can be trusted.

    `kind` is the type of its file system, found out if not given. Raises BookError
    for a disk whose locks cannot be trusted, unless that is to be risked.
    """
    found = disk.kind_of(log) if kind is None else kind
    if disk.locks_hold(found):
        return ""
    if trust:
        return f"on a shared disk ({found}), trusted by --trust-disk"
    raise BookError(
        f"{log} is on a shared disk ({found}), where a second desk is not kept out "
        "for certain, and a log can be damaged. Copy the event to this computer's own "
        "disk and judge there. If only this computer opens this heat, "
        "judgekit floor with --trust-disk opens it all the same"
    )


def read_log(log: Path, heat: str, lanes: Sequence[int]) -> LogRead:
    """The heat's books, and what is wrong with them in words.

    Raises BookError for two copies of a book that contradict each other (which one
    is right, no program can know), for a book of another format that this version
    cannot read whole, and for one that a file beside it hides: that is no damage.
    """
    found = look(log, heat)
    if found.forks:
        raise BookError("\n".join(str(fork) for fork in found.forks))
    damaged = [one for one in found.damaged if one.carried_on is None]
    _refuse_others(damaged)
    known = {copy.id for copy in found.copies}
    standing = [
        one.standing
        for one in damaged
        if one.standing is not None and one.standing.id not in known
    ]
    mine = [copy for copy in standing if _claims(copy) & set(lanes)]
    copies = sorted((*found.copies, *standing), key=lambda copy: copy.id)
    books = {copy.id: copy.entries for copy in copies}
    return LogRead(
        copies=tuple(copies),
        runs={number: runs_of(books, number) for number in lanes},
        damaged=frozenset(copy.id for copy in standing),
        notes=_notes(damaged, mine),
        why=tuple(f"{copy.id} is damaged after entry {copy.last}" for copy in mine),
    )


def _refuse_others(damaged: Sequence[Damaged]) -> None:
    """What is no damage of the book's own has another way out than a new book."""
    for one in damaged:
        if one.standing is not None and _format(one.standing) != FORMAT:
            raise BookError(str(one))
        try:
            hides = sqlite.read(one.path).hidden_by()
        except NewerFormat:
            raise
        except BookError:
            continue
        if hides:
            raise BookError(str(one))


def _format(copy: BookCopy) -> int:
    return read_header(copy.stored.header).format


def check_free(found: LogRead, lane: int) -> None:
    """Refuse to carry on behind the back of a desk whose file was damaged: BookHeld."""
    for copy in found.copies:
        if copy.id in found.damaged and lane in _claims(copy):
            sqlite.take_lock(copy.home, sqlite.PATIENCE_SECONDS).release()


def _claims(copy: BookCopy) -> set[int | None]:
    return {entry.lane for entry in copy.entries if isinstance(entry.body, Claim)}


def _notes(damaged: Sequence[Damaged], mine: Sequence[BookCopy]) -> tuple[str, ...]:
    notes = [
        f"Check the count: the log is damaged, and goes on from entry {copy.last}."
        for copy in mine
    ]
    paths = {copy.path for copy in mine}
    others = [one for one in damaged if one.path not in paths]
    unknown = [one for one in others if not (one.standing and _claims(one.standing))]
    if unknown:
        name = unknown[0].path.name
        notes.append(f"Check the count: was {name} this lane's log? It cannot be read.")
    elif others:
        notes.append("Another log of this heat is damaged; see judgekit log verify.")
    return tuple(notes)
