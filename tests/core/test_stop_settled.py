"""A stop keeps a score open until it is said what comes of it, and no longer."""

from __future__ import annotations

import pytest

from judgekit.core.entry import Accept, GoOn, Rep, Rule, Stop, Time
from judgekit.core.plan import SetKey
from judgekit.core.ruling import (
    Close,
    Effect,
    Reopen,
    RepsInSet,
    StatusIs,
    StatusWord,
    TimeBy,
)
from judgekit.core.score import NOT_ACCEPTED, Score, score
from tests.support import Played, simple

LATE = 10**15
STATUSES: tuple[StatusWord, ...] = (
    *("did not start", "did not finish", "withdrawn", "disqualified"),
    *("cut", "guest", "no result", "as counted"),
)


def stopped(*before: StatusWord) -> Played:
    """One of two done, then STOP; time is called and the time for questions is over."""
    played = Played(simple(2, cap_ms=600_000, dispute_ms=1_800_000)).go()
    for word in before:
        rule(played, StatusIs(status=word))
    played.press(10, Rep())
    played.press(30, Stop(sign="calf"))
    played.press(600, Time())
    return played


def rule(played: Played, effect: Effect) -> None:
    played.press(700, Rule(effect=effect, why="so said the head judge"))


def accepted(played: Played, *, athlete: bool = True) -> Played:
    played.press(710, Accept(who="athlete", signed=athlete))
    played.press(711, Accept(who="judge", signed=True))
    return played


def official(played: Played) -> Score:
    """The score once the time for questions is over."""
    return score(played.lane, wall=LATE)


def test_a_stop_keeps_the_score_open_until_somebody_says_what_comes_of_it() -> None:
    assert official(stopped()).provisional == ("stopped",)
    one_signed = stopped()
    one_signed.press(710, Accept(who="judge", signed=True))
    assert official(one_signed).provisional == ("stopped",)


@pytest.mark.parametrize("athlete", [True, False])
def test_a_signed_card_settles_a_stop(*, athlete: bool) -> None:
    found = official(accepted(stopped(), athlete=athlete))
    assert (found.status, found.shown, found.may_change) == ("stopped", "1 of 2", False)


def test_who_goes_on_settles_a_stop() -> None:
    played = Played(simple(2, dispute_ms=1_800_000)).go()
    played.press(10, Rep())
    played.press(30, Stop(sign="calf"))
    played.press(40, GoOn(by_mistake=True))
    assert "stopped" not in official(played).provisional


@pytest.mark.parametrize("word", STATUSES)
def test_any_word_of_the_head_judge_on_the_status_settles_a_stop(
    word: StatusWord,
) -> None:
    played = stopped()
    rule(played, StatusIs(status=word))
    found = official(played)
    assert found.status == ("stopped" if word == "as counted" else word)
    assert not found.may_change


def test_a_closed_card_settles_a_stop_and_one_opened_again_does_not() -> None:
    played = stopped()
    rule(played, Close())
    assert not official(played).may_change
    rule(played, Reopen())
    assert official(played).provisional == ("stopped", NOT_ACCEPTED)


def test_a_ruling_on_something_else_says_nothing_of_the_stop() -> None:
    played = stopped()
    rule(played, RepsInSet(set=SetKey(1, 1, 1), by=1))
    rule(played, TimeBy(by_ms=1000))
    assert official(played).provisional == ("stopped",)


def test_a_status_ruled_before_the_stop_says_nothing_of_it() -> None:
    assert official(stopped("as counted")).provisional == ("stopped",)


def test_a_sign_named_later_begins_no_other_stop() -> None:
    played = stopped()
    rule(played, StatusIs(status="as counted"))
    played.press(720, Stop(sign="dizzy"))
    assert "stopped" not in official(played).provisional


def test_a_second_stop_asks_anew() -> None:
    played = Played(simple(2)).go()
    played.press(30, Stop(sign="calf"))
    rule(played, StatusIs(status="as counted"))
    played.press(720, GoOn(by_mistake=True))
    played.press(730, Stop(sign="calf"))
    assert "stopped" in official(played).provisional


# --- amended --------------------------------------------------------------------------


def test_what_a_ruling_left_as_it_was_signed_is_not_amended() -> None:
    played = accepted(stopped())
    rule(played, StatusIs(status="as counted"))
    rule(played, RepsInSet(set=SetKey(1, 1, 1), by=-1))
    rule(played, RepsInSet(set=SetKey(1, 1, 1), by=+1))
    found = official(played)
    assert played.lane.amended
    assert (found.amended, found.before) == (False, None)


def test_another_status_or_another_tie_break_is_amended() -> None:
    played = accepted(stopped())
    rule(played, StatusIs(status="withdrawn"))
    found = official(played)
    assert found.before is not None
    assert (found.amended, found.before.status, found.status) == (
        True,
        "stopped",
        "withdrawn",
    )
    assert found.before.detail == found.detail
