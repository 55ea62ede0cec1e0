"""Deciding what a head judge rules: what can be, and which disputes it answers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.disputing import NO_ANSWER, reps_refusal
from judgekit.core.entry import Rule
from judgekit.core.errors import Refusal
from judgekit.core.pointing import Decided, attempt_of, draft, no_attempt
from judgekit.core.press import Answering, Press, RuleAt
from judgekit.core.ruling import (
    Percent,
    RepsInSet,
    RestoreAttempt,
    Stands,
    VoidAttempt,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.state import Lane

_WHOLE = 100


def ruled(lane: Lane, press: Press, act: Rule | RuleAt | Answering) -> Decided:
    """A ruling as an entry, or why it cannot be one."""
    rule = act.ruling if isinstance(act, Answering) else act
    if not rule.why:
        return Refusal(says="A ruling needs its reason.")
    named = _on_attempt(lane, rule) if isinstance(rule, RuleAt) else rule
    if isinstance(act, Answering) and isinstance(named, Rule):
        named = _answering(lane, named, act.disputes)
    if isinstance(named, Refusal):
        return named
    refused = _effect_refusal(lane, named)
    return Refusal(says=refused) if refused else (draft(press, named),)


def _effect_refusal(lane: Lane, rule: Rule) -> str:
    """Why a ruling cannot have its effect; empty if it can."""
    match rule.effect:
        case Percent(percent=percent) if not 1 <= percent <= _WHOLE:
            return "A percentage lies between 1 and 100."
        case RepsInSet() as effect:
            return reps_refusal(lane, effect)
        case Stands() if not rule.answers:
            return "Say which dispute is answered, as nothing else is ruled."
        case _:
            return ""


def _on_attempt(lane: Lane, act: RuleAt) -> Rule | Refusal:
    """The ruling on the attempt of that time, or why there is none."""
    target = attempt_of(lane, act.at)
    if target is None:
        return no_attempt(act.at)
    effect = (
        RestoreAttempt(target=target.ref)
        if act.restore
        else VoidAttempt(target=target.ref)
    )
    return Rule(effect=effect, why=act.why)


def _answering(lane: Lane, rule: Rule, numbers: Sequence[int]) -> Rule | Refusal:
    """The ruling with the disputes that it answers, or why it cannot answer them.

    The lane's disputes are counted from 1, oldest first.
    """
    if isinstance(rule.effect, NO_ANSWER):
        return Refusal(says="To open, to close or to choose a try answers no dispute.")
    there = len(lane.disputes)
    for number in numbers:
        if not 1 <= number <= there:
            known = f"it has {there}" if there else "nothing in it is disputed"
            return Refusal(says=f"This lane has no dispute {number}: {known}.")
    named = tuple(lane.disputes[number - 1].ref for number in numbers)
    return replace(rule, answers=named)
