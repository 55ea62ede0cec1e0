"""Pieces and pace as text, for tables and for screens.

A rhythm is one sign a rep: how long the gap before it was against the athlete's usual
one, low is quick. `|` is a break, `x` a no-rep, `·` a rep whose gap tells no pace: the
first one, and that after a break. Without block signs digits stand for the heights.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from judgekit.review.held import HeldFor, HoldKind
    from judgekit.review.lanepaces import Pace
    from judgekit.review.pieces import LanePieces, SetPieces, Untold
    from judgekit.review.slowing import Slowing
    from judgekit.review.steps import Step

# From which share of the usual gap on the next height begins.
_HEIGHTS = (0.8, 0.93, 1.07, 1.2, 1.35, 1.6, 2.0)
_BLOCKS = "▁▂▃▄▅▆▇█"
_DIGITS = "12345678"
_BREAK, _NO_REP, _NO_PACE, _PLAIN_NO_PACE = "|", "x", "·", "."
_HELD: Mapping[HoldKind, str] = {"stop": "STOP", "freeze": "freeze"}
RHYTHM_READ = (
    "Rhythm: a sign a rep, low is quick, against the athlete's own usual gap; "
    "| a break, x a no-rep."
)
UNTOLD_WORDS: Mapping[Untold, str] = {
    "": "",
    "paper": "it was written on paper, without the times of its reps",
    "reported": "the athlete said how many, and nothing was timed",
    "monitor": "a machine or a clock counts, not each rep",
    "attempts": "each is a try by itself",
    "team": "who did which rep is not always known",
    "several at once": "several reps at one press have no times within",
    "count moved": "the count was corrected, so that the presses do not fit it",
    "no rep": "nothing good was done in it",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class MovementLine:
    """One movement of a lane, its sets side by side in the order of the plan."""

    movement: str
    pieces: str
    planned: str
    rhythm: str


def piece_words(pieces: Sequence[int], plus: str = " + ") -> str:
    """Pieces as they are said: "7 + 5"; empty where there are none."""
    return plus.join(str(piece) for piece in pieces)


def seconds(ms: int | None) -> str | None:
    """A length in seconds to a tenth, or None."""
    return None if ms is None else f"{ms / 1000:.1f}"


def held_words(held: Iterable[HeldFor]) -> str:
    """By what a set was held and for how long: "STOP 47.0 s"; empty if it was not."""
    return ", ".join(f"{_HELD[one.kind]} {seconds(one.ms)} s" for one in held)


def rhythm(one: SetPieces, *, plain: bool = False) -> str:
    """The picture of one set; empty where its presses have no times."""
    signs = (_signs(step, one.rep_ms, plain=plain) for step in one.steps)
    return "".join(signs)


def _signs(step: Step, usual: int, *, plain: bool) -> str:
    lead = _BREAK if step.breaks or step.held else ""
    if not step.good:
        return lead + _NO_REP * step.n
    if lead or step.each is None or not usual:
        return lead + (_PLAIN_NO_PACE if plain else _NO_PACE) * step.n
    heights = _DIGITS if plain else _BLOCKS
    return heights[bisect_right(_HEIGHTS, step.each / usual)] * step.n


def movement_lines(
    found: LanePieces, *, plain: bool = False
) -> tuple[MovementLine, ...]:
    """Each movement and load with its sets: "7 + 5 | 6 + 4 | 8".

    A set whose pieces are not told stands as its count in brackets. Movements whose
    reps have no times are left out.
    """
    by_kind: dict[tuple[str, str], list[SetPieces]] = {}
    for one in found.sets:
        if one.told is not None:
            by_kind.setdefault((one.set.movement, one.set.load), []).append(one)
    return tuple(
        MovementLine(
            movement=", ".join(word for word in kind if word),
            pieces=_side_by_side(
                f"({one.good})" if one.untold else piece_words(one.pieces)
                for one in sets
            ),
            planned=_side_by_side(piece_words(one.planned) for one in sets),
            rhythm="  ".join(rhythm(one, plain=plain) for one in sets),
        )
        for kind, sets in by_kind.items()
    )


def _side_by_side(sets: Iterable[str]) -> str:
    every = list(sets)
    return " | ".join(text or "-" for text in every) if any(every) else ""


def pace_words(pace: Pace) -> str:
    """A pace in a sentence, with whether it was kept."""
    unit = pace.unit.removesuffix("s")
    if pace.by_card:
        many = "1 gap" if pace.gaps == 1 else f"{pace.gaps} gaps"
        return f"too few to tell a pace ({many})"
    words = [] if pace.pace_ms is None else [f"{seconds(pace.pace_ms)} s a {unit}"]
    if pace.slowly:
        words.append(f"slow enough to be a {unit} at a time")
    words.append(slowing_words(pace.slowing))
    return "; ".join(words)


def slowing_words(slowing: Slowing | None) -> str:
    """The end against the beginning, and how sure that is."""
    if slowing is None:
        return "too few reps to say whether the pace was kept"
    low, high = _change(slowing.low), _change(slowing.high)
    between = f"likely {low}" if low == high else f"likely between {low} and {high}"
    if slowing.low <= 1 <= slowing.high:
        return f"no clear change from the first third to the last ({between})"
    return f"{_change(slowing.ratio)} in the last third than in the first ({between})"


def _change(ratio: float) -> str:
    per_cent = round(100 * abs(ratio - 1))
    if not per_cent:
        return "as quick"
    return f"{per_cent} % {'slower' if ratio > 1 else 'quicker'}"
