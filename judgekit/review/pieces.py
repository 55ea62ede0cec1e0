"""How sets were done: pace, breaks, unbroken pieces, ways between sets, slowing down.

All of it comes from the times of presses, and only where each rep had its own: what was
reported, told as a total or read off a monitor has none, and says so. A no-rep is no
break, as the athlete tried; a stop or a freeze ends a piece and is nobody's break.
"""

from __future__ import annotations

from dataclasses import field
from statistics import median
from typing import TYPE_CHECKING, Literal, NamedTuple

from judgekit.core.plan import SetKey
from judgekit.core.values import dataclass
from judgekit.review.attempts import LaneFacts, SetFacts, lane_rows
from judgekit.review.held import Held, HeldFor, held_within, holds_of
from judgekit.review.paces import tells
from judgekit.review.rhythm import (
    BRISK_REPS,
    Pressed,
    Rhythm,
    rhythm_in,
    rhythm_of,
    settled,
)
from judgekit.review.setsums import set_sum
from judgekit.review.slowing import Slowing, slowing_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane
    from judgekit.review.attempts import AttemptRow, LaneRows, SetRow

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
_ONE_BY_ONE = frozenset({"reps", "segments"})


class Step(NamedTuple):
    """One press in a set. `gap` is the ms since the press before in it, None at first.

    `at` is when the rep was, where a late press can be told, `pressed` when its press
    was. `breaks`: the athlete let go before it; `held`: a stop or freeze came before.
    """

    at: int
    gap: int | None
    n: int
    good: bool
    faults: tuple[str, ...]
    breaks: bool = False
    held: bool = False
    pressed: int = 0

    @property
    def each(self) -> float | None:
        """The ms a rep, None where there is no gap to tell."""
        return None if self.gap is None else self.gap / self.n


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
    steps: tuple[Step, ...] = ()

    @property
    def as_planned(self) -> bool | None:
        """Whether it was broken up as the coach advised; None where that is unknown."""
        if self.untold or not self.planned or self.good != self.target:
            return None
        return self.pieces == self.planned


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """The athlete's pace at one movement and load, all sets of it together.

    `pace_ms` is how long a rep takes (see `setsums.py`), None where no set tells it;
    `usual_ms` is the middle of all gaps without breaks, by which breaks are found.
    `by_card`: too few gaps to have a rhythm; `slowly`: no gap was quick by the card, so
    that these may have been single reps. `slowing` is None where gaps are too few.
    """

    card: str
    movement: str
    load: str
    unit: str
    gaps: int
    pace_ms: int | None
    usual_ms: int
    limit_ms: int
    by_card: bool
    slowly: bool
    slowing: Slowing | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LanePieces:
    """All sets of a lane in the plan's order, and the paces of its movements."""

    facts: LaneFacts
    sets: tuple[SetPieces, ...] = ()
    paces: tuple[Pace, ...] = ()

    @property
    def is_timed(self) -> bool:
        """Whether anything of it has a time."""
        return any(one.steps for one in self.sets)

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


class Kind(NamedTuple):
    """What has one rhythm: a movement with one load."""

    card: str
    load: str


@dataclass(slots=True)
class _Sets:
    """When a lane was held, its steps by set, and the rhythms found in them."""

    holds: tuple[Held, ...] = ()
    steps: dict[SetKey, list[Step]] = field(default_factory=dict)
    rhythms: dict[Kind, Rhythm] = field(default_factory=dict)


def lane_pieces(lane: Lane, who: str = "", rows: LaneRows | None = None) -> LanePieces:
    """How the sets of a lane were done; `rows` are its own, if they are at hand."""
    rows = rows or lane_rows(lane, who)
    found = _Sets(holds=holds_of(lane))
    if not lane.plan.team.members:
        found.steps = _steps(rows, found.holds)
        found.rhythms = _rhythms(lane.plan, found.steps)
    ended: int | None = None
    sets = []
    for row in rows.sets:
        sets.append(_set_pieces(row, found, ended))
        ended = row.done or row.last or ended
    return LanePieces(
        facts=rows.facts, sets=tuple(sets), paces=tuple(_paces(lane.plan, found, sets))
    )


def kind_of(plan: Plan, key: SetKey) -> Kind:
    """Which rhythm a set goes by."""
    return Kind(plan.movement(key).card, plan.load(key))


# --- steps -----------------------------------------------------------------------


def _steps(rows: LaneRows, holds: Sequence[Held]) -> dict[SetKey, list[Step]]:
    """The steps of each set that has times; a set gone back to begins anew."""
    plan = rows.facts.plan
    opened = {row.set.key: row.opened for row in rows.sets}
    found: dict[SetKey, list[Step]] = {}
    for visit in _visits(_in_time(rows.attempts, opened)):
        key = visit[0].set.key
        if visit[0].watched != "judged" or not _is_timed(plan, key):
            continue
        floor = plan.card_of(key).floor_ms
        presses = [Pressed(row.at, row.n, floor if row.good else 0) for row in visit]
        first = None if key in found else opened.get(key)
        times = settled(presses, 0, first)
        before: int | None = None
        for row, at in zip(visit, times, strict=True):
            held = before is not None and any(before < h.begin <= row.at for h in holds)
            gap = None if before is None or held else at - before
            step = Step(at, gap, row.n, row.good, row.faults, held=held, pressed=row.at)
            found.setdefault(key, []).append(step)
            before = at
    return found


def _in_time(
    attempts: Sequence[AttemptRow], opened: Mapping[SetKey, int]
) -> Iterator[AttemptRow]:
    """Without reps made in the rest before a set, where those count for nothing."""
    for row in attempts:
        at_rest = row.at < opened.get(row.set.key, 0)
        at_rest = at_rest and row.lane.plan.early_start == "no-rep"
        if row.timed and not at_rest:
            yield row


def _visits(attempts: Iterable[AttemptRow]) -> Iterator[list[AttemptRow]]:
    """Attempts in the order of time, as long as they stay in one set."""
    visit: list[AttemptRow] = []
    for row in sorted(attempts, key=lambda row: row.at):
        if visit and visit[-1].set.key != row.set.key:
            yield visit
            visit = []
        visit.append(row)
    if visit:
        yield visit


def _is_timed(plan: Plan, key: SetKey) -> bool:
    return plan.movement(key).unit in _ONE_BY_ONE and tells(plan, key)


def _singles(steps: Sequence[Step]) -> list[float]:
    """The gaps before single reps: what was pressed together has no times within."""
    return [float(s.gap) for s in steps if s.gap is not None and s.gap > 0 and s.n == 1]


def _rhythms(plan: Plan, steps: Mapping[SetKey, Sequence[Step]]) -> dict[Kind, Rhythm]:
    gaps: dict[Kind, list[list[float]]] = {}
    cards = {}
    for key, of in steps.items():
        gaps.setdefault(kind_of(plan, key), []).append(_singles(of))
        cards[kind_of(plan, key)] = plan.card_of(key)
    found = {}
    for kind, every in gaps.items():
        card = cards[kind]
        rhythm = rhythm_of(every, card.floor_ms, card.brisk_ms)
        if rhythm is not None:
            found[kind] = rhythm
    return found


# --- sets ------------------------------------------------------------------------


def _set_pieces(row: SetRow, found: _Sets, ended: int | None) -> SetPieces:
    plan, key = row.lane.plan, row.set.key
    whole = found.rhythms.get(kind_of(plan, key))
    steps = found.steps.get(key, [])
    card = plan.card_of(key)
    rhythm = rhythm_in(whole, _singles(steps), card.floor_ms) if whole else None
    if rhythm is not None:
        steps = _told(row, steps, rhythm)
    untold = _untold(row, steps)
    rep = rhythm.usual_ms if rhythm is not None else card.ordinary_ms
    took = _took(row)
    working = _singles([step for step in steps if not step.breaks])
    return SetPieces(
        set=row.set,
        target=row.target,
        good=row.good,
        no_reps=row.no_reps,
        untold=untold,
        pieces=() if untold else tuple(_pieces(steps)),
        planned=row.pieces,
        pace_ms=round(median(working)) if working else None,
        rep_ms=round(rep),
        breaks=sum(step.breaks for step in steps),
        rested_ms=round(sum(_rested(step, rep) for step in steps)),
        begins=_begins(row, ended) if row.timed and row.watched == "judged" else None,
        took_ms=took,
        held=held_within(found.holds, row.opened, row.opened + (took or 0)),
        way_ms=_way(row, steps, rep, found.holds),
        steps=tuple(steps),
    )


def _told(row: SetRow, steps: Sequence[Step], rhythm: Rhythm) -> list[Step]:
    """The steps without bursts behind a late press, and where the athlete let go."""
    floor = row.lane.plan.card_of(row.set.key).floor_ms
    presses = [
        Pressed(s.at, s.n, 0 if s.gap is None or not s.good else floor) for s in steps
    ]
    found: list[Step] = []
    for step, at in zip(
        steps, settled(presses, rhythm.usual_ms, row.opened), strict=True
    ):
        before = found[-1] if found else None
        gap = None if step.gap is None or before is None else at - before.at
        missed = before is not None and not before.good
        breaks = gap is not None and gap > rhythm.longest_ms(step.n, missed=missed)
        found.append(step._replace(at=at, gap=gap, breaks=breaks))
    return found


def _untold(row: SetRow, steps: Sequence[Step]) -> Untold:
    plan, key = row.lane.plan, row.set.key
    if row.watched != "judged":
        return "reported"
    if not row.timed:
        return "paper"
    if plan.team.members:
        return "team"
    if not tells(plan, key):
        return "monitor" if row.set.unit == "seconds" else "attempts"
    if row.set.unit not in _ONE_BY_ONE:
        return "monitor"
    return _unclear(row, steps)


def _unclear(row: SetRow, steps: Sequence[Step]) -> Untold:
    """Why the presses of a set that has times do not tell its pieces."""
    if not row.good:
        return "no rep"
    if sum(step.n for step in steps if step.good) != row.good:
        return "count moved"
    blurred = any(s.n > 1 and (s.gap is None or s.breaks) for s in steps)
    return "several at once" if blurred else ""


def _pieces(steps: Sequence[Step]) -> Iterator[int]:
    """Good reps from break to break; one of no-reps alone is no piece."""
    piece = 0
    for step in steps:
        if step.breaks or step.gap is None:
            if piece:
                yield piece
            piece = 0
        piece += step.n if step.good else 0
    if piece:
        yield piece


def _rested(step: Step, rep: float) -> float:
    if not step.breaks or step.gap is None:
        return 0
    return max(0.0, step.gap - step.n * rep)


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


def _way(
    row: SetRow, steps: Sequence[Step], rep: float, holds: Sequence[Held]
) -> int | None:
    """From when the set could begin to its first rep, less that rep's own time.

    None where a stop or a freeze lies in it.
    """
    if not steps or any(row.opened <= held.begin < steps[0].at for held in holds):
        return None
    first = steps[0]
    return max(0, round(first.at - row.opened - first.n * rep))


# --- paces -----------------------------------------------------------------------


def _paces(plan: Plan, found: _Sets, sets: Sequence[SetPieces]) -> Iterator[Pace]:
    """A pace for each movement and load, in the order in which they were first done."""
    gaps: dict[Kind, list[float]] = {}
    keys: dict[Kind, SetKey] = {}
    for key, steps in found.steps.items():
        kind = kind_of(plan, key)
        gaps.setdefault(kind, []).extend(_singles(steps))
        keys.setdefault(kind, key)
    for kind, rhythm in found.rhythms.items():
        key = keys[kind]
        card = plan.card_of(key)
        working = [gap for gap in gaps[kind] if gap <= rhythm.limit_ms]
        yield Pace(
            card=kind.card,
            movement=card.name,
            load=kind.load,
            unit=plan.movement(key).unit,
            gaps=len(working),
            pace_ms=set_sum(
                one for one in sets if kind_of(plan, one.set.key) == kind
            ).pace_ms,
            usual_ms=round(rhythm.usual_ms),
            limit_ms=round(rhythm.limit_ms),
            by_card=not rhythm.is_own,
            slowly=rhythm.usual_ms > BRISK_REPS * card.brisk_ms > 0,
            slowing=slowing_of(working),
        )
