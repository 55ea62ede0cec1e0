"""`judgekit export` as a user runs it."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING

import pytest

from judgekit.cli.export import WHAT
from tests.cli.running import judged_event, run, tally

if TYPE_CHECKING:
    from pathlib import Path


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


@pytest.mark.parametrize("what", WHAT)
def test_csv_and_json_hold_the_same(tmp_path: Path, what: str) -> None:
    event = judged_event(tmp_path)
    done = run("export", event, what)
    assert (done.code, done.err) == (0, "")
    whole = json.loads(run("export", event, what, "--format", "json").out)
    assert whole["format"] == 1
    table = rows(done.out)
    assert len(table) == len(whole["rows"]) > 0
    for row, data in zip(table, whole["rows"], strict=True):
        assert row == {k: "" if v is None else str(v) for k, v in data.items()}


def test_all_are_written_into_the_events_own_folder(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    assert run("export", event, "--all").code == 0
    found = sorted(path.name for path in (event / "out").iterdir())
    assert found == sorted(f"{what}.csv" for what in WHAT)
    for what in WHAT:
        written = (event / "out" / f"{what}.csv").read_bytes().decode()
        assert written == run("export", event, what).out
    again = run("export", event, "--all")
    assert again.code == 2
    assert "is there already; --force writes over it" in again.err
    assert run("export", event, "--all", "--force").code == 0


def test_one_table_is_asked_for_or_all(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    for asked in ((), ("sets", "--all"), ("--all", "--out", tmp_path / "x")):
        assert run("export", event, *asked).code == 2


def test_nothing_private_is_in_any_table(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    people = (event / "people.csv").read_text(encoding="utf-8").splitlines()
    marked = [
        f"{people[0]},private,show",
        *(f"{p},sore knee,number" for p in people[1:]),
    ]
    (event / "people.csv").write_text("\n".join(marked) + "\n", encoding="utf-8")
    for what in WHAT:
        for format_ in ("csv", "json"):
            done = run("export", event, what, "--format", format_)
            assert done.code == 0
            assert "knee" not in done.out


def test_exports_follow_a_ruling(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    before = rows(run("export", event, "attempts").out)
    ruling = tally(tmp_path, "1:30.0 rule void 0:03.0 video\n", "ruling.tally")
    done = run("transcribe", event, ruling, "--heat", "1", "--lane", "1")
    assert done.code == 0
    after = rows(run("export", event, "attempts").out)
    assert [row["at_ms"] for row in before[:2]] == ["3000", "6000"]
    assert [row["at_ms"] for row in after[:1]] == ["6000"]
    (scored,) = [
        r for r in rows(run("export", event, "scores").out) if r["bib"] == "27"
    ]
    assert "amended" in scored["status"]
