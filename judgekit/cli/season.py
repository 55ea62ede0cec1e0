"""`judgekit season`: faults over all events in a folder."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import DONE, UNUSABLE, WRONG, printing, say_all

if TYPE_CHECKING:
    from judgekit.cli.output import Output
    from judgekit.reports.season import Report
    from judgekit.review.season import Word

_LACKS = """\
What counts over a season is not installed ({missing}). With it:

  pip install 'judgekit[season]'
"""


class _Day(click.ParamType[str]):
    """A day as YYYY-MM-DD."""

    name = "date"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> str:
        from judgekit.files.tables import is_date

        text = str(value).strip()
        if not is_date(text):
            self.fail(f'"{text}" is not a day such as 2027-05-08', param, ctx)
        return text


@click.command("season")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--by",
    default="movement,fault",
    show_default=True,
    metavar="WORD,...",
    help="What to group by.",
)
@click.option("--from", "since", type=_Day(), help="The first day.")
@click.option("--to", "until", type=_Day(), help="The last day.")
@printing()
@click.pass_context
def command(
    ctx: click.Context,
    folder: Path,
    by: str,
    since: str | None,
    until: str | None,
    output: Output,
) -> None:
    """Print faults over all events in FOLDER: which, how often, who, month by month.

    --by takes any of movement, fault, athlete, division, part, round, judge, date,
    month, workout and heat, joined by commas. A fault that was seen on three days or
    more stands on top. Of each event the attempts are kept in EVENT/out/season as
    Parquet, and made anew whenever its log or people.csv is another.

    CSV rows have the words asked for, watched (judged, sampled, reported), attempts,
    good, no_reps, rate, low, high (between 0 and 1, empty where nobody counted the
    attempts), share, athletes, of_athletes, cues and note; by athlete also athlete_id.
    Faults are ids there, and calls for people. JSON: format (1), by,
    rows, recurring, months, courses, total, sampled and notes. Exit code 1: an event is left
    out, or a part of its log.
    """
    try:
        from judgekit.store.seasonask import Season
    except ImportError as error:
        click.echo(_LACKS.format(missing=error.name), err=True, nl=False)
        ctx.exit(UNUSABLE)
    from judgekit.cli.asked import check_known
    from judgekit.cli.seasonmaking import events_in, files_of, names_of
    from judgekit.reports.season import report, words_needed
    from judgekit.review.season import WORDS
    from judgekit.store.seasonkept import ATTEMPTS, CUES

    if (folder / "event.toml").exists():
        raise click.UsageError(f"{folder} is an event; give the folder it lies in")
    wanted = [word.strip() for word in by.split(",")]
    for word in wanted:
        check_known("word for --by", word, WORDS)
    words: list[Word] = [word for word in WORDS if word in wanted]
    words.sort(key=wanted.index)
    events = events_in(folder)
    say_all(events.said)
    days = events.days(since or "", until or "")
    season = Season(files_of(days, ATTEMPTS), words_needed(words), files_of(days, CUES))
    held = ((str(event.folder), day) for event, day in days)
    output.write(laid_out(report(season, words, names_of(days), held), output))
    ctx.exit(WRONG if events.said else DONE)


def laid_out(found: Report, output: Output) -> str:
    """The season in the format that was asked for."""
    from judgekit.cli.laying import for_people
    from judgekit.reports import season

    if output.format == "csv":
        return season.as_csv(found)
    if output.format == "json":
        return season.as_json(found)
    return for_people(season.tables(found), output)
