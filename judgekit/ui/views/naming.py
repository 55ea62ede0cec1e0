"""Athletes and sets on screens; athletes as they chose to have their names shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports.names import shown_name

if TYPE_CHECKING:
    from judgekit.core.people import ShowAs
    from judgekit.core.plan import Plan, SetKey


def beside_number(name: str, show: ShowAs, bib: str) -> str:
    """What stands beside the number: the name, its initials, or nothing."""
    shown = shown_name(name, show, bib)
    return "" if shown == bib else shown


def who(name: str, show: ShowAs, bib: str) -> str:
    """The number, and whatever may stand beside it."""
    return f"{bib}  {beside_number(name, show, bib)}".rstrip()


def set_words(plan: Plan, key: SetKey) -> str:
    """Which of several sets of the workout it is: "Front squat, part A round 2"."""
    part = plan.part(key)
    many = sum(1 for one in plan.parts if one.is_work) > 1
    place = f"part {part.id or key.part}" if many else ""
    round_ = f"round {key.round}" if part.rounds != 1 else ""
    where = " ".join(word for word in (place, round_) if word)
    return ", ".join(word for word in (plan.card_of(key).name, where) if word)
