"""Rows of simulated athletes, whose true rates are known."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.plan import SetKey
from judgekit.review.attempts import AttemptRow, LaneFacts, LaneRows, SetFacts
from tests.support import simple

if TYPE_CHECKING:
    import random
    from collections.abc import Callable

    from judgekit.core.plan import Plan

PACE_MS = 3000


def facts(
    bib: str, *, who: str = "", judge: str = "kb", **changes: object
) -> LaneFacts:
    """A lane of sets of 15 front squats by a bib."""
    plan: Plan = simple(15, bib=bib, name=f"Athlete {bib}", **changes)
    return LaneFacts(plan=plan, who=who, judge=judge)


def squats(round_: int = 1, part: str = "A") -> SetFacts:
    """A round's set of front squats."""
    return SetFacts(
        key=SetKey(1, round_, 1),
        part=part,
        card="front-squat",
        movement="Front squat",
        unit="reps",
    )


def counted(lane: LaneFacts, good: int, *reasons: tuple[str, ...]) -> LaneRows:
    """A lane of so many good reps at one press, then no-reps for these reasons."""
    one, bib = squats(), lane.plan.bib
    rows = [AttemptRow(lane, one, "judged", 1000, good, good, True, good, (), bib)]
    rows += [
        AttemptRow(
            lane, one, "judged", 2000 + n, good + 1, good + n, False, 1, why, bib
        )
        for n, why in enumerate(reasons, 1)
    ]
    return LaneRows(facts=lane, attempts=tuple(rows if good else rows[1:]))


def simulated(
    lane: LaneFacts,
    chance: random.Random,
    missed: Callable[[int], float],
    *,
    sets: int = 3,
    reps: int = 15,
    part: str = "A",
) -> LaneRows:
    """An athlete who misses the rep of that number so often, until the set is full."""
    rows: list[AttemptRow] = []
    for round_ in range(1, sets + 1):
        one, rep, tries = squats(round_, part), 1, 0
        while rep <= reps:
            good = chance.random() >= missed(rep)
            tries += 1
            rows.append(
                AttemptRow(
                    lane,
                    one,
                    "judged",
                    (len(rows) + 1) * PACE_MS,
                    rep,
                    tries,
                    good,
                    1,
                    () if good else ("depth",),
                    lane.plan.bib,
                )
            )
            rep += good
    return LaneRows(facts=lane, attempts=tuple(rows))


def on(rows: LaneRows, date: str) -> LaneRows:
    """The same on another day."""
    other = replace(rows.facts, plan=replace(rows.facts.plan, date=date))
    moved = tuple(row._replace(lane=other) for row in rows.attempts)
    return replace(rows, facts=other, attempts=moved)
