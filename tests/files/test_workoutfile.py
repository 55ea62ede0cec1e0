from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core import quantity
from judgekit.core.people import Division
from judgekit.core.workout import (
    AfterPart,
    ByDivision,
    ClockRest,
    LastFullRound,
    Movement,
    OwnRest,
    Part,
    Rounds,
    Window,
    Workout,
)
from judgekit.files.cardfile import card_from
from judgekit.files.toml import loads
from judgekit.files.workoutfile import read_workout, workout_from
from tests.files.samples import (
    CARD,
    DIVISIONS,
    ROW_CARD,
    WORKOUT,
    changed,
    problems_if_any,
    problems_of,
    put,
)

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path
    from random import Random

CARDS = {
    "crate-throw": card_from(loads(CARD.encode(), "c"), "crate-throw"),
    "bench-row": card_from(loads(ROW_CARD.encode(), "c"), "bench-row"),
}
TEENS = Division(id="teens", name="Teens", standard="teens")

WHOLE = Workout(
    id="harbour",
    name="Harbour",
    revision=1,
    score="time",
    parts=(
        Part(
            id="A",
            shape=Rounds(rounds=3),
            movements=(
                Movement(
                    card=ByDivision(same="crate-throw"),
                    unit="reps",
                    amounts=ByDivision(same=(12, 10, 8)),
                    load=ByDivision(
                        by_key=(
                            ("men", (quantity.parse("70 kg"),)),
                            (
                                "women",
                                (
                                    quantity.pair(
                                        quantity.parse("47.5 kg"),
                                        quantity.parse("105 lb"),
                                    ),
                                ),
                            ),
                        )
                    ),
                    pieces=((7, 5), (6, 4), (8,)),
                    watch=("shallow",),
                ),
            ),
        ),
        Part(id="rest-1", shape=OwnRest(length_ms=240_000)),
        Part(
            id="B",
            shape=Rounds(rounds=4),
            movements=(
                Movement(
                    card=ByDivision(same="bench-row"),
                    unit="calories",
                    amounts=ByDivision(same=(15,)),
                ),
            ),
        ),
    ),
    aim="Small sets",
    rest="excluded",
    cap_ms=ByDivision(same=1_440_000),
    capped="below",
    precision_ms=100,
    tiebreaks=(AfterPart(part="A"),),
    settings=(("crate-throw.line", "above"),),
)


def workout(
    *changes: tuple[str, str], divisions: Sequence[Division] = DIVISIONS
) -> Workout:
    text = changed(WORKOUT, *changes)
    return workout_from(loads(text.encode(), "w.toml"), "harbour", CARDS, divisions)


def refusals(
    *changes: tuple[str, str], divisions: Sequence[Division] = DIVISIONS
) -> list[str]:
    return problems_of(lambda: workout(*changes, divisions=divisions))


def first(read: Workout) -> Movement:
    return read.parts[0].movements[0]


def test_a_workout_file_becomes_the_workout_it_says(tmp_path: Path) -> None:
    path = put(tmp_path, "harbour.toml", WORKOUT)
    assert read_workout(path, "harbour.toml", CARDS, DIVISIONS) == WHOLE


def test_a_short_workout_has_defaults() -> None:
    text = (
        'id = "short"\nname = "Short"\nrevision = 1\nscore = "time"\n'
        '[[part]]\nrounds = 2\n[[part.movement]]\ncard = "bench-row"\nmetres = 500\n'
    )
    read = workout_from(loads(text.encode(), "w.toml"), "short", CARDS, DIVISIONS)
    movement = Movement(
        card=ByDivision(same="bench-row"),
        unit="metres",
        amounts=ByDivision(same=(500,)),
    )
    assert read == Workout(
        id="short",
        name="Short",
        revision=1,
        score="time",
        parts=(Part(id="A", shape=Rounds(rounds=2), movements=(movement,)),),
    )


def test_a_window_takes_lists_of_any_length_and_is_scored_in_reps() -> None:
    read = workout(
        ('score = "time"', 'score = "reps"'),
        ("rounds = 3", 'window = "5:00"'),
        ("[12, 10, 8]", "[2, 4]"),
        ("[[7, 5], [6, 4], [8]]", "[[2], [3, 1]]"),
        ('{ after-part = "A" }', "{ last-full-round = true }"),
    )
    assert read.parts[0].shape == Window(length_ms=300_000)
    assert first(read).amounts == ByDivision(same=(2, 4))
    assert read.tiebreaks == (LastFullRound(),)


def test_a_rest_may_last_until_a_time_on_the_clock() -> None:
    read = workout(('rest = "4:00"', 'rest-until = "10:00"'))
    assert read.parts[1] == Part(id="rest-1", shape=ClockRest(until_ms=600_000))


def test_amounts_cards_and_caps_may_differ_by_division_or_standard() -> None:
    read = workout(
        (
            'card = "bench-row"',
            'card = { men-open = "bench-row", women = "bench-row" }',
        ),
        ("calories = 15", "calories = { men = [9, 8, 7, 6], women-open = 5 }"),
        ('cap = "24:00"', 'cap = { men = "20:00", women = "22:00" }'),
    )
    movement = read.parts[2].movements[0]
    assert movement.card.value_for("men-open", "men") == "bench-row"
    assert movement.amounts == ByDivision(
        by_key=(("men", (9, 8, 7, 6)), ("women-open", (5,)))
    )
    assert read.cap_ms == ByDivision(by_key=(("men", 1_200_000), ("women", 1_320_000)))


def test_a_load_may_be_one_for_each_round_or_marked_in_two_units() -> None:
    loads_ = 'load = ["60 kg", ["61 kg", "135 lb"], "62 kg"]'
    old = 'load = { men = "70 kg", women = ["47.5 kg", "105 lb"] }'
    load = first(workout((old, loads_))).load
    assert load is not None
    assert load.same is not None
    assert [quantity.shown(q) for q in load.same] == [
        "60 kg ≈ 132 lb",
        "61 kg / 135 lb",
        "62 kg ≈ 137 lb",
    ]


def test_one_list_of_pieces_does_for_every_round() -> None:
    read = workout(("[12, 10, 8]", "12"), ("[[7, 5], [6, 4], [8]]", "[[7, 5]]"))
    assert first(read).pieces == ((7, 5), (7, 5), (7, 5))


def test_parts_without_a_name_take_the_next_free_letter() -> None:
    read = workout(
        ('rest = "4:00"', 'id = "pause"\nrest = "4:00"'),
        ("rounds = 4", 'id = "A"\nrounds = 4'),
    )
    assert [part.id for part in read.parts] == ["B", "pause", "A"]


def test_a_setting_s_key_may_stand_without_quotes() -> None:
    read = workout(('"crate-throw.line"', "crate-throw.line"))
    assert read.settings == (("crate-throw.line", "above"),)


def test_without_divisions_no_table_is_held_to_them() -> None:
    assert workout(divisions=()) == WHOLE


# --- what is wrong -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "problem"),
    [
        ("0", "is 0; it must be from 1 to 100000"),
        ("-5", "is -5; it must be from 1 to 100000"),
        ("100001", "is 100001; it must be from 1 to 100000"),
        ("true", "is true, which is not a number; write one"),
        ('"12"', 'is text; write a whole number, or "max"'),
        ("12.0", "is 12 with a decimal point; write it without"),
        ("inf", "is inf or nan; write a whole number"),
        ("nan", "is inf or nan; write a whole number"),
        ("1979-05-27", "is a date or time without quotes; write a whole number"),
        ("[15, 15]", "has 2 values; write one value for all rounds, or one for each"),
        ("[]", "has 0 values; write one value for all rounds, or one for each of 4"),
        ("{}", 'has no value for "women-open", "men-open"; add one for each division'),
    ],
)
def test_an_amount_is_a_whole_number_or_one_for_each_round(
    value: str, problem: str
) -> None:
    found = refusals(("calories = 15", f"calories = {value}"))
    assert found[0].startswith(f'w.toml:28: part 3, movement 1: "calories" {problem}')


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        (
            'id = "harbour"',
            'id = "harbor"',
            '1: "id" is "harbor", but the file is called "harbour"; make the two',
        ),
        (
            'score = "time"',
            'score = "load"',
            '13: part 1: "rounds" is scored by load, but has no attempts and no load f',
        ),
        (
            'score = "time"',
            'score = "tme"',
            '5: "score" is "tme"; did you mean "time"?',
        ),
        ('rest = "excluded"', 'rest = "in"', '6: "rest" is "in"; one of "excluded", '),
        ('"24:00"', "24", '7: "cap" is a whole number; write it in quotes, such as'),
        ('"24:00"', '"24,5 min"', '7: "cap": "24,5 min" has a comma; write decimals'),
        ("cap =", "cpa =", '7: "cpa" is not a known key here; did you mean "cap"?'),
        ('"0.1 s"', '"1s"', '9: "precision" is "1s"; one of "1 s", "0.1 s", "0.01 s"'),
        (
            '{ after-part = "A" }',
            '{ after-part = "C" }',
            (
                '10: tiebreak 1: "after-part" is "C", which is no part done for '
                "rounds; "
                'known: "A", "B"'
            ),
        ),
        (
            '{ after-part = "A" }',
            "{ last-full-round = false }",
            '10: tiebreak 1: "last-full-round" is false; one of ',
        ),
        (
            '{ after-part = "A" }',
            '{ after-part = "A", last-full-round = true }',
            "10: tiebreak 1 is not one tie-break; write { after-part",
        ),
        (
            "rounds = 3",
            'rounds = 3\nwindow = "5:00"',
            "12: part 1 has rounds and window; write exactly one of rounds, window, ",
        ),
        ("rounds = 3", "", "12: part 1 says neither work nor rest; write exactly one"),
        (
            "rounds = 3",
            "rounds = 0",
            '13: part 1: "rounds" is 0; it must be at least 1',
        ),
        (
            "rounds = 3",
            'every = "2:00"\ntimes = 5',
            '13: part 1: "every" cannot be scored by time: it ends at the same time',
        ),
        (
            "rounds = 3",
            'hold = "2:00"',
            '15: part 1, movement 1: "card" is "crate-throw", which does not count sec',
        ),
        (
            "rounds = 3",
            'rounds = 3\nscore = "reps"',
            '14: part 1: "score" is the part\'s own, but the workout is scored by',
        ),
        (
            "rounds = 3",
            'window = "5:00"',
            '13: part 1: "window" cannot be scored by time: it ends at the same time',
        ),
        (
            'card = "crate-throw"',
            'card = "crate-thorw"',
            (
                '15: part 1, movement 1: "card" is "crate-thorw", and there is no such '
                'card; did you mean "crate-throw"?'
            ),
        ),
        (
            "reps = [12, 10, 8]",
            "",
            "14: part 1: movement 1 has no target; write exactly one of reps, calories",
        ),
        (
            "calories = 15",
            "calories = 15\nmetres = 100",
            "26: part 3: movement 1 has calories and metres; write exactly one of",
        ),
        (
            "calories = 15",
            "reps = 15",
            (
                '28: part 3, movement 1: "reps" is asked for, but the card '
                '"bench-row" is '
                "not counted in reps; it is counted in calories or metres"
            ),
        ),
        (
            "calories = 15",
            "seconds = 15",
            '28: part 3, movement 1: "seconds" is asked for, but the card "bench-row"',
        ),
        (
            "calories = 15",
            "calories = 15\nunit = 16",
            '29: part 3, movement 1: "unit" is 16 calories for one rep of the score, m',
        ),
        (
            'men = "70 kg"',
            "men = 70",
            '17: part 1, movement 1, load: "men" is a whole number; write it in quotes',
        ),
        (
            'men = "70 kg"',
            'men = "0 kg"',
            '17: part 1, movement 1, load: "men" is "0 kg"; it must be above zero',
        ),
        (
            'men = "70 kg"',
            'men = "7 ft"',
            '17: part 1, movement 1, load: "men": "7 ft" is a length; a mass is needed',
        ),
        (
            'men = "70 kg", ',
            "",
            '17: part 1, movement 1: "load" has no value for "men-open"; add one for',
        ),
        (
            'men = "70 kg"',
            'man = "70 kg", men = "70 kg"',
            (
                '17: part 1, movement 1, load: "man" is no division or '
                "standard; did you "
                'mean "men"?'
            ),
        ),
        (
            '"105 lb"',
            '"155 lb"',
            (
                '17: part 1, movement 1, load: "women" holds "47.5 kg" and "155 '
                'lb", too '
                "far apart for one thing marked twice"
            ),
        ),
        (
            "[6, 4]",
            "[6, 5]",
            (
                "18: part 1, movement 1: pieces 2 makes 6 + 5 = 11, but the set "
                "of round 2 "
                "has 10; make the pieces add up to the set"
            ),
        ),
        (
            "[[7, 5], [6, 4], [8]]",
            "[[12], [10]]",
            '18: part 1, movement 1: "pieces" has 2 lists for 3 rounds; write one list',
        ),
        (
            'watch = ["shallow"]',
            'height = ["10 ft", "11 ft"]',
            '19: part 1, movement 1: "height" is a list, but not one thing marked in ',
        ),
        (
            'watch = ["shallow"]',
            'height = ["9 kg", "20 lb"]',
            '19: part 1, movement 1: "height": "9 kg" is a mass; a length is needed',
        ),
        (
            "rounds = 3",
            'rounds = 3\nid = "first part"',
            '14: part "first part": "id" is "first part"; write a letter or a short ',
        ),
        ("[8]]", "[]]", "18: part 1, movement 1: pieces 3 is empty; "),
        (
            '["shallow"]',
            '["shalow"]',
            (
                '19: part 1, movement 1: watch 1 is "shalow", which is no fault of '
                '"crate-throw"; did you mean "shallow"?'
            ),
        ),
        (
            '["shallow"]',
            '["shallow", "low", "late-catch"]',
            '19: part 1, movement 1: "watch" names 3 faults; name at most two',
        ),
        (
            'rest = "4:00"',
            'rest = "4:00"\n[[part.movement]]\ncard = "bench-row"\nmetres = 5',
            '23: part 2: "movement" stands in a rest; move it to a part of its own',
        ),
        (
            'rest = "4:00"',
            'rest = "4:00"\n[[part]]\nrest = "1:00"',
            "23: part 3 is a rest after a rest; make one of the two longer",
        ),
        (
            'rest = "4:00"',
            'rest = "25:00"',
            "24: part 3 starts at 25:00 or later, when the cap of 24:00 is over; make",
        ),
        (
            "rounds = 4",
            'id = "B"\nrounds = 4\n[[part]]\nid = "B"\nrounds = 1',
            '28: part "B": "id" is "B", which another part has already; give each its',
        ),
        (
            '"crate-throw.line" = "above"',
            '"crate-throw.line" = "abov"',
            '31: settings: "crate-throw.line" is "abov"; did you mean "above"?',
        ),
        (
            '"crate-throw.line" = "above"',
            '"crate-throw.lin" = "above"',
            '31: settings: "crate-throw.lin" is no setting of the card "crate-throw"; ',
        ),
        (
            '"crate-throw.line" = "above"',
            '"crate-thrw.line" = "above"',
            '31: settings: "crate-thrw.line" is for "crate-thrw", which is no card; ',
        ),
    ],
)
def test_each_wrong_thing_is_named_with_its_line_and_what_is_right(
    old: str, new: str, problem: str
) -> None:
    found = refusals((old, new))
    assert [said for said in found if said.startswith(f"w.toml:{problem}")], found


@pytest.mark.parametrize("typo", ["round", "ronds", "Rounds"])
def test_a_shape_written_wrong_is_one_problem_and_not_its_consequences(
    typo: str,
) -> None:
    assert refusals(("rounds = 3", f"{typo} = 3")) == [
        f'w.toml:13: part 1: "{typo}" is not a known key here; did you mean "rounds"?'
    ]


def test_a_rest_comes_neither_first_nor_last() -> None:
    text = changed(
        WORKOUT,
        ("[[part]]\nrounds = 3", '[[part]]\nrest = "1:00"\n[[part]]\nrounds = 3'),
    )
    text = changed(text, ("[settings]", '[[part]]\nrest = "2:00"\n[settings]'))
    found = problems_of(
        lambda: workout_from(
            loads(text.encode(), "w.toml"), "harbour", CARDS, DIVISIONS
        )
    )
    assert found == [
        "w.toml:12: part 1 is a rest and comes first; rest lies between two parts",
        "w.toml:32: part 5 is a rest and comes last; rest lies between two parts",
    ]


def test_a_rest_until_a_time_lies_after_what_comes_before() -> None:
    found = refusals(
        ('score = "time"', 'score = "reps"'),
        ('{ after-part = "A" }', "{ last-full-round = true }"),
        ("rounds = 3", 'window = "5:00"'),
        ('rest = "4:00"', 'rest-until = "5:00"'),
    )
    assert found == [
        (
            'w.toml:22: part 2: "rest-until" is 5:00, but the parts before it take at '
            "least 5:00; write a later time"
        )
    ]


def test_capped_needs_a_cap_and_seconds_for_reps_need_a_time() -> None:
    assert refusals(("cap =", "# cap ="))[0].startswith(
        'w.toml:8: "capped" is given, but there is no cap; add the cap'
    )
    assert refusals(
        ('score = "time"', 'score = "reps"'), ('"below"', '"second-per-rep"')
    ) == [
        (
            'w.toml:8: "capped" adds seconds, but the score is the reps done by '
            "the cap; "
            "take it out"
        )
    ]


def test_reps_need_a_window_or_a_cap() -> None:
    found = refusals(
        ('score = "time"', 'score = "reps"'),
        ("cap =", "# cap ="),
        ("capped", "# capped"),
    )
    assert found == [
        (
            'w.toml:5: "score" is "reps", but no part is a window and there is '
            "no cap, so "
            "all would do the same reps; make a part a window, or add a cap"
        )
    ]


def test_a_target_needs_a_height_for_every_division() -> None:
    load = 'load = { men = "70 kg", women = ["47.5 kg", "105 lb"] }'
    found = refusals((load, ""), divisions=(*DIVISIONS, TEENS))
    assert found == [
        (
            'w.toml:14: part 1: movement 1 has no height for "teens", nor has the card '
            '"crate-throw"; add height = { ... } to the movement, such as { men '
            '= "10 ft" }'
        )
    ]
    read = workout((load, 'height = "8 ft"'), divisions=(*DIVISIONS, TEENS))
    assert first(read).height == ByDivision(same=quantity.parse("8 ft"))


def test_pieces_must_add_up_for_every_division() -> None:
    found = refusals(("[12, 10, 8]", "{ men = [12, 10, 8], women = [10, 8, 6] }"))
    assert found == [
        (
            "w.toml:18: part 1, movement 1: pieces 1 makes 7 + 5 = 12, but the set of "
            "round 1 has 10; make the pieces add up to the set"
        )
    ]


def test_all_problems_are_told_in_one_go_in_the_order_of_the_file() -> None:
    found = refusals(
        ("revision = 1", "revision = 0"),
        ("[12, 10, 8]", "[12, 10]"),
        ("shallow", "shalow"),
        ('rest = "4:00"', 'rest = "4"'),
        ("bench-row", "bench-rwo"),
        ('"above"', '"abve"'),
    )
    assert [said.split(":")[1] for said in found] == [
        "3",
        "16",
        "19",
        "22",
        "27",
        "31",
    ]


def test_a_card_of_a_workout_must_be_in_force(tmp_path: Path) -> None:
    path = put(tmp_path, "harbour.toml", WORKOUT)
    only = {"bench-row": replace(CARDS["bench-row"], settings=())}
    assert problems_of(lambda: read_workout(path, "w.toml", only, DIVISIONS)) == [
        (
            'w.toml:15: part 1, movement 1: "card" is "crate-throw", and there '
            "is no such "
            "card; see: judgekit cards"
        ),
        (
            'w.toml:31: settings: "crate-throw.line" is for "crate-throw", which is no '
            'card; known: "bench-row"'
        ),
    ]


# --- damage ------------------------------------------------------------------------

ODD = [
    "true",
    "-1",
    "inf",
    "nan",
    "1e400",
    '""',
    "[]",
    "{}",
    "[[]]",
    "[{}]",
    "[{id=1}]",
    "{men=1}",
    '{""=1}',
    "1979-05-27",
    '"\\u0000"',
    '"5"',
    "2.5",
    '["1","2"]',
    '"0:00"',
    '["1_kg","2_lb"]',
    "[1,[2]]",
    "[99999999999]",
    "5",
]


@settings(max_examples=150)
@given(st.randoms(use_true_random=False))
def test_a_damaged_workout_is_read_or_refused_and_never_crashes(
    random: Random,
) -> None:
    rows = WORKOUT.split("\n")
    for _ in range(random.randint(1, 4)):
        at = random.randrange(len(rows))
        if random.random() < 0.7 and " = " in rows[at]:
            rows[at] = f"{rows[at].split(' = ')[0]} = {random.choice(ODD)}"
        else:
            rows[at] = rows[random.randrange(len(rows))]
    data = "\n".join(rows).encode()
    found = problems_if_any(
        lambda: workout_from(loads(data, "w.toml"), "harbour", CARDS, DIVISIONS)
    )
    wrong = [p for p in found if not 1 <= p.line <= len(rows) or "ydantic" in p.what]
    assert wrong == []
