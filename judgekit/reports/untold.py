"""A lane without what anybody wrote in their own words about it.

Such texts may name others: an athlete's sheet tells what was asked, ruled and answered,
never in whose words.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.entry import Body, Dispute, Entry, Freeze, Recall, Rule, Withdraw

if TYPE_CHECKING:
    from judgekit.core.state import Lane

# Why a set was left, in no words but these.
_SHORT = "left short"


def without_words(lane: Lane) -> Lane:
    """The same lane, with the texts of officials and of disputes left out."""
    corrections = tuple(replace(one, why="") for one in lane.work.corrections)
    sets = tuple(
        replace(one, moved_on=one.moved_on and _SHORT) for one in lane.work.sets
    )
    return replace(
        lane,
        entries=tuple(map(_untold, lane.entries)),
        rulings=tuple(replace(r, rule=replace(r.rule, why="")) for r in lane.rulings),
        work=replace(lane.work, corrections=corrections, sets=sets),
    )


def _untold(entry: Entry) -> Entry:
    bare = _bare(entry.body)
    return entry if bare is entry.body else replace(entry, body=bare)


def _bare(body: Body) -> Body:
    match body:
        case Dispute():
            return replace(body, about="", by="", evidence="")
        case Rule() | Withdraw() | Freeze() | Recall():
            return replace(body, why="")
        case _:
            return body
