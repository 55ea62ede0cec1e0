"""Whose the sets of a team were, on the sheet of one of its members."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from judgekit.core.plan import SetKey
    from judgekit.review.attempts import AttemptRow, LaneRows

_OTHERS, _BOTH = "done by the team", "done with the team"
_NOBODY_SAID = "no-reps are the team's"


class Share(NamedTuple):
    """What of a set was a member's: no-reps, and in words whose the set was else.

    `is_own` where some of its tries are known to have been the member's.
    """

    no_reps: int | None
    note: str
    is_own: bool


def shares(rows: LaneRows, by: str) -> Mapping[SetKey, Share]:
    """The shares of one member in the judged sets; none where `by` names nobody."""
    if not by:
        return {}
    tried: dict[SetKey, list[AttemptRow]] = {}
    for row in rows.attempts:
        tried.setdefault(row.set.key, []).append(row)
    return {
        one.set.key: _share(tried.get(one.set.key, ()), by)
        for one in rows.sets
        if one.watched == "judged"
    }


def _share(tried: Sequence[AttemptRow], by: str) -> Share:
    own = [row for row in tried if row.by == by]
    if own:
        note = _BOTH if len(own) < len(tried) else ""
        return Share(_missed(own), note, is_own=True)
    if not any(row.by for row in tried) and any(row.timed for row in tried):
        return Share(_missed(tried), _NOBODY_SAID, is_own=False)
    return Share(None, _OTHERS, is_own=False)


def _missed(tried: Sequence[AttemptRow]) -> int:
    return sum(row.n for row in tried if not row.good)


def done_by(rows: LaneRows, of: Mapping[SetKey, Share]) -> Collection[SetKey]:
    """The sets that a member is known to have worked in; of a lane of one all."""
    keys = [one.set.key for one in rows.sets]
    return [key for key in keys if key not in of or of[key].is_own]
