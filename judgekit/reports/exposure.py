"""Exposure before the class: what athletes are to do, and what they did before.

It is for the coach. It advises, the coach decides, and it makes no medical claim;
nothing private is read. CSV has one row for each athlete and movement. JSON is an
object with `format` (its version, 1), event, rows, stops, without_id, events,
of_events and notes; each row has its spans, caution and substitutes. There a rate
lies between 0 and 1 and is null without attempts.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from shlex import quote
from typing import TYPE_CHECKING

from judgekit.core.card import Card
from judgekit.core.values import dataclass
from judgekit.files.tables import bib_order
from judgekit.reports import layout
from judgekit.reports.layout import Cell, Column, Table
from judgekit.reports.names import shown_name
from judgekit.reports.page import Page, Row, Section
from judgekit.review.exposure import JUMP, JUMP_DAYS, SPANS, STOP_DAYS, Found

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.core.plan import Plan
    from judgekit.review.exposure import Exposure, Span, StopSince
    from judgekit.review.faults import Rate

FORMAT = 1
ADVICE = "This is advice and no medical claim: the coach decides."
_DECIMALS = 4
_SESSIONS = (
    "A session is a day; today is not counted. Volume is what counted. No-reps are out "
    "of attempts that were judged, the rate with its 95 % interval."
)
_LITTLE = (
    "Little exposure: a card with a volume caution, and none of it in "
    f"{SPANS[-1]} days, or more today than {JUMP} times the most in one session of the "
    f"last {JUMP_DAYS} days. In a window: what fits in at an ordinary pace."
)
_READ = (_SESSIONS, _LITTLE, ADVICE)
_NO_ID = (
    "no id in people.csv, so nothing is known of other events; the same id in the "
    "people.csv of each event joins them."
)
_WHO = (Column(name="Bib", key="bib"), Column(name="Name", key="name"))
_MOVEMENT = Column(name="Movement", key="movement")
_SPANS = tuple(
    Column(name=f"{days} d", key=f"d_{days}", align="right") for days in SPANS
)
_ROW = (
    Column(name="Date", key="date"),
    *_WHO,
    Column(name="Heats", key="heats"),
    Column(name="Card", key="card"),
    _MOVEMENT,
    Column(name="Instead of", key="instead_of"),
    Column(name="Unit", key="unit"),
    Column(name="Planned", key="planned", align="right"),
    Column(name="Each round", key="each_round", align="right"),
)
_SPAN = (
    *("sessions", "most", "total"),
    *("attempts", "no_reps", "rate", "low", "high"),
)
_CSV = (
    *_ROW,
    *(
        Column(name=f"{key} {days} d", key=f"{key}_{days}", align="right")
        for days in SPANS
        for key in _SPAN
    ),
    Column(name=f"Stops, {STOP_DAYS} d", key=f"stops_{STOP_DAYS}", align="right"),
    Column(name="Advice", key="advice"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What was found, where: the cards of the event, and how many logs were read.

    `events` other events lie near enough, of `of_events` that there are.
    """

    event: str
    shown: str
    found: Found
    cards: Mapping[str, Card]
    events: int
    of_events: int


def as_csv(report: Report) -> str:
    """One row for each athlete and movement; an empty cell where there is nothing."""
    rows = tuple(
        (
            *_cells(row),
            *(cell for span in row.spans for cell in _span_cells(span)),
            len(_stops_of(row, report.found.stops)),
            advice_words(row) or None,
        )
        for row in _ordered(report.found.rows)
    )
    return layout.as_csv(Table(title="Exposure", columns=_CSV, rows=rows))


def as_json(report: Report) -> str:
    """The report as the module's docstring says."""
    data = {
        "format": FORMAT,
        "event": report.event,
        "rows": [_object(row, report.cards) for row in _ordered(report.found.rows)],
        "stops": [
            {**_person(one.plan), **_stop_object(one)}
            for one in _by_bib(report.found.stops)
        ],
        "without_id": [_person(plan) for plan in report.found.alone],
        "events": report.events,
        "of_events": report.of_events,
        "notes": [*_READ],
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def exposure_page(report: Report) -> Page:
    """The report for people: what to look at first, then all of it."""
    rows = _ordered(report.found.rows)
    many = len({row.day for row in rows}) > 1
    return Page(
        title="Exposure before the class",
        under=", ".join([report.event, *dict.fromkeys(_date(r.day) for r in rows)]),
        sections=(
            *_little(rows, report, many),
            Section(
                title=f"Stops of the last {STOP_DAYS} days",
                lines=stop_lines(report.found.stops),
            ),
            Section(
                title="Volume: sessions, most in one session, in all",
                tables=(_volume(rows, many),),
            ),
            Section(
                title="No-reps out of judged attempts", tables=(_no_reps(rows, many),)
            ),
            Section(title="Without an id", lines=_alone(report.found.alone)),
            Section(title="How to read it", lines=(_from(report), *_READ)),
        ),
    )


def advice_words(row: Exposure) -> str:
    """Why a coach should look: "little exposure: planned 60, most in ..."; or empty."""
    planned = f"planned {_planned(row)}"
    if row.little == "none" and not row.joined:
        return f"no exposure known without an id: {planned}"
    if row.little == "none":
        return f"no exposure: {planned}, none in {row.longest.days} days"
    if row.little == "jump" and row.recent.sessions:
        most = f"most in one session {row.recent.most} ({row.recent.days} days)"
        return f"little exposure: {planned}, {most}"
    if row.little == "jump":
        most = f"most in one session {row.longest.most} ({row.longest.days} days)"
        return f"little exposure: {planned}, none in {row.recent.days} days, {most}"
    return ""


# --- who and when --------------------------------------------------------------------


def _ordered(rows: Sequence[Exposure]) -> list[Exposure]:
    """By day and bib; an athlete's movements in the order of the work."""
    return sorted(rows, key=lambda row: (row.day, bib_order(row.plans[0].bib)))


def stop_lines(stops: Sequence[StopSince]) -> tuple[str, ...]:
    """Who goes today and was stopped lately, a line for each stop, by bib."""
    return tuple(_stop_words(one) for one in _by_bib(stops))


def _by_bib(stops: Sequence[StopSince]) -> list[StopSince]:
    return sorted(stops, key=lambda one: (bib_order(one.plan.bib), one.days_ago))


def _date(day: int) -> str:
    return date.fromordinal(day).isoformat()


def _name(plan: Plan) -> str:
    return shown_name(plan.name, plan.show, plan.bib)


def _who(plan: Plan) -> str:
    name = _name(plan)
    return plan.bib if name == plan.bib else f"{plan.bib} {name}"


def _person(plan: Plan) -> dict[str, object]:
    return {"bib": plan.bib, "name": _name(plan)}


def _stops_of(row: Exposure, stops: Sequence[StopSince]) -> list[StopSince]:
    """The stops of the row's athlete, at whatever movement."""
    bibs = {plan.bib for plan in row.plans}
    day = row.day
    return [s for s in stops if s.plan.bib in bibs and s.day + s.days_ago == day]


def _stop_object(one: StopSince) -> dict[str, object]:
    return {
        "date": _date(one.day),
        "days_ago": one.days_ago,
        "movement": one.stop.movement,
        "sign": one.stop.sign or None,
    }


def _stop_words(one: StopSince) -> str:
    ago = "yesterday" if one.days_ago == 1 else f"{one.days_ago} days ago"
    sign = f": {one.stop.sign}" if one.stop.sign else ""
    where = f"{one.stop.movement}{sign}"
    return f"{_who(one.plan)}: stopped {ago} ({_date(one.day)}), {where}"


# --- little exposure -----------------------------------------------------------------


def _little(rows: Sequence[Exposure], report: Report, many: bool) -> Iterator[Section]:
    """A section for each movement with a caution that somebody is not used to."""
    groups: dict[str, list[Exposure]] = {}
    for row in rows:
        if row.little:
            groups.setdefault(row.card, []).append(row)
    for group in sorted(groups.values(), key=lambda group: group[0].movement):
        lines = [group[0].caution]
        lines += [f"{_where(row, many)}: {advice_words(row)}" for row in group]
        yield Section(
            title=f"{group[0].movement}: little exposure",
            lines=tuple(lines),
            rows=tuple(
                Row(label=f"or {choice['card']}", says=_choice_words(choice))
                for choice in _choices(group, report.cards)
            ),
        )
    if groups:
        said = f"judgekit scale {quote(report.shown)} --heat H --lane L CARD --as OTHER"
        yield Section(title="To choose", lines=(said,))


def _where(row: Exposure, many: bool) -> str:
    lanes = ", ".join(f"heat {plan.heat} lane {plan.lane}" for plan in row.plans)
    day = f"{_date(row.day)}, " if many else ""
    instead = f", instead of {row.instead_of.casefold()}" if row.instead_of else ""
    return f"{_who(row.plans[0])} ({day}{lanes}{instead})"


def _choices(
    group: Sequence[Exposure], cards: Mapping[str, Card]
) -> list[dict[str, str]]:
    """What the card knows to do instead; nothing where that was chosen already."""
    card = cards.get(group[0].card)
    if card is None or all(row.instead_of for row in group):
        return []
    return [
        {
            "card": one.card,
            "name": cards[one.card].name,
            "why": one.why,
            "caution": one.caution,
        }
        for one in card.substitutes
        if one.card in cards
    ]


def _choice_words(choice: Mapping[str, str]) -> str:
    mind = f" ({choice['caution']})" if choice["caution"] else ""
    return f"{choice['name']}: {choice['why']}{mind}"


def _alone(plans: Sequence[Plan]) -> tuple[str, ...]:
    if not plans:
        return ()
    ordered = sorted(plans, key=lambda plan: bib_order(plan.bib))
    return (f"{', '.join(map(_who, ordered))}: {_NO_ID}",)


def _from(report: Report) -> str:
    if not report.of_events:
        return "From the log of this event alone: there is no other event beside it."
    others = f"other event{'' if report.of_events == 1 else 's'}"
    return (
        f"From the log of this event, and of {report.events} of {report.of_events} "
        f"{others}: those with a heat in the {SPANS[-1]} days before."
    )


# --- all of it -----------------------------------------------------------------------


def _volume(rows: Sequence[Exposure], many: bool) -> Table:
    return Table(
        title="Volume",
        columns=(
            *_leading(many),
            Column(name="Planned", key="planned", align="right"),
            *_SPANS,
        ),
        rows=tuple(
            (
                *_lead(row, many),
                f"{'about ' if row.each_round else ''}{row.planned}{_unit(row)}",
                *(_span_words(span) for span in row.spans),
            )
            for row in rows
        ),
    )


def _span_words(span: Span) -> str | None:
    return f"{span.sessions}, {span.most}, {span.total}" if span.sessions else None


def _no_reps(rows: Sequence[Exposure], many: bool) -> Table:
    return Table(
        title="No-reps",
        columns=(
            *_leading(many),
            *_SPANS,
            Column(name=f"Rate in {SPANS[-1]} d", key="rate", align="right"),
        ),
        rows=tuple(
            (
                *_lead(row, many),
                *(_out_of(span.rate) for span in row.spans),
                _rate_words(row.longest.rate),
            )
            for row in rows
            if row.longest.rate.attempts
        ),
    )


def _leading(many: bool) -> tuple[Column, ...]:
    day = (Column(name="Date", key="date"),) if many else ()
    return (*day, *_WHO, _MOVEMENT)


def _lead(row: Exposure, many: bool) -> tuple[Cell, ...]:
    plan = row.plans[0]
    day = (_date(row.day),) if many else ()
    return (*day, plan.bib, _name(plan), row.movement)


def _planned(row: Exposure) -> str:
    if row.each_round:
        return f"about {row.planned}{_unit(row)} ({row.each_round} a round)"
    return f"{row.planned}{_unit(row)}"


def _unit(row: Exposure) -> str:
    return "" if row.unit == "reps" else f" {row.unit}"


def _out_of(rate: Rate) -> str | None:
    return f"{rate.no_reps} of {rate.attempts}" if rate.attempts else None


def _rate_words(rate: Rate) -> str | None:
    if rate.rate is None or rate.low is None or rate.high is None:
        return None
    low, high = 100 * rate.low, 100 * rate.high
    return f"{100 * rate.rate:.0f} % ({low:.0f} to {high:.0f})"


def _cells(row: Exposure) -> tuple[Cell, ...]:
    plan = row.plans[0]
    return (
        *(_date(row.day), plan.bib, _name(plan)),
        ", ".join(dict.fromkeys(plan.heat for plan in row.plans)),
        *(row.card, row.movement, row.instead_of or None),
        *(row.unit, row.planned, row.each_round or None),
    )


def _span_cells(span: Span) -> tuple[Cell, ...]:
    rate = span.rate
    return (
        *(span.sessions, span.most, span.total),
        *(rate.attempts, rate.no_reps if rate.attempts is not None else None),
        *(_rounded(part) for part in (rate.rate, rate.low, rate.high)),
    )


def _rounded(part: float | None) -> float | None:
    return None if part is None else round(part, _DECIMALS)


def _object(row: Exposure, cards: Mapping[str, Card]) -> dict[str, object]:
    cells = dict(zip((column.key for column in _ROW), _cells(row), strict=True))
    return {
        **cells,
        "lanes": [{"heat": plan.heat, "lane": plan.lane} for plan in row.plans],
        "spans": [
            {"days": s.days, **dict(zip(_SPAN, _span_cells(s), strict=True))}
            for s in row.spans
        ],
        "little": row.little or None,
        "advice": advice_words(row) or None,
        "caution": row.caution or None,
        "substitutes": _choices([row], cards) if row.little else [],
    }
