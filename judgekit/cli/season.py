"""`judgekit season`: all events in a folder asked together."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import DONE, UNUSABLE, WRONG, printing, say_all

if TYPE_CHECKING:
    from judgekit.cli.output import Output

WHAT = ("faults", "when", "pieces", "cost", "drills")
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
@click.argument("what", type=click.Choice(WHAT), default="faults")
@click.option(
    "--by",
    metavar="WORD,...",
    help="What to group by: movement,fault if nothing is said; pieces by "
    "athlete,movement,load.",
)
@click.option("--from", "since", type=_Day(), help="The first day.")
@click.option("--to", "until", type=_Day(), help="The last day.")
@printing()
@click.pass_context
def command(
    ctx: click.Context,
    /,
    folder: Path,
    what: str,
    *,
    by: str | None,
    output: Output,
    **days: str | None,
) -> None:
    """Print what all events in FOLDER say together: faults, if nothing else is asked.

    faults: which, how often, who, month by month; a fault that was seen on three days
    or more stands on top. when: where in the work no-reps come. pieces: how sets were
    done. cost: what no-reps took, as an estimate. drills: a skill block for what is
    most worth acting on.

    --by takes any of movement, fault, athlete, division, part, round, judge, date,
    month, workout, heat and load, joined by commas. Of each event attempts, sets and
    cues are kept in EVENT/out/season as Parquet, and made anew whenever its log or
    people.csv is another.

    CSV of faults has the words asked for, watched (judged, sampled, reported),
    attempts, good, no_reps, rate, low, high (between 0 and 1, empty where nobody
    counted the attempts), share, athletes, of_athletes, cues and note; by athlete also
    athlete_id. Faults are ids there, and calls for people. JSON: format (1), by, rows,
    recurring, months, courses, total, sampled and notes. The README has the columns of
    the others. Exit code 1: an event is left out, or a part of its log.
    """
    try:
        from judgekit.cli.seasonasked import PRINTS, Asked, words_of
    except ImportError as error:
        click.echo(_LACKS.format(missing=error.name), err=True, nl=False)
        ctx.exit(UNUSABLE)
    from judgekit.cli.seasonmaking import copies_in, events_in

    if (folder / "event.toml").exists():
        raise click.UsageError(f"{folder} is an event; give the folder it lies in")
    words = words_of(what, by, output.format)
    events = events_in(folder)
    say_all(events.said)
    wanted = events.days(days["since"] or "", days["until"] or "")
    say_all(copies_in(wanted))
    asked = Asked(days=wanted, words=words, output=output)
    output.write(PRINTS[what](asked))
    ctx.exit(WRONG if events.said else DONE)
