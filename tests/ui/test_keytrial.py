"""Keys tried before a heat: what came, what else came, what is not there."""

from __future__ import annotations

from judgekit.ui.keytrial_app import KeyTrialApp
from judgekit.ui.views.keytrial import KeyTrial, Wanted, lines

WANTED = (
    Wanted(key="space", says="good rep"),
    Wanted(key="d", says="a call"),
    Wanted(key="f5", says="good, by [keys]"),
    Wanted(key="pageup", says="no-rep, by [keys]"),
)


async def test_keys_are_tried_in_turn() -> None:
    app = KeyTrialApp(KeyTrial(wanted=WANTED))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space", "x", "tab", "escape")
    trial = app.return_value
    assert trial is not None
    assert trial.came == (("space", "space"), ("d", "x"), ("f5", ""))
    assert trial.missing == ("f5", "pageup")
    assert trial.other == (("d", "x"),)
    assert lines(trial) == (
        "space      came",
        "d          sent x",
        "f5         not there",
        "",
        "Press  PAGEUP   (no-rep, by [keys])",
        "",
        "1 to go   tab: no such key   escape: enough",
    )


async def test_after_the_last_key_nothing_more_is_asked() -> None:
    app = KeyTrialApp(KeyTrial(wanted=WANTED[:1]))
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.press("space", "q", "escape")
    trial = app.return_value
    assert trial is not None
    assert lines(trial) == ("space      came", "", "That was all. Press escape.")


def test_the_letter_of_another_layout_in_the_same_place_is_right() -> None:
    trial = KeyTrial(wanted=WANTED[1:2]).pressed("в")
    assert (trial.other, trial.missing) == ((), ())
