"""The other judge's count, read while a scorecard is on the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.twojudges import score_of_both, second_lane
from judgekit.reports.twojudges import beside_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.screen import Screen

    from judgekit.core.score import Score
    from judgekit.core.state import Lane
    from judgekit.desk.beside import OtherJudge

    Other = Callable[[], OtherJudge | None]

# How old what the other judge counted may be.
AGAIN_S = 3.0


class Beside:
    """What `other` gives, asked in a thread every few seconds; `told` once it is new.

    `second` says whether this desk is the second judge's.
    """

    def __init__(
        self,
        screen: Screen[None],
        other: Other,
        told: Callable[[], None],
        *,
        second: bool,
    ) -> None:
        self._screen = screen
        self._other = other
        self._told = told
        self._second = second
        self._looking = False
        self._has: OtherJudge | None = None

    def look(self) -> None:
        """One look at a time, as a log may take longer to read than that."""
        if not self._looking:
            self._looking = True
            self._screen.run_worker(self._read, thread=True, exit_on_error=False)

    def _read(self) -> None:
        try:
            found = self._other()
        finally:
            self._looking = False
        if found != self._has:
            self._screen.app.call_from_thread(self._take, found)

    def _take(self, found: OtherJudge | None) -> None:
        self._has = found
        self._told()

    def score(self, own: Lane, wall: int) -> tuple[Score, str]:
        """The score of both, and what each of them counted."""
        if self._has is None:
            return score_of_both(own, None, wall), ""
        first, second = own, self._has.lane
        if self._second:
            first, second = second, second_lane(second, own.entries)
        result = score_of_both(first, second, wall)
        return result, beside_words(own, self._has.lane, result)

    def code(self, own: str) -> str:
        """The log code of both, the first judge's before the second's."""
        if self._has is None or not own:
            return own
        codes = (self._has.code, own) if self._second else (own, self._has.code)
        return "+".join(codes)
