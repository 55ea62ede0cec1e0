"""A fault's key, decided with the set that its press falls into."""

import pytest

from judgekit.core.entry import Cue, NoRep, Rep
from judgekit.core.errors import Refusal
from judgekit.core.keyed import fault_of, keyed
from judgekit.core.press import Called, Keyed
from tests.support import Played, for_time


def test_a_key_calls_the_fault_of_the_set_it_falls_into() -> None:
    played = Played(for_time()).go()
    first = played.lane.plan.cards[0]
    played.each(Rep(), 2, 4, 6)
    second = played.lane.plan.card_of(played.lane.work.cursor or (1, 1, 2))  # type: ignore[arg-type]
    assert second is not first
    for place, fault in enumerate(second.faults, 1):
        if fault.weight == "void":
            assert keyed(played.lane, 8000, fault.key) == Called(fault=fault.id)
            assert keyed(played.lane, 8000, str(place)) == Called(fault=fault.id)


def test_a_key_pressed_in_the_queue_is_judged_by_the_set_of_its_turn() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 2, 4, 6)
    played.press(7, Keyed(key="1"))
    newest = played.entries[-1]
    card = played.lane.plan.card_of(newest.set)  # type: ignore[arg-type]
    assert newest.set == (1, 1, 2)
    assert isinstance(newest.body, NoRep)
    assert newest.body.faults == (card.faults[0].id,)


def test_a_key_of_no_fault_there_is_refused_in_words() -> None:
    played = Played(for_time()).go()
    name = played.lane.plan.cards[0].name
    assert keyed(played.lane, 2000, "j") == Refusal(
        says=f"j does nothing on {name}. ? lists the keys."
    )
    assert keyed(played.lane, 2000, "8") == Refusal(
        says=f"8 does nothing on {name}. ? lists the keys."
    )


@pytest.mark.parametrize("cues", ["on", "off"])
def test_a_cues_key_counts_as_the_event_says(cues: str) -> None:
    plan = for_time(cues=cues)
    cue = next(f for f in plan.cards[0].faults if f.weight == "cue")
    played = Played(plan).go()
    found = keyed(played.lane, 2000, cue.key)
    if cues == "on":
        assert found == Cue(fault=cue.id)
    else:
        assert isinstance(found, Refusal)
        assert "is a cue" in found.says


def test_digits_pass_over_cues() -> None:
    card = for_time().cards[0]
    voiding = [fault for fault in card.faults if fault.weight == "void"]
    named = [fault_of(card, digit) for digit in "12345678"]
    assert named == [*voiding, *[None] * (8 - len(voiding))]
