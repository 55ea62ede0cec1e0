from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.core.errors import InputError
from judgekit.core.setup import resolve
from judgekit.files.folder import EventFolder, check_paths, load_event
from judgekit.files.library import load_library

if TYPE_CHECKING:
    from judgekit.core.errors import Problem
    from judgekit.files.library import CardFile

SQUAT = """\
id = "squat"
name = "Squat"
revision = 1
counts = ["reps"]
ends = "top"
view = "from the side"
seconds = { floor = "0.65 s", brisk = "0.85 s", ordinary = "1.5 s" }
source = "common practice"
start.says = "Standing tall"
finish.says = "Standing tall again"
stop.signs = ["A knee gives way"]

[[criterion]]
id = "depth"
kind = "depth"
at = "bottom"
says = "Crease of the hip below the top of the knee"

[[fault]]
id = "shallow"
weight = "void"
breaks = "depth"
key = "d"
call = "DEPTH"
cues = ["sit lower", "touch the box", "lower, then drive"]
drill = "Ten slow ones"
"""
THROW = (
    SQUAT.replace('"squat"', '"throw"').replace('"Squat"', '"Throw"')
    + """
[[criterion]]
id = "target"
kind = "target-height"
at = "finish"
says = "At the mark"
measured-to = "centre"
height = { men = "10 ft", women = "9 ft" }

[[setting]]
id = "line"
default = "counts"
values = [
  { is = "counts", criterion = "target", says = "Touching the line" },
  { is = "above", criterion = "target", says = "Above the line" },
]
"""
)
WORKOUT = """\
id = "pier"
name = "Pier"
revision = 1
score = "time"

[[part]]
rounds = 2
[[part.movement]]
card = "squat"
reps = [10, 8]
[[part.movement]]
card = "throw"
reps = 12
"""
FILES = {
    "event.toml": """\
name = "Pier Day"
date = 2027-05-08
zone = "Europe/Berlin"

[[division]]
id = "women-open"
name = "Women"
standard = "women"

[[division]]
id = "men"
name = "Men"

[settings]
throw.line = "above"
""",
    "people.csv": (
        "bib,name,division\n"
        "007,Ines,women-open\n2,Mara,women-open\n10,Lou,men\n11,Sam,men\n"
    ),
    "heats.csv": (
        "heat,start,workout,lane,bib,judge\n"
        "10,10:00,pier,2,2,kb\n10,10:00,pier,1,007,lo\n"
        "9,9:30,pier,1,10,kb\n9,9:30,pier,2,11,\n"
    ),
    "workouts/pier.toml": WORKOUT,
}


@pytest.fixture(name="library", scope="module")
def _library(tmp_path_factory: pytest.TempPathFactory) -> dict[str, CardFile]:
    folder = tmp_path_factory.mktemp("standards")
    (folder / "squat.toml").write_text(SQUAT)
    (folder / "throw.toml").write_text(THROW)
    return load_library(folder)


@pytest.fixture(name="event")
def _event(tmp_path: Path) -> Path:
    folder = tmp_path / "ev"
    for name, text in FILES.items():
        put(folder, name, text)
    return folder


def put(folder: Path, name: str, text: str | bytes) -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def load(event: Path, library: dict[str, CardFile]) -> EventFolder:
    return load_event(event, shown="ev", library=library, actions=["good"])


def wrong(event: Path, library: dict[str, CardFile]) -> list[str]:
    with pytest.raises(InputError) as error:
        load(event, library)
    return list(map(str, error.value.problems))


def checked(
    library: dict[str, CardFile], *paths: Path, within: Path | None = None
) -> list[str]:
    return [
        str(problem).replace(f"{within}/", "") if within else str(problem)
        for problem in check_paths(paths, library=library)
    ]


def advice_of(problems: tuple[Problem, ...]) -> list[str]:
    return [str(problem) for problem in problems if problem.advice]


def test_an_event_folder_is_read_whole(
    event: Path, library: dict[str, CardFile]
) -> None:
    put(event, "cards/squat.toml", 'view = "from the front"\n')
    put(event, "cards/hop.toml", SQUAT.replace('"squat"', '"hop"'))
    found = load(event, library)
    assert found.folder == event
    assert found.event.name == "Pier Day"
    assert [athlete.bib for athlete in found.athletes] == ["007", "2", "10", "11"]
    assert [(lane.heat, lane.lane) for lane in found.heats] == [
        ("10", 2),
        ("10", 1),
        ("9", 1),
        ("9", 2),
    ]
    assert {name: workout.id for name, workout in found.workouts.items()} == {
        "pier": "pier"
    }
    assert {card.id: card.view for card in found.cards.values()} == {
        "hop": "from the side",
        "squat": "from the front",
        "throw": "from the side",
    }
    assert found.advice == ()


def test_heats_come_by_start_and_lanes_by_number(
    event: Path, library: dict[str, CardFile]
) -> None:
    found = load(event, library)
    assert found.heat_names() == ("9", "10")
    assert [lane.bib for lane in found.lanes("10")] == ["007", "2"]
    assert found.lanes("11") == ()
    seven, nobody = found.athlete("007"), found.athlete("7")
    assert (seven.name if seven else "", nobody) == ("Ines", None)


def test_what_is_not_ours_is_ignored(event: Path, library: dict[str, CardFile]) -> None:
    put(event, "workouts/old/broken.toml", "?")
    put(event, "workouts/.swap.toml", "?")
    put(event, "workouts/notes.txt", "?")
    put(event, "photos/broken.toml", "?")
    (event / "workouts" / "folder.toml").mkdir()
    assert list(load(event, library).workouts) == ["pier"]


def test_headers_alone_are_an_event_without_people_or_heats_yet(
    event: Path, library: dict[str, CardFile]
) -> None:
    put(event, "people.csv", "bib,name,division\n")
    put(event, "heats.csv", "heat,start,workout,lane,bib,judge\n")
    found = load(event, library)
    assert (found.athletes, found.heats, found.heat_names()) == ((), (), ())


def test_every_missing_file_is_a_message(
    tmp_path: Path, library: dict[str, CardFile]
) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()
    assert wrong(empty, library) == [
        "ev/event.toml:1: there is no such file; check its name and folder",
        (
            "ev/heats.csv:1: there is no such file; "
            "write one; its first row must be heat,start,workout,lane,bib,judge"
        ),
        (
            "ev/people.csv:1: there is no such file; "
            "write one; its first row must be bib,name,division"
        ),
        (
            "ev/workouts:1: there is no such folder; "
            "make it, with a .toml file for each workout"
        ),
    ]
    assert wrong(tmp_path / "nowhere", library) == ["ev:1: there is no such folder"]


def test_every_problem_of_every_file_comes_in_one_go(
    event: Path, library: dict[str, CardFile]
) -> None:
    put(
        event, "event.toml", FILES["event.toml"] + 'wall.line = "x"\n[keys]\njump = 1\n'
    )
    put(event, "people.csv", "bib,name,division,shoe\n7,A,wimen,42\n7,B,men,43\n")
    put(
        event,
        "heats.csv",
        "heat,start,workout,lane,bib,judge\n1,9:30,peer,1,10,kb\n",
    )
    put(event, "workouts/pier.toml", WORKOUT.replace("reps = 12", 'reps = "x"'))
    put(event, "workouts/quay.toml", "id = 22,5\n")
    put(event, "cards/squat.toml", "name = 7\n")
    assert [line.split("; ")[0] for line in wrong(event, library)] == [
        'ev/cards/squat.toml:1: "name" is a whole number',
        'ev/event.toml:16: settings, wall: "line" names no known card',
        'ev/event.toml:18: keys: "jump" is not a known action',
        'ev/event.toml:18: keys: "jump" holds something that is no key',
        'ev/heats.csv:2: there is no bib "10"',
        'ev/heats.csv:2: there is no workout "peer"',
        "ev/people.csv:1: column shoe is not used",
        'ev/people.csv:2: there is no division "wimen"',
        'ev/people.csv:3: rows 2 and 3 both have bib "7"',
        'ev/workouts/pier.toml:13: part 1, movement 2: "reps" is text',
        "ev/workouts/quay.toml:1: a decimal comma is not TOML",
    ]


def test_workouts_wait_for_a_new_card_that_is_wrong(
    event: Path, library: dict[str, CardFile]
) -> None:
    put(event, "cards/hop.toml", "?")
    put(event, "workouts/pier.toml", WORKOUT.replace('"throw"', '"hop"'))
    found = wrong(event, library)
    assert [line.split(":", 1)[0] for line in found] == [
        "ev/cards/hop.toml",
        "ev/workouts/pier.toml",
    ]
    assert found[1] == (
        "ev/workouts/pier.toml:1: not checked, since some of the event's cards "
        "are wrong; mend those"
    )


def test_a_value_that_a_division_lacks_is_named_before_any_heat(
    event: Path, library: dict[str, CardFile]
) -> None:
    text = FILES["event.toml"].replace('id = "men"', 'id = "kids"')
    put(event, "event.toml", text)
    put(event, "people.csv", FILES["people.csv"].replace(",men", ",kids"))
    (found,) = wrong(event, library)
    assert found.startswith("ev/workouts/pier.toml:11: ")
    assert '"kids"' in found


def test_every_lane_of_an_event_that_loads_has_a_plan(
    event: Path, library: dict[str, CardFile]
) -> None:
    found = load(event, library)
    athletes = {lane: found.athlete(lane.bib) for lane in found.heats}
    plans = [
        resolve(
            event=found.event,
            heat=lane,
            athlete=athlete,
            workout=found.workouts[lane.workout],
            cards=found.cards,
        )
        for lane, athlete in athletes.items()
        if athlete
    ]
    assert [
        (plan.bib, plan.parts[0].movements[1].height, plan.card("throw").settings)
        for plan in plans
    ] == [
        ("2", "9 ft ≈ 2.74 m", (("line", "above"),)),
        ("007", "9 ft ≈ 2.74 m", (("line", "above"),)),
        ("10", "10 ft ≈ 3.05 m", (("line", "above"),)),
        ("11", "10 ft ≈ 3.05 m", (("line", "above"),)),
    ]


def test_an_event_without_a_zone_is_told_that_times_are_utc(
    event: Path, library: dict[str, CardFile]
) -> None:
    text = FILES["event.toml"].replace('zone = "Europe/Berlin"\n', "")
    put(event, "event.toml", text)
    found = load(event, library)
    assert (found.event.zone, advice_of(found.advice)) == (
        "UTC",
        [
            (
                "ev/event.toml:1: no zone is given, so clock times are taken as UTC; "
                'add zone = "Europe/Berlin" or yours'
            )
        ],
    )


def test_two_rosters_that_spell_a_name_in_two_ways_are_one(
    event: Path, library: dict[str, CardFile]
) -> None:
    rows = "bib,name,division\n2,{},men\n007,A,men\n10,B,men\n11,C,men\n"
    put(event, "people.csv", rows.format("Jos\u00e9"))
    before = load(event, library).athletes
    put(event, "people.csv", rows.format("Jose\u0301\u00a0"))
    assert load(event, library).athletes == before


def test_a_right_event_has_nothing_to_tell(
    event: Path, library: dict[str, CardFile]
) -> None:
    assert checked(library, event, event / "workouts", event / "event.toml") == []


def test_problems_of_all_paths_are_sorted_and_told_once(
    event: Path, library: dict[str, CardFile]
) -> None:
    put(event, "people.csv", "bib,name,division\n1,A,man\n")
    put(event, "heats.csv", "heat,start,workout,lane,bib,judge\n1,9:30,pier,1,2,\n")
    found = checked(library, event / "people.csv", event, within=event)
    assert found == [
        'heats.csv:2: there is no bib "2"; use one of 1',
        'people.csv:2: there is no division "man"; the nearest is "men"',
    ]


def test_one_file_of_an_event_is_checked_with_the_event_around_it(
    event: Path, library: dict[str, CardFile], monkeypatch: pytest.MonkeyPatch
) -> None:
    put(event, "people.csv", "bib,name,division\n1,A,man\n")
    put(event, "cards/squat.toml", "name = 7\n")
    reps = "reps = { women = 12 }"
    put(event, "workouts/pier.toml", WORKOUT.replace("reps = 12", reps))
    monkeypatch.chdir(event)
    assert [
        [line.split(": ")[0] for line in checked(library, Path(name))]
        for name in ("workouts/pier.toml", "people.csv", "event.toml", "cards")
    ] == [["workouts/pier.toml:13"], ["people.csv:2"], [], ["cards/squat.toml:1"]]
    monkeypatch.chdir(event / "workouts")
    (found,) = checked(library, Path("pier.toml"))
    assert found.startswith("pier.toml:13: ")
    assert '"men"' in found


def test_a_workout_by_itself_is_checked_against_the_library(
    tmp_path: Path, library: dict[str, CardFile]
) -> None:
    path = put(tmp_path, "workouts/pier.toml", WORKOUT.replace('"throw"', '"thro"'))
    (found,) = checked(library, path, within=tmp_path)
    assert found.startswith("workouts/pier.toml:12: ")
    assert "throw" in found
    assert checked(library, tmp_path / "workouts", within=tmp_path) == [found]


def test_a_folder_of_cards_and_one_card_are_checked_as_cards(
    tmp_path: Path, library: dict[str, CardFile]
) -> None:
    put(tmp_path, "mine/squat.toml", SQUAT)
    bad = put(tmp_path, "mine/hop.toml", SQUAT.replace('"squat"', '"hop"') + "x = 1\n")
    whole = checked(library, tmp_path / "mine", within=tmp_path)
    assert checked(library, bad, within=tmp_path) == whole
    assert [line.split(": ")[0] for line in whole] == ["mine/hop.toml:27"]


def test_what_cannot_be_checked_is_told(
    tmp_path: Path, library: dict[str, CardFile]
) -> None:
    (tmp_path / "bare").mkdir()
    put(tmp_path, "notes.txt", "x")
    names = ("bare", "notes.txt", "no.toml", "no/event.toml", "no/workouts/a.toml")
    paths = [tmp_path / name for name in names]
    assert checked(library, *paths, within=tmp_path) == [
        (
            "bare:1: the folder holds nothing to check; "
            "give an event's folder, or one of cards or workouts"
        ),
        "no.toml:1: there is no such file; check its name and folder",
        "no/event.toml:1: there is no such file",
        "no/workouts/a.toml:1: there is no such file; check its name and folder",
        (
            "notes.txt:1: this is no file that can be checked; "
            "give a .toml file, people.csv, heats.csv or an event's folder"
        ),
    ]


def test_a_folder_that_may_not_be_read_is_a_message(
    event: Path, library: dict[str, CardFile], monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "iterdir", refuse)
    says = (
        "ev:1: a folder here cannot be read (Permission denied); check its permissions"
    )
    assert wrong(event, library) == [says]
    assert checked(library, event, within=event.parent) == [says]


def test_the_librarys_own_cards_are_the_default(event: Path) -> None:
    text = WORKOUT.replace('"squat"', '"air-squat"').replace(
        '"throw"', '"wall-ball-shot"'
    )
    put(event, "workouts/pier.toml", text)
    put(event, "event.toml", FILES["event.toml"].replace("throw.", "wall-ball-shot."))
    assert set(load_event(event).cards) >= {"air-squat", "wall-ball-shot"}


RELAY = WORKOUT.replace(
    'score = "time"\n', 'score = "time"\n[team]\nsize = 2\nhow = "relay"\n'
)
TEAMS = (
    "bib,name,division,team\n"
    "007,Ines,women-open,Heron\n2,Mara,women-open,Heron\n10,Lou,men,Otter\n"
    "11,Sam,men,Otter\n"
)


def heats_of(*entrants: str) -> str:
    rows = [f"1,9:30,pier,{n},{who},kb" for n, who in enumerate(entrants, 1)]
    return "\n".join(["heat,start,workout,lane,bib,judge", *rows, ""])


def test_a_team_stands_in_a_lane(event: Path, library: dict[str, CardFile]) -> None:
    put(event, "workouts/pier.toml", RELAY)
    put(event, "people.csv", TEAMS)
    put(event, "heats.csv", heats_of("Otter", "Heron"))
    folder = load(event, library)
    plans = [folder.plan_of(row, ()) for row in folder.lanes("1")]
    assert [(plan.bib, plan.division) for plan in plans] == [
        ("Otter", "men"),
        ("Heron", "women-open"),
    ]
    assert [member.bib for member in plans[0].team.members] == ["10", "11"]


def test_a_member_alone_does_no_workout_for_teams(
    event: Path, library: dict[str, CardFile]
) -> None:
    put(event, "workouts/pier.toml", RELAY)
    put(event, "people.csv", TEAMS)
    put(event, "heats.csv", heats_of("Otter", "007"))
    assert wrong(event, library) == [
        'ev/heats.csv:3: there is no team "007"; use one of Heron, Otter'
    ]


def test_a_tie_break_by_body_mass_needs_it_of_those_in_the_workout(
    event: Path, library: dict[str, CardFile]
) -> None:
    tie = 'score = "time"\ntiebreak = [{ lighter = true }]\n'
    put(event, "workouts/pier.toml", WORKOUT.replace('score = "time"\n', tie))
    weighed = (
        "bib,name,division,body-mass\n007,Ines,women-open,61 kg\n2,Mara,women-open,\n"
    )
    put(event, "people.csv", weighed)
    put(event, "heats.csv", heats_of("007"))
    assert advice_of(load(event, library).advice) == []
    put(event, "heats.csv", heats_of("007", "2"))
    [advice] = advice_of(load(event, library).advice)
    assert advice == (
        "ev/people.csv:1: 1 in pier without body-mass, and its tie-break puts "
        "the lighter first; weigh them, or take the tie-break out"
    )
