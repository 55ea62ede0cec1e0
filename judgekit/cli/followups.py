"""`judgekit followups`: whom a coach speaks with today, and that it was done."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple
from zoneinfo import ZoneInfo

import click

from judgekit.cli.output import DONE, WRONG, printing, say, say_all

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.cli.output import Output
    from judgekit.cli.pastlogs import LaneKey
    from judgekit.core.people import Athlete
    from judgekit.files.eventfolder import EventFolder
    from judgekit.review.followups import Due, PastHeat
    from judgekit.store.reading import LaneRead

_FORMATS = ("table", "csv", "json", "markdown")
# Longer ago than this nothing is listed, nor does it say what somebody was used to.
_NEAR_DAYS = 56 + 17


@click.command("followups")
@click.argument("event")
@click.option("--today", help="Another day than today, as YYYY-MM-DD.")
@click.option("--done", "bib", help="Somebody spoke with this bib of the event.")
@click.option("--says", default="", help="With --done: what came of it, for the coach.")
@click.option(
    "--history",
    type=click.Path(path_type=Path),
    help="The folder with the events of before; without it, the one EVENT lies in.",
)
@printing(_FORMATS)
@click.pass_context
def command(  # noqa: PLR0913, PLR0917 - click gives each option as an argument
    ctx: click.Context,
    event: str,
    today: str | None,
    bib: str | None,
    says: str,
    history: Path | None,
    output: Output,
) -> None:
    """Print who is to be spoken with: the day after a stop, day three after a volume.

    A volume is listed if its card has a caution and the athlete did none of it in 56
    days, or more than twice the most of the last 28 days. It is read from the log of
    this event and of the events beside it. --done writes into the log that somebody
    spoke with the athlete; then it is listed no more.

    Exit codes: 0 done; 1 a log is damaged or a folder left out, and it is said which;
    2 the event cannot be used.
    """
    from judgekit.cli.eventfiles import load
    from judgekit.reports.followups import followup_table, followup_text
    from judgekit.review.followups import followups, unknown

    folder = load(event)
    day = day_of(today, folder.event.zone)
    found = past_heats(folder, history, day)
    say_all(found.said)
    due = followups(found.heats, day)
    if bib is not None:
        _note(folder, bib, says, due, day)
        return
    from judgekit.cli.laying import one_table

    nobody = unknown(found.heats, day)
    table = followup_table(folder.event.name, due, nobody, day)
    if output.format == "table":
        output.write(followup_text(table, output.width))
    else:
        output.write(one_table(table, output))
    ctx.exit(WRONG if found.said else DONE)


class _Past(NamedTuple):
    """Lanes that were judged, and what could not be read."""

    heats: Sequence[PastHeat]
    said: Sequence[str]


def day_of(today: str | None, zone: str) -> int:
    """The number of a day that was asked for, or of today in the event's zone."""
    if today is None:
        return datetime.now(ZoneInfo(zone)).toordinal()
    try:
        return date.fromisoformat(today).toordinal()
    except ValueError:
        raise click.UsageError(f"{today!r} is no day; write YYYY-MM-DD") from None


def past_heats(folder: EventFolder, history: Path | None, day: int) -> _Past:
    """Every lane near a day, of this event and of those beside it."""
    from judgekit.files.history import read_history

    read = read_history(folder.folder, history)
    said = list(read.left_out)
    found: dict[tuple[LaneKey, str], PastHeat] = {}
    here = _Source(folder.log, folder.event.name, folder.athletes)
    near = [
        _Source(one.log, one.folder.name, one.athletes)
        for one in read.events
        if any(0 <= day - _ordinal(text) <= _NEAR_DAYS for text in one.dates)
    ]
    for source in (here, *near):
        for key, heat in _of(source, said, own=source is here):
            # A copy of an event's folder tells nothing new.
            found.setdefault((key, heat.bib), heat)
    return _Past(list(found.values()), said)


def _ordinal(text: str) -> int:
    return date.fromisoformat(text).toordinal()


class _Source(NamedTuple):
    """An event's log, how the event is called, and who is in people.csv."""

    log: Path
    shown: str
    athletes: Sequence[Athlete]


def _of(
    source: _Source, said: list[str], *, own: bool
) -> Iterator[tuple[LaneKey, PastHeat]]:
    from judgekit.cli.pastlogs import lane_key
    from judgekit.review.followups import PastHeat
    from judgekit.store.reading import read_lanes

    read = read_lanes(source.log, past=True)
    said += [f"{source.shown}: {what}" for what in read.wrong]
    names = {athlete.bib: athlete.name for athlete in source.athletes}
    persons = {athlete.bib: athlete.person for athlete in source.athletes}
    for lane in read.lanes:
        if lane.run is None:
            continue
        plan = lane.lane.plan
        members = [member.bib for member in plan.team.members]
        for bib in members or [plan.bib]:
            person = persons.get(bib, "")
            yield (
                lane_key(lane),
                PastHeat(
                    who=f"id\n{person}" if person else f"{source.log}\n{bib}",
                    name=names.get(bib, plan.name),
                    event=source.shown,
                    day=_ordinal(plan.date),
                    lane=lane.lane,
                    joined=bool(person),
                    followed=_followed(lane, bib),
                    member=bib if members else "",
                    own=own,
                ),
            )


def _followed(read: LaneRead, bib: str) -> tuple[int, ...]:
    """The days on which somebody spoke with the athlete."""
    from judgekit.core.entry import FollowedUp

    return tuple(
        _ordinal(entry.body.on)
        for entry in read.lane.entries
        if isinstance(entry.body, FollowedUp) and entry.body.bib in ("", bib)
    )


def _note(
    folder: EventFolder, bib: str, says: str, due: Iterable[Due], day: int
) -> None:
    """Write that somebody spoke with the athlete, for each lane that is due."""
    from judgekit.cli.eventlog import the_row
    from judgekit.core.entry import FollowedUp
    from judgekit.desk import SystemClock
    from judgekit.desk.ruling import rule_on
    from judgekit.files.cleaning import clean
    from judgekit.files.tally import Tally, TallyLine

    heats = [
        one.heat
        for one in due
        if one.heat.own and one.heat.bib == bib and one.due <= day
    ]
    if not heats:
        raise click.UsageError(f"nothing is due today for bib {bib} of this event")
    spoken = date.fromordinal(day).isoformat()
    lanes = {(one.lane.plan.heat, one.lane.plan.lane): one.member for one in heats}
    rows = {where: the_row(folder, *where) for where in lanes}
    for (heat, lane), member in lanes.items():
        act = FollowedUp(on=spoken, bib=member, text=clean(says))
        tally = Tally(lines=(TallyLine(line=1, at=0, act=act),))
        row = rows[heat, lane]
        rule_on(folder, row, tally, shown="--done", clock=SystemClock(), who="coach")
        say(f"heat {heat}, lane {lane}, bib {bib}: noted")
