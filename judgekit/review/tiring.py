"""When in the work no-reps come: by rep within the set, by round, by minute.

Everybody is held against their own rate, movement by movement (and part by part, but by
the minute): one tired athlete does not speak for all, nor does a movement that is
missed more and comes late. Only what was judged is looked at; what a look saw has no
place in its set.

From where on the rate has doubled: of all places at which the rate from there on is at
least twice that before, the one that parts the work best. (The first such place would
be too early: what follows it is counted together with what comes after the true one.)
How sure that is comes from drawing the athletes anew, many times: the bootstrap of B.
Efron (1979), Annals of Statistics 7:1-26. It is told only where the whole trend is
sure, and where nearly every draw finds such a place.
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from typing import TYPE_CHECKING, Literal, NamedTuple, get_args

from judgekit.core.values import dataclass
from judgekit.review.attempts import athlete_of
from judgekit.review.faults import Rate, rate
from judgekit.review.halves import (
    LEAST_ATHLETES,
    LEAST_NO_REPS,
    SURE,
    Halves,
    halves_of,
)
from judgekit.review.placed import Placed, placed
from judgekit.review.trend import (
    Level,
    Ratio,
    Split,
    Trend,
    parts,
    rate_ratio,
    trend_within,
    weights,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from judgekit.review.attempts import AttemptRow, LaneRows
    from judgekit.review.performing import Chance

Along = Literal["rep", "round", "minute"]
# few: too few no-reps or athletes to say anything; level: nothing shows that the rate
# rises or falls; vague: it does, but from where on cannot be told. Empty: it is told.
Unsure = Literal["", "few", "level", "vague"]

ALONG: tuple[Along, ...] = get_args(Along)
# So many attempts on either side of a place, at least.
LEAST_SIDE = 20
TWICE = 2.0
DRAWS = 400
MINUTE_MS = 60_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """All attempts at one place along the work, counted from 1."""

    at: int
    rate: Rate
    athletes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubling:
    """From which place on no-reps come at least twice as often.

    It is an estimate: 95 of 100 draws lie from `earliest` to `latest`. `times` is None
    where there was no no-rep before.
    """

    at: int
    earliest: int
    latest: int
    before: Rate
    after: Rate
    times: Ratio | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tiring:
    """No-reps along the work; `trend` is that within the athletes (z > 0: they rise).

    There is a `doubling` only where `unsure` is empty; `halves` are told along the
    reps of a set.
    """

    along: Along
    places: tuple[Place, ...]
    total: Rate
    athletes: int
    trend: Trend | None
    doubling: Doubling | None
    unsure: Unsure
    halves: Halves | None = None


class _Own(NamedTuple):
    """What an athlete is held against: their own rate in one movement of a part."""

    athlete: str
    part: str
    card: str


class _Count(NamedTuple):
    no_reps: int
    attempts: int


_Counts = dict[_Own, dict[int, _Count]]


class Counted(NamedTuple):
    """No-reps out of attempts of an athlete at one place along a movement of a part."""

    athlete: str
    part: str
    card: str
    at: int
    no_reps: int
    attempts: int


def tiring(lanes: Iterable[LaneRows], along: Along, chance: Chance) -> Tiring:
    """No-reps along the work."""
    return _along(placed(lanes), along, chance)


def tirings(
    lanes: Iterable[LaneRows], chance: Callable[[], Chance]
) -> tuple[Tiring, ...]:
    """The same along each way to go along the work, every one by a new `chance`."""
    stretches = placed(lanes)
    return tuple(_along(stretches, along, chance()) for along in ALONG)


def _along(stretches: Sequence[Placed], along: Along, chance: Chance) -> Tiring:
    both = halves_of(stretches) if along == "rep" else None
    return _told(along, _counted(stretches, along), chance, both)


def tiring_of(
    counted: Iterable[Counted], along: Along, chance: Chance, both: Halves | None
) -> Tiring:
    """The same of what was counted elsewhere, each place once; `both` by the rep."""
    counts: _Counts = {}
    for one in sorted(counted):
        of = counts.setdefault(_Own(one.athlete, one.part, one.card), {})
        of[one.at] = _Count(one.no_reps, one.attempts)
    return _told(along, counts, chance, both)


def _told(along: Along, counts: _Counts, chance: Chance, both: Halves | None) -> Tiring:
    total = _rate(count for of in counts.values() for count in of.values())
    trend = trend_within(
        [Level(at, *count) for at, count in sorted(of.items())]
        for of in counts.values()
    )
    athletes = {own.athlete for own in counts}
    doubling, unsure = _doubling(counts, trend, total, chance)
    return Tiring(
        along=along,
        places=_places(counts),
        total=total,
        athletes=len(athletes),
        trend=trend,
        doubling=doubling,
        unsure=unsure,
        halves=both,
    )


# --- counting ------------------------------------------------------------------------


# No-reps and attempts at each place, while they are added up.
_Adding = dict[int, list[int]]


def _counted(stretches: Iterable[Placed], along: Along) -> _Counts:
    counts: dict[_Own, _Adding] = {}
    add = _ADD[along]
    for stretch in stretches:
        add(counts.setdefault(_own(stretch, along), {}), stretch.rows)
    # Always in the same order, so that the same rows give the same last digits.
    return {
        own: {at: _Count(*count) for at, count in of.items()}
        for own, of in sorted(counts.items())
    }


def _own(stretch: Placed, along: Along) -> _Own:
    # Parts follow each other, so that by the minute they are the scale itself.
    part = "" if along == "minute" else stretch.set.part
    athlete = athlete_of(stretch.lane.facts, stretch.by)
    return _Own(athlete, part, stretch.set.card)


def _add_reps(of: _Adding, rows: Iterable[AttemptRow]) -> None:
    """Several good reps at one press are each at a place of their own."""
    for row in rows:
        rep = row.rep
        for at in (rep,) if row.n == 1 else range(rep - row.n + 1, rep + 1):
            count = of.get(at)
            if count is None:
                count = of[at] = [0, 0]
            count[1] += 1
            if not row.good:
                count[0] += 1


def _add_rounds(of: _Adding, rows: Sequence[AttemptRow]) -> None:
    count = of.setdefault(rows[0].set.key.round, [0, 0])
    for row in rows:
        count[1] += row.n
        if not row.good:
            count[0] += row.n


def _add_minutes(of: _Adding, rows: Iterable[AttemptRow]) -> None:
    for row in rows:
        # What came before a start that was ruled later is of the first minute.
        at = max(0, row.at) // MINUTE_MS + 1
        count = of.get(at)
        if count is None:
            count = of[at] = [0, 0]
        count[1] += row.n
        if not row.good:
            count[0] += row.n


_ADD: dict[Along, Callable[[_Adding, Sequence[AttemptRow]], None]] = {
    "rep": _add_reps,
    "round": _add_rounds,
    "minute": _add_minutes,
}


def _sum(counts: Iterable[_Count]) -> _Count:
    every = list(counts)
    return _Count(sum(c.no_reps for c in every), sum(c.attempts for c in every))


def _rate(counts: Iterable[_Count]) -> Rate:
    return rate(*_sum(counts))


def _places(counts: _Counts) -> tuple[Place, ...]:
    found: dict[int, list[tuple[str, _Count]]] = {}
    for own, of in counts.items():
        for at, count in of.items():
            found.setdefault(at, []).append((own.athlete, count))
    return tuple(
        Place(
            at=at,
            rate=_rate(count for _, count in of),
            athletes=len({athlete for athlete, _ in of}),
        )
        for at, of in sorted(found.items())
    )


# --- from where on the rate has doubled ----------------------------------------------


class _Adds(NamedTuple):
    """What an athlete adds at one place: beyond chance, its variance, both sides."""

    above: float
    spread: float
    after: float
    before: float


def _doubling(
    counts: _Counts, trend: Trend | None, total: Rate, chance: Chance
) -> tuple[Doubling | None, Unsure]:
    athletes = sorted({own.athlete for own in counts})
    if total.no_reps < LEAST_NO_REPS or len(athletes) < LEAST_ATHLETES:
        return None, "few"
    if trend is None or trend.p > SURE:
        return None, "level"
    places = _candidates(counts)
    if trend.z < 0 or not places:
        return None, "vague"
    adds = [_adds(counts, athlete, places) for athlete in athletes]
    best = _best(adds, len(places))
    drawn = sorted(_drawn(adds, len(places), chance))
    if best is None or len(drawn) < (1 - SURE) * DRAWS:
        return None, "vague"
    cut = int(len(drawn) * SURE / 2)
    found = _found(counts, places[best])
    return replace(
        found, earliest=places[drawn[cut]], latest=places[drawn[-1 - cut]]
    ), ""


def _candidates(counts: _Counts) -> list[int]:
    """The places with enough attempts before them, and from them on."""
    tries: dict[int, int] = {}
    for of in counts.values():
        for at, count in of.items():
            tries[at] = tries.get(at, 0) + count.attempts
    whole, before, found = sum(tries.values()), 0, []
    for at, many in sorted(tries.items()):
        if before >= LEAST_SIDE and whole - before >= LEAST_SIDE:
            found.append(at)
        before += many
    return found


def _split(of: dict[int, _Count], place: int) -> Split:
    after = _sum(count for at, count in of.items() if at >= place)
    before = _sum(count for at, count in of.items() if at < place)
    return Split(*after, *before)


def _adds(counts: _Counts, athlete: str, places: Sequence[int]) -> list[_Adds]:
    mine = [of for own, of in counts.items() if own.athlete == athlete]
    found = []
    for place in places:
        splits = [_split(of, place) for of in mine]
        weighed = [weights(one) for one in splits]
        found.append(
            _Adds(
                *parts(splits),
                sum(after for after, _ in weighed),
                sum(before for _, before in weighed),
            )
        )
    return found


def _best(athletes: Sequence[Sequence[_Adds]], places: int) -> int | None:
    """Which place parts the work best, of those from which on the rate has doubled."""
    best, most = None, 0.0
    for place in range(places):
        above, spread, after, before = map(
            sum, zip(*(adds[place] for adds in athletes), strict=True)
        )
        if spread <= 0 or after < TWICE * before:
            continue
        parted = above / sqrt(spread)
        if parted > most:
            best, most = place, parted
    return best


def _drawn(
    athletes: Sequence[Sequence[_Adds]], places: int, chance: Chance
) -> Iterator[int]:
    """The best place of as many athletes, drawn anew; where there is one."""
    many = len(athletes)
    for _ in range(DRAWS):
        found = _best(
            [athletes[int(chance.random() * many)] for _ in range(many)], places
        )
        if found is not None:
            yield found


def _found(counts: _Counts, place: int) -> Doubling:
    splits = [_split(of, place) for of in counts.values()]
    return Doubling(
        at=place,
        earliest=place,
        latest=place,
        before=rate(
            sum(s.hits_before for s in splits), sum(s.tries_before for s in splits)
        ),
        after=rate(sum(s.hits for s in splits), sum(s.tries for s in splits)),
        times=rate_ratio(splits),
    )
