"""The order of a whole event: each division's workouts added up.

A workout counts once everybody who is still in the contest has done it. Equal totals
are parted by the best single place, then by the next best and so on, then by the place
in the last workout (common practice, no source).
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Literal, get_args

from judgekit.core.earned import Ending, Finish, points_of
from judgekit.core.ranking import Placed, count_back, ranked
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from judgekit.core.points import Overall

Standing = Literal[
    "",
    "not entered",
    "cut",
    "not as written",
    "withdrawn",
    "disqualified",
    "guest",
    "did not start",
]
# The gravest first. Who was cut is in no later heat, and stays cut; who has not started
# one workout may start the next.
_OUT: tuple[Standing, ...] = tuple(reversed(get_args(Standing)[1:-1]))
_AT_WORK: frozenset[Ending] = frozenset(
    {"finished", "capped", "class over", "stopped", "did not finish", "in progress"}
)
_NOT_YET: frozenset[Ending] = frozenset({"waiting", "in progress", "recalled"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """One workout as a division did it: a finish of each who was in it."""

    workout: str
    finishes: tuple[Finish, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """One athlete's whole event.

    `places` and `points` are by workout, None and 0 where there is no place; `standing`
    says how the athlete left the contest, empty for those who are in it.
    """

    bib: str
    standing: Standing
    places: tuple[tuple[str, int | None], ...]
    points: tuple[tuple[str, Fraction], ...]
    total: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """A division's whole event: `counted` workouts in their order, and who is where."""

    counted: tuple[str, ...]
    open: tuple[str, ...]
    places: tuple[Placed[Total], ...]


def whole_event(workouts: Sequence[Ended], overall: Overall) -> Whole:
    """The order of one division; `workouts` stand in the order in which they were held.

    Who withdrew, was disqualified or started in nothing is listed without a place, and
    moves nobody's place in a workout; who was cut keeps a place below all who were not.
    Those who tie stand in the order in which they came first.
    """
    standing = _standings(workouts, overall)
    counted = [one for one in workouts if not _is_open(one, standing, overall)]
    points = {w.workout: points_of(overall, w.workout, w.finishes) for w in counted}
    ranks = {w.workout: {f.bib: f.rank for f in w.finishes} for w in counted}
    standing |= dict.fromkeys(_absent(workouts, standing), "did not start")
    totals = [_total(bib, standing[bib], points, ranks) for bib in standing]
    order = {bib: at for at, bib in enumerate(standing)}
    places = ranked(
        totals,
        key=lambda total: _key(total, overall),
        tie_order=lambda total: (_after(total), order[total.bib]),
    )
    return Whole(
        counted=tuple(one.workout for one in counted),
        open=tuple(one.workout for one in workouts if one not in counted),
        places=tuple(places),
    )


def _standings(workouts: Sequence[Ended], overall: Overall) -> dict[str, Standing]:
    """How each athlete stands in the contest: the gravest word of any workout.

    Who left one heat and worked in a later one has not left the contest.
    """
    found: dict[str, Standing] = {}
    for one in workouts:
        for finish in one.finishes:
            word = _word(finish, overall)
            before = found.get(finish.bib, "")
            if before == "withdrawn" and finish.status in _AT_WORK:
                before = ""
            known = [w for w in _OUT if w in (word, before)]
            found[finish.bib] = known[0] if known else ""
    return found


def _absent(
    workouts: Sequence[Ended], standing: Mapping[str, Standing]
) -> Iterator[str]:
    """Who is in the contest, and has started in nothing and has nothing to come."""
    ends: dict[str, set[Ending]] = {}
    for finish in (finish for one in workouts for finish in one.finishes):
        ends.setdefault(finish.bib, set()).add(finish.status)
    for bib, own in ends.items():
        if not standing[bib] and own - {"no heat"} == {"did not start"}:
            yield bib


def _word(finish: Finish, overall: Overall) -> str:
    """What one workout says of how somebody stands in the contest."""
    if finish.outside:
        return "not as written"
    if finish.status == "no heat" and overall.no_heat == "out":
        return "not entered"
    return finish.status


def _is_open(one: Ended, standing: Mapping[str, Standing], overall: Overall) -> bool:
    """Whether somebody who is still in the contest has yet to do it."""
    not_yet = _NOT_YET | ({"no heat"} if overall.no_heat == "open" else frozenset())
    return any(f.status in not_yet and not standing[f.bib] for f in one.finishes)


def _total(
    bib: str,
    standing: Standing,
    points: Mapping[str, Mapping[str, Fraction]],
    ranks: Mapping[str, Mapping[str, int | None]],
) -> Total:
    own = tuple((w, of[bib]) for w, of in points.items() if bib in of)
    return Total(
        bib=bib,
        standing=standing,
        places=tuple((w, of[bib]) for w, of in ranks.items() if bib in of),
        points=own,
        total=sum((value for _, value in own), Fraction()),
    )


def _key(total: Total, overall: Overall) -> tuple[Fraction | int, ...] | None:
    """Best first: in the contest, workouts done, total, count-back, last workout."""
    if total.standing not in ("", "cut") or not total.points:
        return None
    placed = [place for _, place in total.places]
    better = total.total if overall.method == "places" else -total.total
    is_cut = total.standing == "cut"
    # Who was cut has done fewer workouts; whoever was in more of them went further.
    further = -sum(place is not None for _, place in total.places) if is_cut else 0
    return (int(is_cut), further, better, *count_back(placed), *count_back(placed[-1:]))


def _after(total: Total) -> int:
    """Those without a place: who withdrew first, who did nothing last."""
    return get_args(Standing).index(total.standing)
