"""One entry of a lane in words, with what became of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import (
    Absent,
    Dispute,
    Extra,
    Note,
    Rule,
    Stop,
    TakeBack,
    Withdraw,
)
from judgekit.reports.names import MARK_WORDS, NO_REASON, answer_words, call_of
from judgekit.reports.remarks import dispute_words, effect_words, entry_at, what

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.core.entry import Entry
    from judgekit.core.state import Attempt, Lane


def entry_words(lane: Lane, entry: Entry, names: Mapping[str, str]) -> str:
    """What an entry says: a judgement with its reasons and marks, or a ruling.

    `names` gives names to the ids of those who rule.
    """
    attempt = next((a for a in lane.work.attempts if a.ref == entry.ref), None)
    if attempt is not None:
        return _attempt(lane, entry, attempt)
    match entry.body:
        case Rule(effect=effect, why=why):
            who = names.get(entry.who, entry.who)
            by = f" by {who}" if who else ""
            return f"ruling{by}: {effect_words(lane, effect)} ({why})"
        case Dispute():
            return dispute_words(lane, entry, entry.body)
        case Stop(sign=why) | Withdraw(why=why):
            word = "STOP" if isinstance(entry.body, Stop) else "withdrew"
            return f"{word} ({why})" if why else word
        case Absent(absent=absent):
            return "absent" if absent else "here after all"
        case TakeBack(target=target):
            return f"taken back: {entry_at(lane, target)}"
        case Extra(target=target, one_too_many=yes):
            pressed = next((e for e in lane.entries if e.ref == target), None)
            return f"{answer_words(pressed, yes=yes)}: {entry_at(lane, target)}"
        case _:
            return _undone(lane, entry)


def _undone(lane: Lane, entry: Entry) -> str:
    if isinstance(entry.body, Note):
        return f"note: {entry.body.text}"
    gone = any(taken.target == entry.ref for taken in lane.taken_back)
    return what(lane.plan, entry) + (", undone" if gone else "")


def _attempt(lane: Lane, entry: Entry, attempt: Attempt) -> str:
    """A judgement, where it fell, with every reason it has by now, and its marks."""
    card = lane.plan.card_of(attempt.set)
    said = what(lane.plan, entry)
    if not attempt.good:
        calls = " + ".join(call_of(card, fault) for fault in attempt.faults)
        said = f"no-rep {calls or NO_REASON}"
    marks = ", ".join(MARK_WORDS[mark] for mark in attempt.marks)
    return f"{card.name}: {said}{marks and f' ({marks})'}"
