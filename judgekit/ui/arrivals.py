"""Taking in who walks into a class: into its files first, then into a lane of the desk.

It is done in a thread, as disks may be slow; keys count meanwhile.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.entry import Time
from judgekit.desk.files import Files
from judgekit.files.walkins import add_walk_in, refused, who_may_it_be

if TYPE_CHECKING:
    from judgekit.core.classmates import Classmate
    from judgekit.desk import Desk
    from judgekit.files.eventfolder import EventFolder


def arrive(
    folder: EventFolder, desk: Desk, mate: Classmate, *, boot_ms: int
) -> EventFolder | tuple[Classmate, ...]:
    """The folder with them in it, and a lane on its way; or who of several it may be.

    Whoever has a person is settled. InputError and OSError where they cannot come in.
    """
    if _was_ended(desk):
        what = "time was called for all lanes"
        raise refused(folder, what, "add them to another heat")
    if not mate.person:
        found = who_may_it_be(folder, mate)
        if len(found) > 1:
            return found
        [mate] = found
    grown, lane = add_walk_in(folder, desk.heat, mate)
    desk.take_in(lane, Files(grown, desk.heat), boot_ms=boot_ms)
    return grown


def _was_ended(desk: Desk) -> bool:
    """Whether whoever joins now would be over before the start."""
    lanes = (desk.lane(number) for number in desk.lanes)
    entries = (entry for lane in lanes for entry in lane.entries)
    return any(e.lane is None and isinstance(e.body, Time) for e in entries)
