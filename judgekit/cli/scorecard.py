"""`judgekit scorecard`: what counted in a heat, what did not, and the arithmetic."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import WITH_PDF, printing

if TYPE_CHECKING:
    from judgekit.cli.eventlog import Looked
    from judgekit.cli.output import Output
    from judgekit.reports.scorecard import Scorecard
    from judgekit.store.reading import LaneRead


@click.command("scorecard")
@click.argument("event")
@click.option("--heat", required=True, help="The heat, as heats.csv names it.")
@click.option("--lane", type=int, help="One lane; without it, all of the heat.")
@printing(WITH_PDF)
@click.pass_context
def command(
    ctx: click.Context,
    event: str,
    heat: str,
    lane: int | None,
    output: Output,
) -> None:
    """Print the scorecards of a heat.

    JSON: format (1) and scorecards, a list of objects with title facts, splits,
    no_reps, remarked, cues, corrections, late, steps, status, standing, judges, score,
    scaled, tiebreak, provisional, amended, remarks, signed, settings, cautions,
    log_code and aloud. CSV: one row for each set. Exit code 1: the log is damaged, or
    a lane is disputed between two desks.
    """
    from judgekit.cli.asked import check_heat, check_known
    from judgekit.cli.eventlog import look_at
    from judgekit.reports import scorecardtext

    output.check_pdf()
    looked = look_at(event, heat)
    names = looked.folder.heat_names() if looked.folder is not None else ()
    check_heat(heat, [*names, *(one.heat for one in looked.read.lanes)])
    numbers = [str(one.number) for one in looked.read.lanes]
    check_known("lane", None if lane is None else str(lane), numbers)
    cards = [
        card_of(one, looked) for one in looked.read.lanes if lane in (None, one.number)
    ]
    if output.format in ("html", "pdf"):
        from judgekit.cli.laying import write_pages

        write_pages([scorecardtext.card_page(card) for card in cards], output)
    else:
        output.write(laid_out(cards, output))
    ctx.exit(looked.code)


def card_of(read: LaneRead, looked: Looked) -> Scorecard:
    """The scorecard of a lane that was read from the log."""
    from judgekit.cli.eventlog import result_of
    from judgekit.reports.names import run_words
    from judgekit.reports.scorecard import scorecard
    from judgekit.reports.twojudges import judges_words

    result = result_of(read, looked.wall)
    card = scorecard(
        read.counted,
        result.score,
        log_code=read.log_code,
        runs=run_words(read.runs, read.run),
        names=looked.judges,
    )
    return replace(card, judges=judges_words(result))


def laid_out(cards: list[Scorecard], output: Output) -> str:
    """Scorecards in the format that was asked for."""
    from judgekit.reports import scorecardtext

    match output.format:
        case "csv":
            return scorecardtext.as_csv(cards)
        case "json":
            return scorecardtext.as_json(cards)
        case "markdown":
            return scorecardtext.as_markdown(cards)
        case _:
            texts = (scorecardtext.as_text(card, output.width) for card in cards)
            return "\n\n".join(texts)
