"""Points and places of a whole contest against what others published."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import rankdata

from judgekit.core.earned import Finish, points_of
from judgekit.core.entry import NoRep, Rep
from judgekit.core.plan import PlanTieBreak
from judgekit.core.points import Formula, Levels, Overall
from judgekit.core.quantity import parse, parse_duration
from judgekit.core.ranking import ranked
from judgekit.core.score import score
from judgekit.core.tryentry import Bar
from judgekit.files.eventfile import read_event
from tests.building import plan_of, tries
from tests.support import Played

if TYPE_CHECKING:
    from pathlib import Path

# --- ranks --------------------------------------------------------------------

# scikit-learn, load_linnerud: chin-ups of 20 men (Tenenhaus 1998), and their standard
# ranks, best first: two firsts and no second, two thirds.
CHINS = [5, 2, 12, 12, 13, 4, 8, 6, 15, 17, 17, 13, 14, 1, 6, 12, 4, 11, 15, 2]
RANKS = [15, 18, 8, 8, 6, 16, 12, 13, 3, 1, 1, 6, 5, 20, 13, 8, 16, 11, 3, 18]


def test_twenty_men_by_their_chin_ups() -> None:
    numbered = list(enumerate(CHINS))
    placed = ranked(numbered, key=lambda row: -row[1], tie_order=lambda row: row[0])
    found = {place.row[0]: place.rank for place in placed}
    assert [found[at] for at in range(len(CHINS))] == RANKS
    assert [int(rank) for rank in rankdata([-n for n in CHINS], "min")] == RANKS


@given(st.lists(st.integers(0, 9), min_size=1, max_size=30))
def test_shared_places_are_scipy_s_average_ranks(scores: list[int]) -> None:
    """Rosetta Code, "Ranking methods", calls them fractional."""
    least = [int(rank) for rank in rankdata([-n for n in scores], "min")]
    finishes = [
        Finish(bib=str(at), status="finished", rank=rank, tied=least.count(rank))
        for at, rank in enumerate(least)
    ]
    found = points_of(Overall(method="places", tied="shared"), "w", finishes)
    average = rankdata([-n for n in scores], "average")
    assert list(found.values()) == [Fraction(float(rank)) for rank in average]


def test_the_published_list_s_fractional_ranks() -> None:
    # Rosetta Code, "Ranking methods": 44 42 42 41 41 41 39 are 1 2.5 2.5 5 5 5 7.
    least = [1, 2, 2, 4, 4, 4, 7]
    finishes = [
        Finish(bib=str(at), status="finished", rank=rank, tied=least.count(rank))
        for at, rank in enumerate(least)
    ]
    found = points_of(Overall(method="places", tied="shared"), "w", finishes)
    assert [float(value) for value in found.values()] == [1, 2.5, 2.5, 5, 5, 5, 7]


# --- points by a formula ------------------------------------------------------

# World Athletics, "Scoring Tables for Combined Events": int(a (b - T)^c) on the track,
# int(a (M - b)^c) in the field, jumps in cm, always rounded down.
EVENTS = {
    "100 m": ("25.4347", "18", "1.81", False),
    "long jump": (".14354", "220", "1.4", True),
    "shot": ("51.39", "1.5", "1.05", True),
    "high jump": (".8465", "75", "1.42", True),
    "400 m": ("1.53775", "82", "1.81", False),
    "110 m hurdles": ("5.74352", "28.5", "1.92", False),
    "discus": ("12.91", "4", "1.1", True),
    "pole vault": (".2797", "100", "1.35", True),
    "javelin": ("10.14", "7", "1.08", True),
    "1500 m": (".03768", "480", "1.85", False),
}


def by_formula(event: str, result: str) -> int:
    a, b, c, rising = EVENTS[event]
    rule = Formula(a=Decimal(a), b=Decimal(b), c=Decimal(c), rising=rising)
    return int(rule.points(Fraction(result)))


@pytest.mark.parametrize(
    ("event", "result", "points"),
    [
        ("100 m", "10.51", 973),
        ("discus", "52.55", 924),
        # A hundredth of a second skips over 1000, and over 800.
        ("100 m", "10.39", 1001),
        ("100 m", "10.40", 999),
        ("100 m", "11.27", 801),
        ("100 m", "11.28", 799),
    ],
)
def test_worked_points(event: str, result: str, points: int) -> None:
    assert by_formula(event, result) == points


def test_a_whole_contest() -> None:
    # The world record of 2018 (marks from memory): 9126 points.
    marks = ("10.55", "780", "16.00", "205", "48.42", "13.75", "50.54", "545", "71.90")
    results = (*marks, "276.11")
    points = [by_formula(e, r) for e, r in zip(EVENTS, results, strict=True)]
    assert points == [963, 1010, 851, 850, 889, 1007, 882, 1051, 918, 705]
    assert sum(points) == 9126


# The same, women's heptathlon: coefficients and the record's marks of 1988 from memory,
# which make 7291 points.
HEPTATHLON = {
    "hurdles": ("9.23076", "26.7", "1.835", False),
    "high jump": ("1.84523", "75", "1.348", True),
    "shot": ("56.0211", "1.5", "1.05", True),
    "200 m": ("4.99087", "42.5", "1.81", False),
    "long jump": ("0.188807", "210", "1.41", True),
    "javelin": ("15.9803", "3.8", "1.04", True),
    "800 m": ("0.11193", "254", "1.88", False),
}


def own_rules(tmp_path: Path, events: dict[str, tuple[str, str, str, bool]]) -> Overall:
    """The event's file with a formula for each workout, as its organiser writes it."""
    rows = [
        f"{name.replace(' ', '-')} = {{ a = {Decimal(a)}, b = {b}, c = {c}"
        f"{', more-is-better = true' if rising else ''} }}"
        for name, (a, b, c, rising) in events.items()
    ]
    text = "\n".join([*HEAD, 'method = "results"', "[overall.results]", *rows, ""])
    path = tmp_path / "event.toml"
    path.write_text(text, encoding="utf-8")
    return read_event(path, "event.toml", cards=None, actions=None).overall


HEAD = (
    'name = "Combined events"',
    "date = 2027-05-08",
    "[[division]]",
    'id = "women"',
    'name = "Women"',
    "[overall]",
)


@pytest.mark.parametrize(
    ("events", "marks", "points"),
    [
        (
            EVENTS,
            (
                *("10.55", "780", "16.00", "205", "48.42"),
                *("13.75", "50.54", "545", "71.90", "276.11"),
            ),
            [963, 1010, 851, 850, 889, 1007, 882, 1051, 918, 705],
        ),
        (
            HEPTATHLON,
            ("12.69", "186", "15.80", "22.56", "727", "45.66", "128.51"),
            [1172, 1054, 915, 1123, 1264, 776, 987],
        ),
    ],
    ids=["men", "women"],
)
def test_a_whole_contest_by_the_event_s_own_file(
    tmp_path: Path,
    events: dict[str, tuple[str, str, str, bool]],
    marks: tuple[str, ...],
    points: list[int],
) -> None:
    overall = own_rules(tmp_path, events)
    found = []
    for (name, (_, _, _, rising)), mark in zip(events.items(), marks, strict=True):
        is_time = not rising
        value = Fraction(mark) * 1000 if is_time else Fraction(mark)
        finish = Finish(
            bib="7",
            status="finished",
            rank=1,
            value=value,
            unit="ms" if is_time else "metres",
        )
        found.append(points_of(overall, name.replace(" ", "-"), [finish])["7"])
    assert found == points
    assert sum(points) in (9126, 7291)


def test_the_false_start_of_a_race_s_formula_is_no_number() -> None:
    """Slower than b is nothing, never a root of a negative number."""
    assert by_formula("100 m", "18") == by_formula("100 m", "25") == 0


# --- points by levels ---------------------------------------------------------

# US Navy, PRT Guide 5: between two rows of the table the lower level's points count.
# Anchors as look-up fixtures, not the truth about a test of today: Marine Corps
# (MCO 6100.13A), men of 17 to 20: 20 pull-ups 100, 4 are 40; run 18:00 100, 27:40 40.
PULL_UPS = Levels(
    rows=((Fraction(4), Fraction(40)), (Fraction(20), Fraction(100))), rising=True
)
RUN = Levels(
    rows=((Fraction(1080), Fraction(100)), (Fraction(1660), Fraction(40))),
    rising=False,
)


@pytest.mark.parametrize(
    ("levels", "result", "points"),
    [
        (PULL_UPS, 3, 0),
        (PULL_UPS, 4, 40),
        (PULL_UPS, 19, 40),
        (PULL_UPS, 20, 100),
        (PULL_UPS, 31, 100),
        (RUN, 1661, 0),
        (RUN, 1660, 40),
        (RUN, 1081, 40),
        (RUN, 1080, 100),
        (RUN, 900, 100),
    ],
)
def test_the_lower_level_counts(levels: Levels, result: int, points: int) -> None:
    assert levels.points(Fraction(result)) == points


# US Army, fitness test, ages 17 to 21 (recruiting site's event pages, as stored): the
# deadlift 140 lb is 60 points, 340 lb 100; two miles 22:00 is 60, 13:22 100.
# As fixtures.
@pytest.mark.parametrize(
    ("workout", "result", "points"),
    [
        ("deadlift", "139 lb", 0),
        ("deadlift", "140 lb", 60),
        ("deadlift", "339.9 lb", 60),
        ("deadlift", "340 lb", 100),
        ("deadlift", "154.3 kg", 100),
        ("deadlift", "400 lb", 100),
        ("two-miles", "22:01", 0),
        ("two-miles", "22:00", 60),
        ("two-miles", "13:23", 60),
        ("two-miles", "13:22", 100),
        ("two-miles", "10:00", 100),
    ],
)
def test_levels_in_the_event_s_own_file(
    tmp_path: Path, workout: str, result: str, points: int
) -> None:
    rows = (
        'deadlift = [["140 lb", 60], ["340 lb", 100]]',
        'two-miles = [["22:00", 60], ["13:22", 100]]',
    )
    text = "\n".join([*HEAD, 'method = "results"', "[overall.results]", *rows, ""])
    path = tmp_path / "event.toml"
    path.write_text(text, encoding="utf-8")
    overall = read_event(path, "event.toml", cards=None, actions=None).overall
    is_time = ":" in result
    finish = Finish(
        bib="7",
        status="finished",
        rank=1,
        value=Fraction(parse_duration(result)) if is_time else parse(result).amount,
        unit="ms" if is_time else "kg",
    )
    assert points_of(overall, workout, [finish]) == {"7": points}


# The Marine Corps' older table (MCO P6100.12, second hand): 5 points a pull-up up to
# 20, 1 a crunch up to 100, 100 for a run of 18:00 and 1 less for each full 10 s more.
OLD = {
    "pull-ups": [(n, 5 * n) for n in range(21)],
    "crunches": [(n, n) for n in range(101)],
}


@pytest.mark.parametrize(
    ("pull_ups", "crunches", "run", "total"),
    [(20, 100, 1080, 300), (15, 90, 1260, 247), (3, 50, 1680, 105)],
)
def test_an_old_linear_table(
    pull_ups: int, crunches: int, run: int, total: int
) -> None:
    def rows(pairs: list[tuple[int, int]]) -> tuple[tuple[Fraction, Fraction], ...]:
        return tuple((Fraction(r), Fraction(p)) for r, p in pairs)

    up = Levels(rows=rows(OLD["pull-ups"]), rising=True).points(Fraction(pull_ups))
    bent = Levels(rows=rows(OLD["crunches"]), rising=True).points(Fraction(crunches))
    # A level lasts for 9.999 s: until the next full ten seconds.
    edges = [(1080_000 + 10_000 * n + 9_999, 100 - n) for n in range(100)]
    ran = Levels(rows=rows(edges), rising=False).points(Fraction(run * 1000))
    assert up + bent + ran == total


# --- count-back, and the order of lifters -------------------------------------


def test_count_back_goes_from_the_last_height_to_all_failures() -> None:
    """World Athletics TR 26, high jump, second hand; the marks are made up.

    Among equal heights fewer failures at the last height cleared, then fewer failures
    up to it; then they share the place.
    """
    # Height in cm, failures at it, failures in all.
    marks = {"a": (188, 1, 2), "b": (188, 0, 3), "c": (188, 1, 2), "d": (188, 1, 4)}
    placed = ranked(
        list(marks.items()),
        key=lambda row: (-row[1][0], *row[1][1:]),
        tie_order=lambda row: row[0],
    )
    assert [(p.rank, p.row[0], p.tied) for p in placed] == [
        (1, "b", False),
        (2, "a", True),
        (2, "c", True),
        (4, "d", False),
    ]


# An encyclopedia's worked example of the high jump ("Declaring the winner"): a column
# for 191, 193, 195, 197, 199 and 201 cm; o cleared, x failed, - not tried.
HEIGHTS = (191, 193, 195, 197, 199, 201)
JUMPS = {
    "A": ("-", "-", "xo", "xo", "xo", "xxx"),
    "B": ("o", "-", "o", "o", "xxx", ""),
    "C": ("o", "-", "xo", "xo", "x--", "xx"),
    "D": ("-", "xo", "o", "xxo", "xxo", "xxx"),
    "E": ("-", "-", "-", "xxx", "", ""),
}


def jumped(tries: tuple[str, ...]) -> tuple[int, int, int]:
    """The height cleared last, the failures at it, and all failures up to it."""
    cleared = [at for at, said in enumerate(tries) if said.endswith("o")]
    if not cleared:
        return 0, 0, 0
    last = cleared[-1]
    failed = sum(said.count("x") for said in tries[: last + 1])
    return -HEIGHTS[last], tries[last].count("x"), failed


def test_a_published_high_jump_is_counted_back_as_published() -> None:
    placed = ranked(
        list(JUMPS.items()),
        key=lambda row: jumped(row[1]),
        tie_order=lambda row: row[0],
    )
    assert [(p.rank, p.row[0]) for p in placed] == [
        (1, "A"),
        (2, "D"),
        (3, "B"),
        (4, "C"),
        (5, "E"),
    ]


def lifts(*said: tuple[str, bool], grams: int = 0) -> Played:
    ties = (PlanTieBreak(kind="earlier-attempt"), PlanTieBreak(kind="lighter-body"))
    plan = plan_of(tries(3), score="load", tiebreaks=ties, body_grams=grams)
    lane = Played(plan).go()
    for minute, (load, good) in enumerate(said):
        lane.press(60 * minute + 5, Bar(load=load))
        lane.press(60 * minute + 20, Rep() if good else NoRep(faults=("lock",)))
    return lane


def test_the_best_lift_first_then_the_attempt_at_which_it_was_made() -> None:
    """International weightlifting rules, 6.8.2, in force from 2017: a single lift.

    The higher result, then the lower attempt number of that result. Before 2017 the
    lighter lifter stood first.
    """
    second = lifts(("100 kg", True), ("105 kg", True), ("110 kg", False))
    third = lifts(("100 kg", True), ("105 kg", False), ("105 kg", True))
    less = lifts(("104 kg", True), ("110 kg", False), ("110 kg", False))
    keys = [score(lane.lane).rank_key for lane in (second, third, less)]
    assert None not in keys
    assert keys == sorted(keys)  # type: ignore[type-var]
    assert len(set(keys)) == 3


def test_the_lighter_lifter_first_where_the_event_says_so() -> None:
    """A US state body's powerlifting rules: on an equal total the lighter one."""
    said = ("100 kg", True), ("105 kg", True), ("110 kg", False)
    plan = lifts(*said).plan
    ties = (PlanTieBreak(kind="lighter-body"),)
    light, heavy = (
        score(
            replace(
                lifts(*said).lane,
                plan=replace(plan, tiebreaks=ties, body_grams=grams),
            )
        )
        for grams in (73_900, 74_000)
    )
    assert light.rank_key is not None
    assert heavy.rank_key is not None
    assert light.rank_key < heavy.rank_key


def test_place_tables_of_lifting_teams() -> None:
    # From memory, as data: powerlifting 12 9 8 7 6 5 4 3 2 1; ninth 2, eleventh none.
    table = tuple(Fraction(n) for n in (12, 9, 8, 7, 6, 5, 4, 3, 2, 1))
    finishes = [
        Finish(bib=str(rank), status="finished", rank=rank) for rank in range(1, 12)
    ]
    found = points_of(Overall(method="table", table=table), "w", finishes)
    assert [int(points) for points in found.values()] == [
        *(12, 9, 8, 7, 6, 5, 4, 3, 2, 1, 0)
    ]


# --- a total of two lifts -----------------------------------------------------

# International weightlifting rules, 6.8.2, in force from 2017, second hand: the higher
# total; then the lower best clean and jerk; then its lower attempt number. Body mass
# decides nothing any more. Who has no good snatch, or no good clean and jerk, has no
# total, and is placed in the other lift all the same. The marks are made up.
_MISSED = ("200 kg", False)


def two_lifts(
    snatch: str, jerk: str, *, at: int = 1, grams: int = 0, score_by: str = "total"
) -> Played:
    """The snatch at the first of three attempts, the clean and jerk at that one."""
    ties = (
        PlanTieBreak(kind="lighter-in", part=2),
        PlanTieBreak(kind="earlier-attempt"),
    )
    parts = (tries(3), replace(tries(3), id="B"))
    plan = plan_of(*parts, score=score_by, tiebreaks=ties, body_grams=grams)
    said = [(snatch, True) if snatch else _MISSED, _MISSED, _MISSED]
    second = [_MISSED] * 3
    if jerk:
        second[at - 1] = (jerk, True)
    lane = Played(plan).go()
    for minute, (load, good) in enumerate((*said, *second)):
        lane.press(60 * minute + 5, Bar(load=load))
        lane.press(60 * minute + 20, Rep() if good else NoRep(faults=("lock",)))
    return lane


def placed(lanes: dict[str, Played]) -> list[tuple[int | None, str]]:
    rows = [(name, score(lane.lane).rank_key) for name, lane in lanes.items()]
    found = ranked(rows, key=lambda row: row[1], tie_order=lambda row: row[0])
    return [(place.rank, place.row[0]) for place in found]


def test_equal_totals_go_by_the_lighter_clean_and_jerk_and_its_attempt() -> None:
    """300, 300, 300 and 295 kg: C, B, A, D."""
    lanes = {
        "A": two_lifts("135 kg", "165 kg", at=3, grams=60_000),
        "B": two_lifts("140 kg", "160 kg", at=3, grams=61_000),
        "C": two_lifts("140 kg", "160 kg", at=2, grams=89_000),
        "D": two_lifts("140 kg", "155 kg", at=1, grams=59_000),
    }
    assert placed(lanes) == [(1, "C"), (2, "B"), (3, "A"), (4, "D")]
    first = score(lanes["C"].lane)
    assert (first.shown, first.tiebreak) == ("300 kg", "160 kg in part B, attempt 2")


def test_no_good_lift_in_one_is_no_total_and_no_place() -> None:
    lanes = {
        "both": two_lifts("60 kg", "80 kg"),
        "no snatch": two_lifts("", "180 kg"),
        "no jerk": two_lifts("140 kg", ""),
        "none": two_lifts("", ""),
    }
    assert placed(lanes) == [
        (1, "both"),
        *((None, name) for name in ("no jerk", "no snatch", "none")),
    ]
    result = score(lanes["no snatch"].lane)
    assert (result.status, result.shown) == ("finished", "no total")
    assert result.detail == "no total: A no good lift, B 180 kg"


def test_the_other_lift_is_placed_all_the_same() -> None:
    apart = [
        score(two_lifts(*said, score_by="placing").lane)
        for said in (("60 kg", "80 kg"), ("", "180 kg"), ("140 kg", ""))
    ]
    by_part = [[one.parts[part].key for one in apart] for part in (0, 1)]
    snatches, jerks = by_part
    assert snatches[2] is not None
    assert snatches[0] is not None
    assert snatches[2] < snatches[0]
    assert jerks[1] is not None
    assert jerks[0] is not None
    assert jerks[1] < jerks[0]
    assert [one.parts[0].shown for one in apart] == ["60 kg", "0 kg", "140 kg"]


def test_a_sum_of_loads_counts_one_lift_alone() -> None:
    """Where the event says `load` and no total, as functional fitness events do."""
    result = score(two_lifts("", "80 kg", score_by="load").lane)
    assert (result.shown, result.rank_key is not None) == ("80 kg", True)
