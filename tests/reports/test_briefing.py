"""The briefing: what stands in the files, said in a coach's order, and nothing more."""

from dataclasses import replace
from pathlib import Path

import pytest

from judgekit.core.entry import Absent, Entry, Is, Scale
from judgekit.core.people import Division
from judgekit.core.plates import Disc, Plates
from judgekit.core.quantity import parse
from judgekit.core.workout import ByDivision, Movement, Part, Rounds
from judgekit.files.folder import EventFolder, load_event
from judgekit.reports.brieffloor import Ground, need_words, shared_words
from judgekit.reports.briefheights import Mark
from judgekit.reports.briefing import briefing
from judgekit.reports.briefloads import Bar
from judgekit.reports.briefmoves import Watched
from judgekit.reports.brieftext import as_json, brief_page, spoken
from judgekit.reports.briefwork import Total
from judgekit.reports.page import page_html, page_markdown, page_text

DEMO = Path(__file__).resolve().parents[2] / "demo"


@pytest.fixture(scope="module")
def demo() -> EventFolder:
    return load_event(DEMO, shown="demo")


def test_the_workout_stands_there_in_words(demo: EventFolder) -> None:
    brief = briefing(demo, demo.workouts["three-gates"], {})
    assert brief.work == (
        "A: 3 rounds of",
        "  11, 8, 6 front squat: Women 42.5 kg; Men 60 kg",
        "  13, 10, 7 toes-to-bar",
        "Rest 2:00, from your own end of part A",
        "B: 2 rounds of",
        "  row: Women 10 calories; Men 13 calories",
        "  7 burpee to target",
        "Rest 1:00, from your own end of part B",
        "C: once through",
        "  22 walking lunge",
        "  17 push-up",
    )
    assert brief.facts == (
        ("score", "your time; less is better"),
        ("cap", "13:00"),
        ("ties", "parted by end of part A"),
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
    light, heavy = "each side 10 + 2.5 kg", "each side 10 + 10 kg"
    assert (women, men) == (
        f"15 kg, collars 0.5 kg each, {no} 41 kg ({light}) or 56 kg ({heavy})",
        f"20 kg, collars 0.5 kg each, {no} 46 kg ({light}) or 61 kg ({heavy})",
    )


def test_the_floor_says_of_which_loads_it_counts_no_discs(demo: EventFolder) -> None:
    discs = (Disc(mass=parse("20 kg"), pairs=1),)
    poor = replace(demo, event=replace(demo.event, plates=Plates(discs=discs)))
    brief = briefing(poor, demo.workouts["three-gates"], {}, "1")
    [floor] = brief.floors
    # Men's 60 kg is the bar and a pair of 20; women's 42.5 has no disc.
    [unmade] = floor.unmade
    assert unmade == (
        "Front squat 42.5 kg, bar 15 kg: cannot be made with these discs; nearest "
        "15 kg (the bar alone) or 55 kg (each side 20 kg)"
    )
    assert "disc" not in {n.what for n in floor.needs if n.size != "20 kg"}
    page = brief_page(brief)
    [section] = [one for one in page.sections if one.title == "The floor needs"]
    assert ("discs not counted", floor.unmade) in [
        (row.label, row.lines) for row in section.rows
    ]
    whole = brief_page(briefing(poor, demo.workouts["three-gates"], {}))
    [section] = [one for one in whole.sections if one.title == "The floor needs"]
    assert any(f"discs not counted: {unmade}" in row.lines for row in section.rows)
    rich = briefing(demo, demo.workouts["three-gates"], {}, "1")
    assert [one.unmade for one in rich.floors] == [()]


def test_heights_are_each_athletes_own(demo: EventFolder) -> None:
    brief = briefing(demo, demo.workouts["three-gates"], {})
    # 2.14 m + 6 in (0.1524 m) = 2.2924 m at least; the fifth goes by initials, as she
    # chose.
    assert brief.marks[0] == Mark(
        bib="007",
        name="Ida Stenrove",
        movement="Burpee to target",
        height="6 in above reach 2.14 m ≈ 2.30 m",
        mark="2.30 m",
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


def test_the_floor_needs_stand_heat_by_heat_and_shared(demo: EventFolder) -> None:
    brief = briefing(demo, demo.workouts["three-gates"], {})
    # Women: 42.5 kg on a bar of 15: 10 + 2.5 + 1.25 a side, six lanes.
    assert [(f.heats, ", ".join(map(need_words, f.needs))) for f in brief.floors] == [
        (
            ("1",),
            (
                "6 x barbell 15 kg, 12 x disc 10 kg, 12 x disc 2.5 kg, "
                "12 x disc 1.25 kg, 6 x pull-up bar, 6 x rowing machine, "
                "6 x overhead target at own height"
            ),
        ),
        (
            ("2",),
            (
                "6 x barbell 20 kg, 12 x disc 20 kg, "
                "6 x pull-up bar, 6 x rowing machine, 6 x overhead target at own height"
            ),
        ),
    ]
    event = replace(demo.event, shared=(("rowing machine", 4),))
    shared = briefing(replace(demo, event=event), demo.workouts["three-gates"], {})
    assert "6 x rowing machine (2 if 4 lanes share)" in page_text(brief_page(shared))
    rows = [row for row in demo.heats if row.workout == "three-gates"]
    plans = [demo.plan_of(row, ()) for row in rows if row.heat == rows[0].heat]
    said = shared_words(event, plans, demo.cards)
    assert said == f"Shared by {len(plans)} lanes: 2 x rowing machine"
    assert shared_words(demo.event, plans, demo.cards) == ""
    assert brief.grounds == (
        Ground(
            movement="Walking lunge",
            says=("lines on the floor", "Segment: 25 ft / 7.6 m"),
        ),
    )


def test_heats_with_the_same_needs_stand_together(demo: EventFolder) -> None:
    both = tuple(replace(row, heat="4") for row in demo.heats if row.heat == "1")
    more = replace(demo, heats=(*demo.heats, *both))
    brief = briefing(more, more.workouts["three-gates"], {})
    assert [floor.heats for floor in brief.floors] == [("1", "4"), ("2",)]
    assert "heats 1, 4     6 x barbell 15 kg" in page_text(brief_page(brief))


def test_one_heats_briefing_is_for_its_athletes_and_has_a_list_to_tick(
    demo: EventFolder,
) -> None:
    event = replace(demo.event, shared=(("rowing machine", 2),))
    one = replace(demo, event=event)
    brief = briefing(one, one.workouts["three-gates"], {}, heat="2")
    assert {bar.who for bar in brief.bars} == {"Men"}
    assert next(mark.bib for mark in brief.marks) == "044"
    text = page_text(brief_page(brief))
    assert text.startswith("Three Gates\nheat 2, Millrace Saturday")
    assert "What             Size           Each lane its own  Shared\n" in text
    assert "rowing machine   –                              6       3\n" in text  # noqa: RUF001


def test_heights_say_to_which_edge_for_each_division(demo: EventFolder) -> None:
    text = page_text(brief_page(briefing(demo, demo.workouts["mill-wheel"], {})))
    assert (
        "Wall-ball shot  Women 9 ft ≈ 2.74 m; Men 10 ft ≈ 3.05 m, "
        "to the lower edge of the mark\n"
        "Box jump-over   Box: Women 50 cm ≈ 19.7 in; Men 60 cm ≈ 23.6 in\n"
    ) in text


def test_an_own_height_of_today_and_an_unknown_reach_stand_there(
    demo: EventFolder,
) -> None:
    lower = Entry(
        book="b",
        number=1,
        lane=1,
        at=None,
        wall=0,
        who="kb",
        set=None,
        body=Scale(card="box-jump-over", height="40 cm", why="new to it"),
    )
    brief = briefing(demo, demo.workouts["mill-wheel"], {"3": [lower]})
    assert [(m.bib, m.movement, m.mark) for m in brief.marks] == [
        ("012", "Box jump-over", "40 cm ≈ 15.7 in")
    ]
    nobody = tuple(replace(a, reach=None) for a in demo.athletes)
    asked = replace(demo, athletes=nobody)
    marks = briefing(asked, asked.workouts["three-gates"], {}).marks
    assert marks[0].mark == "to be measured: reach and 6 in"


def test_settings_in_force_stand_in_the_cards_words(demo: EventFolder) -> None:
    brief = briefing(demo, demo.workouts["mill-wheel"], {})
    assert brief.settings[-4:] == (
        ("Wall-ball shot", "Whole ball above the line"),
        ("Box jump-over", "No need to stand tall on the box"),
        ("Box jump-over", "Both feet leave the floor together"),
        ("Pull-up", "Any style: swing and kick are free"),
    )


def test_discs_are_named_by_their_colour_where_the_event_has_such(
    demo: EventFolder,
) -> None:
    event = replace(demo.event, plates=Plates(coloured=True))
    brief = briefing(replace(demo, event=event), demo.workouts["three-gates"], {})
    assert [bar.discs for bar in brief.bars] == [
        "bar 15 kg, each side 10 kg green + 2.5 kg red + 1.25 kg",
        "bar 20 kg, each side 20 kg blue",
    ]


def test_an_athlete_of_a_division_that_was_not_listed_is_briefed(
    demo: EventFolder,
) -> None:
    swapped = Entry(
        book="b",
        number=1,
        lane=1,
        at=None,
        wall=0,
        who="kb",
        set=None,
        body=Is(bib="044"),
    )
    brief = briefing(demo, demo.workouts["three-gates"], {"1": [swapped]}, heat="1")
    assert [bar.who for bar in brief.bars] == ["Women", "Men"]


def test_a_usual_load_is_told_once_for_all_divisions(demo: EventFolder) -> None:
    swing = Movement(
        card=ByDivision(same="kettlebell-deadlift"),
        unit="reps",
        amounts=ByDivision(same=(10,)),
    )
    part = Part(id="A", shape=Rounds(rounds=1), movements=(swing,))
    workout = replace(demo.workouts["three-gates"], parts=(part,), tiebreaks=())
    swung = replace(demo, workouts={"three-gates": workout})
    assert briefing(swung, workout, {}).grounds == (
        Ground(
            movement="Kettlebell deadlift",
            says=(
                (
                    "Kettlebell: Women 16 kg / 35 lb; Men 24 kg / 53 lb "
                    "(usual; none is set)"
                ),
            ),
        ),
    )
