"""One letter for each call on the line of time."""

from __future__ import annotations

from collections import Counter
from string import ascii_letters
from typing import TYPE_CHECKING

from judgekit.reports.names import NO_REASON, OFF_CARD

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from judgekit.core.plan import PlanFault
    from judgekit.review.attempts import AttemptRow, LaneRows

NO_SIGN = "?"


def signs_of(lanes: Iterable[LaneRows]) -> Mapping[str, str]:
    """The letter of each call of no-reps, none of two calls.

    On the Floor a key is another fault's at another movement. The call that is most
    frequent has its key; the others have a letter of their own, if one is left.
    """
    many: Counter[str] = Counter()
    keys: dict[str, str] = {}
    for lane in lanes:
        for row in lane.attempts:
            fault = first_fault(row, lane)
            if fault is not None:
                many[fault.call] += 1
                keys.setdefault(fault.call, fault.key)
    calls = sorted(many, key=lambda call: (-many[call], call))
    return _lettered([(call, keys[call]) for call in calls])


def first_fault(row: AttemptRow, lane: LaneRows) -> PlanFault | None:
    """The first reason of a no-rep, if its card has it."""
    reason = row.faults[0] if row.faults else ""
    return lane.facts.plan.card(row.set.card).fault(reason)


def sign_of(row: AttemptRow, lane: LaneRows, signs: Mapping[str, str]) -> str:
    """The sign of a no-rep."""
    fault = first_fault(row, lane)
    return NO_SIGN if fault is None else signs.get(fault.call, NO_SIGN)


def says_of(row: AttemptRow, lane: LaneRows) -> str:
    """What a no-rep was called for."""
    fault = first_fault(row, lane)
    if fault is not None:
        return fault.call
    return f"{row.faults[0]} ({OFF_CARD})" if row.faults else NO_REASON


def _lettered(calls: Sequence[tuple[str, str]]) -> dict[str, str]:
    found: dict[str, str] = {}
    for call, key in calls:
        if key not in found.values():
            found[call] = key
    for call, key in calls:
        small = [letter for letter in call.lower() if letter in ascii_letters]
        for letter in (*small, key.upper(), *ascii_letters):
            if call not in found and letter not in found.values():
                found[call] = letter
    return found
