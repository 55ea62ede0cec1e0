"""What a recall cuts in two, and what of the old start holds in the new one."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.checkentry import Check
from judgekit.core.entry import Claim, Entry, Go, Recall
from judgekit.core.kinds import kinds_in

if TYPE_CHECKING:
    from collections.abc import Sequence

AFTER_RECALL = "after a recall"


def since_recall(entries: Sequence[Entry], claim: Entry) -> tuple[Entry, ...]:
    """A lane's stretch without what was said to all before its claim and a recall.

    What was said of the lane itself always stays.
    """
    recalls = [
        entry.number
        for entry in entries
        if isinstance(entry.body, Recall) and entry.number < claim.number
    ]
    if not recalls:
        return tuple(entries)
    last = max(recalls)
    return tuple(e for e in entries if e.lane is not None or e.number > last)


def cut_at_recalls(
    entries: Sequence[Entry], lane: int
) -> list[tuple[tuple[Entry, ...], int]]:
    """One piece for each start, and how much of it was said before that."""
    if Recall not in kinds_in(entries):
        return [(tuple(entries), 0)]
    pieces: list[tuple[list[Entry], int]] = [([], 0)]
    claimed = False
    for index, entry in enumerate(entries):
        piece, _ = pieces[-1]
        piece.append(entry)
        claimed = claimed or (isinstance(entry.body, Claim) and entry.lane == lane)
        recalled = isinstance(entry.body, Recall)
        if claimed and recalled and _goes(entries[index + 1 :]):
            head = list(standing_after_recall(piece, lane))
            pieces.append((head, len(head)))
    return [(tuple(piece), standing) for piece, standing in pieces]


def standing_after_recall(entries: Sequence[Entry], lane: int) -> tuple[Entry, ...]:
    """What a new start begins with: the claim in force, and what was looked at.

    The reason for what was left open is not among it: it was of that start. So was
    the heat time of what was measured then.
    """
    mine = [entry for entry in entries if entry.lane == lane]
    in_force = [entry for entry in mine if isinstance(entry.body, Claim)][-1:]
    return tuple(
        replace(entry, at=None) if isinstance(entry.body, Check) else entry
        for entry in mine
        if isinstance(entry.body, Check) or entry in in_force
    )


def _goes(entries: Sequence[Entry]) -> bool:
    return any(isinstance(entry.body, Go) for entry in entries)
