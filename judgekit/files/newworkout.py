"""A workout made from answers, as a coach would say them; each answer is looked at."""

from __future__ import annotations

import re
from difflib import get_close_matches
from typing import TYPE_CHECKING

import tomli_w

from judgekit.core import quantity
from judgekit.core.errors import JudgekitError
from judgekit.core.values import dataclass
from judgekit.files.cleaning import clean

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from judgekit.core.card import Card

_MOST_SHOWN = 6
_UNITS: Mapping[str, str] = {
    "": "",
    "rep": "reps",
    "reps": "reps",
    "cal": "calories",
    "cals": "calories",
    "calories": "calories",
    "m": "metres",
    "metres": "metres",
    "s": "seconds",
    "seconds": "seconds",
    "segments": "segments",
}
_AMOUNTS = re.compile(r"(\d+(?:[\s,/-]+\d+)*)\s*([a-z]*)", re.ASCII)
_ROUNDS = re.compile(r"(\d+)\s*(?:rounds?)?", re.ASCII)
_WINDOW = re.compile(r"(?:window|in)?\s*(\d+:\d\d|\d+ min)", re.ASCII)
_EVERY = re.compile(r"every\s+(\d+:\d\d)\s*(?:x|times)?\s*(\d+)(?:\s*times)?", re.ASCII)
_TRIES = re.compile(r"(\d+)\s*attempts?\s*(?:within|in)\s*(\d+:\d\d)", re.ASCII)
_SINGULAR = re.compile(r"(?<=[^s])s$")
_UNTIL = re.compile(r"until\s+(\d+:\d\d)", re.ASCII)
_KEYED = re.compile(r"([a-z][a-z-]*)\s+(\S.*)", re.ASCII)


class AnswerError(JudgekitError):
    """An answer that means nothing here; says what would be right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What was answered, as the tables of a workout's file."""

    name: str
    score: str
    parts: tuple[dict[str, object], ...]
    cap: str = ""


def shape(answer: str) -> dict[str, object]:
    """How a part is done: "3 rounds", "window 8:00", "every 2:00 x 5", ..."""
    text = answer.strip().casefold()
    if found := _EVERY.fullmatch(text):
        return {"every": found[1], "times": int(found[2])}
    if found := _TRIES.fullmatch(text):
        return {"attempts": int(found[1]), "within": found[2]}
    if found := _ROUNDS.fullmatch(text):
        return {"rounds": int(found[1])}
    if found := _WINDOW.fullmatch(text):
        return {"window": found[1]}
    raise AnswerError(
        'write "3 rounds", "window 8:00", "every 2:00 x 5" or "3 attempts in 6:00"'
    )


def rest(answer: str) -> dict[str, object]:
    """The rest after a part: its own length, or until the clock shows something."""
    text = answer.strip().casefold()
    if found := _UNTIL.fullmatch(text):
        return {"rest-until": found[1]}
    return {"rest": duration(text)}


def duration(answer: str) -> str:
    """A time as typed, if it is one."""
    text = answer.strip().casefold()
    try:
        quantity.parse_duration(text)
    except ValueError as error:
        raise AnswerError('write a time, such as "2:00"') from error
    return text


def card_for(answer: str, cards: Iterable[Card]) -> Card:
    """The movement that is meant; where several may be, they are named."""
    known = {card.id: card for card in cards}
    wanted = _words(answer)
    by_name = {_words(card.name): card for card in known.values()}
    by_name |= {_words(card.id): card for card in known.values()}
    if wanted in by_name:
        return by_name[wanted]
    inside = {c.id: c for name, c in by_name.items() if wanted and wanted in name}
    if len(inside) == 1:
        return next(iter(inside.values()))
    near = list(inside) or [
        by_name[name].id for name in get_close_matches(wanted, by_name, 3)
    ]
    if len(set(near)) == 1:
        return known[near[0]]
    if not near:
        raise AnswerError("no card of that name; judgekit cards lists them all")
    raise AnswerError(f"which: {', '.join(list(dict.fromkeys(near))[:_MOST_SHOWN])}?")


def _words(name: str) -> str:
    """The words of a name in the singular: "Burpees" is "burpee"."""
    words = re.findall(r"\w+", name.casefold())
    return " ".join(_SINGULAR.sub("", word) for word in words)


def amounts(answer: str, card: Card) -> dict[str, object]:
    """How many, for all rounds or for each: "12", "12 10 8", "15 calories"."""
    found = _AMOUNTS.fullmatch(answer.strip().casefold())
    unit = _UNITS.get(found[2]) if found else None
    if found is None or unit is None:
        raise AnswerError('write "12", "12 10 8" for three rounds, or "15 calories"')
    unit = unit or card.counts[0]
    if unit not in card.counts:
        counts = " or ".join(card.counts)
        raise AnswerError(f"{card.name} is counted in {counts}")
    numbers = [int(number) for number in re.findall(r"\d+", found[1])]
    return {unit: numbers if len(numbers) > 1 else numbers[0]}


def load(answer: str) -> dict[str, object]:
    """A load for all, or by standard: "60 kg", "men 60 kg, women 42.5 kg"."""
    pieces = [piece.strip() for piece in answer.casefold().split(",") if piece.strip()]
    keyed = [_KEYED.fullmatch(piece) for piece in pieces]
    if len(pieces) == 1 and keyed[0] is None:
        return {"load": _mass(pieces[0])}
    table = {found[1]: _mass(found[2]) for found in keyed if found is not None}
    if len(table) != len(pieces):
        raise AnswerError(_LOADS)
    return {"load": table}


_LOADS = 'write "60 kg", or "men 60 kg, women 42.5 kg"'


def _mass(text: str) -> str:
    try:
        quantity.parse_as(text, "mass")
    except ValueError as error:
        raise AnswerError(_LOADS) from error
    return text


def file_id(name: str) -> str:
    """The id, and with it the file's name, of a workout of that name."""
    return "-".join(re.findall(r"[a-z0-9]+", name.casefold()))[:40].strip("-")


def text_of(answers: Answers) -> str:
    """The workout's file."""
    table: dict[str, object] = {
        "id": file_id(answers.name),
        "name": clean(answers.name, 40),
        "revision": 1,
        "score": answers.score,
    }
    if answers.cap:
        table["cap"] = answers.cap
    table["part"] = list(answers.parts)
    return tomli_w.dumps(table)


def usual_score(parts: Sequence[Mapping[str, object]]) -> str:
    """What such work is usually scored by; only rounds end in a time."""
    work = [part for part in parts if "movement" in part]
    if work and all("attempts" in part for part in work):
        return "load"
    return "time" if work and all("rounds" in part for part in work) else "reps"
