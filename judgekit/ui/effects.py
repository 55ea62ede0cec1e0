"""What a key comes to: an act for the desk, words for the judge, or a panel."""

from __future__ import annotations

from judgekit.core.values import dataclass
from judgekit.ui.panels import Arrives, Go, LateGo, Submit, Swap, ToCard, ToCheck


@dataclass(frozen=True, slots=True, kw_only=True)
class Say:
    """Words for the judge; nothing was judged. They stand `for_ms`, 0 for as ever.

    `dead` is why the key does nothing here, for the log; empty where it did something.
    """

    text: str
    for_ms: int = 0
    dead: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What a key would do, in large words; `big` are the lines.

    It stands `for_ms`, or until the next key if that is 0.
    """

    big: tuple[str, ...]
    says: str
    for_ms: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Leave:
    """Close the desk."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A panel was opened, changed or closed."""


Effect = (
    Submit
    | LateGo
    | Swap
    | Go
    | Arrives
    | Say
    | Trial
    | Leave
    | ToCard
    | ToCheck
    | Opened
)
