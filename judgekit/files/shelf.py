"""Cards by their ids, each read when it is first asked for.

A heat needs a few of the cards that come with judgekit; reading all of them was half of
reading an event. What is here can be sent to another process and imports no reader.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from judgekit.core.card import Card

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.files.library import CardFile


class CardFiles(Mapping[str, "CardFile"]):
    """The card files at some paths, whose names are the ids.

    Asking for one raises InputError with all its problems.
    """

    def __init__(self, paths: Mapping[str, Path], shown: str) -> None:
        self._paths = dict(paths)
        self._shown = shown
        self._read: dict[str, CardFile] = {}

    def __getitem__(self, card_id: str) -> CardFile:
        if card_id not in self._read:
            from judgekit.files.library import read_file

            self._read[card_id] = read_file(self._paths[card_id], self._shown)
        return self._read[card_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._paths)

    def __len__(self) -> int:
        return len(self._paths)

    def __contains__(self, card_id: object) -> bool:
        return card_id in self._paths

    def __getstate__(self) -> dict[str, object]:
        # Documents are of use to their reader alone.
        return {**vars(self), "_read": {}}


class Cards(Mapping[str, Card]):
    """The cards of some files, in the order of the ids; an event's own stand before."""

    def __init__(
        self, files: Mapping[str, CardFile], own: Mapping[str, CardFile]
    ) -> None:
        self._files = files
        self._ids = dict.fromkeys(sorted({*files, *own}))
        self._read = {card_id: file.card for card_id, file in own.items()}

    def __getitem__(self, card_id: str) -> Card:
        if card_id not in self._read:
            self._read[card_id] = self._files[card_id].card
        return self._read[card_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._ids)

    def __len__(self) -> int:
        return len(self._ids)

    def __contains__(self, card_id: object) -> bool:
        return card_id in self._ids
