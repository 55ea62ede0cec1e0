"""What an athlete did well, and where the pace went, in lines for the own sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.review.lanepaces import goes_slowly, lane_paces

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence

    from judgekit.core.plan import Plan
    from judgekit.review.attempts import AttemptRow, LaneRows, SetRow
    from judgekit.review.lanepaces import Pace
    from judgekit.review.lessons import Clean
    from judgekit.review.pieces import LanePieces, SetPieces
    from judgekit.review.slowing import Slowing

# Of less nobody says that it was done at one go.
_FEW = 5
# More sets are no longer read.
_MOST_SETS = 3
# A pace that fell by less is as good as kept.
_SLOWER = 1.1
_CALMER = ": a calmer start may leave you more for the end"


def well_lines(
    clean: Sequence[Clean],
    lanes: Sequence[tuple[LaneRows, LanePieces]],
    tries: Iterable[AttemptRow],
    to_mend: Collection[str] = (),
) -> Iterator[str]:
    """What went well: there is a line for everybody of whom one good rep was judged.

    `tries` are the athlete's own; of a team's sets nobody knows whose they were. A
    movement `to_mend` is not praised for its pieces.
    """
    if clean:
        each = ", ".join(f"{made.movement} ({made.tries})" for made in clean)
        yield f"Every try counted: {each}."
    sets = [(rows, row) for rows, _ in lanes for row in _clean_sets(rows)]
    if sets and not clean:
        yield _in_sets(sets)
    whole = [words for _, found in lanes for words in _unbroken(found, to_mend)]
    if whole:
        yield f"Unbroken in every set: {', '.join(whole)}."
    judged = [row for row in tries if row.rated and row.watched == "judged"]
    many, good = sum(row.n for row in judged), sum(row.n for row in judged if row.good)
    # Where all movements are clean that is said already.
    if 0 < good < many:
        yield f"{good} of {many} tries were good reps."
    elif good and not clean and not sets:
        yield "Every try was a good rep."


def _clean_sets(rows: LaneRows) -> Iterator[SetRow]:
    """Whole sets of some reps, each judged by itself, without a no-rep."""
    if rows.facts.plan.team.members:
        return
    for row in rows.sets:
        is_known = row.watched == "judged" and row.set.rated and row.timed
        if is_known and not row.no_reps and row.good == row.target and row.good >= _FEW:
            yield row


def _in_sets(sets: Sequence[tuple[LaneRows, SetRow]]) -> str:
    longest = sorted(sets, key=lambda one: -one[1].good)[:_MOST_SETS]
    each = ", ".join(_set_words(rows.facts.plan, row) for rows, row in longest)
    return f"Whole sets in which every try counted: {each}."


def _set_words(plan: Plan, row: SetRow) -> str:
    where = where_words(plan, row.set.part, row.set.key.round)
    return f"{row.set.movement} {where} ({row.good})"


def where_words(plan: Plan, part: str, round_: int) -> str:
    """The part, and the round where there are several: "A 2"."""
    single = any(one.id == part and one.rounds == 1 for one in plan.parts)
    return part if single else f"{part} {round_}"


def _unbroken(found: LanePieces, to_mend: Collection[str]) -> Iterator[str]:
    """Movements of which each set was one piece, with how many reps that were."""
    plan = found.facts.plan
    singles = {of.kind for of in found.worked if goes_slowly(plan, of)}
    sets: dict[str, list[SetPieces]] = {}
    for one in found.sets:
        if one.good and one.set.movement not in to_mend:
            sets.setdefault(one.set.movement, []).append(one)
    for movement, each in sets.items():
        if all(_is_whole(one) for one in each) and not any(
            (one.set.card, one.set.load) in singles for one in each
        ):
            many = len(each)
            yield f"{movement} ({f'{many} sets' if many > 1 else each[0].good})"


def _is_whole(one: SetPieces) -> bool:
    return len(one.pieces) == 1 and one.good >= _FEW and one.good == one.target


def pace_line(lanes: Iterable[tuple[LanePieces, bool]]) -> str:
    """Where the pace fell most, if it surely did; empty else.

    Beside each lane stands whether its work was done to the end: whom the clock ended
    is told what was, and no cause of it.
    """
    slower = [
        (pace.movement, pace.slowing, is_whole)
        for found, is_whole in lanes
        for pace in lane_paces(found)
        if pace.slowing is not None and _is_told(pace, pace.slowing)
    ]
    if not slower:
        return ""
    movement, most, is_whole = max(slower, key=lambda one: one[1].ratio)
    return (
        f"At {movement} a rep took {_more(most.ratio)} % longer in the last third than "
        f"in the first (likely {_more(most.low)} to {_more(most.high)} %)"
        f"{_CALMER if is_whole else ''}."
    )


def _is_told(pace: Pace, found: Slowing) -> bool:
    """Whether it has a rhythm of its own, and surely became slower by something."""
    has_rhythm = not pace.by_card and not pace.slowly
    return has_rhythm and found.low > 1 and found.ratio >= _SLOWER


def _more(ratio: float) -> int:
    return round(100 * (ratio - 1))
