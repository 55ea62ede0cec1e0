"""How long a workout takes by what athletes took before, in words and as a range."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.estimate import OwnPaces, Pace, passages, rounds_in
from judgekit.core.plan import OPEN, SetKey
from judgekit.core.quantity import show_time
from judgekit.reports.names import counted_words
from judgekit.review.exposure import Kind
from judgekit.review.paces import tells

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from judgekit.core.card import Card
    from judgekit.core.plan import Plan
    from judgekit.review.paces import GymPace


_SECOND_MS = 1000


class _At(NamedTuple):
    """The gym's seconds of some speed, and the card's where the gym has none."""

    own: OwnPaces
    card: Pace


def by_the_logs(
    plan: Plan,
    cards: Mapping[str, Card],
    paces: Mapping[Kind, GymPace],
    *,
    with_seconds: bool = False,
) -> str:
    """The time, or rounds, at the median pace and at the quartiles, and of how many.

    `with_seconds` says each movement's paces, too. Empty where the logs tell of none of
    the movements, or nothing depends on them.
    """
    kinds = list(dict.fromkeys(_kinds(plan)))
    known = [kind for kind in kinds if kind in paces]
    if not known:
        return ""
    quick, middle, slow = (
        _At({kind: paces[kind].quick_ms for kind in known}, "brisk"),
        _At({kind: paces[kind].middle_ms for kind in known}, "ordinary"),
        _At({kind: paces[kind].slow_ms for kind in known}, "ordinary"),
    )
    said = [*_rounds(plan, cards, quick, middle, slow)]
    times = [_end(plan, cards, at) for at in (middle, quick, slow)]
    if None not in times and len(set(times)) > 1:
        about, least, most = (show_time(ms or 0) for ms in times)
        said.append(f"about {about}, from {least} to {most} for the middle half")
    names = {kind: plan.card(kind.card).name.lower() for kind in kinds}
    if with_seconds:
        names |= {kind: f"{names[kind]} {_seconds(paces[kind])}" for kind in known}
    return f"{'; '.join(said)} ({_of_whom(names, paces)})" if said else ""


def _kinds(plan: Plan) -> Iterator[Kind]:
    for number, part in enumerate(plan.parts, 1):
        for place, movement in enumerate(part.movements, 1):
            if tells(plan, SetKey(number, place if part.in_turn else 1, place)):
                yield Kind(movement.card, movement.unit)


def _end(plan: Plan, cards: Mapping[str, Card], at: _At) -> int | None:
    return passages(plan, cards, at.card, at.own)[-1].until_ms


def _rounds(
    plan: Plan, cards: Mapping[str, Card], quick: _At, middle: _At, slow: _At
) -> Iterator[str]:
    for number, part in enumerate(plan.parts, 1):
        first = (plan.target(key) for key in plan.round_sets(number, 1))
        if part.kind != "window" or OPEN in first:
            continue
        about, most, least = (
            rounds_in(
                plan,
                cards,
                passages(plan, cards, at.card, at.own)[number - 1],
                at.card,
                at.own,
            )
            for at in (middle, quick, slow)
        )
        if None not in (about, most, least):
            yield (
                f"part {part.id}: about {about} rounds, "
                f"from {least} to {most} for the middle half"
            )


def _seconds(pace: GymPace) -> str:
    """As in "3.0 s (2.0 to 5.0)"; a metre takes a quarter of a second."""
    digits = 1 if pace.quick_ms >= _SECOND_MS else 2
    quick, middle, slow = (
        f"{ms / _SECOND_MS:.{digits}f}"
        for ms in (pace.quick_ms, pace.middle_ms, pace.slow_ms)
    )
    return f"{middle} s ({quick} to {slow})"


def _of_whom(names: Mapping[Kind, str], paces: Mapping[Kind, GymPace]) -> str:
    """As in "front squat, row of 12 athletes; push-up of 9 athletes; …".

    Movements that as many athletes did stand together.
    """
    known: dict[str, list[str]] = {}
    for kind, name in names.items():
        if kind in paces:
            many = counted_words(paces[kind].athletes, "athletes")
            known.setdefault(many, []).append(name)
    said = [f"{', '.join(some)} of {many}" for many, some in known.items()]
    rest = [name for kind, name in names.items() if kind not in paces]
    if rest:
        said.append(
            f"{', '.join(rest)} by {'its card' if len(rest) == 1 else 'their cards'}"
        )
    return "; ".join(said)
