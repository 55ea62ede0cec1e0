"""Every published cause of failure has a fault on its card, by what the card says.

Each row names the cause in our words, the fault that is called for it, and words that
the fault's criterion must hold, so that the text alone settles the call.
"""

from __future__ import annotations

import pytest

from judgekit.files.library import load_library

CARDS = {card_id: file.card for card_id, file in load_library().items()}

Causes = tuple[tuple[str, str, str], ...]

PUBLISHED: dict[str, Causes] = {
    # International Powerlifting Federation, Technical Rules Book, text headed "updated
    # 24 November 2014": squat, causes for disqualification.
    "powerlifting-squat": (
        ("top of the hip joint not below the knees", "shallow", "below the top of"),
        ("knees not locked at the start or at the end", "not-tall", "knees locked"),
        ("double bounce or second recovery", "downward", "One bottom"),
        ("bar moves down on the way up", "downward", "never moves down"),
        ("signals not kept", "too-soon", "signals"),
        ("step forward, back or sideways", "feet-move", "No step"),
        ("a spotter helps", "hand-help", "spotter"),
        ("elbows or arms on the legs", "elbow-touch", "on the legs"),
        ("bar dropped or dumped", "let-go", "not dropped"),
    ),
    # The same, deadlift.
    "powerlifting-deadlift": (
        ("bar moves down before the finish", "downward", "never moves down"),
        ("not standing erect, shoulders not back", "not-tall", "shoulders back"),
        ("knees not locked", "not-tall", "knees locked"),
        ("bar supported on the thighs", "propped", "thighs"),
        ("step forward, back or sideways", "feet-move", "No step"),
        ("lowered before the signal", "too-soon", "down signal"),
        ("control of either hand lost on the way down", "let-go", "all the way down"),
    ),
    # International Weightlifting Federation, Technical and Competition Rules &
    # Regulations, 2.5 and 2.6: an older list, second hand; wording from memory.
    "weightlifting-snatch": (
        ("pulled from the hang, or in more than one move", "paused", "one move"),
        ("press-out, arms bent and straightened again", "pressed-out", "No press"),
        ("arms uneven or not straight", "soft-elbows", "straight overhead, evenly"),
        ("knees not straight at the end", "not-tall", "knees straight"),
        ("feet not in line at the end", "feet-split", "in line"),
        ("another part than the feet on the platform", "body-down", "Only the feet"),
        ("lowered before the signal", "too-soon", "signal"),
        ("let go above the shoulders", "let-go", "past the shoulders"),
    ),
    "weightlifting-clean-and-jerk": (
        ("brought to the shoulders in more than one move", "paused", "One move"),
        ("a second effort in the jerk", "paused", "one jerk"),
        ("elbow or upper arm on thigh or knee", "elbow-touch", "thigh or knee"),
        ("press-out, arms bent and straightened again", "pressed-out", "no press"),
        ("arms uneven or not straight", "soft-elbows", "straight overhead, evenly"),
        ("knees not straight at the end", "not-tall", "knees straight"),
        ("feet not in line at the end", "feet-split", "in line"),
        ("another part than the feet on the platform", "body-down", "Only the feet"),
        ("lowered before the signal", "too-soon", "signal"),
        ("let go above the shoulders", "too-soon", "in both hands"),
    ),
    # US Army, ATP 7-22.01 C2 (August 2022) and the recruiting site's event pages.
    "army-hand-release-push-up": (
        ("body does not rise as one unit", "sagging", "one line"),
        ("arms not straight at the top", "soft-elbows", "straight"),
        ("chest, hips and thighs do not come down together", "chest-up", "thighs"),
        ("hands and arms do not go out to a T", "palms-down", "T"),
        ("rests elsewhere than on straight arms", "rested", "straight arms"),
    ),
    "army-plank": (
        ("straight line lost", "sagging", "straight line"),
        ("a hand or foot lifted", "lifted", "on the floor"),
        ("anything else touches the ground", "knees-down", "touch the floor: no knee"),
    ),
    # US Marine Corps, MCO 6100.13A w/CH-4, as quoted on an officer-selection site.
    "marine-pull-up": (
        ("no dead hang with straight arms", "no-hang", "straight"),
        ("chin not above the bar", "chin-low", "above the bar"),
        ("chin rests on the bar", "rested", "chin"),
        ("whipping, kicking or kipping, legs above the waist", "kicked", "waist"),
    ),
    # US Air Force, AFI 36-2905, A7.1.10.
    "air-force-push-up": (
        ("upper arms not parallel, elbows not at 90 degrees", "not-down", "level"),
        ("arms not straight at the top", "soft-elbows", "straight"),
        ("body line broken", "sagging", "line"),
        ("rests down", "rested", "at the top"),
    ),
}


@pytest.mark.parametrize(
    ("card_id", "cause", "fault_id", "words"),
    [(card, *row) for card, causes in PUBLISHED.items() for row in causes],
)
def test_a_published_cause_is_called_and_settled_by_the_cards_text(
    card_id: str, cause: str, fault_id: str, words: str
) -> None:
    card = CARDS[card_id]
    fault = card.fault(fault_id)
    assert fault is not None, cause
    assert fault.weight == "void"
    criterion = card.criterion(fault.breaks or "")
    assert criterion is not None
    assert words in criterion.says


@pytest.mark.parametrize("card_id", PUBLISHED)
def test_a_published_standard_names_its_source(card_id: str) -> None:
    assert any(
        body in CARDS[card_id].source
        for body in ("International", "US Army", "US Marine Corps", "US Air Force")
    )
