"""What terminals send for keys, in both protocols, and which keys those are.

Legacy bytes are those of an xterm; kitty's are of the flags that Textual asks for
(disambiguate, all keys, associated text). A row without bytes in a protocol has no
such key there.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Bytes of one press in each protocol, and the names of the keys it is."""

    id: str
    legacy: bytes | None
    kitty: bytes | None
    keys: tuple[str, ...]

    def sent(self, protocol: str) -> bytes | None:
        return self.legacy if protocol == "legacy" else self.kitty


def row(id_: str, legacy: str | None, kitty: str | None, *keys: str) -> Row:
    return Row(
        id=id_,
        legacy=None if legacy is None else legacy.encode(),
        kitty=None if kitty is None else f"\x1b[{kitty}".encode(),
        keys=keys,
    )


def typed(character: str, *, of: str = "", held: str = "") -> str:
    """Kitty's bytes of a key that types a character; `of` is the key unshifted."""
    return f"{ord(of or character)};{held};{ord(character)}u"


def letter(character: str, name: str = "") -> Row:
    """A letter of some layout, alone."""
    key = name or character
    return row(f"letter {character}", character, typed(character), key)


SPACES = (
    row("space", " ", typed(" "), "space"),
    row("space without text", None, "32u", "space"),
    row("shift+space", " ", "32;2u", "space"),
    row("shift+space with text", None, "32;2;32u", "space"),
    row("ctrl+space", "\0", "32;5u", "space"),
    row("alt+space", "\x1b ", "32;3u", "space"),
    row("space under caps lock", " ", "32;65;32u", "space"),
    row("space under num lock", " ", "32;129;32u", "space"),
    row("no-break space", "\xa0", typed("\xa0", of=" ", held="3"), "space"),
)
LETTERS = (
    letter("d"),
    row("d without text", None, "100u", "d"),
    row("shift+d", "D", typed("D", of="d", held="2"), "d"),
    row("shift+d without text", None, "100;2u", "d"),
    row("d under caps lock", "D", typed("D", of="d", held="65"), "d"),
    row("d under caps lock without text", None, "100;65u", "d"),
    row("shift+d under caps lock", "d", typed("d", held="66"), "d"),
    row("d under num lock", "d", typed("d", held="129"), "d"),
    row("alt+d", "\x1bd", "100;3u", "d"),
    row("alt+d with text", None, "100;3;100u", "d"),
    row("1", "1", typed("1"), "1"),
    row("alt+1", "\x1b1", "49;3u", "1"),
    letter("\u0663", "3"),
    letter("\uff44", "d"),
)
# Each stands on the key of a fault of the front squat: d, s, k, h and a.
OTHER_LAYOUTS = tuple(
    letter(sign)
    for sign in (
        "ылрфвілδσκηα\u05d2\u05d3\u05dc\u05d9\u05e9\u064a\u0633\u0646\u0627\u0634"
    )
)
SIGNS = (
    row("AltGr euro", "€", typed("€", of="e"), "€"),
    row("AltGr at", "@", typed("@", of="q"), "@"),
    row("AltGr two", "²", typed("²"), "²"),
    row("AltGr braces", "{", typed("{", of="7"), "{"),
    row("a dead key's accent", "\u00b4", typed("\u00b4"), "\u00b4"),
    row(
        "a dead key's combining accent",
        "\u0301",
        typed("\u0301"),
        "combining acute accent",
    ),
    row("an accented letter", "é", typed("é"), "é"),
    row(
        "an accented letter in two signs",
        "d\u0301",
        "100;;100:769u",
        *("d", "combining acute accent"),
    ),
)
KEYPAD = (
    row("keypad 1", "1", "57400;129;49u", "1"),
    row("keypad 1 without text", None, "57400;129u", "1"),
    row("keypad 1, application", "\x1bOq", "57400u", "1"),
    row("keypad 2, application", "\x1bOr", "57401u", "2"),
    row("keypad 9, application", "\x1bOy", "57408u", "9"),
    row("keypad plus", "+", "57413;;43u", "+"),
    row("keypad plus, application", "\x1bOk", "57413u", "+"),
    row("keypad minus", "-", "57412;;45u", "-"),
    row("keypad minus, application", "\x1bOm", "57412u", "-"),
    row("keypad times", "*", "57411;;42u", "*"),
    row("keypad times, application", "\x1bOj", "57411u", "*"),
    row("keypad over", "/", "57410;;47u", "/"),
    row("keypad over, application", "\x1bOo", "57410u", "/"),
    row("keypad point", ".", "57409;;46u", "."),
    row("keypad comma", ",", "57416;;44u", ","),
    row("keypad equals", "=", "57415;;61u", "="),
    row("keypad left, num lock off", "\x1b[D", "57417u", "left"),
    row("keypad page up, num lock off", "\x1b[5~", "57421u", "pageup"),
)
TAKE_BACK = (
    row("backspace", "\x7f", "127u", "backspace"),
    row("shift+backspace", None, "127;2u", "backspace"),
    row("ctrl+h", "\b", "104;5u", "backspace"),
    row("alt+backspace", "\x1b\x7f", "127;3u", "backspace"),
)
# No key by itself; a terminal tells of it in kitty's protocol only.
SILENT = tuple(
    row(f"modifier {code}", None, f"{code}{held}u")
    for code in (*range(57441, 57455), 57358, 57359, 57360)
    for held in ("", ";2", ";65;65")
)
_CURSOR = {
    "up": "A",
    "down": "B",
    "right": "C",
    "left": "D",
    "home": "H",
    "end": "F",
    "insert": "2~",
    "delete": "3~",
    "pageup": "5~",
    "pagedown": "6~",
}
_F = ("P", "Q", "R", "S", "15~", "17~", "18~", "19~", "20~", "21~", "23~", "24~")
_F_KITTY = ("P", "Q", "13~", *_F[3:])
DEAD = (
    *(
        row(
            f"ctrl+{sign}",
            chr(ord(sign) - 96),
            f"{ord(sign)};5u",
            f"ctrl+{sign}",
        )
        for sign in "abcdefgklnopqrstuvwxyz"
    ),
    *(
        row(name, f"\x1b[{end}", end if "~" in end else f"1;1{end}", name)
        for name, end in _CURSOR.items()
    ),
    *(
        row(
            f"f{n}",
            f"\x1b[{end}" if "~" in end else f"\x1bO{end}",
            kitty if "~" in kitty else f"1;1{kitty}",
            f"f{n}",
        )
        for n, (end, kitty) in enumerate(zip(_F, _F_KITTY, strict=True), 1)
    ),
    *(
        row(f"f{n}", f"\x1b[{code}~", f"{57363 + n}u", f"f{n}")
        for n, code in enumerate((25, 26, 28, 29, 31, 32, 33, 34), 13)
    ),
    # On older keyboards these are Shift with another one.
    *(row(f"f{n}", None, f"{57363 + n}u", f"f{n}") for n in range(21, 25)),
    row("f1 with shift", None, "1;2P", "f1"),
    row("raise_volume", None, "57439u", "raise_volume"),
    row("lower_volume", None, "57438u", "lower_volume"),
    row("mute_volume", None, "57440u", "mute_volume"),
    row("media_play_pause", None, "57430u", "media_play_pause"),
    row("media_track_next", None, "57435u", "media_track_next"),
    row("media_track_previous", None, "57436u", "media_track_previous"),
    row("media_stop", None, "57432u", "media_stop"),
    row("ctrl+backslash", "\x1c", "92;5u", "ctrl+backslash"),
    row("ctrl+right", "\x1b[1;5C", "1;5C", "ctrl+right"),
    row("escape", "\x1b", "27u", "escape"),
    row("ctrl+shift+d", None, "100;6u", "ctrl+shift+d"),
    row("super+d", None, "100;9u", "super+d"),
    row("print", None, "57361u", "print_screen"),
)
ODD = (
    # Event types and alternate keys, which nobody asked for.
    row("a press said to be one", None, "32;1:1u", "space"),
    row("a repeat said to be one", None, "32;1:2u", "unreadable"),
    row("a release", None, "32;1:3u"),
    row("a release of an arrow", None, "1;1:3A"),
    row("the other key of a Cyrillic letter", None, "1074::100;;1074u", "в"),
    row("the shifted key of a letter", None, "100:68;2;68u", "d"),
    # What no keyboard sends.
    row("a number too large", None, "99999999999u", "unreadable"),
    row("a text too large", None, "32;1;55555555555u", "unreadable"),
    row("a numbered key that there is not", "\x1b[49~", "49~", "unreadable"),
    row("a control character's number", None, "25u", "unreadable"),
    row("an unknown sequence", "\x1b[1;9Z", "1;9Z", "unreadable"),
    row("an unknown sequence of two", "\x1bOz", None, "unreadable"),
    row("an answer that nobody asked for", "\x1b[?62;4c", "?62;4c"),
    row("an endless sequence", f"\x1b[{'1;' * 40}Z", f"{'1;' * 40}Z", "unreadable"),
    row("a mouse click, SGR", "\x1b[<0;5;5M", "<0;5;5M"),
    row("a mouse click, X10", "\x1b[M !!", "M !!"),
    row("a mouse click, urxvt", "\x1b[32;5;5M", "32;5;5M"),
    row("the window has the focus", "\x1b[I", "I"),
    row("the window has it no more", "\x1b[O", "O"),
)
ROWS = (
    *(*SPACES, *LETTERS, *OTHER_LAYOUTS, *SIGNS, *KEYPAD, *TAKE_BACK),
    *(*SILENT, *DEAD, *ODD),
)
PROTOCOLS = ("legacy", "kitty")


def rows(protocol: str) -> list[Row]:
    """The rows that exist in a protocol."""
    return [row for row in ROWS if row.sent(protocol) is not None]
