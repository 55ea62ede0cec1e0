"""What a desk is given when it opens."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from typing import Protocol

from judgekit.core.checkitems import Gear
from judgekit.core.entry import Entry
from judgekit.core.errors import BookError
from judgekit.core.plan import Plan
from judgekit.core.ruling import Ref
from judgekit.core.state import Lane
from judgekit.core.values import dataclass
from judgekit.desk.room import Room


def _no_other_book(ref: Ref) -> str:
    raise BookError(f"the log {ref.book} is not open here")


def _nobody(lane: int, day: Sequence[Entry]) -> str:  # noqa: ARG001 - a default
    raise BookError(f"the heat has no lane {lane}")


class Heat(Protocol):
    """A heat as its files have it: who is where, and what they are to do."""

    def plan_of(self, lane: int, day: Sequence[Entry]) -> Plan:
        """The plan of a lane after the day's entries."""

    def bib_in(self, lane: int, day: Sequence[Entry]) -> str:
        """Whose bib stands in a lane by then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """What a desk is given when it opens.

    `lanes` are folded from the run that this desk carries on. `resolve` makes a
    lane's plan from the day's entries of the heat (in any order); `day` are those
    there so far; `bib_in` says who stands in any lane of the heat by then. `past`
    are the entries of the book that is carried on; `hash_of` gives the hash of an
    entry of an earlier book. `room` watches the disk; `notes` are told to the first
    who listens. `times` says which time each lane does its work, and why once more.
    `gear` is what its lanes are checked against, None where there is no lane check;
    `checks` are what the heat's books say about one.
    """

    heat: str
    lanes: Mapping[int, Lane]
    resolve: Callable[[int, Sequence[Entry]], Plan]
    who: str
    bib_in: Callable[[int, Sequence[Entry]], str] = _nobody
    day: tuple[Entry, ...] = ()
    past: tuple[Entry, ...] = ()
    hash_of: Callable[[Ref], str] = _no_other_book
    second: bool = False
    room: Room | None = None
    notes: tuple[str, ...] = ()
    times: Mapping[int, tuple[int, str]] = field(default_factory=dict)
    gear: Gear | None = None
    checks: tuple[Entry, ...] = ()
