"""Pads for a finger: what each means is a key's, and what it says is short.

A pad never moves while work goes on: what changes with the moment are its words. Good
rep lies below, where the thumb is; STOP is at the far edge, a widget of its own.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from judgekit.core.values import dataclass
from judgekit.ui.actions import LANE_PAD, STOP_PAD
from judgekit.ui.disputekeys import ABOUT
from judgekit.ui.panels import Menu, Typing, Writing

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from judgekit.ui.disputekeys import Step
    from judgekit.ui.views.floor import CallRow, FloorView
    from judgekit.ui.widgets.laying import Over

PadKind = Literal["good", "call", "plain", "ask", "stop", "none"]
# What turns to other pads and is no key: more of them, and back.
MORE, LESS, DIGITS = "pads more", "pads less", "pads digits"

THUMB_ROWS, SMALL_ROWS = 3, 3
ACROSS = 3
GOOD_ROWS = 6
_LANES_ACROSS = 6
# What the hint says of `enter` where sets are reported.
_SET_DONE = "set done"
_LETTERS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
# A name has these between its letters, too.
_NAME_LETTERS = (*_LETTERS[:-1], f"{_LETTERS[-1]}-'")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pad:
    """One pad: the key that it presses, and its words, a line each."""

    key: str
    says: tuple[str, ...]
    kind: PadKind = "plain"


@dataclass(frozen=True, slots=True, kw_only=True)
class PadRow:
    """Pads side by side; `rows` high, or with a share of what is left if that is 0."""

    pads: tuple[Pad, ...]
    rows: int = 0


Board = tuple[PadRow, ...]

STOP_BOARD: Board = (PadRow(pads=(Pad(key=STOP_PAD, says=("STOP",), kind="stop"),)),)
NONE = Pad(key="", says=(), kind="none")
NO_REP = Pad(key="n", says=("NO REP", "why next"), kind="call")
_TAKE_BACK = Pad(key="backspace", says=("TAKE", "BACK"))
CLOSE = Pad(key="escape", says=("CLOSE",))
_SET_BEFORE = Pad(key="b", says=("SET", "before"))
ENTER = Pad(key="enter", says=("ENTER",), kind="ask")
_ONE_LESS = Pad(key="backspace", says=("DEL",))
_NO_DIGITS = Pad(key=LESS, says=("CLOSE",))
_LESS_PAD = Pad(key=LESS, says=("LESS",))
_SEASON: tuple[tuple[str, str], ...] = (
    ("u", "count again"),
    ("m", "move on"),
    ("b", "back a set"),
    ("f", "freeze all"),
    ("l", "the log"),
    ("w", "who, more"),
    ("enter", "type number"),
    ("+", "many at once"),
    ("*", "look"),
    ("?", "all keys"),
    ("q", "close desk"),
)


def floor_board(
    view: FloorView,
    calls: Sequence[CallRow],
    over: Over,
    page: str,
    *,
    asks: bool,
) -> Board:
    """The Floor's pads. `asks`: a question stands that YES answers."""
    asked = panel_board(view, over)
    if asked:
        return asked
    upper = upper_board(calls, over, page)
    return (*upper, *thumb(view, page, asks=asks))


def panel_board(view: FloorView, over: Over) -> Board:
    """The pads of a panel that asks for a choice, a number or a name; else none.

    Below the emergency box, which is as bright as what asks, choices are dark.
    """
    panel = over.panel
    if isinstance(panel, Menu):
        chosen = [choice.says for choice in panel.choices]
        kind: PadKind = "plain" if over.box is not None else "ask"
        return (*choices(chosen, kind), _small_row(view, CLOSE, _TAKE_BACK))
    if isinstance(panel, Typing):
        first = NONE if not panel.typed else digit("0")
        point = panel.what in ("measure", "load")
        before = (_SET_BEFORE,) if panel.what == "report" else ()
        small = _small_row(view, CLOSE, *before, ENTER)
        return (*_digits(first, point=point), small)
    if isinstance(panel, Writing):
        return names(panel.typed)
    return ()


def upper_board(
    calls: Sequence[CallRow], over: Over, page: str, further: Sequence[Pad] = ()
) -> Board:
    """The calls, or what is seldom needed, or what closes that which is read.

    `further` is seldom needed, too.
    """
    if over.panel is not None or over.box is not None:
        return (PadRow(pads=(CLOSE,)),)
    return _seldom(further) if page == MORE else _calls(calls)


def _calls(calls: Sequence[CallRow]) -> Board:
    """Each call in its own place, for as long as the movement is the same."""
    pads = [Pad(key=row.key, says=(row.call,), kind="call") for row in calls]
    return grid((*pads, NO_REP), ACROSS)


def _seldom(further: Sequence[Pad]) -> Board:
    pads = (Pad(key=key, says=(says,)) for key, says in _SEASON)
    return grid((*pads, *further), ACROSS)


def grid(pads: Iterable[Pad], across: int) -> Board:
    """Pads in rows of so many, the last one filled up with none."""
    given = tuple(pads)
    rows = (given[at : at + across] for at in range(0, len(given), across))
    return tuple(PadRow(pads=(*row, *(NONE,) * (across - len(row)))) for row in rows)


def thumb(view: FloorView, page: str, *, asks: bool) -> Board:
    """What a thumb finds without looking: the two lowest rows."""
    return thumb_row(view, page, asks=asks), PadRow(pads=(_good(view),), rows=GOOD_ROWS)


def thumb_row(view: FloorView, page: str, *, asks: bool) -> PadRow:
    """What is needed often, beside good rep."""
    turn = _LESS_PAD if page == MORE else Pad(key=MORE, says=("MORE",))
    first = _TAKE_BACK
    if view.phase == "before go":
        first = Pad(key="g", says=("GO",), kind="plain" if asks else "ask")
    pads = (first, _of_the_moment(view), _answer(view, asks=asks), turn)
    return PadRow(pads=pads, rows=THUMB_ROWS)


def _answer(view: FloorView, *, asks: bool) -> Pad:
    """YES, or what is of more use while nobody asks."""
    if view.phase == "stopped":
        return Pad(key="w", says=("LET", "go on"))
    if _hinted(view, "*") and not asks:
        return Pad(key="*", says=tuple(_hinted(view, "*").upper().split()))
    return Pad(key="y", says=("YES", "y"), kind="ask" if asks else "plain")


def _small_row(view: FloorView, *pads: Pad) -> PadRow:
    good = _good(view)
    # A set is not done by the `enter` that ends a number.
    counts = (good,) if good.key == "space" else ()
    return PadRow(pads=(*pads, *counts), rows=SMALL_ROWS)


def _good(view: FloorView) -> Pad:
    reported = _hinted(view, "enter") == _SET_DONE
    key = "enter" if reported else "space"
    says = _hinted(view, key) or "good rep"
    return Pad(key=key, says=(says.upper(),), kind="good")


def _of_the_moment(view: FloorView) -> Pad:
    """The one pad whose key changes with what is going on."""
    typed = _hinted(view, "enter")
    match view.phase:
        case "stopped":
            return Pad(key="g", says=("MISTAKE", "go on"))
        case "frozen":
            return Pad(key="f", says=("WORK", "goes on"), kind="ask")
        case "over" | "accepted" | "absent":
            return Pad(key="g", says=("SCORE", "CARD"), kind="ask")
        case _ if typed == _SET_DONE:
            return Pad(key="+", says=("HOW", "MANY"), kind="ask")
        case _ if typed:
            words = "LANE CHECK" if view.phase == "before go" else "TYPE NUMBER"
            return Pad(key="enter", says=tuple(words.split()), kind="ask")
        case _:
            return Pad(key="u", says=("COUNT", "AGAIN"))


def _hinted(view: FloorView, key: str) -> str:
    """What the Floor's hint says of a key."""
    found = (hint for hint in view.hint if hint.startswith(f"{key} "))
    return next(found, "").removeprefix(f"{key} ")


# --- numbers, letters, choices --------------------------------------------------------


def lane_pad(lane: int, who: str, kind: PadKind) -> Pad:
    """A lane's own pad: its number and the first word of who is in it."""
    number, _, name = who.partition("  ")
    first = (name or number).partition(" ")[0]
    return Pad(key=f"{LANE_PAD}{lane}", says=(str(lane), first), kind=kind)


def lane_grid(pads: Sequence[Pad]) -> Board:
    """A pad for each lane, in rows of about the same length."""
    rows = -(-len(pads) // _LANES_ACROSS)
    across = -(-len(pads) // max(1, rows))
    return tuple(replace(row, rows=SMALL_ROWS) for row in grid(pads, across))


def digit(sign: str) -> Pad:
    """The pad of one sign."""
    return Pad(key=sign, says=(sign,))


def _digits(zero: Pad, *, point: bool, back: Pad = _ONE_LESS, sign: str = ".") -> Board:
    last = (zero, digit(sign) if point else NONE, back)
    rows = [tuple(digit(sign) for sign in row) for row in ("123", "456", "789")]
    return tuple(PadRow(pads=row) for row in (*rows, last))


def choices(says: Sequence[str], kind: PadKind = "ask") -> Board:
    """Choices as a panel numbers them: in one column while they are few."""
    pads = [
        Pad(key=str(number), says=(f"{number} {words}",), kind=kind)
        for number, words in enumerate(says, 1)
    ]
    return grid(pads, 1 if len(pads) <= ACROSS else 2)


def check_board(
    mode: str, page: str, people: Sequence[str], *, measures: bool = False
) -> Board:
    """The lane check's pads, by what is being typed there.

    `measures`: the item is one that can be measured.
    """
    if mode == "words":
        return letters()
    if mode == "who":
        nobody = Pad(key="space", says=("NOBODY YET",))
        return (*choices(people), PadRow(pads=(CLOSE, nobody), rows=SMALL_ROWS))
    if mode == "value":
        last = PadRow(pads=(CLOSE, ENTER), rows=SMALL_ROWS)
        return (*_digits(digit("0"), point=True), last)
    if page == DIGITS:
        # Until a digit is typed, escape and enter would leave the lane check.
        last = PadRow(pads=(_NO_DIGITS, NONE), rows=SMALL_ROWS)
        return (*_digits(digit("0"), point=False, back=NONE), last)
    moves = (
        Pad(key="up", says=("UP",)),
        Pad(key="down", says=("DOWN",)),
        Pad(key="a", says=("ALL", "unchanged")),
        Pad(key="escape", says=("TO THE", "FLOOR")),
    )
    answers = (
        Pad(key=DIGITS, says=("MEASURED",), kind="ask" if measures else "plain"),
        Pad(key="n", says=("NOT AS", "PLANNED"), kind="call"),
    )
    planned = Pad(key="space", says=("AS PLANNED",), kind="good")
    return (
        PadRow(pads=answers),
        PadRow(pads=moves, rows=THUMB_ROWS),
        PadRow(pads=(planned,), rows=GOOD_ROWS),
    )


def names(typed: str) -> Board:
    """Letters for a name, of which every word begins with a capital one."""
    begins = not typed[-1:].isalpha()
    return letters([row.upper() if begins else row for row in _NAME_LETTERS])


def letters(signs: Sequence[str] = _LETTERS) -> Board:
    """A keyboard of our own: the tablet's would cover the screen."""
    rows = [tuple(map(digit, row)) for row in signs]
    rows[-1] = (*rows[-1], _ONE_LESS)
    space = Pad(key="space", says=("space",))
    return tuple(PadRow(pads=row) for row in (*rows, (CLOSE, space, ENTER)))


def card_board(answers: Iterable[str], rest: Iterable[str]) -> Board:
    """The scorecard's pads, from the words of its keys."""
    scroll = (Pad(key="pageup", says=("UP",)), Pad(key="pagedown", says=("DOWN",)))
    asked = [pad for words in answers if (pad := _from_words(words, "ask"))]
    others = [pad for words in rest if (pad := _from_words(words, "plain"))]
    if any(pad.key == "q" for pad in others):
        others.append(Pad(key="y", says=("YES", "y")))
    return (
        PadRow(pads=scroll, rows=THUMB_ROWS),
        *grid(asked, 2),
        PadRow(pads=tuple(others), rows=THUMB_ROWS),
    )


def code_board(keys: Iterable[str]) -> Board:
    """The pads under the code of a sheet, as few as there can be."""
    found = [pad for words in keys if (pad := _from_words(words, "plain"))]
    return (PadRow(pads=tuple(found), rows=THUMB_ROWS),)


def dispute_board(step: Step) -> Board:
    """The pads of a dispute, by what is asked: a choice, a number, or words."""
    ends = PadRow(pads=(CLOSE, ENTER), rows=SMALL_ROWS)
    others = (Pad(key="up", says=("ONE UP",)), Pad(key="down", says=("ONE DOWN",)))
    match step:
        case "about":
            pads = [Pad(key=k, says=(says,), kind="ask") for k, says in ABOUT.items()]
            return (*grid(pads, 2), PadRow(pads=(CLOSE,), rows=SMALL_ROWS))
        case "set":
            number = _digits(digit("0"), point=False)
            return (*number, PadRow(pads=others, rows=SMALL_ROWS), ends)
        case "no-rep":
            return PadRow(pads=others), ends
        case "time":
            return (*_digits(digit("0"), point=True, sign=":"), ends)
        case _:
            return letters()


def _from_words(words: str, kind: PadKind) -> Pad | None:
    """The pad of a key's words such as "1 athlete accepts"; None if they name none."""
    keys, _, says = words.partition(" ")
    key = keys.rstrip(",")
    if key != "escape" and len(key) != 1:
        return None
    return Pad(key=key, says=(says.removeprefix("y "),), kind=kind)
