"""What comes after a set: rests, the next work, the next attempt."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.plan import OPEN
from judgekit.core.quantity import show_time
from judgekit.ui.views.count import amount_words, attempt_words

if TYPE_CHECKING:
    from judgekit.core.plan import Plan, SetKey
    from judgekit.ui.views.phase import Phase


def following(
    plan: Plan, key: SetKey, phase: Phase, *, resting: bool
) -> tuple[str, ...]:
    """What comes next, in full, without its load, and only what is first of it."""
    if phase in ("horn", "over", "accepted"):
        return ("",)
    after = key if resting else _after(plan, key)
    if after is None:
        return ("last set",)
    words = _rests(plan, key, after)
    work = _work(plan, key, after)
    loaded = f"{work}  {plan.load(after)}".rstrip()
    ways = ((*words, loaded), (*words, work), (words or [work])[:1])
    return tuple(f"next  {', then '.join(way)}" for way in ways)


def _after(plan: Plan, key: SetKey) -> SetKey | None:
    """The set that follows; only the clock ends as many as can be done."""
    if plan.target(key) != OPEN:
        return plan.after(key)
    part = plan.part(key)
    another = part.kind == "every" and key.round < part.rounds
    return plan.after_round(key) if another else plan.first_from(key.part + 1)


def _rests(plan: Plan, key: SetKey, after: SetKey) -> list[str]:
    """The rests between the two, those of the athlete's own first."""
    parts = plan.parts[key.part : after.part - 1]
    words = [f"rest {show_time(p.length_ms)}" for p in parts if p.kind == "rest"]
    if after.part == key.part and after.round > key.round:
        part = plan.part(after)
        own = part.rest_ms or part.every_ms - part.work_ms
        words += [f"rest {show_time(own)}"] if own else []
    return words + [
        f"rest until {show_time(p.until_ms)}" for p in parts if p.kind == "rest-until"
    ]


def _work(plan: Plan, key: SetKey, after: SetKey) -> str:
    part = plan.part(after)
    name = plan.card_of(after).name.lower()
    if part.kind != "attempts":
        return f"{name} {amount_words(plan, after)}"
    if after != key and (after.part, after.round) == (key.part, key.round):
        return f"{name} {amount_words(plan, after)}"
    # Within a part of attempts the movement stands on the screen already.
    which = attempt_words(part, after)
    return which if after.part == key.part and after != key else f"{name}, {which}"
