"""The lane check: what a judge answered before go, and what is open still.

A checked item changes no score; an item whose planned words change is open again.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.checkitems import PLACES, REACH, Item, items, place
from judgekit.core.entry import Entry
from judgekit.core.errors import Refusal
from judgekit.core.measuring import miss, no_reach
from judgekit.core.quantity import parse, parse_as
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.core.checkentry import Answer
    from judgekit.core.plan import Plan

# The reason in a log that was written from paper, and those that a desk gives itself.
TRANSCRIBED = "transcribed"
OTHER_DESK = "go came from another desk"
LATE_START = "late start"


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneCheck:
    """The items of a lane, and what was answered: now, and `earlier` this day."""

    items: tuple[Item, ...]
    now: tuple[Entry, ...] = ()
    earlier: tuple[Entry, ...] = ()

    def answer(self, item: Item) -> Check | None:
        """The newest answer about an item, if it is about what is planned by now."""
        return _newest(self.now, item)

    @property
    def open(self) -> tuple[Item, ...]:
        """What has no answer that settles it."""
        return tuple(i for i in self.items if not _settles(self.answer(i)))

    @property
    def unchanged(self) -> tuple[Item, ...]:
        """Open items that may be answered together: as at the lane's last check."""
        return tuple(
            item
            for item in self.open
            if not item.one_by_one and self.answer(item) is None and self._stood(item)
        )

    @property
    def unexplained(self) -> tuple[Item, ...]:
        """Open items without a reason for going all the same."""
        explained = {
            name
            for entry in self.now
            if isinstance(entry.body, Unchecked)
            for name in entry.body.items
        }
        return tuple(item for item in self.open if item.id not in explained)

    def going(self, why: str) -> Unchecked | None:
        """What is to be logged before go; None where nothing is left to explain."""
        left = tuple(item.id for item in self.unexplained)
        return Unchecked(items=left, why=why) if left else None

    def _stood(self, item: Item) -> bool:
        found = _newest(self.earlier, item)
        return found is not None and found.answer in ("as planned", "measured")


def _newest(entries: Sequence[Entry], item: Item) -> Check | None:
    for entry in reversed(entries):
        body = entry.body
        if isinstance(body, Check) and body.item == item.id:
            return body if body.planned == item.planned else None
    return None


def _settles(answer: Check | None) -> bool:
    if answer is None or answer.answer == "refused":
        return False
    return answer.answer != "not as planned" or bool(answer.by)


def checks_in(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """What entries say about a lane check."""
    return tuple(e for e in entries if isinstance(e.body, Check | Unchecked))


def name_of(plan: Plan, item: str) -> str:
    """What an item of the log is called; its id where the plan has no such item."""
    known = {found.id: found.name for found in items(plan)}
    known |= {id_: name for id_, (name, *_) in PLACES.items()}
    return known.get(item, "Reach" if item == REACH else item)


# --- answering --------------------------------------------------------------------


def answered(plan: Plan, entries: Sequence[Entry], act: Check) -> Check | Refusal:
    """An answer with what is planned; a measured value that misses is refused."""
    known = {item.id: item for item in items(plan, entries)}
    known |= {id_: place(plan, id_) for id_ in PLACES}
    item = known.get(act.item)
    if item is None:
        return Refusal(says=f"{act.item} is no item here; known: {', '.join(known)}.")
    if act.answer in ("measured", "refused"):
        return _measured(item, act)
    refused = _unmeasured(item, act)
    return Refusal(says=refused) if refused else replace(act, planned=item.planned)


def _unmeasured(item: Item, act: Check) -> str:
    """Why an answer without a value cannot stand; empty if it can."""
    if act.answer == "not as planned":
        return "" if act.why else "Say what is not as planned."
    if item.must:
        return f"{item.name}: type what the tape shows, with its unit."
    return _REACH_FIRST if _lacks_reach(item) else ""


_REACH_FIRST = "Measure the reach first: it makes this height."


def _lacks_reach(item: Item) -> bool:
    return item.kind == "personal target" and item.wanted is None


def _measured(item: Item, act: Check) -> Check | Refusal:
    if item.takes is None:
        return Refusal(says=f"{item.name}: nothing is measured there.")
    if _lacks_reach(item):
        return Refusal(says=_REACH_FIRST)
    try:
        value = parse_as(act.value, item.takes)
    except ValueError as error:
        return Refusal(says=f"{item.name}: {error}.")
    wrong = no_reach(value) if item.kind == "reach" else ""
    if wrong:
        return Refusal(says=f"{item.name}: {wrong}.")
    missed = item.wanted is not None and bool(miss(value, item.wanted))
    answer: Answer = "refused" if missed or act.answer == "refused" else "measured"
    return replace(act, answer=answer, planned=item.planned)


def miss_words(plan: Plan, entries: Sequence[Entry], check: Check) -> str:
    """Why a refused value will not do, said again; empty if the plan has changed."""
    for item in items(plan, entries):
        if item.id == check.item and item.planned == check.planned and item.wanted:
            return miss(parse(check.value), item.wanted)
    return ""
