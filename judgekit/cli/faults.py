"""`judgekit faults`: which faults, how often out of how many attempts, how sure."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import WRONG, printing, say_all

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.cli.eventlog import Looked
    from judgekit.cli.output import Output
    from judgekit.cli.pastfaults import Only
    from judgekit.reports.faults import Beside
    from judgekit.reports.layout import Table
    from judgekit.review.attempts import LaneRows
    from judgekit.review.faults import Faults
    from judgekit.review.frequencies import Key
    from judgekit.review.sessions import Sessions
    from judgekit.store.reading import LaneRead

    Counted = Sequence[tuple[LaneRead, LaneRows]]

# The same draws each time: two prints of one event never differ.
_SEED = 1


@click.command("faults")
@click.argument("event")
@click.option(
    "--by",
    metavar="KEYS",
    help="Count by these: movement, fault, athlete, division, part, round, judge, "
    "workout, heat, date; several with commas between.",
)
@click.option("--workout", help="One workout, by its id.")
@click.option("--division", help="One division, by its id.")
@click.option(
    "--history",
    type=click.Path(path_type=Path),
    help="The folder with the events of before; without it, the one EVENT lies in.",
)
@printing()
@click.pass_context
def command(
    ctx: click.Context,
    /,
    event: str,
    *,
    by: str | None,
    history: Path | None,
    output: Output,
    **asked: str | None,
) -> None:
    """Print fault rates over all lanes that were judged, most worth acting on first.

    Only attempts that were watched have a rate: by a judge, or by a coach in a look
    (watched: sampled). What a monitor counted or the athlete reported has none. What
    changed since the last day with the same movement is read from the logs of the
    events beside this one, of the last 56 days; when in the work no-reps come stands
    below.

    CSV has a row for each fault, with movement, watched (judged, sampled, reported),
    fault, call, attempts, good (that counted: an attempt may have had another fault),
    no_reps, rate, low, high (between 0 and 1, empty without attempts), athletes,
    of_athletes, share (of all faults) and few (yes: few attempts). A cue changes no
    count and has no row: see --by.
    JSON: format (1), faults (those rows), movements, lanes, total, sampled (the total
    of looks), noticed (faults seen outside of looks), since, recurring and when.

    With --by: a column for each key instead, then watched, attempts, good, no_reps,
    rate, low, high, share, athletes, of_athletes, cues and few; of this event alone.
    Exit code 1: a log is damaged, a folder of the past is left out, or a lane is
    disputed between two desks.
    """
    from judgekit.store.collector import collector_still

    ctx.with_resource(collector_still())
    from judgekit.cli.asked import check_known
    from judgekit.cli.eventlog import look_at
    from judgekit.cli.pastfaults import Only

    keys = keys_of(by)
    if keys and history is not None:
        raise click.UsageError(
            "--by counts this event alone; judgekit season FOLDER --by counts them all"
        )
    looked = look_at(event)
    plans = [read.lane.plan for read in looked.read.lanes]
    check_known("workout", asked["workout"], [plan.workout for plan in plans])
    check_known("division", asked["division"], [plan.division for plan in plans])
    only = Only(asked["workout"], asked["division"])
    counted = counted_of(looked, only)
    if keys:
        title = title_of(looked, event)
        output.write(_by_keys((counted, looked.judges), keys, output, title))
        ctx.exit(looked.code)
    beside, said = _beside(looked, counted, history, only)
    say_all(said)
    output.write(laid_out(_rates(counted), output, beside, title_of(looked, event)))
    ctx.exit(WRONG if said else looked.code)


def counted_of(looked: Looked, only: Only) -> Counted:
    """The lanes whose run counts, with their rows."""
    from judgekit.review.attempts import lane_rows

    return [
        (read, lane_rows(read.lane))
        for read in looked.read.lanes
        if read.run is not None and only.holds(read.lane.plan)
    ]


def keys_of(by: str | None) -> tuple[Key, ...]:
    """The keys asked for, each once, in the order given; none if nothing was asked."""
    from judgekit.review.frequencies import KEYS

    asked = [word.strip() for word in (by or "").split(",") if word.strip()]
    unknown = [word for word in asked if word not in KEYS]
    if unknown or (by is not None and not asked):
        there = ", ".join(KEYS)
        raise click.UsageError(f'--by "{by}": keys are {there}, with commas between')
    return tuple(dict.fromkeys(key for word in asked for key in KEYS if key == word))


def faults_of(looked: Looked) -> Faults:
    """The fault rates of every run that counts."""
    from judgekit.cli.pastfaults import Only

    return _rates(counted_of(looked, Only()))


def _rates(counted: Counted) -> Faults:
    from judgekit.review.faults import fault_rates

    rows = {id(read.lane): rows for read, rows in counted}
    return fault_rates([read.lane for read, _ in counted], lambda lane: rows[id(lane)])


def title_of(looked: Looked, event: str) -> str:
    """What a page of the event's faults is called."""
    named = {read.lane.plan.event for read in looked.read.lanes}
    if looked.folder is not None:
        named = {looked.folder.event.name}
    name = " + ".join(sorted(named)) or event
    days = sorted({read.lane.plan.date for read in looked.read.lanes})
    return ", ".join((f"{name}: faults", *days))


def laid_out(
    found: Faults, output: Output, beside: Beside | None = None, title: str = "Faults"
) -> str:
    """Fault rates in the format that was asked for."""
    from judgekit.reports import faults

    if output.format == "csv":
        return faults.as_csv(found)
    if output.format == "json":
        return faults.as_json(found, beside)
    return _laid(faults.tables(found, beside), output, title)


def _laid(tables: Sequence[Table], output: Output, title: str) -> str:
    """Tables for a terminal, else a page of its own that says of what event it is."""
    from judgekit.cli.laying import for_people, pages
    from judgekit.reports.page import table_page

    if output.format == "table":
        return for_people(tables, output)
    return pages([table_page(title, tables)], output)


def _by_keys(
    of: tuple[Counted, Mapping[str, str]],
    keys: Sequence[Key],
    output: Output,
    title: str,
) -> str:
    from judgekit.reports import frequencies as report
    from judgekit.review.frequencies import frequencies

    counted, judges = of
    found = frequencies([rows for _, rows in counted], keys)
    named = report.Named(found=found, judges=judges)
    if output.format == "csv":
        return report.as_csv(named)
    if output.format == "json":
        return report.as_json(named)
    return _laid(report.frequency_tables(named), output, title)


def _beside(
    looked: Looked, counted: Counted, history: Path | None, only: Only
) -> tuple[Beside, Sequence[str]]:
    """What other sessions tell, when in the work no-reps come, and what is wrong."""
    import random

    from judgekit.reports.faults import Beside
    from judgekit.review.tiring import tirings

    rows = [rows for _, rows in counted]
    when = tirings(rows, lambda: random.Random(_SEED))  # noqa: S311 - draws, not secrets
    found, said = sessions_of(looked, counted, history, only)
    return Beside(sessions=found, when=when), said


def sessions_of(
    looked: Looked, counted: Counted, history: Path | None, only: Only
) -> tuple[Sessions, Sequence[str]]:
    """What other sessions tell, and what is wrong with them."""
    from judgekit.cli.drills import newest_kept
    from judgekit.cli.pastfaults import Own, past_faults
    from judgekit.review.sessions import Sessions, sessions
    from judgekit.review.skillplan import planned_of

    if looked.folder is None or not counted:
        return Sessions(), ()
    day = max(rows.facts.plan.date for _, rows in counted)
    past = past_faults(Own(looked.folder.folder, counted, day), history, only)
    before, wrong = newest_kept(past.folders, day)
    return sessions(past.lanes, day, planned_of(before)), (*past.said, *wrong)
