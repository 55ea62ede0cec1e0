"""The line forms of a tally for what is said to a whole heat."""

from __future__ import annotations

from judgekit.core.entry import ClassOver, Freeze, Recall, Time, Unfreeze, WallSet
from judgekit.files.tally_words import Form, flag, form, length_of

OF_HEAT: tuple[Form, ...] = (
    form(
        "recall [WHY]",
        "false start, everybody back",
        "recall lane 2 moved",
        lambda r: Recall(why=r.rest()),
    ),
    form(
        "freeze [WHY]",
        "the count is held in all lanes; the clock runs on",
        "freeze rig moved",
        lambda r: Freeze(why=r.rest()),
    ),
    form(
        "unfreeze [mistake]",
        "work goes on; after a mistake the held presses count",
        "unfreeze",
        lambda r: Unfreeze(by_mistake=flag(r, "mistake")),
    ),
    form("time", "time is called", "time", lambda _: Time()),
    form(
        "class-over",
        "time is called for everybody: the work ends as a cap ends it",
        "class-over",
        lambda _: ClassOver(),
    ),
    form(
        "wall-set TIME",
        "the hall's clock shows TIME now: every time since go moves with it",
        "wall-set 1:30",
        lambda r: WallSet(shows_ms=length_of(r, "what the wall clock shows")),
    ),
)
