"""What a whole card should hold, beyond the shape of its file.

Each finding names the table and its place, what is wrong and what would be right. They
are advice to whoever writes a card; the cards that come with judgekit have none.
"""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from judgekit.core.calls import alike, wrong_with
from judgekit.core.card import in_force
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from judgekit.core.card import Card, Fault

Place = tuple[str | int, ...]

# Columns of the narrowest screen on which each text is read whole.
_FITS = {"name": 28, "call": 9, "criterion": 96}
_MOST_VOIDING = 8
# Five calls with what must be there share this much of a judge's screen of 80 by 24.
_CALLS_SHOWN = 5
_SIDE_COLUMNS, _SIDE_ROWS = 27, 14
# Two good reps and three bad in different ways settle what a text means.
_GOOD_EXAMPLES = 2
_BAD_EXAMPLES = 3
# With a setting at another value than the card's own, so that none comes twice running.
_BAD_ELSEWHERE = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing to mend on a card; `at` is its place, such as ("fault", 2, "call")."""

    at: Place
    what: str
    right: str


def findings(card: Card) -> tuple[Finding, ...]:
    """What one card lacks or says badly, in the order of its file."""
    return (
        *_empty(card),
        *_unbroken(card),
        *_calls(card),
        *_too_long(card),
        *_crowded(card),
        *_examples(card),
    )


def circle_from(start: str, cards: Mapping[str, Card]) -> tuple[str, ...]:
    """A way from a card by substitutes back to it; empty if there is none."""
    ways: list[tuple[str, ...]] = [(start,)]
    seen: set[str] = set()
    while ways:
        way = ways.pop()
        card = cards.get(way[-1])
        for substitute in card.substitutes if card else ():
            if substitute.card == start:
                return (*way, start)
            if substitute.card not in seen:
                seen.add(substitute.card)
                ways.append((*way, substitute.card))
    return ()


def _empty(card: Card) -> Iterator[Finding]:
    if not any(fault.weight == "void" for fault in card.faults):
        yield Finding(
            at=("fault",),
            what="no fault voids a rep",
            right='add a [[fault]] with weight = "void"',
        )
    if not card.equipment and card.measures:
        yield Finding(
            at=("measure",),
            what="is measured, but the card names no equipment",
            right='add equipment = ["barbell"]',
        )


def _unbroken(card: Card) -> Iterator[Finding]:
    broken = {fault.breaks for fault in card.faults}
    for at, criterion in enumerate(card.criteria):
        if criterion.id not in broken:
            yield Finding(
                at=("criterion", at),
                what=f'no fault breaks "{criterion.id}", so nobody can be told of it',
                right=f'add a voiding fault with breaks = "{criterion.id}"',
            )


def _calls(card: Card) -> Iterator[Finding]:
    places = {fault.call: at for at, fault in enumerate(card.faults)}
    for call, at in places.items():
        why = wrong_with(call)
        if why:
            yield Finding(
                at=("fault", at, "call"),
                what=f'"{call}" {why}',
                right="choose a word that says what to do",
            )
    for one, other in alike(places):
        yield Finding(
            at=("fault", places[other], "call"),
            what=f'"{other}" sounds like "{one}" of the same card',
            right="choose a word that cannot be taken for it",
        )
    yield from _called_twice(card)


def _called_twice(card: Card) -> Iterator[Finding]:
    seen: dict[str, Fault] = {}
    for at, fault in enumerate(card.faults):
        other = seen.setdefault(fault.call, fault)
        if other is not fault:
            yield Finding(
                at=("fault", at, "call"),
                what=f'"{fault.call}" is the call of "{other.id}" too',
                right="give each fault of a card its own call",
            )


def _too_long(card: Card) -> Iterator[Finding]:
    texts: list[tuple[Place, str, int]] = [(("name",), card.name, _FITS["name"])]
    texts += [
        (("fault", at, "call"), fault.call, _FITS["call"])
        for at, fault in enumerate(card.faults)
    ]
    texts += [
        (("criterion", at, "says"), criterion.says, _FITS["criterion"])
        for at, criterion in enumerate(card.criteria)
    ]
    for place, text, most in texts:
        if len(text) > most:
            yield Finding(
                at=place,
                what=f"has {len(text)} letters; the judge's screen shows {most}",
                right="say it shorter",
            )
    voiding = sum(fault.weight == "void" for fault in card.faults)
    if voiding > _MOST_VOIDING:
        yield Finding(
            at=("fault",),
            what=f"{voiding} faults void a rep; digits name only {_MOST_VOIDING}",
            right="join two of them, or make one a cue",
        )


def _crowded(card: Card) -> Iterator[Finding]:
    """The words beside the count, too many to be read whole."""
    rows = 0
    for fault in [f for f in card.faults if f.weight == "void"][:_CALLS_SHOWN]:
        criterion = card.criterion(fault.breaks or "")
        says = f"{fault.call}  {criterion.says if criterion else ''}"
        rows += len(textwrap.wrap(says, _SIDE_COLUMNS))
    if rows > _SIDE_ROWS:
        yield Finding(
            at=("criterion",),
            what=f"what the first {_CALLS_SHOWN} calls ask for takes {rows} lines; "
            f"the judge's screen shows {_SIDE_ROWS}",
            right="say each criterion in fewer words",
        )


def _examples(card: Card) -> Iterator[Finding]:
    yield from _too_few(in_force(card, {}), "", _BAD_EXAMPLES)
    for setting in card.settings:
        for value in setting.values:
            if value.value != setting.default:
                ruled = in_force(card, {setting.id: value.value})
                where = f" where {setting.id} is {value.value}"
                yield from _too_few(ruled, where, _BAD_ELSEWHERE)


def _too_few(card: Card, where: str, least: int) -> Iterator[Finding]:
    """Too few reps to show of a card as it is in force."""
    bad = {example.fault for example in card.examples if example.fault}
    voiding = sum(fault.weight == "void" for fault in card.faults)
    good = sum(example.fault is None for example in card.examples)
    if good < _GOOD_EXAMPLES or len(bad) < min(least, voiding):
        yield Finding(
            at=("example",),
            what=f"{good} good reps and {len(bad)} ways to miss one are described"
            f"{where}",
            right=f"describe {_GOOD_EXAMPLES} good reps and {least} no-reps",
        )
