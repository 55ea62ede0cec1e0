"""The briefing: what stands in the files, said in a coach's order, and nothing more."""

from dataclasses import replace
from pathlib import Path

import pytest

from judgekit.core.entry import Absent, Entry, Scale
from judgekit.core.people import Division
from judgekit.core.plates import Disc, Plates
from judgekit.core.quantity import parse
from judgekit.files.folder import EventFolder, load_event
from judgekit.reports.briefing import Bar, Mark, Total, Watched, briefing
from judgekit.reports.brieftext import as_json, brief_page, spoken
from judgekit.reports.page import page_html, page_markdown, page_text

DEMO = Path(__file__).resolve().parents[2] / "demo"


@pytest.fixture(scope="module")
def demo() -> EventFolder:
    return load_event(DEMO, shown="demo")


def test_the_workout_stands_there_in_words(demo: EventFolder) -> None:
    brief = briefing(demo, demo.workouts["three-gates"], {})
    assert brief.work == (
        "A: 3 rounds of",
        "  11, 8, 6 front squat, Women 42.5 kg ≈ 94 lb / Men 60 kg ≈ 132 lb",
        "  13, 10, 7 toes-to-bar",
        "Rest 2:00, from your own end of part A",
        "B: 2 rounds of",
        "  Women 10 calories / Men 13 calories row",
        "  7 burpee to target",
        "Rest 1:00, from your own end of part B",
        "C: once through",
        "  22 walking lunge",
        "  17 push-up",
    )
    assert brief.facts == (
        ("score", "your time; less is better"),
        ("cap", "13:00"),
        ("ties are parted by", "the time at the end of part A"),
    )


def test_loads_come_with_their_discs_worked_out_by_hand(demo: EventFolder) -> None:
    # Women: (42.5 - 15) / 2 = 13.75 = 10 + 2.5 + 1.25; men: (60 - 20) / 2 = 20.
    brief = briefing(demo, demo.workouts["three-gates"], {})
    assert brief.bars == (
        Bar(
            who="Women",
            movement="Front squat",
            load="42.5 kg ≈ 94 lb",
            discs="bar 15 kg, each side 10 + 2.5 + 1.25 kg",
        ),
        Bar(
            who="Men",
            movement="Front squat",
            load="60 kg ≈ 132 lb",
            discs="bar 20 kg, each side 20 kg",
        ),
    )


def test_a_load_that_cannot_be_made_names_the_nearest(demo: EventFolder) -> None:
    discs = (Disc(mass=parse("10 kg"), pairs=2), Disc(mass=parse("2.5 kg"), pairs=1))
    plates = Plates(collar=parse("0.5 kg"), discs=discs)
    poor = replace(demo, event=replace(demo.event, plates=plates))
    brief = briefing(poor, demo.workouts["three-gates"], {})
    no = "cannot be made with these discs; nearest"
    women, men = (bar.discs.removeprefix("bar ") for bar in brief.bars)
    # Women: 15 + 1 = 16 kg empty, 16 + 2 x 12.5 = 41, 16 + 2 x 20 = 56.
    assert (women, men) == (
        f"15 kg, collars 0.5 kg each: {no} 41.00 kg (10 + 2.5 kg) or 56.00 kg (10 + 10 kg)",  # noqa: E501
        f"20 kg, collars 0.5 kg each: {no} 46.00 kg (10 + 2.5 kg) or 61.00 kg (10 + 10 kg)",  # noqa: E501
    )


def test_heights_are_each_athletes_own(demo: EventFolder) -> None:
    brief = briefing(demo, demo.workouts["three-gates"], {})
    # 2.14 m + 6 in (0.1524 m) = 2.2924 m; the fifth goes by initials, as she chose.
    assert brief.marks[0] == Mark(
        bib="007",
        name="Ida Stenrove",
        movement="Burpee to target",
        height="6 in above reach 2.14 m ≈ 2.29 m",
    )
    assert [mark.name for mark in brief.marks[3:6]] == [
        "Jun Tavari",
        "P. Q.",
        "Hedda Ostrowe",
    ]


def test_who_is_absent_needs_no_height(demo: EventFolder) -> None:
    away = Entry(
        book="b",
        number=1,
        lane=1,
        at=None,
        wall=0,
        who="kb",
        set=None,
        body=Absent(absent=True),
    )
    brief = briefing(demo, demo.workouts["three-gates"], {"1": [away]})
    assert "007" not in {mark.bib for mark in brief.marks}
    assert len(brief.marks) == 11


def test_an_athletes_own_load_of_today_stands_below_the_divisions(
    demo: EventFolder,
) -> None:
    lighter = Entry(
        book="b",
        number=1,
        lane=1,
        at=None,
        wall=0,
        who="kb",
        set=None,
        body=Scale(card="front-squat", load="30 kg", why="new to it"),
    )
    brief = briefing(demo, demo.workouts["three-gates"], {"1": [lighter]})
    # (30 - 15) / 2 = 7.5 = 5 + 2.5.
    assert brief.bars[2:] == (
        Bar(
            who="007 Ida Stenrove",
            movement="Front squat",
            load="30 kg ≈ 66 lb",
            discs="bar 15 kg, each side 5 + 2.5 kg",
        ),
    )


def test_the_faults_of_the_day_are_the_workouts_own(demo: EventFolder) -> None:
    brief = briefing(demo, demo.workouts["mill-wheel"], {})
    ball = brief.standards[0]
    assert ball.name == "Wall-ball shot"
    assert ball.watched == (
        Watched(
            key="d",
            call="DEPTH",
            says="Crease of the hip below the top of the knee",
            cue="sit under the line",
        ),
        Watched(
            key="t",
            call="TARGET",
            says="Whole ball above the line",
            cue="aim at the top of the board",
        ),
    )


def test_a_window_is_told_by_the_round(demo: EventFolder) -> None:
    brief = briefing(demo, demo.workouts["mill-wheel"], {})
    assert brief.totals[:2] == (
        Total(division="Women", movement="Wall-ball shot", amount="11 reps a round"),
        Total(division="Women", movement="Box jump-over", amount="7 reps a round"),
    )
    gates = briefing(demo, demo.workouts["three-gates"], {})
    assert gates.totals[0] == Total(
        division="Women", movement="Front squat", amount="25 reps"
    )


def test_it_is_said_in_under_ten_minutes_in_a_coachs_order(demo: EventFolder) -> None:
    for workout in demo.workouts.values():
        lines = spoken(briefing(demo, workout, {})).split("\n")
        titles = [line.split("  ", 1) for line in lines if line[:1].isdigit()]
        told = [row for row in titles if row[0].count(":") == 1 and len(row) > 1]
        names = [row[1] for row in told]
        assert names[:2] == ["The workout", "The aim"]
        assert names[-4:-1] == [
            "If you need another way",
            "Safety",
            "The workout once more",
        ]
        minutes, seconds = map(int, told[-1][0].split(":"))
        assert minutes * 60 + seconds < 600


def test_nothing_private_is_on_it(demo: EventFolder) -> None:
    told = replace(
        demo,
        athletes=tuple(replace(a, private="sore left knee") for a in demo.athletes),
    )
    for workout in told.workouts.values():
        brief = briefing(told, workout, {})
        page = brief_page(brief)
        for text in (
            page_text(page),
            page_markdown(page),
            page_html(page),
            as_json([brief]),
            spoken(brief),
        ):
            assert "sore left knee" not in text
            assert "Pilar Quintrell" not in text


def test_a_division_without_a_bar_has_the_usual_one(demo: EventFolder) -> None:
    divisions = tuple(
        Division(id=d.id, name=d.name, standard=d.standard)
        for d in demo.event.divisions
    )
    plain = replace(demo, event=replace(demo.event, divisions=divisions))
    brief = briefing(plain, demo.workouts["three-gates"], {})
    assert brief.bars[0].discs == "bar 20 kg, each side 10 + 1.25 kg"
