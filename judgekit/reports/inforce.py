"""The rules that were in force for a lane, and the cautions of its cards, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.quantity import show_time

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.core.card import Card
    from judgekit.core.plan import Plan, PlanCard

# The signs after: CDC NIOSH, Rhabdomyolysis, symptoms.
SIGNS = (
    "Cramps or pain beyond what is expected, dark urine (tea or cola), weakness: that "
    "is for a doctor today, without waiting; it may begin days later (CDC NIOSH, "
    "Rhabdomyolysis)."
)
LATE_PRESS = "press after the horn"
NO_ADVICE = "No medical advice: event rules and licensed care come first."


def settings_of(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Every rule that others set differently, as it was set here."""
    return (
        *rules_of(plan),
        *(
            (f"{card.name}: {setting}", value)
            for card in plan.cards
            for setting, value in card.settings
        ),
    )


def rules_of(plan: Plan) -> tuple[tuple[str, str], ...]:
    """The rules of event and workout that others set differently."""
    doubt = "the rep counts" if plan.doubt == "athlete" else "no rep"
    early = {
        "no-rep": "the rep does not count",
        "seconds": "the rest still due is added",
        "counts": "the rep counts",
    }[plan.early_start]
    capped = {
        "below": "ranked below finishers by reps done",
        "second-per-rep": "cap and 1 s for each rep short",
    }[plan.capped]
    rest = {"excluded": "comes off the score", "included": "stays in the score"}
    watching = {
        "judged": "every rep is judged",
        "reported": "sets are reported by the athlete",
    }[plan.watching]
    rules = [
        ("watching", watching),
        ("in doubt", doubt),
        ("rep before a rest is over", early),
        (LATE_PRESS, f"asked about up to {plan.horn_lag_ms / 1000:g} s after it"),
        ("questions", _questions(plan)),
        ("times cut to", f"{plan.precision_ms / 1000:g} s"),
    ]
    if plan.cap_ms:
        rules.append(("cap", show_time(plan.cap_ms)))
        rules.append(("capped athletes", capped))
    if any(not part.movements for part in plan.parts):
        rules.append(("planned rest", rest[plan.rest]))
    if plan.team.members:
        rules.append(("team", _team(plan)))
    return tuple(rules)


def _team(plan: Plan) -> str:
    """How a team shares the work, in words."""
    shared = {
        "shared": "any split",
        "relay": "one a round, in turn",
        "together": "a rep counts when all do it",
        "": "",
    }[plan.team.how]
    least = f"at least {plan.team.least} reps each" if plan.team.least else ""
    judges = "of two judges the lower count" if plan.team.judges > 1 else ""
    return "; ".join(filter(None, (shared, least, judges)))


def choices_of(plan: Plan, cards: Mapping[str, Card]) -> tuple[tuple[str, str], ...]:
    """What each card's settings ask for here, in the card's words."""
    return tuple(
        (card.name, value.says)
        for card in plan.cards
        for setting in cards[card.id].settings
        for value in setting.values
        if (setting.id, value.value) in card.settings
    )


class Spoken(NamedTuple):
    """A setting of a card: what it is about, and what it asks for.

    It is about one `criterion` of that card; empty where the card tells it no more.
    """

    card: str
    criterion: str
    told: tuple[str, str]


def settings_spoken(plan: Plan, cards: Mapping[str, Card]) -> tuple[Spoken, ...]:
    """Each card's settings as they were set, in the words that the plan's card has.

    One whose words stand on the card no more is told by its name and value.
    """
    return tuple(
        _spoken(card, cards.get(card.id), setting, value)
        for card in plan.cards
        for setting, value in card.settings
    )


def _spoken(sealed: PlanCard, card: Card | None, setting: str, value: str) -> Spoken:
    asked = {criterion.says for criterion in sealed.criteria}
    chosen = next(
        (
            one
            for known in (card.settings if card is not None else ())
            if known.id == setting
            for one in known.values
            if one.value == value
        ),
        None,
    )
    criterion = chosen.criterion if chosen is not None else ""
    if chosen is not None and (chosen.waives or chosen.says in asked):
        return Spoken(sealed.id, criterion, (sealed.name, chosen.says))
    return Spoken(sealed.id, criterion, (f"{sealed.name}: {setting}", value))


def _questions(plan: Plan) -> str:
    if plan.disputes == "none":
        return "none"
    about = plan.disputes.replace("-", " ")
    if not plan.dispute_ms:
        return f"about {about}"
    minutes = plan.dispute_ms / 60_000
    unit = "minute" if minutes == 1 else "minutes"
    return f"about {about}, within {minutes:g} {unit} of the end"


def cautions_of(plan: Plan) -> tuple[str, ...]:
    """The cautions of the cards in use, and whose word goes before ours."""
    said = [f"{card.name}: {card.caution}" for card in plan.cards if card.caution]
    return (*said, NO_ADVICE) if said else ()
