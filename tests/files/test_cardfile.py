from __future__ import annotations

from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core.card import (
    RESERVED_KEYS,
    Card,
    Criterion,
    Fault,
    Height,
    Seconds,
    Setting,
    SettingValue,
    Substitute,
)
from judgekit.core.quantity import Quantity
from judgekit.files.cardfile import card_from, read_card, read_overlay
from judgekit.files.toml import loads
from tests.files.samples import (
    CARD,
    ROW_CARD,
    changed,
    problems_if_any,
    problems_of,
    put,
)

if TYPE_CHECKING:
    from pathlib import Path
    from random import Random


def card(*changes: tuple[str, str]) -> Card:
    text = changed(CARD, *changes)
    return card_from(loads(text.encode(), "c.toml"), "crate-throw")


def refusals(*changes: tuple[str, str]) -> list[str]:
    return problems_of(lambda: card(*changes))


def feet(written: str, amount: Fraction) -> Quantity:
    return Quantity(written=written, amount=amount, dimension="length", unit="ft")


WHOLE = Card(
    id="crate-throw",
    name="Crate throw",
    revision=2,
    counts=("reps",),
    ends="top",
    view="from the side",
    seconds=Seconds(floor_ms=1400, brisk_ms=1800, ordinary_ms=2400),
    changeover_ms=1500,
    equipment=("crate", "wall"),
    source="common practice",
    start="Standing tall",
    finish="Crate at the mark",
    criteria=(
        Criterion(id="depth", kind="depth", at="bottom", says="Hip below the knee"),
        Criterion(
            id="target",
            kind="target-height",
            at="finish",
            says="Centre at or above the mark",
            measured_to="centre",
            height=Height(
                by_key=(
                    ("men", feet("10 ft", Fraction(3048, 1000))),
                    ("women", feet("9 ft", Fraction(27432, 10000))),
                )
            ),
        ),
    ),
    settings=(
        Setting(
            id="line",
            default="counts",
            values=(
                SettingValue(
                    value="counts",
                    criterion="target",
                    says="Touching the line or above",
                ),
                SettingValue(
                    value="above",
                    criterion="target",
                    says="Whole crate above the line",
                ),
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
            cues=("sit lower", "touch the box", "lower, then drive"),
            drill="Ten slow squats",
        ),
        Fault(
            id="low",
            weight="void",
            breaks="target",
            key="t",
            call="AIM HIGHER",
            cues=("look up", "legs send it", "step closer"),
            drill="Five single throws",
        ),
        Fault(
            id="late-catch",
            weight="cue",
            breaks=None,
            key="h",
            call="CATCH",
            cues=("meet it", "ride it down", "hands ready"),
            drill="Catch and hold, five times",
        ),
    ),
    stop_signs=("Crate on the face",),
    caution="Build up over weeks.",
    substitutes=(Substitute(card="bench-row", why="no throwing today"),),
    measures=(),
    examples=(),
)


def test_a_card_file_becomes_the_card_it_says(tmp_path: Path) -> None:
    path = put(tmp_path, "crate-throw.toml", CARD)
    assert read_card(path, "crate-throw.toml") == WHOLE


def test_a_byte_order_mark_and_tabs_change_nothing(tmp_path: Path) -> None:
    indented = CARD.replace("\n", "\r\n\t").encode()
    path = put(tmp_path, "crate-throw.toml", b"\xef\xbb\xbf" + indented)
    assert read_card(path, "crate-throw.toml") == WHOLE


def test_what_a_short_card_leaves_out_has_a_default() -> None:
    row = card_from(loads(ROW_CARD.encode(), "c.toml"), "bench-row")
    assert (row.changeover_ms, row.equipment, row.settings) == (1000, (), ())
    assert (row.faults, row.caution, row.substitutes) == ((), "", ())


def test_a_height_may_be_above_the_reach() -> None:
    read = card(('{ men = "10 ft", women = "9 ft" }', '{ above-reach = "0 in" }'))
    reach = Quantity(written="0 in", amount=Fraction(0), dimension="length", unit="in")
    assert read.criteria[1].height == Height(above_reach=reach)


def test_a_source_may_be_a_table() -> None:
    table = '{ title = "Rules", body = "A federation", section = "4" }'
    assert card(('"common practice"', table)).source == "A federation, Rules, 4"


def test_a_card_that_counts_seconds_alone_has_no_seconds_for_a_rep() -> None:
    without = ("seconds = {", "# {")
    read = card(('["reps"]', '["seconds"]'), without, ("changeover", "#"))
    assert (read.seconds, read.changeover_ms) == (None, 0)


def test_texts_come_out_clean() -> None:
    read = card(('"Crate throw"', '" Crate\\u202e  throw\\u0007 "'))
    assert read.name == "Crate throw\ufffd"


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        (
            'id = "crate-throw"',
            'id = "crate-thrown"',
            (
                '1: "id" is "crate-thrown", but the file is called "crate-throw"; '
                "make the two the same"
            ),
        ),
        ("revision = 2", "revision = 0", '3: "revision" is 0; it must be at least 1'),
        (
            "revision = 2",
            "revision = true",
            '3: "revision" is true, which is not a number; write a whole number',
        ),
        (
            'ends = "top"',
            'ends = "tip"',
            '5: "ends" is "tip"; one of "top", "bottom", "line", "landing", "monitor"',
        ),
        (
            '["reps"]',
            "[]",
            '4: "counts" is empty; fill it in, or leave the key out if it may be',
        ),
        ('["reps"]', '["reps", "reps"]', '4: "counts" names "reps" twice; keep one'),
        (
            'view = "from the side"',
            'veiw = "from the side"',
            '1: "view" is missing; add it',
        ),
        (
            '"1.4 s"',
            '"1,4 s"',
            '7: seconds: "floor": "1,4 s" has a comma; write decimals with a full stop',
        ),
        (
            '"1.4 s"',
            "1.4",
            (
                '7: seconds: "floor" is a number that is not whole; write it in '
                "quotes, "
                'such as "4:30" or "1.2 s"'
            ),
        ),
        (
            '"1.4 s"',
            '"0 s"',
            '7: seconds: "floor" is "0 s"; it must be above zero and below a day',
        ),
        (
            '"1.4 s"',
            '"1.9 s"',
            (
                '7: "seconds" do not rise; floor is the shortest, then brisk, then '
                "ordinary"
            ),
        ),
        (
            "seconds = {",
            "# {",
            (
                '1: "seconds" is missing: how long one rep takes; add [seconds] with '
                'floor = "1.4 s", brisk = "1.8 s", ordinary = "2.4 s"'
            ),
        ),
        (
            '["reps"]',
            '["seconds"]',
            (
                '7: "seconds" is given, but the card counts seconds alone and '
                "so has no "
                "reps to time; take it out"
            ),
        ),
        (
            '"common practice"',
            '" "',
            '10: "source" is empty; say where the standard is from, "common practice"',
        ),
        (
            '"common practice"',
            "{ titel = 5 }",
            '10: "source" is no source; write it in quotes, or as a table of body, ',
        ),
        (
            '{ men = "10 ft", women = "9 ft" }',
            "{}",
            '24: criterion "target" has an empty height; write { men = "10 ft" }',
        ),
        (
            'measured-to = "centre"\n',
            "",
            (
                '24: criterion "target" is a target height without its height or '
                'measured-to; write height = { men = "10 ft", women = "9 ft" } and '
                'measured-to = "centre"'
            ),
        ),
        (
            'kind = "target-height"',
            'kind = "contact"',
            (
                '24: criterion "target" is of the kind "contact", which has no '
                "height and "
                'no measured-to; take them out, or write kind = "target-height"'
            ),
        ),
        (
            '"10 ft"',
            '"10 kg"',
            (
                '30: criterion "target", height: "men": "10 kg" is a mass; a length is '
                "needed"
            ),
        ),
        (
            '"10 ft"',
            '"3000 ft"',
            (
                '30: criterion "target", height: "men" is "3000 ft", too much '
                "to be meant; "
                "check the unit"
            ),
        ),
        (
            'women = "9 ft"',
            'above-reach = "6 in"',
            (
                '24: criterion "target" has a height above reach beside other heights; '
                "keep the one or the others"
            ),
        ),
        (
            'women = "9 ft"',
            'women = "0 ft"',
            '24: criterion "target" has no height for "women"; it is above zero',
        ),
        (
            'default = "counts"',
            'default = "touch"',
            (
                '32: setting "line" has the default "touch", which is none of '
                "its values; "
                'they are "counts", "above"'
            ),
        ),
        (
            '"above", criterion = "target"',
            '"above", criterion = "tarket"',
            (
                '37: setting "line", values 2: "criterion" is "tarket", which is no '
                'criterion of this card; did you mean "target"?'
            ),
        ),
        (
            'breaks = "depth"\n',
            "",
            (
                '40: fault "shallow" voids the rep but breaks nothing; write breaks = '
                '"..." with the id of a criterion, or weight = "cue"'
            ),
        ),
        (
            'breaks = "depth"',
            'breaks = "dept"',
            (
                '43: fault "shallow": "breaks" is "dept", which is no criterion '
                "of this "
                'card; did you mean "depth"?'
            ),
        ),
        (
            'weight = "cue"',
            'weight = "cue"\nbreaks = "depth"',
            (
                '58: fault "late-catch" is a cue, which breaks nothing; take '
                "breaks out, "
                'or write weight = "void"'
            ),
        ),
        (
            'id = "low"',
            'id = "shallow"',
            (
                '50: fault "shallow": "id" is "shallow", which another fault '
                "has already "
                "(line 41); give each its own"
            ),
        ),
        (
            'id = "target"',
            'id = "depth"',
            (
                '25: criterion "depth": "id" is "depth", which another criterion has '
                "already (line 19); give each its own"
            ),
        ),
        (
            'key = "T"',
            'key = "D"',
            (
                '53: fault "low": "D" is the key of DEPTH (shallow) already '
                "(line 44); "
                "give each its own"
            ),
        ),
        (
            'key = "d"',
            'key = "dd"',
            '44: fault "shallow": "key" is "dd"; one letter is needed, such as "d"',
        ),
        (
            'call = "DEPTH"',
            'call = "Depth"',
            (
                '45: fault "shallow": "call" is "Depth"; one or two short words in '
                'capitals, such as "DEPTH"'
            ),
        ),
        (
            'call = "DEPTH"',
            'call = "TO THE DEPTH"',
            (
                '45: fault "shallow": "call" is "TO THE DEPTH"; one or two '
                "short words in "
                'capitals, such as "DEPTH"'
            ),
        ),
        (
            ', "hands ready"',
            "",
            '63: fault "late-catch": "cues" has 2; exactly three are needed',
        ),
        (
            '["Crate on the face"]',
            "[]",
            '67: stop: "signs" is empty; fill it in, or leave the key out if it may be',
        ),
        (
            'card = "bench-row"',
            'card = "crate-throw"',
            '73: substitute 1: "card" is this very card; name another one',
        ),
        (
            'drill = "Ten slow squats"',
            f'drill = "{"x" * 201}"',
            '47: fault "shallow": "drill" is too long; at most 200 letters fit',
        ),
    ],
)
def test_each_wrong_thing_is_named_with_its_line_and_what_is_right(
    old: str, new: str, problem: str
) -> None:
    assert refusals((old, new))[0].startswith(f"c.toml:{problem}")


EXAMPLE = '\n[[example]]\nsays = "Hits the roof"\nunder = { %s }\n'


@pytest.mark.parametrize(
    ("under", "problem"),
    [
        (
            'lime = ["above"]',
            'example 1, under: "lime" is no setting of this card; did you mean "line"?',
        ),
        (
            'line = ["counts", "abov"]',
            (
                'example 1, under: "line" has "abov", which the setting never is; did '
                'you mean "above"?'
            ),
        ),
        (
            "line = 3",
            'example 1, under: "line" is a whole number; write a list in [ ]',
        ),
    ],
)
def test_a_rep_is_described_for_settings_that_there_are(
    under: str, problem: str
) -> None:
    text = CARD + EXAMPLE % under
    line = text.splitlines().index(f"under = {{ {under} }}") + 1
    read = partial(card_from, loads(text.encode(), "c.toml"), "crate-throw")
    assert problems_of(read) == [f"c.toml:{line}: {problem}"]


def test_a_rep_may_be_described_for_some_values_of_a_setting() -> None:
    text = CARD + EXAMPLE % 'line = ["above", "counts"]'
    read = card_from(loads(text.encode(), "c.toml"), "crate-throw")
    assert read.examples[-1].under == (("line", ("above", "counts")),)


@pytest.mark.parametrize("key", sorted(RESERVED_KEYS))
def test_no_fault_takes_a_reserved_key(key: str) -> None:
    typed = {"space": " "}.get(key, key.upper())
    (problem,) = refusals(('key = "d"', f'key = "{typed}"'))
    assert problem.startswith('c.toml:44: fault "shallow": "key" is ')


@pytest.mark.parametrize("key", ["9", "-", "o", "O", "p"])
def test_the_neighbours_of_stop_say_so(key: str) -> None:
    (problem,) = refusals(('key = "d"', f'key = "{key}"'))
    assert problem == (
        f'c.toml:44: fault "shallow": "key" is "{key}", which is taken: beside STOP; '
        "choose another letter"
    )


def test_all_problems_are_told_in_one_go_in_the_order_of_the_file() -> None:
    found = refusals(
        ("revision = 2", "revision = -1"),
        ('at = "bottom"', 'at = "botom"'),
        ('breaks = "target"', 'breaks = "targte"'),
        ('key = "h"', 'key = "d"'),
        ("[caution]", "[cautoin]"),
    )
    assert [problem.split(":")[1] for problem in found] == [
        "3",
        "21",
        "52",
        "61",
        "69",
    ]


# --- overlays ----------------------------------------------------------------------


def overlay(text: str) -> Card:
    base = loads(CARD.encode(), "c.toml").table
    return card_from(read_overlay(loads(text.encode(), "o.toml"), base), "crate-throw")


def test_an_overlay_changes_what_it_says_and_nothing_else() -> None:
    read = overlay(
        'revision = 3\n[[fault]]\nid = "low"\nkey = "r"\n[finish]\nsays = "On the roof"'
    )
    assert read.revision == 3
    assert read.finish == "On the roof"
    assert [fault.key for fault in read.faults] == ["d", "r", "h"]
    assert read.faults[1].call == "AIM HIGHER"
    assert read.criteria == WHOLE.criteria


def test_an_overlay_adds_what_the_card_does_not_have() -> None:
    read = overlay(
        '[[fault]]\nid = "soft"\nweight = "cue"\nkey = "s"\ncall = "TALL"\n'
        'cues = ["a", "b", "c"]\ndrill = "Stand"\n'
    )
    assert [f.id for f in read.faults] == ["shallow", "low", "late-catch", "soft"]


def test_problems_of_the_whole_are_told_at_the_overlay_s_lines() -> None:
    text = '\n\n[[fault]]\nid = "late-catch"\nkey = "d"\n\n[stop]\nsigns = []\n'
    assert problems_of(lambda: overlay(text)) == [
        (
            'o.toml:5: fault "late-catch": "d" is the key of DEPTH (shallow) '
            "already; give each its own"
        ),
        (
            'o.toml:8: stop: "signs" is empty; fill it in, or leave the key out if it '
            "may be"
        ),
    ]


def test_a_key_taken_twice_is_told_of_the_fault_that_the_overlay_gives() -> None:
    """Also where the card's own fault comes later in the whole card."""
    text = '[[fault]]\nid = "shallow"\ncall = "DEPTH"\nkey = "h"\n'
    whose = WHOLE.faults[2]
    assert problems_of(lambda: overlay(text)) == [
        (
            f'o.toml:4: fault "shallow": "h" is the key of {whose.call} '
            f"({whose.id}) already; give each its own"
        ),
    ]


def test_an_overlay_that_names_a_fault_twice_is_refused() -> None:
    text = '[[fault]]\nid = "low"\nkey = "r"\n[[fault]]\nid = "low"\nkey = "s"\n'
    assert problems_of(lambda: overlay(text)) == [
        (
            'o.toml:5: fault "low": "id" is "low", which another fault has already '
            "(line 2); give each its own"
        ),
    ]


# --- damage ------------------------------------------------------------------------

ODD = [
    "true",
    "-1",
    "inf",
    "nan",
    "1e400",
    '""',
    "[]",
    "{}",
    "[[]]",
    "[{}]",
    "[{id=1}]",
    "{id=[1]}",
    '{""=1}',
    "1979-05-27",
    '"\\u0000"',
    '"5"',
    "2.5",
    '["1","2"]',
    '"0:00"',
    '"999999999.999999_kg"',
    "[1,[2]]",
    '{is="x"}',
]


def damaged(text: str, random: Random) -> str:
    for _ in range(random.randint(1, 3)):
        rows = text.split("\n")
        at = random.randrange(len(rows))
        if random.random() < 0.7 and " = " in rows[at]:
            rows[at] = f"{rows[at].split(' = ')[0]} = {random.choice(ODD)}"
        elif random.random() < 0.5:
            rows[at] = rows[random.randrange(len(rows))]
        else:
            cut = random.randrange(len(rows[at]) + 1)
            rows[at] = rows[at][:cut] + random.choice('"[]{}=#\n.,\\') + rows[at][cut:]
        text = "\n".join(rows)
    return text


@settings(max_examples=150)
@given(st.randoms(use_true_random=False))
def test_a_damaged_card_is_read_or_refused_and_never_crashes(random: Random) -> None:
    text = damaged(CARD, random)
    base = loads(CARD.encode(), "c.toml").table

    def alone() -> None:
        card_from(loads(text.encode(), "c.toml"), "crate-throw")

    def laid_over() -> None:
        document = loads(text.encode(), "c.toml")
        card_from(read_overlay(document, base), "crate-throw")

    found = [*problems_if_any(alone), *problems_if_any(laid_over)]
    rows = text.count("\n") + 1
    assert [p for p in found if not 1 <= p.line <= rows or "ydantic" in p.what] == []
