"""`judgekit athlete`: each athlete's own sheet, on a phone, on paper or here."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import plain, printing, say, say_all, write_file

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.cli.output import Output
    from judgekit.cli.sheetfiles import SheetFiles
    from judgekit.cli.sheets import Sheets

_FORMATS = ("table", "html", "pdf", "markdown", "json")
# How the files of a format end; what is laid out for a terminal is none.
_ENDS = {"html": "html", "pdf": "pdf", "markdown": "md", "json": "json"}


@click.command("athlete")
@click.argument("event")
@click.argument("bib", required=False)
@click.option("--all", "all_", is_flag=True, help="A file for each, in EVENT/out.")
@click.option(
    "--history",
    type=click.Path(path_type=Path),
    help="The folder with the events of before; without it, the one EVENT lies in.",
)
@printing(_FORMATS)
@click.pass_context
def command(
    ctx: click.Context,
    event: str,
    bib: str | None,
    all_: bool,
    history: Path | None,
    output: Output,
) -> None:
    """Print what an athlete takes home: score, what did not count, what to work on.

    With --all each has a file in EVENT/out/athletes, named by the bib, html if no
    format is asked for; those of before are written over. JSON: format (1) and sheets,
    a list of objects with event, date, bib, name, division, team, works, overall,
    clean, well, lessons, said, pace, since, care and proves. Exit code 1: the log is
    damaged, or a lane is disputed between two desks.
    """
    _check(bib, output, everybody=all_)
    if bib is None:
        ctx.exit(_all(event, history, output))
    from judgekit.cli.sheetfiles import SheetFiles
    from judgekit.store.collector import collector_still

    with collector_still(), SheetFiles(event, history, bib) as files:
        ctx.exit(_one(event, bib, files, output))


def _check(bib: str | None, output: Output, *, everybody: bool) -> None:
    """Refuse what would give nothing, and a PDF on the screen."""
    if (bib is None) != everybody:
        raise click.UsageError("name one bib, or give --all")
    if everybody and output.path is not None:
        raise click.UsageError("--all writes into EVENT/out/athletes; leave out --out")
    if not everybody:
        output.check_pdf()


def _all(event: str, history: Path | None, output: Output) -> int:
    """Everybody's file; the exit code."""
    from judgekit.cli.asked import log_of
    from judgekit.cli.eventlog import look_at
    from judgekit.cli.pastsheets import past_sheets
    from judgekit.cli.sheets import Sheets

    looked = look_at(event)
    sheets = Sheets(looked)
    if looked.folder is not None:
        past = past_sheets(looked.folder, history, sheets.lanes)
        sheets.before = past.before
        say_all(past.said)
    _write_all(sheets, log_of(event).parent, output)
    return looked.code


def _one(event: str, bib: str, files: SheetFiles, output: Output) -> int:
    """One sheet, here or into a file; the exit code."""
    from judgekit.cli.eventlog import look_at
    from judgekit.cli.sheets import Sheets

    looked = look_at(event, files=files.folder)
    sheets = Sheets(looked)
    if bib not in sheets.lanes:
        raise click.UsageError(plain(f"nobody with bib {bib} has a lane here"))
    if looked.folder is not None:
        past = files.past()
        sheets.before = past.before
        say_all(past.said)
    _write_one(sheets, bib, output)
    return looked.code


def _write_one(sheets: Sheets, bib: str, output: Output) -> None:
    from judgekit.cli.sheets import sheet_in
    from judgekit.reports.typefaces import Typefaces, lacking_words

    faces = Typefaces(output.font_folder)
    output.write(sheet_in(output.format, sheets.sheet(bib), faces, output.width))
    say_all(lacking_words(faces.lacking))


def _write_all(sheets: Sheets, event: Path, output: Output) -> None:
    """A file for each, half of them by a second process where there can be one."""
    from judgekit.cli.aside import Aside
    from judgekit.cli.sheets import file_names
    from judgekit.reports.typefaces import lacking_words

    folder = event / "out" / "athletes"
    folder.mkdir(parents=True, exist_ok=True)
    made = output.format if output.format in _ENDS else "html"
    names = file_names(sheets.lanes)
    paths = {bib: folder / f"{name}.{_ENDS[made]}" for bib, name in names.items()}
    bibs = list(paths)
    write = partial(_write, sheets, made, output.font_folder, paths)
    # What sets pages has threads once it was used, and no copy of it would ever end.
    half = len(bibs) if "typst" in sys.modules else (len(bibs) + 1) // 2
    with Aside(partial(write, bibs[half:])) as aside:
        with click.progressbar(bibs[:half], label="sheets", file=sys.stderr) as bar:
            lacking = write(bar)
        lacking += aside.result()
    say(f"{len(bibs)} sheets written to {folder}")
    say_all(lacking_words(tuple(dict.fromkeys(lacking))))


def _write(
    sheets: Sheets,
    format_: str,
    font_folder: Path | None,
    paths: dict[str, Path],
    bibs: Iterable[str],
) -> list[str]:
    """Write the sheets of some bibs; which scripts no font has."""
    from judgekit.cli.sheets import sheet_in
    from judgekit.reports.typefaces import Typefaces

    faces = Typefaces(font_folder)
    for bib in bibs:
        made = sheet_in(format_, sheets.sheet(bib), faces, None)
        write_file(paths[bib], made, force=True)
    return faces.lacking
