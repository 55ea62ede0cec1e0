"""What a judge called beside what was shown: right, wrong, missed, late, and how soon.

A call belongs to the rep that is shown when it is made; one that comes before the
words of that rep can have been read belongs to the rep before, if nobody called that.
A rep has one call, the first; what is called once more is told apart.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from typing import TYPE_CHECKING, Literal

from judgekit.core.values import dataclass
from judgekit.review.performing import Performed

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.core.state import Attempt

# Nobody has read a rep's words and chosen a key sooner than this.
READ_MS = 700
# right: as it was; other reason, no reason: a fault was seen, another or none named;
# missed: a bad rep called good; false: a good rep called a no-rep; silent: no call.
Outcome = Literal["right", "other reason", "no reason", "missed", "false", "silent"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One rep that was shown, and what was made of it.

    `pressed` is the fault that was named, empty where none was. A call is `late` once
    the rep's words are gone.
    """

    shown: Performed
    outcome: Outcome
    pressed: str = ""
    reaction_ms: int | None = None
    late: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """All of a rehearsal: a verdict for each rep in order, and how often once more."""

    verdicts: tuple[Verdict, ...]
    extra: int = 0

    @property
    def right(self) -> int:
        """How many reps were called as they were."""
        return self.count("right")

    @property
    def percent(self) -> int | None:
        """Right ones of a hundred, cut; None where nothing was shown."""
        return 100 * self.right // len(self.verdicts) if self.verdicts else None

    def count(self, outcome: Outcome) -> int:
        """How many reps ended so."""
        return sum(1 for one in self.verdicts if one.outcome == outcome)

    @property
    def late(self) -> int:
        """How many calls came when the rep was over."""
        return sum(1 for one in self.verdicts if one.late)

    def reaction_ms(self, percent: int) -> int | None:
        """Within which time so many of a hundred calls came; None without a call."""
        times = sorted(
            one.reaction_ms for one in self.verdicts if one.reaction_ms is not None
        )
        return times[-(-percent * len(times) // 100) - 1] if times else None

    def confused(self) -> tuple[tuple[str, str, str, int], ...]:
        """Card, fault shown, fault named in its place, and how often; most first."""
        found = Counter(
            (one.shown.card, one.shown.fault, one.pressed)
            for one in self.verdicts
            if one.outcome == "other reason"
        )
        ordered = sorted(found.items(), key=lambda item: (-item[1], item[0]))
        return tuple((*key, many) for key, many in ordered)


def marks(shown: Sequence[Performed], attempts: Iterable[Attempt]) -> Marks:
    """What the calls are worth; `shown` in the order of its times."""
    starts = [one.at_ms for one in shown]
    calls: dict[int, Attempt] = {}
    extra = 0
    for attempt in sorted(attempts, key=lambda one: one.at):
        index = _meant(starts, attempt.at, calls)
        if index is None or index in calls:
            extra += 1
        else:
            calls[index] = attempt
    verdicts = tuple(_verdict(one, calls.get(n)) for n, one in enumerate(shown))
    return Marks(verdicts=verdicts, extra=extra)


def _meant(starts: Sequence[int], at: int, calls: dict[int, Attempt]) -> int | None:
    """Which rep a call was for; None before the first."""
    index = bisect_right(starts, at) - 1
    if index < 0:
        return None
    unread = at - starts[index] < READ_MS
    return index - 1 if index and unread and index - 1 not in calls else index


def _verdict(shown: Performed, call: Attempt | None) -> Verdict:
    if call is None:
        return Verdict(shown=shown, outcome="silent")
    outcome, pressed = _outcome(shown.fault, call)
    return Verdict(
        shown=shown,
        outcome=outcome,
        pressed=pressed,
        reaction_ms=call.at - shown.at_ms,
        late=call.at > shown.until_ms,
    )


def _outcome(fault: str, call: Attempt) -> tuple[Outcome, str]:
    named = call.faults[0] if call.faults else ""
    if not fault:
        return ("right", "") if call.good else ("false", named)
    if call.good:
        return "missed", ""
    if fault in call.faults:
        return "right", fault
    return ("other reason", named) if named else ("no reason", "")


def worst_cards(past: Iterable[Marks]) -> tuple[str, ...]:
    """The cards with a rep that was not called right, the greatest share first."""
    all_: Counter[str] = Counter()
    wrong: Counter[str] = Counter()
    for one in (verdict for marked in past for verdict in marked.verdicts):
        all_[one.shown.card] += 1
        wrong[one.shown.card] += one.outcome != "right"
    missed = [card for card in all_ if wrong[card]]
    return tuple(sorted(missed, key=lambda card: (-wrong[card] / all_[card], card)))
