"""The keys of a dispute: what is claimed of which set, no-rep or time, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Dispute, NoRep, Rep, Time
from judgekit.core.plan import SetKey
from judgekit.core.ruling import RepsInSet, RestoreAttempt, TimeBy
from judgekit.ui.disputekeys import Asks, DisputeKeys
from judgekit.ui.effects import Say
from judgekit.ui.views.disputing import dispute_footer
from tests.support import Played, for_time, simple, window

if TYPE_CHECKING:
    from judgekit.core.people import Disputes
    from judgekit.core.state import Lane


def timed(**changes: object) -> Lane:
    """Three reps and two no-reps, the last rep at 20 s."""
    one = Played(simple(3, **changes)).go()
    one.press(2, Rep())
    one.press(5, NoRep(faults=("depth",)))
    one.press(8, NoRep(faults=("lock",)))
    one.each(Rep(), 12, 20)
    return one.lane


def pressed(lane: Lane, *keys: str) -> tuple[DisputeKeys, list[str], list[Dispute]]:
    """The keys after so many presses, what they said, and what was handed in."""
    dispute = DisputeKeys()
    opened = dispute.open(lane)
    said = [opened.text] if isinstance(opened, Say) else []
    made: list[Dispute] = []
    for key in keys:
        effect = dispute.press(key, " " if key == "space" else key, lane)
        if isinstance(effect, Say):
            said.append(effect.text)
        if isinstance(effect, Asks):
            made.append(effect.dispute)
    return dispute, said, made


def test_a_time_is_claimed_as_it_should_be_with_words_and_evidence() -> None:
    keys = ("7", "1", "7", "enter", *"late", "enter", *"video", "enter")
    dispute, said, made = pressed(timed(), *keys)
    assert (made, said) == (
        [Dispute(about="late", claims=TimeBy(by_ms=-3000), evidence="video")],
        [],
    )
    assert dispute.step == ""
    # With a colon it is the same, and three enters are enough.
    _, _, made = pressed(timed(), *("7", "0", ":", "1", "7"), *["enter"] * 3)
    assert made == [Dispute(about="the time", claims=TimeBy(by_ms=-3000))]


@pytest.mark.parametrize("typed", ["1:15:03.45", "11503", "1:15:03"])
def test_a_time_over_an_hour_is_claimed_to_the_hundredth(typed: str) -> None:
    long = Played(simple(2, precision_ms=10)).go()
    long.each(Rep(), 5, 4504.25)
    _, said, made = pressed(long.lane, "7", *typed, *["enter"] * 3)
    by = -800 if "." in typed else -1250
    assert (said, [d.claims for d in made]) == ([], [TimeBy(by_ms=by)])


def test_a_count_is_claimed_for_the_last_set_or_one_chosen_with_arrows() -> None:
    one = Played(for_time()).go()
    one.each(Rep(), 2, 5, 8, 14)
    one.press(60, Time())
    _, _, made = pressed(one.lane, "5", "2", *["enter"] * 3)
    assert made == [
        Dispute(about="the count", claims=RepsInSet(set=SetKey(1, 1, 2), by=1))
    ]
    _, _, made = pressed(one.lane, "5", "1", "up", "2", *["enter"] * 3)
    assert made[0].claims == RepsInSet(set=SetKey(1, 1, 1), by=-1)


def test_a_no_rep_is_chosen_by_its_time_the_newest_first() -> None:
    lane = timed()
    first, last = (a.ref for a in lane.work.attempts if not a.good)
    dispute, _, _ = pressed(lane, "6")
    assert dispute_footer(dispute, lane)[0][0] == "0:08.0 Front squat, no-rep LOCK"
    _, _, made = pressed(lane, "6", *["enter"] * 3)
    assert made[0].claims == RestoreAttempt(target=last)
    _, _, made = pressed(lane, "6", "up", *["enter"] * 3)
    assert (made[0].claims, made[0].target) == (RestoreAttempt(target=first), first)


def test_something_else_needs_words() -> None:
    _, said, made = pressed(timed(), "8", "enter", *"a b", "enter", "enter")
    assert said == ["Say what is disputed; escape leaves it."]
    assert made == [Dispute(about="a b")]


@pytest.mark.parametrize(
    ("rule", "key", "says"),
    [
        ("none", "", "Scores cannot be questioned at this event."),
        ("count", "7", "Only the count can be questioned at this event: 5, 6 or 8."),
        ("time", "5", "Only the time can be questioned at this event: 7 or 8."),
        ("time", "6", "Only the time can be questioned at this event: 7 or 8."),
        ("count", "x", "5 to 8 say what is disputed; escape leaves it."),
    ],
)
def test_what_the_event_does_not_let_be_questioned_says_what_it_does(
    rule: Disputes, key: str, says: str
) -> None:
    _, said, made = pressed(timed(disputes=rule), *filter(None, [key]))
    assert (said, made) == ([says], [])


def test_only_what_may_be_questioned_is_offered() -> None:
    for rule, offered in (
        ("count", ("5 the count", "6 a no-rep", "8 something else")),
        ("time", ("7 the time", "8 something else")),
    ):
        lane = timed(disputes=rule)
        dispute, _, _ = pressed(lane)
        assert dispute_footer(dispute, lane)[0] == ("Disputed:", *offered)


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        (("5", "enter"), "Type what the count should be; arrows choose another set."),
        (("5", "3", "enter"), "3 is what counts now: type what it should be."),
        (("5", "4", "enter"), "That set holds 3: type no more than that."),
        (("7", "enter"), "Type what the time should be, as 7:38."),
        (("7", "9", "9", "enter"), "Type what the time should be, as 7:38."),
        (
            ("7", "2", "0", "enter"),
            "0:20 is the score now: type what it should be.",
        ),
    ],
)
def test_what_could_not_be_granted_is_told_with_what_would_be_right(
    keys: tuple[str, ...], says: str
) -> None:
    dispute, said, made = pressed(timed(), *keys)
    assert (said, made) == ([says], [])
    assert dispute.step in ("set", "time")


def test_where_nothing_fits_another_key_is_named() -> None:
    reps = Played(window()).go()
    reps.press(2, Rep())
    reps.press(300, Time())
    assert pressed(reps.lane, "7")[1] == [
        "This score is no time: 5 questions the count."
    ]
    assert pressed(reps.lane, "6")[1] == [
        "There is no no-rep here: 5 questions the count."
    ]
    nothing = Played(window()).go()
    nothing.press(300, Time())
    assert pressed(nothing.lane, "5")[1] == [
        "Nothing was counted here: 8 says it in words."
    ]


def test_escape_leaves_it_and_backspace_takes_a_sign_back() -> None:
    dispute, said, made = pressed(timed(), "7", "1", "escape")
    assert (dispute.step, said, made) == ("", [], [])
    _, _, made = pressed(timed(), *("7", "1", "9", "backspace", "8"), *["enter"] * 3)
    assert made[0].claims == TimeBy(by_ms=-2000)
    _, _, made = pressed(timed(), *("8", "a", "b", "backspace", "enter", "enter"))
    assert made == [Dispute(about="a")]
