"""The bars of one lane through its work: which movements share one, and each change.

Movements of one part whose loads are the same share a bar; others of that part need
their own, since nobody reloads between two movements of a round. From part to part a
bar is loaded anew.
"""

from __future__ import annotations

from itertools import groupby, zip_longest
from typing import TYPE_CHECKING

from judgekit.core.plates import Change, Loading, Side, change, load, load_mass
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from judgekit.core.plan import Plan, PlanPart
    from judgekit.core.plates import Rack


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One movement on a bar: its card and its loads as shown, each change one more."""

    card: str
    loads: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A load on a bar. `side` is what lies on each end then, None if not known.

    `loading` is how an unloaded bar is given it, None where the load is in words;
    `moved` what goes off and on, None on a bar whose discs are not known.
    """

    card: str
    load: str
    side: Side | None = None
    loading: Loading | None = None
    moved: Change | None = None


Barbell = tuple[Use, ...]


def barbells(plan: Plan, cards: Collection[str]) -> tuple[Barbell, ...]:
    """Each bar of a lane with its uses in order; `cards` are those done with one."""
    bars: list[list[Use]] = []
    for part in plan.parts:
        here = _bars_of(part, cards)
        none: list[Use] = []
        bars = [old + new for old, new in zip_longest(bars, here, fillvalue=none)]
    return tuple(tuple(bar) for bar in bars)


def steps(bar: Barbell, rack: Rack) -> Iterator[Step]:
    """Every load of a bar in the order of the work, with the discs it then has."""
    before: Side | None = None
    for use in bar:
        for written in use.loads:
            target = load_mass(written)
            if target is None:
                yield Step(card=use.card, load=written)
                before = None
                continue
            moved = None if before is None else change(before, target, rack)
            loading = load(target, rack)
            before = loading.side if moved is None else _after(before, moved)
            yield Step(
                card=use.card, load=written, side=before, loading=loading, moved=moved
            )


def _bars_of(part: PlanPart, cards: Collection[str]) -> list[list[Use]]:
    """The bars of one part; a movement without a load uses one that is there anyway."""
    loaded: dict[tuple[str, ...], list[Use]] = {}
    bare: list[Use] = []
    for movement in part.movements:
        if movement.card not in cards:
            continue
        loads = _changes(movement.loads)
        use = Use(card=movement.card, loads=loads)
        if loads:
            loaded.setdefault(loads, []).append(use)
        else:
            bare.append(use)
    return list(loaded.values()) or ([bare] if bare else [])


def _changes(loads: Sequence[str]) -> tuple[str, ...]:
    return tuple(load for load, _same in groupby(filter(None, loads)))


def _after(before: Side | None, moved: Change) -> Side:
    """What lies on each end once discs have gone off and on."""
    kept = before or ()
    return kept[: len(kept) - len(moved.off)] + moved.on
