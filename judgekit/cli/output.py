"""Where commands write: data to stdout or a whole file at once, talk to stderr."""

from __future__ import annotations

import sys
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.core.errors import JudgekitError
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

DONE, WRONG, UNUSABLE = 0, 1, 2
FORMATS = ("table", "csv", "json", "markdown", "html")
WITH_PDF = (*FORMATS, "pdf")


class OutputError(JudgekitError):
    """A file that cannot be written as asked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """What was asked of a printing command: the format, and a file or stdout.

    `font_folder` has fonts that a PDF may need besides.
    """

    format: str
    path: Path | None
    force: bool
    font_folder: Path | None = None

    @property
    def width(self) -> int | None:
        """How many cells a line may take, or None where nothing limits it."""
        if self.path is not None or not _on_screen():
            return None
        import shutil

        return shutil.get_terminal_size().columns

    def check_pdf(self) -> None:
        """Refuse a PDF on the screen before anything is read."""
        if self.format == "pdf" and self.path is None and _on_screen():
            raise click.UsageError("a PDF is no text: say with --out which file it is")

    def write(self, made: str | bytes) -> None:
        """The whole text or file; a file is there whole or not at all."""
        if self.path is None:
            click.echo(made, nl=False)
        else:
            write_file(self.path, made, force=self.force)
            say(f"written to {self.path}")


def _on_screen() -> bool:
    return sys.stdout.isatty()


_FONT_FOLDER = click.option(
    "--font-folder",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="More fonts for PDF, for letters that this computer has none for.",
)


def printing(
    formats: tuple[str, ...] = FORMATS,
) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """The options --format, --out and --force; the command gets one `output`.

    Where one of the formats is PDF, --font-folder, too.
    """

    def decorate(command: Callable[..., None]) -> Callable[..., None]:
        @wraps(command)
        def with_output(
            *args: object,
            format_: str,
            out: Path | None,
            force: bool,
            font_folder: Path | None = None,
            **options: object,
        ) -> None:
            output = Output(
                format=format_, path=out, force=force, font_folder=font_folder
            )
            command(*args, output=output, **options)

        for option in (
            *((_FONT_FOLDER,) if "pdf" in formats else ()),
            click.option(
                "--force", is_flag=True, help="Write over a file that is there."
            ),
            click.option(
                "--out",
                type=click.Path(dir_okay=False, path_type=Path),
                help="Write to this file instead of stdout.",
            ),
            click.option(
                "--format",
                "format_",
                type=click.Choice(formats),
                default=formats[0],
                show_default=True,
                help="How to lay it out.",
            ),
        ):
            with_output = option(with_output)
        return with_output

    return decorate


def write_file(path: Path, made: str | bytes, *, force: bool) -> None:
    """Write a file whole; OutputError if it is there already and not to be replaced."""
    from judgekit.store.whole import write_whole

    try:
        data = made.encode(errors="replace") if isinstance(made, str) else made
        write_whole(path, data, over=force)
    except FileExistsError as error:
        raise OutputError(f"{path} is there already; --force writes over it") from error
    except OSError as error:
        what = error.strerror or "the system refused"
        raise OutputError(f"{path} cannot be written: {what}") from error


def plain(text: str) -> str:
    """Text for a terminal line by line: what it came from never moves the cursor."""
    from judgekit.files.cleaning import clean

    return "\n".join(
        " ".join(clean(word, len(word)) for word in line.split(" "))
        for line in text.split("\n")
    )


def tell(text: str) -> None:
    """One line of a command's answer, on stdout."""
    click.echo(plain(text))


def say(text: str) -> None:
    """One message to whoever sits there, on stderr."""
    click.echo(plain(text), err=True)


def say_all(lines: Iterable[object]) -> None:
    """Messages, a line each, on stderr."""
    for line in lines:
        say(str(line))
