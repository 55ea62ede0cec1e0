"""Pads of the head judge's view: which lane, which order, which ruling, and words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.disputing import unruled
from judgekit.ui.headkeys import CHOOSES, Asked, Chosen, Sure
from judgekit.ui.views.naming import who
from judgekit.ui.views.pads import (
    ACROSS,
    CLOSE,
    ENTER,
    SMALL_ROWS,
    Pad,
    PadRow,
    choices,
    digit,
    grid,
    lane_grid,
    lane_pad,
    letters,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.state import Lane
    from judgekit.ui.headkeys import HeadKeys
    from judgekit.ui.views.pads import Board, PadKind

# What begins the key of words that are offered as a reason.
OFFER = "pads words "
_DIGITS = "1234567890"
# What stands in the line of a ruling beside letters and digits.
_SIGNS = "+-:.,/"
# More choices than these have only their first word on their pads.
_FEW = 4
_SPACE = Pad(key="space", says=("space",))
_BOTTOM = (
    Pad(key="e", says=("EMERGENCY",), kind="stop"),
    Pad(key="tab", says=("OTHER", "HEAT")),
    Pad(key="q", says=("CLOSE", "VIEW")),
)


def head_board(keys: HeadKeys, lanes: Sequence[Lane]) -> Board:
    """The pads of the moment, by what is open."""
    match keys.open:
        case Asked() as asked:
            return _keyboard(asked)
        case Chosen() as chosen:
            return _choosing(chosen)
        case Sure():
            yes = Pad(key="y", says=("YES",), kind="ask")
            return (PadRow(pads=(Pad(key="escape", says=("NO",)), yes)),)
        case None:
            return _orders(keys, lanes)


def _orders(keys: HeadKeys, lanes: Sequence[Lane]) -> Board:
    chosen = keys.choose(lanes)
    number = f"LANE {chosen.plan.lane}" if chosen is not None else "LANE"
    disputed = chosen is not None and bool(unruled(chosen))
    at_horn = chosen is not None and bool(chosen.horn_asks)
    rows = (
        Pad(key="f", says=("FREEZE", "ALL"), kind="call"),
        Pad(key="l", says=("FREEZE", number), kind="call"),
        Pad(key="u", says=("WORK", "GOES ON")),
        Pad(key="r", says=("RULE ON", number)),
        Pad(key="d", says=("DISPUTE",), kind=_lit(disputed)),
        Pad(key="h", says=("REP AT", "THE HORN"), kind=_lit(at_horn)),
        Pad(key="x", says=("RECALL", "ALL"), kind="call"),
    )
    each = [_lane(lane, chosen=lane is chosen) for lane in lanes]
    return *lane_grid(each), *grid((*rows[:6],), ACROSS), *grid((rows[6], *_BOTTOM), 4)


def _lit(asked: bool) -> PadKind:
    return "ask" if asked else "plain"


def _lane(lane: Lane, *, chosen: bool) -> Pad:
    plan = lane.plan
    kind: PadKind = "stop" if lane.stopped else "plain"
    shown = who(plan.name, plan.show, plan.bib)
    return lane_pad(plan.lane, shown, "ask" if chosen else kind)


def _choosing(chosen: Chosen) -> Board:
    says = [words for words, _ in chosen.choices]
    last = PadRow(pads=(CLOSE,), rows=SMALL_ROWS)
    if len(says) <= _FEW:
        return *choices(says), last
    pads = (
        Pad(key=key, says=(words.partition(":")[0],), kind="ask")
        for key, words in zip(CHOOSES, says, strict=False)
    )
    return *grid(pads, ACROSS), last


def _keyboard(asked: Asked) -> Board:
    """A keyboard of our own; ready words go into the line, and `enter` says them."""
    offers = [
        Pad(key=f"{OFFER}{words}", says=(words,), kind="ask") for words in asked.offers
    ]
    return (
        *([PadRow(pads=tuple(offers), rows=SMALL_ROWS)] if offers else ()),
        PadRow(pads=tuple(map(digit, _DIGITS))),
        *letters()[:-1],
        PadRow(pads=tuple(map(digit, _SIGNS))),
        PadRow(pads=(CLOSE, _SPACE, ENTER)),
    )
