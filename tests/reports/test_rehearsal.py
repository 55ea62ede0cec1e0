from __future__ import annotations

from judgekit.core.plan import SetKey
from judgekit.core.ruling import Ref
from judgekit.core.state import Attempt
from judgekit.reports.rehearsal import as_text, script_text, sections
from judgekit.review.calling import Marks, marks
from judgekit.review.performing import Performed
from tests.rehearsing import rehearsal

FOUND = rehearsal("wall-ball-shot", "air-squat")


def shown(number: int, card: str, fault: str = "") -> Performed:
    at = number * 4000
    return Performed(
        at_ms=at, until_ms=at + 3000, card=card, says=f"Rep {number}", fault=fault
    )


def call(number: int, after: int, *faults: str, good: bool = False) -> Attempt:
    return Attempt(
        ref=Ref("b", number),
        set=SetKey(1, 1, 1),
        at=number * 4000 + after,
        good=good,
        n=1,
        faults=faults,
        counts=good,
        marks=(),
    )


BALL, SQUAT = "wall-ball-shot", "air-squat"
SHOWN = [
    shown(0, BALL),
    shown(1, BALL, "shallow"),
    shown(2, BALL, "low-ball"),
    shown(3, BALL, "low-ball"),
    shown(4, BALL),
    shown(5, SQUAT, "hands-on-legs"),
    shown(6, SQUAT, "shallow"),
    shown(7, SQUAT),
]
CALLS = [
    call(0, 1040, good=True),
    call(0, 1900, good=True),
    call(1, 1100, "shallow"),
    call(2, 1200, "shallow"),
    call(3, 3400, "low-ball"),
    call(4, 1300, "low-ball"),
    call(5, 1400, good=True),
    call(6, 1500),
]
TEXT = """\
Rehearsal

3 of 8 right, 37 %
  25 %   last time
  1      bad, and counted
  1      bad, and another reason named
  1      bad, and no reason named
  1      good, and called a no-rep
  1      not called
  1      pressed once more than there was a rep
  1      called late: the rep was over
  1.3 s  within this came half of the calls
  3.4 s  within this came nine of ten

Wall-ball shot
  1 of 2  good reps
  1 of 1  Crease of the hip below the top of the knee
  1 of 2  Ball touches the line or the wall above it

Air squat
  0 of 1  good reps
  0 of 1  Crease of the hip below the top of the knee
  0 of 1  Hands stay off the legs

Keys mixed up
  t TARGET  pressed d DEPTH: once
"""


def before(right: int, of: int) -> Marks:
    reps = [shown(n, BALL) for n in range(of)]
    return marks(reps, [call(n, 1000, good=True) for n in range(right)])


def test_everything_that_came_of_it_is_told_most_worth_knowing_first() -> None:
    told = sections(FOUND.plan, marks(SHOWN, CALLS), before(1, 4))
    assert as_text("Rehearsal", told) == TEXT


def test_what_did_not_happen_is_not_told() -> None:
    told = sections(FOUND.plan, before(2, 2), None)
    assert as_text("Rehearsal", told) == (
        "Rehearsal\n\n2 of 2 right, 100 %\n"
        "  1.0 s  within this came half of the calls\n"
        "  1.0 s  within this came nine of ten\n\n"
        "Wall-ball shot\n  2 of 2  good reps\n"
    )


def test_a_key_of_another_movement_is_told_by_its_call_there() -> None:
    calls = [call(1, 1000, "hands-on-legs")]
    told = sections(FOUND.plan, marks([shown(1, BALL, "shallow")], calls), None)
    assert told[-1].rows == (("d DEPTH", "pressed h HANDS OFF: once"),)


def test_more_than_once_is_told_by_its_number() -> None:
    calls = [call(n, 1000, "low-ball") for n in range(2)]
    reps = [shown(n, BALL, "shallow") for n in range(2)]
    told = sections(FOUND.plan, marks(reps, calls), None)
    assert told[-1].rows == (("d DEPTH", "pressed t TARGET: 2 times"),)


def test_a_script_has_each_rep_with_its_key_and_call() -> None:
    assert script_text(FOUND.plan, SHOWN[:2], "Script", None) == (
        "Script\n\n"
        "  1  0:00  Wall-ball shot\n     Rep 0\n     space  good rep\n\n"
        "  2  0:04  Wall-ball shot\n     Rep 1\n     d  DEPTH\n"
    )


def test_a_script_keeps_to_the_width_of_a_terminal_and_cuts_nothing() -> None:
    text = script_text(FOUND.plan, SHOWN[:1], "Script", 10)
    assert "     Rep 0\n" in text
    assert "     Rep\n     0\n" in script_text(FOUND.plan, SHOWN[:1], "Script", 8)
