"""Questions that the next key answers: to start the clock, to close the desk.

Each step takes another key than the step before. The first repeat of a held key comes
half a second after its press, so a key that answered itself would need no finger.
"""

from __future__ import annotations

from typing import Literal

Question = Literal["", "go", "close", "give up", "sure", "over"]

ANSWER_MS = 3000


class Asking:
    """The one question that is open, for three seconds or until any other key.

    `then` says what can be done once the desk is closed.
    """

    def __init__(self, then: str = "the heat can be opened again") -> None:
        self._then = then
        self._open: Question = ""
        self._since = 0

    def ask(self, question: Question, boot_ms: int) -> None:
        """Open a question in place of any other."""
        self._open, self._since = question, boot_ms

    def stands(self, boot_ms: int) -> bool:
        """Whether a question is open."""
        return bool(self._open) and boot_ms - self._since <= ANSWER_MS

    def taken(self, boot_ms: int) -> Question:
        """The question that was open; it is open no more."""
        found, self._open = self._open, ""
        return found if boot_ms - self._since <= ANSWER_MS else ""

    def closing(
        self, name: str, asked: Question, boot_ms: int, waiting: int
    ) -> str | None:
        """What an action means for closing: a question in words, "" to close now.

        `asked` is what was open, `waiting` how many presses are not saved yet; with
        any, it takes one more step. None if the action has nothing to do with it.
        """
        if name == "close" and asked == "give up":
            return ""
        if name == "close":
            self.ask("close", boot_ms)
            return self._close_question(waiting)
        if name == "yes" and asked == "close" and waiting:
            self.ask("give up", boot_ms)
            return (
                f"q loses {_presses(waiting)} and closes, unless the disk works again"
            )
        return "" if name == "yes" and asked == "close" else None

    def _close_question(self, waiting: int) -> str:
        if waiting:
            many = _presses(waiting)
            return f"{many} NOT SAVED. y, if it must be closed all the same"
        return f"Close this desk? y closes; {self._then}"


def _presses(many: int) -> str:
    return "1 press" if many == 1 else f"{many} presses"
