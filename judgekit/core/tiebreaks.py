"""Tie-breaks: each as shown, and its order; one that is missing sorts last."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.counted import RankKey, full_of, scored_by, scored_parts
from judgekit.core.forload import best_of
from judgekit.core.fortime import round_times
from judgekit.core.quantity import rounded, show_time
from judgekit.core.rounds import last_full_round_ms
from judgekit.core.ruling import RepsInSet
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from judgekit.core.plan import Plan, PlanTieBreak, SetKey
    from judgekit.core.state import Lane, SetDone


# Parts of a kilogram: a hundredth of a pound is a whole number of them.
_EXACT = 10**10


@dataclass(frozen=True, slots=True, kw_only=True)
class TieBreak:
    """One tie-break of a lane: the less the better, None where there is none.

    A time is cut to the workout's precision, for show and for ranking alike.
    """

    label: str
    value: int | None
    shown: str
    is_time: bool

    @property
    def key(self) -> RankKey:
        """Its place in a rank key."""
        return (1, 0) if self.value is None else (0, self.value)

    @property
    def told(self) -> str:
        """In words with its value: "last full round 2:10", "3 no-reps"."""
        return f"{self.label} {self.shown}" if self.is_time else self.shown


def tiebreaks_of(lane: Lane) -> tuple[TieBreak, ...]:
    """The lane's tie-breaks, in the order in which they part equal scores."""
    return tuple(_tiebreak(lane, tie) for tie in lane.plan.tiebreaks)


def tie_moments(lane: Lane) -> tuple[tuple[str, int], ...]:
    """The exact moment of each tie-break that is one, on the lane's own clock."""
    found = []
    for tie in lane.plan.tiebreaks:
        ms = _TIMES[tie.kind](lane, tie) if tie.kind in _MOMENTS else None
        if ms is not None:
            found.append((label_of(lane.plan, tie), ms))
    return tuple(found)


def label_of(plan: Plan, tie: PlanTieBreak) -> str:
    """A tie-break in words: "60th rep"."""
    if tie.kind == "after-part":
        return f"end of part {plan.parts[tie.part - 1].id}"
    if tie.kind == "at-rep":
        return f"rep {tie.number}"
    if tie.kind == "lighter-in":
        return f"lighter lift in part {plan.parts[tie.part - 1].id}"
    return _LABELS[tie.kind]


def _tiebreak(lane: Lane, tie: PlanTieBreak) -> TieBreak:
    label = label_of(lane.plan, tie)
    if not _was_seen(lane, tie):
        is_time = tie.kind not in _NOT_TIMES
        return TieBreak(label=label, value=None, shown="", is_time=is_time)
    if tie.kind in _NOT_TIMES:
        value, words = _NOT_TIMES[tie.kind](lane, tie)
        shown = "" if value is None else words
        return TieBreak(label=label, value=value, shown=shown, is_time=False)
    precision = lane.plan.precision_ms
    ms = _TIMES[tie.kind](lane, tie)
    kept = None if ms is None else ms // precision * precision
    shown = "" if kept is None else show_time(kept, precision)
    return TieBreak(label=label, value=kept, shown=shown, is_time=True)


def _was_seen(lane: Lane, tie: PlanTieBreak) -> bool:
    """Whether anybody saw what the tie-break asks for; a result tells no times."""
    if tie.kind == "lighter-body":
        return True
    if lane.work.given is not None:
        return False
    if lane.work.paper is not None and tie.kind == "interval-seconds":
        return not _lacks_rounds(lane)
    return tie.kind != "fewer-no-reps" or lane.plan.watching == "judged"


# --- times ---------------------------------------------------------------------------


def _after_part(lane: Lane, tie: PlanTieBreak) -> int | None:
    return dict(lane.work.part_ends).get(tie.part)


def _at_rep(lane: Lane, tie: PlanTieBreak) -> int | None:
    if lane.work.paper is not None:
        return dict(lane.work.paper.reps_at).get(tie.number)
    reached = 0
    for at, n in counted_times(lane):
        reached += n
        if reached >= tie.number:
            return at
    return None


def _last_rep(lane: Lane, _: PlanTieBreak) -> int | None:
    if lane.work.paper is not None:
        done = sum(s.good for s in lane.work.sets)
        return dict(lane.work.paper.reps_at).get(done)
    return max((at for at, _ in counted_times(lane)), default=None)


def _lacks_rounds(lane: Lane) -> bool:
    """Whether an interval was done whole and paper does not say by when."""
    parts = [n for n, p in scored_parts(lane.plan) if p.kind == "every"]
    return any(
        len([t for t in round_times(lane, n) if t.took_ms is not None])
        < len(full_of(lane.plan, lane.work.sets, n))
        for n in parts
    )


def _interval_seconds(lane: Lane, _: PlanTieBreak) -> int | None:
    parts = [n for n, p in scored_parts(lane.plan) if p.kind == "every"]
    times = [t.took_ms for number in parts for t in round_times(lane, number)]
    whole = [ms for ms in times if ms is not None]
    return sum(whole) if whole else None


class _Move(NamedTuple):
    """The count of a set moved by `by` at a time."""

    at: int
    by: int


def counted_times(lane: Lane) -> list[tuple[int, int]]:
    """When each of the units that count was done: (time, how many), in time order.

    A correction takes off the newest of its set; what a ruling adds to a set was done
    when the set ended, as nobody saw when.
    """
    moves = _moves(lane)
    found: list[tuple[int, int]] = []
    for done in lane.work.sets:
        found += _kept(done, sorted(moves.get(done.key, ())))
    return sorted(found)


def _moves(lane: Lane) -> dict[SetKey, list[_Move]]:
    moves: dict[SetKey, list[_Move]] = {}
    for attempt in lane.work.attempts:
        if attempt.counts and attempt.n:
            moves.setdefault(attempt.set, []).append(_Move(attempt.at, attempt.n))
    rulings = {r.ref: r.rule.effect for r in lane.rulings}
    for c in lane.work.corrections:
        effect = rulings.get(c.ref)
        # What a ruling did to one attempt stands with the attempt.
        if effect is None or (isinstance(effect, RepsInSet) and c.by < 0):
            moves.setdefault(c.set, []).append(_Move(c.at, c.by))
    return moves


def _kept(done: SetDone, moves: list[_Move]) -> list[tuple[int, int]]:
    """The moves of one set that make up its count, the newest taken off first."""
    stack: list[tuple[int, int]] = []
    for at, by in moves:
        if by > 0:
            stack.append((at, by))
        else:
            _take_off(stack, -by)
    count = sum(n for _, n in stack)
    end = done.done_ms if done.done_ms is not None else done.last_ms or 0
    if count > done.good:
        _take_off(stack, count - done.good)
    elif count < done.good:
        stack.append((end, done.good - count))
    return stack


def _take_off(stack: list[tuple[int, int]], many: int) -> None:
    while many and stack:
        at, n = stack.pop()
        if n > many:
            stack.append((at, n - many))
            return
        many -= n


# --- others --------------------------------------------------------------------------


def _no_reps(lane: Lane, _: PlanTieBreak) -> tuple[int | None, str]:
    many = sum(s.no_reps for s in lane.work.sets)
    if lane.work.paper is not None:
        many = sum(one.n for one in lane.work.paper.no_reps)
    return many, f"{many} no-rep{'' if many == 1 else 's'}"


def _body(lane: Lane, _: PlanTieBreak) -> tuple[int | None, str]:
    grams = lane.plan.body_grams
    text = rounded(Fraction(grams, 1000), 3).rstrip("0").rstrip(".")
    return grams or None, f"{text} kg body mass"


def _attempt(lane: Lane, _: PlanTieBreak) -> tuple[int | None, str]:
    """At which attempt the heaviest load was lifted, in the last part with attempts."""
    plan = lane.plan
    loads = [n for n, p in scored_parts(plan) if scored_by(plan, p) == "load"]
    number = best_of(lane, loads[-1]).number if loads else 0
    return number or None, f"attempt {number}"


def _lighter_in(lane: Lane, tie: PlanTieBreak) -> tuple[int | None, str]:
    """The best load of a part, as a whole number in which pounds are exact, too."""
    load = best_of(lane, tie.part).load
    if load is None:
        return None, ""
    part = lane.plan.parts[tie.part - 1].id
    return int(load.amount * _EXACT), f"{load.written} in part {part}"


_LABELS: Mapping[str, str] = {
    "last-full-round": "last full round",
    "last-rep": "last rep",
    "interval-seconds": "all whole intervals",
    "fewer-no-reps": "fewer no-reps",
    "lighter-body": "lighter athlete",
    "earlier-attempt": "earlier attempt",
}
_TIMES: Mapping[str, Callable[[Lane, PlanTieBreak], int | None]] = {
    "after-part": _after_part,
    "last-full-round": lambda lane, _: last_full_round_ms(lane),
    "at-rep": _at_rep,
    "last-rep": _last_rep,
    "interval-seconds": _interval_seconds,
}
# All but a sum of times.
_MOMENTS = _TIMES.keys() - {"interval-seconds"}
_NOT_TIMES: Mapping[str, Callable[[Lane, PlanTieBreak], tuple[int | None, str]]] = {
    "fewer-no-reps": _no_reps,
    "lighter-body": _body,
    "earlier-attempt": _attempt,
    "lighter-in": _lighter_in,
}
