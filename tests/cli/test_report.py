"""`judgekit report`: the coach's report of the demo, and of a small event."""

from __future__ import annotations

import io
import re
import shutil
from datetime import datetime
from html.parser import HTMLParser
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest
from pypdf import PdfReader

from tests.cli.running import judged_event, run, tally
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from pathlib import Path

SECTIONS = (
    "In short",
    "Faults",
    "When in the work",
    "How sets were done",
    "Athletes",
    "Skill block",
    "Stops",
)
HOSTILE = '<img onerror="a()">{{7*7}} #panic(1) $x$'
PEOPLE = f"""\
bib,name,division,private
27,"{HOSTILE.replace('"', '""')}",women,a sore wrist
007,Zoé Marr,women,
31,Bo Lindt,men,
"""
CLASS_WORK = """\
0:00.0  go
0:10.0  look
0:12.0  rep
0:13.0  rep
0:14.0  no-rep shallow
0:15.0  look-end 3
0:20.0  set-reported
0:30.0  no-rep toes-short
0:40.0  set-reported
"""
ON_PAPER = """\
# heat 1, lane 2
part A
round 1: all; toes-to-bar toes 1
round 2: all
3:12
signed athlete, judge
"""
MORE_TOES = """\
0:00.0  go
0:04.0  no-rep shallow
0:06.0  rep
0:09.0  rep
0:12.0  rep
0:15.0  no-rep toes-short
0:17.0  no-rep toes-short
0:19.0  no-rep toes-short
0:21.0  rep
"""
STOPPED = TALLY.replace(
    "0:23.0  rep\n", "0:23.0  rep\n0:24.0  stop\n0:26.0  go-on by kb\n"
)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "demo"
    assert run("demo", "--plain", "--folder", folder).code == 0
    return folder


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.names: set[str] = set()
        self.texts: list[str] = []
        self.rows: list[list[str]] = []
        self.closed: list[str] = []
        self.inside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.names |= {name for name, _ in attrs}
        self.inside.append(tag)
        if tag == "tr":
            self.rows.append([])
        elif tag in {"td", "th"}:
            self.rows[-1].append("")
        elif tag == "summary":
            self.closed.append("")

    def handle_endtag(self, tag: str) -> None:
        # What is empty, such as <meta>, has no end.
        while self.inside and self.inside.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        self.texts.append(data)
        if {"td", "th"} & set(self.inside):
            self.rows[-1][-1] += data.strip().replace("\u00a0", " ")
        elif "summary" in self.inside:
            self.closed[-1] += data

    def row(self, head: str) -> list[str]:
        """The only row of all tables that begins so."""
        (found,) = (row for row in self.rows if row[:1] == [head])
        return found


def parsed(page: str) -> _Page:
    found = _Page()
    found.feed(page)
    return found


def test_the_demo_alone_gives_a_whole_report(demo: Path) -> None:
    done = run("report", demo, "--format", "html")
    assert done.code == 0, done.err
    page = parsed(done.out)
    text = "".join(page.texts)
    for title in SECTIONS:
        assert title in text
    # Wilson's interval of 14 no-reps in 196 attempts.
    assert page.row("Push-up: DEPTH") == [
        *("Push-up: DEPTH", "", "14 of 196, 7.1 %", "4.3 to 11.6 %", "4 of 10")
    ]
    assert "A palm tears and bleeds" in text
    assert "What no-reps cost: Mill Wheel, Women" in text
    assert "Estimates, as nobody did it twice." in text
    assert "nan" not in text.lower().replace("finance", "")
    assert page.tags.isdisjoint({"script", "img", "a", "link", "iframe"})


def test_what_is_long_is_closed_and_nothing_of_it_is_lost(demo: Path) -> None:
    done = run("report", demo, "--format", "html").out
    page = parsed(done)
    assert page.closed == [
        "Faults: 13 more rows",
        "Cues noted 8 rows",
        "Usual pieces and pace 8 rows",
        "Who became slower 5 rows",
        "Where the time went: Three Gates 12 rows",
        "Where the time went: Mill Wheel 6 rows",
        "Athletes: 4 more rows",
        "Cues noted, by athlete 6 rows",
        "What no-reps cost: Mill Wheel, Men 8 rows",
        "What no-reps cost: Mill Wheel, Women 7 rows",
        "What no-reps cost: Three Gates, Men 13 rows",
        "What no-reps cost: Three Gates, Women 11 rows",
    ]
    assert "<details open" not in done
    assert page.row("Wall-ball shot: CONTROL")[2:] == [
        *("2 of 459, 0.4 %", "0.1 to 1.6 %", "1 of 6")
    ]
    # Every number that a terminal shows is somewhere on the page.
    shown = run("report", demo).out
    numbers = re.compile(r"\d[\d.:]*\d|\d")
    assert set(numbers.findall(shown)) <= set(numbers.findall("\n".join(page.texts)))


def test_on_paper_it_tells_the_same(demo: Path, tmp_path: Path) -> None:
    out = tmp_path / "report.pdf"
    assert run("report", demo, "--format", "pdf", "--out", out).code == 0
    pages = PdfReader(io.BytesIO(out.read_bytes())).pages
    told = "\n".join(page.extract_text() for page in pages)
    for words in (*SECTIONS, "14 of 196, 7.1 %", "012 Zoë Marchwood"):
        assert words in told


def test_what_to_do_next_comes_first(demo: Path) -> None:
    told = run("report", demo).out
    first = [line for line in told.splitlines() if line.isupper() and len(line) > 4]
    assert first[:4] == ["IN SHORT", "SKILL BLOCK, 8 MINUTES", "STOPS", "MOVEMENTS"]
    assert "1 stop for safety: see Stops" in told
    assert (
        'Next class, 1: Push-up: DEPTH ("Chest touches the floor"), first for '
        "066 Ruben Tallis (7) and 044 Oskar Wendelin (4): 11 of 14 no-reps\n"
    ) in told
    assert "how often each fault was called (the first 12 of 21)" in told
    # What a picture draws stands in figures, too.
    assert re.search(
        r"\nPush-up: DEPTH +14 of 196, 7\.1 % +4\.3 to 11\.6 % +4 of 10\n", told
    )
    assert re.search(
        r"\n9 to 13 .* 10\.1 % \(49 of 485\), likely 7\.7 to 13\.1 %\n", told
    )
    assert re.search(r"\n019 .*12 of 93, 12\.9 % +7\.5 to 21\.2 % ", told)
    assert re.search(r"\nBurpee to target: FLOOR +4 of 177, 2\.3 % ", told)
    assert "Judged: no-reps of each athlete\n" in told
    assert "Most at Push-up: 26 of 196 attempts, 13.3 %, likely" in told
    assert re.search(r"Push-up +26 of 196, 13\.3 % .* 9 of 10\n", told)
    # What is put together elsewhere is put together here.
    assert re.search(r"\n4 to 8 .*\(25 of 475\)", told)
    # The parts of each row of a picture.
    assert re.search(r"\nFront squat +=+-+\.? +22, 13, 1 of 36\n", told)
    assert "By minute all together they become more, which may only mean" in told
    slower = told.partition("WHO BECAME SLOWER\n")[2].partition("WHERE THE")[0]
    assert re.search(r"031 P\. Q\. \d+ % \([^)]*; stopped at 2:29\)", slower)
    assert re.search(r"051 Mateo Brancourt \d+ % \([^)]*; withdrew at ", slower)
    # Nobody's most frequent fault is told from one no-rep.
    athletes = told.partition("\nATHLETES\n")[2]
    assert re.search(r"007 Ida Stenrove +3 of 111, .* Push-up: DEPTH \(2\)", athletes)


def test_an_athlete_without_a_no_rep_stands_with_all_others(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    clean = TALLY.replace("0:08.0  no-rep shallow\n", "")
    path = tally(tmp_path, clean, "two.tally")
    done = run("transcribe", event, path, "--heat", "1", "--lane", "2")
    assert done.code == 0, done.err
    athletes = run("report", event).out.partition("\nATHLETES\n")[2]
    told = re.findall(r"007 Zoé Marr +.*0 of \d+", athletes)
    assert len(told) == 2, athletes


def test_who_is_to_be_spoken_with_twice_is_one_athlete(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    path = event / "event.toml"
    today = datetime.now(ZoneInfo("Europe/Berlin")).date().isoformat()
    text = path.read_text("utf-8").replace("2027-05-08", today)
    path.write_text(text, "utf-8")
    twice = STOPPED.replace(
        "go-on by kb\n", "go-on by kb\n0:27.0  stop\n0:28.0  go-on by kb\n"
    )
    done = run(
        "transcribe", event, tally(tmp_path, twice), "--heat", "1", "--lane", "1"
    )
    assert done.code == 0, done.err
    told = run("report", event).out
    assert "1 athlete to speak with: see below" in told
    spoken = told.partition("\nWHOM TO SPEAK WITH\n")[2].partition("\n\n")[0]
    assert spoken.count("27 Ines Varga") == 1
    assert spoken.count(f"stopped at toes-to-bar on {today}") == 2


def test_what_came_from_paper_is_said_to_have_no_times(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    paper = tally(tmp_path, ON_PAPER, "paper.txt")
    done = run("transcribe", event, paper, "--heat", "1", "--lane", "2")
    assert done.code == 0, done.err
    told = run("report", event).out
    assert (
        told.count("without times and in no picture along the work: heat 1 lane 2") == 2
    )


def test_a_class_with_looks_is_told_apart_from_what_is_judged(tmp_path: Path) -> None:
    event = write_event(tmp_path / "event")
    path = event / "event.toml"
    path.write_text(path.read_text("utf-8") + 'watching = "reported"\n', "utf-8")
    work = tally(tmp_path, CLASS_WORK)
    done = run("transcribe", event, work, "--heat", "1", "--lane", "1")
    assert done.code == 0, done.err
    told = run("report", event).out
    assert "No attempt was judged" not in told
    assert "No-reps in looks: 1 of 3 attempts, 33.3 %" in told
    assert "1 no-rep noticed where nobody counted the attempts" in told
    assert "Front squat: DEPTH: 1 of 3 attempts in looks, 33.3 %, likely" in told
    assert "In looks: how often each fault was called" in told
    assert "Judged: " not in told


def test_of_what_comes_again_as_often_the_worst_of_today_stands_first(
    tmp_path: Path,
) -> None:
    events = tmp_path / "events"
    events.mkdir()
    for day in ("2027-04-24", "2027-05-01", "2027-05-08"):
        event = write_event(events / day)
        path = event / "event.toml"
        path.write_text(path.read_text("utf-8").replace("2027-05-08", day), "utf-8")
        work = tally(tmp_path, MORE_TOES, f"{day}.tally")
        done = run("transcribe", event, work, "--heat", "1", "--lane", "1")
        assert done.code == 0, done.err
    told = run("report", events / "2027-05-08").out
    again = told.partition("\nCOMES AGAIN\n")[2].partition("\nFAULTS\n")[0]
    assert re.findall(r"(TOES|DEPTH) +3 of 3", again) == ["TOES", "DEPTH"]
    assert "No fault has clearly become more or less frequent since last time" in told


def test_charts_are_drawn_from_the_log_alone_the_same_each_time(demo: Path) -> None:
    once, again = (run("report", demo, "--format", "html").out for _ in range(2))
    assert once == again
    page = parsed(once)
    assert {"svg", "text", "path"} <= page.tags
    ids = re.findall(r' id="([^"]+)"', once)
    assert len(ids) == len(set(ids))
    assert "http://" not in once.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert "https://" not in once


def test_one_heat_or_workout_alone_is_told(demo: Path) -> None:
    heat = run("report", demo, "--heat", "3").out
    assert "heat 3, 6 lanes" in heat
    assert "Front squat" not in heat
    workout = run("report", demo, "--workout", "mill-wheel").out
    assert "Mill Wheel, 6 lanes" in workout
    wrong = run("report", demo, "--heat", "9")
    assert (wrong.code, wrong.out) == (2, "")
    assert 'there is no heat "9"' in wrong.err


def test_what_a_heat_is_told_to_have_lost_is_its_own(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    path = tally(tmp_path, TALLY, "two.tally")
    assert run("transcribe", event, path, "--heat", "2", "--lane", "1").code == 0
    cost = "What no-reps cost: Quayside, Men"
    whole, first, second = (
        run("report", event, *heat, "--format", "markdown").out
        for heat in ((), ("--heat", "1"), ("--heat", "2"))
    )
    assert (cost in whole, cost in first, cost in second) == (True, False, True)


def test_a_session_with_little_says_so_and_draws_no_empty_chart(tmp_path: Path) -> None:
    done = run("report", judged_event(tmp_path))
    assert done.code == 0
    assert "1 no-rep in 10 attempts" in done.out
    assert "too few to tell" in done.out
    assert "Nothing to plan for" in done.out
    assert "STOPS" not in done.out


def test_what_no_reps_cost_is_told_once_results_are_official(tmp_path: Path) -> None:
    event = judged_event(tmp_path)
    path = tally(tmp_path, TALLY.replace("0:51.0  accept judge\n", ""), "two.tally")
    done = run("transcribe", event, path, "--heat", "1", "--lane", "2")
    assert done.code == 0, done.err
    told = run("report", event).out
    assert "Took (s)" not in told
    sheets = [run("athlete", event, bib).out for bib in ("27", "007")]
    assert ["took about" in one for one in sheets] == [True, False]


def test_before_anybody_has_started_there_is_none(tmp_path: Path) -> None:
    done = run("report", write_event(tmp_path / "event"))
    assert (done.code, done.out) == (2, "")
    assert "nobody has started" in done.err


@pytest.mark.parametrize("format_", ["table", "html", "pdf", "markdown"])
def test_a_hostile_name_is_text_and_nothing_private_is_told(
    tmp_path: Path, format_: str
) -> None:
    event = write_event(tmp_path / "event")
    (event / "people.csv").write_text(PEOPLE, "utf-8")
    path = tally(tmp_path, STOPPED)
    done = run("transcribe", event, path, "--heat", "1", "--lane", "1")
    assert done.code == 0, done.err
    out = tmp_path / "report"
    done = run("report", event, "--format", format_, "--out", out)
    assert done.code == 0, done.err
    data = out.read_bytes()
    if format_ == "pdf":
        told = "".join(
            page.extract_text() for page in PdfReader(io.BytesIO(data)).pages
        )
    else:
        told = data.decode()
    if format_ == "html":
        page = parsed(told)
        assert page.tags.isdisjoint({"img", "script"})
        assert "onerror" not in page.names
        told = "".join(page.texts)
    if format_ != "markdown":
        assert "".join(HOSTILE.split()) in "".join(told.split())
    assert "wrist" not in told


def test_what_cannot_be_read_of_the_past_is_named(demo: Path, tmp_path: Path) -> None:
    events = tmp_path / "events"
    shutil.copytree(demo, events / "today")
    (events / "broken").mkdir()
    (events / "broken" / "event.toml").write_text("no = toml")
    done = run("report", events / "today")
    assert done.code == 1
    assert "broken is left out" in done.err
    assert "IN SHORT" in done.out


def test_cues_stand_apart_from_faults_and_have_no_rate(demo: Path) -> None:
    told = run("report", demo).out
    faults, _, after = told.partition("\nFAULTS\n")[2].partition("\nWHEN IN THE WORK")
    rates, _, cues = faults.partition("\nCUES NOTED\n")
    assert after
    assert not re.search(r"\b0 of (\d|\?)", rates)
    assert "HEELS" not in rates
    noted = [line.split() for line in cues.splitlines() if "HEELS" in line]
    assert ["Wall-ball", "shot", "HEELS", "9", "459"] in noted
    # Nobody counted the attempts at a movement that a monitor counts.
    assert [line.split() for line in cues.splitlines() if "BACK" in line] == [
        ["Row", "BACK", "2", "–"]  # noqa: RUF001 - an empty cell
    ]


def test_a_report_has_one_order_in_every_layout(demo: Path) -> None:
    page = run("report", demo, "--format", "html").out
    titles = re.findall(r"<h2><bdi>([^<]*)", page)
    shown = [title.upper() for title in titles]
    text = run("report", demo).out.split("\n")
    assert [line for line in text if line in shown] == shown
    assert 'class="lead"' not in page
