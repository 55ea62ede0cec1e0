"""When in the work no-reps come: words for a coach, a table of stretches, data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import listed
from judgekit.reports.ratewords import (
    COUNTS,
    REMARK,
    SEEN,
    numbers,
    percent,
    remark,
    rounded,
    seen,
    without_empty,
)
from judgekit.review.faults import rate
from judgekit.review.halves import LEAST_ATHLETES, LEAST_NO_REPS, SURE
from judgekit.review.trend import Level, trend

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.review.faults import Rate
    from judgekit.review.halves import Halves
    from judgekit.review.tiring import Along, Doubling, Place, Tiring
    from judgekit.review.trend import Ratio, Trend

_WHAT: dict[Along, str] = {
    "rep": "rep of the set",
    "round": "round",
    "minute": "minute",
}
_OWN = ", each athlete held against their own rate in the same movement"
# More stretches than this are read by nobody.
_STRETCHES = 4
_COLUMNS = (
    Column(name="Along", key="along"),
    Column(name="From, to", key="where"),
    *SEEN,
    REMARK,
)
_PLACES = (
    Column(name="Along", key="along"),
    Column(name="At", key="at", align="right"),
    *COUNTS,
    Column(name="Athletes", key="athletes", align="right"),
)


def when_words(found: Tiring) -> str:
    """What a coach should know, in a few sentences."""
    return " ".join(when_lines([found]))


def when_lines(found: Iterable[Tiring]) -> tuple[str, ...]:
    """The same of several ways of looking; what holds along all of them once."""
    every = list(found)
    along: dict[str, list[str]] = {}
    for one in every:
        along.setdefault(_where_words(one), []).append(_WHAT[one.along])
    halves = [one.halves for one in every if one.halves is not None]
    return (
        *(f"By {listed(whats)}: {words}" for words, whats in along.items()),
        *(half_words(of) for of in halves if not of.is_few),
    )


def half_words(found: Halves) -> str:
    """How many times as likely a no-rep is in the second half, if that can be told."""
    if found.times is None or not found.is_clear:
        return (
            "Whether a no-rep is likelier in the second half of a set than in the "
            "first cannot be told yet."
        )
    times, low, high = (
        f"{part:.1f}" for part in (found.times.times, found.times.low, found.times.high)
    )
    return (
        f"In the second half of a set a no-rep is {times} times as likely as in the "
        f"first (likely {low} to {high} times), each athlete held against themselves."
    )


def _where_words(found: Tiring) -> str:
    if found.unsure == "few":
        return (
            f"too few to tell (it needs {LEAST_NO_REPS} no-reps and "
            f"{LEAST_ATHLETES} athletes)."
        )
    if found.trend is None or found.trend.p > SURE:
        return f"nothing shows that no-reps come late or early{_OWN}."
    if found.doubling is not None:
        return f"{_doubled(found.doubling, found.along)}"
    if found.trend.z < 0:
        return f"no-reps come early, and become fewer{_OWN}."
    return f"no-reps come late; from where on cannot be told{_OWN}."


def _doubled(one: Doubling, along: Along) -> str:
    """From where on the rate has doubled, both rates, and how sure that is."""
    before, after = (part.rate or 0.0 for part in (one.before, one.after))
    sure = (
        f"at the earliest from {along} {one.earliest}, at the latest from {one.latest}"
        if one.earliest < one.latest
        else "and hardly anywhere else"
    )
    return (
        f"no-reps come late: {percent(before)} before {along} {one.at}, "
        f"{percent(after)} from {along} {one.at} on ({sure}; an estimate{_OWN})."
    )


def stretches(places: Sequence[Place]) -> list[tuple[int, int, Rate]]:
    """Places put together to a few stretches of about as many attempts each."""
    whole = sum(place.rate.attempts or 0 for place in places)
    parts: list[list[Place]] = [[] for _ in range(_STRETCHES)]
    before = 0
    for place in places:
        parts[min(before * _STRETCHES // max(1, whole), _STRETCHES - 1)].append(place)
        before += place.rate.attempts or 0
    return [
        (
            part[0].at,
            part[-1].at,
            rate(
                sum(place.rate.no_reps for place in part),
                sum(place.rate.attempts or 0 for place in part),
            ),
        )
        for part in parts
        if part
    ]


def when_table(found: Iterable[Tiring]) -> Table:
    """Stretches of the work by each way of looking along it, with what they tell."""
    every = [one for one in found if one.places]
    table = Table(
        title="When in the work",
        columns=_COLUMNS,
        rows=tuple(row for one in every for row in _rows(one)),
        notes=tuple(table_words(one) for one in every),
    )
    return without_empty(table, REMARK)


def _rows(one: Tiring) -> Iterator[tuple[Cell, ...]]:
    for first, last, of in stretches(one.places):
        where = f"{first}" if first == last else f"{first} to {last}"
        yield one.along, where, *seen(of), remark(of)


def table_words(found: Tiring) -> str:
    """What a coach should know who sees the table, too.

    That may surely rise or fall, and tell nothing of how anybody tires.
    """
    words, which = when_words(found), _together_words(found)
    return f"{words} All together they {which}" if which else words


def together_lines(found: Iterable[Tiring]) -> tuple[str, ...]:
    """What the pictures show and the athletes by themselves do not."""
    along: dict[str, list[str]] = {}
    for one in found:
        along.setdefault(_together_words(one), []).append(_WHAT[one.along])
    return tuple(
        f"By {listed(whats)} all together they {which}"
        for which, whats in along.items()
        if which
    )


def _together_words(found: Tiring) -> str:
    """Empty unless all together surely rise or fall where nobody surely does."""
    of_all = _together(found)
    if found.unsure != "level" or of_all is None or of_all.p > SURE:
        return ""
    how, then = ("more", "late") if of_all.z > 0 else ("fewer", "early")
    return (
        f"become {how}, which may only mean that movements or athletes with many "
        f"no-reps come {then}."
    )


def _together(found: Tiring) -> Trend | None:
    """The trend of all athletes and movements together."""
    return trend(
        [Level(at.at, at.rate.no_reps, at.rate.attempts or 0) for at in found.places]
    )


def places_table(found: Iterable[Tiring]) -> Table:
    """Each place along the work, as data."""
    return Table(
        title="When in the work",
        columns=_PLACES,
        rows=tuple(
            (one.along, place.at, *numbers(place.rate), place.athletes)
            for one in found
            for place in one.places
        ),
    )


def when_data(found: Iterable[Tiring]) -> list[dict[str, object]]:
    """For JSON: each way of looking along the work with its places."""
    counts = [column.key for column in COUNTS]
    return [
        {
            "along": one.along,
            "athletes": one.athletes,
            "places": [
                {
                    "at": place.at,
                    **dict(zip(counts, numbers(place.rate), strict=True)),
                    "athletes": place.athletes,
                }
                for place in one.places
            ],
            "trend_z": rounded(one.trend.z) if one.trend else None,
            "trend_p": rounded(one.trend.p) if one.trend else None,
            **_together_data(one),
            "doubled": _doubling_data(one.doubling),
            "second_half": _halves_data(one.halves),
            "says": table_words(one),
        }
        for one in found
    ]


def _together_data(one: Tiring) -> dict[str, object]:
    of_all = _together(one)
    return {
        "together_z": rounded(of_all.z) if of_all else None,
        "together_p": rounded(of_all.p) if of_all else None,
    }


def _doubling_data(one: Doubling | None) -> dict[str, object] | None:
    if one is None:
        return None
    return {
        "from": one.at,
        "earliest": one.earliest,
        "latest": one.latest,
        "rate_before": rounded(one.before.rate),
        "rate_after": rounded(one.after.rate),
    }


def _halves_data(one: Halves | None) -> dict[str, object] | None:
    if one is None:
        return None
    return {
        "rate_first": rounded(one.first.rate),
        "attempts_first": one.first.attempts,
        "rate_second": rounded(one.second.rate),
        "attempts_second": one.second.attempts,
        **_ratio_data("times", one.times),
        **_ratio_data("odds_ratio", one.odds),
        "p": rounded(one.p),
    }


def _ratio_data(name: str, one: Ratio | None) -> dict[str, object]:
    ends = (None,) * 3 if one is None else (one.times, one.low, one.high)
    keys = (name, f"{name}_low", f"{name}_high")
    return {key: rounded(end) for key, end in zip(keys, ends, strict=True)}
