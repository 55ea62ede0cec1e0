"""A dispute under way in words: what is asked for, and the keys of its step."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.plan import OPEN
from judgekit.core.score import score
from judgekit.reports.names import NO_REASON, call_of
from judgekit.reports.remarks import press_time, set_words
from judgekit.ui.disputekeys import ABOUT

if TYPE_CHECKING:
    from judgekit.core.state import Lane
    from judgekit.ui.disputekeys import DisputeKeys
    from judgekit.ui.views.sheet import Keys

_CARET = "_"


def dispute_footer(keys: DisputeKeys, lane: Lane) -> tuple[Keys, Keys]:
    """What is asked, with what is typed so far; and the keys that answer it."""
    typed = f"{keys.typed}{_CARET}"
    match keys.step:
        case "about":
            return _about(lane), ("escape closes",)
        case "set":
            done = keys.set_done(lane)
            of = "" if done.target == OPEN else f" of {done.target}"
            now = f"{set_words(lane.plan, done.key)}: {done.good}{of} count"
            return (now, f"should be: {typed}"), _rest("digits", "arrows: another set")
        case "no-rep":
            return (_no_rep(keys, lane), "should be: a good rep"), _rest(
                "arrows: another"
            )
        case "time":
            now = f"the score is {score(lane).shown}"
            return (now, f"should be: {typed}"), _rest("digits, as 738 for 7:38")
        case "words":
            return (f"{keys.about}, why: {typed}",), _rest("words")
        case _:
            seen = f"what speaks for it, a video or a witness: {typed}"
            return (seen,), ("words", "enter hands it in", "escape leaves it")


def _rest(*first: str) -> Keys:
    return (*first, "enter goes on", "escape leaves it")


def _about(lane: Lane) -> Keys:
    may = lane.plan.disputes
    kinds = {"5": "count", "6": "count", "7": "time"}
    return (
        "Disputed:",
        *(
            f"{key} {about}"
            for key, about in ABOUT.items()
            if may == "count-and-time" or kinds.get(key, may) == may
        ),
    )


def _no_rep(keys: DisputeKeys, lane: Lane) -> str:
    attempt = keys.no_rep(lane)
    card = lane.plan.card_of(attempt.set)
    calls = " + ".join(call_of(card, fault) for fault in attempt.faults)
    at = press_time(lane.plan, attempt.at)
    return f"{at} {card.name}, no-rep {calls or NO_REASON}"
