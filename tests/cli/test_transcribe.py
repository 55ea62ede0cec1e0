from __future__ import annotations

import json
from typing import TYPE_CHECKING

from tests.cli.running import judged_event, run, tally
from tests.desk.test_beside import event_of_two
from tests.small_event import EVENT, TALLY, write_event

if TYPE_CHECKING:
    from pathlib import Path

LANE = ("--heat", "1", "--lane", "1")


def test_every_bad_line_is_named_and_nothing_is_written(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    path = tally(tmp_path, "0:00.0  go\n0:03.0  rap\n0:04.0  no-rep odd\n")
    done = run("transcribe", event, path, *LANE)
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith(f"{path}:2: ")
    assert not (event / "log").exists()


def test_every_refused_press_is_named_and_nothing_is_written(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    path = tally(tmp_path, "0:00.0  go\n0:03.0  rep x9\n0:04.0  no-rep odd\n")
    done = run("transcribe", event, path, *LANE)
    assert done.code == 2
    lines = [line.split(": ")[0] for line in done.err.splitlines()]
    assert lines == [f"{path}:2", f"{path}:3"]
    assert not (event / "log").exists()


def test_another_run_of_a_lane_needs_a_reason(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    path = tally(tmp_path, TALLY.replace("0:33.5", "0:40.0"), "two.tally")
    refused = run("transcribe", event, path, *LANE)
    assert refused.code == 2
    assert "--again" in refused.err
    assert run("transcribe", event, path, *LANE, "--again", "rig moved").code == 0
    text = run("scorecard", event, *LANE).out
    assert "run 2 of 2: rig moved; transcribed from a tally\n" in text
    assert "score     0:40\n" in text


def test_the_same_tally_makes_the_same_log(tmp_path: Path) -> None:
    logs = []
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        logs.append(run("log", "export", judged_event(tmp_path / name)).out)
    assert logs[0] == logs[1]


def test_a_tally_that_is_not_text_is_refused_with_its_line(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    path = tmp_path / "odd.tally"
    path.write_bytes(b"0:00.0  go\n0:01.0  note caf\xe9\n")
    done = run("transcribe", event, path, *LANE)
    assert (done.code, done.err) == (
        2,
        f"{path}:2: this line is not UTF-8 text; save it as UTF-8\n",
    )


def test_a_tally_or_a_lane_that_is_not_there_is_refused(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    missing = run("transcribe", event, tmp_path / "no.tally", *LANE)
    says = "there is no such file; check its name and folder"
    assert (missing.code, missing.err) == (2, f"{tmp_path / 'no.tally'}:1: {says}\n")
    path = tally(tmp_path, TALLY)
    lane = run("transcribe", event, path, "--heat", "1", "--lane", "5")
    assert lane.code == 2
    assert "heat 1 has no lane 5; it has 1, 2" in lane.err


def test_a_ruling_is_put_into_the_log_and_both_scores_stand(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    words = tally(tmp_path, "0:00 rule time +0:30 left the lane\n", "ruling.tally")
    assert run("transcribe", event, words, *LANE).code == 0
    card = run("scorecard", event, *LANE).out
    for said in ("amended", "1:03", "0:33", "left the lane"):
        assert said in card
    assert run("log", "verify", event).code == 0


def test_the_second_judge_s_paper_goes_in_and_the_lower_count_holds(
    tmp_path: Path,
) -> None:
    event = event_of_two(tmp_path / "event").folder
    first = tally(tmp_path, "round 1: 3, 2\n", "first.tally")
    other = tally(tmp_path, "round 1: 3; depth 1\n", "second.tally")
    assert run("transcribe", event, first, *LANE).code == 0
    alone = run("scorecard", event, *LANE).out
    assert "one judge of two counted" in alone
    asked = ("transcribe", event, other, *LANE, "--second")
    for judge, says in (
        ((), "say who the judge was, with --judge"),
        (("--judge", "xy"), 'there is no judge "xy"'),
        (("--judge", "kb"), "kb judged heat 1, lane 1 already"),
    ):
        refused = run(*asked, *judge)
        assert (refused.code, refused.out) == (2, "")
        assert says in refused.err
    assert run(*asked, "--judge", "mo").code == 0
    both = run("scorecard", event, *LANE).out
    assert "one judge of two counted" not in both
    assert "score       3 of 9, 6 short\n" in both
    assert "first judge: 5 of 9, second judge: 3 of 9; 3 of 9 counts" in both
    assert "5 of 9, 4 short\n" in alone
    again = run(*asked, "--judge", "mo")
    assert again.code == 2
    assert "has entries of the second judge already" in again.err


def test_official_words_are_of_no_second_judge(tmp_path: Path) -> None:
    event = event_of_two(tmp_path / "event").folder
    path = tally(tmp_path, "0:30.0  note the rope was wet\n")
    for options in (("--second", "--judge", "mo"), ("--judge", "mo")):
        done = run("transcribe", event, path, *LANE, *options)
        assert (done.code, done.out) == (2, "")
        assert "leave out --second and --judge" in done.err


def test_who_judged_stands_in_the_log_if_it_was_another(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    path = tally(tmp_path, TALLY)
    asked = ("transcribe", event, path, *LANE)
    done = run(*asked, "--second", "--judge", "mo")
    assert done.code == 2
    assert "heat 1, lane 1 is counted by one judge" in done.err
    assert run(*asked, "--judge", "mo").code == 0
    assert "Mo Oduya" in run("scorecard", event, *LANE).out


def test_no_judge_s_name_is_an_order_to_the_terminal(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    text = EVENT.replace("[[judge]]", "[[nobody]]")
    start = text.index("[[nobody]]")
    (event / "event.toml").write_text(text[:start], encoding="utf-8")
    path = tally(tmp_path, TALLY)
    asked = ("transcribe", event, path, *LANE, "--judge")
    assert "say who the judge was" in run(*asked, " ").err
    assert run(*asked, "m\x1b[31mo\n").code == 0
    log = run("log", "show", event, "--format", "csv").out
    assert "\x1b" not in log


SHORT = "round 1: 3, 2\nround 2: 1, 2\n"


def at_odds(tmp_path: Path) -> Path:
    """An event with a lane that one judge saw done at 1:30; the other one is short."""
    event = event_of_two(tmp_path / "event").folder
    first = tally(tmp_path, "round 1: 3, 2\nround 2: 2, 2\n1:30\n", "first.tally")
    other = tally(tmp_path, SHORT, "second.tally")
    assert run("transcribe", event, first, *LANE).code == 0
    asked = ("transcribe", event, other, *LANE, "--second", "--judge", "mo")
    assert run(*asked).code == 0
    return event


def test_two_papers_that_differ_say_where_on_scorecard_and_standings(
    tmp_path: Path,
) -> None:
    event = at_odds(tmp_path)
    where = "part A, round 2, front squat: 2 and 1"
    card = run("scorecard", event, *LANE).out
    assert "score       8 of 9, 1 short\n" in card
    assert f"8 of 9 counts; they differ in {where}\n" in card
    says = "the two judges differ: a ruling, or the second sheet anew, settles it"
    assert f"{says} ({where}): Heron" in run("standings", event).out


def test_a_ruling_reaches_a_set_that_the_first_judge_has_full(tmp_path: Path) -> None:
    event = at_odds(tmp_path)
    words = tally(tmp_path, "0:00 rule reps A.2.1 +1 video\n", "ruling.tally")
    assert run("transcribe", event, words, *LANE).code == 0
    card = run("scorecard", event, *LANE).out
    assert "score       1:30\n" in card
    assert "first judge: 1:30, second judge: 1:30; 1:30 counts\n" in card
    again = run("transcribe", event, words, *LANE)
    assert again.code == 2
    assert "That set has 2 good and 0 left" in again.err


def test_the_second_sheet_anew_settles_it(tmp_path: Path) -> None:
    event = at_odds(tmp_path)
    whole = tally(tmp_path, "round 1: 3, 2\nround 2: 2, 2\n1:32\n", "anew.tally")
    asked = ("transcribe", event, whole, *LANE, "--second", "--judge", "mo")
    assert run(*asked, "--again", "counted the boxes").code == 0
    card = run("scorecard", event, *LANE).out
    assert "score       1:32\n" in card
    assert "differ" not in card


def test_one_score_stands_on_sheet_scorecard_and_standings(tmp_path: Path) -> None:
    event = event_of_two(tmp_path / "event").folder
    for name, at, more in (
        ("first", "1:30", ()),
        ("second", "1:32", ("--second", "--judge", "mo")),
    ):
        text = f"round 1: 3, 2\nround 2: 2, 2\n{at}\n"
        done = run("transcribe", event, tally(tmp_path, text, name), *LANE, *more)
        assert done.code == 0
    code = json.loads(run("scorecard", event, *LANE, "--format", "json").out)[
        "scorecards"
    ][0]["log_code"]
    assert code.count("+") == 1
    for format_ in ("table", "json", "markdown", "html"):
        sheet = run("athlete", event, "27", "--format", format_).out
        assert "first judge: 1:30, second judge: 1:32; 1:32 counts" in sheet
        assert sheet.count("1:30") == 1
        assert code in sheet
        assert "Oduya" not in sheet
    explained = run("standings", event, "--explain", "Heron").out
    assert "1:32" in explained
    assert run("log", "verify", event, "--code", code).code == 0


def test_the_log_code_holds_for_the_second_judge_s_entries_too(tmp_path: Path) -> None:
    event = at_odds(tmp_path)
    card = run("scorecard", event, *LANE, "--format", "json").out
    code = json.loads(card)["scorecards"][0]["log_code"]
    assert run("log", "verify", event, "--code", code).code == 0
    second = max((event / "log").glob("*.sqlite"), key=lambda book: book.name)
    second.unlink()
    assert run("log", "verify", event, "--code", code).code == 1


def test_no_cap_ends_what_one_judge_saw_done_on_an_athlete_s_sheet(
    tmp_path: Path,
) -> None:
    event = at_odds(tmp_path)
    asked = ("athlete", event, "27")
    assert "status      the head judge decides, provisional\n" in run(*asked).out
    words = tally(tmp_path, "0:00 rule close both agree\n", "ruling.tally")
    assert run("transcribe", event, words, *LANE).code == 0
    assert "status      short in one judge's count, official\n" in run(*asked).out
    assert "status      capped\n" in run("scorecard", event, *LANE).out
