"""`judgekit log`: read the log, check it, copy it, write it out, bring it back."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import DONE, FORMATS, WRONG, printing, say, say_all, tell

if TYPE_CHECKING:
    from judgekit.cli.output import Output
    from judgekit.store.folder import BookCopy


@click.group("log")
def command() -> None:
    """Read the log of an event, check it, copy it, write it out, bring it back."""


@command.command("verify")
@click.argument("event")
@click.option("--code", help="A scorecard's log code.")
@click.pass_context
def verify(ctx: click.Context, event: str, code: str | None) -> None:
    """Check that nothing in the log was changed; with --code, a scorecard's entries.

    A log code holds for as long as the entries it was read from stand. The answer is
    lines of text: there is no --format here. Exit code 1: something does not fit.
    """
    from judgekit.cli.asked import existing_log
    from judgekit.store.verify import verify_code, verify_folder

    log = existing_log(event)
    if code is not None:
        result = verify_code(log, code)
        tell("This code fits." if result else "This code does not fit.")
        for piece in result.pieces:
            stands = f"stands in {piece.book}" if piece else piece.what
            tell(f"{piece.number}.{piece.digits}: {stands}")
        ctx.exit(DONE if result else WRONG)
    checked = verify_folder(log)
    for one in checked:
        many = "1 entry" if one.entries == 1 else f"{one.entries} entries"
        tell(f"{one.path.name}: {one.broken or f'whole, {many}'}")
    if not checked:
        say("The log holds nothing yet.")
    ctx.exit(DONE if all(checked) else WRONG)


@command.command("show")
@click.argument("event")
@click.option("--heat", help="Only this heat.")
@click.option("--lane", type=int, help="Only this lane, and what is about all lanes.")
@printing((*FORMATS, "tally"))
@click.pass_context
def show(
    ctx: click.Context, event: str, heat: str | None, lane: int | None, output: Output
) -> None:
    """Print every entry of the log; as a tally, the run of one lane that counts.

    Rows have book, number, heat, lane, at (heat time), at_ms, wall (with its offset
    from UTC), who, set (part/round/movement), kind and says. Exit code 1: a part of
    the log is damaged and left out.
    """
    from judgekit.cli.laying import one_table
    from judgekit.reports.logtext import log_table, screen_table

    if output.format == "tally":
        ctx.exit(_show_tally(event, heat, lane, output))
    copies, code = _copies(event, heat)
    entries = [
        (copy.heat, entry)
        for copy in copies
        if lane is None or any(entry.lane == lane for entry in copy.entries)
        for entry in copy.entries
        if lane is None or entry.lane in (None, lane)
    ]
    title = copies[0].event if copies else "The log holds nothing yet"
    on_screen = output.format == "table" and output.width is not None
    made = screen_table if on_screen else log_table
    output.write(one_table(made(title, entries, _zone(event, copies)), output))
    ctx.exit(code)


@command.command("export")
@click.argument("event")
@click.option("--heat", help="Only this heat.")
@printing(("jsonl",))
@click.pass_context
def export(ctx: click.Context, event: str, heat: str | None, output: Output) -> None:
    """Write the log as JSON Lines, for other programs and for `log import`.

    There is no other format: `log show` prints the entries as a table or as CSV.
    Each log is one line of type "book", then its plans and its entries. It is for
    officials: plans hold every athlete's full name, also of those who chose to be
    shown by initials or number. Exit code 1: a part of the log is damaged and left
    out.
    """
    from judgekit.store import exchange

    copies, code = _copies(event, heat)
    text = io.StringIO()
    exchange.export(copies, text)
    output.write(text.getvalue())
    ctx.exit(code)


@command.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("folder")
@click.pass_context
def import_(ctx: click.Context, file: Path, folder: str) -> None:
    """Bring an exported log into an event's folder: same entries, same log codes.

    Exit code 1: the file's end was cut off; what was whole is there.
    """
    from judgekit.cli.asked import log_of
    from judgekit.store import exchange

    report = exchange.import_file(file, log_of(folder))
    for book in report.books:
        tell(f"{book.id}: {book.outcome}, {book.entries} entries")
    say_all(report.warnings)
    ctx.exit(WRONG if report.warnings else DONE)


@command.command("backup")
@click.argument("event")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--heat", help="Only this heat.")
@printing()
@click.pass_context
def backup(
    ctx: click.Context, event: str, folder: Path, heat: str | None, output: Output
) -> None:
    """Copy the log into FOLDER, also while desks write to it; every copy is checked.

    Each copy is one plain file, whole or not there at all, and never written over
    another: where its name is taken by something else it gets a number. Copying the
    files of a log in use by hand loses its newest entries. Exit code 1: a part of the
    log is damaged; it is copied as it is, as far as it can be read.
    """
    from judgekit.cli.asked import check_known, existing_log
    from judgekit.cli.laying import one_table
    from judgekit.reports.logtext import backup_table
    from judgekit.store.backup import back_up, heats

    log = existing_log(event)
    check_known("heat", heat, heats(log))
    done = back_up(log, folder, heat)
    output.write(one_table(backup_table(str(folder), done), output))
    if not done:
        say("The log holds nothing yet.")
    ctx.exit(DONE if all(done) else WRONG)


def _copies(event: str, heat: str | None) -> tuple[list[BookCopy], int]:
    """The sound books, and the exit code; what is damaged is said."""
    from judgekit.cli.asked import check_known, existing_log
    from judgekit.store.folder import look

    found = look(existing_log(event), None)
    wrong = (*found.damaged, *found.forks)
    say_all(wrong)
    check_known("heat", heat, sorted({copy.heat for copy in found.copies}))
    copies = [copy for copy in found.copies if heat in (None, copy.heat)]
    return copies, WRONG if wrong else DONE


def _zone(event: str, copies: list[BookCopy]) -> str:
    """The event's zone from its files, else from a sealed plan, else UTC."""
    from judgekit.cli.eventfiles import load
    from judgekit.core.errors import InputError

    try:
        return load(event).event.zone
    except InputError:
        zones = [plan.zone for copy in copies for plan in copy.plans.values()]
        return zones[0] if zones else "UTC"


def _show_tally(event: str, heat: str | None, lane: int | None, output: Output) -> int:
    from judgekit.cli.eventlog import look_at
    from judgekit.files import tally_text

    if heat is None or lane is None:
        raise click.UsageError("a tally is of one lane: give --heat and --lane")
    looked = look_at(event, heat)
    for read in looked.read.lanes:
        if read.number == lane:
            output.write(tally_text.write(read.lane.entries, read.lane.plan))
            return looked.code
    raise click.UsageError(f"heat {heat} has no lane {lane}")
