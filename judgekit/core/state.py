"""A lane as the log makes it: what every screen, score and report reads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Literal, NamedTuple

from judgekit.core.entry import Entry, Rule, Signer
from judgekit.core.plan import Plan, SetKey
from judgekit.core.ruling import Ref
from judgekit.core.values import dataclass
from judgekit.core.watchentry import Result

Mark = Literal[
    "early",  # made before the rest was over
    "at the horn",  # made within the thumb's lag after a horn
    "after the horn",  # made later than that
    "held",  # made while stopped or frozen
    "not counted",  # held, and the athlete was let go on
    "soon",  # sooner after the last rep than the card believes
    "changeover",  # sooner after another movement than the card believes
    "unlikely",  # more on a monitor than anybody does in that time
    "out of order",  # stamped before its predecessor
    "voided",  # by a ruling
    "restored",  # by a ruling
    "after signing",  # made after both had accepted
    "close",  # the judge said it was close
    "own",  # too soon, and a rep of its own, as the judge said
]
# With one of these a no-rep is none, or none any more.
NOT_A_NO_REP: frozenset[Mark] = frozenset({"voided", "restored", "not counted"})


class Attempt(NamedTuple):
    """A rep tried (or `n` counted at one press). `at` is on the lane's own clock.

    `counts` says whether it adds to the count; faults are empty for a good rep, and
    may be for a no-rep not yet named. `shows` is a monitor's reading, else None.
    """

    ref: Ref
    set: SetKey
    at: int
    good: bool
    n: int
    faults: tuple[str, ...]
    counts: bool
    marks: tuple[Mark, ...]
    shows: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CueGiven:
    """A cue fault seen; it never changes the count."""

    ref: Ref
    set: SetKey
    at: int
    fault: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SetSaid:
    """A set as reported: `n` units of it done in all, said at `at`."""

    ref: Ref
    set: SetKey
    at: int
    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LookMade:
    """A while in which a coach watched one set rep by rep; nothing of it counts.

    `presses` were made meanwhile. `seen` says how many attempts were watched, at least
    as many as were pressed; None while it is open, or if it never was closed.
    """

    ref: Ref
    set: SetKey
    from_ms: int
    until_ms: int | None = None
    seen: int | None = None
    presses: tuple[Attempt, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A whole result as reported, and by which entry."""

    ref: Ref
    result: Result


class NoRepsWritten(NamedTuple):
    """No-reps as they stand on paper, of a movement in its part.

    `set` is the one they were made in, or with `any_round` the movement's first.
    """

    set: SetKey
    fault: str
    n: int
    any_round: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """What paper tells beside the sets; `ref` is its newest entry.

    `reps_at` pairs the number of a rep with its time.
    """

    ref: Ref
    no_reps: tuple[NoRepsWritten, ...] = ()
    reps_at: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """The count moved by `by` in a set, by the judge or by a ruling."""

    ref: Ref
    set: SetKey
    at: int
    by: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SetDone:
    """One set as it stands: `good` of `target`, never below zero nor above.

    `first_ms` and `last_ms` are the set's first and last attempts; `done_ms` is when
    it became full, else None. `moved_on` holds why it was left short, else empty.
    `spent`: it was tried and failed, as an attempt at a load or a hold is.
    """

    key: SetKey
    target: int
    good: int
    no_reps: int
    first_ms: int | None
    last_ms: int | None
    done_ms: int | None
    moved_on: str
    spent: bool = False

    @property
    def short(self) -> int:
        """How many units are missing."""
        return self.target - self.good

    @property
    def is_open(self) -> bool:
        """Whether there is work left in it."""
        return not (self.moved_on or self.spent) and self.good < self.target


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """A planned rest reached: when it began, and when it is over.

    `round` is the round that it follows, 0 for a rest that is a part of its own.
    """

    part: int
    from_ms: int
    until_ms: int
    round: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlyWork:
    """The first rep made before a round was open, and the wait still due then."""

    part: int
    at: int
    due_ms: int
    round: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """A hold under way: in which set, since when, and by which entry."""

    ref: Ref
    set: SetKey
    from_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OnBar:
    """The load said for a round: of an attempt, what is to be lifted."""

    part: int
    round: int
    load: str
    confirmed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What was done and judged. Times are whole ms on the lane's own clock.

    `sets` holds each set touched, in the plan's order. `cursor` is the set being
    worked on, None once the last is done. `part_ends` pairs a part's number with
    the time its work was done, `pressed` with the time of the last press in it, also
    of one taken back since. `round_ends` has (part, round, time) for rounds done.
    `done_ms` is when everything was done, else None. `bars` are the loads said for
    attempts, `hold` the hold under way; `turns` say who of
    a team worked, from which time on.

    Where sets are reported, `reported` has what was said of them, `looks` what was
    watched meanwhile and `noticed` the faults seen outside of looks: those three are no
    attempts. `given` is a whole result; the sets that it tells of have no times.
    Nor have those of a lane kept on `paper`, but for the end of a round or part.
    """

    sets: tuple[SetDone, ...] = ()
    cursor: SetKey | None = None
    attempts: tuple[Attempt, ...] = ()
    cues: tuple[CueGiven, ...] = ()
    corrections: tuple[Correction, ...] = ()
    rests: tuple[Rest, ...] = ()
    early: tuple[EarlyWork, ...] = ()
    part_ends: tuple[tuple[int, int], ...] = ()
    pressed: tuple[tuple[int, int], ...] = ()
    round_ends: tuple[tuple[int, int, int], ...] = ()
    done_ms: int | None = None
    bars: tuple[OnBar, ...] = ()
    hold: Holding | None = None
    turns: tuple[tuple[int, str], ...] = ()
    reported: tuple[SetSaid, ...] = ()
    looks: tuple[LookMade, ...] = ()
    noticed: tuple[Attempt, ...] = ()
    given: Given | None = None
    paper: Paper | None = None

    def set_done(self, key: SetKey) -> SetDone | None:
        """The set as it stands, or None if untouched."""
        # The newest first: those are asked for at every press.
        return next((s for s in reversed(self.sets) if s.key == key), None)

    @property
    def good(self) -> int:
        """Units that count, all sets together."""
        return sum(s.good for s in self.sets)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A stop or freeze in force: since when, and its sign or reason.

    `sorts`: what was made before it has its place before it.
    """

    kind: Literal["stop", "freeze"]
    at: int
    why: str
    sorts: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenBack:
    """An entry taken back: by which entry, when, and whether late (5 s or one rep).

    `extra` marks a press that came too soon and was one too many.
    """

    target: Ref
    by: Ref
    at: int
    late: bool
    extra: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature:
    """A scorecard accepted, or "not signed"."""

    who: Signer
    signed: bool
    covers: tuple[Ref, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruling:
    """A ruling in force, with its entry."""

    ref: Ref
    rule: Rule
    who: str
    wall: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """One run of one lane, folded from its plan and entries.

    `work` is what the score is made of; while `holds` is not empty it is frozen at
    the first hold, and `onward` is the work as if there had been none: `held` presses
    wait there, and will not count where `dropping` is set. `over_ms` is
    when time was called. `horn_asks` names reps kept at a horn and not yet answered.
    `moved` says by how much a clock set since moves an entry's stamp, `zero_moved_ms`
    by how much it moves heat times made since the newest go; `when` takes it in.
    `closed` once both have accepted or did not sign; `accepted` is then the lane as
    it stood, kept for ever beside what rulings change (`amended`).
    """

    plan: Plan
    entries: tuple[Entry, ...] = ()
    work: Work = Work()
    onward: Work | None = None
    started: bool = False
    offset_ms: int = 0
    start_shift_ms: int = 0
    moved: Mapping[Ref, int] = field(default_factory=dict)
    zero_moved_ms: int = 0
    judge: str = ""
    holds: tuple[Hold, ...] = ()
    held: int = 0
    dropping: bool = False
    over_ms: int | None = None
    withdrawn_ms: int | None = None
    recalled: bool = False
    absent: bool = False
    taken_back: tuple[TakenBack, ...] = ()
    horn_asks: tuple[Ref, ...] = ()
    stops: tuple[Entry, ...] = ()
    rulings: tuple[Ruling, ...] = ()
    disputes: tuple[Entry, ...] = ()
    signatures: tuple[Signature, ...] = ()
    closed: bool = False
    amended: bool = False
    accepted: Lane | None = None
    flags: tuple[str, ...] = ()

    def when(self, entry: Entry) -> int | None:
        """An entry's heat time by the clock as it is set now, None before go."""
        if entry.at is None:
            return None
        return entry.at + self.moved.get(entry.ref, 0)

    @property
    def stopped(self) -> bool:
        """Whether the athlete is stopped for safety just now."""
        return any(hold.kind == "stop" for hold in self.holds)
