"""The other judge of a lane that two of them count: what that book says by now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.errors import JudgekitError
from judgekit.core.twojudges import second_counting, second_lane
from judgekit.store.reading import read_lanes

if TYPE_CHECKING:
    from judgekit.core.state import Lane
    from judgekit.files.eventfolder import EventFolder


def other_judges(
    folder: EventFolder, heat: str, number: int, *, second: bool
) -> Lane | None:
    """The lane as the other judge has it; None where that book is not on hand.

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
    if second:
        return None if one.run is None else one.lane
    run = second_counting(one.runs)
    return None if run is None else second_lane(one.lane, run.entries)
