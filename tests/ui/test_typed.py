"""A number typed in a panel: which keys belong to it, and what it comes to."""

from __future__ import annotations

from dataclasses import replace

from judgekit.core.checkentry import Check
from judgekit.core.entry import Absent, Recall, Stop
from judgekit.ui.controls import Controls
from judgekit.ui.moment import Moment
from judgekit.ui.morepanels import more_menu
from judgekit.ui.panels import Choice, Known, Menu, Submit, Typing
from tests.core.test_lanecheck import aimed
from tests.support import Played


def measuring() -> tuple[Controls, Moment]:
    """The panel for the athlete's own mark, in mid-heat."""
    played = Played(aimed()).go()
    controls = Controls(Known(judges={"kb": "Kim Brandt"}))
    moment = Moment(lane=played.lane, boot_ms=90_000, heat_ms=9000)
    for key in ("w", "6", "2"):
        controls.press(key, moment)
    assert isinstance(controls.panel, Typing)
    return controls, moment


def typed(*keys: str) -> object:
    controls, moment = measuring()
    effect: object = None
    for key in keys:
        effect = controls.press(key, moment)
    return effect


def measured(value: str) -> Submit:
    check = Check(item="target-toes-to-bar", answer="measured", value=value)
    return Submit(act=check)


def test_a_measured_number_takes_one_full_stop_and_its_unit() -> None:
    assert typed("2", ".", "2", "9", "enter") == measured("2.29 m")
    assert typed("2", ".", "3", ".", "1", "enter") == measured("2.31 m")
    assert typed(".", "9", "enter") == measured("0.9 m")
    assert typed("2", ".", "enter") == measured("2 m")


def test_what_is_typed_stands_with_its_unit() -> None:
    controls, moment = measuring()
    controls.press("2", moment)
    controls.press(".", moment)
    assert controls.typed_for() == "2. m"


def test_a_first_nought_is_stop_and_a_bare_full_stop_nothing() -> None:
    assert typed("0") == Submit(act=Stop())
    controls, moment = measuring()
    controls.press(".", moment)
    controls.press("enter", moment)
    assert controls.panel is None


def says(choices: tuple[Choice, ...]) -> list[str]:
    return [choice.says for choice in choices]


def test_measuring_again_moves_no_other_choice_of_the_list() -> None:
    known = Known(judges={"kb": "Kim Brandt"})
    lane = Played(aimed()).go().lane
    with_marks = more_menu(lane, known, 9000).choices
    plain = more_menu(replace(lane, absent=True), known, 9000).choices
    assert len(with_marks) == len(plain) == 8
    changed = [
        (one, other)
        for one, other in zip(says(plain), says(with_marks), strict=True)
        if one != other
    ]
    assert changed == [
        ("other athlete here", "other athlete, absent"),
        ("here after all", "measure again"),
    ]
    athlete, recall = with_marks[4].leads, with_marks[6].leads
    assert isinstance(athlete, Menu)
    assert athlete.choices[-1].leads == Submit(act=Absent())
    assert isinstance(recall, Menu)
    assert recall.choices[0].leads == Submit(act=Recall(why="false start"))
