"""Checks on what was asked of a command, before anything heavy is imported."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import plain

if TYPE_CHECKING:
    from collections.abc import Sequence


def check_heat(heat: str, known: Sequence[str]) -> None:
    """Refuse a heat that is not there."""
    check_known("heat", heat, known)


def check_known(what: str, asked: str | None, known: Sequence[str]) -> None:
    """Refuse a name that is not there, naming those that are."""
    if asked is not None and asked not in known:
        there = ", ".join(dict.fromkeys(known)) or "none"
        raise click.UsageError(plain(f'there is no {what} "{asked}"; there is {there}'))


def log_of(event: str) -> Path:
    """The log's folder: inside the event's, or the one that was named itself."""
    folder = Path(event)
    if folder.name == "log" and not (folder / "event.toml").exists():
        return folder
    return folder / "log"


def existing_log(event: str) -> Path:
    """The log's folder, or the command cannot be used."""
    log = log_of(event)
    if not log.is_dir():
        raise click.UsageError(f"{event} has no log yet: there is no folder {log}")
    return log
