from __future__ import annotations

import json
from dataclasses import replace

from judgekit.core.card import (
    Card,
    Criterion,
    Fault,
    Height,
    Seconds,
    Setting,
    SettingValue,
    Substitute,
    in_force,
)
from judgekit.core.quantity import parse
from judgekit.reports.cardtext import as_json, card_tables, library_table
from judgekit.reports.layout import as_table

CARD = Card(
    id="wall-ball-shot",
    name="Wall-ball shot",
    revision=2,
    counts=("reps",),
    ends="top",
    view="from the side",
    seconds=Seconds(floor_ms=1400, brisk_ms=1800, ordinary_ms=2400),
    changeover_ms=1500,
    equipment=("ball", "wall"),
    source="common practice",
    start="Standing tall",
    finish="Ball at the mark",
    criteria=(
        Criterion(id="depth", kind="depth", at="bottom", says="Hip low"),
        Criterion(
            id="target",
            kind="target-height",
            at="finish",
            says="Touches the line",
            measured_to="lower edge",
            height=Height(by_key=(("men", parse("10 ft")), ("women", parse("9 ft")))),
        ),
    ),
    settings=(
        Setting(
            id="line",
            default="counts",
            values=(
                SettingValue(value="counts", criterion="target", says="Touches"),
                SettingValue(value="above", criterion="target", says="Above"),
            ),
        ),
    ),
    faults=(
        Fault(
            id="shallow",
            weight="void",
            breaks="depth",
            key="d",
            call="DEPTH",
            cues=("lower", "sit"),
            drill="Ten slow",
        ),
        Fault(
            id="low-catch",
            weight="cue",
            breaks=None,
            key="h",
            call="CATCH",
            cues=("eyes",),
            drill="Hold",
        ),
    ),
    stop_signs=("Ball on the face",),
    caution="Build up.",
    substitutes=(Substitute(card="air-squat", why="no overhead", caution="Slowly."),),
    measures=(),
    examples=(),
)

TEXT = """\
Wall-ball shot

What           Says
-------------  -----------------------------------------
card           wall-ball-shot, revision 2
counts         reps
start          Standing tall
finish         Ball at the mark
ends at        top
watch          from the side
needs          ball, wall
seconds a rep  1.4 at the least, 1.8 brisk, 2.4 ordinary
source         common practice

Criteria

At      What must be true  Height
------  -----------------  ----------------------------------------------------------
bottom  Hip low            @
finish  Touches the line   men 10 ft ≈ 3.05 m; women 9 ft ≈ 2.74 m, to the lower edge

Faults

Key  Call   Fault      Means            Cues         Drill
---  -----  ---------  ---------------  -----------  --------
d    DEPTH  shallow    no rep: Hip low  lower · sit  Ten slow
h    CATCH  low-catch  the rep counts   eyes         Hold

Settings

What                        Says
--------------------------  -------
line = counts (unless set)  Touches
line = above                Above

STOP at

Sign
----------------
Ball on the face

Build up.
No medical advice: event rules and licensed care come first.

Instead

Card       Why          Mind
---------  -----------  -------
air-squat  no overhead  Slowly.
"""


def test_a_card_in_full_is_the_same_to_the_letter() -> None:
    text = "\n".join(as_table(table) for table in card_tables(CARD))
    assert text == TEXT.replace("@", "\u2013")


def test_a_card_with_a_setting_chosen_says_it_in_its_criterion() -> None:
    chosen = in_force(CARD, {"line": "above"})
    assert [row[1] for row in card_tables(chosen)[1].rows] == [
        "Hip low",
        "Above",
    ]


def test_empty_parts_of_a_card_are_left_out() -> None:
    bare = replace(CARD, seconds=None, settings=(), substitutes=(), equipment=())
    assert [t.title for t in card_tables(bare)] == [
        "Wall-ball shot",
        "Criteria",
        "Faults",
        "STOP at",
    ]
    assert "seconds a rep" not in dict(card_tables(bare)[0].rows)  # type: ignore[arg-type]


def test_a_height_above_reach_says_so() -> None:
    target = replace(CARD.criteria[1], height=Height(above_reach=parse("6 in")))
    card = replace(CARD, criteria=(target,))
    assert card_tables(card)[1].rows[0][2] == (
        "6 in ≈ 15 cm above reach, to the lower edge"
    )


def test_json_of_a_card_has_the_keys_of_its_file() -> None:
    data = json.loads(as_json(CARD))
    assert data["format"] == 1
    card = data["card"]
    assert card["seconds"] == {"floor": "1.4 s", "brisk": "1.8 s", "ordinary": "2.4 s"}
    assert card["criterion"][0] == {
        "id": "depth",
        "kind": "depth",
        "at": "bottom",
        "says": "Hip low",
    }
    assert card["criterion"][1]["height"].startswith("men 10 ft")
    assert card["setting"][0]["values"][1] == {
        "is": "above",
        "criterion": "target",
        "says": "Above",
    }
    assert card["fault"][1]["breaks"] is None
    assert card["substitute"] == [
        {"card": "air-squat", "why": "no overhead", "caution": "Slowly."}
    ]
    assert json.loads(as_json(replace(CARD, seconds=None)))["card"]["seconds"] is None


def test_the_library_lists_cards_by_id_with_their_voiding_calls() -> None:
    other = replace(CARD, id="air-squat", name="Air squat", faults=())
    assert library_table([CARD, other]).rows == (
        ("air-squat", "Air squat", 2, "reps", ""),
        ("wall-ball-shot", "Wall-ball shot", 2, "reps", "DEPTH"),
    )
