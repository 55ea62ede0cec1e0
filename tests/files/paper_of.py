"""The totals that a judge would have written down of a lane that was judged live."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.onpaper import last_work
from judgekit.core.quantity import show_time
from judgekit.core.tiebreaks import counted_times

if TYPE_CHECKING:
    from collections.abc import Iterator

    from judgekit.core.state import Lane


def paper_of(lane: Lane) -> str:
    """Shorthand lines, with every time that stands on a sheet."""
    return "\n".join(_lines(lane)) + "\n"


def _lines(lane: Lane) -> Iterator[str]:
    yield "from paper"
    plan = lane.plan
    bars = {(bar.part, bar.round): bar.load for bar in lane.work.bars}
    for number, part in enumerate(plan.parts, 1):
        rounds = sorted({s.key.round for s in lane.work.sets if s.key.part == number})
        if rounds:
            yield f"part {part.id or number}"
        for round_ in rounds:
            yield _round(lane, number, round_, bars.get((number, round_), ""))
        end = dict(lane.work.part_ends).get(number)
        last = number == last_work(plan)
        if end is not None and part.ends_by_work and not last:
            yield f"part {part.id or number} at {show_time(end, 1)}"
    yield from _no_reps(lane)
    done = lane.work.done_ms
    if done is not None and plan.parts[last_work(plan) - 1].ends_by_work:
        yield show_time(done, 1)
    elif lane.over_ms is not None:
        yield f"{show_time(lane.over_ms, 1)} time"


def _round(lane: Lane, number: int, round_: int, load: str) -> str:
    part = lane.plan.parts[number - 1]
    sets = [s for s in lane.work.sets if s.key[:2] == (number, round_)]
    keys = lane.plan.round_sets(number, round_)
    good = {s.key: s.good for s in sets}
    full = len(sets) == len(keys) and all(not s.short for s in sets)
    if part.kind == "attempts":
        tried = any(a.set.round == round_ for a in lane.work.attempts)
        what = load if full else f"{load} no"
        return f"attempt {round_}: {what}" if tried else f"attempt {round_}: 0"
    said = f"round {round_}: {', '.join(str(good.get(key, 0)) for key in keys)}"
    ends = [s.done_ms for s in sets if s.done_ms is not None]
    return f"{said} at {show_time(max(ends), 1)}" if full and ends else said


def _no_reps(lane: Lane) -> Iterator[str]:
    for tie in lane.plan.tiebreaks:
        if tie.kind in ("at-rep", "last-rep"):
            reached = 0
            for at, n in counted_times(lane):
                reached += n
                if tie.kind == "last-rep" or reached == tie.number:
                    yield f"rep {reached} at {show_time(at, 1)}"
