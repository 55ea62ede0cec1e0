"""One name for each key, whatever the terminal calls it, and the held-key filter.

No clock in here: times come in with the presses, whole ms on the boot clock.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, replace

# Presses closer than this were read from the terminal in one go: no key repeats that
# fast, so they are taps that a slow line delivered together.
ONE_READ_MS = 5

_LOCKS = frozenset({"caps_lock", "num_lock", "scroll_lock"})
_MODIFIERS = ("shift", "control", "alt", "super", "hyper", "meta")
_SAME = {
    "ctrl+@": "space",
    "ctrl+at": "space",
    "ctrl+space": "space",
    "ctrl+h": "backspace",
    "ctrl+m": "enter",
    "ctrl+j": "enter",
    "newline": "enter",
    "return": "enter",
    "ctrl+i": "tab",
    "add": "+",
    "plus": "+",
    "subtract": "-",
    "minus": "-",
    "multiply": "*",
    "divide": "/",
    "slash": "/",
    "decimal": ".",
    "separator": ",",
    "equal": "=",
    "at": "@",
}
_HARMLESS = frozenset({"shift", "alt"})


def name_of(key: str, character: str | None = None) -> str | None:
    """The one name of a key press, or None where only a modifier was pressed.

    Letters are folded, so Caps Lock and Shift change nothing; Alt is what a quick
    Escape before a letter looks like, so it changes nothing either.
    """
    if _is_modifier(key):
        return None
    if key in _SAME:
        return _SAME[key]
    *modifiers, base = key.split("+") if len(key) > 1 else (key,)
    if not set(modifiers) <= _HARMLESS:
        return key.lower()
    if base in _SAME:
        return _SAME[base]
    if character is not None and len(character) == 1 and character.isprintable():
        return _by_character(character)
    return _by_character(base) if len(base) == 1 else _by_unicode_name(base)


def _is_modifier(key: str) -> bool:
    side, _, which = key.partition("_")
    if side in ("left", "right") and which in _MODIFIERS:
        return True
    return key in _LOCKS or key.startswith("iso_level")


def _by_character(character: str) -> str:
    return "space" if character == " " else character.casefold()


def _by_unicode_name(base: str) -> str:
    try:
        character = unicodedata.lookup(base.replace("_", " ").upper())
    except KeyError:
        return base.lower()
    # Escape and its like are characters too, but no signs.
    return _by_character(character) if character.isprintable() else base.lower()


def repeat_limit_ms(setting_ms: int, floor_ms: int) -> int:
    """How soon after itself a key counts as held: less where real reps are that fast.

    Half the card's floor time leaves room for a double press, which is told as one.
    """
    return min(setting_ms, floor_ms // 2) if floor_ms else setting_ms


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A finished run of repeats of one key; times on the boot clock."""

    key: str
    first_ms: int
    last_ms: int
    many: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    at: int
    run: Held | None = None


class HeldKeys:
    """Tells presses from the repeats of a held key, for each key on its own."""

    def __init__(self) -> None:
        self._seen: dict[str, _Seen] = {}

    def press(self, key: str, at: int, limit_ms: int) -> bool:
        """Whether this press counts; a repeat is kept in its key's run."""
        before = self._seen.get(key)
        if before is None or not _repeats(before, at - before.at, limit_ms):
            run = before.run if before is not None else None
            self._seen[key] = _Seen(at=at, run=run)
            return True
        run = before.run or Held(key=key, first_ms=at, last_ms=at, many=0)
        run = replace(run, last_ms=at, many=run.many + 1)
        self._seen[key] = _Seen(at=at, run=run)
        return False

    def ended(self, now: int, limit_ms: int) -> tuple[Held, ...]:
        """The runs that have ended by `now`; each is given once."""
        done: list[Held] = []
        for key, seen in self._seen.items():
            run = seen.run
            if run is not None and (seen.at > run.last_ms or now - seen.at > limit_ms):
                done.append(run)
                self._seen[key] = _Seen(at=seen.at)
        return tuple(done)

    @property
    def waiting(self) -> bool:
        """Whether a run has not been given yet."""
        return any(seen.run is not None for seen in self._seen.values())


def _repeats(before: _Seen, gap: int, limit_ms: int) -> bool:
    # Within a run, repeats that a slow line delivered together are repeats still.
    in_run = before.run is not None and before.run.last_ms == before.at
    least = 0 if in_run else ONE_READ_MS
    return least <= gap <= limit_ms
