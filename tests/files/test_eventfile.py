from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.card import Card, Fault, Setting, SettingValue
from judgekit.core.errors import InputError
from judgekit.core.people import Division, Emergency, Event, Judge, Rules
from judgekit.core.quantity import pair, parse
from judgekit.files.eventfile import read_event

if TYPE_CHECKING:
    from pathlib import Path

WALL_BALL = Card(
    id="wall-ball-shot",
    name="Wall-ball shot",
    revision=1,
    counts=("reps",),
    ends="top",
    view="side",
    seconds=None,
    changeover_ms=0,
    equipment=(),
    source="common practice",
    start="tall",
    finish="at the mark",
    criteria=(),
    settings=(
        Setting(
            id="line",
            default="counts",
            values=(
                SettingValue(value="counts", criterion="target", says="touching"),
                SettingValue(value="above", criterion="target", says="above"),
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
            cues=("a", "b", "c"),
            drill="sit",
        ),
    ),
    stop_signs=(),
    caution="",
    substitutes=(),
    measures=(),
    examples=(),
)
CARDS = {"wall-ball-shot": WALL_BALL}
ACTIONS = ("good", "no-rep", "stop", "freeze", ".good", ".no-rep")

LEAST = 'name = "Pier Day"\ndate = 2027-05-08\n'
WOMEN = '[[division]]\nid = "women"\nname = "Women"\n'


def read(folder: Path, text: str | bytes) -> Event:
    path = folder / "event.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_event(path, "event.toml", cards=CARDS, actions=ACTIONS)


def wrong(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as error:
        read(folder, text)
    return list(map(str, error.value.problems))


def test_everything_in_an_event_is_read(tmp_path: Path) -> None:
    text = """
name = "Quayside Saturday"
date = 2027-05-08
zone = "Europe/Berlin"
place = "The boat shed"
units = "lb"

[[division]]
id = "women-open"
name = "Women"
standard = "women"
bar = "15 kg"

[[division]]
id = "men"
name = "Men"
bar = ["20 kg", "45 lb"]

[[judge]]
id = "kb"
name = "Kim Brandt"

[settings]
doubt = "no-rep"
early-start = "seconds"
horn-lag = "0.5 s"
second-reason = "2 s"
repeat = "60 ms"
watching = "reported"
"wall-ball-shot.line" = "above"

[keys]
good = ["pagedown", "/"]
"1.no-rep" = "PageUp"

[emergency]
call = "112"
say = "Boat shed, Quay 4"
defibrillator = "left of the door"
first-aid = "Kim Brandt"
"""
    assert read(tmp_path, text) == Event(
        name="Quayside Saturday",
        date="2027-05-08",
        divisions=(
            Division(
                id="women-open", name="Women", standard="women", bar=parse("15 kg")
            ),
            Division(
                id="men",
                name="Men",
                standard="men",
                bar=pair(parse("20 kg"), parse("45 lb")),
            ),
        ),
        zone="Europe/Berlin",
        zone_given=True,
        place="The boat shed",
        units="lb",
        judges=(Judge(id="kb", name="Kim Brandt"),),
        rules=Rules(
            doubt="no-rep",
            early_start="seconds",
            horn_lag_ms=500,
            second_reason_ms=2000,
            repeat_ms=60,
            watching="reported",
        ),
        card_settings=(("wall-ball-shot.line", "above"),),
        keys=(("good", ("pagedown", "/")), ("1.no-rep", ("pageup",))),
        emergency=Emergency(
            call="112",
            say="Boat shed, Quay 4",
            defibrillator="left of the door",
            first_aid="Kim Brandt",
        ),
    )


def test_name_date_and_one_division_are_enough(tmp_path: Path) -> None:
    assert read(tmp_path, LEAST + WOMEN) == Event(
        name="Pier Day",
        date="2027-05-08",
        divisions=(Division(id="women", name="Women", standard="women"),),
    )


@pytest.mark.parametrize(
    "text",
    [
        LEAST + WOMEN,
        LEAST.replace("2027-05-08", '"2027-05-08"') + WOMEN,
        "\ufeff" + LEAST + WOMEN,
        (LEAST + WOMEN).replace("\n", "\r\n"),
        LEAST + WOMEN.replace("\n", "\n\t"),
    ],
    ids=["plain", "date-in-quotes", "mark", "crlf", "tabs"],
)
def test_the_form_of_the_file_changes_nothing(tmp_path: Path, text: str) -> None:
    assert read(tmp_path, text).date == "2027-05-08"


def test_all_problems_come_at_once_with_their_lines(tmp_path: Path) -> None:
    text = """
name = "Pier Day"
date = "8 May"
zone = "Europe/Berln"
units = "stone"
plce = "x"
setings = 1

[[division]]
id = "Women Open"
name = ""
bar = 15

[[judge]]
id = "kb"

[settings]
doubt = "coin"
earlystart = "no-rep"
horn-lag = "70 s"
repeat = 80
wall-ball.line = "above"
wall-ball-shot.lin = "above"
"wall-ball-shot.line" = "over"

[keys]
godo = ["pagedown"]
"""
    expected = """
3: "date" is "8 May", not a date; write it like 2027-05-08
4: "zone" is "Europe/Berln", no known zone; did you mean "Europe/Berlin"?
5: "units" is "stone"; one of "kg", "lb"
6: "plce" is not a known key here; did you mean "place"?
7: "setings" is not a known key here; did you mean "settings"?
10: division "Women Open": "id" is "Women Open"
11: division "Women Open": "name" is empty; write some words
12: division "Women Open": "bar" is a whole number; write it in quotes
14: judge "kb": "name" is missing; add it
18: settings: "doubt" is "coin"; use one of "athlete", "no-rep"
19: settings: "earlystart" is not a known setting; did you mean "early-start"?
20: settings: "horn-lag" is "70 s"; it must be at most 10 s
21: settings: "repeat" cannot be used: it is a whole number; write it like "0.5 s"
22: settings, wall-ball: "line" names no known card; did you mean "wall-ball-shot"?
23: settings, wall-ball-shot: "lin" is no setting of that card; did you mean "line"?
24: settings: "wall-ball-shot.line" is "over"; use one of "counts", "above"
27: keys: "godo" is not a known action; did you mean "good"?
"""
    found = wrong(tmp_path, text)
    starts = expected.strip().splitlines()
    assert len(found) == len(starts)
    for message, start in zip(found, starts, strict=True):
        assert message.startswith(f"event.toml:{start}")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (LEAST, '1: "division" is missing; add it'),
        (f"zone = 1\n{LEAST}{WOMEN}", '1: "zone" is a whole number; write it in'),
        (
            f'{LEAST}{WOMEN}bar = ["20 kg", "45 kg"]\n',
            '6: division "women": "bar" is not one bar marked in two units; ',
        ),
        (WOMEN + "bar = 22,5\n", "4: a decimal comma is not TOML"),
        (
            LEAST + WOMEN + WOMEN,
            '6: division "women" has an id given before; change it',
        ),
        (
            LEAST + WOMEN + '[settings]\n"wall-ball-shot.line" = "above"\n'
            'wall-ball-shot.line = "above"\n',
            '8: settings, wall-ball-shot: "line" is given twice; keep one of them',
        ),
        (LEAST + "settings = 1\n" + WOMEN, '3: "settings" is a whole number'),
        (
            LEAST + WOMEN + '[settings]\n"wall-ball-shot.line" = true\n',
            '7: settings: "wall-ball-shot.line" is true or false',
        ),
        (
            LEAST + WOMEN + '[settings]\n"rope-climb.hand" = "one"\n',
            (
                '7: settings: "rope-climb.hand" names no known card; '
                "the command judgekit cards lists them all"
            ),
        ),
        (LEAST + WOMEN + "[settings]\n[settings.doubt]\n", ""),
        (
            LEAST + WOMEN + '[keys]\ngood = ["pageup"]\nno-rep = "PageUp"\n',
            (
                '8: keys: "no-rep" takes "pageup", which already means good; '
                "choose another key"
            ),
        ),
        (
            LEAST + WOMEN + '[keys]\n"2.freeze" = ["f5"]\n',
            (
                '7: keys: "2.freeze" is not done by a key of one lane; '
                "write freeze, or one of good, no-rep for a lane"
            ),
        ),
        (
            LEAST + WOMEN + "[keys]\ngood = [4, '']\n",
            '7: keys: "good" holds something that is no key; write ["pagedown"]',
        ),
        (
            LEAST + WOMEN + '[keys]\ngood = ["pagdown"]\n',
            (
                '7: keys: "good" holds "pagdown", which is no key; '
                'did you mean "pagedown"?'
            ),
        ),
        (
            LEAST + WOMEN + '[keys]\ngood = ["the big one"]\n',
            (
                '7: keys: "good" holds "the big one", which is no key; write one '
                'letter or sign, or a name such as "pagedown", "up" or "f5"'
            ),
        ),
    ],
)
def test_each_thing_wrong_is_named(tmp_path: Path, text: str, message: str) -> None:
    if not message:
        assert read(tmp_path, text).rules == Rules()
        return
    (found,) = wrong(tmp_path, text)
    assert found.startswith(f"event.toml:{message}")


@pytest.mark.parametrize("key", ["0", "9", "space", "d", "z", "-"])
def test_no_extra_key_takes_one_that_judges_press_already(
    tmp_path: Path, key: str
) -> None:
    (found,) = wrong(tmp_path, f'{LEAST}{WOMEN}[keys]\nfreeze = ["{key}"]\n')
    assert f'"freeze" takes "{key}", which already means ' in found


@pytest.mark.parametrize("zone", ["", "..", "/etc/passwd", "Europe", "a\\u0000b", "x"])
def test_a_zone_is_a_name_and_never_a_path(tmp_path: Path, zone: str) -> None:
    (found,) = wrong(tmp_path, f'zone = "{zone}"\n{LEAST}{WOMEN}')
    assert found.startswith('event.toml:1: "zone" is "')


@pytest.mark.parametrize(
    "date", ["2027-02-29", '"2027-02-29"', '"20270508"', "2027-05-08T09:30:00", "1"]
)
def test_a_date_is_a_day_of_the_calendar(tmp_path: Path, date: str) -> None:
    found = wrong(tmp_path, f'name = "x"\ndate = {date}\n{WOMEN}')
    assert len(found) == 1
    assert found[0].startswith("event.toml:2: ")


def test_without_cards_and_actions_their_names_are_taken_as_they_are(
    tmp_path: Path,
) -> None:
    path = tmp_path / "event.toml"
    path.write_text(f'{LEAST}{WOMEN}[settings]\nx.y = "z"\n[keys]\njump = "f1"\n')
    event = read_event(path, "event.toml", cards=None, actions=None)
    assert (event.card_settings, event.keys) == (
        (("x.y", "z"),),
        (("jump", ("f1",)),),
    )


def test_names_are_made_safe_to_show(tmp_path: Path) -> None:
    text = f'name = "Pier\\u202e\\u001b Day"\ndate = 2027-05-08\n{WOMEN}'
    assert read(tmp_path, text).name == "Pier\ufffd Day"


WHOLE = (
    LEAST
    + WOMEN
    + '[settings]\nrepeat = "80 ms"\nwall-ball-shot.line = "above"\n'
    + '[keys]\ngood = ["f1"]\n'
).encode()


@given(
    cuts=st.lists(
        st.tuples(
            st.integers(0, len(WHOLE)),
            st.integers(0, 6),
            st.binary(max_size=4)
            | st.sampled_from([b'"', b"[", b"{}", b"=", b"\n", b".", b"true", b"-1"]),
        ),
        max_size=6,
    )
)
def test_no_bytes_raise_anything_but_an_input_error(
    tmp_path_factory: pytest.TempPathFactory, cuts: list[tuple[int, int, bytes]]
) -> None:
    data = WHOLE
    for at, length, put in cuts:
        data = data[:at] + put + data[at + length :]
    lines = [1]
    try:
        read(tmp_path_factory.mktemp("fuzz"), data)
    except InputError as error:
        lines = [problem.line for problem in error.problems]
    assert lines
    assert min(lines) >= 1
