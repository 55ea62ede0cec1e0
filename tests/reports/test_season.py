from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

import pytest

from judgekit.files.csvtext import from_csv_text
from judgekit.reports import layout
from judgekit.reports.season import Report, as_csv, as_json, tables, words_needed
from judgekit.reports.seasonwork import Work, lost_table
from judgekit.review.faults import rate
from judgekit.review.lost import Span
from judgekit.review.season import Fault, Group, Month, Recurring
from judgekit.review.seasondone import LostGroup

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from judgekit.review.judged import Watched
    from judgekit.review.season import Word

SQUAT = Fault("front-squat", "shallow", "judged")


def group(
    *of: str, attempts: int = 200, watched: Watched = "judged", rated: bool = True
) -> Group:
    return Group(
        of=of,
        watched=watched,
        rated=rated,
        attempts=attempts,
        good=attempts - 4,
        no_reps=4,
        athletes=2,
        of_athletes=9,
    )


def report(*groups: Group, name: str = "Front squat") -> Report:
    return Report(
        by=("movement", "fault"),
        groups=groups,
        total=rate(4, 200),
        sampled=rate(0, 0),
        names={
            "movement": {"front-squat": name},
            "fault": {"front-squat shallow": "DEPTH", "push-up shallow": "LOWER"},
        },
        events=2,
        days=("2027-05-08", "2027-06-05"),
    )


def rows(found: Report) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(as_csv(found), newline=""), strict=True))


def test_a_group_has_its_rate_its_attempts_and_who() -> None:
    (row,) = rows(report(group("front-squat", "shallow")))
    assert row == {
        "movement": "Front squat",
        "fault": "shallow",
        "watched": "judged",
        "attempts": "200",
        "good": "196",
        "no_reps": "4",
        "rate": "0.02",
        "low": "0.0078",
        "high": "0.0503",
        "share": "1.0",
        "athletes": "2",
        "of_athletes": "9",
        "cues": "0",
        "note": "",
    }


def test_where_nobody_counted_the_attempts_there_is_no_rate() -> None:
    (row,) = rows(report(group("front-squat", "", watched="reported", rated=False)))
    empty = [key for key, cell in row.items() if cell == ""]
    unknown = ["attempts", "good", "rate", "low", "high", "of_athletes", "note"]
    assert empty == unknown
    assert (row["fault"], row["no_reps"]) == ("no reason given", "4")


@pytest.mark.parametrize(("attempts", "note"), [(19, "few attempts"), (200, "")])
def test_few_attempts_are_said_to_be_few(attempts: int, note: str) -> None:
    (row,) = rows(report(group("front-squat", "shallow", attempts=attempts)))
    assert row["note"] == note


def test_people_see_no_column_that_says_the_same_in_each_row() -> None:
    judged, looked = (
        group("front-squat", "shallow"),
        group("front-squat", "shallow", watched="sampled"),
    )
    (plain,) = tables(report(judged))
    idle = {"watched", "remark"}
    assert idle.isdisjoint(column.key for column in plain.columns)
    (both,) = tables(report(judged, looked))
    assert "watched" in [column.key for column in both.columns]
    assert any(note.startswith("Sampled: ") for note in both.notes)
    assert not any(note.startswith("Sampled: ") for note in plain.notes)


def test_what_comes_again_stands_first_and_its_months_last() -> None:
    days = ("2027-05-08", "2027-05-09", "2027-06-05")
    found = replace(
        report(group("front-squat", "shallow")),
        recurring=(Recurring(SQUAT, days, 4),),
        months=(
            Month(SQUAT, "2027-05", rate(0, 60)),
            Month(SQUAT, "2027-06", rate(3, 60)),
        ),
    )
    again, main, monthly, _ = tables(found)
    assert again.rows == (("Front squat", "DEPTH", 3, 4, "2027-05-08", "2027-06-05"),)
    assert main.title == "Faults over the season"
    assert monthly.rows == (
        ("Front squat", "DEPTH", "2027-05", "0 of 60", "0.0 %", "0.0 to 6.0 %"),
        ("Front squat", "DEPTH", "2027-06", "3 of 60", "5.0 %", "1.7 to 13.7 %"),
    )
    whole = json.loads(as_json(found))
    assert whole["months"][0]["low"] == 0.0
    assert whole["recurring"][0]["fault"] == "shallow"
    assert whole["total"] == {
        "attempts": 200,
        "no_reps": 4,
        "rate": 0.02,
        "low": 0.0078,
        "high": 0.0503,
    }
    assert whole["sampled"]["rate"] is None


def test_people_read_the_months_of_the_first_faults_and_json_has_all() -> None:
    every = [Fault("front-squat", f"f{number}", "judged") for number in range(10)]
    monthly = tuple(
        Month(of, month, rate(1, 60))
        for of in every
        for month in ("2027-05", "2027-06")
    )
    found = replace(report(group("front-squat", "shallow")), months=monthly)
    table = next(one for one in tables(found) if one.title == "Month by month")
    assert [row[1] for row in table.rows[::2]] == [
        f"f{number} (no longer on the card)" for number in range(8)
    ]
    assert table.notes[-1] == "The first 8 of 10 faults; JSON has them all."
    assert len(json.loads(as_json(found))["months"]) == len(monthly)


def test_cues_stand_beside_a_rate_or_in_a_table_of_their_own() -> None:
    few = replace(group("front-squat", "shallow", attempts=10), cues=1)
    only = replace(group("front-squat", "heels", rated=False), no_reps=0, cues=3)
    found = report(few, only)
    main, cues = tables(found)
    assert [row[-1] for row in main.rows] == ["few, 1 cue"]
    assert not any(note.startswith("Sampled: ") for note in main.notes)
    assert cues.rows == (("Front squat", "heels (no longer on the card)", 3),)
    assert [row["cues"] for row in rows(found)] == ["1", "3"]
    by_movement = replace(report(replace(only, of=("front-squat",))), by=("movement",))
    (table,) = tables(by_movement)
    assert table.rows[0][-1] == "3 cues"


def test_how_it_went_is_said_in_words_with_numbers_beside() -> None:
    low = Fault("front-squat", "low", "judged")
    monthly = (
        *(
            Month(SQUAT, f"2027-0{month}", rate(hits, 100))
            for month, hits in ((3, 2), (4, 8), (5, 20))
        ),
        *(Month(low, f"2027-0{month}", rate(5, 100)) for month in (3, 4, 5)),
    )
    found = replace(report(group("front-squat", "shallow")), months=monthly)
    went = tables(found)[-1]
    assert went.title == "How it went"
    assert [row[:2] for row in went.rows] == [
        ("Front squat", "DEPTH"),
        ("Front squat", "low (no longer on the card)"),
    ]
    sure, level = (row[2:] for row in went.rows)
    assert sure == (
        *("rises", "2027-05", "20 of 100", "2027-04", "8 of 100"),
        *("+12.0", "+2.3 to +21.7", "more"),
    )
    cannot = "cannot tell"
    assert (level[0], level[5], level[-1]) == (cannot, "0.0", cannot)
    data = json.loads(as_json(found))["courses"]
    assert [(one["course"], one["says"], one["months"]) for one in data] == [
        ("rises", "more", 3),
        (cannot, cannot, 3),
    ]
    assert data[0]["difference"] == 0.12
    falls = tuple(
        Month(SQUAT, f"2027-0{month}", rate(hits, 100))
        for month, hits in ((3, 20), (4, 12), (5, 1))
    )
    (row,) = tables(replace(found, months=falls))[-1].rows
    assert (row[2], row[-1]) == ("falls", "fewer")


def test_people_are_told_faults_by_their_calls() -> None:
    (table,) = tables(report(group("front-squat", "shallow"), group("front-squat", "")))
    assert [row[1] for row in table.rows] == ["DEPTH", "no reason given"]
    assert table.rows[0][2:] == (
        "4 of 200",
        "2.0 %",
        "0.8 to 5.0 %",
        "50.0 %",
        "2 of 9",
    )
    alone = replace(report(group("shallow"), group("gone")), by=("fault",))
    (table,) = tables(alone)
    gone = "gone (no longer on the card)"
    assert [row[0] for row in table.rows] == ["DEPTH", gone]
    calls = {"front-squat shallow": "DEPTH", "push-up not-down": "DEPTH"}
    (table,) = tables(replace(alone, names={"fault": calls}))
    assert [row[0] for row in table.rows] == ["DEPTH (shallow)", gone]


@pytest.mark.parametrize(
    ("by", "rate", "share"),
    [
        (("movement", "fault"), "attempts;", "of all reasons."),
        (("fault",), "the attempts at all movements that can have the fault;", ""),
        (("judge",), "attempts;", "of all no-reps."),
    ],
)
def test_it_says_what_a_rate_is_out_of(
    by: tuple[Word, ...], rate: str, share: str
) -> None:
    (table,) = tables(replace(report(group(*by)), by=by))
    assert f"no-reps out of {rate}" in table.notes[0]
    assert "Few: " not in table.notes[0]
    assert share in table.notes[0]


def test_few_is_explained_where_something_is_few() -> None:
    many, few = group("front-squat", "shallow"), rate(1, 10)
    small = report(replace(many, attempts=19, good=15))
    late = replace(report(many), months=(Month(SQUAT, "2027-05", few),))
    for found in (small, late):
        (main, *_) = tables(found)
        assert "Few: under 20 attempts" in main.notes[0]


class _Gone(tuple[Group, ...]):
    """Groups that count how often somebody goes through them."""

    __slots__ = ()
    times: ClassVar = 0

    def __iter__(self) -> Iterator[Group]:
        type(self).times += 1
        return super().__iter__()


@pytest.mark.parametrize("lay", [as_csv, as_json, tables])
def test_groups_are_gone_through_as_often_however_many_there_are(
    lay: Callable[[Report], object],
) -> None:
    times = []
    for many in (2, 200):
        _Gone.times = 0
        groups = _Gone(group("front-squat", f"f{n}") for n in range(many))
        lay(replace(report(), groups=groups))
        times.append(_Gone.times)
    assert times[0] == times[1] > 0


def test_a_season_says_over_how_much_it_is() -> None:
    found = report(group("front-squat", "shallow"))
    (table,) = tables(found)
    assert "2 events on 2 days, 2027-05-08 to 2027-06-05." in table.notes
    assert (
        "Judged: 4 no-reps in 200 attempts, 2.0 %, likely between 0.8 % and 5.0 %."
        in table.notes
    )
    one = replace(found, events=1, days=("2027-05-08",), total=rate(0, 0))
    (table,) = tables(one)
    assert {"1 event, on 2027-05-08.", "Judged: no attempt."} <= set(table.notes)


@pytest.mark.parametrize("name", ["=1+1", "-5", "<script>x</script>", "a\r\nb|c"])
def test_no_name_is_a_formula_or_markup(name: str) -> None:
    found = report(group("front-squat", "shallow"), name=name)
    (row,) = rows(found)
    assert row["movement"][:1] not in ("=", "-")
    assert from_csv_text(row["movement"]) == name
    page = layout.as_html(*tables(found))
    assert "<script>" not in page


def test_data_by_athlete_tells_two_of_one_name_apart() -> None:
    found = replace(
        report(group("id:ines"), group("bib:27 Spring 2027-05-08")),
        by=("athlete",),
        names={"athlete": {"id:ines": "I. V.", "bib:27 Spring 2027-05-08": "I. V."}},
    )
    ids = ["id:ines", "bib:27 Spring 2027-05-08"]
    assert [(row["athlete"], row["athlete_id"]) for row in rows(found)] == [
        ("I. V.", one) for one in ids
    ]
    assert [row["athlete_id"] for row in json.loads(as_json(found))["rows"]] == ids
    assert "athlete_id" not in {c.key for table in tables(found) for c in table.columns}


def test_people_read_beside_a_name_of_two_who_is_meant() -> None:
    spring = "Spring 2027-05-08"
    called = {
        "id:ines": "I. V.",
        "id:iva": "I. V.",
        f"bib:27 {spring}": "I. V.",
        f"bib:31 {spring}": "31",
        "bib:31 Autumn 2027-10-02": "31",
        "id:bo": "Bo Lindt",
        f"bib:Sea Lions {spring}": "Sea Lions",
    }
    by: tuple[Word, ...] = ("athlete",)
    found = replace(
        report(*(group(one) for one in called)), by=by, names={"athlete": called}
    )
    told = [
        "I. V. (1 of 2 with an id)",
        "I. V. (2 of 2 with an id)",
        "I. V. (27 Spring 2027-05-08)",
        "31 (Spring 2027-05-08)",
        "31 (Autumn 2027-10-02)",
        "Bo Lindt",
        "Sea Lions",
    ]
    (table,) = tables(found)
    assert [row[0] for row in table.rows] == told
    assert [row["athlete"] for row in rows(found)] == list(called.values())
    work = Work(by=by, names=found.names, events=2)
    lost = [
        LostGroup(of=(one,), no_reps=1, timed=0, lost=Span(), athletes=1)
        for one in called
    ]
    for people, names in ((True, told), (False, list(called.values()))):
        shown = lost_table(work, lost, people=people)
        assert sorted(str(row[0]) for row in shown.rows) == sorted(names)


def test_it_says_once_that_people_cannot_be_joined_and_what_to_do() -> None:
    alone, joined = "bib:27 Spring 2027-05-08", "id:ines"
    found = replace(
        report(group("front-squat", "shallow")), names={"athlete": {alone: "I. V."}}
    )
    (table,) = tables(found)
    (told,) = (note for note in table.notes if "people.csv" in note)
    assert told.endswith(
        "(1 here). Give each an id there, the same in every event, and ask again."
    )
    for fine in (
        replace(found, names={"athlete": {joined: "I. V."}}),
        replace(found, events=1),
    ):
        assert not any("people.csv" in note for note in tables(fine)[0].notes)


def test_by_athlete_no_column_says_that_each_row_is_one() -> None:
    (table,) = tables(replace(report(group("id:ines")), by=("athlete",)))
    assert "athletes" not in {column.key for column in table.columns}


def test_people_are_told_who_judged_and_data_has_the_ids() -> None:
    found = replace(
        report(group("kb"), group("lo")),
        by=("judge",),
        names={"judge": {"kb": "Kim Brandt"}},
    )
    (table,) = tables(found)
    assert [row[0] for row in table.rows] == ["Kim Brandt", "lo"]
    assert [row["judge"] for row in rows(found)] == ["kb", "lo"]


def test_one_month_is_not_told_once_more() -> None:
    in_may = Month(SQUAT, "2027-05", rate(1, 60))
    found = replace(report(group("front-squat", "shallow")), months=(in_may,))
    assert [table.title for table in tables(found)] == ["Faults over the season"]
    assert len(json.loads(as_json(found))["months"]) == 1


def test_a_season_is_asked_for_all_that_it_is_reported_by() -> None:
    assert words_needed(("athlete",)) == ("athlete",)
    assert words_needed(("fault", "athlete")) == (
        *("fault", "athlete"),
        *("movement", "date", "month"),
    )
