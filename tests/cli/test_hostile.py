"""Hostile names and notes through every print, file and export of an event."""

from __future__ import annotations

import csv
import io
import json
import re
from html.parser import HTMLParser
from typing import TYPE_CHECKING

import pypdf
import pytest
import webvtt
from markdown_it import MarkdownIt

from tests.cli.running import run, tally
from tests.small_event import TALLY, WORKOUT

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

HEAT = "=1/../<x-i>"
TAG = "<x-evil onx=1>"
# What somebody called themselves, each with a bib as bad; the first has the no-reps.
PEOPLE = (
    ("27", f"=cmd|'/c calc'!A0 {TAG}"),
    ("=1+1", '"><x-svg/onload=al(3)> & --> 00:00'),
    ("../../etc/passwd", "Zoë \u202e{{7*7}} {\\an8}<x-b>b"),
    ("007", "#import $a$ *b* _i_ | `c` [x](y)"),
    ("@A1", "-5+3 Ελένη Юлия"),
)
# Of a private column.
PRIVATE = "SECRETKNEE"
EVENT = f"""\
name = "=HYPERLINK(1) {TAG} --> #set"
date = 2027-05-08
zone = "Europe/Berlin"
place = "@SUM(1) {TAG}"

[[division]]
id = "women"
name = "+1+1 {TAG}"

[[judge]]
id = "kb"
name = "=J {TAG}"

[settings]
lane-check = "off"
cues = "on"
"""
NOTED = TALLY.replace(
    "0:08.0  no-rep shallow",
    f"0:07.0  note =1 {TAG} --> x\n0:08.0  no-rep shallow\n0:08.5  no-rep",
).replace("0:20.0", "0:16.0  no-rep elbow-touch\n0:20.0")
FORMATS = ("table", "csv", "json", "markdown", "html")
KEYS = "movement,fault,athlete,division,part,round,judge,workout,heat,date"
# Every print, with the formats it has.
PRINTS = (
    *((("export", what), ("csv", "json")) for what in ("attempts", "sets", "faults")),
    (("export", "scores"), ("csv", "json")),
    (("faults",), FORMATS),
    (("faults", "--by", KEYS), FORMATS),
    (("season", "--by", f"{KEYS},month"), FORMATS),
    *(
        (("season", what, "--by", "athlete,movement,load,heat"), FORMATS)
        for what in ("pieces", "cost")
    ),
    (("season", "drills"), ("table", "json", "markdown", "html")),
    (("pieces",), FORMATS),
    (("cost",), FORMATS),
    (("drills",), ("table", "json", "markdown", "html")),
    (("standings",), (*FORMATS, "pdf")),
    (("standings", "--overall"), (*FORMATS, "pdf")),
    (("standings", "--explain", "27"), ("table", "json", "markdown", "html")),
    (("scorecard", "--heat", HEAT), (*FORMATS, "pdf")),
    (("athlete", "27"), ("table", "html", "pdf", "markdown", "json")),
    (("athlete", "../../etc/passwd"), ("table", "html", "pdf", "markdown", "json")),
    (("report",), ("table", "html", "pdf", "markdown")),
    (("brief",), ("table", "json", "markdown", "html", "pdf")),
    (("log", "show"), FORMATS),
)


@pytest.fixture(scope="module")
def event(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An event in which everything that people wrote is hostile."""
    folder = tmp_path_factory.mktemp("year") / "event"
    (folder / "workouts").mkdir(parents=True)
    (folder / "event.toml").write_text(EVENT, encoding="utf-8")
    workout = WORKOUT.replace('name = "Quayside"', f'name = "=W {TAG}"')
    workout = workout.replace('{ men = "60 kg", women = "42.5 kg" }', '"42.5 kg"')
    (folder / "workouts" / "quayside.toml").write_text(workout, encoding="utf-8")
    people = [("bib", "name", "division", "reach", "id", "private")]
    people += [(b, n, "women", "2.10 m", f"id {b}", PRIVATE) for b, n in PEOPLE]
    heats = [("heat", "start", "workout", "lane", "bib", "judge")]
    heats += [
        (HEAT, "10:00", "quayside", str(lane), bib, "kb")
        for lane, (bib, _) in enumerate(PEOPLE, 1)
    ]
    for name, rows in (("people.csv", people), ("heats.csv", heats)):
        with (folder / name).open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(rows)
    path = tally(folder, NOTED)
    for lane in range(1, len(PEOPLE) + 1):
        done = run("transcribe", folder, path, "--heat", HEAT, "--lane", str(lane))
        assert (done.code, done.out) == (0, ""), done
    return folder


class _Elements(HTMLParser):
    """What a browser would make of a page: its elements, attributes and texts."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.names: set[str] = set()
        self.acts: set[str] = set()
        self.text = ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.names.add(tag)
        self.acts |= {name for name, _ in attrs if name.startswith("on")}
        self.acts |= {v for n, v in attrs if n in ("src", "href") and v and ":" in v}

    def handle_data(self, data: str) -> None:
        self.text += data


def printed(event: Path, args: tuple[str, ...], format_: str) -> str:
    first, *more = args
    words = (first, more.pop(0)) if first == "log" else (first,)
    folder = event.parent if first == "season" else event
    out = event.parent / f"x.{format_}"
    to = ("--out", str(out), "--force") if format_ == "pdf" else ()
    done = run(*words, folder, *more, "--format", format_, *to)
    assert done.code == 0, (done.err, args)
    if format_ == "pdf":
        return "\n".join(page.extract_text() for page in pages(out))
    return done.out


def pages(path: Path) -> Sequence[pypdf.PageObject]:
    return pypdf.PdfReader(path).pages


CASES = [(args, format_) for args, formats in PRINTS for format_ in formats]


@pytest.mark.parametrize(
    ("args", "format_"), CASES, ids=[f"{' '.join(a[:2])} {f}" for a, f in CASES]
)
def test_what_people_wrote_is_text_in_every_print(
    event: Path, args: tuple[str, ...], format_: str
) -> None:
    text = printed(event, args, format_)
    assert PRIVATE not in text
    assert not re.search(r"\b(nan|NaN|None|inf|Infinity)\b", text)
    CHECKS[format_](text)


def is_page(text: str) -> None:
    found = _Elements(text)
    assert not {n for n in found.names if n.startswith("x-") or n in ("script", "img")}
    assert not found.acts
    assert "<x-" in found.text


def is_markdown(text: str) -> None:
    is_page(MarkdownIt("commonmark").enable("table").render(text))


def is_csv(text: str) -> None:
    header, *rows = csv.reader(io.StringIO(text, newline=""), strict=True)
    assert rows
    for row in rows:
        assert len(row) == len(header)
        for cell in row:
            assert not re.match(r"[=@\t\r]|[-+](?![\d.:]+$)", cell), cell


def is_json(text: str) -> None:
    json.loads(text, parse_constant=pytest.fail)
    is_text(text)


def is_text(text: str) -> None:
    """Names stand as they are; a print that has none names people by their bibs."""
    assert "<x-" in text or "../../etc/passwd" in text
    assert "\x1b" not in text


CHECKS: dict[str, Callable[[str], None]] = {
    "html": is_page,
    "markdown": is_markdown,
    "csv": is_csv,
    "json": is_json,
    "table": is_text,
    "pdf": is_text,
}


def test_csv_comes_back_as_it_was_written(event: Path) -> None:
    for what in ("attempts", "sets", "faults", "scores"):
        laid = printed(event, ("export", what), "csv")
        told = json.loads(printed(event, ("export", what), "json"))["rows"]
        rows = list(csv.DictReader(io.StringIO(laid, newline=""), strict=True))
        assert [
            {key: cell.removeprefix("'") for key, cell in row.items()} for row in rows
        ] == [
            {key: "" if cell is None else str(cell) for key, cell in row.items()}
            for row in told
        ]


@pytest.mark.parametrize("format_", ["vtt", "srt"])
def test_subtitles_hold_calls_and_nobodys_words(event: Path, format_: str) -> None:
    done = run("subtitles", event, "--heat", HEAT, "--lane", "1", "--format", format_)
    assert done.code == 0
    read = webvtt.from_buffer(io.StringIO(done.out), format=format_, strict=True)
    said = [caption.text for caption in read.captions]
    assert done.out.count("-->") == len(said)
    assert any("NO REP depth" in one for one in said)
    assert not any("x-" in one for one in said)


def test_paper_has_the_names_as_they_are(event: Path) -> None:
    out = event.parent / "paper.pdf"
    done = run("paper", event, "--heat", HEAT, "--out", out, "--force")
    assert done.code == 0
    text = "".join("".join(page.extract_text() for page in pages(out)).split())
    assert PRIVATE not in text
    for said in ("#import $a$ *b* _i_ | `c` [x](y)", TAG, "-5+3 Ελένη Юлия"):
        assert "".join(said.split()) in text


def test_files_are_named_by_nothing_that_acts(event: Path) -> None:
    done = run("athlete", event, "--all")
    assert done.code == 0
    assert run("export", event, "--all", "--force").code == 0
    made = [path for path in (event / "out").rglob("*") if path.is_file()]
    assert len(made) > len(PEOPLE)
    for path in made:
        inside = path.relative_to(event / "out")
        assert re.fullmatch(
            r"[a-z]+/[A-Za-z0-9-]+\.html|[a-z]+\.csv|season/.+", str(inside)
        )
        assert PRIVATE.encode() not in path.read_bytes()
    assert not (event.parent / "etc").exists()
