"""Where an event's differences from a card of the library are written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.card import in_force
from judgekit.core.cardchange import Change, changes
from judgekit.files import toml
from judgekit.files.cleaning import clean
from judgekit.files.library import load_library

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.core.card import Card
    from judgekit.files.toml import Document

Place = tuple[str, ...]

# The keys of a card's file whose words differ from those of a change.
_KEYS = {"stop signs": ("stop",), "caution": ("caution",)}
_FIRST_WORDS = {
    "height for": "height",
    "height above": "height",
    "measured to": "measured-to",
    "for ": "value",
}


def differences(card: Card, folder: Path, shown: str) -> tuple[tuple[Change, str], ...]:
    """What a card in force at an event has differently from the library's, and where.

    Where is `file:line`. Nothing differs where the library has no such card. `folder`
    is the event's, `shown` its path as the user gave it.
    """
    base = load_library().get(card.id)
    if base is None:
        return ()
    written = dict(_written(folder / "cards" / f"{card.id}.toml", f"{shown}/cards"))
    event = toml.read(folder / "event.toml", f"{shown}/event.toml")
    return tuple(
        (change, written.get(_key_of(change.at)) or _chosen(change.at, card, event))
        for change in changes(in_force(base.card, {}), card)
    )


def _written(path: Path, shown: str) -> Iterator[tuple[Place, str]]:
    """Each key that a file writes itself: ("fault", "shallow", "key") -> file:line."""
    if not path.is_file():
        return
    document = toml.read(path, f"{shown}/{clean(path.name)}")
    for key, value in document.table.items():
        if not isinstance(value, list) or not all(isinstance(r, dict) for r in value):
            yield (key,), _line(document, (key,))
            continue
        for at, row in enumerate(value):
            name = str(row.get("id", row.get("card", "")))
            yield (key, name), _line(document, (key, at))
            for inner in row:
                yield (key, name, inner), _line(document, (key, at, inner))


def _line(document: Document, path: tuple[str | int, ...]) -> str:
    return f"{document.file}:{document.lines.at(path)}"


def _key_of(at: Place) -> Place:
    """The place in a file of what a change names in words."""
    *row, last = at
    if not row:
        return _KEYS.get(last, at)
    if row == ["seconds"]:
        return ("seconds",)
    key = next((k for words, k in _FIRST_WORDS.items() if last.startswith(words)), last)
    return (*row, key)


def _chosen(at: Place, card: Card, event: Document) -> str:
    """The event's setting that changed a criterion, or took its faults off."""
    criteria = {at[1]} if len(at) > 1 else set()
    settings = event.table.get("settings")
    if not isinstance(settings, dict):
        return f"{event.file}, settings"
    for setting in card.settings:
        touched = {value.criterion for value in setting.values}
        name = f"{card.id}.{setting.id}"
        if name in settings and (touched & criteria or at[0] == "fault"):
            return f"{_line(event, ('settings', name))}, {name}"
    return f"{event.file}, settings"
