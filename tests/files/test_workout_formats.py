"""Every format as it is written, and what is said where it makes no sense."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.people import Division
from judgekit.core.workout import (
    AtRep,
    Attempts,
    ByDivision,
    EarlierAttempt,
    Every,
    FewerNoReps,
    IntervalSeconds,
    LastRep,
    LighterBody,
    OneHold,
    Rounds,
    Team,
    Window,
    Workout,
)
from judgekit.files.library import read_file, standards_folder
from judgekit.files.toml import loads
from judgekit.files.workoutfile import workout_from
from tests.files.samples import problems_if_any, problems_of
from tests.files.test_workoutfile import ODD

if TYPE_CHECKING:
    from random import Random

    from judgekit.core.card import Card

DIVISIONS = (
    Division(id="women", name="Women", standard="women"),
    Division(id="men", name="Men", standard="men"),
)
USED = ("front-squat", "toes-to-bar", "row", "plank", "walking-lunge", "deadlift")

SQUATS = '[[part.movement]]\ncard = "front-squat"\nreps = 5'
TOES = '[[part.movement]]\ncard = "toes-to-bar"\nreps = 8'
ROW = '[[part.movement]]\ncard = "row"\ncalories = 12'
MAX = '[[part.movement]]\ncard = "toes-to-bar"\nreps = "max"'
LIFT = '[[part.movement]]\ncard = "deadlift"'
HOLD = '[[part.movement]]\ncard = "plank"'


@cache
def cards() -> dict[str, Card]:
    folder = standards_folder()
    return {name: read_file(folder / f"{name}.toml", "c").card for name in USED}


def part(shape: str, *movements: str) -> str:
    return "\n".join(("[[part]]", shape, *movements))


def joined(*texts: str) -> str:
    return "\n".join(texts)


def text_of(score: str, *rest: str) -> str:
    head = f'id = "w"\nname = "W"\nrevision = 1\nscore = "{score}"'
    return "\n".join((head, *rest))


def read(score: str, *rest: str) -> Workout:
    data = text_of(score, *rest).encode()
    return workout_from(loads(data, "w.toml"), "w", cards(), DIVISIONS)


def wrong(score: str, *rest: str) -> list[str]:
    return problems_of(lambda: read(score, *rest))


# --- what can be written ---------------------------------------------------------


@pytest.mark.parametrize(
    ("score", "shape", "movement", "shaped"),
    [
        (
            "time",
            'rounds = 3\nrest-between = "1:00"',
            SQUATS,
            Rounds(rounds=3, rest_ms=60_000),
        ),
        ("reps", 'window = "8:00"', SQUATS, Window(length_ms=480_000)),
        ("reps", 'window-until = "16:00"', SQUATS, Window(until_ms=960_000)),
        (
            "reps",
            'every = "1:00"\ntimes = 10',
            SQUATS,
            Every(every_ms=60_000, times=10, work_ms=60_000),
        ),
        (
            "reps",
            'every = "1:00"\ntimes = 10\nwork = "0:40"\nuntil-failed = true',
            SQUATS,
            Every(every_ms=60_000, times=10, work_ms=40_000, until_failed=True),
        ),
        (
            "reps",
            'every = "1:00"\ntimes = 10\nin-turn = true',
            f"{SQUATS}\n{TOES}",
            Every(every_ms=60_000, times=10, work_ms=60_000, in_turn=True),
        ),
        ("load", "attempts = 3", LIFT, Attempts(attempts=3)),
        (
            "load",
            'attempts = "free"\nwithin = "8:00"',
            LIFT,
            Attempts(attempts=0, within_ms=480_000),
        ),
        ("reading", 'hold = "2:00"', HOLD, OneHold(most_ms=120_000)),
        ("reading", 'hold = "max"', HOLD, OneHold()),
    ],
)
def test_each_shape_of_a_part(
    score: str, shape: str, movement: str, shaped: object
) -> None:
    assert read(score, part(shape, movement)).parts[0].shape == shaped


def test_targets_of_every_kind() -> None:
    window = part(
        'window = "5:00"',
        f"{SQUATS}\nrise = 2",
        '[[part.movement]]\ncard = "walking-lunge"\nsegments = 4\nunit = 2',
        '[[part.movement]]\ncard = "row"\ncalories = "max"\nunit = 10',
    )
    squat, lunge, row = read("reps", window).parts[0].movements
    assert (squat.amounts.same, squat.rise, squat.per) == ((5,), 2, 1)
    assert (lunge.unit, lunge.amounts.same, lunge.per) == ("segments", (4,), 2)
    assert (row.unit, row.amounts.same, row.per) == ("calories", (0,), 10)


def test_only_the_last_interval_may_be_as_many_as_can_be_done() -> None:
    every = part(
        'every = "1:00"\ntimes = 3',
        '[[part.movement]]\ncard = "front-squat"\nreps = [3, 4, "max"]',
    )
    assert read("reps", every).parts[0].movements[0].amounts.same == (3, 4, 0)


def test_an_attempt_is_one_rep_and_a_hold_as_long_as_it_lasts() -> None:
    lifts = read("load", part("attempts = 3", LIFT, f"{LIFT}\nreps = 2"))
    assert [m.amounts.same for m in lifts.parts[0].movements] == [(1,), (2,)]
    held = read("reading", part('hold = "2:00"', HOLD)).parts[0].movements[0]
    assert (held.unit, held.amounts) == ("seconds", ByDivision(same=(120,)))
    longest = read("reading", part('hold = "max"', HOLD)).parts[0].movements[0]
    assert longest.amounts == ByDivision(same=(0,))


def test_placing_gives_each_part_the_score_of_its_shape() -> None:
    found = read(
        "placing",
        part("rounds = 2", SQUATS),
        part("scored = false\nrounds = 1", TOES),
        part('window = "3:00"', TOES),
        part('window = "3:00"', ROW),
        part('every = "1:00"\ntimes = 4\ntake = "worst"', TOES),
        part('attempts = "free"\nwithin = "6:00"', LIFT),
        part('hold = "max"', HOLD),
        part('rounds = 3\nrest-between = "2:00"\ntake = "worst"\nscore = "time"', TOES),
    )
    assert [(p.score, p.take, p.scored) for p in found.parts] == [
        ("time", "sum", True),
        (None, "sum", False),
        ("reps", "sum", True),
        ("reading", "sum", True),
        ("reps", "worst", True),
        ("load", "sum", True),
        ("reading", "sum", True),
        ("time", "worst", True),
    ]


def test_only_placing_gives_parts_a_score_of_their_own() -> None:
    assert read("reps", part('window = "3:00"', TOES)).parts[0].score is None


def test_a_load_for_each_round_is_a_ladder() -> None:
    ladder = f'{SQUATS}\nload = ["40 kg", "50 kg", "60 kg"]'
    found = read("load", part('every = "1:30"\ntimes = 3', ladder))
    assert found.parts[0].movements[0].load is not None


def test_intervals_may_be_scored_by_their_times() -> None:
    shape = 'every = "4:00"\ntimes = 5\ntake = "worst"'
    assert read("time", part(shape, SQUATS)).parts[0].take == "worst"


def test_every_tie_break() -> None:
    ties = (
        "tiebreak = [{ at-rep = 60 }, { last-rep = true }, { fewer-no-reps = true }, "
        "{ lighter = true }]"
    )
    assert read("reps", ties, part('window = "3:00"', TOES)).tiebreaks == (
        AtRep(rep=60),
        LastRep(),
        FewerNoReps(),
        LighterBody(),
    )
    attempts = "tiebreak = [{ earlier-attempt = true }]\nlast-lift = 'started'"
    lifted = read("load", attempts, part('attempts = 3\nwithin = "6:00"', LIFT))
    assert (lifted.tiebreaks, lifted.last_lift) == ((EarlierAttempt(),), "started")
    every = "tiebreak = [{ interval-seconds = true }]"
    intervals = read("reps", every, part('every = "1:00"\ntimes = 4', TOES))
    assert intervals.tiebreaks == (IntervalSeconds(),)


def test_a_workout_says_how_it_is_watched() -> None:
    window = part('window = "3:00"', TOES)
    assert read("reps", window).watching is None
    assert read("reps", "watching = 'reported'", window).watching == "reported"


def test_a_team() -> None:
    team = '[team]\nsize = 3\nhow = "shared"\nleast = 10\njudges = 2'
    found = read("reps", team, part('window = "3:00"', TOES))
    assert found.team == Team(size=3, how="shared", least=10, judges=2)
    alone = read("reps", part('window = "3:00"', TOES))
    assert alone.team is None


# --- what makes no sense ---------------------------------------------------------

EVERY = 'every = "1:00"\ntimes = 4'


@pytest.mark.parametrize(
    ("shape", "problem"),
    [
        (
            "rounds = 2\ntimes = 4",
            '7: part 1: "times" goes with "every", and this part has "rounds"; take',
        ),
        (
            "times = 4",
            '6: part 1: "times" goes with "every", and this part has none; take it',
        ),
        (
            'window = "5:00"\nwithin = "3:00"',
            '7: part 1: "within" goes with "attempts", and this part has "window"; ta',
        ),
        (
            'window = "5:00"\nrest-between = "1:00"',
            '7: part 1: "rest-between" goes with "rounds", and this part has "window"',
        ),
        (
            'window = "5:00"\nuntil-failed = true',
            '7: part 1: "until-failed" goes with "every", and this part has "window";',
        ),
        (
            'rounds = 1\nrest-between = "1:00"',
            '7: part 1: "rest-between" lies between two rounds, and there is one; tak',
        ),
        (
            'every = "1:00"',
            '6: part 1: "every" does not say how many intervals; add times = 10',
        ),
        (
            f'{EVERY}\nwork = "1:01"',
            '8: part 1: "work" is 1:01, but the next interval starts after 1:00; writ',
        ),
        (
            f"{EVERY}\nin-turn = true",
            '8: part 1: "in-turn" needs movements that take turns, and there is one; ',
        ),
        (
            "attempts = 'free'",
            '6: part 1: "attempts" is "free", but never ends; add within = "8:00"',
        ),
        (
            "attempts = 'some'",
            '6: part 1: "attempts" is "some"; write a whole number from 1 to 1000, or',
        ),
        (
            "attempts = 0",
            '6: part 1: "attempts" is 0; write a whole number from 1 to 1000, or "fre',
        ),
        ("attempts = true", '6: part 1: "attempts" is true; write a whole number from'),
        (
            'hold = "long"',
            '6: part 1: "hold": "long" is not a time such as',
        ),
        (
            'hold = "1.5 s"',
            '6: part 1: "hold" is 0:01.5, but holds count whole seconds; write it wit',
        ),
        ('every = "1:00"\ntimes = 0', '7: part 1: "times" is 0; it must be at least 1'),
        (
            f'{EVERY}\ntake = "most"',
            '8: part 1: "take" is "most"; one of "sum", "worst", "best", "kept"',
        ),
        (
            f'{EVERY}\nscore = "placing"',
            '8: part 1: "score" is "placing"; one of "time", "reps", "load", "reading"',
        ),
        (f"{EVERY}\nscored = 1", '8: part 1: "scored" is a whole number; write true'),
        (
            'window = "5:00"\nevery = "1:00"',
            "5: part 1 has window and every; write exactly one of rounds, window, win",
        ),
    ],
)
def test_a_shape_that_cannot_be(shape: str, problem: str) -> None:
    found = wrong("reps", part(shape, SQUATS))
    assert [said for said in found if said.startswith(f"w.toml:{problem}")], found


@pytest.mark.parametrize(
    ("shape", "movement", "problem"),
    [
        (
            "rounds = 3",
            MAX,
            'is "max", but here no horn ends it: rounds never end; write a number, or',
        ),
        (
            'attempts = "free"\nwithin = "5:00"',
            MAX,
            'is "max", but here no horn ends it: an attempt has none; write a number,',
        ),
        (
            'window = "5:00"',
            f"{MAX}\n{SQUATS}",
            'is "max", so nobody comes to what follows it in the round; make it the l',
        ),
        (
            'window = "5:00"',
            f"{MAX}\npieces = [[5]]",
            '"pieces" stands with "max"; take one of them out',
        ),
        (
            'window = "5:00"',
            f"{MAX}\nrise = 2",
            '"rise" stands with "max"; take one of them out',
        ),
        (
            "rounds = 1",
            f"{SQUATS}\nrise = 2",
            '"rise" needs rounds to rise from one to the next; take it out',
        ),
        (
            "rounds = 2",
            '[[part.movement]]\ncard = "front-squat"\nreps = [3, 4]\nrise = 2',
            '"rise" stands with a number for each round; write one number in reps, or',
        ),
        (
            "rounds = 2",
            f"{SQUATS}\nrise = 2\npieces = [[5], [7]]",
            '"rise" stands with pieces, which do not rise; take one of them out',
        ),
        ("rounds = 2", f"{SQUATS}\nrise = 0", '"rise" is 0; it must be from 1 to'),
        (
            "rounds = 2",
            f"{SQUATS}\nunit = 2",
            '"unit" stands with reps, of which each is one; take it out',
        ),
        (
            "rounds = 2",
            f"{ROW}\nunit = 13",
            '"unit" is 13 calories for one rep of the score, more than the set of 12;',
        ),
        (
            "rounds = 2",
            '[[part.movement]]\ncard = "front-squat"\nseconds = 20',
            '"seconds" is asked for, but the card "front-squat" is not counted in sec',
        ),
        (
            "rounds = 2",
            '[[part.movement]]\ncard = "front-squat"\nreps = "many"',
            '"reps" is text; write a whole number, or "max"',
        ),
        (
            "attempts = 3",
            ROW,
            '"calories" stands in attempts, which are made of reps; write reps, or a',
        ),
        (
            "attempts = 3",
            HOLD,
            '"card" is asked for, but the card "plank" is not counted in reps; it is',
        ),
        (
            'hold = "2:00"',
            '[[part.movement]]\ncard = "front-squat"',
            '"card" is "front-squat", which does not count seconds, so it is no hold;',
        ),
        (
            'hold = "2:00"',
            f"{HOLD}\nseconds = 60",
            '"seconds" is given, but the part\'s hold says how long; take it out',
        ),
        (
            'hold = "2:00"',
            f"{HOLD}\n{HOLD}",
            '"movement" is there 2 times; a hold is one movement alone',
        ),
        (
            f"{EVERY}\nuntil-failed = true",
            MAX,
            '"until-failed" is true, but a movement is "max", which nobody leaves sho',
        ),
        (
            'every = "1:00"\ntimes = 1\nin-turn = true',
            f"{SQUATS}\n{TOES}",
            '"times" is 1, so not all of 2 movements get their turn; write at least 2',
        ),
        (
            "attempts = 3",
            joined(f'{LIFT}\nload = "60 kg"', f'{LIFT}\nload = "70 kg"'),
            '"load" is a second load, but all movements of an attempt share one bar; ',
        ),
    ],
)
def test_a_target_that_cannot_be(shape: str, movement: str, problem: str) -> None:
    found = wrong("reps", 'cap = "20:00"', part(shape, movement))
    assert [said for said in found if problem in said], found


@pytest.mark.parametrize(
    ("score", "rest", "problem"),
    [
        (
            "load",
            part("rounds = 2", SQUATS),
            '6: part 1: "rounds" is scored by load, but has no attempts and no load f',
        ),
        (
            "time",
            part("attempts = 3", LIFT),
            '6: part 1: "attempts" cannot be scored by time: it has attempts, not wor',
        ),
        (
            "time",
            part('hold = "max"', HOLD),
            '6: part 1: "hold" cannot be scored by time: it is longer the better it i',
        ),
        (
            "time",
            part(EVERY, SQUATS),
            '6: part 1: "every" cannot be scored by time: it ends at the same time fo',
        ),
        (
            "reps",
            part('hold = "max"', HOLD),
            '6: part 1: "hold" is a hold, which has no reps; write score = "reading":',
        ),
        (
            "reading",
            part('window = "3:00"', SQUATS),
            '6: part 1: "window" is scored by a reading, but has movements counted in',
        ),
        (
            "reading",
            part('window = "3:00"', f"{ROW}\nunit = 4"),
            '10: part 1, movement 1: "unit" makes reps of its calories, but the score',
        ),
        (
            "placing",
            part("rounds = 3", SQUATS),
            '4: "score" is "placing", which adds up the places of parts, but one part',
        ),
        (
            "reps",
            part('window = "3:00"\nscored = false', SQUATS),
            '7: part 1: "scored" is false for every part; leave one that is scored',
        ),
        (
            "time",
            joined(part("rounds = 1", TOES), part("rounds = 1\nscored = false", TOES)),
            '12: part 2: "scored" is false, but the score is "time", and the clock ru',
        ),
        (
            "placing",
            joined(
                part('rounds = 1\nscored = false\nscore = "time"', TOES),
                part("rounds = 1", TOES),
                part("rounds = 1", TOES),
            ),
            '8: part 1: "score" is given, but the part is not scored; take it out, or',
        ),
        (
            "reps",
            part('window = "3:00"\nscore = "reps"', SQUATS),
            '7: part 1: "score" is the part\'s own, but the workout is scored by "rep',
        ),
        (
            "reps",
            part('window = "3:00"\ntake = "best"', SQUATS),
            '7: part 1: "take" is "best", but the part has no rounds or intervals to ',
        ),
        (
            "time",
            part('rounds = 1\ntake = "worst"', SQUATS),
            '7: part 1: "take" is "worst", but the part has no rounds or intervals to',
        ),
        (
            "time",
            part('rounds = 3\ntake = "kept"', SQUATS),
            '7: part 1: "take" is "kept", which counts whole intervals; use it with e',
        ),
        (
            "reps",
            'cap = "5:00"\n' + part('rounds = 3\ntake = "best"', SQUATS),
            '8: part 1: "take" is "best", but rounds differ in their time alone; writ',
        ),
        (
            "load",
            'cap = "5:00"\ncapped = "second-per-rep"\n' + part("attempts = 3", LIFT),
            '6: "capped" adds seconds, but the score is the load lifted by the cap; t',
        ),
        (
            "reps",
            joined(part(EVERY, SQUATS), part('window-until = "4:00"', SQUATS)),
            '12: part 2: "window-until" is 4:00, but the parts before it take at leas',
        ),
        (
            "reps",
            joined(
                part(f"{EVERY}\nuntil-failed = true", SQUATS),
                part('window = "2:00"', SQUATS),
            ),
            '8: part 1: "until-failed" is true, but work follows, which nobody who is',
        ),
        (
            "reps",
            "last-lift = 'started'\n" + part('window = "3:00"', SQUATS),
            '5: "last-lift" is about a lift at the horn, but no part has attempts wit',
        ),
        (
            "reps",
            "tiebreak = [{ earlier-attempt = true }]\n"
            + part('window = "3:00"', SQUATS),
            '5: tiebreak 1: "earlier-attempt" is asked for, but no part has attempts;',
        ),
        (
            "reps",
            "tiebreak = [{ interval-seconds = true }]\n"
            + part('window = "3:00"', SQUATS),
            '5: tiebreak 1: "interval-seconds" is asked for, but no part has interval',
        ),
        (
            "time",
            "tiebreak = [{ at-rep = 27 }]\n"
            + part("rounds = 2", f"{SQUATS}\nrise = 3\n{TOES.replace('8', '6')}"),
            '5: tiebreak 1: "at-rep" is 27, but the workout has 25; write less',
        ),
        (
            "load",
            "last-lift = 'started'\n" + part("attempts = 3", LIFT),
            '5: "last-lift" is about a lift at the horn, but no part has attempts wit',
        ),
        (
            # 3 x 5 squats and 2 x 8 toes-to-bar in turn.
            "reps",
            "tiebreak = [{ at-rep = 32 }]\n"
            + part('every = "1:00"\ntimes = 5\nin-turn = true', SQUATS, TOES),
            '5: tiebreak 1: "at-rep" is 32, but the workout has 31; write less',
        ),
        (
            "reps",
            "tiebreak = [{ last-rep = true }, { last-rep = true }]\n"
            + part('window = "3:00"', SQUATS),
            '5: tiebreak 2: "last-rep" is there twice; keep the first',
        ),
        (
            "reps",
            "tiebreak = [{ lighter = true }]\n[team]\nsize = 2\nhow = 'shared'\n"
            + part('window = "3:00"', SQUATS),
            '5: tiebreak 1: "lighter" is about one athlete, and here are teams; take ',
        ),
        (
            "reps",
            "[team]\nsize = 2\nhow = 'shared'\njudges = 3\n"
            + part('window = "3:00"', SQUATS),
            '8: team: "judges" is 3, more than the 2 of a team; write at most 2',
        ),
        (
            "reps",
            "[team]\nsize = 2\nhow = 'together'\nleast = 3\n"
            + part('window = "3:00"', SQUATS),
            '8: team: "least" is given, but together all of them do every rep; take i',
        ),
        (
            "time",
            "[team]\nsize = 2\nhow = 'relay'\n" + part("rounds = 1", SQUATS),
            '7: team: "how" is "relay", in which one does a round and then the next, ',
        ),
        (
            "reps",
            "[team]\nsize = 1\nhow = 'relay'\n" + part('window = "3:00"', SQUATS),
            '6: team: "size" is 1; it must be at least 2',
        ),
        (
            "reps",
            joined(
                part('window = "3:00"', SQUATS),
                '[[part]]\nrest = "1:00"\nscored = false',
                part('window = "3:00"', SQUATS),
            ),
            '12: part 2: "scored" stands in a rest; take it out',
        ),
    ],
)
def test_parts_that_do_not_go_together(score: str, rest: str, problem: str) -> None:
    found = wrong(score, rest)
    assert [said for said in found if said.startswith(f"w.toml:{problem}")], found


# --- damage ----------------------------------------------------------------------

WHOLE = text_of(
    "placing",
    'cap = "40:00"\ncapped = "below"\nlast-lift = "started"',
    "tiebreak = [{ at-rep = 60 }, { earlier-attempt = true }]",
    '[team]\nsize = 2\nhow = "relay"\nleast = 5\njudges = 2',
    part('rounds = 3\nrest-between = "1:00"\ntake = "worst"', f"{SQUATS}\nrise = 2"),
    part('scored = false\nwindow-until = "9:00"', f"{ROW}\nunit = 4", MAX),
    part('every = "1:00"\ntimes = 4\nwork = "0:40"\nin-turn = true', SQUATS, TOES),
    part('rest-until = "15:00"'),
    part('attempts = "free"\nwithin = "6:00"\nscore = "load"', LIFT, LIFT),
    part('hold = "2:00"', HOLD),
)


def test_the_whole_text_that_is_damaged_is_right() -> None:
    assert problems_if_any(lambda: read_text(WHOLE)) == ()


def read_text(text: str) -> Workout:
    return workout_from(loads(text.encode(), "w.toml"), "w", cards(), DIVISIONS)


@settings(max_examples=200)
@given(st.randoms(use_true_random=False))
def test_a_damaged_format_is_read_or_refused_and_never_crashes(
    random: Random,
) -> None:
    rows = WHOLE.split("\n")
    for _ in range(random.randint(1, 4)):
        at = random.randrange(len(rows))
        if random.random() < 0.7 and " = " in rows[at]:
            rows[at] = f"{rows[at].split(' = ')[0]} = {random.choice(ODD)}"
        else:
            rows[at] = rows[random.randrange(len(rows))]
    found = problems_if_any(lambda: read_text("\n".join(rows)))
    wrong_ones = [
        p for p in found if not 1 <= p.line <= len(rows) or "ydantic" in p.what
    ]
    assert wrong_ones == []
