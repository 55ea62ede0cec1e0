"""Discs for a load: against every side there is, and changes move by move."""

from itertools import product
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.plates import (
    Change,
    Disc,
    Loading,
    Rack,
    change,
    load,
    mass_kg,
    usual_discs,
)
from judgekit.core.quantity import Quantity, parse

if TYPE_CHECKING:
    from fractions import Fraction

BAR = parse("20 kg")
STOCK = st.lists(
    st.tuples(
        st.sampled_from(["1", "1.25", "2.5", "5", "10", "20"]), st.integers(0, 3)
    ),
    max_size=4,
    unique_by=lambda row: row[0],
).map(
    lambda rows: tuple(
        Disc(mass=parse(f"{mass} kg"), pairs=pairs) for mass, pairs in rows
    )
)
TARGETS = st.integers(40, 400).map(lambda quarters: parse(f"{quarters * 0.25:.2f} kg"))


def every_side(discs: tuple[Disc, ...]) -> list[tuple[Quantity, ...]]:
    """All sides that the stock allows, the heaviest disc first."""
    kinds = sorted(discs, key=lambda disc: -disc.mass.amount)
    counts = product(*(range(kind.pairs + 1) for kind in kinds))
    return [
        tuple(kind.mass for kind, n in zip(kinds, row, strict=True) for _ in range(n))
        for row in counts
    ]


def best(sides: list[tuple[Quantity, ...]]) -> tuple[Quantity, ...]:
    """The fewest discs; among equally few, the heavier ones inside."""
    return min(sides, key=lambda side: (len(side), [-disc.amount for disc in side]))


@given(TARGETS, STOCK)
def test_a_load_is_the_best_of_all_there_are(
    target: Quantity, discs: tuple[Disc, ...]
) -> None:
    rack = Rack(bar=BAR, discs=discs)
    by_mass: dict[Fraction, list[tuple[Quantity, ...]]] = {}
    for side in every_side(discs):
        by_mass.setdefault(mass_kg(side, rack), []).append(side)
    wanted = target.amount
    if wanted in by_mass:
        expected = Loading(side=best(by_mass[wanted]))
    else:
        under = max((kg for kg in by_mass if kg < wanted), default=None)
        over = min((kg for kg in by_mass if kg > wanted), default=None)
        expected = Loading(
            side=None,
            below=None if under is None else best(by_mass[under]),
            above=None if over is None else best(by_mass[over]),
        )
    assert load(target, rack) == expected


@given(TARGETS, TARGETS)
def test_a_change_makes_the_other_load_from_the_first(
    before: Quantity, after: Quantity
) -> None:
    rack = Rack(bar=BAR, discs=usual_discs("kg"))
    side = load(before, rack).side
    if side is None:
        return
    moved = change(side, after, rack)
    if moved is None:
        assert load(after, rack).side is None
        return
    kept = side[: len(side) - len(moved.off)]
    assert moved.off == side[len(kept) :][::-1]
    assert mass_kg((*kept, *moved.on), rack) == after.amount


def test_a_change_takes_off_only_what_must_come_off() -> None:
    rack = Rack(bar=BAR, collar=parse("2.5 kg"), discs=usual_discs("kg"))
    side = load(parse("85 kg"), rack).side
    assert side is not None
    assert [disc.written for disc in side] == ["25 kg", "5 kg"]
    assert change(side, parse("95 kg"), rack) == Change(off=(), on=(parse("5 kg"),))
    assert change(side, parse("75 kg"), rack) == Change(off=(parse("5 kg"),), on=())
    assert change(side, parse("65 kg"), rack) == Change(
        off=(parse("5 kg"), parse("25 kg")), on=(parse("20 kg"),)
    )
    assert change(side, parse("24 kg"), rack) is None
    assert change(side, parse("85.2 kg"), rack) is None


def test_a_load_under_the_empty_bar_has_only_one_above_it() -> None:
    rack = Rack(bar=BAR, discs=usual_discs("kg"))
    assert load(parse("15 kg"), rack) == Loading(side=None, below=None, above=())
