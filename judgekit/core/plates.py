"""Which discs make a load: the fewest a side, in loading order, from what is in stock.

Loads are exact: masses are fractions of a kilogram. A side is a tuple of discs, the
heaviest (and so the innermost) first; both sides are always the same. Sources for the
arithmetic stand beside its tests.
"""

from __future__ import annotations

from fractions import Fraction
from math import lcm
from typing import TYPE_CHECKING

from judgekit.core.quantity import Quantity, parse, rounded
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

Side = tuple[Quantity, ...]

# Discs as they are made. Kilograms: weightlifting federation, Technical and
# Competition Rules, 3.3 (second-hand copy), and the 1.25 of older sets, which gyms
# keep; pounds: common practice, no source.
KILOGRAM_DISCS = (
    *("25", "20", "15", "10", "5", "2.5", "2", "1.5", "1.25", "1", "0.5"),
)
POUND_DISCS = ("45", "35", "25", "15", "10", "5", "2.5")
# The colour of each disc by the same rules; those of older sets have none.
_COLOURS: Mapping[Fraction, str] = {
    **dict.fromkeys((Fraction(25), Fraction("2.5")), "red"),
    **dict.fromkeys((Fraction(20), Fraction(2)), "blue"),
    **dict.fromkeys((Fraction(15), Fraction("1.5")), "yellow"),
    **dict.fromkeys((Fraction(10), Fraction(1)), "green"),
    **dict.fromkeys((Fraction(5), Fraction("0.5")), "white"),
}
# Discs a side that a sleeve holds, and that anybody mixes. From memory.
_SLEEVE = 12
_MIXED = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """One kind of disc and how many pairs of it there are."""

    mass: Quantity
    pairs: int = _SLEEVE


@dataclass(frozen=True, slots=True, kw_only=True)
class Plates:
    """What an event has for each bar; no discs given means enough of every kind.

    `coloured` says that its discs have the colours of the weightlifting federation.
    """

    collar: Quantity | None = None
    discs: tuple[Disc, ...] = ()
    coloured: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    """A bar, its two collars if it has any, and the discs at hand."""

    bar: Quantity
    collar: Quantity | None = None
    discs: tuple[Disc, ...]

    @property
    def empty_kg(self) -> Fraction:
        """The bar with its collars and no disc."""
        return self.bar.amount + (2 * self.collar.amount if self.collar else 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Loading:
    """How a load is made: `side` exactly; else the nearest that can be, both ways.

    `below` and `above` are sides too, None where there is none (lighter than the empty
    bar; heavier than all discs). They are None where the load is made exactly.
    """

    side: Side | None
    below: Side | None = None
    above: Side | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What goes off each side, outermost first, and on, in the order of loading."""

    off: Side
    on: Side


def usual_discs(unit: str) -> tuple[Disc, ...]:
    """A full set in "kg" or "lb", with as many of each as fit."""
    masses = KILOGRAM_DISCS if unit == "kg" else POUND_DISCS
    return tuple(Disc(mass=parse(f"{mass} {unit}")) for mass in masses)


def colour_of(disc: Quantity) -> str:
    """The colour that the weightlifting federation gives a disc; empty if none."""
    return _COLOURS.get(disc.amount, "")


def rack_for(bar: Quantity | None, plates: Plates, unit: str) -> Rack:
    """The bar of a division with the event's collars and discs, in "kg" or "lb".

    A division without a bar of its own has the usual one, 20 kg or 45 lb (common
    practice, no source).
    """
    usual = parse("20 kg" if unit == "kg" else "45 lb")
    return Rack(
        bar=bar or usual,
        collar=plates.collar,
        discs=plates.discs or usual_discs(unit),
    )


def load(target: Quantity, rack: Rack) -> Loading:
    """The fewest discs a side that make the target exactly, or the nearest loads."""
    side_kg = (target.amount - rack.empty_kg) / 2
    ways = _ways(rack.discs, max(side_kg, Fraction(0)))
    if side_kg in ways:
        return Loading(side=ways[side_kg])
    below = max((kg for kg in ways if kg < side_kg), default=None)
    above = min((kg for kg in ways if kg > side_kg), default=None)
    return Loading(
        side=None,
        below=None if below is None else ways[below],
        above=None if above is None else ways[above],
    )


def mass_kg(side: Side, rack: Rack) -> Fraction:
    """What a bar weighs with that side on both ends."""
    return rack.empty_kg + 2 * _sum(side)


def change(side: Side, target: Quantity, rack: Rack) -> Change | None:
    """The fewest moves from a loaded side to another load; None if it can't be made.

    What lies further in comes off only after what lies outside it.
    """
    wanted_kg = (target.amount - rack.empty_kg) / 2
    best: Change | None = None
    for kept in range(len(side), -1, -1):
        inner, off = side[:kept], side[kept:][::-1]
        rest_kg = wanted_kg - _sum(inner)
        if rest_kg < 0:
            continue
        on = _ways(_without(rack.discs, inner), rest_kg).get(rest_kg)
        if on is not None and (best is None or _moves(off, on) < _moves(*_both(best))):
            best = Change(off=off, on=on)
    return best


def load_mass(load: str) -> Quantity | None:
    """The first marking of a load as a plan shows it; None where it is in words."""
    try:
        return parse(load.partition(" ≈ ")[0].partition(" / ")[0])
    except ValueError:
        return None


def side_words(side: Side) -> str:
    """Discs in order, the unit once where they share it: "10 + 2.5 kg"."""
    if not side:
        return "nothing"
    units = {disc.unit for disc in side}
    if len(units) > 1:
        return " + ".join(disc.written for disc in side)
    unit = units.pop()
    masses = (disc.written.removesuffix(unit).strip() for disc in side)
    return f"{' + '.join(masses)} {unit}"


def unmade_words(
    loading: Loading, rack: Rack, said: Callable[[Side], str] = side_words
) -> str:
    """That a load cannot be made, and the nearest that can, in the bar's own unit."""
    sides = [side for side in (loading.below, loading.above) if side is not None]
    near = [
        f"{_plain(mass_kg(side, rack), rack.bar.unit)} "
        f"({f'each side {said(side)}' if side else 'the bar alone'})"
        for side in sides
    ]
    return f"cannot be made with these discs; nearest {' or '.join(near)}"


def _plain(kilograms: Fraction, unit: str) -> str:
    amount = kilograms / parse(f"1 {unit}").amount
    digits = rounded(amount, 2).rstrip("0").removesuffix(".")
    return f"{digits} {unit}"


def _moves(off: Side, on: Side) -> int:
    return len(off) + len(on)


def _both(change: Change) -> tuple[Side, Side]:
    return change.off, change.on


def _sum(side: Iterable[Quantity]) -> Fraction:
    return sum((disc.amount for disc in side), Fraction(0))


def _without(discs: Iterable[Disc], used: Side) -> tuple[Disc, ...]:
    """The stock that is left when a side of the bar keeps some discs."""
    return tuple(
        Disc(mass=disc.mass, pairs=max(disc.pairs - used.count(disc.mass), 0))
        for disc in discs
    )


def _ways(discs: Iterable[Disc], side_kg: Fraction) -> Mapping[Fraction, Side]:
    """Every mass a side can have, up to the first beyond `side_kg`, in fewest discs.

    Kinds are tried from the heaviest down; among equally few discs the side with the
    heavier ones inside stays. Masses are whole numbers of a common part meanwhile.
    """
    kinds = sorted(discs, key=lambda disc: disc.mass.amount, reverse=True)
    part = lcm(side_kg.denominator, *(disc.mass.amount.denominator for disc in kinds))
    masses = [int(disc.mass.amount * part) for disc in kinds]
    most = int(side_kg * part) + max(masses, default=0)
    holds = _most_discs(kinds)
    ways: dict[int, tuple[int, ...]] = {0: ()}
    for kind, mass in enumerate(masses):
        for total, side in list(ways.items()):
            room = min(kinds[kind].pairs, holds - len(side))
            for many in range(1, min(room, (most - total) // mass) + 1):
                more = side + (kind,) * many
                known = ways.get(total + many * mass)
                if known is None or (len(more), more) < (len(known), known):
                    ways[total + many * mass] = more
    return {
        Fraction(total, part): tuple(kinds[kind].mass for kind in side)
        for total, side in ways.items()
    }


def _most_discs(kinds: Iterable[Disc]) -> int:
    """Discs a side: what a sleeve holds; fewer where kilograms and pounds mix.

    With both, ever more small discs come ever nearer to any load, and nobody loads so.
    """
    units = {disc.mass.unit for disc in kinds}
    return _SLEEVE if len(units) <= 1 else _MIXED
