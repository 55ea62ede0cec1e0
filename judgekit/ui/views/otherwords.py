"""What an entry says that judges nothing: of heat, day, officials, odd things."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import (
    Absent,
    Accept,
    Body,
    Claim,
    ClassOver,
    ClockJump,
    Dispute,
    Early,
    Freeze,
    Gap,
    Go,
    GoOn,
    Ignored,
    Is,
    Recall,
    Rule,
    Scale,
    Stop,
    Time,
    Unfreeze,
    WallSet,
)
from judgekit.core.quantity import show_time

if TYPE_CHECKING:
    from collections.abc import Mapping


def repeats(many: int) -> str:
    """How many repeats, in words: "1 repeat", "29 repeats"."""
    return f"{many} repeat" if many == 1 else f"{many} repeats"


def of_heat(body: Body) -> str:
    match body:
        case Stop(sign=sign):
            return f"STOP: {sign}" if sign else "STOP"
        case GoOn(by_mistake=by_mistake, by=by):
            return "stopped by mistake" if by_mistake else f"let go on by {by}"
        case Recall():
            return "recalled"
        case WallSet(shows_ms=shows):
            return f"clock set: the wall shows {show_time(shows)}"
        case _:
            return _HEAT.get(type(body), "")


_HEAT: Mapping[type[Body], str] = {
    Go: "go",
    Freeze: "frozen",
    Unfreeze: "work goes on",
    Time: "time",
    ClassOver: "class over",
}


def of_day(body: Body, judges: Mapping[str, str]) -> str:
    match body:
        case Claim(judge=judge):
            return f"judge {judges.get(judge, judge)}" if judge else ""
        case Is(bib=bib):
            return f"athlete is {bib}"
        case Scale():
            return _scale_words(body)
        case Absent(absent=absent):
            return "absent" if absent else "here after all"
        case _:
            return ""


def card_words(card: str) -> str:
    """A card's id as words: its own name may not have been read."""
    return card.replace("-", " ")


def _scale_words(scale: Scale) -> str:
    """What is done instead: "toes to bar: hanging knee raise, 8"."""
    other = scale.substitute if scale.substitute != scale.card else ""
    reps = str(scale.reps) if scale.reps else ""
    instead = filter(None, (card_words(other), reps, scale.load, scale.height))
    return f"{card_words(scale.card)}: {', '.join(instead) or 'as written'}"


def official(body: Body) -> str:
    match body:
        case Accept(who=who, signed=signed):
            return f"{who} {'accepts' if signed else 'has not signed'}"
        case Dispute(about=about):
            return f"disputed: {about}"
        case Rule(why=why):
            return f"ruling: {why}"
        case _:
            return ""


def odd(body: Body) -> str:
    match body:
        case Early():
            return "before zero: not counted"
        case Ignored(why="held key", key=key, many=many):
            return f"held {key}: {repeats(many)} not counted"
        case Ignored(why=why, key=key):
            return f"{key} {why}: not counted"
        case Gap(why=why):
            return f"away: {why}"
        case ClockJump(by_ms=by):
            return f"clock jumped {by / 1000:g} s"
        case _:
            return ""
