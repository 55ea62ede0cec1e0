"""What changed since last time and what comes again, in tables, words and data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import NO_REASON, counted_words
from judgekit.reports.ratewords import (
    COUNTS,
    change_words,
    likely,
    numbers,
    out_of,
    points,
    rounded,
    without_empty,
)

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from judgekit.review.sessions import Change, FaultKey, Recurring, Sessions

_SAYS = Column(name="", key="says")
_SINCE = (
    Column(name="Movement", key="movement"),
    Column(name="Fault", key="fault"),
    Column(name="Now", key="now", align="right"),
    Column(name="Then", key="then", align="right"),
    Column(name="Change", key="change", align="right"),
    Column(name="Likely", key="likely", align="right"),
    _SAYS,
)
_SINCE_READ = (
    "Change: the rate now less the rate then, in points of 100; likely: where it lies "
    "with 95 of 100 (Newcombe's interval). Fewer or more is said only where chance "
    "alone would hardly do it, given how many faults are compared; "
)
_APART = "what was planned to be drilled is compared by itself; "
_SOME, _NONE = "no other change here is sure yet.", "no change here is sure yet."
# The same in as few columns as a phone has room for.
_SHORT = (
    Column(name="Fault", key="fault"),
    *_SINCE[2:4],
    Column(name="Change, likely", key="change", align="right"),
)
_AGAIN = (
    Column(name="Movement", key="movement"),
    Column(name="Fault", key="fault"),
    Column(name="Sessions", key="seen", align="right"),
    Column(name="No-reps", key="no_reps", align="right"),
    Column(name="Likely", key="likely", align="right"),
    Column(name="Last", key="last"),
)
_AGAIN_SHORT = (_SHORT[0], *_AGAIN[2:5])
AGAIN_READ = (
    "Seen in three sessions or more; a session is a day with that movement. No-reps "
    "and their likely rate are of all these sessions together."
)


def session_tables(found: Sessions) -> tuple[tuple[Table, ...], tuple[Table, ...]]:
    """What stands on top (what comes again), and below: what changed; if anything."""
    again = Table(
        title="Comes again",
        columns=_AGAIN,
        rows=tuple(_again(one) for one in found.recurring),
        notes=(AGAIN_READ,),
    )
    since = Table(
        title="Since last time",
        columns=_SINCE,
        rows=tuple(_since(one) for one in found.changes),
        notes=(then_words(found), since_words(found)),
    )
    told = (without_empty(since, _SAYS),) if since.rows else ()
    return (again,) if again.rows else (), told


def since_short(found: Sessions, most: int) -> Table:
    """What changed: all that clearly did, else the biggest changes.

    What changed by nothing is counted, and is in no row.
    """
    changed = [one for one in found.changes if one.is_clear or _is_change(one)]
    clear = sum(one.is_clear for one in changed)
    shown = changed[: max(most, clear)]
    left, same = len(changed) - len(shown), len(found.changes) - len(changed)
    more = (
        *((f"{left} more changed less; judgekit faults has all.",) if left else ()),
        *((f"{counted_words(same, 'faults')} as frequent as then.",) if same else ()),
    )
    return Table(
        title="Since last time",
        columns=_SHORT,
        rows=tuple(map(_in_short, shown)),
        notes=(
            then_words(found),
            *((since_words(found),) if shown else ()),
            *more,
        ),
    )


def _is_change(one: Change) -> bool:
    """Whether it is more than nothing in the decimals that are shown."""
    return points(one.by.by) != points(0)


def again_short(found: Sessions, most: int) -> Table:
    """What comes again, the most often seen."""
    left = len(found.recurring) - most
    more = (f"{left} more come again; judgekit faults has all.",) if left > 0 else ()
    return Table(
        title="Comes again",
        columns=_AGAIN_SHORT,
        rows=tuple(
            (f"{movement}: {fault}", *rest)
            for movement, fault, *rest, _ in map(_again, found.recurring[:most])
        ),
        notes=(AGAIN_READ, *more),
    )


def _in_short(one: Change) -> tuple[Cell, ...]:
    movement, fault, now, then, by, likely_, said = _since(one)
    change = f"{by} ({likely_})"
    return (
        *(f"{movement}: {fault}", now, then),
        f"{said}: {change}" if said else change,
    )


def change_lines(
    found: Sessions, most: int, told: Collection[FaultKey] = ()
) -> Iterator[str]:
    """What has clearly changed since last time, the biggest first, or that nothing has.

    Faults that are `told` of elsewhere are left out.
    """
    others = [one for one in found.changes if one.of not in told]
    if not others:
        return
    clear = [one for one in others if one.is_clear]
    for one in clear[:most]:
        yield (
            f"{one.movement}: {fault_word(one)}: {says(one)} than on {one.before}: "
            f"now {out_of(one.now)}, then {out_of(one.then)}; "
            f"{change_words(one.by.by, one.by.low, one.by.high)}"
        )
    if not clear:
        which = "No other" if len(others) < len(found.changes) else "No"
        yield (
            f"{which} fault has clearly become more or less frequent since last time "
            f"({_days(found)})."
        )


def says(change: Change) -> str:
    """What can be said of a change."""
    if not change.is_clear:
        return "cannot tell yet"
    return "fewer" if change.by.high < 0 else "more"


def fault_word(one: Change | Recurring) -> str:
    """The call, else the fault as logged; and how it was watched where not judged."""
    fault = one.call or one.of.fault or NO_REASON
    return fault if one.of.watched == "judged" else f"{fault}, {one.of.watched}"


def _again(one: Recurring) -> tuple[Cell, ...]:
    seen = f"{one.seen} of {one.sessions}"
    rate = (out_of(one.rate), likely(one.rate))
    return one.movement, fault_word(one), seen, *rate, one.last


def since_words(found: Sessions) -> str:
    """How to read changes, and of how many something can be said."""
    some = any(one.is_clear for one in found.changes)
    apart = _APART if any(one.planned for one in found.changes) else ""
    return f"{_SINCE_READ}{apart}{_SOME if some else _NONE}"


def then_words(found: Sessions) -> str:
    """Which days changes are held against."""
    return f"Then: the last day with the same movement ({_days(found)})."


def _days(found: Sessions) -> str:
    return ", ".join(sorted({one.before for one in found.changes}, reverse=True))


def _since(one: Change) -> tuple[Cell, ...]:
    by, low, high = points(one.by.by, one.by.low, one.by.high)
    return (
        one.movement,
        fault_word(one),
        out_of(one.now),
        out_of(one.then),
        by,
        f"{low} to {high}",
        says(one) if one.is_clear else "",
    )


def session_data(found: Sessions) -> dict[str, object]:
    """Both for JSON: `since` and `recurring`."""
    counts = [column.key for column in COUNTS]
    return {
        "since": [
            {
                **_named(one),
                "before": one.before,
                "now": dict(zip(counts, numbers(one.now), strict=True)),
                "then": dict(zip(counts, numbers(one.then), strict=True)),
                "difference": rounded(one.by.by),
                "difference_low": rounded(one.by.low),
                "difference_high": rounded(one.by.high),
                "p_adjusted": rounded(one.p),
                "says": says(one),
            }
            for one in found.changes
        ],
        "recurring": [
            {
                **_named(one),
                "seen": one.seen,
                "sessions": one.sessions,
                **dict(zip(counts, numbers(one.rate), strict=True)),
                "first": one.first,
                "last": one.last,
            }
            for one in found.recurring
        ],
    }


def _named(one: Change | Recurring) -> dict[str, object]:
    return {
        "movement": one.movement,
        "fault": one.of.fault or NO_REASON,
        "call": one.call or None,
        "watched": one.of.watched,
    }
