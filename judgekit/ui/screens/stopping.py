"""A STOP on the screen: shown at the press, and the box that follows it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.lane import own_ms
from judgekit.ui.stoppanels import SIGN, signs_menu
from judgekit.ui.views.box import sign_said

if TYPE_CHECKING:
    from judgekit.desk import Desk, Judged
    from judgekit.ui.controls import Controls


class Stopping:
    """STOPs that are not durable yet, and whose emergency box fills the screen."""

    def __init__(self) -> None:
        # Lane -> time on its own clock.
        self.pressed: dict[int, int | None] = {}
        self.boxed: int | None = None

    def press(self, number: int, at: int | None, *, box: bool) -> None:
        """STOP for a lane: it is shown before it is durable."""
        self.pressed[number] = at
        self.boxed = number if box else None

    def settle(self, number: int) -> None:
        """It is durable, or was refused."""
        self.pressed.pop(number, None)

    def whose(self, desk: Desk) -> int | None:
        """Whose box stands: not that of an athlete who goes on."""
        number = self.boxed
        if number is not None and not (
            desk.lane(number).stopped or number in self.pressed
        ):
            self.boxed = None
        return self.boxed

    def follow(self, news: Judged, controls: Controls, desk: Desk) -> None:
        """The sign is asked for once the stop is in the log, while the box stands.

        It is asked no longer than the stop lasts: a digit has its own meaning then.
        """
        lane = news.state
        if not lane.stopped or sign_said(lane):
            controls.close(SIGN)
            return
        if self.boxed == news.lane and controls.panel is None:
            boot_ms = desk.clock.boot_ms()
            heat_ms = desk.heat_ms(boot_ms)
            at = None if heat_ms is None else own_ms(lane, heat_ms)
            controls.open(signs_menu(lane, at), boot_ms)
