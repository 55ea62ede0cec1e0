"""Which kinds of entries there are among many: a log has thousands, of few kinds."""

from __future__ import annotations

from operator import attrgetter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.core.entry import Body, Entry

_BODY = attrgetter("body")


def kinds_in(entries: Iterable[Entry]) -> set[type[Body]]:
    """The classes of their bodies, each once."""
    return {*map(type, map(_BODY, entries))}
