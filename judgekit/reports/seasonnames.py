"""What a season's ids are called: names for people, calls for faults."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from judgekit.reports.names import NO_REASON, OFF_CARD
from judgekit.review.season import call_key

if TYPE_CHECKING:
    from judgekit.reports.layout import Cell
    from judgekit.review.season import Fault, Word

# What ids are called, by words.
Names = Mapping[str, Mapping[str, str]]
JOINED = (
    "People are joined by the id in people.csv; without one somebody is another person "
    "in each event."
)
# Words whose values are ids that have names.
_NAMED: tuple[Word, ...] = ("movement", "athlete", "division", "workout")


def named(names: Names, word: Word, value: str) -> Cell:
    """What an id is called; as it is where it has no name."""
    if word == "fault":
        return value or NO_REASON
    if word in _NAMED:
        return names.get(word, {}).get(value, value)
    return value or None


def call(names: Names, movement: str | None, fault: str) -> str:
    """The call, or the id where no card has it any more.

    Without its movement the id stands beside it, as two faults may share a call.
    """
    if not fault:
        return NO_REASON
    calls = names.get("fault", {})
    if movement is not None:
        return calls.get(call_key(movement, fault)) or f"{fault} ({OFF_CARD})"
    known = (one for key, one in calls.items() if key.partition(" ")[2] == fault)
    found = next(known, None)
    return f"{found} ({fault})" if found else f"{fault} ({OFF_CARD})"


def fault_cells(names: Names, of: Fault, *, people: bool) -> tuple[Cell, Cell]:
    fault = call(names, of.movement, of.fault) if people else of.fault
    return named(names, "movement", of.movement), fault
