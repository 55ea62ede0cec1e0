"""Athletes on screens, as they chose to have their names shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports.names import shown_name

if TYPE_CHECKING:
    from judgekit.core.people import ShowAs


def beside_number(name: str, show: ShowAs, bib: str) -> str:
    """What stands beside the number: the name, its initials, or nothing."""
    shown = shown_name(name, show, bib)
    return "" if shown == bib else shown


def who(name: str, show: ShowAs, bib: str) -> str:
    """The number, and whatever may stand beside it."""
    return f"{bib}  {beside_number(name, show, bib)}".rstrip()
