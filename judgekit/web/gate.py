"""Who may open what: the link's token, visitors who showed it, a PIN for each desk.

Neither a clock nor a socket in here: times come in with the question.
"""

from __future__ import annotations

import secrets
from collections import OrderedDict
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

_PIN_DIGITS = 4
# Wrong PINs in a row before a desk takes none for a while.
MOST_TRIES = 5
LOCKED_S = 60.0
# Phones that lost their cookie come again as others; the oldest make room.
_MOST_VISITORS = 500


def new_pin() -> str:
    """Four digits that nobody can guess from others."""
    return f"{secrets.randbelow(10**_PIN_DIGITS):0{_PIN_DIGITS}}"


def new_pins(keys: Iterable[str], taken: Iterable[str] = ()) -> dict[str, str]:
    """A PIN for each key, none alike or taken: a mistaken desk must not open."""
    there = set(taken)
    found: dict[str, str] = {}
    for key in keys:
        pin = new_pin()
        while pin in there:
            pin = new_pin()
        found[key] = pin
        there.add(pin)
    return found


@dataclass(slots=True)
class _Tries:
    """Wrong PINs of one desk in a row, and until when it takes none."""

    wrong: int = 0
    locked_until: float = 0.0


class Gate:
    """Remembers who came with the link's token, and which PINs they knew."""

    def __init__(self, token: str, pins: dict[str, str]) -> None:
        self._token = token
        self._pins = pins
        self._visitors: OrderedDict[str, set[str]] = OrderedDict()
        self._tries = {key: _Tries() for key in pins}

    def learn(self, keys: Iterable[str]) -> dict[str, str]:
        """PINs for those keys that have none yet."""
        more = [key for key in dict.fromkeys(keys) if key not in self._pins]
        made = new_pins(more, self._pins.values())
        self._pins.update(made)
        self._tries.update({key: _Tries() for key in made})
        return made

    def enter(self, token: str) -> str:
        """A new visitor's secret name; empty if that is not the link's token."""
        if not secrets.compare_digest(token.encode(), self._token.encode()):
            return ""
        visitor = secrets.token_urlsafe(24)
        self._visitors[visitor] = set()
        while len(self._visitors) > _MOST_VISITORS:
            self._visitors.popitem(last=False)
        return visitor

    def knows(self, visitor: str) -> bool:
        """Whether the visitor came with the link."""
        return visitor in self._visitors

    def may_open(self, visitor: str, key: str) -> bool:
        """Whether the visitor has shown that PIN; an empty key needs none."""
        if visitor not in self._visitors:
            return False
        return not key or key in self._visitors[visitor]

    def locked_s(self, key: str, now: float) -> float:
        """For how long no PIN is taken there any more."""
        tries = self._tries.get(key)
        return 0.0 if tries is None else max(0.0, tries.locked_until - now)

    def try_pin(self, visitor: str, key: str, pin: str, now: float) -> bool:
        """Whether the PIN is right; too many wrong ones lock the desk for a while."""
        tries = self._tries.get(key)
        if tries is None or not self.knows(visitor) or self.locked_s(key, now):
            return False
        if secrets.compare_digest(pin.encode(), self._pins[key].encode()):
            tries.wrong = 0
            self._visitors[visitor].add(key)
            return True
        tries.wrong += 1
        if tries.wrong >= MOST_TRIES:
            tries.wrong, tries.locked_until = 0, now + LOCKED_S
        return False
