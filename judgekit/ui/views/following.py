"""What comes after a set: rests, the next work, the next attempt."""

from __future__ import annotations

from typing import TYPE_CHECKING

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
    after = key if resting else plan.after(key)
    if after is None:
        return ("last set",)
    words = _rests(plan, key, after)
    work = _work(plan, key, after)
    loaded = f"{work}  {plan.load(after)}".rstrip()
    ways = ((*words, loaded), (*words, work), (words or [work])[:1])
    return tuple(f"next  {', then '.join(way)}" for way in ways)


def _rests(plan: Plan, key: SetKey, after: SetKey) -> list[str]:
    """The rests between the two, those of the athlete's own first."""
    parts = plan.parts[key.part : after.part - 1]
    words = [f"rest {show_time(p.length_ms)}" for p in parts if p.kind == "rest"]
    if after.part == key.part and after.round > key.round:
        own = plan.part(after).rest_ms
        words += [f"rest {show_time(own)}"] if own else []
    return words + [
        f"rest until {show_time(p.until_ms)}" for p in parts if p.kind == "rest-until"
    ]


def _work(plan: Plan, key: SetKey, after: SetKey) -> str:
    part = plan.part(after)
    if part.kind == "attempts" and (after.part, after.round) != (key.part, key.round):
        return attempt_words(part, after)
    return f"{plan.card_of(after).name.lower()} {amount_words(plan, after)}"
