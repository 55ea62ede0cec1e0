"""Exposure laid out: words of advice, tables, CSV and JSON."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from judgekit.core.card import Substitute
from judgekit.files.library import load_library
from judgekit.reports.exposure import (
    ADVICE,
    Report,
    advice_words,
    as_csv,
    as_json,
    exposure_page,
)
from judgekit.reports.page import page_text
from judgekit.review.exposure import (
    Exposure,
    Kind,
    PastLane,
    PlannedLane,
    StopMade,
    WorkDone,
    exposure,
)
from judgekit.review.intervals import wilson
from tests.support import card, movement, simple, window

if TYPE_CHECKING:
    from judgekit.core.plan import Plan

TODAY = date(2027, 5, 8).toordinal()
TOES = replace(
    card("toes-to-bar", floor=850),
    name="Toes-to-bar",
    caution="Five to ten at first.",
)
LIBRARY = {id_: file.card for id_, file in load_library().items()}
CARDS = {
    **LIBRARY,
    "toes-to-bar": replace(
        LIBRARY["toes-to-bar"],
        substitutes=(
            Substitute(card="hanging-knee-raise", why="the swing fails"),
            Substitute(card="sit-up", why="no hanging", caution="at most 20"),
            Substitute(card="gone", why="is in no library"),
        ),
    ),
}


def toes(reps: int, **changes: object) -> Plan:
    part = replace(simple().parts[0], movements=(movement("toes-to-bar", reps),))
    return replace(
        simple(),
        parts=(part,),
        cards=(TOES,),
        **changes,  # type: ignore[arg-type]
    )


def did(days_ago: int, done: int, no_reps: int = 0, *stops: StopMade) -> PastLane:
    kind = Kind("toes-to-bar", "reps")
    work = WorkDone(kind=kind, done=done, attempts=done + no_reps, no_reps=no_reps)
    return PastLane(who="ines", day=TODAY - days_ago, work=(work,), stops=stops)


def report(
    *past: PastLane, plans: tuple[Plan, ...] = (), joined: bool = True
) -> Report:
    planned = [
        PlannedLane(
            who="ines",
            day=date.fromisoformat(plan.date).toordinal(),
            plan=plan,
            joined=joined,
        )
        for plan in plans or (toes(60),)
    ]
    return Report(
        event="Quayside Saturday",
        shown="my events/today",
        found=exposure(planned, past),
        cards=CARDS,
        events=2,
        of_events=5,
    )


def only(made: Report) -> Exposure:
    (row,) = made.found.rows
    return row


PAST = (
    did(3, 12, 2, StopMade(movement="Toes-to-bar", sign="dizzy")),
    did(1, 0, 0, StopMade(movement="Row", sign="")),
    did(40, 50),
)


@pytest.mark.parametrize(
    ("past", "words"),
    [
        (
            (did(3, 12), did(40, 50)),
            "little exposure: planned 60, most in one session 12 (28 days)",
        ),
        ((), "no exposure: planned 60, none in 56 days"),
        (
            (did(40, 50),),
            (
                "little exposure: planned 60, none in 28 days, "
                "most in one session 50 (56 days)"
            ),
        ),
        ((did(3, 30),), ""),
    ],
)
def test_advice_says_what_is_planned_and_what_was_done(
    past: tuple[PastLane, ...], words: str
) -> None:
    assert advice_words(only(report(*past))) == words


def test_without_an_id_nobody_is_said_to_have_done_nothing() -> None:
    made = report(joined=False)
    assert advice_words(only(made)) == "no exposure known without an id: planned 60"
    assert (
        "27 Ines Varga: no id in people.csv, so nothing is known of other events; the "
        "same id in the people.csv of each event joins them."
    ) in page_text(exposure_page(made))


def test_in_a_window_the_estimate_stands_with_what_each_round_asks_for() -> None:
    plan = window(cards=(card("front-squat"), TOES))
    made = report(plans=(plan,))
    words = [advice_words(row) for row in made.found.rows]
    assert words == [
        "",
        "no exposure: planned about 91 (8 a round), none in 56 days",
    ]


def test_a_page_begins_with_those_a_coach_should_look_at() -> None:
    text = page_text(exposure_page(report(*PAST)), 80)
    assert (
        text
        == f"""\
Exposure before the class
Quayside Saturday, 2027-05-08

TOES-TO-BAR: LITTLE EXPOSURE
Five to ten at first.
27 Ines Varga (heat 3 lane 4): little exposure: planned 60, most in one session
  12 (28 days)
or hanging-knee-raise  Hanging knee raise: the swing fails
or sit-up              Sit-up: no hanging (at most 20)

TO CHOOSE
judgekit scale 'my events/today' --heat H --lane L CARD --as OTHER

STOPS OF THE LAST 14 DAYS
27 Ines Varga: stopped yesterday (2027-05-07), Row
27 Ines Varga: stopped 3 days ago (2027-05-05), Toes-to-bar: dizzy

VOLUME: SESSIONS, MOST IN ONE SESSION, IN ALL
Bib  Name        Movement     Planned        7 d       28 d       56 d
---  ----------  -----------  -------  ---------  ---------  ---------
27   Ines Varga  Toes-to-bar       60  2, 12, 12  2, 12, 12  3, 50, 62

NO-REPS OUT OF JUDGED ATTEMPTS
Bib  Name        Movement         7 d     28 d     56 d   Rate in 56 d
---  ----------  -----------  -------  -------  -------  -------------
27   Ines Varga  Toes-to-bar  2 of 14  2 of 14  2 of 64  3 % (1 to 11)

HOW TO READ IT
From the log of this event, and of 2 of 5 other events: those with a heat in the
  56 days before.
A session is a day; today is not counted. Volume is what counted. No-reps are
  out of attempts that were judged, the rate with its 95 % interval.
Little exposure: a card with a volume caution, and none of it in 56 days, or
  more today than 2 times the most in one session of the last 28 days. In a
  window: what fits in at an ordinary pace.
{ADVICE}
"""
    )


def test_an_event_without_others_beside_it_says_so() -> None:
    made = replace(report(*PAST), events=0, of_events=0)
    assert (
        "From the log of this event alone: there is no other event beside it."
    ) in page_text(exposure_page(made))


def test_where_nobody_stands_out_there_is_nothing_to_choose() -> None:
    text = page_text(exposure_page(report(did(3, 30))))
    assert "EXPOSURE" not in text
    assert "TO CHOOSE" not in text


def test_what_was_chosen_already_is_said_and_offers_nothing_more() -> None:
    plan = toes(60)
    part = plan.parts[0]
    instead = replace(part.movements[0], instead_of="Bar muscle-up")
    plan = replace(plan, parts=(replace(part, movements=(instead,)),))
    text = page_text(exposure_page(report(plans=(plan,))))
    assert (
        "27 Ines Varga (heat 3 lane 4, instead of bar muscle-up): no exposure" in text
    )
    assert "or hanging-knee-raise" not in text


def test_on_two_days_each_row_says_which() -> None:
    plans = (toes(5), toes(60, heat="4", date="2027-05-09"))
    made = report(did(2, 9), plans=plans)
    text = page_text(exposure_page(made))
    assert "Quayside Saturday, 2027-05-08, 2027-05-09" in text
    assert "27 Ines Varga (2027-05-09, heat 4 lane 4): little exposure" in text
    assert [line.split()[:2] for line in text.splitlines() if "Toes-to" in line][
        -2:
    ] == [["2027-05-08", "27"], ["2027-05-09", "27"]]


def test_names_are_as_their_owners_have_them_shown_everywhere() -> None:
    made = report(*PAST, plans=(toes(60, show="initials"),))
    number = report(*PAST, plans=(toes(60, show="number"),), joined=False)
    for text in (as_csv(made), as_json(made), page_text(exposure_page(made))):
        assert "I. V." in text
        assert "Varga" not in text
    for text in (as_csv(number), as_json(number), page_text(exposure_page(number))):
        assert "Ines" not in text


def test_csv_has_a_row_for_each_athlete_and_movement() -> None:
    (row,) = csv.DictReader(io.StringIO(as_csv(report(*PAST))))
    low, high = wilson(2, 14) or (0.0, 0.0)
    low_56, high_56 = wilson(2, 64) or (0.0, 0.0)
    assert row == {
        "date": "2027-05-08",
        "bib": "27",
        "name": "Ines Varga",
        "heats": "3",
        "card": "toes-to-bar",
        "movement": "Toes-to-bar",
        "instead_of": "",
        "unit": "reps",
        "planned": "60",
        "each_round": "",
        **{
            f"{key}_{days}": value
            for days in (7, 28)
            for key, value in (
                ("sessions", "2"),
                ("most", "12"),
                ("total", "12"),
                ("attempts", "14"),
                ("no_reps", "2"),
                ("rate", "0.1429"),
                ("low", str(round(low, 4))),
                ("high", str(round(high, 4))),
            )
        },
        "sessions_56": "3",
        "most_56": "50",
        "total_56": "62",
        "attempts_56": "64",
        "no_reps_56": "2",
        "rate_56": "0.0312",
        "low_56": str(round(low_56, 4)),
        "high_56": str(round(high_56, 4)),
        "stops_14": "2",
        "advice": "little exposure: planned 60, most in one session 12 (28 days)",
    }


def test_json_has_the_same_with_stops_cautions_and_what_to_do_instead() -> None:
    data = json.loads(as_json(report(*PAST)))
    assert list(data) == [
        *("format", "event", "rows", "stops", "without_id"),
        *("events", "of_events", "notes"),
    ]
    (row,) = data["rows"]
    assert row["spans"][0] == {
        "days": 7,
        "sessions": 2,
        "most": 12,
        "total": 12,
        "attempts": 14,
        "no_reps": 2,
        "rate": 0.1429,
        "low": 0.0401,
        "high": 0.3994,
    }
    del row["spans"]
    assert row == {
        "date": "2027-05-08",
        "bib": "27",
        "name": "Ines Varga",
        "heats": "3",
        "card": "toes-to-bar",
        "movement": "Toes-to-bar",
        "instead_of": None,
        "unit": "reps",
        "planned": 60,
        "each_round": None,
        "lanes": [{"heat": "3", "lane": 4}],
        "little": "jump",
        "advice": "little exposure: planned 60, most in one session 12 (28 days)",
        "caution": "Five to ten at first.",
        "substitutes": [
            {
                "card": "hanging-knee-raise",
                "name": "Hanging knee raise",
                "why": "the swing fails",
                "caution": "",
            },
            {
                "card": "sit-up",
                "name": "Sit-up",
                "why": "no hanging",
                "caution": "at most 20",
            },
        ],
    }
    assert data["stops"] == [
        {
            "bib": "27",
            "name": "Ines Varga",
            "date": "2027-05-07",
            "days_ago": 1,
            "movement": "Row",
            "sign": None,
        },
        {
            "bib": "27",
            "name": "Ines Varga",
            "date": "2027-05-05",
            "days_ago": 3,
            "movement": "Toes-to-bar",
            "sign": "dizzy",
        },
    ]
    assert (data["format"], data["without_id"]) == (1, [])
    assert (data["events"], data["of_events"]) == (2, 5)
    assert ADVICE in data["notes"]
