"""Text that people wrote, made safe to show: nothing unseen, nothing that acts.

What is left has no control characters, no invisible or direction-turning ones, one
kind of space and one spelling of each letter; cleaning it again changes nothing.
"""

from __future__ import annotations

import unicodedata

_JOINERS = "\u200c\u200d"
_REPLACEMENT = "\ufffd"
# Letters and signs that draw nothing, so that two names look alike.
_BLANKS = frozenset("\u115f\u1160\u2800\u3164\uffa0")
_UNSEEN_MARKS = frozenset("\u034f\u17b4\u17b5\u180b\u180c\u180d\u180f")
_SKIN_TONES = frozenset(map(chr, range(0x1F3FB, 0x1F400)))
_QUOTED = 40
# No living script stacks more; beyond it the marks run over the neighbouring rows.
_MARKS_ON_ONE_LETTER = 4


def clean(text: str, limit: int = 200) -> str:
    """One line of text, at most `limit` letters or signs long (marks come free)."""
    if text.isascii() and text.isprintable():
        # Most of what is read: nothing in it is unseen, and every sign is a letter.
        folded = " ".join(text.split())
        return folded if len(folded) <= limit else folded[:limit].rstrip()
    seen = unicodedata.normalize("NFC", _without_unseen(text))
    folded = " ".join(seen.split())
    marked = unicodedata.normalize("NFC", _with_few_marks(folded))
    return _cut(marked, limit)


def quoted(text: str) -> str:
    """What a person wrote in double quotes, safe and short enough for a message."""
    whole = clean(text, _QUOTED + 1)
    cut = clean(whole, _QUOTED)
    return f'"{cut}"' if cut == whole else f'"{cut}…"'


def _without_unseen(text: str) -> str:
    composed = unicodedata.normalize("NFC", text)
    out: list[str] = []
    for index, char in enumerate(composed):
        if char in _JOINERS:
            after = composed[index + 1 : index + 2]
            out.append(char if out and _joins(out[-1]) and _joins(after) else "")
        else:
            out.append(_seen(char))
        if not out[-1]:
            out.pop()
    return "".join(out)


def _seen(char: str) -> str:
    """The character itself, a space, the replacement sign, or nothing."""
    category = unicodedata.category(char)
    if category.startswith("Z") or char in "\t\n\v\f\r\x85" or char in _BLANKS:
        return " "
    if category == "Cf" or char in _UNSEEN_MARKS:
        return ""
    return _REPLACEMENT if category.startswith("C") else char


def _joins(char: str) -> bool:
    """Whether a joiner beside this letter, mark or emoji can mean anything."""
    if not char or char in _BLANKS or char in _UNSEEN_MARKS:
        return False
    category = unicodedata.category(char)
    return category[0] in "LM" or category == "So" or char in _SKIN_TONES


def _with_few_marks(text: str) -> str:
    out: list[str] = []
    marks = _MARKS_ON_ONE_LETTER  # a mark with no letter before it has no place
    for char in text:
        marks = marks + 1 if unicodedata.category(char)[0] == "M" else 0
        if marks <= _MARKS_ON_ONE_LETTER:
            out.append(char)
    return "".join(out)


def _cut(text: str, limit: int) -> str:
    """At most `limit` letters with all that belongs to them."""
    count = 0
    for index, char in enumerate(text):
        belongs = (
            unicodedata.category(char)[0] == "M"
            or char in _JOINERS
            or char in _SKIN_TONES
        )
        count += not belongs
        if count > limit:
            return text[:index].rstrip(" " + _JOINERS)
    return text
