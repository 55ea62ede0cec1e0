"""Presses: what a judge, a tally line or a script asks for, and when.

A press says what was done at the keys; deciding turns it into entries.
"""

from __future__ import annotations

from judgekit.core.entry import Body, Rule
from judgekit.core.plan import SetKey
from judgekit.core.ruling import Ref
from judgekit.core.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """A call's own key: a no-rep with that fault, or a reason for the one just made."""

    fault: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Keyed:
    """A fault's letter or digit, pressed while earlier presses were still being saved.

    Which fault it calls is decided with the set that it falls into, not before.
    """

    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """The count called aloud for a set, while earlier presses may still be saved.

    By how much that moves the count is decided when its turn comes.
    """

    to: int
    set: SetKey


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportSet:
    """The athlete says that a set is done, or that `n` units of it are.

    Without `set` it is the one that the clock has on, and in a rest the one before.
    `at_stop` says that it was so when the lane was stopped, whatever came afterwards.
    """

    n: int | None = None
    set: SetKey | None = None
    at_stop: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class EndLook:
    """The look is over; without `seen`, as many were seen as were pressed."""

    seen: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteSet:
    """On paper stands that `n` units of a set were good, and perhaps a load."""

    set: SetKey
    n: int
    load: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteNoReps:
    """On paper stand `n` no-reps of the set's movement, in whichever round or there."""

    set: SetKey
    n: int
    fault: str = ""
    any_round: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeBackOne:
    """Take back the newest live entry, or the one stamped `at` ms."""

    at: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CountAgain:
    """Count again what was taken back last, or the entry stamped `at` ms."""

    at: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """Give a reason for the newest no-rep, or for the one stamped `at` ms."""

    fault: str
    at: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WasClose:
    """The newest judgement was close, or the one stamped `at` ms."""

    at: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerExtra:
    """Whether the press that is asked about was one too many.

    `target` names it, as a screen does; a tally may give its time, `at` ms.
    """

    yes: bool
    at: int | None = None
    target: Ref | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerHorn:
    """Whether the rep kept at the horn was finished in time."""

    counts: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class NameSign:
    """For which sign the athlete is stopped; it never stops anybody itself."""

    sign: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GoBack:
    """Back to an earlier set, named or simply the one before, and why."""

    why: str
    to: SetKey | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleAt:
    """A ruling that voids or restores the attempt stamped `at` ms."""

    restore: bool
    at: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answering:
    """A ruling, and the lane's disputes that it answers, each counted from 1."""

    ruling: Rule | RuleAt
    disputes: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DisputeAt:
    """A dispute of the attempt stamped `at` ms: that it should count, or should not."""

    at: int
    counts: bool
    about: str
    by: str = ""
    evidence: str = ""


Meant = (
    Body
    | Called
    | Counted
    | ReportSet
    | EndLook
    | WriteSet
    | WriteNoReps
    | TakeBackOne
    | CountAgain
    | Name
    | WasClose
    | AnswerExtra
    | AnswerHorn
    | NameSign
    | GoBack
    | RuleAt
    | Answering
    | DisputeAt
)
Act = Meant | Keyed


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """An act, and the heat time in whole ms when it was made (None before go)."""

    at: int | None
    act: Act
    who: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """An entry as decided, before it has a book, a number and a wall time."""

    at: int | None
    set: SetKey | None
    body: Body
    who: str = ""
