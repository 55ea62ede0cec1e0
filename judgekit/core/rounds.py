"""Rounds of a part as they were done: how many are whole, and what is over."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.counted import full_of, is_open_ended, names_round, scored_parts

if TYPE_CHECKING:
    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane, Work


def in_rounds(plan: Plan, work: Work) -> str:
    """The rounds of the one part that counts: "6 rounds and 5 + 8"; else empty.

    Intervals that had to be whole are told as kept: "4 of 5 intervals kept".
    """
    parts = scored_parts(plan)
    if len(parts) != 1 or any(s.moved_on for s in work.sets):
        return ""
    number, part = parts[0]
    if part.take == "kept" or part.until_failed:
        kept = len(full_of(plan, work.sets, number))
        return f"{kept} of {part.rounds} {names_round(part, part.rounds)} kept"
    first = plan.round_sets(number, 1)
    if part.kind != "window" or any(is_open_ended(plan, key) for key in first):
        return ""
    return _rounds_and_rest(plan, work, number)


def _rounds_and_rest(plan: Plan, work: Work, number: int) -> str:
    full = full_rounds(plan, work, number)
    pieces = [
        s.good for s in work.sets if s.key.part == number and s.key.round == full + 1
    ]
    while pieces and not pieces[-1]:
        pieces.pop()
    rounds = f"{full} round" if full == 1 else f"{full} rounds"
    if not pieces:
        return rounds
    return f"{rounds} and {' + '.join(str(p) for p in pieces)}"


def full_rounds(plan: Plan, work: Work, part: int) -> int:
    """How many rounds of a part were done whole, from the first on."""
    whole = full_of(plan, work.sets, part)
    return next((n for n, round_ in enumerate(whole) if round_ != n + 1), len(whole))


def last_full_round_ms(lane: Lane) -> int | None:
    """When the last whole round of the last part with one was done, or None."""
    for number, part in reversed(list(enumerate(lane.plan.parts, 1))):
        if not part.movements:
            continue
        full = full_rounds(lane.plan, lane.work, number)
        times = [
            s.done_ms
            for s in lane.work.sets
            if s.key.part == number and s.key.round == full and s.done_ms is not None
        ]
        if full and times:
            return max(times)
        if full and lane.work.paper is not None:
            # An earlier part's round is not the last one.
            return None
    return None
