"""The one line of words for the judge, and how long they stand."""

from __future__ import annotations

NOTICE_MS = 5000


class Notice:
    """Words until a moment of the boot clock, or until something else is said."""

    def __init__(self) -> None:
        self._text = ""
        self._until = 0

    def say(self, text: str, now: int, for_ms: int = 0) -> None:
        """Other words, from now on for so long; 0 for the usual five seconds."""
        self._text = text
        self._until = now + (for_ms or NOTICE_MS)

    def clear(self) -> None:
        """No words."""
        self._text = ""

    def at(self, now: int) -> str:
        """The words that stand by then."""
        return self._text if now < self._until else ""
