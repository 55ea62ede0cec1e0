"""The body of a card as a plan seals it: words, times and faults in force."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.card import Card, in_force
from judgekit.core.plan import PlanCard, PlanCriterion, PlanFault

if TYPE_CHECKING:
    from collections.abc import Mapping


def card_body(card: Card, settings: Mapping[str, str]) -> PlanCard:
    """The card with its settings chosen: `settings` maps "card.setting" to a value.

    A setting without a choice takes its default. ValueError names a value that the
    card does not know.
    """
    chosen = {
        setting.id: settings.get(f"{card.id}.{setting.id}", setting.default)
        for setting in card.settings
    }
    for setting in card.settings:
        values = [value.value for value in setting.values]
        if chosen[setting.id] not in values:
            raise ValueError(
                f'{card.id}.{setting.id} cannot be "{chosen[setting.id]}"; '
                f"use one of {', '.join(values)}"
            )
    seconds = card.seconds
    ruled = in_force(card, chosen)
    return PlanCard(
        id=card.id,
        name=card.name,
        revision=card.revision,
        ends=card.ends,
        view=card.view,
        floor_ms=seconds.floor_ms if seconds else 0,
        brisk_ms=seconds.brisk_ms if seconds else 0,
        ordinary_ms=seconds.ordinary_ms if seconds else 0,
        changeover_ms=card.changeover_ms,
        source=card.source,
        start=card.start,
        finish=card.finish,
        criteria=tuple(
            PlanCriterion(id=c.id, kind=c.kind, at=c.at, says=c.says)
            for c in ruled.criteria
        ),
        settings=tuple(chosen.items()),
        faults=tuple(
            PlanFault(
                id=f.id,
                weight=f.weight,
                breaks=f.breaks or "",
                key=f.key,
                call=f.call,
                cues=f.cues,
                drill=f.drill,
            )
            for f in ruled.faults
        ),
        stop_signs=card.stop_signs,
        caution=card.caution,
    )
