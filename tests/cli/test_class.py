"""`judgekit class`: an event from a workout and names, and more names later."""

from __future__ import annotations

import re
import tomllib
from typing import TYPE_CHECKING

import pytest

from judgekit.core.classmates import Classmate
from judgekit.core.errors import InputError, Problem
from judgekit.core.workout import Workout
from judgekit.files.classfolder import NewClass, write_class
from judgekit.files.folder import load_event
from tests.cli.running import run
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path

PLAIN = """\
id = "towpath"
name = "Towpath"
revision = 1
score = "time"
[[part]]
rounds = 2
[[part.movement]]
card = "air-squat"
reps = 5
"""


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to work in, with a workout for everybody and nothing else."""
    (tmp_path / "towpath.toml").write_text(PLAIN, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TZ", "Europe/Berlin")
    return tmp_path


def test_names_alone_make_a_class_that_checks_clean(here: Path) -> None:
    done = run("class", "towpath", "Ana, Bo", "--folder", "monday")
    assert done == (0, "", "Next:\n  judgekit floor monday --heat 1\n")
    assert run("check", "monday").err.endswith("0 problems\n")
    event = load_event(here / "monday")
    assert [(a.bib, a.name, a.division, a.person) for a in event.athletes] == [
        ("1", "Ana", "class", "ana"),
        ("2", "Bo", "class", "bo"),
    ]
    assert [(r.heat, r.lane, r.bib, r.workout, r.judge) for r in event.heats] == [
        ("1", 1, "1", "towpath", "coach"),
        ("1", 2, "2", "towpath", "coach"),
    ]
    rules = event.event.rules
    assert (rules.watching, rules.lane_check, rules.cues) == ("reported", "off", "on")
    assert event.event.zone == "Europe/Berlin"


def test_a_class_is_named_after_its_day_and_workout(here: Path) -> None:
    run("class", "towpath.toml", "Ana", "--judged")
    [folder] = here.glob("class-*-towpath")
    event = load_event(folder)
    assert folder.name == f"class-{event.event.date}-towpath"
    assert event.event.rules.watching == "judged"


def test_more_names_are_added_and_nothing_else_changes(here: Path) -> None:
    run("class", "towpath", "Ana, Bo", "--folder", "monday")
    before = (here / "monday" / "people.csv").read_text(encoding="utf-8")
    heats = here / "monday" / "heats.csv"
    earlier = re.sub(r"\d\d:\d\d", "06:05", heats.read_text(encoding="utf-8"))
    heats.write_text(earlier, encoding="utf-8")
    run("class", "towpath", "ana, Dee", "--folder", "monday")
    assert (here / "monday" / "people.csv").read_text(
        encoding="utf-8"
    ) == before + "3,Dee,class,dee\n"
    added = load_event(here / "monday").lanes("1")
    # A heat has one start, whatever time it is by now.
    assert [(row.lane, row.start_ms) for row in added] == [
        (lane, 21_900_000) for lane in (1, 2, 3)
    ]


def test_the_thirteenth_goes_in_another_heat(here: Path) -> None:
    names = ", ".join(f"A{n}" for n in range(13))
    run("class", "towpath", names, "--folder", "big")
    event = load_event(here / "big")
    assert event.heat_names() == ("1", "2")
    assert [(row.lane, row.bib) for row in event.lanes("2")] == [(1, "13")]


def test_the_gym_is_taken_over_from_the_newest_event(here: Path) -> None:
    write_event(here / "spring")
    newer = write_event(here / "summer") / "event.toml"
    text = newer.read_text(encoding="utf-8").replace("2027-05-08", "2027-06-08")
    newer.write_text(
        f'{text}\n[emergency]\ncall = "112"\n\n[shared]\nbarbell = 2\n',
        encoding="utf-8",
    )
    run("class", "towpath", "Ana", "--folder", "monday")
    table = tomllib.loads((here / "monday" / "event.toml").read_text(encoding="utf-8"))
    assert (table["place"], table["emergency"], table["shared"]) == (
        "The boat shed",
        {"call": "112"},
        {"barbell": 2},
    )


def test_a_workout_that_differs_needs_divisions(here: Path) -> None:
    write_event(here / "spring")
    refused = run("class", "quayside", "Ana, Bo/men, Cy/x", "--folder", "monday")
    assert refused.code == 2
    assert refused.err.endswith(
        "this workout is not the same for men and women, and nobody said which is for: "
        'Cy, Ana; write "Cy/men"\n'
    )
    assert not (here / "monday").exists()
    run("class", "quayside", "Ana/women, Bo/men", "--folder", "monday")
    event = load_event(here / "monday")
    assert [a.division for a in event.athletes] == ["women", "men"]


def test_nobody_is_joined_unless_the_coach_says_so(here: Path) -> None:
    run("class", "towpath", "Ana", "--folder", "monday")
    told = run("class", "towpath", "Ana", "--folder", "tuesday").err
    assert told.startswith("Ana: the same person as ana? Not joined; --join says yes.")
    assert load_event(here / "tuesday").athletes[0].person == "ana-2"
    told = run("class", "towpath", "Ana", "--folder", "friday", "--join").err
    assert told.startswith("Ana may be ana, ana-2: joined to nobody.")
    run("class", "towpath", "Bo", "--folder", "saturday")
    run("class", "towpath", "Bo", "--folder", "sunday", "--join")
    assert load_event(here / "sunday").athletes[0].person == "bo"


def test_what_cannot_be_used_is_refused_and_nothing_written(here: Path) -> None:
    write_event(here / "spring")
    other = write_event(here / "summer") / "workouts" / "quayside.toml"
    other.write_text(other.read_text(encoding="utf-8").replace("10:00", "9:00"))
    run("class", "towpath", "Ana", "--folder", "monday")
    (here / "own.toml").write_text(PLAIN.replace("towpath", "own"), encoding="utf-8")
    run("class", "own", "Ana", "--folder", "friday")
    changed = here / "towpath.toml"
    changed.write_text(PLAIN.replace("reps = 5", "reps = 6"), encoding="utf-8")
    for args, says in (
        (("towpath", " , "), 'nobody is named; write "Ana, Bo, Cy"'),
        (("towpath", "Ana, ANA"), '"ANA" is named twice'),
        (("nowhere", "Ana"), 'there is no file "nowhere"'),
        (("quayside", "Ana/men"), '"quayside" is not the same in'),
        (("towpath", "Bo", "--folder", "monday"), "with another towpath"),
        (("own", "Cy", "--folder", "friday"), "a class with Ana already"),
        (("own", "Ana", "--judged", "--folder", "friday"), "sets are reported"),
    ):
        done = run("class", *args)
        assert done.code == 2
        assert says in done.err
    assert not list(here.glob("class-*"))


def test_a_hostile_name_is_text_everywhere(here: Path) -> None:
    run("class", "towpath", "=1+1, [b]Bo[/b]\x1b[31m, .. x", "--folder", "monday")
    rows = (here / "monday" / "people.csv").read_text(encoding="utf-8").splitlines()
    assert rows[1].startswith("1,'=1+1,")
    names = [a.name for a in load_event(here / "monday").athletes]
    assert names == ["=1+1", "[b]Bo[/b]\ufffd[31m", ".. x"]


def test_what_does_not_hold_with_the_class_is_left_out_and_said(here: Path) -> None:
    event = write_event(here / "spring") / "event.toml"
    text = event.read_text(encoding="utf-8")
    event.write_text(f'{text}\n[shared]\n"blue rig" = 2\n', encoding="utf-8")
    told = run("class", "towpath", "Ana", "--folder", "monday").err
    assert told.startswith("Not taken over, as it does not hold here: [shared]\n")
    assert load_event(here / "monday").event.place == "The boat shed"


def test_a_class_that_cannot_be_used_is_not_left_behind(here: Path) -> None:
    found = Problem(file="event.toml", line=1, what="is not right")

    def check(_part: Path) -> None:
        raise InputError([found])

    new = NewClass(
        workout=Workout(id="w", name="W", revision=1, score="time", parts=()),
        source=here / "towpath.toml",
        mates=(Classmate(name="Ana", person="ana"),),
        standards=(),
        date="2027-05-08",
        start="10:00",
    )
    gym = {"shared": {"blue rig": 2}}
    with pytest.raises(InputError):
        write_class(here / "monday", new, gym, check)
    assert [path.name for path in here.iterdir()] == ["towpath.toml"]
