"""Rounds of a part as they were done: how many are whole, and what is over."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.plan import SetKey

if TYPE_CHECKING:
    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane, Work


def in_rounds(plan: Plan, work: Work) -> str:
    """A single window's score in words: "6 rounds and 5 + 8"; else empty."""
    windows = [n for n, part in enumerate(plan.parts, 1) if part.movements]
    if len(windows) != 1 or plan.parts[windows[0] - 1].kind != "window":
        return ""
    number = windows[0]
    if any(s.moved_on for s in work.sets):
        return ""
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
    done = {s.key for s in work.sets if s.short == 0}
    movements = range(1, len(plan.parts[part - 1].movements) + 1)
    round_ = 0
    while all(SetKey(part, round_ + 1, m) in done for m in movements):
        round_ += 1
    return round_


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
    return None
