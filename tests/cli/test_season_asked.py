"""What a season is asked: of one event it says what that event says."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from pathlib import Path
from typing import Any

import duckdb
import pytest

from judgekit.cli.demo import prepare
from judgekit.files.folder import load_event
from tests.cli.running import run
from tests.test_readme import README

FORMATS = Path(__file__).parent.parent / "formats"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo event, all of it judged, alone in a folder."""
    event = tmp_path_factory.mktemp("demo") / "event"
    prepare(event)
    return event


@pytest.fixture(scope="module")
def formats(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A lane of every format, teams and reported ones too."""
    event = tmp_path_factory.mktemp("formats") / "event"
    shutil.copytree(FORMATS, event)
    for row in load_event(event).heats:
        path = event / "tallies" / f"{row.workout}.tally"
        where = ("--heat", row.heat, "--lane", str(row.lane))
        assert run("transcribe", event, path, *where).code == 0
    return event


def rows(*args: str | Path) -> list[dict[str, str]]:
    done = run(*args, "--format", "csv")
    assert done.code == 0, done.err
    return list(csv.DictReader(io.StringIO(done.out, newline=""), strict=True))


def data(*args: str | Path) -> dict[str, Any]:
    done = run(*args, "--format", "json")
    assert done.code == 0, done.err
    found: dict[str, Any] = json.loads(done.out)
    return found


def both(request: pytest.FixtureRequest, name: str) -> Path:
    event: Path = request.getfixturevalue(name)
    return event


EVENTS = pytest.mark.parametrize("name", ["demo", "formats"])


@EVENTS
@pytest.mark.parametrize(
    "by",
    [
        *("movement,fault", "fault", "movement", "division,part", "judge"),
        *("judge,fault", "fault,heat", "athlete,fault", "part,fault", "athlete"),
    ],
)
def test_groups_are_those_of_the_event(
    request: pytest.FixtureRequest, name: str, by: str
) -> None:
    event = both(request, name)
    keys = ["watched", "attempts", "good", "no_reps", "rate", "low", "high"]
    keys += ["share", "cues", "athletes"]
    alike = ("movement", "fault", "judge", "heat")
    words = tuple(word for word in by.split(",") if word in alike)
    of_event = [
        [row[key] for key in (*words, *keys)]
        for row in rows("faults", event, "--by", by)
    ]
    of_season = [
        [row[key] for key in (*words, *keys)]
        for row in rows("season", event.parent, "--by", by)
    ]
    assert sorted(of_season) == sorted(of_event)


@EVENTS
def test_when_in_the_work_is_that_of_the_event(
    request: pytest.FixtureRequest, name: str
) -> None:
    event = both(request, name)
    assert data("season", event.parent, "when")["when"] == data("faults", event)["when"]


@EVENTS
def test_pieces_are_those_of_the_event(
    request: pytest.FixtureRequest, name: str
) -> None:
    event = both(request, name)
    sets = rows("pieces", event)
    told = [row for row in sets if not row["untold"] and int(row["good"]) > 1]
    found = rows("season", event.parent, "pieces", "--by", "heat,movement")
    assert sum(int(row["sets"]) for row in found) == len(told)
    untold = sum(bool(row["untold"]) for row in sets)
    assert sum(int(row["untold"]) for row in found) == untold
    for key in ("breaks", "rested_ms"):
        assert sum(int(row[key]) for row in found) == sum(int(r[key]) for r in told)
    unbroken = sum("+" not in row["pieces"] for row in told)
    assert sum(int(row["unbroken"]) for row in found) == unbroken


def test_how_sets_were_done_is_told_as_in_the_report(demo: Path) -> None:
    page = run("report", demo, "--format", "markdown").out
    section, usual = (
        page.partition(f"## {title}")[2].partition("\n## ")[0]
        for title in ("How sets were done", "Usual pieces and pace")
    )
    lines = [line.split("|") for line in usual.splitlines() if line.startswith("| ")]
    of_event = {cells[1].strip(): [c.strip() for c in cells[2:]] for cells in lines}
    every = rows("season", demo.parent, "pieces", "--by", "movement")
    of_season = [row for row in every if row["sets"] != "0"]
    assert len(of_season) == 8
    for row in of_season:
        cells = of_event[row["movement"]]
        drawn = f"    {row['movement']} .* {row['unbroken']}, .* of {row['sets']}\n"
        assert re.search(drawn, section)
        assert f"{int(row['pace_ms']) / 1000:.1f}" in cells


@EVENTS
def test_what_no_reps_took_is_that_of_the_event(
    request: pytest.FixtureRequest, name: str
) -> None:
    event = both(request, name)
    ends = ("lost_low_ms", "lost_middle_ms", "lost_high_ms")
    sets = rows("pieces", event)
    found = rows("season", event.parent, "cost", "--by", "movement")
    for end in ends:
        whole = sum(int(row[end] or 0) for row in sets)
        assert sum(int(row[end] or 0) for row in found) == whole
        assert whole > 0


def test_a_no_rep_took_its_time_under_each_of_its_reasons(demo: Path) -> None:
    told = rows("season", demo.parent, "cost")
    faults = rows("season", demo.parent)
    assert {(r["movement"], r["fault"], r["no_reps"]) for r in told} == {
        (r["movement"], r["fault"], r["no_reps"]) for r in faults if r["no_reps"] != "0"
    }


def test_the_skill_block_is_that_of_the_event(demo: Path) -> None:
    of_event, of_season = data("drills", demo), data("season", demo.parent, "drills")
    shown: dict[str, str] = {}
    for one, other in zip(of_season["drills"], of_event["drills"], strict=True):
        assert dict(zip(_bibs(one["who"]), one["names"], strict=True)) == dict(
            zip(other["who"], other["names"], strict=True)
        )
        for drill in (one, other):
            shown |= dict(zip(_bibs(drill.pop("who")), drill.pop("names"), strict=True))
    assert of_season == of_event
    told = {"007": "Ida Stenrove", "031": "P. Q."}
    assert shown.items() >= told.items()


def _bibs(who: list[str]) -> list[str]:
    """The bibs of people without an id; a bib is its own."""
    return [one.removeprefix("bib:").partition(" ")[0] for one in who]


def asked_by_others(folder: Path) -> list[list[tuple[Any, ...]]]:
    """What the queries of the README find in that folder."""
    told = README.partition("### With other programs")[2].partition("\n## ")[0]
    queries = re.findall(r"(?:^    .+\n)+", told, re.MULTILINE)
    there = [query.replace("events-of-the-year", str(folder)) for query in queries]
    return [duckdb.execute(query).fetchall() for query in there]


def test_other_programs_find_the_same_by_the_queries_of_the_readme(demo: Path) -> None:
    found = rows("season", demo.parent, "--by", "movement,fault")
    done = rows("season", demo.parent, "pieces")
    faults, sets = asked_by_others(demo.parent)
    assert sorted((fault, str(n), str(who)) for _, fault, n, who in faults) == sorted(
        (row["fault"], row["no_reps"], row["athletes"])
        for row in found
        if row["no_reps"] != "0"
    )
    assert sorted((str(n), round(pace)) for *_, n, pace in sets) == sorted(
        (row["sets"], int(row["pace_ms"])) for row in done if row["sets"] != "0"
    )


@pytest.mark.parametrize("what", ["when", "pieces", "cost", "drills"])
def test_each_is_told_for_people_and_nothing_is_said_as_nothing(
    demo: Path, tmp_path: Path, what: str
) -> None:
    for format_ in ("table", "markdown", "html"):
        done = run("season", demo.parent, what, "--format", format_)
        assert done.code == 0
        assert ("KNEE DOWN" in done.out) is (what in ("cost", "drills"))
        assert "None" not in done.out
    empty = run("season", tmp_path, what)
    assert empty.code == 0
    assert "Nothing " in empty.out
    assert "nan" not in empty.out.lower()


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (("when", "--by", "heat"), "--by groups no when"),
        (("drills", "--format", "csv"), "drills has no CSV"),
        (("pieces", "--by", "fault"), 'there is no word for --by "fault"'),
        (("plans",), "'plans' is not one of"),
    ],
)
def test_what_cannot_be_asked_is_said(
    tmp_path: Path, asked: tuple[str, ...], says: str
) -> None:
    done = run("season", tmp_path, *asked)
    assert done.code == 2
    assert says in done.err
