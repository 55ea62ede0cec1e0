"""What a desk tells whoever listens, from its own thread."""

from __future__ import annotations

from judgekit.core.entry import Entry
from judgekit.core.state import Lane
from judgekit.core.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Entries just made durable, and the lane after them."""

    lane: int
    state: Lane
    entries: tuple[Entry, ...]
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A press that changed nothing, and why."""

    lane: int
    says: str
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsaved:
    """An append failed: presses wait in order, and it is tried again each second."""

    waiting: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Slow:
    """The disk has not answered for `ms`, and presses wait in order."""

    waiting: int
    ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """Every press that waited is durable."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Started:
    """Go is known; zero on the boot clock lies up to ten seconds ahead."""

    zero_boot_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """The desk has one more lane; what is judged there is told from now on."""

    lane: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """Another desk has taken the lane over; this one counts no more."""

    lane: int
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Anything else worth a line."""

    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """So much of the log is read that a desk is opened with."""

    percent: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """The log is read: the desk is there, or was refused."""


News = (
    Judged
    | Refused
    | Unsaved
    | Slow
    | Saved
    | Started
    | Joined
    | Lost
    | Told
    | Reading
    | Ready
)
