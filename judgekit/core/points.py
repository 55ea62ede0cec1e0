"""How an event ranks its whole contest: its method, and its own points for results.

Points are exact fractions; a formula's are cut to whole points, as its tables are.
"""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction
from typing import Literal

from judgekit.core.values import dataclass

Method = Literal["places", "table", "field", "percent", "results"]
TiedPoints = Literal["equal", "shared"]
Substituted = Literal["together", "apart", "unranked"]
NoHeat = Literal["last", "open", "out"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Formula:
    """Points by a formula: a x (b - result) ^ c, or a x (result - b) ^ c.

    `rising` where a greater result is worth more. Times count in seconds.
    """

    a: Decimal
    b: Decimal
    c: Decimal
    rising: bool

    def points(self, result: Fraction) -> Fraction:
        """Whole points, cut; none where the result is no better than b."""
        with localcontext() as context:
            context.prec = 30
            value = Decimal(result.numerator) / Decimal(result.denominator)
            over = value - self.b if self.rising else self.b - value
            return Fraction(int(self.a * over**self.c)) if over > 0 else Fraction()


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """Points by a table of results: between two rows the lower row's points count.

    `rows` pair a result with its points; the fewer the points, the worse the result.
    What is worse than every row has none, what is better than all has the most.
    """

    rows: tuple[tuple[Fraction, Fraction], ...]
    rising: bool

    def points(self, result: Fraction) -> Fraction:
        """The points of the best row that the result has reached."""
        reached = [
            points
            for level, points in self.rows
            if (result >= level if self.rising else result <= level)
        ]
        return max(reached, default=Fraction())


@dataclass(frozen=True, slots=True, kw_only=True)
class Overall:
    """How an event ranks its whole contest.

    places: places added up, the least wins. table: the points of `table` by place, none
    beyond it. field: as many points for the first as the field is large, one less for
    each place. percent: of the best result. results: by `by_result` of each workout.
    `tied` says whether tied athletes all have the points of their place, or share those
    of all the places that they take up. `weights` multiply a workout's points; a part
    that is placed apart may be named as "workout.part".

    `no_heat` is for who is in no heat of a workout that others of the division are in:
    "last" has the place after all there, or no points; "open" lets the workout count
    once everybody is in a heat of it; "out" has no place in the whole event.
    """

    method: Method = "places"
    table: tuple[Fraction, ...] = ()
    tied: TiedPoints = "equal"
    weights: tuple[tuple[str, Fraction], ...] = ()
    by_result: tuple[tuple[str, Formula | Levels], ...] = ()
    substituted: Substituted = "together"
    no_heat: NoHeat = "last"

    def weight(self, workout: str) -> Fraction:
        """By how much a workout's points, or those of a part of it, are multiplied."""
        weights = dict(self.weights)
        whole = workout.partition(".")[0]
        return weights.get(workout, weights.get(whole, Fraction(1)))
