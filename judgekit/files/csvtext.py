"""Text in CSV cells: never what a spreadsheet would run, and back as it was."""

from __future__ import annotations

import re

# What a spreadsheet takes for the start of a formula (CWE-1236), also in full-width
# form and behind blanks that it skips. Apostrophes are let through so that text which
# looks guarded already is guarded once more, and comes back as it was.
_FORMULA = re.compile(
    "'*[ \u00a0\u200b-\u200f\u2060\ufeff]*[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]"
)


def csv_text(text: str) -> str:
    """Text as a CSV cell: an apostrophe before what would be a formula.

    Numbers of ours are not text and must not come here.
    """
    return f"'{text}" if _FORMULA.match(text) else text


def from_csv_text(text: str) -> str:
    """The text that `csv_text` made a cell of."""
    guarded = text.startswith("'") and _FORMULA.match(text[1:])
    return text[1:] if guarded else text
