"""What came of a rehearsal, as sheets in large letters."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.views.wall import Said, Sheet

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.reports.rehearsal import Section


def sheets(title: str, sections: Iterable[Section]) -> tuple[Sheet, ...]:
    """A sheet for each section."""
    return tuple(
        Sheet(
            of=title,
            heading=section.heading,
            rows=tuple(
                Said(label=label, lines=(says,)) for label, says in section.rows
            ),
        )
        for section in sections
    )
