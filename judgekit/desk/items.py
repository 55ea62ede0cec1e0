"""What waits in a desk's queue: presses, and what else happens to it, in order."""

from __future__ import annotations

from judgekit.core.entry import Entry
from judgekit.core.press import Act
from judgekit.core.values import dataclass
from judgekit.desk.seat import Heat


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressed:
    """A press for a lane, and when it was made."""

    number: int
    act: Act
    boot_ms: int
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GoPressed:
    """Go: for all lanes, or for one that starts `late`; `why` with items left open."""

    boot_ms: int
    late: int | None = None
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What other desks of the heat wrote."""

    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Close:
    """The desk is closed."""

    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Swapped:
    """The athletes of two lanes change places."""

    number: int
    other: int
    boot_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Joins:
    """A lane more, of the heat as its files have it by now."""

    number: int
    heat: Heat
    boot_ms: int


Item = Pressed | GoPressed | Swapped | Joins | Heard | Close
