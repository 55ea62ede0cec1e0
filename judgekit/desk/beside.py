"""The other judge of a lane that two of them count: what that book says by now."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.errors import JudgekitError
from judgekit.store.reading import read_lanes

if TYPE_CHECKING:
    from judgekit.core.state import Lane
    from judgekit.files.eventfolder import EventFolder


class OtherJudge(NamedTuple):
    """The lane as the other judge has it, and the log code of that."""

    lane: Lane
    code: str


def other_judges(
    folder: EventFolder, heat: str, number: int, *, second: bool
) -> OtherJudge | None:
    """What the other judge has; None where that book is not on hand.

    `second` says whether the one who asks is the second judge.
    """
    rows = folder.lanes(heat)
    try:
        read = read_lanes(folder.log, heat, rows=rows, resolve=folder.plan_of)
    except (JudgekitError, OSError):
        return None
    one = next((one for one in read.lanes if one.number == number), None)
    if one is None:
        return None
    lane = one.lane if second and one.run is not None else None
    lane = lane if second else one.second
    if lane is None:
        return None
    return OtherJudge(lane, one.codes[0] if second else one.codes[-1])
