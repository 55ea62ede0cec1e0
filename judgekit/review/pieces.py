"""How sets were done: pace, breaks, unbroken pieces, ways between sets, slowing down.

All of it comes from the times of presses, and only where each rep had its own: what was
reported, told as a total or read off a monitor has none, and says so. A no-rep is no
break, as the athlete tried; a stop or a freeze ends a piece and is nobody's break.
"""

from __future__ import annotations

from dataclasses import field
from itertools import chain
from statistics import median
from typing import TYPE_CHECKING, Literal, NamedTuple

from judgekit.core.plan import SetKey
from judgekit.core.values import dataclass
from judgekit.review.attempts import LaneFacts, SetFacts, lane_rows
from judgekit.review.held import Held, HeldFor, held_within, holds_of
from judgekit.review.paces import tells
from judgekit.review.rhythm import Rhythm, rhythm_in, rhythm_of
from judgekit.review.steps import ONE_BY_ONE, Presses, Step, Told, presses_of, told_by

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.core.plan import Plan, PlanCard
    from judgekit.core.state import Lane
    from judgekit.review.attempts import LaneRows, SetRow

# Why a set has no pieces.
Untold = Literal[
    "",
    "reported",  # the athlete said how many
    "paper",  # from paper there are totals only
    "monitor",  # a machine counts, or a clock
    "attempts",  # one try at a load, or a hold
    "team",  # who did which rep is not always known
    "several at once",  # more than one rep at a press
    "count moved",  # corrected or ruled on: presses and count differ
    "no rep",  # nothing good in it
]
# How a set begins: with the heat, after the set before, or when a rest or the clock
# lets it.
Begins = Literal["start", "after a set", "after a rest"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPieces:
    """How one set was done.

    `pieces` are the good reps between breaks ("7 + 5"), empty where `untold` says
    why; `planned` the coach's. `pace_ms` is the middle gap while working, `rested_ms`
    what breaks took beyond a rep of `rep_ms`: the athlete's usual one, or the card's
    where none is known. `took_ms` is from when the set could begin to its end, which is
    known of what a monitor counts, too, and `held` what of it was held. `begins` is
    None where it has no times, and `way_ms` is from when the set could begin to its
    first rep, less one rep's own time; after a rest it is rest over plan.
    """

    set: SetFacts
    target: int | None
    good: int
    no_reps: int
    untold: Untold = ""
    pieces: tuple[int, ...] = ()
    planned: tuple[int, ...] = ()
    pace_ms: int | None = None
    rep_ms: int = 0
    breaks: int = 0
    rested_ms: int = 0
    begins: Begins | None = None
    took_ms: int | None = None
    held: tuple[HeldFor, ...] = ()
    way_ms: int | None = None
    told: Told | None = None

    @property
    def steps(self) -> tuple[Step, ...]:
        """Its presses, made anew each time; none where they have no times."""
        return () if self.told is None else self.told.steps

    @property
    def as_planned(self) -> bool | None:
        """Whether it was broken up as the coach advised; None where that is unknown."""
        if self.untold or not self.planned or self.good != self.target:
            return None
        return self.pieces == self.planned


class Kind(NamedTuple):
    """What has one rhythm: a movement with one load."""

    card: str
    load: str


class Worked(NamedTuple):
    """All gaps before single reps of one kind in the order in which they were made.

    `key` is the set that it was first done in.
    """

    kind: Kind
    key: SetKey
    rhythm: Rhythm
    gaps: list[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class LanePieces:
    """All sets of a lane in the plan's order, and the gaps of its movements."""

    facts: LaneFacts
    sets: tuple[SetPieces, ...] = ()
    worked: tuple[Worked, ...] = ()

    @property
    def is_timed(self) -> bool:
        """Whether anything of it has a time."""
        return any(one.told is not None for one in self.sets)

    @property
    def between_ms(self) -> int:
        """The ways from set to set."""
        return self._ways("after a set")

    @property
    def has_rests(self) -> bool:
        """Whether a set came after a rest."""
        return any(one.begins == "after a rest" for one in self.sets)

    @property
    def unknown_ways(self) -> int:
        """How many sets after another or a rest have no time of their first rep."""
        return sum(
            one.way_ms is None and one.begins in ("after a set", "after a rest")
            for one in self.sets
        )

    @property
    def over_rest_ms(self) -> int:
        """What was rested beyond the plan."""
        return self._ways("after a rest")

    @property
    def rested_ms(self) -> int:
        """What was rested within sets."""
        return sum(one.rested_ms for one in self.sets)

    def _ways(self, begins: Begins) -> int:
        ways = (one.way_ms for one in self.sets if one.begins == begins)
        return sum(way for way in ways if way is not None)


@dataclass(slots=True)
class _Sets:
    """When a lane was held, its presses by set, and the rhythms found in them."""

    holds: tuple[Held, ...] = ()
    presses: dict[SetKey, Presses] = field(default_factory=dict)
    worked: dict[Kind, Worked] = field(default_factory=dict)


def lane_pieces(lane: Lane, who: str = "", rows: LaneRows | None = None) -> LanePieces:
    """How the sets of a lane were done; `rows` are its own, if they are at hand."""
    rows = rows or lane_rows(lane, who)
    found = _Sets(holds=holds_of(lane))
    if not lane.plan.team.members:
        opened = {row.set.key: row.opened for row in rows.sets}
        found.presses = presses_of(rows, opened, found.holds)
        found.worked = _worked(lane.plan, found.presses)
    ended: int | None = None
    sets = []
    for row in rows.sets:
        sets.append(_set_pieces(row, found, ended))
        ended = row.done or row.last or ended
    return LanePieces(
        facts=rows.facts, sets=tuple(sets), worked=tuple(found.worked.values())
    )


def kind_of(plan: Plan, key: SetKey) -> Kind:
    """Which rhythm a set goes by."""
    return Kind(plan.movement(key).card, plan.load(key))


def _worked(plan: Plan, presses: Mapping[SetKey, Presses]) -> dict[Kind, Worked]:
    keys: dict[Kind, list[SetKey]] = {}
    for key in presses:
        keys.setdefault(kind_of(plan, key), []).append(key)
    found = {}
    for kind, of in keys.items():
        sets = [presses[key].singles for key in of]
        card = plan.card(kind.card)
        rhythm = rhythm_of(sets, card.floor_ms, card.brisk_ms)
        if rhythm is not None:
            gaps = list(chain.from_iterable(sets))
            found[kind] = Worked(kind, of[0], rhythm, gaps)
    return found


# --- sets ------------------------------------------------------------------------


def _set_pieces(row: SetRow, found: _Sets, ended: int | None) -> SetPieces:
    plan, key = row.lane.plan, row.set.key
    card = plan.card_of(key)
    told, rep = _told(row, found, card)
    untold = _untold(row, told)
    took = _took(row)
    return SetPieces(
        set=row.set,
        target=row.target,
        good=row.good,
        no_reps=row.no_reps,
        untold=untold,
        pieces=() if untold or told is None else tuple(told.pieces),
        planned=row.pieces,
        pace_ms=_pace(told),
        rep_ms=round(rep),
        breaks=0 if told is None else len(told.breaks),
        rested_ms=0 if told is None else told.rested_ms(rep),
        begins=_begins(row, ended) if row.timed and row.watched == "judged" else None,
        took_ms=took,
        held=held_within(found.holds, row.opened, row.opened + (took or 0)),
        way_ms=None if told is None else _way(row, told, rep, found.holds),
        told=told,
    )


def _told(row: SetRow, found: _Sets, card: PlanCard) -> tuple[Told | None, float]:
    """What the presses of a set tell, if it has times, and the usual ms of a rep."""
    presses = found.presses.get(row.set.key)
    worked = found.worked.get(kind_of(row.lane.plan, row.set.key))
    if worked is None:
        told = None if presses is None else Told(presses, presses.at, presses.gaps)
        return told, card.ordinary_ms
    if presses is None:
        return None, rhythm_in(worked.rhythm, (), card.floor_ms).usual_ms
    rhythm = rhythm_in(worked.rhythm, presses.singles, card.floor_ms)
    return told_by(presses, rhythm, card.floor_ms, row.opened), rhythm.usual_ms


def _pace(told: Told | None) -> int | None:
    working = [] if told is None else told.working
    return round(median(working)) if working else None


def _untold(row: SetRow, told: Told | None) -> Untold:
    plan, key = row.lane.plan, row.set.key
    if row.watched != "judged":
        return "reported"
    if not row.timed:
        return "paper"
    if plan.team.members:
        return "team"
    if not tells(plan, key):
        return "monitor" if row.set.unit == "seconds" else "attempts"
    if row.set.unit not in ONE_BY_ONE:
        return "monitor"
    return _unclear(row, told)


def _unclear(row: SetRow, told: Told | None) -> Untold:
    """Why the presses of a set that has times do not tell its pieces."""
    if not row.good:
        return "no rep"
    if told is None or sum(told.presses.good) != row.good:
        return "count moved"
    blurred = (
        many > 1 and (told.gaps[place] is None or place in told.breaks)
        for place, many in enumerate(told.presses.n)
    )
    return "several at once" if any(blurred) else ""


def _begins(row: SetRow, ended: int | None) -> Begins:
    if ended is None:
        return "start"
    return "after a rest" if row.opened > ended else "after a set"


def _took(row: SetRow) -> int | None:
    """From when the set could begin to its end, whatever lay in it."""
    ended = row.done or row.last
    tried = row.lane.plan.part(row.set.key).kind in ("attempts", "hold")
    if ended is None or tried or row.watched != "judged" or not row.timed:
        return None
    return max(0, ended - row.opened)


def _way(row: SetRow, told: Told, rep: float, holds: Sequence[Held]) -> int | None:
    """From when the set could begin to its first rep, less that rep's own time.

    None where a stop or a freeze lies in it.
    """
    first = told.at[0]
    if any(row.opened <= held.begin < first for held in holds):
        return None
    return max(0, round(first - row.opened - told.presses.n[0] * rep))
