from __future__ import annotations

import json
from typing import TYPE_CHECKING

from judgekit.cli.output import Output
from tests.cli.running import judged_event, run, tally
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


def code_of(event: Path) -> str:
    done = run("scorecard", event, "--heat", "1", "--lane", "1", "--format", "json")
    return str(json.loads(done.out)["scorecards"][0]["log_code"])


def test_a_whole_log_is_said_to_be_whole(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    (book,) = (event / "log").glob("*.sqlite")
    done = run("log", "verify", event)
    assert done == (0, f"{book.name}: whole, 13 entries\n", "")


def test_a_scorecard_s_code_stands_while_its_entries_do(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    code = code_of(event)
    (book,) = (event / "log").glob("*.sqlite")
    done = run("log", "verify", event, "--code", code)
    assert done == (0, f"This code fits.\n{code}: stands in {book.stem}\n", "")
    number, digits = code.split(".")
    other = run("log", "verify", event, "--code", f"{number}.{digits[::-1]}")
    assert other.code == 1
    assert other.out.startswith("This code does not fit.\n")
    assert "no log here has entry" in other.out


def test_what_is_no_log_code_is_refused(tmp_path: Path) -> None:
    done = run("log", "verify", judged_event(tmp_path), "--code", "what")
    assert (done.code, done.out) == (2, "")
    assert '"what" is not a log code' in done.err


def test_a_damaged_book_fails_the_check(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    (event / "log" / "odd.sqlite").write_bytes(b"no log")
    done = run("log", "verify", event)
    assert done.code == 1
    assert done.out.splitlines()[1].startswith("odd.sqlite: ")


def test_an_event_without_a_log_has_nothing_to_check(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    done = run("log", "verify", event)
    assert (done.code, done.out) == (2, "")
    assert "has no log yet" in done.err


def test_a_log_goes_out_and_comes_back_with_the_same_scores(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    file = tmp_path / "log.jsonl"
    assert run("log", "export", event, "--out", file).code == 0
    elsewhere = tmp_path / "elsewhere"
    done = run("log", "import", file, elsewhere)
    assert done.code == 0
    assert done.out.endswith(": new, 13 entries\n")
    assert run("log", "export", elsewhere).out == run("log", "export", event).out
    alone = run("scorecard", elsewhere, "--heat", "1", "--format", "json")
    card = json.loads(alone.out)["scorecards"][0]
    assert (card["score"], card["log_code"]) == ("0:33", code_of(event))
    assert "there already" in run("log", "import", file, elsewhere).out


def test_export_says_that_it_holds_full_names(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    people = event / "people.csv"
    text = people.read_text(encoding="utf-8")
    text = text.replace("reach\n", "reach,show\n").replace("2.10 m", "2.10 m,initials")
    people.write_text(text, encoding="utf-8")
    path = tally(tmp_path, TALLY)
    run("transcribe", event, path, "--heat", "1", "--lane", "1")
    assert "Ines Varga" in run("log", "export", event).out
    for command in ("standings", "faults"):
        assert "Ines" not in run(command, event).out
    assert "full name" in run("log", "export", "--help").out


def test_what_a_log_from_elsewhere_says_never_moves_the_cursor(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    (event / "log" / "odd\x1b[2J.sqlite").write_bytes(b"no log")
    for args in (("log", "verify", event), ("standings", event)):
        done = run(*args)
        assert done.code == 1
        assert "odd\ufffd[2J.sqlite: " in done.out + done.err
        assert "\x1b" not in done.out + done.err


def test_a_file_that_is_no_log_is_refused_with_its_line(tmp_path: Path) -> None:
    file = tmp_path / "odd.jsonl"
    file.write_text("{}\n", encoding="utf-8")
    done = run("log", "import", file, tmp_path / "to")
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith(f"{file}:1: ")
    missing = run("log", "import", tmp_path / "none", tmp_path / "to")
    assert missing.code == 2


def test_the_log_shows_what_was_done_when_and_by_whom(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    data = json.loads(run("log", "show", event, "--format", "json").out)
    row = data["rows"][4]
    assert {key: row[key] for key in row if key != "book"} == {
        "number": 5,
        "heat": "1",
        "lane": 1,
        "at": "0:08.000",
        "at_ms": 8000,
        "wall": "2027-05-08T10:00:08.000+02:00",
        "who": "kb",
        "set": "1/1/1",
        "kind": "no-rep",
        "says": "faults shallow",
    }
    assert len(data["rows"]) == 13
    one = json.loads(run("log", "show", event, "--lane", "1", "--format", "json").out)
    assert one["rows"] == data["rows"]
    none = json.loads(run("log", "show", event, "--lane", "2", "--format", "json").out)
    assert none["rows"] == []
    assert run("log", "show", event, "--heat", "7").code == 2


def test_a_lane_can_be_shown_as_the_tally_it_would_be(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    shown = run("log", "show", event, "--heat", "1", "--lane", "1", "--format", "tally")
    said = [line for line in shown.out.splitlines() if not line.startswith("#")]
    wanted = [line for line in TALLY.splitlines() if not line.startswith("#")]
    assert said == wanted
    assert run("log", "show", event, "--format", "tally").code == 2
    nobody = run(
        "log", "show", event, "--heat", "1", "--lane", "9", "--format", "tally"
    )
    assert nobody.code == 2


def test_a_take_back_is_shown_with_the_number_of_its_entry(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    text = "0:00.0  go\n0:03.0  rep\n0:06.0  rep\n0:07.0  take-back\n"
    path = tally(tmp_path, text)
    run("transcribe", event, path, "--heat", "1", "--lane", "1")
    rows = json.loads(run("log", "show", event, "--format", "json").out)["rows"]
    last_rep = [row["number"] for row in rows if row["kind"] == "rep"][-1]
    (taken,) = [row for row in rows if row["kind"] == "take-back"]
    assert taken["says"] == f"target entry {last_rep}"


def test_a_backup_says_what_became_of_each_log(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    (book,) = (event / "log").glob("*.sqlite")
    stick = tmp_path / "stick"
    done = run("log", "backup", event, stick, "--format", "json")
    assert (done.code, done.err) == (0, "")
    row = {
        "log": book.name,
        "heat": "1",
        "entries": 13,
        "copy": book.name,
        "outcome": "new",
        "wrong": None,
    }
    assert json.loads(done.out)["rows"] == [row]
    again = run("log", "backup", event, stick, "--heat", "1")
    assert again.code == 0
    assert "there already" in again.out
    assert [path.name for path in stick.iterdir()] == [book.name]


def test_a_backup_of_a_damaged_log_fails_the_check(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    (event / "log" / "odd.sqlite").write_bytes(b"no log")
    done = run("log", "backup", event, tmp_path / "stick")
    assert done.code == 1
    assert "not copied" in done.out


def test_a_backup_that_cannot_be_made_is_refused(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    for folder, heat, says in (
        (event / "log", "1", "is the log itself"),
        (event / "event.toml" / "x", "1", "could not be written to"),
        (tmp_path / "stick", "9", 'there is no heat "9"'),
    ):
        done = run("log", "backup", event, folder, "--heat", heat)
        assert (done.code, done.out) == (2, "")
        assert says in done.err
    assert not (tmp_path / "stick").exists()


def test_in_a_terminal_the_log_fits_its_width_and_nothing_is_cut(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    event = judged_event(tmp_path)
    whole = run("log", "show", event).out
    monkeypatch.setattr(Output, "width", property(lambda _: 80))
    shown = run("log", "show", event).out
    assert max(map(len, whole.splitlines())) > 80
    assert max(map(len, shown.splitlines())) <= 80
    assert "…" not in shown
    assert "In each row: " in shown
    assert "Wall times are of 2027-05-08, +02:00 from UTC" in shown
    # CSV stays as it was.
    assert "at_ms" in run("log", "show", event, "--format", "csv").out
