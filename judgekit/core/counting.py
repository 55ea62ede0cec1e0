"""The fold's small change: a set while it is counted, and reps made without delay."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from judgekit.core.plan import SetKey
from judgekit.core.state import Attempt, Mark, SetDone

if TYPE_CHECKING:
    from judgekit.core.ruling import Ref


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
        )

    @property
    def open(self) -> bool:
        """Whether there is work left in it."""
        return not self.moved_on and self.good < self.target


_bare = object.__new__
# What the constructor of a frozen class does, without its detour by name: a long log
# makes a hundred thousand of these, and they are half as dear this way.
_ref, _set, _at, _good, _n, _faults, _counts, _marks, _shows = (
    getattr(Attempt, field.name).__set__ for field in fields(Attempt)
)


def good_reps(
    ref: Ref, key: SetKey, at: int, n: int, counts: bool, marks: tuple[Mark, ...]
) -> Attempt:
    """The attempt of `n` good reps, equal to one made by Attempt itself."""
    made = _bare(Attempt)
    _ref(made, ref)
    _set(made, key)
    _at(made, at)
    _good(made, True)
    _n(made, n)
    _faults(made, ())
    _counts(made, counts)
    _marks(made, marks)
    _shows(made, None)
    return made
