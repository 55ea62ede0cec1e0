"""Entries: what happened, one at a time, never changed afterwards.

The `kind` of each body is our own word and part of the stored format; renaming a
class renames nothing on disk.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.paperentry import OfPaper
from judgekit.core.plan import SetKey
from judgekit.core.ruling import Effect, Ref
from judgekit.core.timeentry import ClassOver as ClassOver  # noqa: PLC0414 - one of the kinds here
from judgekit.core.timeentry import Time as Time  # noqa: PLC0414 - likewise
from judgekit.core.tryentry import Bar, HoldOff, HoldOn, Works
from judgekit.core.values import dataclass
from judgekit.core.watchentry import Look, LookEnd, Result, SetReported

Signer = Literal["athlete", "judge"]
Source = Literal["live", "transcribed", "second", "practice"]


# --- of a lane -------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Rep:
    """`n` good reps at one press."""

    kind: ClassVar[str] = "rep"
    n: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class NoRep:
    """A rep tried that does not count; `faults` may still be empty."""

    kind: ClassVar[str] = "no-rep"
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NameFault:
    """One more reason for an earlier no-rep."""

    kind: ClassVar[str] = "name-fault"
    target: Ref
    fault: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """A fault that never changes the count."""

    kind: ClassVar[str] = "cue"
    fault: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What the monitor or clock shows in this set, in the set's unit.

    It goes up; a lower one than before has its reason in `why`.
    """

    kind: ClassVar[str] = "reading"
    shows: int
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """STOP: the score is frozen at once; a second one while stopped names the sign."""

    kind: ClassVar[str] = "stop"
    sign: str = ""
    copies: Ref | None = None
    sorts: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class GoOn:
    """After STOP: by mistake (held presses count), or let go on by someone."""

    kind: ClassVar[str] = "go-on"
    by_mistake: bool
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeBack:
    """Takes back one earlier entry; the log keeps both."""

    kind: ClassVar[str] = "take-back"
    target: Ref


@dataclass(frozen=True, slots=True, kw_only=True)
class PutBack:
    """Counts an entry again that was taken back."""

    kind: ClassVar[str] = "put-back"
    target: Ref


@dataclass(frozen=True, slots=True, kw_only=True)
class Extra:
    """Whether a press that came too soon was one too many; then it is taken off."""

    kind: ClassVar[str] = "extra"
    target: Ref
    one_too_many: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Correct:
    """The count moved by `by` after a miscount, with what was said aloud."""

    kind: ClassVar[str] = "correct"
    by: int
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveOn:
    """The set is left short, and why."""

    kind: ClassVar[str] = "move-on"
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BackTo:
    """Back to an earlier set (the entry's own), and why."""

    kind: ClassVar[str] = "back-to"
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseCall:
    """The judgement before this one was close."""

    kind: ClassVar[str] = "close-call"
    target: Ref


@dataclass(frozen=True, slots=True, kw_only=True)
class Horn:
    """Whether the rep kept at the horn was finished in time."""

    kind: ClassVar[str] = "horn"
    target: Ref
    counts: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdraw:
    """The athlete leaves the heat."""

    kind: ClassVar[str] = "withdraw"
    why: str = ""


# --- of the heat -----------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Go:
    """The start. One for all lanes; with a lane of its own, a late starter's.

    `boot` and `boot_ms` name the machine's boot and its clock at heat time zero,
    `zero_ms` is the wall clock there (UTC, ms since 1970). `offset_ms` is how much
    later the lane starts. `plans` pairs each lane with the hash of its sealed plan.
    """

    kind: ClassVar[str] = "go"
    boot: str
    boot_ms: int
    zero_ms: int
    plans: tuple[tuple[int, str], ...] = ()
    offset_ms: int = 0
    copies: Ref | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Recall:
    """False start: everybody back; what follows is a new run."""

    kind: ClassVar[str] = "recall"
    why: str = ""
    copies: Ref | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Freeze:
    """The count is held for all lanes of the desk; the clock runs on."""

    kind: ClassVar[str] = "freeze"
    why: str = ""
    copies: Ref | None = None
    sorts: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfreeze:
    """Work goes on; presses held by a mistaken freeze count."""

    kind: ClassVar[str] = "unfreeze"
    by_mistake: bool
    copies: Ref | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WallSet:
    """What the hall's own clock showed at this moment: the heat's clock is set by it.

    The moment is the entry's `at`, on the clock as it stood; `boot` and `boot_ms` say
    when it was on the machine's own clock. Every heat time since the newest go before
    it moves with it, and so does zero; what is stamped later is stamped by the new
    zero. A return in another boot writes a go, so nothing from before a gap moves.
    """

    kind: ClassVar[str] = "wall-set"
    shows_ms: int
    boot: str = ""
    boot_ms: int = 0
    copies: Ref | None = None


# --- of the day ------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """Opens a run of the lane, or carries one on.

    `covers` names, for each earlier book of the run, the last number taken over; a
    claim that covers nothing starts a new run, and `why` says why. One for "practice"
    opens none: nothing of its book is anybody's score.
    """

    kind: ClassVar[str] = "claim"
    judge: str
    why: str = ""
    covers: tuple[Ref, ...] = ()
    source: Source = "live"


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """What this athlete does instead today: empty fields stay as written.

    Once go was given, `plan` is the hash of the plan resolved anew.
    """

    kind: ClassVar[str] = "scale"
    card: str
    substitute: str = ""
    reps: int = 0
    load: str = ""
    height: str = ""
    why: str = ""
    plan: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Is:
    """The lane has another athlete than the heat list says.

    Once go was given, `plan` is the hash of the plan resolved anew.
    """

    kind: ClassVar[str] = "is"
    bib: str
    plan: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Absent:
    """The athlete of this lane is not here; `absent` False takes it back."""

    kind: ClassVar[str] = "absent"
    absent: bool = True


# --- official --------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Accept:
    """Athlete or judge accepts the scorecard, or is "not signed".

    `covers` names the last number of each book that the scorecard was read from.
    """

    kind: ClassVar[str] = "accept"
    who: Signer
    signed: bool
    covers: tuple[Ref, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Dispute:
    """A question put to the head judge.

    `claims` is the ruling asked for, `target` the entry in question, `evidence` what
    speaks for it (a moment of a video, a witness), `by` who asks.
    """

    kind: ClassVar[str] = "dispute"
    about: str
    by: str = ""
    claims: Effect | None = None
    target: Ref | None = None
    evidence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A head judge's ruling: exactly one effect, and always why.

    `answers` names the disputes that it ends; None is a ruling from before rulings said
    so, which ends every dispute made before it.
    """

    kind: ClassVar[str] = "rule"
    effect: Effect
    why: str
    answers: tuple[Ref, ...] | None = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Words kept with the lane."""

    kind: ClassVar[str] = "note"
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowedUp:
    """Somebody spoke with the athlete after a stop or a risky volume.

    `on` is the day, as YYYY-MM-DD; `bib` is the member's, where a team stood in the
    lane; `text` is for the coach and on no scorecard.
    """

    kind: ClassVar[str] = "followed-up"
    on: str
    bib: str = ""
    text: str = ""


# --- odd things ------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """A desk opened or closed the book, where, and in which process."""

    kind: ClassVar[str] = "session"
    start: bool
    host: str = ""
    process: int = 0
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Early:
    """A rep pressed before zero: kept, never counted."""

    kind: ClassVar[str] = "early"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ignored:
    """Presses that were kept but do nothing, a run of them in one entry."""

    kind: ClassVar[str] = "ignored"
    why: str
    key: str
    first_ms: int
    last_ms: int
    many: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """The desk was away, or came back in another boot: `off_ms` is how far off."""

    kind: ClassVar[str] = "gap"
    off_ms: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockJump:
    """The wall clock moved by `by_ms` against the clock that counts the heat."""

    kind: ClassVar[str] = "clock-jump"
    by_ms: int


# What the athlete did: held back by a stop, taken back by the judge, and counting no
# more once both have signed.
Trying = Bar | HoldOn | HoldOff
OfWatch = SetReported | Look | LookEnd | Result
Counting = Rep | NoRep | Reading | Correct | Cue | Trying | OfWatch | OfPaper
Steering = NameFault | MoveOn | BackTo | CloseCall | Horn | Withdraw | Works
Judged = Counting | Steering
OfHeat = Go | Recall | Freeze | Unfreeze | Time | ClassOver | WallSet | Stop | GoOn
OfDay = Claim | Scale | Is | Absent | Check | Unchecked
Official = Accept | Dispute | Rule | Note | FollowedUp
Undoing = TakeBack | PutBack | Extra
Odd = Session | Early | Ignored | Gap | ClockJump
Body = Judged | OfHeat | OfDay | Official | Undoing | Odd


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of the log.

    `lane` is None for an entry about all lanes of the heat. `at` is heat time in
    whole ms, None before go; `wall` is UTC in ms since 1970. `set` stands on lane
    entries that judge, decided when pressed and never moved.
    """

    book: str
    number: int
    lane: int | None
    at: int | None
    wall: int
    who: str
    set: SetKey | None
    body: Body

    @property
    def ref(self) -> Ref:
        """The entry, named."""
        # At each entry of each fold, and this is half as dear as Ref(...).
        return tuple.__new__(Ref, (self.book, self.number))
