"""The fold's small change: a set while it is counted, and long streaks in one set."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.entry import NoRep, Rep
from judgekit.core.plan import SetKey
from judgekit.core.ruling import Ref
from judgekit.core.state import Attempt, SetDone, Work
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Container, Sequence

    from judgekit.core.entry import Entry


@dataclass(slots=True)
class SetNow:
    """A set that changes in place, as a copy for each rep would cost more than the rep.

    The fields are those of SetDone.
    """

    key: SetKey
    target: int
    good: int = 0
    no_reps: int = 0
    first_ms: int | None = None
    last_ms: int | None = None
    done_ms: int | None = None
    moved_on: str = ""
    spent: bool = False

    @classmethod
    def of(cls, done: SetDone) -> SetNow:
        """The set, to go on with."""
        return cls(
            done.key,
            done.target,
            done.good,
            done.no_reps,
            done.first_ms,
            done.last_ms,
            done.done_ms,
            done.moved_on,
            done.spent,
        )

    def frozen(self) -> SetDone:
        """The set as it stands."""
        return SetDone(
            key=self.key,
            target=self.target,
            good=self.good,
            no_reps=self.no_reps,
            first_ms=self.first_ms,
            last_ms=self.last_ms,
            done_ms=self.done_ms,
            moved_on=self.moved_on,
            spent=self.spent,
        )

    @property
    def open(self) -> bool:
        """Whether there is work left in it."""
        return not (self.moved_on or self.spent) and self.good < self.target


_new = tuple.__new__


@dataclass(slots=True, kw_only=True)
class Streak:
    """Good reps and no-reps of one set, each as it should be: most of every log.

    They are folded in one go, with nothing looked up for each. What might be early,
    late, quick or the set's last, and every other entry, ends the streak. `attempts`
    is not empty, and its last is of this set.
    """

    now: SetNow
    attempts: list[Attempt]
    floor_ms: int
    opens_ms: int
    horn_ms: int

    def take(
        self, entries: Sequence[Entry], start: int, later_ms: int, dead: Container[Ref]
    ) -> int:
        """Take entries from `start` on; gives the index of the first one not taken.

        `later_ms` is by how much the lane started later, `dead` what is taken back.
        """
        horn, floor, add = self.horn_ms, self.floor_ms, self.attempts.append
        last, before = self.attempts[-1], len(self.attempts)
        key = last.set
        least = max(last.at, self.opens_ms)
        least_good = max(least, last.at + floor) if last.good else least
        room = rooms = self.now.target - self.now.good - 1
        for index in range(start, len(entries)):
            entry = entries[index]
            body = entry.body
            if entry.set is not key or entry.at is None:
                break
            at = entry.at - later_ms
            # As Ref(...) and Attempt(...) make them, in half of their time.
            ref = _new(Ref, (entry.book, entry.number))
            if at > horn or ref in dead:
                break
            if type(body) is Rep and body.n == 1:
                if at < least_good or room <= 0:
                    break
                room -= 1
                add(_new(Attempt, (ref, key, at, True, 1, (), True, (), None)))
                least_good = at + floor
            elif type(body) is NoRep:
                if at < least:
                    break
                faults = body.faults
                add(_new(Attempt, (ref, key, at, False, 1, faults, False, (), None)))
                least_good = at
            else:
                break
            least = at
        self._count(self.attempts[before:], rooms - room)
        return start + len(self.attempts) - before

    def _count(self, made: Sequence[Attempt], good: int) -> None:
        now = self.now
        now.good += good
        now.no_reps += len(made) - good
        if good:
            now.done_ms = None
        if made:
            now.last_ms = made[-1].at
            if now.first_ms is None:
                now.first_ms = made[0].at


def with_uncounted(base: Work, onward: Work) -> Work:
    """The work as it stood, with what was pressed since kept beside it, uncounted."""
    more: tuple[Attempt, ...] = tuple(
        a._replace(counts=False, marks=(*a.marks, "not counted"))
        for a in onward.attempts[len(base.attempts) :]
    )
    return replace(
        base,
        attempts=base.attempts + more,
        cues=onward.cues,
        looks=onward.looks,
        noticed=onward.noticed,
    )
