"""The controls of a Floor of several lanes: one for each lane, and one for the desk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.controls import Controls
from judgekit.ui.manykeys import keys_of_lanes

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.ui.panels import Known, Panel

# The desk's own keys: go, freeze, close.
DESK = 0


class ManyControls:
    """Of all panels one is open at the most: turning elsewhere closes the others."""

    def __init__(
        self,
        known: Known,
        extra_keys: tuple[tuple[str, tuple[str, ...]], ...],
        lanes: Iterable[int],
    ) -> None:
        numbers = tuple(lanes)
        self._known = known
        self._extra = extra_keys
        self._of = {n: self._made(len(numbers)) for n in (DESK, *numbers)}

    def __getitem__(self, number: int) -> Controls:
        return self._of[number]

    def take_in(self, number: int) -> None:
        """One more lane stands among the others."""
        many = len(self._of)
        self._of[number] = self._made(many)
        for controls in self._of.values():
            controls.lane_keys = keys_of_lanes(many)

    def panels(self) -> list[Panel | None]:
        """What is open, the desk's first."""
        return [controls.panel for controls in self._of.values()]

    def is_open(self) -> bool:
        """Whether anything is open."""
        return any(panel is not None for panel in self.panels())

    def opened(self) -> Controls:
        """The controls with something open, else the desk's."""
        found = (one for one in self._of.values() if one.panel is not None)
        return next(found, self._of[DESK])

    def leave_off(self, but: int | None = None) -> None:
        """Whatever is open elsewhere is closed: the coach has turned away from it."""
        for other, controls in self._of.items():
            if other != but:
                controls.leave_off()

    def asks(self, boot_ms: int) -> bool:
        """Whether any of them waits for a second key."""
        return any(controls.asks(boot_ms) for controls in self._of.values())

    def lapse(self, boot_ms: int) -> None:
        """What was asked too long ago is asked no more."""
        for controls in self._of.values():
            controls.lapse(boot_ms)

    def _made(self, many: int) -> Controls:
        return Controls(self._known, self._extra, keys_of_lanes(many))
