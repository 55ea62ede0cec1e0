"""Words of a tally's line: joined, and in quotes where they must be."""

from __future__ import annotations

import re

from judgekit.files.cleaning import clean

_PLAIN = re.compile(r'[^\s"\\]+')


def joined(*words: str) -> str:
    return " ".join(word for word in words if word)


def option(name: str, value: str) -> str:
    return f"{name} {quoted(value)}" if value else ""


def quoted(value: str) -> str:
    text = cleaned(value)
    return text if _PLAIN.fullmatch(text) else in_quotes(text)


def in_quotes(value: str) -> str:
    text = cleaned(value)
    return '"' + re.sub(r'(["\\])', r"\\\1", text) + '"'


def cleaned(text: str) -> str:
    return clean(text, limit=len(text))
