"""`judgekit subtitles`: a lane's calls, to lay over the athlete's own video."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from judgekit.cli.output import printing, say

if TYPE_CHECKING:
    from judgekit.cli.eventlog import Looked
    from judgekit.cli.output import Output
    from judgekit.store.reading import LaneRead


class _Offset(click.ParamType[int]):
    """A time that may lie before zero, in ms."""

    name = "time"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> int:
        from judgekit.core.quantity import parse_duration

        if isinstance(value, int):
            return value
        text = str(value).strip()
        try:
            ms = parse_duration(text.removeprefix("-").removeprefix("+"))
        except ValueError as error:
            self.fail(str(error), param, ctx)
        return -ms if text.startswith("-") else ms


@click.command("subtitles")
@click.argument("event")
@click.option("--heat", required=True, help="The heat, as heats.csv names it.")
@click.option("--lane", type=int, required=True, help="The lane.")
@click.option(
    "--offset",
    type=_Offset(),
    default=0,
    show_default=True,
    help="Where in the video the lane's clock begins, as 0:12.5; -0:05 if before it.",
)
@printing(("vtt", "srt"))
@click.pass_context
def command(
    ctx: click.Context,
    event: str,
    heat: str,
    lane: int,
    offset: int,
    output: Output,
) -> None:
    """Print a lane's calls as subtitles for a video of the athlete.

    They say GO, each set as it begins, the count after each good rep, NO REP with its
    call, cues, HORN, DONE, and "stopped" without its sign. Times are those that count
    now: a ruling on the start moves them. --format vtt is WebVTT, for browsers; srt
    is for most players. Exit code 1: the log is damaged, or the lane is disputed
    between two desks.
    """
    from judgekit.cli.eventlog import look_at
    from judgekit.reports import subtitles

    looked = look_at(event, heat)
    read = _the_lane(looked, heat, lane)
    why = subtitles.untimed(read.lane)
    if why:
        where = f"heat {heat}, lane {lane}"
        raise click.UsageError(f"{where} has no calls for a video: {why}")
    found = subtitles.cues(subtitles.calls(read.lane, looked.wall), offset)
    if not found:
        say("Nothing was called in that lane within the video.")
    elif read.lane.work.paper is not None:
        say("That lane was kept on paper: its reps and no-reps have no times.")
    write = subtitles.as_srt if output.format == "srt" else subtitles.as_vtt
    output.write(write(found))
    ctx.exit(looked.code)


def _the_lane(looked: Looked, heat: str, lane: int) -> LaneRead:
    from judgekit.cli.asked import check_heat

    names = looked.folder.heat_names() if looked.folder is not None else ()
    check_heat(heat, [*names, *(one.heat for one in looked.read.lanes)])
    for read in looked.read.lanes:
        if read.number == lane:
            return read
    known = ", ".join(str(read.number) for read in looked.read.lanes)
    raise click.UsageError(f"heat {heat} has no lane {lane}; it has {known}")
