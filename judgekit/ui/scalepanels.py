"""What an athlete does instead today: another movement, load or number."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.entry import Scale
from judgekit.ui.panels import MOST, Choice, Menu, Submit, Typing
from judgekit.ui.views.otherwords import card_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.card import Card
    from judgekit.core.plan import PlanMovement
    from judgekit.core.state import Lane


def instead_choice(lane: Lane, written: Sequence[Card]) -> Choice | None:
    """The list of what can be done instead; None where nothing is known of it.

    `written` are the cards that the workout names for the lane.
    """
    leads = [_of(lane, card) for card in written[:MOST]]
    if not leads:
        return None
    named = tuple(
        Choice(says=card.name, leads=menu)
        for card, menu in zip(written, leads, strict=False)
    )
    of_what = Menu(opener="more", title="INSTEAD, of what?", choices=named)
    menu = leads[0] if len(leads) == 1 else of_what
    return Choice(says="does something else", leads=menu)


def _of(lane: Lane, card: Card) -> Menu:
    """What stands in for one card: substitutes, then numbers, then as written."""
    done = _done(lane, card)
    now = _now(lane, card, done)
    choices = [
        Choice(says=card_words(other.card), leads=_substitute(card, other.card, done))
        for other in card.substitutes
        if other.card != done.card
    ][: MOST - 3]
    units = lane.plan.units
    if any(done.loads):
        choices.append(Choice(says="another load", leads=_typing(now, card, units)))
    choices.append(Choice(says="another number", leads=_typing(now, card, "")))
    if now != Scale(card=card.id):
        written = Scale(card=card.id, substitute=card.id)
        choices.append(Choice(says="as written again", leads=Submit(act=written)))
    title = f"{card.name.upper()}, instead?"
    return Menu(opener="more", title=title, choices=tuple(choices))


def _done(lane: Lane, card: Card) -> PlanMovement:
    """What the lane does for a written card by now."""
    movements = [m for part in lane.plan.parts for m in part.movements]
    found = (m for m in movements if card.id == m.card or card.name == m.instead_of)
    return next(found, movements[0])


def _now(lane: Lane, card: Card, done: PlanMovement) -> Scale:
    """What was said of it today; what another desk said is known by its movement."""
    said = [e.body for e in lane.entries if isinstance(e.body, Scale)]
    newest = next((s for s in reversed(said) if s.card == card.id), None)
    if newest is not None and newest.substitute != card.id:
        return replace(newest, plan="", why="")
    other = done.card if done.card != card.id and newest is None else ""
    return Scale(card=card.id, substitute=other)


def _substitute(card: Card, other: str, done: PlanMovement) -> Submit | Typing:
    """Another movement; what a machine counts may need a number of its own."""
    scale = Scale(card=card.id, substitute=other)
    if done.unit == "reps":
        return Submit(act=scale)
    return Typing(
        opener="more",
        title=f"{card_words(other)}: how many? enter alone: as many {done.unit}",
        what="scale",
        scale=scale,
    )


def _typing(now: Scale, card: Card, units: str) -> Typing:
    what = f"load in {units}" if units else "how many in each round"
    return Typing(
        opener="more",
        title=f"{card.name}: {what}",
        what="scale",
        unit=units,
        scale=now,
    )
