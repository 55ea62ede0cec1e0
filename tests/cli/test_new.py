"""`judgekit new` without a folder: questions, and the workout they make."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from judgekit.cli.main import cli
from judgekit.files import newworkout
from judgekit.files.library import load_library
from judgekit.files.newworkout import AnswerError

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

CARDS = {card_id: file.card for card_id, file in load_library().items()}
ANSWERS = """\
River Run
2 rounds
front squat
12 9
men 60 kg, women 40 kg
row
15 calories
snathzz
squat
none
y
until 10:00
window 4:00
burpees
7
none
n
14:00
time
"""
FILE = {
    "id": "river-run",
    "name": "River Run",
    "revision": 1,
    "score": "time",
    "cap": "14:00",
    "part": [
        {
            "id": "A",
            "rounds": 2,
            "movement": [
                {
                    "card": "front-squat",
                    "reps": [12, 9],
                    "load": {"men": "60 kg", "women": "40 kg"},
                },
                {"card": "row", "calories": 15},
            ],
        },
        {"rest-until": "10:00"},
        {"id": "B", "window": "4:00", "movement": [{"card": "burpee", "reps": 7}]},
    ],
}


def ask(answers: str) -> tuple[int, str]:
    result = CliRunner().invoke(cli, ["new"], input=answers, prog_name="judgekit")
    return result.exit_code, result.stderr


def test_answers_make_a_workout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    code, said = ask(ANSWERS.replace("14:00\ntime", "14:00\ntime\nreps"))
    assert code == 0, said
    written = tomllib.loads((tmp_path / "river-run.toml").read_text(encoding="utf-8"))
    assert written == {**FILE, "score": "reps"}
    assert 'judgekit class river-run.toml "Ana, Bo, Cy"' in said
    assert "which: " in said


def test_in_an_event_it_stands_among_the_workouts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "event.toml").touch()
    (tmp_path / "workouts").mkdir()
    (tmp_path / "workouts" / "river-run.toml").write_text("kept", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    answers = ANSWERS.replace("River Run\n", "River Run\nRiver Two\n")
    code, said = ask(answers.replace("14:00\ntime", "14:00\nreps"))
    assert code == 0, said
    assert "river-run.toml is there already; give another name" in said
    assert (tmp_path / "workouts" / "river-two.toml").is_file()
    assert (tmp_path / "workouts" / "river-run.toml").read_text() == "kept"


def test_answers_that_end_too_soon_write_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    code, said = ask(ANSWERS[:60])
    assert code == 2
    assert "nothing was written" in said
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("typed", "means"),
    [
        ("3", {"rounds": 3}),
        ("3 rounds", {"rounds": 3}),
        ("Window 8:00", {"window": "8:00"}),
        ("8:00", {"window": "8:00"}),
        ("every 2:00 x 5", {"every": "2:00", "times": 5}),
        ("every 1:30 5 times", {"every": "1:30", "times": 5}),
        ("3 attempts in 6:00", {"attempts": 3, "within": "6:00"}),
    ],
)
def test_a_part_is_said_as_on_a_board(typed: str, means: dict[str, object]) -> None:
    assert newworkout.shape(typed) == means


@pytest.mark.parametrize(
    ("card", "typed", "means"),
    [
        ("air-squat", "12", {"reps": 12}),
        ("air-squat", "12 10 8", {"reps": [12, 10, 8]}),
        ("air-squat", "12-10-8 reps", {"reps": [12, 10, 8]}),
        ("row", "15 cal", {"calories": 15}),
        ("row", "500 m", {"metres": 500}),
    ],
)
def test_amounts_have_the_unit_of_their_card(
    card: str, typed: str, means: dict[str, object]
) -> None:
    assert newworkout.amounts(typed, CARDS[card]) == means


def test_loads_are_for_all_or_by_standard() -> None:
    assert newworkout.load("60 kg") == {"load": "60 kg"}
    table = {"men": "135 lb", "women": "95 lb"}
    assert newworkout.load("Men 135 lb, women 95 lb") == {"load": table}


def test_a_movement_is_found_by_its_name_or_a_part_of_it() -> None:
    cards = CARDS.values()
    assert newworkout.card_for("Front Squat", cards).id == "front-squat"
    assert newworkout.card_for("toes to bar", cards).id == "toes-to-bar"
    assert newworkout.card_for("wall ball", cards).id == "wall-ball-shot"


@pytest.mark.parametrize(
    ("read", "typed", "says"),
    [
        (newworkout.shape, "often", "3 rounds"),
        (newworkout.duration, "soon", "2:00"),
        (newworkout.rest, "until noon", "2:00"),
        (newworkout.load, "sixty", "60 kg"),
        (newworkout.load, "men 60 kg, 40 kg", "60 kg"),
        (lambda text: newworkout.amounts(text, CARDS["air-squat"]), "some", "12 10 8"),
        (
            lambda text: newworkout.amounts(text, CARDS["air-squat"]),
            "9 cal",
            "Air squat is counted in reps",
        ),
        (lambda text: newworkout.card_for(text, CARDS.values()), "xyzzy", "no card"),
        (lambda text: newworkout.card_for(text, CARDS.values()), "squat", "which: "),
    ],
)
def test_an_answer_without_meaning_says_what_would_be_right(
    read: Callable[[str], object], typed: str, says: str
) -> None:
    with pytest.raises(AnswerError, match=says):
        read(typed)


def test_a_score_is_proposed_by_the_work() -> None:
    work: list[dict[str, object]] = [{"movement": []}]
    assert newworkout.usual_score([{"rest": "1:00"}]) == "reps"
    assert newworkout.usual_score([work[0] | {"rounds": 3}]) == "time"
    assert (
        newworkout.usual_score([{"rest": "1:00"}, work[0] | {"attempts": 3}]) == "load"
    )
