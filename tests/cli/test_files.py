"""check, new and cards: what a coach writes."""

from __future__ import annotations

import csv
import io
import json
import re
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import run
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path


def test_a_sound_event_has_no_problems(tmp_path: Path) -> None:
    done = run("check", write_event(tmp_path / "event"))
    assert (done.code, done.out) == (0, "")
    # Briskly 3 squats 5.1 s, 2 toes-to-bar 2.5 s, 2 squats 3.4 s, toes 2.5 s: 13.5 s.
    work = "5 reps of front squat, 4 reps of toes-to-bar, 0:13 brisk to 0:23 ordinary"
    assert done.err.splitlines() == [
        f"quayside, Women: {work}",
        f"quayside, Men: {work}",
        "0 problems",
    ]


def test_a_workout_is_checked_as_one_wherever_it_lies(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    text = (event / "workouts" / "quayside.toml").read_text(encoding="utf-8")
    alone = tmp_path / "quayside.toml"
    alone.write_text(text, encoding="utf-8")
    done = run("check", alone)
    assert (done.code, done.out, done.err) == (0, "", "0 problems\n")
    alone.write_text(text.replace('card = "', 'card = "no-'), encoding="utf-8")
    assert run("check", alone).code == 1


def test_a_cap_that_cannot_be_met_is_advice(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    path = event / "workouts" / "quayside.toml"
    text = path.read_text(encoding="utf-8").replace('"10:00"', '"0:12"')
    path.write_text(text, encoding="utf-8")
    done = run("check", event)
    assert done.code == 0
    assert done.out.splitlines()[0] == (
        f"{path}:1: Women: the cap of 0:12 cannot be met: a brisk athlete takes 0:13; "
        "make the cap longer or the work shorter, if all should finish (advice)"
    )
    assert done.err.endswith("\n0 problems\n")


LOAD = 'load = { men = "60 kg", women = "42.5 kg" }\n'
LATE = """
[[part]]
id = "B"
rounds = 1
[[part.movement]]
card = "toes-to-bar"
reps = 1
"""


@pytest.mark.parametrize(
    ("replaced", "by", "said"),
    [
        # Ordinarily the five squats and four toes-to-bar before it take 23.8 s.
        (
            'cap = "10:00"\n',
            'cap = "1:10"\n',
            (
                "Women: an ordinary athlete comes to part B at 0:23, and 1:10 ends it; "
                "leave it a minute at least"
            ),
        ),
        (
            LOAD,
            "",
            (
                "Women: part A: front squat has no load; the card names 43 kg / 95 lb; "
                'add load = "..." to the movement'
            ),
        ),
        (
            '"42.5 kg"',
            '"425 kg"',
            (
                "Women: part A: front squat has 425 kg; the card names 43 kg / 95 lb; "
                "check the number and its unit"
            ),
        ),
        (
            'score = "time"\ncap = "10:00"\n\n[[part]]\nid = "A"\nrounds = 2\n',
            'score = "reps"\n\n[[part]]\nid = "A"\nevery = "0:07"\ntimes = 2\n',
            (
                "Women: interval 1 of part A takes a brisk athlete 0:07, and there are "
                "0:07; write less work, or a longer interval"
            ),
        ),
    ],
    ids=["late part", "no load", "load hardly meant", "full interval"],
)
def test_advice_is_told_in_these_words(
    tmp_path: Path, replaced: str, by: str, said: str
) -> None:
    event = write_event(tmp_path / "event")
    path = event / "workouts" / "quayside.toml"
    text = path.read_text(encoding="utf-8")
    assert replaced in text
    text = text.replace(replaced, by)
    path.write_text(text + LATE * ("part B" in said), encoding="utf-8")
    done = run("check", event)
    assert done.code == 0
    assert done.out.splitlines()[0] == f"{path}:1: {said} (advice)"


def test_every_problem_of_every_file_is_a_line(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    (event / "event.toml").write_text('nam = "x"\n', encoding="utf-8")
    with (event / "people.csv").open("a", encoding="utf-8") as people:
        people.write("27,Somebody Else,women,2 m\n")
    done = run("check", event)
    assert done.code == 1
    files = {line.split(":")[0] for line in done.out.splitlines()}
    assert files == {str(event / "event.toml"), str(event / "people.csv")}
    assert done.err.endswith(" problems\n")


def test_advice_changes_no_exit_code(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    path = event / "event.toml"
    text = path.read_text(encoding="utf-8").replace('zone = "Europe/Berlin"\n', "")
    path.write_text(text, encoding="utf-8")
    done = run("check", event)
    assert done.code == 0
    assert done.out.endswith("(advice)\n")
    assert done.err.endswith("\n0 problems\n")


def test_a_path_that_is_not_there_cannot_be_checked(tmp_path: Path) -> None:
    done = run("check", tmp_path / "none", tmp_path)
    assert (done.code, done.out) == (2, "")
    assert f"there is no {tmp_path / 'none'}" in done.err


def test_a_plan_that_cannot_be_made_is_a_problem(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    path = event / "workouts" / "quayside.toml"
    text = path.read_text(encoding="utf-8").replace(', women = "42.5 kg"', "")
    path.write_text(text, encoding="utf-8")
    done = run("check", event)
    assert done.code == 1
    assert "women" in done.out


def test_a_new_event_is_sound_and_ready_to_be_judged(tmp_path: Path) -> None:
    folder = tmp_path / "spring-heats"
    made = run("new", folder)
    assert (made.code, made.out) == (0, "")
    assert f"judgekit check {folder}\n" in made.err
    assert run("check", folder)[:2] == (0, "")
    card = run("scorecard", folder, "--heat", "1", "--lane", "1", "--format", "json")
    made_card = json.loads(card.out)["scorecards"][0]
    assert (made_card["event"], made_card["status"]) == ("Spring heats", "waiting")
    assert [path.name for path in tmp_path.iterdir()] == ["spring-heats"]


def test_a_new_event_never_goes_into_a_folder_that_is_there(tmp_path: Path) -> None:
    done = run("new", tmp_path)
    assert (done.code, done.out) == (2, "")
    assert "is there already; nothing was written" in done.err


def test_a_folder_s_odd_name_makes_no_broken_event(tmp_path: Path) -> None:
    folder = tmp_path / 'a"b\\c'
    assert run("new", folder).code == 0
    assert run("check", folder).code == 0


def test_the_library_is_a_list_by_id() -> None:
    done = run("cards", "--format", "csv")
    ids = [row["id"] for row in csv.DictReader(io.StringIO(done.out))]
    assert ids == sorted(ids)
    assert {"front-squat", "wall-ball-shot"} <= set(ids)


def test_one_card_is_printed_in_full() -> None:
    text = run("cards", "wall-ball-shot").out
    assert text.startswith("Wall-ball shot\n")
    for title in ("Criteria", "Faults", "Settings", "STOP at"):
        assert f"\n{title}\n" in text
    assert "No medical advice: event rules and licensed care come first." in text
    data = json.loads(run("cards", "wall-ball-shot", "--format", "json").out)
    assert (data["format"], data["card"]["id"]) == (1, "wall-ball-shot")
    faults = run("cards", "wall-ball-shot", "--format", "csv").out
    assert faults.startswith("key,call,fault,means,cues,drill\r\n")
    assert run("cards", "wall-ball-shot", "--format", "html").code == 0


def test_a_card_is_shown_as_in_force_at_an_event(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    with (event / "event.toml").open("a", encoding="utf-8") as file:
        file.write('"wall-ball-shot.line" = "above"\n')
    plain = json.loads(run("cards", "wall-ball-shot", "--format", "json").out)
    shown = run("cards", "wall-ball-shot", "--event", event, "--format", "json")
    there = json.loads(shown.out)

    def target(data: dict[str, dict[str, list[dict[str, str]]]]) -> str:
        return next(c["says"] for c in data["card"]["criterion"] if c["id"] == "target")

    assert target(plain) == "Ball touches the line or the wall above it"
    assert target(there) == "Whole ball above the line"


def test_a_card_that_is_not_there_is_refused() -> None:
    done = run("cards", "wall-ball")
    assert (done.code, done.out) == (2, "")
    assert 'there is no card "wall-ball"' in done.err


def test_a_new_event_stays_right_when_its_comments_are_taken_at_their_word(
    tmp_path: Path,
) -> None:
    event = tmp_path / "mine"
    assert run("new", event).code == 0
    path = event / "event.toml"
    text = path.read_text(encoding="utf-8")
    whole = re.sub(
        r'^# (?=[\["a-z-]+(?:\]| =|\.line" =| machine" =))',
        "",
        text,
        flags=re.MULTILINE,
    )
    assert len(whole) == len(text) - 2 * 9
    path.write_text(whole, encoding="utf-8")
    assert run("check", event)[:2] == (0, "")


def test_cards_inside_an_event_s_folder_are_the_event_s(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    event = write_event(tmp_path / "event")
    (event / "cards").mkdir()
    (event / "cards" / "push-up.toml").write_text('name = "Ours"\n', encoding="utf-8")
    outside = run("cards", "push-up", "--event", event)
    assert (outside.code, outside.err) == (0, "")
    assert outside.out.startswith("Ours\n")
    monkeypatch.chdir(event)
    inside = run("cards", "push-up")
    assert (inside.code, inside.err) == (
        0,
        "These are the cards as in force at the event in this folder.\n",
    )
    card, differs = inside.out.split("Different here")
    assert card == outside.out.split("Different here")[0]
    assert "cards/push-up.toml:1" in differs


def test_cards_inside_a_broken_event_are_the_library_s_and_it_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    library = run("cards")
    (tmp_path / "event.toml").write_text("nam = 1\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    done = run("cards")
    assert (done.code, done.out) == (0, library.out)
    assert "has problems, and judgekit check . names them" in done.err
