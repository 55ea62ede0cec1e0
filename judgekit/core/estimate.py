"""How long a workout takes by its cards: a brisk and an ordinary athlete.

Nobody rests more than is planned, and nothing is missed: the day takes longer. A change
of movement costs the card's changeover, which has one rep in it. Where a gym knows its
own paces they stand for the card's, and all that delays an athlete is in them.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

from judgekit.core.card import Card
from judgekit.core.plan import OPEN, Plan, SetKey
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.plan import PlanPart

Pace = Literal["brisk", "ordinary"]
# The ms of one unit by card and unit, as athletes took them, ways and pauses too.
OwnPaces = Mapping[tuple[str, str], int]
_NONE: OwnPaces = {}
_SECOND_MS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """When a part begins and ends at some pace; None where the cards do not tell."""

    part: int
    from_ms: int | None
    until_ms: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Athlete:
    """Somebody who does the plan at one pace."""

    plan: Plan
    cards: Mapping[str, Card]
    pace: Pace
    own: OwnPaces

    def sets_ms(self, keys: Sequence[SetKey], before: str = "") -> int | None:
        """How long these sets take after a movement by the card `before`."""
        total = 0
        for key in keys:
            ms = self._set_ms(key, before)
            if ms is None:
                return None
            total += ms
            before = self.plan.movement(key).card
        return total

    def _set_ms(self, key: SetKey, before: str) -> int | None:
        target, rep = self.plan.target(key), self._rep_ms(key)
        movement = self.plan.movement(key)
        own = self.own.get((movement.card, movement.unit))
        if own is not None and target != OPEN:
            return target * own
        if target == OPEN or rep is None:
            return None
        change = self.plan.card_of(key).changeover_ms
        if before in ("", movement.card):
            return target * rep
        if movement.unit == "seconds":
            return change + target * rep
        return max(change, rep) + (target - 1) * rep

    def _rep_ms(self, key: SetKey) -> int | None:
        """One unit of a set; a card's seconds are those of the first it counts."""
        movement = self.plan.movement(key)
        seconds = self.cards[movement.card].seconds
        if movement.unit == "seconds":
            return _SECOND_MS
        if seconds is None or self.cards[movement.card].counts[0] != movement.unit:
            return None
        return seconds.brisk_ms if self.pace == "brisk" else seconds.ordinary_ms


def passages(
    plan: Plan, cards: Mapping[str, Card], pace: Pace, own: OwnPaces = _NONE
) -> tuple[Passage, ...]:
    """When each part begins and ends at a pace, whatever the cap."""
    athlete = _Athlete(plan=plan, cards=cards, pace=pace, own=own)
    now: int | None = 0
    before = ""
    found = []
    for number, part in enumerate(plan.parts, 1):
        until = None if now is None else _until(athlete, number, now, before)
        found.append(Passage(part=number, from_ms=now, until_ms=until))
        now = until
        before = part.movements[-1].card if part.is_work else ""
    return tuple(found)


def rounds_in(
    plan: Plan,
    cards: Mapping[str, Card],
    passage: Passage,
    pace: Pace,
    own: OwnPaces = _NONE,
) -> int | None:
    """How many whole rounds of a window fit into its time; None if it has no rounds."""
    if passage.from_ms is None or passage.until_ms is None:
        return None
    athlete = _Athlete(plan=plan, cards=cards, pace=pace, own=own)
    left, done, before = passage.until_ms - passage.from_ms, 0, ""
    while True:
        keys = plan.round_sets(passage.part, done + 1)
        takes = athlete.sets_ms(keys, before)
        if not takes:
            return None
        if takes > left:
            return done
        left -= takes
        done += 1
        before = plan.movement(keys[-1]).card


def round_ms(
    plan: Plan, cards: Mapping[str, Card], key: tuple[int, int], pace: Pace
) -> int | None:
    """How long one round of a part takes, given as the part's number and its own."""
    athlete = _Athlete(plan=plan, cards=cards, pace=pace, own=_NONE)
    return athlete.sets_ms(plan.round_sets(*key))


def totals(plan: Plan) -> dict[tuple[str, str], int]:
    """Units of all that must be done, by card and unit in the order of first use."""
    found: dict[tuple[str, str], int] = {}
    for key in plan.all_sets():
        movement = plan.movement(key)
        which = (movement.card, movement.unit)
        found[which] = found.get(which, 0) + plan.target(key)
    return found


def _until(athlete: _Athlete, number: int, now: int, before: str) -> int | None:
    part = athlete.plan.parts[number - 1]
    if part.kind == "rounds":
        worked = athlete.sets_ms(athlete.plan.sets_of(number), before)
        return None if worked is None else now + worked + _rests_ms(part)
    if part.kind == "every":
        return now + (part.rounds - 1) * part.every_ms + part.work_ms
    if part.until_ms:
        return max(now, part.until_ms)
    return now + part.length_ms if part.length_ms else None


def _rests_ms(part: PlanPart) -> int:
    return (part.rounds - 1) * part.rest_ms
