"""What is worth knowing of several lanes while none is chosen, said fully first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.quantity import show_time

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.ui.views.many import LaneRow

_SECOND_MS = 1000
# Of these lanes nothing is judged any more.
_ENDED = ("over", "accepted", "absent")


def tells(rows: Sequence[LaneRow], shared: str) -> tuple[tuple[str, ...], ...]:
    """What is worth knowing of them all: who goes next, the faults of the day."""
    resting = sorted((row for row in rows if row.rest_ms), key=lambda row: row.rest_ms)
    found: list[tuple[str, ...]] = []
    if resting:
        found.append(tuple(f"Next: {way}" for way in _goes(resting)))
    watched: dict[str, None] = {}
    for row in rows:
        if row.phase in _ENDED:
            continue
        watched |= dict.fromkeys(row.watched)
    if watched:
        words = f"Watched: {'   '.join(watched)}"
        found.append((f"{words}   then the lane's digit", words))
    if shared:
        found.append((shared,))
    return tuple(found)


def _goes(resting: Sequence[LaneRow]) -> Iterator[str]:
    """Who goes in how long, and to what: of all, of the first, or not at all."""
    soon = [f"lane {row.lane} in {_until_go(row)}" for row in resting]
    works = [_work(row) for row in resting]
    yield "; ".join(f"{who}, {work}" for who, work in zip(soon, works, strict=True))
    first = f"{soon[0]}, {works[0]}"
    for many in range(len(soon), 0, -1):
        yield "; ".join([first, *soon[1:many]])
    for many in range(len(soon), 0, -1):
        yield ", ".join(soon[:many])


def _until_go(row: LaneRow) -> str:
    return show_time(-(-row.rest_ms // _SECOND_MS) * _SECOND_MS)


def _work(row: LaneRow) -> str:
    """The set that waits for the end of a rest: "front squat 10, 47.5 kg"."""
    return ", ".join(row.following[0].removeprefix("next").split("  ")[1:])
