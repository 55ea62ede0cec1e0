"""What was seen of one thing while tidy rows are gone through."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

    from judgekit.review.attempts import AttemptRow


@dataclass(slots=True)
class Tally:
    """Attempts, no-reps by their reasons, and who made them.

    A no-rep counts once, and under each of its reasons; the reason is empty where none
    was given. `missing` are the athletes with a no-rep, `by` those of each reason.
    """

    attempts: int = 0
    no_reps: int = 0
    athletes: set[str] = field(default_factory=set)
    missing: set[str] = field(default_factory=set)
    reasons: dict[str, int] = field(default_factory=dict)
    by: dict[str, set[str]] = field(default_factory=dict)
    cues: dict[str, int] = field(default_factory=dict)

    def add(self, row: AttemptRow, athlete: str) -> None:
        """One row of an athlete."""
        self.attempts += row.n
        self.athletes.add(athlete)
        if row.good:
            return
        self.no_reps += row.n
        self.missing.add(athlete)
        for reason in row.faults or ("",):
            self.reasons[reason] = self.reasons.get(reason, 0) + row.n
            self.by.setdefault(reason, set()).add(athlete)

    def cue(self, fault: str) -> None:
        """A cue fault that was noted."""
        self.cues[fault] = self.cues.get(fault, 0) + 1


def together(tallies: Iterable[Tally]) -> Tally:
    """What several tallies say in one; they stay as they are."""
    every = list(tallies)
    if len(every) == 1:
        return every[0]
    whole = Tally()
    for one in every:
        whole.attempts += one.attempts
        whole.no_reps += one.no_reps
        whole.athletes |= one.athletes
        whole.missing |= one.missing
        for reason, many in one.reasons.items():
            whole.reasons[reason] = whole.reasons.get(reason, 0) + many
            whole.by.setdefault(reason, set()).update(one.by[reason])
        for fault, many in one.cues.items():
            whole.cues[fault] = whole.cues.get(fault, 0) + many
    return whole
