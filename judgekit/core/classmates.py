"""A class called up by names alone: who they are, and what divisions it needs."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING

from judgekit.core.likenames import plain
from judgekit.core.values import dataclass
from judgekit.core.workout import ByDivision

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

    from judgekit.core.card import Card
    from judgekit.core.people import Athlete
    from judgekit.core.workout import Workout

# As many as one Floor shows; more are another heat.
MOST_LANES = 12
_BETWEEN = re.compile(r"[,;\n]")
_DIVIDED = re.compile(r"(.*\S)\s*/\s*([a-z][a-z0-9-]*)", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Classmate:
    """One of a class; `person` joins somebody to what was done on other days.

    `division` is empty where nothing of the workout hangs on it.
    """

    name: str
    division: str = ""
    person: str = ""


def named(text: str) -> tuple[Classmate, ...]:
    """Who was typed: "Ana/women, Bo/men" or "Ana, Bo"."""
    pieces = (piece.strip() for piece in _BETWEEN.split(text))
    return tuple(_one(piece) for piece in pieces if piece)


def _one(piece: str) -> Classmate:
    found = _DIVIDED.fullmatch(piece)
    if found is None:
        return Classmate(name=piece)
    return Classmate(name=found[1], division=found[2].casefold())


def named_twice(mates: Sequence[Classmate]) -> str:
    """The first name that two of them bear, which nobody could tell apart."""
    seen: set[str] = set()
    for mate in mates:
        if plain(mate.name) in seen:
            return mate.name
        seen.add(plain(mate.name))
    return ""


def strangers(
    mates: Iterable[Classmate], there: Iterable[Athlete]
) -> tuple[Classmate, ...]:
    """Who is not there yet, by name."""
    known = {plain(athlete.name) for athlete in there}
    return tuple(mate for mate in mates if plain(mate.name) not in known)


def bearers(mate: Classmate, earlier: Iterable[Athlete]) -> tuple[Athlete, ...]:
    """Earlier persons of that name, one entry for each person; nobody without an id."""
    found = {
        athlete.person: athlete
        for athlete in earlier
        if athlete.person and plain(athlete.name) == plain(mate.name)
    }
    return tuple(found.values())


def joined(mate: Classmate, earlier: Athlete, standards: Collection[str]) -> Classmate:
    """The same as an earlier person, whose division is taken if it serves here."""
    known = earlier.division if earlier.division in standards else ""
    return replace(mate, person=earlier.person, division=mate.division or known)


def with_persons(
    mates: Iterable[Classmate], taken: Collection[str]
) -> tuple[Classmate, ...]:
    """Everybody with an id of their own, so that the next class can join them."""
    ids = {person.casefold() for person in taken}
    found: list[Classmate] = []
    for mate in mates:
        one = mate
        if not mate.person:
            one = replace(mate, person=_new_id(mate.name, ids))
        ids.add(one.person.casefold())
        found.append(one)
    return tuple(found)


def _new_id(name: str, taken: Collection[str]) -> str:
    base = "-".join(re.findall(r"\w+", name.casefold()))[:30] or "athlete"
    number, found = 1, base
    while found in taken:
        number += 1
        found = f"{base}-{number}"
    return found


def standards_in(workout: Workout, cards: Mapping[str, Card]) -> tuple[str, ...]:
    """The divisions or standards that values of a workout and its cards ask for.

    Empty where everybody does the same. A card's height does not matter where the
    workout sets its own.
    """
    keys = dict.fromkeys(_keys_in(workout))
    for part in workout.parts:
        for movement in part.movements:
            if movement.height is None:
                ids = _values(movement.card)
                keys |= dict.fromkeys(_heights_of(cards[i] for i in ids if i in cards))
    return tuple(keys)


def _values(value: ByDivision[str]) -> tuple[str, ...]:
    one = (value.same,) if value.same is not None else ()
    return (*one, *(item for _, item in value.by_key))


def _heights_of(cards: Iterable[Card]) -> Iterator[str]:
    for card in cards:
        for criterion in card.criteria:
            if criterion.height is not None:
                yield from (key for key, _ in criterion.height.by_key)


def _keys_in(value: object) -> Iterator[str]:
    if isinstance(value, ByDivision):
        yield from (key for key, _ in value.by_key)
    elif isinstance(value, tuple):
        for item in value:
            yield from _keys_in(item)
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            yield from _keys_in(getattr(value, field.name))
