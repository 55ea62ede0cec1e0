"""Movement by movement: start, finish, what is asked, what is watched, what instead."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.bodies import card_body
from judgekit.core.card import in_force
from judgekit.core.values import dataclass
from judgekit.reports.briefloads import movements_of
from judgekit.reports.names import shown_name

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from judgekit.core.card import Card
    from judgekit.core.plan import Plan, PlanCard, PlanMovement
    from judgekit.core.workout import Workout
    from judgekit.files.eventfolder import EventFolder

_WATCHED = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """A fault of the day: its key and call, what must be there, one cue."""

    key: str
    call: str
    says: str
    cue: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """One movement of the workout as it is said aloud."""

    name: str
    start: str
    finish: str
    criteria: tuple[str, ...]
    watched: tuple[Watched, ...]
    pieces: str
    good: str
    bad: str
    instead: tuple[str, ...]
    signs: tuple[str, ...]


def standards_of(
    folder: EventFolder, workout: Workout, plans: Sequence[Plan]
) -> Iterator[Standard]:
    chosen = {**dict(folder.event.card_settings), **dict(workout.settings)}
    seen: set[str] = set()
    for plan in plans:
        for movement in movements_of(plan):
            if movement.card not in seen:
                seen.add(movement.card)
                card = folder.cards[movement.card]
                body = card_body(card, chosen)
                yield _standard(card, body, movement, folder.cards)


def _standard(
    card: Card, body: PlanCard, movement: PlanMovement, cards: Mapping[str, Card]
) -> Standard:
    described = in_force(card, dict(body.settings)).examples
    examples = {example.fault: example.says for example in reversed(described)}
    shown_bad = next((f for f in movement.watch if f in examples), None)
    if shown_bad is None:
        shown_bad = next((f for f in examples if f is not None), None)
    # A criterion that a setting waives is broken by no fault, and so is not asked.
    asked = {fault.breaks for fault in body.faults}
    return Standard(
        name=body.name,
        start=body.start,
        finish=body.finish,
        criteria=tuple(c.says for c in body.criteria if c.id in asked),
        watched=tuple(_watched(body, movement.watch[:_WATCHED])),
        pieces=", ".join("+".join(map(str, piece)) for piece in movement.pieces),
        good=examples.get(None, ""),
        bad=examples.get(shown_bad, "") if shown_bad else "",
        instead=tuple(
            f"{cards[s.card].name}: {s.why}" + (f" ({s.caution})" if s.caution else "")
            for s in card.substitutes
            if s.card in cards
        ),
        signs=body.stop_signs,
    )


def _watched(body: PlanCard, watch: Sequence[str]) -> Iterator[Watched]:
    for fault_id in watch:
        fault = body.fault(fault_id)
        if fault is None:
            continue
        criterion = body.criterion_of(fault)
        yield Watched(
            key=fault.key,
            call=fault.call,
            says=criterion.says if criterion is not None else "",
            cue=fault.cues[0],
        )


def instead_of(
    plans: Sequence[Plan], written: Sequence[Plan]
) -> Iterator[tuple[str, str]]:
    """Who does another movement or number than written, by lane, and which.

    Other loads and heights stand among these.
    """
    usual = {plan.division: plan for plan in written}
    for plan in plans:
        both = zip(movements_of(plan), movements_of(usual[plan.division]), strict=True)
        told = dict.fromkeys(_changed(plan, move, other) for move, other in both)
        if any(told):
            name = shown_name(plan.name, plan.show, plan.bib)
            who = plan.bib if name == plan.bib else f"{plan.bib} {name}"
            yield who, "; ".join(filter(None, told))


def _changed(plan: Plan, move: PlanMovement, usual: PlanMovement) -> str:
    """What is done instead of a movement, with its number if that is another."""
    other = (move.targets, move.unit) != (usual.targets, usual.unit)
    if not (move.instead_of or other):
        return ""
    words = plan.card(move.card).name.lower()
    if other:
        unit = "" if move.unit == "reps" else f" {move.unit}"
        alike = len(set(move.targets)) == 1
        numbers = move.targets[:1] if alike else move.targets
        words = f"{', '.join(map(str, numbers))}{unit} {words}"
    return f"{words} for {move.instead_of.lower()}" if move.instead_of else words
