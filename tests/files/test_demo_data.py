"""The demo event that comes along: whole, checked, and the same at every playing."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Entry, Go, Horn
from judgekit.core.score import Score, score
from judgekit.core.setup import resolve
from judgekit.files.folder import EventFolder, check_paths, load_event
from judgekit.files.tally import parse
from tests.support import Played

if TYPE_CHECKING:
    from judgekit.core.state import Lane

DEMO = Path(__file__).resolve().parents[2] / "demo"
LANES = [(heat, lane) for heat in ("1", "2", "3") for lane in range(1, 7)]


@cache
def event() -> EventFolder:
    return load_event(DEMO, shown="demo")


@cache
def played(heat: str, lane: int) -> Played:
    """A recorded lane, line by line through the same door as a judge's keys."""
    (found,) = [h for h in event().lanes(heat) if h.lane == lane]
    athlete = event().athlete(found.bib)
    assert athlete is not None
    plan = resolve(
        event=event().event,
        heat=found,
        athlete=athlete,
        workout=event().workouts[found.workout],
        cards=event().cards,
    )
    name = f"heat-{heat}_lane-{lane}.tally"
    text = (DEMO / "tallies" / name).read_text(encoding="utf-8")
    desk = Played(plan)
    for line in parse(text, name, plan).lines:
        if isinstance(line.act, Go):
            desk.go()
        else:
            desk.press(line.at / 1000, line.act)
    return desk


def lane_of(heat: str, lane: int) -> Lane:
    return played(heat, lane).lane


def score_of(heat: str, lane: int) -> Score:
    return score(lane_of(heat, lane))


def entries_of(kind: str) -> list[tuple[str, int, Entry]]:
    return [
        (heat, lane, entry)
        for heat, lane in LANES
        for entry in played(heat, lane).entries
        if entry.body.kind == kind
    ]


def test_nothing_is_wrong_with_the_demo_and_there_is_no_advice() -> None:
    assert check_paths([DEMO]) == ()


def test_twelve_athletes_do_the_first_workout_and_six_the_second() -> None:
    bibs = [athlete.bib for athlete in event().athletes]
    by_workout = {
        workout: [h.bib for h in event().heats if h.workout == workout]
        for workout in event().workouts
    }

    assert (len(bibs), bibs[0]) == (12, "007")
    assert sorted(by_workout["three-gates"]) == sorted(bibs)
    assert len(by_workout["mill-wheel"]) == 6
    assert all(athlete.reach is not None for athlete in event().athletes)


def test_every_lane_has_one_recorded_tally() -> None:
    assert sorted(path.name for path in (DEMO / "tallies").iterdir()) == [
        f"heat-{heat}_lane-{lane}.tally" for heat, lane in LANES
    ]


def test_every_judge_has_one_lane_and_never_the_same_athlete_twice() -> None:
    heats = event().heats

    assert len({(h.heat, h.judge) for h in heats}) == len(heats)
    assert len({(h.bib, h.judge) for h in heats}) == len(heats)


@pytest.mark.parametrize(("heat", "lane"), LANES)
def test_a_recorded_lane_plays_without_a_refusal_and_is_signed(
    heat: str, lane: int
) -> None:
    assert played(heat, lane).refusals == []
    assert lane_of(heat, lane).closed
    assert score_of(heat, lane).provisional == ()


@pytest.mark.parametrize(("heat", "lane"), LANES)
def test_a_recorded_pace_is_believable(heat: str, lane: int) -> None:
    hurried = [
        (attempt.at, attempt.marks)
        for attempt in lane_of(heat, lane).work.attempts
        if {"soon", "changeover", "out of order"} & set(attempt.marks)
    ]

    assert hurried == []


def test_no_recorded_press_is_ignored() -> None:
    assert entries_of("ignored") == []


def test_the_for_time_workout_shows_every_way_a_heat_can_end() -> None:
    ended = {
        (heat, lane): (score_of(heat, lane).status, score_of(heat, lane).shown)
        for heat, lane in LANES
        if heat != "3"
    }

    assert ended == {
        ("1", 1): ("finished", "6:56"),
        ("1", 2): ("finished", "6:02"),
        ("1", 3): ("capped", "101 of 128"),
        ("1", 4): ("finished", "7:22"),
        ("1", 5): ("finished", "9:10"),
        ("1", 6): ("finished", "7:42"),
        ("2", 1): ("finished", "6:13"),
        ("2", 2): ("withdrawn", "91 of 134"),
        ("2", 3): ("finished", "7:24"),
        ("2", 4): ("finished", "8:33"),
        ("2", 5): ("finished", "7:24"),
        ("2", 6): ("finished", "9:45"),
    }


def test_one_tie_is_parted_by_the_shown_tie_break() -> None:
    third, fifth = score_of("2", 3), score_of("2", 5)

    assert (third.shown, fifth.shown) == ("7:24", "7:24")
    assert (third.tiebreak, fifth.tiebreak) == ("2:58", "3:07")


def test_the_window_workout_counts_reps_and_asks_at_the_horn() -> None:
    reps = {lane: score_of("3", lane).reps for _, lane in LANES[-6:]}
    asked = [
        (lane, entry.body.counts)
        for _, lane, entry in entries_of("horn")
        if isinstance(entry.body, Horn)
    ]

    assert reps == {1: 177, 2: 133, 3: 123, 4: 178, 5: 125, 6: 127}
    assert asked == [(2, True), (4, False)]


@pytest.mark.parametrize(
    ("kind", "lanes"),
    [
        ("stop", [("1", 5)]),
        ("go-on", [("1", 5)]),
        ("withdraw", [("2", 2)]),
        ("correct", [("2", 3)]),
        ("put-back", [("1", 6)]),
        ("close-call", [("1", 2), ("2", 4), ("3", 6)]),
    ],
)
def test_each_rare_thing_happens_where_the_demo_says(
    kind: str, lanes: list[tuple[str, int]]
) -> None:
    assert [(heat, lane) for heat, lane, _ in entries_of(kind)] == lanes


def test_one_athlete_leaves_a_rest_too_early_and_the_step_does_not_count() -> None:
    early = [
        (heat, lane, attempt.counts)
        for heat, lane in LANES
        for attempt in lane_of(heat, lane).work.attempts
        if "early" in attempt.marks
    ]

    assert early == [("1", 4, False)]


def test_the_newcomers_lane_takes_less_than_twelve_minutes() -> None:
    done = lane_of("1", 1).work.done_ms

    assert done is not None
    assert done < 12 * 60_000
