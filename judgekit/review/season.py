"""A season by any set of words, what comes again in it, and how that went by months.

Whoever asks for groups gets them from elsewhere: here is only what is made of them.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal, NamedTuple, Protocol, get_args

from judgekit.core.values import dataclass
from judgekit.review.faults import Rate, rate
from judgekit.review.judged import Watched

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

Word = Literal[
    "movement",
    "fault",
    "athlete",
    "division",
    "part",
    "round",
    "judge",
    "date",
    "month",
    "workout",
    "heat",
    "load",
]
WORDS: tuple[Word, ...] = get_args(Word)
# A fault that was seen on so many days comes again.
OFTEN = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Attempts and no-reps of one group; `of` has the value of each word asked for.

    Values are ids; a part stands after its workout, a round after both. `athletes` had
    a no-rep (of this fault), of `of_athletes` who tried. Only a `rated` group has a
    number of attempts that its no-reps are out of; `good` of them were. `cues` were
    noted, and voided nothing.
    """

    of: tuple[str, ...]
    watched: Watched
    rated: bool
    attempts: int
    good: int
    no_reps: int
    athletes: int
    of_athletes: int
    cues: int = 0

    @property
    def rate(self) -> Rate:
        """Its rate; without one where nobody counted the attempts."""
        return rate(self.no_reps, self.attempts if self.rated else None)


class Asked(Protocol):
    """Anything that groups a season's attempts by words."""

    def by(self, words: Sequence[Word]) -> list[Group]: ...


class Call(NamedTuple):
    """A fault that can be called of a movement."""

    movement: str
    fault: str


class Fault(NamedTuple):
    """A fault of a movement by how it was watched."""

    movement: str
    fault: str
    watched: Watched


class Recurring(NamedTuple):
    """A fault, and on which of the days with its movement it was seen."""

    of: Fault
    seen: tuple[str, ...]
    days: int


class Month(NamedTuple):
    """How often a fault was seen in a month."""

    of: Fault
    month: str
    rate: Rate


def call_key(movement: str, fault: str) -> str:
    """What a call is found by, as each card has its own for a fault."""
    return f"{movement} {fault}"


def calls_of(keys: Iterable[str]) -> list[Call]:
    """What such keys stand for."""
    return [Call(*key.split(" ", 1)) for key in keys]


def groups(season: Asked, by: Sequence[Word]) -> tuple[Group, ...]:
    """The groups by those words, first what a coach should act on first.

    That is what is surely frequent, and shared by many athletes. Groups in which
    nothing was tried and nothing noted are not there.
    """
    found = _with_cues([one for one in season.by(by) if _says(one)])
    return tuple(sorted(found, key=_worth))


def _with_cues(found: Sequence[Group]) -> Iterator[Group]:
    """Groups with the cues of those that are nothing but cues, given without attempts.

    A cue is in no rate, so it needs no group of its own where there is another.
    """
    cues = {(one.of, one.watched): one.cues for one in found if _is_cues(one)}
    for one in found:
        if not _is_cues(one):
            more = cues.pop((one.of, one.watched), 0)
            yield replace(one, cues=one.cues + more)
    yield from (one for one in found if _is_cues(one) and (one.of, one.watched) in cues)


def _is_cues(group: Group) -> bool:
    return not (group.rated or group.no_reps)


def _says(group: Group) -> bool:
    """Whether there is anything to say: where nobody counted, only what was noted."""
    return bool(group.rate.attempts or group.no_reps or group.cues)


def total(season: Asked, watched: Watched) -> Rate:
    """All attempts that were watched so, and have a rate."""
    of = [g for g in season.by(()) if g.rated and g.watched == watched]
    return rate(sum(g.no_reps for g in of), sum(g.attempts for g in of))


def recurring(season: Asked) -> tuple[Recurring, ...]:
    """The faults that were seen on many days, the most often seen first.

    Of those seen as often, first comes what a coach should act on first.
    """
    seen: dict[Fault, set[str]] = {}
    for group in season.by(("movement", "fault", "date")):
        movement, fault, day = group.of
        if fault and group.no_reps:
            seen.setdefault(Fault(movement, fault, group.watched), set()).add(day)
    tried: dict[tuple[str, Watched], set[str]] = {}
    for group in season.by(("movement", "date")):
        movement, day = group.of
        tried.setdefault((movement, group.watched), set()).add(day)
    found = [
        Recurring(of, tuple(sorted(days)), len(tried[of.movement, of.watched]))
        for of, days in seen.items()
        if len(days) >= OFTEN
    ]
    ordered = groups(season, ("movement", "fault"))
    places = {(*one.of, one.watched): at for at, one in enumerate(ordered)}
    return tuple(sorted(found, key=lambda one: (-len(one.seen), places[one.of])))


def months(season: Asked, again: Sequence[Recurring]) -> tuple[Month, ...]:
    """Each of those faults in each month in which its movement was tried."""
    if not again:
        return ()
    missed = {
        (group.of, group.watched): group.no_reps
        for group in season.by(("movement", "fault", "month"))
        if group.rated
    }
    tried: dict[tuple[str, Watched], list[tuple[str, int]]] = {}
    for group in sorted(season.by(("movement", "month")), key=lambda one: one.of):
        if group.rated:
            movement, month = group.of
            of = tried.setdefault((movement, group.watched), [])
            of.append((month, group.attempts))
    found = []
    for one in again:
        movement, fault, watched = one.of
        for month, attempts in tried.get((movement, watched), ()):
            no_reps = missed.get(((movement, fault, month), watched), 0)
            found.append(Month(one.of, month, rate(no_reps, attempts)))
    return tuple(found)


def _worth(group: Group) -> tuple[float, int, tuple[str, ...], str, bool]:
    low = group.rate.low or 0.0
    return -low * group.athletes, -group.no_reps, group.of, group.watched, group.rated
