"""[shared] of event.toml: how many lanes share one piece of equipment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.files.wording import kind_of, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from judgekit.core.card import Card
    from judgekit.core.errors import Problem
    from judgekit.files.toml import Document

TABLE = "shared"
_FEWEST, _MOST = 2, 20
_AS_ON_CARD = "write it as its card does; the command judgekit cards shows a card"


def read_shared(
    document: Document, cards: Mapping[str, Card] | None, problems: list[Problem]
) -> tuple[tuple[str, int], ...]:
    """Each piece with its lanes; what is wrong goes to `problems`.

    A piece goes by its name on a card; without `cards` any name will do.
    """
    table = document.table.get(TABLE, {})
    if not isinstance(table, dict):
        right = f"write [{TABLE}] above its keys"
        problems.append(document.problem((TABLE,), f"is {kind_of(table)}", right))
        return ()
    found = dict(_read(document, table, problems))
    _check_known(document, found, cards, problems)
    return tuple(found.items())


def _read(
    document: Document, table: Mapping[str, object], problems: list[Problem]
) -> Iterator[tuple[str, int]]:
    for name, lanes in table.items():
        whole = isinstance(lanes, int) and not isinstance(lanes, bool)
        if isinstance(lanes, int) and whole and _FEWEST <= lanes <= _MOST:
            yield name, lanes
            continue
        said = f"is {lanes}" if whole else f"is {kind_of(lanes)}"
        right = f"write how many lanes share one, from {_FEWEST} to {_MOST}"
        problems.append(document.problem((TABLE, name), said, right))


def _check_known(
    document: Document,
    found: Mapping[str, int],
    cards: Mapping[str, Card] | None,
    problems: list[Problem],
) -> None:
    if not found or cards is None:
        return
    known = {name for card in cards.values() for name in card.equipment}
    for name in found:
        if name not in known:
            near = nearest(name, sorted(known))
            right = f"did you mean {quoted(near)}?" if near else _AS_ON_CARD
            what = "is no equipment of any card"
            problems.append(document.problem((TABLE, name), what, right))
