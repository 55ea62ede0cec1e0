"""The panel that is open: which keys it takes, and how long it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui import panels
from judgekit.ui.effects import Say
from judgekit.ui.panels import Menu, Typing, Writing
from judgekit.ui.typed import takes

if TYPE_CHECKING:
    from judgekit.ui.panels import Panel

PANEL_MS = 8000
TYPING_MS = 30_000
# A panel says so before it closes by itself.
WARNING_MS = 3000
# So long after a panel has closed by itself a digit may still be meant for it.
CLOSED_MS = 2000
# Whoever types a name looks at it less often than at a number.
NAME_CLOSED_MS = 3000
NEXT_DIGIT_MS = 1000
# Lists that are read before anything is chosen.
_SLOW = frozenset({"go", "new"})


class OpenPanel:
    """At most one panel; one that was left alone closes by itself."""

    def __init__(self) -> None:
        self.panel: Panel | None = None
        self._touched_ms = 0
        self._late_until = 0
        self._late_digits = 0
        self._named = False

    def show(self, panel: Panel | None, boot_ms: int) -> None:
        """Open a panel, or another, or none."""
        self.panel, self._touched_ms = panel, boot_ms

    def touch(self, boot_ms: int) -> None:
        """Its time begins anew; what is earlier than its last key changes nothing."""
        self._touched_ms = max(boot_ms, self._touched_ms)

    def types(self, key: str, sign: str) -> bool:
        """Whether the key goes into a text, where the same one may come twice."""
        if isinstance(self.panel, Writing):
            return key == "backspace" or writes(sign)
        typed = key.isdecimal() or key == "backspace"
        return typed and isinstance(self.panel, Typing)

    def wants(self, key: str, sign: str, opens: str | None, boot_ms: int) -> bool:
        """Whether a key, which else is the action `opens`, is for the panel.

        One that was typed on may be for a panel that has just closed.
        """
        self.lapse(boot_ms)
        panel = self.panel
        if panel is None:
            return self._is_late(key, sign, boot_ms)
        if isinstance(panel, Writing):
            return key in ("escape", "enter", "backspace") or writes(sign)
        if key == "escape" or opens == panel.opener:
            return True
        if isinstance(panel, Menu):
            return key.isdecimal() and key != "0"
        if not isinstance(panel, Typing):
            return False
        ends = key == "enter" or (key == "backspace" and bool(panel.typed))
        return ends or takes(panel, key)

    def keys(self, boot_ms: int) -> tuple[str, ...]:
        """The keys of the panel, and that it is about to close by itself."""
        if self.panel is None:
            return ()
        words = panels.keys_of(self.panel)
        left = self._left_ms(boot_ms)
        if left > WARNING_MS:
            return words
        return (f"closes in {-(-left // 1000)} s", *words)

    def lapse(self, boot_ms: int) -> bool:
        """Close a panel that was left alone; says whether it did."""
        if self.panel is None or self._left_ms(boot_ms) > 0:
            return False
        if isinstance(self.panel, Menu | Typing | Writing):
            self._named = isinstance(self.panel, Writing)
            self._late_until = boot_ms + (NAME_CLOSED_MS if self._named else CLOSED_MS)
            self._late_digits = 0
        self.panel = None
        return True

    def too_late(self, key: str, sign: str, boot_ms: int) -> Say | None:
        """A key that was meant for a panel which has just closed by itself."""
        if self.panel is not None or not self._is_late(key, sign, boot_ms):
            return None
        if not self._named:
            self._late_digits += 1
            self._late_until = max(self._late_until, boot_ms + NEXT_DIGIT_MS)
        words = f"The panel had closed: {key} did nothing."
        return Say(text=words, dead="came after the panel had closed")

    def _is_late(self, key: str, sign: str, boot_ms: int) -> bool:
        """Whether a key was meant for a number or a name that stands no more.

        A first 0 is STOP all the same, as it is while a number is typed, and each 0
        after a name.
        """
        if boot_ms >= self._late_until:
            return False
        if self._named:
            return key in ("enter", "backspace") or writes(sign)
        return key.isdecimal() and (key != "0" or bool(self._late_digits))

    def _left_ms(self, boot_ms: int) -> int:
        panel = self.panel
        if isinstance(panel, Menu) and panel.stays:
            return PANEL_MS
        slow = isinstance(panel, Typing | Writing) or (
            isinstance(panel, Menu) and panel.opener in _SLOW
        )
        limit = TYPING_MS if slow else PANEL_MS
        return self._touched_ms + limit - boot_ms


def writes(sign: str) -> bool:
    """Whether a key writes a sign into a name. 0 does not, in no script: it is STOP."""
    nought = sign.isdecimal() and int(sign) == 0
    return len(sign) == 1 and sign.isprintable() and not nought
