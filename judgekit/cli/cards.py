"""`judgekit cards`: the movement cards, or one standard in full."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import printing, say

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.cli.output import Output
    from judgekit.core.card import Card
    from judgekit.reports.layout import Table


@click.command("cards")
@click.argument("card", required=False, metavar="[ID]")
@click.option("--event", help="As in force at this event, with its own cards.")
@click.option(
    "--against",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Another revision of the card: say what changed since that file.",
)
@printing()
def command(
    card: str | None, event: str | None, against: Path | None, output: Output
) -> None:
    """List the movement cards, or print one in full.

    Inside an event's folder they are that event's, and it says so. A card of an event
    ends with what the event does differently, and where that is written.
    JSON of one card: format (1) and card, with the keys of a card's file.
    """
    from judgekit.cli.asked import check_known
    from judgekit.cli.laying import for_people, one_table
    from judgekit.files.cardorigin import differences
    from judgekit.reports import cardtext, layout

    cards, event = _cards_here() if event is None else (_of_event(event), event)
    if against is not None:
        output.write(one_table(_since(card, against, cards), output))
        return
    if card is None:
        output.write(one_table(cardtext.library_table(cards.values()), output))
        return
    check_known("card", card, sorted(cards))
    chosen = cards[card]
    if output.format == "json":
        output.write(cardtext.as_json(chosen))
    elif output.format == "csv":
        faults = next(t for t in cardtext.card_tables(chosen) if t.title == "Faults")
        output.write(layout.as_csv(faults))
    else:
        tables = cardtext.card_tables(chosen)
        if event is not None:
            found = differences(chosen, Path(event), event)
            tables = (*tables, cardtext.origins_table("Different here", found))
        output.write(for_people([t for t in tables if t.rows or t.notes], output))


def _since(card: str | None, against: Path, cards: Mapping[str, Card]) -> Table:
    """What changed from a file's revision of a card to the one that is here."""
    from judgekit.cli.asked import check_known
    from judgekit.core.cardchange import changes
    from judgekit.files.cardfile import read_card
    from judgekit.reports.cardtext import changes_table

    old = read_card(against, str(against))
    check_known("card", card or old.id, sorted(cards))
    new = cards[card or old.id]
    title = f"{new.name}: from revision {old.revision} to {new.revision}"
    return changes_table(title, changes(old, new))


def _cards_here() -> tuple[Mapping[str, Card], str | None]:
    """Those of the event in this folder, and where it is, if it can be read."""
    from judgekit.core.card import in_force
    from judgekit.core.errors import InputError
    from judgekit.files.library import load_library

    if Path("event.toml").is_file():
        try:
            cards = _of_event(".")
        except InputError:
            say(
                "These are the cards that come with judgekit: the event in this folder "
                "has problems, and judgekit check . names them."
            )
        else:
            say("These are the cards as in force at the event in this folder.")
            return cards, "."
    library = load_library()
    cards = {card_id: in_force(file.card, {}) for card_id, file in library.items()}
    return cards, None


def _of_event(event: str) -> Mapping[str, Card]:
    from judgekit.cli.eventfiles import load
    from judgekit.core.card import in_force

    folder = load(event)
    chosen = dict(folder.event.card_settings)
    return {
        card_id: in_force(
            card,
            {
                setting.id: chosen[f"{card_id}.{setting.id}"]
                for setting in card.settings
                if f"{card_id}.{setting.id}" in chosen
            },
        )
        for card_id, card in folder.cards.items()
    }
