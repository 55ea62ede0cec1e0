"""One entry of a lane in words, with what became of it."""

from __future__ import annotations

from dataclasses import replace
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
from judgekit.core.paperentry import OfPaper, PaperNoReps, PaperTime
from judgekit.core.writing import set_words
from judgekit.reports.names import (
    MARK_WORDS,
    NO_REASON,
    answer_words,
    call_of,
    paper_words,
)
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


def _from_paper(lane: Lane, entry: Entry, body: OfPaper) -> str:
    """What stands on paper, and of which set or part."""
    plan, key = lane.plan, entry.set
    if isinstance(body, PaperTime):
        known = 1 <= body.part <= len(plan.parts)
        named = plan.parts[body.part - 1].id if known else ""
        return f"from paper: {paper_words(body, named)}"
    if key is None or not plan.holds(key):
        return f"from paper: {paper_words(body)}"
    where = set_words(plan, key)
    if isinstance(body, PaperNoReps):
        if body.any_round:
            name = plan.card_of(key).name.lower()
            where = f"part {plan.part(key).id}, {name}"
        call = call_of(plan.card_of(key), body.fault) if body.fault else ""
        return f"{where}, from paper: {paper_words(replace(body, fault=call))}"
    return f"{where}, from paper: {paper_words(body)}"


def _undone(lane: Lane, entry: Entry) -> str:
    body, says = entry.body, what(lane.plan, entry)
    if isinstance(body, Note):
        return f"note: {body.text}"
    if isinstance(body, OfPaper):
        says = _from_paper(lane, entry, body)
    gone = any(taken.target == entry.ref for taken in lane.taken_back)
    return says + (", undone" if gone else "")


def _attempt(lane: Lane, entry: Entry, attempt: Attempt) -> str:
    """A judgement, where it fell, with every reason it has by now, and its marks."""
    card = lane.plan.card_of(attempt.set)
    said = what(lane.plan, entry)
    if not attempt.good:
        calls = " + ".join(call_of(card, fault) for fault in attempt.faults)
        said = f"no-rep {calls or NO_REASON}"
    marks = ", ".join(MARK_WORDS[mark] for mark in attempt.marks)
    return f"{card.name}: {said}{marks and f' ({marks})'}"
