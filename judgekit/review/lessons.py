"""What somebody takes home from lanes: their commonest faults, with cue and drill."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.values import dataclass
from judgekit.review.judged import Watched

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from judgekit.core.plan import PlanCard
    from judgekit.review.attempts import AttemptRow, LaneRows

# More than that nobody works on at once.
MOST = 3
# As many good tries in a row are no accident.
FEW = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """One fault of one movement: how often, and what mends it, in the card's words.

    It was made `many` times in `tries` at the movement; `tries` is None where nobody
    counted them. `must_be` is what was to be true.
    """

    card: str
    movement: str
    fault: str
    call: str
    watched: Watched
    many: int
    tries: int | None
    must_be: str
    cue: str
    drill: str


class Said(NamedTuple):
    """A cue that was called so often, in the card's words: its reps counted."""

    movement: str
    call: str
    many: int
    must_be: str
    cue: str
    drill: str


class Made(NamedTuple):
    """A fault as it was watched; `rated`: the tries there were counted."""

    card: str
    fault: str
    watched: Watched
    rated: bool


class Seen(NamedTuple):
    """How often each fault was made, in how many tries, with the newest card of each.

    Judged and sampled tries are never added up. The tries at a movement stand under
    the fault of no name.
    """

    made: dict[Made, int]
    cards: dict[str, PlanCard]

    def tries(self, of: Made) -> int | None:
        """The tries at the movement of a fault, watched the same way."""
        return self.made[of._replace(fault="")] if of.rated else None


def seen(lanes: Iterable[LaneRows], by: str = "") -> Seen:
    """What was seen of one person: of a team's member, or of whoever worked."""
    found = Seen({}, {})
    for lane in lanes:
        for row in own(lane.attempts, by):
            of = Made(row.set.card, "", row.watched, row.rated)
            card = lane.facts.plan.card(row.set.card)
            known = found.cards.setdefault(row.set.card, card)
            if card.revision > known.revision:
                found.cards[row.set.card] = card
            for fault in ("", *row.faults):
                made = of._replace(fault=fault)
                found.made[made] = found.made.get(made, 0) + row.n
    return found


class Clean(NamedTuple):
    """A movement of which every try was judged, and good."""

    movement: str
    tries: int


def clean(lanes: Iterable[LaneRows], by: str = "") -> tuple[Clean, ...]:
    """The movements of one person without any no-rep, the most tries first.

    A few good tries tell nothing yet.
    """
    tries: dict[str, int] = {}
    missed: set[str] = set()
    for lane in lanes:
        for row in own(lane.attempts, by):
            name = row.set.movement
            if not row.good:
                missed.add(name)
            elif row.rated and row.watched == "judged":
                tries[name] = tries.get(name, 0) + row.n
    found = (
        Clean(name, many)
        for name, many in tries.items()
        if name not in missed and many >= FEW
    )
    return tuple(sorted(found, key=lambda one: -one.tries))


def own(rows: Iterable[AttemptRow], by: str) -> Iterator[AttemptRow]:
    """The attempts of one person; of all if nobody is named."""
    return (row for row in rows if by in ("", row.by))


def said(lanes: Iterable[LaneRows], by: str = "") -> tuple[Said, ...]:
    """The cues of one person by movement, the most frequent first.

    A cue whose worker nobody named may be anybody's, too.
    """
    found: dict[tuple[str, str], int] = {}
    cards: dict[str, PlanCard] = {}
    for lane in lanes:
        for row in lane.cues:
            if by in ("", row.by) or not row.by:
                key = row.set.card, row.fault
                found[key] = found.get(key, 0) + 1
                cards[row.set.card] = lane.facts.plan.card(row.set.card)
    told = [
        words
        for (card, fault), many in found.items()
        if (words := _said(cards[card], fault, many)) is not None
    ]
    return tuple(sorted(told, key=lambda one: (-one.many, one.movement, one.call)))


def _said(card: PlanCard, fault_id: str, many: int) -> Said | None:
    """None for a fault that the card has no more."""
    fault = card.fault(fault_id)
    if fault is None:
        return None
    criterion = card.criterion_of(fault)
    return Said(
        movement=card.name,
        call=fault.call,
        many=many,
        must_be="" if criterion is None else criterion.says,
        cue=next(iter(fault.cues), ""),
        drill=fault.drill,
    )


def lessons(found: Seen, most: int = MOST) -> tuple[Lesson, ...]:
    """The faults made most often; of equals first what was made sooner.

    Only a fault that is on the card has something that mends it.
    """
    ordered = sorted(found.made, key=lambda of: -found.made[of])
    every = (_lesson(found, of) for of in ordered if of.fault)
    return tuple([one for one in every if one is not None][:most])


def _lesson(found: Seen, of: Made) -> Lesson | None:
    card = found.cards[of.card]
    fault = card.fault(of.fault)
    if fault is None:
        return None
    criterion = card.criterion_of(fault)
    return Lesson(
        card=card.id,
        movement=card.name,
        fault=fault.id,
        call=fault.call,
        watched=of.watched,
        many=found.made[of],
        tries=found.tries(of),
        must_be="" if criterion is None else criterion.says,
        cue=next(iter(fault.cues), ""),
        drill=fault.drill,
    )
