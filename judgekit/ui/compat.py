"""Keys as the terminal sends them, read so that no byte ends the program.

Textual's parser raises on bytes that some terminals send though nobody asked for them,
spells a sequence it does not know out as keys (digits among them, which are faults),
and takes Escape with a quick 0 for a foreign letter. Here such a sequence is one key
that does nothing and says so, F18 is no space, and every key knows which keys came
with it.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from textual import events
from textual._ansi_sequences import ANSI_SEQUENCES_KEYS
from textual._keyboard_protocol import FUNCTIONAL_KEYS
from textual._xterm_parser import XTermParser
from textual.geometry import Size
from textual.keys import Keys
from textual.message_pump import MessagePump

from judgekit.ui.keys import UNREADABLE

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from textual.driver import Driver
    from textual.message import Message
    from textual.timer import Timer, TimerCallback

_ESC = "\x1b"
# What follows Escape in a sequence of its own; anything else is a key after Escape.
_OPENS = "[O]P_^X"
_SHORTEST = 2
# What goes on with a sequence that was given up; one of "@" to "~" ends it.
_GOES_ON = frozenset("0123456789:;<=>?")
# Longer than any sequence that Textual waits for the end of.
_LONGEST = 64
_KITTY = re.compile(
    r"\x1b\[(?P<code>\d+)(?::[\d:]*)?"
    r"(?:;(?P<held>\d*)(?::(?P<kind>\d+))?(?P<text>;[\d:]*)?)?(?P<end>[u~A-FHP-S])"
)
_PRESS, _RELEASE = "1", "3"
# A whole sequence. The Linux console's function keys begin with two brackets.
_WHOLE = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-Z\\-~]|O[ -~])")
# The reports that are no keys and that Textual looks for itself, but later.
_REPORT = re.compile(r"\x1b\[(?:M|<?[-\d;]+[mM]|\?\d+;\d+\$y)")


class SureTimers(MessagePump):
    """A screen or an app whose timers never fail to come.

    Textual's own, where other programs keep it from the processor for longer than it
    was to wait, takes its only moment for one that was missed. The clock would stand
    still, and the screen would keep one size for ever.
    """

    def set_timer(
        self,
        delay: float,
        callback: TimerCallback | None = None,
        *,
        name: str | None = None,
        pause: bool = False,
    ) -> Timer:
        timer = super().set_timer(delay, callback, name=name, pause=pause)
        timer._skip = False  # noqa: SLF001 - nothing public says it
        return timer


class Key(events.Key):
    """A key, and how many keys came in the same read; those share one `time`.

    `escaped`: an Escape came right before it, or it was held with Alt; terminals of the
    older kind send the same bytes for both.
    """

    def __init__(
        self,
        key: str,
        character: str | None,
        *,
        many: int = 1,
        escaped: bool = False,
    ) -> None:
        super().__init__(key, character)
        self.many = many
        self.escaped = escaped


class Tap(Key):
    """A finger on a pad: a key that no held key repeats, with the finger's own time."""

    def __init__(self, key: str, character: str | None, *, at: float) -> None:
        super().__init__(key, character)
        self.time = at


def driver_for(usual: type[Driver]) -> type[Driver]:
    """Our driver where Textual would use its own one for this kind of terminal."""
    if usual.__module__ == "textual.drivers.web_driver":
        from judgekit.ui.webdriver import PageDriver

        return PageDriver
    if usual.__module__ != "textual.drivers.linux_driver":
        return usual
    from judgekit.ui.driver import KeyDriver

    return KeyDriver


def size_of(driver: Driver | None) -> Size | None:
    """The size of the terminal itself; None where the driver cannot tell."""
    asked = getattr(driver, "_get_terminal_size", None)
    return None if asked is None else Size(*asked())


def keys_together(event: events.Key) -> int:
    """How many keys were read from the terminal in one go with this one."""
    return event.many if isinstance(event, Key) else 1


def came_after_escape(event: events.Key) -> bool:
    """Whether an Escape right before this key is in it, and is no event of its own."""
    return isinstance(event, Key) and event.escaped


class KeyParser(XTermParser):
    """Textual's parser, which never raises and never spells a sequence out."""

    def __init__(self, debug: bool = False) -> None:
        super().__init__(debug)
        self._pending = ""
        self._drains = False

    def feed(self, data: str) -> Iterator[Message]:
        if not data:
            yield from super().feed(data)
            return
        for character in data:
            yield from self._feed_one(character)

    def _feed_one(self, character: str) -> Iterable[Message]:
        if self._drained(character):
            return []
        begun = self._pending
        try:
            said = list(super().feed(character))
        except Exception:  # noqa: BLE001 - whatever it cannot read, the next key counts
            self._begin_anew()
            return [events.Key(UNREADABLE, None)]
        if character == _ESC:
            self._pending = _ESC
        elif said or not begun:
            self._pending = ""
        else:
            self._pending = (begun + character)[:_LONGEST]
        read = _not_spelled_out(begun + character, said)
        self._drains = character != _ESC and len(read) < len(said)
        return read

    def _drained(self, character: str) -> bool:
        """Whether it is the rest of a sequence that was too long for its end."""
        goes_on = character in _GOES_ON
        drained = self._drains and (goes_on or "@" <= character <= "~")
        self._drains = drained and goes_on
        return drained

    def tick(self) -> Iterator[Message]:
        # What comes in another read is another key.
        self._drains = False
        said = list(super().tick())
        pending = self._pending
        if said:
            self._pending = ""
        yield from _not_spelled_out(pending, said)

    def _begin_anew(self) -> None:
        self._pending = ""
        self._tokens.clear()
        self._gen = self.parse(self._tokens.append)
        self._awaiting = next(self._gen)
        self._timeout_time = None

    def _sequence_to_key_events(
        self, sequence: str, alt: bool = False
    ) -> Iterable[events.Key]:
        if len(sequence) == _SHORTEST and sequence[0] == _ESC:
            after = sequence[1]
            # A key soon after Escape is that key; it waits for nothing more.
            if after != _ESC and after not in _OPENS:
                found = super()._sequence_to_key_events(after, alt=True)
                return [Key(one.key, one.character, escaped=True) for one in found]
            return ()
        keys = tuple(self._keys_of(sequence, alt))
        if keys or not _WHOLE.fullmatch(sequence) or _REPORT.fullmatch(sequence):
            return keys
        # Waiting for more would take the next key for a part of it. A terminal that
        # answers who it is was asked by somebody else.
        asked = sequence.startswith("\x1b[?")
        return (events.Key(Keys.Ignore if asked else UNREADABLE, None),)

    def _keys_of(self, sequence: str, alt: bool) -> Iterable[events.Key]:
        typed = _KITTY.fullmatch(sequence)
        if typed is None:
            return super()._sequence_to_key_events(sequence, alt)
        end = typed["end"]
        if end != "u" and f"{typed['code']}{end}" not in FUNCTIONAL_KEYS:
            return _numbered(sequence)
        if ":" not in sequence:
            return super()._sequence_to_key_events(sequence, alt)
        if typed["kind"] == _RELEASE:
            return (events.Key(Keys.Ignore, sequence),)
        if typed["kind"] not in (None, _PRESS):
            return (events.Key(UNREADABLE, None),)
        plain = f"{typed['code']};{typed['held'] or ''}{typed['text'] or ''}"
        return super()._sequence_to_key_events(f"\x1b[{plain}{end}", alt)


def _numbered(sequence: str) -> tuple[events.Key, ...]:
    """The key of an older numbering, where Textual would take it for a character.

    Its 32 is F18, and no space.
    """
    keys = ANSI_SEQUENCES_KEYS.get(sequence)
    if not isinstance(keys, tuple):
        return (events.Key(UNREADABLE, None),)
    return tuple(events.Key(key.value, None) for key in keys)


def _not_spelled_out(sequence: str, said: list[Message]) -> list[Message]:
    """What was said, or one unreadable key if it is the sequence letter by letter."""
    sequence = sequence.rstrip(_ESC)
    opened = sequence[:1] == _ESC and sequence[1:2] in _OPENS
    if not opened or len(sequence) < _SHORTEST or len(said) < len(sequence) - 1:
        return said
    if len(sequence) == _SHORTEST:
        return said
    return [events.Key(UNREADABLE, None)]


def as_one_read(said: Iterable[Message], at: float) -> list[Message]:
    """The messages of one read: its keys know how many they are, and have its time."""
    messages = list(said)
    many = sum(isinstance(message, events.Key) for message in messages)
    read: list[Message] = []
    for message in messages:
        if isinstance(message, events.Key):
            escaped = came_after_escape(message)
            key = Key(message.key, message.character, many=many, escaped=escaped)
            key.time = at
            read.append(key)
        else:
            read.append(message)
    return read
