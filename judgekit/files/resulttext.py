"""A whole result read from text: "7:41", "5+8", "132 reps", "80 kg"."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from judgekit.core import quantity
from judgekit.core.resulting import unit_wanted
from judgekit.core.watchentry import Result, ResultUnit
from judgekit.files.cleaning import quoted
from judgekit.files.tally_words import LineError, length

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.core.plan import Plan

_ROUNDS = re.compile(r"(\d{1,4}) ?\+ ?(\d{1,6})", re.ASCII)
_COUNT = re.compile(r"(\d{1,6}) ?([a-z]*)", re.ASCII | re.IGNORECASE)
_UNITS: Mapping[str, ResultUnit] = {
    "rep": "reps",
    "reps": "reps",
    "round": "rounds",
    "rounds": "rounds",
    "interval": "rounds",
    "intervals": "rounds",
    "calorie": "calories",
    "calories": "calories",
    "cal": "calories",
    "metre": "metres",
    "metres": "metres",
    "m": "metres",
    "second": "seconds",
    "seconds": "seconds",
    "s": "seconds",
    "segment": "segments",
    "segments": "segments",
}
FORMS = "7:41, 5+8, 132 reps, 54 calories, 4 rounds or 80 kg"


def read_result(text: str, plan: Plan | None = None) -> Result:
    """The result that a text tells; LineError says what it lacks.

    A number alone is in the unit of the plan's score, if that is counted.
    """
    if ":" in text:
        return Result(unit="ms", amount=length(text))
    rounds = _ROUNDS.fullmatch(text)
    if rounds:
        return Result(unit="reps", rounds=int(rounds[1]), amount=int(rounds[2]))
    count = _COUNT.fullmatch(text)
    unit = _unit(count[2].lower(), plan) if count else None
    if count and unit:
        number = int(count[1])
        if unit == "rounds":
            return Result(unit=unit, rounds=number)
        return Result(unit=unit, amount=number)
    if _is_load(text):
        return Result(unit="load", load=text)
    raise LineError(f"{quoted(text)} is no result such as {FORMS}")


def _unit(word: str, plan: Plan | None) -> ResultUnit | None:
    if word or plan is None:
        return _UNITS.get(word)
    return _UNITS.get(unit_wanted(plan) or "")


def _is_load(text: str) -> bool:
    try:
        return quantity.parse(text).dimension == "mass"
    except ValueError:
        return False
