"""Panels: lists and numbers that open in place on the Floor, without taking its keys.

A panel is data. Digits choose in it; space, fault letters, n and 0 go on meaning what
they always mean.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import TYPE_CHECKING, Literal

from judgekit.core import looking
from judgekit.core.checkitems import items
from judgekit.core.entry import (
    Absent,
    Claim,
    GoOn,
    MoveOn,
    Recall,
    Unfreeze,
    WallSet,
    Withdraw,
)
from judgekit.core.lanecheck import checks_in
from judgekit.core.people import Emergency
from judgekit.core.plan import SetKey
from judgekit.core.press import Act, GoBack, WasClose
from judgekit.core.quantity import show_time
from judgekit.core.values import dataclass
from judgekit.ui.actions import ACTIONS
from judgekit.ui.views.phase import judged_set, shown_set

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
]
# Digits that can choose: 9 lies beside STOP, and 0 is STOP.
MOST = 8
_SIXTIETHS = 59
TYPED_MOST = 6


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
    leads: Submit | Go | LateGo | ToCard | ToCheck | Menu | Older | Typing


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
    """

    opener: str
    title: str
    what: Typed
    typed: str = ""
    set: SetKey | None = None
    item: str = ""
    unit: str = ""
    offered: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """Lines to read: a key and its words each."""

    opener: str
    title: str
    lines: tuple[tuple[str, str], ...]


Panel = Menu | Typing | Page

CLOSES = "escape closes"


def digits(many: int) -> str:
    """The digits that choose among so many, at least one."""
    return {1: "1", 2: "1 or 2"}.get(many, f"1 to {many}")


def keys_of(panel: Panel) -> tuple[str, ...]:
    """The keys of a panel in a few words each."""
    match panel:
        case Menu(choices=choices):
            chosen = f"press {digits(len(choices))}"
            return (chosen, CLOSES) if choices else (CLOSES,)
        case Typing(what="report"):
            return ("digits, enter", "b the set before", CLOSES)
        case Typing():
            return ("digits, then enter", CLOSES)
        case _:
            return (CLOSES,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """Who may be named on the Floor: athletes by number, judges by id; whom to call."""

    athletes: Mapping[str, str] = field(default_factory=dict)
    judges: Mapping[str, str] = field(default_factory=dict)
    emergency: Emergency = Emergency()

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


def stopped_menu(lane: Lane) -> Menu:
    """What may follow a STOP that was no mistake."""
    people = ("head judge", "first aid", "the athlete's coach")
    let_go = [
        Choice(says=f"let go on by {who}", leads=Submit(act=_let_go(who)))
        for who in people
    ]
    return Menu(
        opener="more",
        title=f"STOPPED, {lane.held} held do not count",
        choices=(
            *let_go,
            Choice(says="athlete withdraws", leads=_withdraw_menu()),
            Choice(says="scorecard", leads=ToCard()),
        ),
    )


def _let_go(who: str) -> GoOn:
    return GoOn(by_mistake=False, by=who)


def _withdraw_menu() -> Menu:
    reasons = ("pain or injury", "own choice", "equipment failed")
    return Menu(
        opener="more",
        title="WITHDRAWS, why?",
        choices=tuple(
            Choice(says=why, leads=Submit(act=Withdraw(why=why))) for why in reasons
        ),
    )


def more_menu(lane: Lane, known: Known, at: int | None) -> Menu:
    """What is seldom needed: before go about the day, then about the work too.

    A closed scorecard takes none of it.
    """
    if lane.closed:
        card = Choice(says="scorecard", leads=ToCard())
        return Menu(opener="more", title="CLOSED: nothing changes", choices=(card,))
    again = measure_again(lane) if lane.started and not lane.absent else None
    # The list is full: where there is a thing to measure, absence goes one level down.
    athlete = _athlete() if again is None else _athlete(_absent(lane))
    day = [_judges(lane, known), athlete, again or _absent(lane)]
    choices = [c for c in day if c is not None]
    if lane.started:
        choices = [*_work_choices(lane, at), *choices, *_start_choices()]
    return Menu(opener="more", title="MORE", choices=tuple(choices))


def _work_choices(lane: Lane, at: int | None) -> list[Choice]:
    said = Typing(
        opener="more",
        title="Count you called in this set",
        what="count",
        set=shown_set(lane, at),
    )
    return [
        Choice(says="that was close", leads=Submit(act=WasClose())),
        Choice(says="correct the count", leads=said),
        Choice(says="athlete withdraws", leads=_withdraw_menu()),
    ]


def _start_choices() -> list[Choice]:
    sure = Menu(
        opener="more",
        title="RECALL all lanes?",
        choices=(
            Choice(
                says="false start: everybody back",
                leads=Submit(act=Recall(why="false start")),
            ),
        ),
    )
    wall = Typing(opener="more", title="WALL CLOCK, 130 is 1:30", what="wall")
    clock = Menu(
        opener="more",
        title="LATE START, CLOCK",
        choices=(
            Choice(says="this lane starts now", leads=LateGo()),
            Choice(says="the wall clock shows ..", leads=wall),
        ),
    )
    return [
        Choice(says="recall the start", leads=sure),
        Choice(says="late start, clock", leads=clock),
    ]


def wall_ms(typed: str) -> int | None:
    """A clock's figures as typed, in ms: "130" is 1:30, "11503" 1:15:03.

    None if it is no time.
    """
    hours, seconds = int(typed[:-4] or 0), int(typed[-2:])
    minutes = int(typed[-4:-2] or 0)
    if seconds > _SIXTIETHS or (hours and minutes > _SIXTIETHS):
        return None
    return ((hours * 60 + minutes) * 60 + seconds) * 1000


def far_off_menu(shows_ms: int, heat_ms: int, boot_ms: int) -> Menu:
    """Whether a wall clock that is far from this one was read right."""
    act = Submit(act=WallSet(shows_ms=shows_ms), boot_ms=boot_ms)
    says = f"yes, the wall shows {show_time(shows_ms)}"
    return Menu(
        opener="more",
        title=f"THE CLOCK HERE SHOWS {show_time(max(0, heat_ms))}. Sure?",
        choices=(Choice(says=says, leads=act),),
    )


def _judges(lane: Lane, known: Known) -> Choice | None:
    if not known.judges:
        return None
    covers = looking.read_up_to(lane)
    people = tuple(known.judges.items())[:MOST]
    menu = Menu(
        opener="more",
        title="WHO JUDGES?",
        choices=tuple(
            Choice(says=name, leads=Submit(act=Claim(judge=who, covers=covers)))
            for who, name in people
        ),
    )
    return Choice(says="who judges", leads=menu)


def _athlete(*more: Choice) -> Choice:
    typing = Typing(opener="more", title="Athlete's number", what="athlete")
    swap = Typing(opener="more", title="Swap with lane", what="lane")
    menu = Menu(
        opener="more",
        title="OTHER ATHLETE HERE",
        choices=(
            Choice(says="type the number", leads=typing),
            Choice(says="swap with another lane", leads=swap),
            *more,
        ),
    )
    return Choice(
        says="other athlete, absent" if more else "other athlete here", leads=menu
    )


def measure_again(lane: Lane) -> Choice | None:
    """What of the lane can be measured in mid-heat, None where nothing can."""
    known = items(lane.plan, checks_in(lane.entries))
    choices = tuple(
        Choice(
            says=f"{item.name}, {item.planned}",
            leads=Typing(
                opener="more",
                title=f"{item.name}, in {unit}",
                what="measure",
                item=item.id,
                unit=unit,
            ),
        )
        for item in known
        if item.wanted is not None
        for unit in [_unit(item.wanted.markings[0].unit)]
    )
    if not choices:
        return None
    menu = Menu(opener="more", title="MEASURE AGAIN", choices=choices[:MOST])
    return Choice(says="measure again", leads=menu)


def _unit(written: str) -> str:
    """The unit in which a number alone is typed: feet have too few figures."""
    return "in" if written == "ft" else written


def _absent(lane: Lane) -> Choice:
    says = "here after all" if lane.absent else "athlete is absent"
    return Choice(says=says, leads=Submit(act=Absent(absent=not lane.absent)))
