"""Formats: books of an older one are lifted when read; newer ones are refused.

The file itself is never rewritten. A lift turns the plain values of one format into
those of the next; the hashes stay those of the bytes as they were stored.
"""

from __future__ import annotations

from collections.abc import Callable

from judgekit.core.errors import BookError
from judgekit.core.values import dataclass
from judgekit.store.codec import canonical, parsed

FORMAT = 1


class NewerFormat(BookError):  # noqa: N818 - says what is, not what failed
    """A book that only a newer version can read; it is not damaged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """From one format to the next: an entry's row and a plan's table, as values."""

    entry: Callable[[object], object]
    plan: Callable[[object], object]


LIFTS: dict[int, Lift] = {}


def check_format(written: int, name: str) -> None:
    """Refuse a book whose format this version cannot read, saying what to do."""
    if written > FORMAT:
        raise NewerFormat(
            f"{name} was written by a newer judgekit (format {written}, this one "
            f"knows {FORMAT}); update judgekit to read it. The file is untouched"
        )
    if any(number not in LIFTS for number in range(written, FORMAT)):
        raise BookError(f"{name} has format {written}, which no judgekit ever wrote")


def lift_entry(written: int, data: bytes) -> bytes:
    """An entry's stored bytes, lifted from the format they were written in."""
    return _lifted(written, data, lambda lift: lift.entry)


def lift_plan(written: int, data: bytes) -> bytes:
    """A plan's stored bytes, lifted from the format they were written in."""
    return _lifted(written, data, lambda lift: lift.plan)


def _lifted(
    written: int, data: bytes, step: Callable[[Lift], Callable[[object], object]]
) -> bytes:
    if written == FORMAT:
        return data
    value = parsed(data)
    for number in range(written, FORMAT):
        try:
            value = step(LIFTS[number])(value)
        except (LookupError, TypeError, ValueError) as error:
            raise BookError(f"it does not fit format {number}: {error}") from error
    return canonical(value)
