"""When a key was pressed, and the lane as it stood then."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.lane import own_ms
from judgekit.core.state import Lane
from judgekit.core.values import dataclass
from judgekit.ui.views.phase import phase_of

if TYPE_CHECKING:
    from judgekit.ui.views.phase import Phase


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """When a key was pressed (boot clock and heat time), and the lane as it stood.

    `waiting` is how many presses the disk keeps waiting, `in_hand` how many are being
    decided: after those the lane may stand at another set. `checks` says whether there
    is a lane check to be done before go, with so many `open_items` unexplained.
    The key may be about `all_lanes`; then the lane stands for them.
    """

    lane: Lane
    boot_ms: int
    heat_ms: int | None
    waiting: int = 0
    in_hand: int = 0
    checks: bool = False
    open_items: int = 0
    all_lanes: bool = False

    @property
    def at(self) -> int | None:
        """The time on the lane's own clock, None before go."""
        return None if self.heat_ms is None else own_ms(self.lane, self.heat_ms)

    @property
    def phase(self) -> Phase:
        """What is going on."""
        return phase_of(self.lane, self.at)
