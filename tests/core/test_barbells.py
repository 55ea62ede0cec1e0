"""Bars through the work: what each has on at any time, worked out by hand."""

from __future__ import annotations

from judgekit.core.barbells import barbells, steps
from judgekit.core.plan import PlanMovement, PlanPart
from judgekit.core.plates import Rack, load_mass, usual_discs
from judgekit.core.quantity import parse
from tests.support import for_time

RACK = Rack(bar=parse("20 kg"), discs=usual_discs("kg"))
BARS = {"squat", "deadlift", "over-bar"}
Discs = list[str]


def move(card: str, *loads: str) -> PlanMovement:
    return PlanMovement(card=card, unit="reps", targets=(5,), loads=loads)


def part(*movements: PlanMovement) -> PlanPart:
    return PlanPart(id="A", kind="rounds", rounds=1, movements=movements)


def told(*parts: PlanPart) -> list[list[tuple[str, Discs | None, Discs, Discs]]]:
    """Each bar's steps: load, discs a side then, what went off and on."""
    return [
        [
            (
                step.load,
                None if step.side is None else [d.written for d in step.side],
                [d.written for d in step.moved.off] if step.moved else [],
                [d.written for d in step.moved.on] if step.moved else [],
            )
            for step in steps(bar, RACK)
        ]
        for bar in barbells(for_time(parts=parts), BARS)
    ]


def test_each_change_goes_from_what_is_on_the_bar_then() -> None:
    # 20 a side; 25 = 20 + 5 by one disc; 30 = 20 + 10, so the 5 comes off again: from a
    # bar with one 25 on it, it would have been "on 5".
    loads = ("60 kg ≈ 132 lb", "70 kg ≈ 154 lb", "80 kg ≈ 176 lb", "60 kg ≈ 132 lb")
    assert told(part(move("squat", *loads))) == [
        [
            ("60 kg ≈ 132 lb", ["20 kg"], [], []),
            ("70 kg ≈ 154 lb", ["20 kg", "5 kg"], [], ["5 kg"]),
            ("80 kg ≈ 176 lb", ["20 kg", "5 kg", "5 kg"], [], ["5 kg"]),
            ("60 kg ≈ 132 lb", ["20 kg"], ["5 kg", "5 kg"], []),
        ]
    ]


def test_a_part_with_two_loads_has_two_bars_and_the_next_part_reloads_one() -> None:
    bars = told(
        part(move("squat", "60 kg"), move("deadlift", "100 kg"), move("row", "9 kg")),
        part(move("deadlift", "70 kg")),
    )
    assert [[row[0] for row in bar] for bar in bars] == [["60 kg", "70 kg"], ["100 kg"]]
    assert bars[0][1][2:] == ([], ["5 kg"])


def test_movements_of_a_part_with_the_same_loads_share_a_bar() -> None:
    shared = part(move("squat", "60 kg", "60 kg"), move("deadlift", "60 kg", "60 kg"))
    [bar] = barbells(for_time(parts=(shared,)), BARS)
    assert [(use.card, use.loads) for use in bar] == [
        ("squat", ("60 kg",)),
        ("deadlift", ("60 kg",)),
    ]
    assert [row[2:] for row in told(shared)[0]] == [([], []), ([], [])]


def test_who_only_jumps_over_a_bar_uses_the_one_that_is_there() -> None:
    assert told(part(move("over-bar"), move("squat", "60 kg"))) == [
        [("60 kg", ["20 kg"], [], [])]
    ]
    assert told(part(move("over-bar"))) == [[]]
    assert told(part(move("row"))) == []


def test_a_load_that_cannot_be_made_or_is_in_words_is_followed_by_a_fresh_one() -> None:
    [bar] = told(part(move("squat", "60 kg", "61.1 kg", "empty bar", "70 kg")))
    assert bar == [
        ("60 kg", ["20 kg"], [], []),
        ("61.1 kg", None, [], []),
        ("empty bar", None, [], []),
        ("70 kg", ["25 kg"], [], []),
    ]


def test_a_load_is_known_by_its_first_marking() -> None:
    for written in ("61 kg", "61 kg ≈ 134 lb", "61 kg / 135 lb"):
        mass = load_mass(written)
        assert mass is not None
        assert mass.amount == 61
    assert load_mass("empty bar") is None
