"""What stands on a sheet as something to work on: faults, and what was called often."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.review.lessons import MOST

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.review.lessons import Lesson, Said

# A cue that was called as often is something to work on.
_OFTEN = 3
# A fault made once in as many tries is hardly one.
_MANY_TRIES = 30


def to_learn(
    lessons: Sequence[Lesson], said: Sequence[Said]
) -> Iterator[Lesson | Said]:
    """The faults to work on, and the cue that was called most; three at most.

    Of three faults the last gives way to a cue that was called more often than it was
    made, and is left out where it was made once in very many tries.
    """
    often = [cue for cue in said[:1] if cue.many >= _OFTEN]
    faults = list(lessons[:MOST])
    if len(faults) == MOST and _gives_way(faults[-1], often):
        faults.pop()
    told: list[Lesson | Said] = [*faults, *often]
    yield from told[:MOST]


def _gives_way(last: Lesson, often: Sequence[Said]) -> bool:
    is_rare = last.many == 1 and (last.tries or 0) >= _MANY_TRIES
    return is_rare or any(cue.many > last.many for cue in often)
