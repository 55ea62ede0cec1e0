"""Panels: lists and numbers that open in place on the Floor, without taking its keys.

A panel is data. Digits choose in it; space, fault letters, n and 0 go on meaning what
they always mean.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field
from typing import TYPE_CHECKING, Literal

from judgekit.core import looking
from judgekit.core.card import Card
from judgekit.core.classmates import Classmate
from judgekit.core.entry import MoveOn, Scale, Unfreeze
from judgekit.core.people import Emergency
from judgekit.core.plan import Plan, SetKey
from judgekit.core.press import Act, GoBack
from judgekit.core.values import dataclass
from judgekit.ui.actions import ACTIONS
from judgekit.ui.views.phase import judged_set

if TYPE_CHECKING:
    from judgekit.core.state import Lane

Typed = Literal[
    "reading",
    "count",
    "athlete",
    "lane",
    "wall",
    "measure",
    "load",
    "several",
    "report",
    "by stop",
    "look",
    "scale",
]
# Digits that can choose: 9 lies beside STOP, and 0 is STOP.
MOST = 8
TYPED_MOST = 6
NAME_MOST = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Submit:
    """An act for the desk, made at `boot_ms` if not at this very key."""

    act: Act
    boot_ms: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Go:
    """The countdown starts for every lane of the desk; `why` with items left open."""

    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LateGo:
    """The lane starts now, later than the others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """The athletes of two lanes change places."""

    other: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrives:
    """Somebody new is in the class; with a person, it is settled who that is."""

    mate: Classmate


@dataclass(frozen=True, slots=True, kw_only=True)
class EndAll:
    """Time for all lanes, once another key has said that it is meant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToCard:
    """To the scorecard."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToCheck:
    """To the lane check."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Older:
    """The list of entries goes on behind so many of the newest."""

    skip: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One line of a menu, and where it leads."""

    says: str
    leads: (
        Submit
        | Go
        | LateGo
        | Arrives
        | EndAll
        | ToCard
        | ToCheck
        | Menu
        | Older
        | Typing
        | Writing
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Menu:
    """Choices, at most eight; `opener` is the action that opened it.

    One that `stays` does not close by itself.
    """

    opener: str
    title: str
    choices: tuple[Choice, ...]
    stays: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Typing:
    """A number being typed; `set` is the one shown when a count began to be typed.

    What is measured is about an `item` of the lane check, in a `unit`; a load is in
    one, too. `offered` is what enter takes where nothing is typed, 0 for nothing.
    A load or a number makes a `scale` whole.
    """

    opener: str
    title: str
    what: Typed
    typed: str = ""
    set: SetKey | None = None
    item: str = ""
    unit: str = ""
    offered: int = 0
    scale: Scale | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Writing:
    """A name being typed: its letters judge nothing, and 0 is STOP."""

    opener: str
    title: str
    typed: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """Lines to read: a key and its words each."""

    opener: str
    title: str
    lines: tuple[tuple[str, str], ...]


Panel = Menu | Typing | Writing | Page

CLOSES = "escape closes"
# A 0 after another digit belongs to the number.
_TO_STOP = "escape, then 0: STOP"


def digits(many: int) -> str:
    """The digits that choose among so many, at least one."""
    return {1: "1", 2: "1 or 2"}.get(many, f"1 to {many}")


def keys_of(panel: Panel) -> tuple[str, ...]:
    """The keys of a panel in a few words each."""
    match panel:
        case Menu(choices=choices):
            chosen = f"press {digits(len(choices))}"
            return (chosen, CLOSES) if choices else (CLOSES,)
        case Typing(what="report", typed=typed):
            return ("digits, enter", "b the set before", _TO_STOP if typed else CLOSES)
        case Typing(typed=typed):
            return ("digits, then enter", _TO_STOP if typed else CLOSES)
        case Writing():
            return ("letters, then enter", CLOSES)
        case _:
            return (CLOSES,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """Who may be named on the Floor: athletes by number, judges by id; whom to call.

    Where one `joins`, somebody new can be taken in; `unsure` has by each name that was
    typed who of several may be meant, until one of them is chosen. `written` are the
    cards that a lane's workout names. `stopped` says how many days ago who was
    stopped last.
    """

    athletes: Mapping[str, str] = field(default_factory=dict)
    judges: Mapping[str, str] = field(default_factory=dict)
    emergency: Emergency = Emergency()
    joins: bool = False
    unsure: Mapping[str, tuple[Classmate, ...]] = field(default_factory=dict)
    written: Callable[[Plan], tuple[Card, ...]] = lambda _plan: ()
    stopped: Mapping[str, int] = field(default_factory=dict)

    def bib(self, typed: str) -> str | None:
        """The athlete's number that was typed; leading zeros may be left out."""
        if typed in self.athletes:
            return typed
        same = [bib for bib in self.athletes if bib.lstrip("0") == typed.lstrip("0")]
        return same[0] if len(same) == 1 else None


# Keys that share a line of the list, so that the cues find room below them.
_PAIRS = {
    "move-on": ("m b", "move on; back a set"),
    "freeze": ("f l", "freeze all; the log"),
    "no-rep": ("letters n", "no rep; n: why next"),
    "reading": ("enter +", "check, monitor; +10"),
    "more": ("w *", "who, more; a look"),
}
_OF_REPORTED = {
    "good": ("space", "seen good, in a look"),
    "reading": ("enter +", "set done; how many"),
}
_PAIRED = frozenset({"keys", "back-to", "log", "several", "look"})


def keys_page(
    lane: Lane, at: int | None, first: tuple[tuple[str, str], ...] = ()
) -> Page:
    """Every key of the Floor, and the cues of the movement that is judged now."""
    words = _PAIRS | (_OF_REPORTED if lane.plan.watching == "reported" else {})
    lines = [
        words.get(known.name, (known.key, known.short))
        for known in ACTIONS
        if known.name not in _PAIRED
    ]
    if lane.plan.cues == "on":
        card = lane.plan.card_of(judged_set(lane, at))
        cues = [fault for fault in card.faults if fault.weight == "cue"]
        lines[2:2] = [(fault.key, f"{fault.call} cue") for fault in cues]
    return Page(opener="keys", title="KEYS", lines=(*first, *lines))


def move_on_menu() -> Menu:
    """Why the set is left short."""
    words = (
        "cannot do this movement",
        "pain or injury",
        "equipment failed",
        "head judge says so",
    )
    choices = tuple(
        Choice(says=why, leads=Submit(act=MoveOn(why=why))) for why in words
    )
    return Menu(opener="move-on", title="MOVE ON, why?", choices=choices)


def back_menu(lane: Lane, at: int | None) -> Menu:
    """Why work goes back: to the first set that is short, else to the one before."""
    short = looking.left_short(lane, at or 0)
    title, to = "BACK A SET, why?", None
    if short is not None:
        to = short.key
        title = f"BACK TO {lane.plan.card_of(to).name.upper()}, why?"
    words = (
        "reps are missing there",
        "moved on by mistake",
        "head judge says so",
    )
    choices = tuple(
        Choice(says=why, leads=Submit(act=GoBack(why=why, to=to))) for why in words
    )
    return Menu(opener="back-to", title=title, choices=choices)


def unfreeze_menu(lane: Lane) -> Menu:
    """How a freeze ends."""
    return Menu(
        opener="freeze",
        title=f"FROZEN, {lane.held} held",
        choices=(
            Choice(
                says="by mistake: they count",
                leads=Submit(act=Unfreeze(by_mistake=True)),
            ),
            Choice(
                says="work goes on: they do not",
                leads=Submit(act=Unfreeze(by_mistake=False)),
            ),
        ),
    )
