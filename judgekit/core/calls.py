"""The words a judge shouts: what they must not be taken for in a loud hall.

Sounds are spelled roughly, by rules of English spelling, as strings of one sign for
each sound; how well they do is tested against a pronouncing dictionary.
"""

from __future__ import annotations

import re
from itertools import combinations
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# Count words, the words that sound like them, and those that multiply.
NUMBERS = _words(
    "zero nought one won two to too three four for five six seven eight ate nine ten "
    "eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen "
    "twenty thirty forty fifty sixty seventy eighty ninety hundred thousand half once "
    "twice first second third double triple single pair"
)
UNITS_OF_WORK = _words(
    "round rounds set sets rep reps lane lanes part parts heat heats"
)
_GRAPHEMES = (
    (r"^(d|wh|t)o$", r"\1U"),
    (r"^([chnwv]|all|br)ow$", r"\1W"),
    (r"^touch", "tuC"),
    (r"^gu(?=[eiY])", "g"),
    (r"^kn", "n"),
    (r"^wr", "r"),
    (r"oes$", "Oz"),
    (r"ough|ow$|oe$|oa", "O"),
    (r"ow|ou", "W"),
    (r"igh|ie$", "Y"),
    (r"tch|ch", "C"),
    (r"dge", "J"),
    (r"nge$", "nJ"),
    (r"sh", "S"),
    (r"th", "T"),
    (r"ph", "f"),
    (r"ng", "N"),
    (r"ck|[ckq]", "k"),
    (r"wh", "w"),
    (r"ee|ea(?!d)|ie|ey$", "I"),
    (r"ea", "e"),
    (r"oo", "U"),
    (r"ai|ay", "A"),
    (r"oi|oy", "Q"),
    (r"al(?=[kl])", "o"),
    (r"or|oar|our", "or"),
)
_LONG = {"a": "A", "e": "I", "i": "Y", "o": "O", "u": "U"}
_FINAL = {"o": "O", "y": "I", "e": ""}


def sounds(word: str) -> str:
    """A word as one sign for each sound, roughly: "STOP" -> "stop", "GO" -> "gO"."""
    text = re.sub(r"[^a-z]", "", word.casefold())
    text = re.sub(r"([aeiou])([^aeiouwyrx])e(s?)$", _silent_e, text)
    for spelled, sound in _GRAPHEMES:
        text = re.sub(spelled, sound, text)
    if text and text[-1] in _FINAL:
        text = text[:-1] + _FINAL[text[-1]]
    return re.sub(r"(.)\1", r"\1", text)


def _silent_e(match: re.Match[str]) -> str:
    return f"{_LONG[match[1]]}{match[2]}{match[3]}"


def wrong_with(call: str) -> str | None:
    """Why a word must not be shouted as a call; None if it may.

    Numbers are taken for the count, units of the workout for its place, and rhymes of
    STOP and GO for the two words that must never be missed. Common practice.
    """
    words = call.casefold().split()
    if number := next((word for word in words if word in NUMBERS), None):
        return f'holds "{number}", which is heard as a number'
    if unit := next((word for word in words if word in UNITS_OF_WORK), None):
        return f'holds "{unit}", which is a unit of the workout'
    for said in ("stop", "go"):
        if any(_rhyme(word, said) for word in words):
            return f"rhymes with {said.upper()}"
    return None


def alike(calls: Iterable[str]) -> Iterator[tuple[str, str]]:
    """The pairs of different calls that lie within one sound of each other."""
    for one, other in combinations(dict.fromkeys(calls), 2):
        if _within_one(_said(one), _said(other)):
            yield one, other


def _said(call: str) -> str:
    return "".join(sounds(word) for word in call.split())


def _rhyme(word: str, other: str) -> bool:
    return _ending(sounds(word)) == _ending(sounds(other))


def _ending(said: str) -> str:
    """A word from its last vowel on."""
    found = re.search(r"[aeiouyAIOUYWQ][^aeiouyAIOUYWQ]*$", said)
    return found[0] if found else said


def _within_one(one: str, other: str) -> bool:
    """Whether one sound put in, left out or changed makes the one into the other."""
    if abs(len(one) - len(other)) > 1:
        return False
    short, long = sorted((one, other), key=len)
    at = next((i for i, s in enumerate(short) if s != long[i]), len(short))
    if len(short) == len(long):
        return short[at + 1 :] == long[at + 1 :]
    return short[at:] == long[at + 1 :]
