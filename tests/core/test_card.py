"""A card as its settings leave it, and the keys that no fault may take."""

from __future__ import annotations

from judgekit.core.card import RESERVED_KEYS, in_force
from judgekit.files.library import load_library


def calls(card_id: str, **choices: str) -> list[str]:
    card = in_force(load_library()[card_id].card, choices)
    return [f.call for f in card.faults if f.weight == "void"]


def test_what_is_not_asked_cannot_be_missed() -> None:
    assert "STAND" not in calls("box-jump-over", top="any")
    assert "STAND" in calls("box-jump-over", top="tall")
    assert "BOTH FEET" not in calls("box-jump-over", **{"take-off": "any"})
    assert "STRICT" not in calls("pull-up", style="any")
    assert "STRICT" in calls("pull-up", style="strict")


def test_a_setting_puts_its_words_on_its_criterion() -> None:
    card = load_library()["wall-ball-shot"].card
    said = {
        value: next(
            c.says for c in in_force(card, {"line": value}).criteria if c.id == "target"
        )
        for value in ("counts", "above")
    }
    assert said["counts"] != said["above"]


def test_a_rep_is_described_only_under_the_settings_it_holds_for() -> None:
    card = load_library()["wall-ball-shot"].card
    on_the_line = {
        value: {
            e.fault
            for e in in_force(card, {"line": value}).examples
            if "hits the line" in e.says
        }
        for value in ("counts", "above")
    }
    assert on_the_line == {"counts": {None}, "above": {"low-ball"}}
    # What nobody chose is at the card's own value; what is not asked shows no miss.
    assert in_force(card, {}).examples == in_force(card, {"line": "counts"}).examples
    jump = load_library()["burpee-box-jump-over"].card
    assert "not-tall" in {e.fault for e in in_force(jump, {"top": "tall"}).examples}
    assert "not-tall" not in {e.fault for e in in_force(jump, {}).examples}


def test_no_shipped_fault_takes_a_key_of_the_floor() -> None:
    taken = [
        (card_id, fault.key)
        for card_id, file in load_library().items()
        for fault in file.card.faults
        if fault.key in RESERVED_KEYS
    ]
    assert taken == []
