"""How soon a rep follows the one before: what no athlete does, and what a judge does.

A press that comes sooner than a card believes is marked and counts. A burst after a
pause is not marked where the pause had room for all of it: there a judge catches up.
The burst is over at the first press that came no sooner than a brisk rep: from there on
the judge is level again.

A monitor's number is held against the time since its set began: the pace of the keys
says nothing of who typed it.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from judgekit.core.rower import metres_ms

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.plan import Plan, SetKey
    from judgekit.core.state import Attempt, Mark, Rest
    from judgekit.core.timeline import Timeline

# A gap longer than this many ordinary reps is a pause; and, where the athlete had to
# get somewhere first, than this many of the quickest changes on top.
_PAUSE = 1.5
_CHANGES = 2
# No judge lags by more presses than this, nor by more ms behind a single one.
_LONGEST_BURST = 40
_LAG_MS = 5000
# The one machine whose metres have a published formula.
_ROWER = "row"


def pace_mark(
    plan: Plan,
    attempts: Sequence[Attempt],
    rests: Sequence[Rest],
    new: tuple[SetKey, int, int],
) -> Mark | None:
    """The mark of `new` (set, time, reps) for following a good rep too soon."""
    key, at, n = new
    last = attempts[-1]
    change = plan.card_of(last.set) is not plan.card_of(key)
    if at - last.at >= soonest_ms(plan, key, n, change=change):
        return None
    if _caught_up(plan, attempts, rests, _needs(plan, key, n, change=change)):
        return None
    return "changeover" if change else "soon"


def soonest_ms(plan: Plan, key: SetKey, n: int, *, change: bool) -> int:
    """How soon after a press one of `n` units may come, after another movement or not.

    A monitor that shows the target at once was pressed for the rep before.
    """
    card = plan.card_of(key)
    floor_ms = card.floor_ms if _is_timed(plan, key) else 0
    if not change:
        return floor_ms * n
    return max(card.changeover_ms, floor_ms * n if n > 1 else 0)


def is_unlikely(
    line: Timeline, attempts: Sequence[Attempt], new: tuple[SetKey, int, int]
) -> bool:
    """Whether nobody brings a monitor there: `new` is its set, when, and what it shows.

    The set began when it was opened, or with the last press before it. What was pressed
    before may have lagged behind the athlete, and a rest that began then likewise.
    """
    key, at, shows = new
    least = least_ms(line.plan, key, shows)
    if not least:
        return False
    opened = line.shut_until(key) or 0
    others = (n for n in range(len(attempts), 0, -1) if attempts[n - 1].set != key)
    many = next(others, 0)
    pressed = attempts[many - 1].at if many else 0
    if at - max(0, max(opened, pressed) - _LAG_MS * bool(many)) >= least:
        return False
    sure = pressed <= opened or at - opened < least
    return sure or not _caught_up(line.plan, attempts[:many], line.rests, least)


def least_ms(plan: Plan, key: SetKey, units: int) -> int:
    """The least time in which a set's monitor can show so much; 0 if that is not known.

    A card's floor is the time of one calorie; the rowing machine's metres take as long
    as calories of the same power. A team may have a machine for each member.
    """
    card, unit = plan.card_of(key), plan.movement(key).unit
    each = Fraction(units, max(1, len(plan.team.members)))
    if not each or not card.floor_ms:
        return 0
    if unit == "calories":
        return round(each * card.floor_ms)
    if unit == "metres" and card.id == _ROWER:
        return metres_ms(each, card.floor_ms)
    return 0


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
