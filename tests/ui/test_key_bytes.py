"""From the bytes of a terminal to the one name of a key, without a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from textual import events
from textual._xterm_parser import XTermParser
from textual.drivers.linux_driver import LinuxDriver
from textual.drivers.web_driver import WebDriver

from judgekit.ui.compat import (
    KeyParser,
    as_one_read,
    came_after_escape,
    driver_for,
    keys_together,
)
from judgekit.ui.driver import KeyDriver
from judgekit.ui.keys import name_of
from judgekit.ui.webdriver import PageDriver
from tests.key_rows import PROTOCOLS, rows

if TYPE_CHECKING:
    from textual.message import Message

PASTED = "\x1b[200~add  dad\x1b[201~"


def ticked(parser: KeyParser) -> list[Message]:
    """What an escape sequence becomes that nothing has followed in time."""
    if parser._timeout_time is not None:
        parser._timeout_time = 0.0
    return list(parser.tick())


def names(said: list[Message]) -> tuple[str, ...]:
    found = [name_of(e.key, e.character) for e in said if isinstance(e, events.Key)]
    return tuple(name for name in found if name is not None)


def read(*writes: str) -> tuple[str, ...]:
    """The keys of some writes, and what is left of them when time has passed."""
    parser = KeyParser()
    said = [message for write in writes for message in parser.feed(write)]
    return names([*said, *ticked(parser)])


@pytest.mark.parametrize(
    ("protocol", "sent", "keys"),
    [
        pytest.param(protocol, row.sent(protocol), row.keys, id=f"{protocol}-{row.id}")
        for protocol in PROTOCOLS
        for row in rows(protocol)
    ],
)
def test_a_press_is_its_keys_and_the_next_key_is_itself(
    protocol: str, sent: bytes, keys: tuple[str, ...]
) -> None:
    parser = KeyParser()
    said = [*parser.feed(sent.decode()), *ticked(parser)]
    assert names(said) == keys
    assert names([*parser.feed("k"), *ticked(parser)]) == ("k",)


@pytest.mark.parametrize("protocol", PROTOCOLS)
def test_all_presses_in_one_write_are_each_of_them_in_order(protocol: str) -> None:
    # Escape needs time to be told from the beginning of something else.
    some = [row for row in rows(protocol) if row.id != "escape"]
    sent = b"".join(row.sent(protocol) or b"" for row in some).decode()
    parser = KeyParser()
    said = [*parser.feed(sent), *ticked(parser)]
    assert names(said) == tuple(key for row in some for key in row.keys)


@pytest.mark.parametrize(
    ("writes", "keys"),
    [
        (("\x1bd",), ("d",)),
        (("\x1bd ",), ("d", "space")),
        (("\x1b0",), ("0",)),
        (("\x1bf", "\x1bb"), ("f", "b")),
        (("\x1b", "d"), ("d",)),
        (("\x1b\x1b",), ("escape", "escape")),
        (("\x1b[", "A"), ("up",)),
        (("\x1b", "[A"), ("up",)),
        (("\x1b", "[", "1", ";", "5", "C"), ("ctrl+right",)),
        (("\x1bO", "q"), ("1",)),
        (("\x1b[1", "\x1b[A"), ("unreadable", "up")),
        (("\x1b[1;2",), ("unreadable",)),
        (("\x1b[32;1:2", "u "), ("unreadable", "space")),
        (("\x1b[1;9Zdd",), ("unreadable", "d", "d")),
        (("\x1bOzdd",), ("unreadable", "d", "d")),
        (("\x1b[[A", "d"), ("f1", "d")),
        (("\x1b]11;rgb:1111/2222/3333", "\x1b"), ("unreadable", "escape")),
    ],
)
def test_escape_before_a_key_and_sequences_in_pieces(
    writes: tuple[str, ...], keys: tuple[str, ...]
) -> None:
    assert read(*writes) == keys


@pytest.mark.parametrize(
    ("sent", "after"),
    [
        ("\x1bd", [True]),
        ("\x1b3", [True]),
        ("\x1b\r", [True]),
        ("d", [False]),
        # A terminal that tells Alt from Escape.
        ("\x1b[100;3u", [False]),
        ("\x1b\x1b[A", [False, False]),
    ],
)
def test_a_key_right_after_escape_knows_it(sent: str, after: list[bool]) -> None:
    parser = KeyParser()
    said = as_one_read([*parser.feed(sent), *ticked(parser)], 1.0)
    keys = [message for message in said if isinstance(message, events.Key)]
    assert [came_after_escape(key) for key in keys] == after


def test_a_paste_between_its_marks_is_no_key() -> None:
    parser = KeyParser()
    said = [*parser.feed(PASTED), *parser.feed(" ")]
    assert [e.text for e in said if isinstance(e, events.Paste)] == ["add  dad"]
    assert names(said) == ("space",)


def test_a_long_paste_is_read_in_a_time_that_grows_with_it() -> None:
    parser = KeyParser()
    list(parser.feed("\x1b[200~" + "d" * 10_000))
    assert len(parser._pending) <= 64


@pytest.mark.parametrize(
    "sent",
    [
        *("\x1b[32;1:2u", "\x1b[32;1:3u", "\x1b[1074::100;;1074u"),
        *("\x1b[99999999999u", "\x1b[32;1;55555555555u"),
    ],
)
def test_textuals_own_parser_still_raises_where_ours_does_not(sent: str) -> None:
    """Once this fails, the parser in `judgekit.ui.compat` may have less to do."""
    with pytest.raises((ValueError, OverflowError)):
        list(XTermParser().feed(sent))


def test_textuals_own_parser_still_spells_unknown_sequences_out() -> None:
    """It would be a fault's digit; see the one above."""
    parser = XTermParser()
    list(parser.feed("\x1b[1;9Z"))
    parser._timeout_time = 0.0
    said = [m for m in parser.tick() if isinstance(m, events.Key)]
    assert [key.character for key in said] == ["[", "1", ";", "9", "Z"]


def test_the_keys_of_one_read_know_how_many_they_are_and_when_it_was() -> None:
    said = as_one_read(KeyParser().feed("d\x1b[I  "), 12.5)
    keys = [message for message in said if isinstance(message, events.Key)]
    found = [(key.key, key.character, key.time, keys_together(key)) for key in keys]
    assert found == [
        ("d", "d", 12.5, 3),
        ("space", " ", 12.5, 3),
        ("space", " ", 12.5, 3),
    ]
    assert [type(message) for message in said if message not in keys] == [
        events.AppFocus
    ]
    assert keys_together(events.Key("d", "d")) == 1


def test_a_key_of_a_read_is_handled_as_any_key() -> None:
    [key] = as_one_read(KeyParser().feed("d"), 1.0)
    assert (key.handler_name, isinstance(key, events.Key)) == ("on_key", True)


def test_our_driver_stands_in_for_textuals_own_only() -> None:
    assert driver_for(LinuxDriver) is KeyDriver
    assert driver_for(WebDriver) is PageDriver
