from __future__ import annotations

import csv
import io
import json
from html.parser import HTMLParser
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import Ran, judged_event, run, tally
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from pathlib import Path

PRINTING = (
    ("scorecard", "--heat", "1"),
    ("standings",),
    ("faults",),
    ("pieces",),
    ("cost",),
    ("log", "show"),
)


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


class _Texts(HTMLParser):
    """What is left of a page without its tags, styles and colours."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self._tags.append(tag)

    def handle_data(self, data: str) -> None:
        if data.strip() and self._tags[-1] != "style":
            self.found.append(data)


def texts(page: str) -> list[str]:
    parser = _Texts()
    parser.feed(page)
    return parser.found


def printed(event: Path, command: tuple[str, ...], format_: str) -> Ran:
    name, *options = command
    if name == "log":
        return run("log", *options, event, "--format", format_)
    return run(name, event, *options, "--format", format_)


def test_the_scorecard_of_a_transcribed_lane(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    done = run("scorecard", event, "--heat", "1", "--lane", "1", "--format", "json")
    (card,) = json.loads(done.out)["scorecards"]
    facts = ("bib", "judge", "run", "status", "score", "aloud", "signed", "provisional")
    assert {fact: card[fact] for fact in facts} == {
        "bib": "27",
        "judge": "Kim Brandt",
        "run": "transcribed from a tally",
        "status": "finished",
        "score": "0:33",
        "aloud": "0:33, one no-rep: depth 1",
        "signed": ["athlete: accepted", "judge: accepted"],
        "provisional": [],
    }
    assert (done.code, done.err) == (0, "")


def test_without_a_lane_every_lane_of_the_heat_is_printed(tmp_path: Path) -> None:
    done = run("scorecard", judged_event(tmp_path), "--heat", "1", "--format", "json")
    cards = json.loads(done.out)["scorecards"]
    assert [(c["lane"], c["status"], c["score"]) for c in cards] == [
        (1, "finished", "0:33"),
        (2, "waiting", ""),
    ]


def test_standings_list_those_who_have_not_started_yet(tmp_path: Path) -> None:
    done = run("standings", judged_event(tmp_path), "--format", "csv")
    assert [
        (r["rank"], r["bib"], r["status"], r["score"], r["score_ms"])
        for r in rows(done.out)
    ] == [
        ("", "31", "waiting", "", ""),
        ("1", "27", "finished, official", "0:33", "33000"),
        ("", "007", "waiting", "", ""),
    ]


def test_overall_is_of_the_whole_event(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    done = run("standings", event, "--overall", "--format", "csv")
    assert [(r["division"], r["rank"], r["bib"]) for r in rows(done.out)] == [
        ("men", "", "31"),
        ("women", "", "007"),
        ("women", "", "27"),
    ]
    told = run("standings", event, "--overall", "--division", "women")
    assert told.out.startswith("Overall, Women\n")
    assert "not counted yet, as somebody has still to do it: Quayside" in told.out
    wrong = run("standings", event, "--overall", "--workout", "quayside")
    assert (wrong.code, wrong.out) == (2, "")


def test_overall_names_only_workouts_that_are_there(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    path = event / "event.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(f"{text}\n[overall]\nweights = {{ quay = 2 }}\n", encoding="utf-8")
    wrong = run("check", event)
    assert wrong.code == 1
    assert '[overall] names "quay", which is no workout of the event' in wrong.out


def test_standings_can_be_of_one_workout_and_division(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    men = run("standings", event, "--division", "men", "--format", "csv")
    assert [r["bib"] for r in rows(men.out)] == ["31"]
    one = run("standings", event, "--workout", "quayside", "--division", "women")
    assert one.out.startswith("Quayside, Women\n")
    wrong = run("standings", event, "--workout", "quay")
    assert wrong.code == 2
    assert 'there is no workout "quay"; there is quayside' in wrong.err


def test_fault_rows_have_their_attempts_and_their_uncertainty(tmp_path: Path) -> None:
    done = run("faults", judged_event(tmp_path), "--format", "json")
    (fault,) = json.loads(done.out)["faults"]
    assert fault == {
        "movement": "Front squat",
        "watched": "judged",
        "fault": "shallow",
        "call": "DEPTH",
        "attempts": 6,
        "good": 5,
        "no_reps": 1,
        "rate": 0.1667,
        "low": 0.0301,
        "high": 0.5635,
        "athletes": 1,
        "of_athletes": 1,
        "share": 1.0,
        "few": "yes",
    }


@pytest.mark.parametrize("command", PRINTING)
@pytest.mark.parametrize("format_", ["table", "csv", "json", "markdown", "html"])
def test_every_report_comes_in_every_format_and_the_same_twice(
    tmp_path: Path, command: tuple[str, ...], format_: str
) -> None:
    event = judged_event(tmp_path)
    done = printed(event, command, format_)
    # Rows alone cannot say why a cost has none yet.
    waits = (command[0], format_) == ("cost", "csv")
    assert (done.code, bool(done.err)) == (0, waits)
    assert "still open" in done.err or not waits
    assert done.out
    assert printed(event, command, format_) == done
    if format_ == "json":
        json.loads(done.out)


def test_a_finish_after_midnight_is_no_earlier_than_the_start(tmp_path: Path) -> None:
    """C06: started at 23:58, done 8:45 later; the log shows both dates."""
    event = write_event(tmp_path / "event")
    heats = event / "heats.csv"
    text = heats.read_text(encoding="utf-8").replace("10:00", "23:58")
    heats.write_text(text, encoding="utf-8")
    lines = (
        "0:00.0  go\n0:10.0  rep x3\n0:20.0  rep x2\n0:40.0  rep x2\n8:45.0  rep x2\n"
    )
    path = tally(tmp_path, lines)
    assert run("transcribe", event, path, "--heat", "1", "--lane", "1").code == 0
    card = run("scorecard", event, "--heat", "1", "--lane", "1", "--format", "csv")
    assert [r["done"] for r in rows(card.out)] == ["0:10", "0:20", "0:40", "8:45"]
    assert rows(card.out)[0]["score"] == "8:45"
    log = rows(run("log", "show", event, "--format", "csv").out)
    walls = [r["wall"] for r in log if r["kind"] in ("go", "rep")]
    assert (walls[0], walls[-1]) == (
        "2027-05-08T23:58:00.000+02:00",
        "2027-05-09T00:06:45.000+02:00",
    )


def test_one_score_looks_the_same_in_every_report_and_format(tmp_path: Path) -> None:
    """C10."""
    event = write_event(tmp_path / "event")
    path = tally(tmp_path, TALLY.replace("0:33.5", "0:33.999"))
    run("transcribe", event, path, "--heat", "1", "--lane", "1")
    for command in (("scorecard", "--heat", "1", "--lane", "1"), ("standings",)):
        for format_ in ("table", "csv", "json", "markdown", "html"):
            shown = printed(event, command, format_).out
            assert "0:33" in shown
            assert "0:34" not in shown


def test_a_moved_start_reaches_every_report(tmp_path: Path) -> None:
    """C24: score and splits follow, and nobody has to ask for it."""
    event = write_event(tmp_path / "event")
    text = TALLY.replace("0:50.0  accept athlete\n0:51.0  accept judge\n", "")
    path = tally(tmp_path, f"{text}0:55.0  rule start +0:02 wall clock\n")
    done = run("transcribe", event, path, "--heat", "1", "--lane", "1")
    assert (done.code, done.err.count("\n")) == (0, 1)
    card = run("scorecard", event, "--heat", "1", "--lane", "1", "--format", "csv")
    assert [r["done"] for r in rows(card.out)][0::3] == ["0:07", "0:31"]
    placed = rows(run("standings", event, "--format", "csv").out)
    assert [r["score"] for r in placed if r["bib"] == "27"] == ["0:31"]
    page = texts(printed(event, ("scorecard", "--heat", "1"), "html").out)
    assert {"0:07", "0:31"} <= set(page)
    assert "0:33" not in page
    assert "ruling by Kim Brandt: start moved by +2\u00a0s (wall clock)" in page
    assert "0:31" in texts(printed(event, ("standings",), "html").out)


def test_reps_of_one_bib_never_appear_under_another_of_the_same_name(
    tmp_path: Path,
) -> None:
    """C16: two athletes of one name in one heat, bibs 20 and 21."""
    event = write_event(tmp_path / "event")
    for file, old, new in (
        ("people.csv", "27,Ines Varga", "20,Ana Silva"),
        ("people.csv", "007,Zoé Marr", "21,Ana Silva"),
        ("heats.csv", "quayside,1,27", "quayside,1,20"),
        ("heats.csv", "quayside,2,007", "quayside,2,21"),
    ):
        path = event / file
        text = path.read_text(encoding="utf-8").replace(old, new)
        path.write_text(text, encoding="utf-8")
    short = "0:00.0  go\n0:03.0  rep x3\n0:05.0  no-rep\n1:00.0  time\n"
    for lane, text in (("1", TALLY), ("2", short)):
        path = tally(tmp_path, text, f"{lane}.tally")
        assert run("transcribe", event, path, "--heat", "1", "--lane", lane).code == 0
    splits = rows(run("scorecard", event, "--heat", "1", "--format", "csv").out)
    good: dict[str, int] = {}
    for split in splits:
        assert split["name"] == "Ana Silva"
        good[split["bib"]] = good.get(split["bib"], 0) + int(split["good"])
    assert good == {"20": 9, "21": 3}
    placed = rows(run("standings", event, "--format", "csv").out)
    assert {r["bib"]: (r["name"], r["score"]) for r in placed} == {
        "20": ("Ana Silva", "0:33"),
        "21": ("Ana Silva", "3 of 9"),
        "31": ("Bo Lindt", ""),
    }
    found = json.loads(run("faults", event, "--format", "json").out)
    assert [(r["bib"], r["attempts"], r["no_reps"]) for r in found["lanes"]] == [
        ("20", 10, 1),
        ("21", 4, 1),
    ]


def test_good_no_rep_and_withdrawn_differ_in_words_on_the_page(tmp_path: Path) -> None:
    """C29: with every tag and colour gone the three lanes can be told apart."""
    event = write_event(tmp_path / "event")
    with (event / "heats.csv").open("a", encoding="utf-8") as heats:
        heats.write("1,10:00,quayside,3,31,mo\n")
    for lane, last in (
        ("1", "0:06.0  rep"),
        ("2", "0:06.0  no-rep shallow"),
        ("3", "0:06.0  withdraw wrist"),
    ):
        path = tally(tmp_path, f"0:00.0  go\n0:03.0  rep\n{last}\n", f"{lane}.tally")
        assert run("transcribe", event, path, "--heat", "1", "--lane", lane).code == 0
    cards = [
        texts(printed(event, ("scorecard", "--heat", "1", "--lane", lane), "html").out)
        for lane in ("1", "2", "3")
    ]
    assert [card[card.index("status") + 1] for card in cards] == [
        "in progress",
        "in progress",
        "withdrawn",
    ]
    said = ["\n".join(card) for card in cards]
    assert [("DEPTH" in card, "one no-rep" in card) for card in said] == [
        (False, False),
        (True, True),
        (False, False),
    ]
    assert "withdrew at 0:06.0 (wrist)" in cards[2]


def test_past_heats_are_read_though_the_files_are_broken_since(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    whole = run("scorecard", event, "--heat", "1", "--lane", "1", "--format", "json")
    (event / "people.csv").write_text("nonsense\n", encoding="utf-8")
    done = run("scorecard", event, "--heat", "1", "--lane", "1", "--format", "json")
    assert done.code == 1
    assert f"{event}/people.csv:1:" in done.err
    named = json.loads(whole.out)["scorecards"][0] | {"judge": "kb"}
    assert json.loads(done.out)["scorecards"] == [named]


def test_files_changed_after_the_heat_change_no_scorecard(tmp_path: Path) -> None:
    """C32: a lane is read under the standard that was in force."""
    event = judged_event(tmp_path)
    before = run("scorecard", event, "--heat", "1", "--lane", "1")
    faults = run("faults", event, "--format", "csv")
    (event / "cards").mkdir()
    overlay = 'id = "front-squat"\n[[fault]]\nid = "shallow"\ncall = "SIT"\n'
    (event / "cards" / "front-squat.toml").write_text(overlay, encoding="utf-8")
    workout = event / "workouts" / "quayside.toml"
    text = workout.read_text(encoding="utf-8").replace("reps = [3, 2]", "reps = 9")
    workout.write_text(text, encoding="utf-8")
    assert run("scorecard", event, "--heat", "1", "--lane", "1") == before
    assert run("faults", event, "--format", "csv").out == faults.out


def test_a_damaged_log_is_named_and_the_rest_is_printed(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    (event / "log" / "broken.sqlite").write_bytes(b"not a log")
    done = run("standings", event, "--format", "csv")
    assert done.code == 1
    assert done.err.startswith("broken.sqlite: ")
    assert [r["bib"] for r in rows(done.out) if r["rank"] == "1"] == ["27"]


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("scorecard", "--heat", "9"), 'there is no heat "9"; there is 1, 2'),
        (("scorecard", "--heat", "1", "--lane", "7"), "there is 1, 2"),
        (("standings", "--division", "boys"), 'no division "boys"'),
    ],
)
def test_what_is_not_there_is_refused_with_what_is(
    tmp_path: Path, args: tuple[str, ...], says: str
) -> None:
    name, *options = args
    done = run(name, write_event(tmp_path / "event"), *options)
    assert (done.code, done.out) == (2, "")
    assert says in done.err


def test_an_event_that_is_not_there_is_one_problem(tmp_path: Path) -> None:
    done = run("standings", tmp_path / "nowhere")
    assert (done.code, done.out) == (2, "")
    assert done.err == f"{tmp_path / 'nowhere'}:1: there is no such folder\n"


def test_a_report_goes_into_a_file_and_never_over_one(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    out = tmp_path / "standings.csv"
    args = ("standings", event, "--format", "csv", "--out", out)
    first = run(*args)
    assert (first.code, first.out, first.err) == (0, "", f"written to {out}\n")
    assert out.read_bytes().decode() == run("standings", event, "--format", "csv").out
    again = run(*args)
    assert again.code == 2
    assert again.err == f"{out} is there already; --force writes over it\n"
    out.write_text("old", encoding="utf-8")
    assert run(*args, "--force").code == 0
    assert out.read_text(encoding="utf-8").startswith("rank,")
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        "event",
        "one.tally",
        "standings.csv",
    ]


def test_a_file_that_cannot_be_written_is_said_plainly(tmp_path: Path) -> None:
    out = tmp_path / "no" / "standings.csv"
    done = run("standings", judged_event(tmp_path), "--out", out)
    says = f"{out} cannot be written: No such file or directory\n"
    assert done == (2, "", says)
