"""What keys mean on the lane check: no screen in here, no clock and no desk.

Digits begin a measured value; nothing else on this screen is a number.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Literal

from judgekit.core.checkentry import Check
from judgekit.core.errors import Refusal
from judgekit.core.lanecheck import answered
from judgekit.core.measuring import doubted, far_off, no_reach
from judgekit.core.quantity import parse_as
from judgekit.core.values import dataclass
from judgekit.ui.effects import Opened, Say
from judgekit.ui.keys import dead_key, latin_of
from judgekit.ui.panels import digits
from judgekit.ui.views.checkwords import unit_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.checkitems import Item
    from judgekit.core.lanecheck import LaneCheck
    from judgekit.core.state import Lane

Mode = Literal["list", "value", "words", "who"]
HEAD_JUDGE = "head judge"
# As many as there are digits but 9 and 0.
_MOST_PEOPLE = 8
_VALUE_MOST = 20
_WORDS_MOST = 120
_BARE = re.compile(r"\d+(\.\d+)?", re.ASCII)
_UNIT_SIGNS = frozenset("abcdefghijklmnopqrstuvwxyz.,")
_NONE_UNCHANGED = (
    "Nothing is unchanged since a check of this lane today: answer each by itself."
)


ALL_ANSWERED = "All answered: enter goes back to the Floor, and g starts there."


def _value(typed: str, item: Item) -> str | Say:
    """What was typed; a bare number is in the unit of what is planned.

    One that can hardly be meant so is asked about.
    """
    bare = typed.strip()
    if not _BARE.fullmatch(bare):
        return bare
    unit = unit_of(item)
    doubt = doubted(bare, unit, item.wanted)
    return Say(text=f"{doubt}.") if doubt else f"{bare} {unit}"


def _far_off(value: str, item: Item) -> Say | None:
    """What is asked of a value far from the one on file; None of any other."""
    if item.on_file is None or item.takes is None:
        return None
    try:
        measured = parse_as(value, item.takes)
    except ValueError:
        return None
    off = "" if no_reach(measured) else far_off(measured, item.on_file)
    return Say(text=f"{off}. y: that is it.") if off else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """Answers for the desk, and words about them."""

    checks: tuple[Check, ...]
    says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToFloor:
    """Back to the Floor."""


CheckEffect = Answers | ToFloor | Say | Opened


class CheckKeys:
    """The item in focus, and what is being typed about it.

    `people` may agree to what is not as planned.
    """

    def __init__(self, people: Sequence[str] = ()) -> None:
        self.focus = ""
        self.mode: Mode = "list"
        self.typed = ""
        self._sure = ""
        self.people = (HEAD_JUDGE, *people)[:_MOST_PEOPLE]

    @property
    def types(self) -> bool:
        """Whether keys go into a text, where the same one may come twice."""
        return self.mode in ("value", "words")

    def item(self, check: LaneCheck) -> Item:
        """The item in focus; the first open one where that is gone, else the first."""
        found = [item for item in check.items if item.id == self.focus]
        return (*found, *check.open, *check.items)[0]

    def press(self, key: str, sign: str, lane: Lane, check: LaneCheck) -> CheckEffect:
        """What a key does, by its name and by the sign it stands for, if any."""
        item = self.item(check)
        self.focus = item.id
        if key == "escape" and self.mode != "list":
            return self.back()
        if self.mode == "value":
            return self._value(key, item, lane, check)
        if self.mode == "words":
            return self._words(key, sign)
        if self.mode == "who":
            return self._who(key, item, lane, check)
        return self._list(latin_of(key) or key, item, lane, check)

    def refused(self, item: str) -> None:
        """A measured value missed: its item is in focus again."""
        if self.mode == "list":
            self.focus = item

    def back(self) -> Opened:
        """To the list; what was being typed is dropped."""
        self.mode, self.typed = "list", ""
        return Opened()

    # --- the list -----------------------------------------------------------------

    def _list(self, key: str, item: Item, lane: Lane, check: LaneCheck) -> CheckEffect:
        if key in ("escape", "enter"):
            return ToFloor()
        if key in ("down", "tab", "up", "backspace"):
            return self._move(check, 1 if key in ("down", "tab") else -1)
        if key == "space":
            return self._as_planned(item, lane, check)
        if key == "a":
            return self._unchanged(check)
        if key == "n":
            self.mode, self.typed = "words", ""
            return Opened()
        if key.isdecimal():
            return self._begin(key, item)
        if key in ("g", "q"):
            return Say(text=f"escape goes back to the Floor; {key} works there.")
        return Say(text=dead_key(key, "on the lane check"))

    def _as_planned(self, item: Item, lane: Lane, check: LaneCheck) -> CheckEffect:
        if not check.open:
            return Say(text=ALL_ANSWERED)
        if item.unmade:
            words = f"{item.name}: the bar cannot carry that. n says what it carries."
            return Say(text=words)
        act = Check(item=item.id, answer="as planned")
        return self._answer(act, lane, check)

    def _move(self, check: LaneCheck, by: int) -> Opened:
        ids = [item.id for item in check.items]
        self.focus = ids[(ids.index(self.focus) + by) % len(ids)]
        return Opened()

    def _begin(self, digit: str, item: Item) -> CheckEffect:
        if item.takes is None:
            words = f"{item.name}: nothing is measured there. space or n answers it."
            return Say(text=words)
        self.mode, self.typed, self._sure = "value", digit, ""
        return Opened()

    def _unchanged(self, check: LaneCheck) -> CheckEffect:
        covered = check.unchanged
        if not covered:
            return Say(text=_NONE_UNCHANGED)
        names = ", ".join(item.name for item in covered)
        acts = tuple(Check(item=item.id, answer="as planned") for item in covered)
        self._on(check, *(item.id for item in covered))
        return Answers(checks=acts, says=f"As planned, unchanged: {names}.")

    def _answer(self, act: Check, lane: Lane, check: LaneCheck) -> CheckEffect:
        made = answered(lane.plan, lane.entries, act)
        if isinstance(made, Refusal):
            return Say(text=made.says)
        self.back()
        if made.answer != "refused":
            self._on(check, act.item)
        return Answers(checks=(act,))

    def _on(self, check: LaneCheck, *answered_now: str) -> None:
        """To the next open item after the one in focus."""
        ids = [item.id for item in check.items]
        here = ids.index(self.focus)
        left = {item.id for item in check.open} - set(answered_now)
        following = (i for i in (*ids[here:], *ids[:here]) if i in left)
        self.focus = next(following, self.focus)

    # --- typing -------------------------------------------------------------------

    def _value(self, key: str, item: Item, lane: Lane, check: LaneCheck) -> CheckEffect:
        key = latin_of(key) or key
        sure, self._sure = self._sure, ""
        if key == "enter":
            return self._entered(item, lane, check)
        if key == "y" and sure:
            # A held enter answers nothing.
            act = Check(item=item.id, answer="measured", value=sure)
            return self._answer(act, lane, check)
        sign = " " if key == "space" else key
        if key == "backspace":
            self.typed = self.typed[:-1]
        elif key.isdecimal() or sign == " " or key in _UNIT_SIGNS:
            self.typed = (self.typed + sign)[:_VALUE_MOST]
        if not self.typed:
            self.mode = "list"
        return Opened()

    def _entered(self, item: Item, lane: Lane, check: LaneCheck) -> CheckEffect:
        value = _value(self.typed, item)
        if isinstance(value, Say):
            return value
        asked = _far_off(value, item)
        if asked is not None:
            self._sure = value
            return asked
        act = Check(item=item.id, answer="measured", value=value)
        return self._answer(act, lane, check)

    def _words(self, key: str, sign: str) -> CheckEffect:
        if key == "enter":
            if not self.typed.strip():
                return Say(text="Say what is not as planned; escape leaves it.")
            self.mode = "who"
        elif key == "backspace":
            self.typed = self.typed[:-1]
        elif len(sign) == 1 and sign.isprintable():
            self.typed = (self.typed + sign)[:_WORDS_MOST]
        return Opened()

    def _who(self, key: str, item: Item, lane: Lane, check: LaneCheck) -> CheckEffect:
        by = None
        if key in ("space", "enter"):
            by = ""
        elif key.isdecimal() and 1 <= int(key) <= len(self.people):
            by = self.people[int(key) - 1]
        if by is None:
            return Say(
                text=f"Press {digits(len(self.people))}: who agreed. space: nobody yet."
            )
        why = self.typed.strip()
        act = Check(item=item.id, answer="not as planned", why=why, by=by)
        return self._answer(act, lane, check)
