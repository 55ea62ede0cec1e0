"""What a whole card should hold: each rule shown to fail on a card that breaks it."""

from dataclasses import replace

import pytest

from judgekit.core.card import (
    Card,
    Criterion,
    Example,
    Fault,
    Measure,
    Seconds,
    Substitute,
)
from judgekit.core.cardcheck import Finding, circle_from, findings
from judgekit.core.quantity import parse


def fault(fault_id: str, call: str, key: str, breaks: str | None) -> Fault:
    return Fault(
        id=fault_id,
        weight="void" if breaks else "cue",
        breaks=breaks,
        key=key,
        call=call,
        cues=("lower", "sit", "reach"),
        drill="Ten slow",
    )


SQUAT = Card(
    id="air-squat",
    name="Air squat",
    revision=1,
    counts=("reps",),
    ends="top",
    view="from the side",
    seconds=Seconds(floor_ms=650, brisk_ms=850, ordinary_ms=1500),
    changeover_ms=900,
    equipment=(),
    source="common practice",
    start="Standing tall",
    finish="Standing tall again",
    criteria=(
        Criterion(id="depth", kind="depth", at="bottom", says="Hip below the knee"),
        Criterion(id="tall", kind="lockout", at="top", says="Hips and knees straight"),
        Criterion(id="free", kind="position", at="throughout", says="Hands off legs"),
    ),
    measures=(),
    settings=(),
    faults=(
        fault("shallow", "DEPTH", "d", "depth"),
        fault("not-tall", "STAND", "s", "tall"),
        fault("hands-on-legs", "HANDS OFF", "h", "free"),
        fault("on-toes", "HEELS", "i", None),
    ),
    stop_signs=("A knee gives way",),
    caution="",
    substitutes=(),
    examples=(
        Example(says="Sits well under the line and stands tall"),
        Example(says="Slow and shaking, but under the line and tall"),
        Example(says="The hip stays level with the knee", fault="shallow"),
        Example(says="Turns down again with bent hips", fault="not-tall"),
        Example(says="Pushes a hand off the thigh", fault="hands-on-legs"),
    ),
)


def test_a_whole_card_has_nothing_to_mend() -> None:
    assert findings(SQUAT) == ()


@pytest.mark.parametrize(
    ("card", "found"),
    [
        (
            replace(SQUAT, faults=SQUAT.faults[3:], examples=()),
            [
                (("fault",), "no fault voids a rep"),
                (("criterion", 0), 'no fault breaks "depth", so nobody can be told'),
                (("criterion", 1), 'no fault breaks "tall", so nobody can be told'),
                (("criterion", 2), 'no fault breaks "free", so nobody can be told'),
                (("example",), "0 good reps and 0 ways to miss one are described"),
            ],
        ),
        (
            replace(
                SQUAT,
                measures=(
                    Measure(
                        id="bar",
                        kind="load",
                        says="Bar",
                        by_key=(("all", parse("20 kg")),),
                    ),
                ),
            ),
            [(("measure",), "is measured, but the card names no equipment")],
        ),
        (
            replace(
                SQUAT,
                faults=(
                    replace(SQUAT.faults[0], call="DROP"),
                    replace(SQUAT.faults[1], call="HEAL"),
                    replace(SQUAT.faults[2], call="DROP"),
                    SQUAT.faults[3],
                ),
            ),
            [
                (("fault", 2, "call"), '"DROP" rhymes with STOP'),
                (("fault", 3, "call"), '"HEELS" sounds like "HEAL" of the same card'),
                (("fault", 2, "call"), '"DROP" is the call of "shallow" too'),
            ],
        ),
        (
            replace(
                SQUAT,
                name="Air squat as nobody would ever call it",
                criteria=(
                    replace(SQUAT.criteria[0], says="Hip " * 30),
                    *SQUAT.criteria[1:],
                ),
                faults=(
                    replace(SQUAT.faults[0], call="SIT FAR LOWER"),
                    *SQUAT.faults[1:],
                ),
            ),
            [
                (("name",), "has 38 letters; the judge's screen shows 28"),
                (("fault", 0, "call"), "has 13 letters; the judge's screen shows 9"),
                (
                    ("criterion", 0, "says"),
                    "has 120 letters; the judge's screen shows 96",
                ),
            ],
        ),
        (
            replace(
                SQUAT,
                criteria=tuple(
                    replace(
                        c, says="As low as the athlete can go without " * 2 + "pain"
                    )
                    for c in SQUAT.criteria
                ),
                faults=(
                    *SQUAT.faults,
                    fault("more-1", "REACH", "a", "depth"),
                    fault("more-2", "WAIT", "e", "depth"),
                ),
            ),
            [(("criterion",), "what the first 5 calls ask for takes 20 lines; the")],
        ),
        (
            replace(
                SQUAT,
                faults=(
                    *SQUAT.faults,
                    *(
                        fault(f"more-{at}", f"CALL{letter}", letter, "free")
                        for at, letter in enumerate("QRXZJK")
                    ),
                ),
            ),
            [(("fault",), "9 faults void a rep; digits name only 8")],
        ),
        (
            replace(SQUAT, examples=SQUAT.examples[1:3]),
            [(("example",), "1 good reps and 1 ways to miss one are described")],
        ),
    ],
    ids=[
        "no faults",
        "no equipment",
        "calls",
        "too long",
        "crowded",
        "too many",
        "examples",
    ],
)
def test_a_card_that_breaks_a_rule_is_told_where(
    card: Card, found: list[tuple[tuple[str | int, ...], str]]
) -> None:
    told = [(f.at, f.what) for f in findings(card)]
    for at, what in found:
        assert any(a == at and w.startswith(what) for a, w in told), (at, told)


def test_each_finding_says_what_would_be_right() -> None:
    card = replace(SQUAT, criteria=SQUAT.criteria, faults=SQUAT.faults[1:])
    card = replace(card, examples=(*SQUAT.examples[:2], *SQUAT.examples[3:]))
    assert findings(card) == (
        Finding(
            at=("criterion", 0),
            what='no fault breaks "depth", so nobody can be told of it',
            right='add a voiding fault with breaks = "depth"',
        ),
    )


def instead(card_id: str, *others: str) -> Card:
    return replace(
        SQUAT,
        id=card_id,
        substitutes=tuple(Substitute(card=c, why="easier") for c in others),
    )


def test_substitutes_that_lead_back_are_a_circle() -> None:
    cards = [instead("a", "b"), instead("b", "c", "d"), instead("c", "a"), instead("d")]
    every = {card.id: card for card in cards}
    assert circle_from("a", every) == ("a", "b", "c", "a")
    assert circle_from("b", every) == ("b", "c", "a", "b")
    assert circle_from("d", every) == ()
    del every["a"]
    assert circle_from("b", every) == ()
