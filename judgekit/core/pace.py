"""How soon a rep follows the one before: what no athlete does, and what a judge does.

A press that comes sooner than a card believes is marked and counts. A burst after a
pause is not marked where the pause had room for all of it: there a judge catches up.
The burst is over at the first press that came no sooner than a brisk rep: from there on
the judge is level again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.state import Attempt, Mark, Rest

# A gap longer than this many ordinary reps is a pause; and, where the athlete had to
# get somewhere first, than this many of the quickest changes on top.
_PAUSE = 1.5
_CHANGES = 2
# No judge lags by more presses than this.
_LONGEST_BURST = 40


def pace_mark(
    plan: Plan,
    attempts: Sequence[Attempt],
    rests: Sequence[Rest],
    new: tuple[SetKey, int, int],
) -> Mark | None:
    """The mark of `new` (set, time, reps) for following a good rep too soon."""
    key, at, n = new
    last = attempts[-1]
    card = plan.card_of(key)
    change = plan.card_of(last.set) is not card
    floor_ms = card.floor_ms if _is_timed(plan, key) else 0
    if change:
        # A monitor that shows the target at once was pressed for the rep before.
        soonest = max(card.changeover_ms, floor_ms * n if n > 1 else 0)
    else:
        soonest = floor_ms * n
    if at - last.at >= soonest:
        return None
    if _caught_up(plan, attempts, rests, _needs(plan, key, n, change=change)):
        return None
    return "changeover" if change else "soon"


def _is_timed(plan: Plan, key: SetKey) -> bool:
    """Whether the card's seconds are those of one unit of the set.

    They are those of a rep, a calorie or a segment; a metre takes far less.
    """
    return plan.movement(key).unit != "metres"


def _needs(plan: Plan, key: SetKey, n: int, *, change: bool) -> int:
    """How long a brisk athlete takes for it, with the way from another movement."""
    card = plan.card_of(key)
    reps = card.brisk_ms * n if _is_timed(plan, key) else 0
    return max(reps, card.changeover_ms) if change else reps


def _caught_up(
    plan: Plan, attempts: Sequence[Attempt], rests: Sequence[Rest], needs: int
) -> bool:
    """Whether the last presses are a burst after a pause with room for all of them."""
    key = attempts[-1].set
    card = plan.card_of(key)
    for back in range(1, min(len(attempts), _LONGEST_BURST + 1)):
        first, before = attempts[-back], attempts[-back - 1]
        if first.set != key:
            key = first.set
            card = plan.card_of(key)
        moved = before.set != key
        change = moved and plan.card_of(before.set) is not card
        own = _needs(plan, first.set, first.n, change=change)
        needs += own
        pause = _PAUSE * card.ordinary_ms
        if change or (moved and before.set.part != key.part):
            pause += _CHANGES * card.changeover_ms
        gap = first.at - before.at
        if gap > pause and rests:
            # A planned rest is no pause: nothing could be done in it.
            over = (rest.until_ms for rest in rests if rest.until_ms <= first.at)
            gap = min(gap, first.at - max(over, default=before.at))
        if gap > pause:
            return gap >= needs
        if gap >= own:
            return False
    return False
