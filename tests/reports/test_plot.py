"""Charts as SVG: what is drawn where, and that nothing but drawing is in it."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from judgekit.reports.chart import Chart, Split, rates_chart, splits_chart
from judgekit.reports.drawing import BROWSER, Paint
from judgekit.reports.page import Page, Section, page_html
from judgekit.reports.pagepaper import page_pdf
from judgekit.reports.plot import svg
from judgekit.reports.typefaces import Typefaces
from judgekit.review.faults import rate

HOSTILE = "<script>a()</script> $\\frac{x$ A$$B _{7*7} &amp; \"' 李雷 محمد"
PAPER = Paint(
    ink="#000000",
    soft="#111111",
    grid="#222222",
    back="#ffffff",
    mark="#333333",
    families=("DejaVu Sans", "Another"),
)
DRAWN = {"svg", "title", "defs", "g", "path", "text", "use", "pattern", "rect"}


def rates(label: str = "1 to 3", along: str = "round") -> Chart:
    chart = rates_chart(
        "No-reps",
        [(label, rate(14, 196)), ("Row", rate(0, 46))],
        along,
        rate(14, 242),
    )
    assert chart is not None
    return chart


def splits(label: str = "Push-up") -> Chart:
    chart = splits_chart(
        "Pieces", "sets", ("one", "two", "more"), [Split(label=label, parts=(2, 1, 1))]
    )
    assert chart is not None
    return chart


def every(label: str) -> list[Chart]:
    return [rates(label), splits(label)]


def parsed(drawn: str) -> ET.Element:
    return ET.fromstring(drawn)  # noqa: S314 - drawn by the test itself


def name(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2]


def texts(drawn: str) -> list[str]:
    return [e.text or "" for e in parsed(drawn).iter() if name(e) == "text"]


@pytest.mark.parametrize("wide", [False, True])
@pytest.mark.parametrize("chart", every(HOSTILE))
def test_a_hostile_label_is_text_and_nothing_else_is_in_a_chart(
    chart: Chart, wide: bool
) -> None:
    drawn = svg(chart, "k", BROWSER, wide=wide)
    assert {name(element) for element in parsed(drawn).iter()} <= DRAWN
    said = "".join(texts(drawn)).replace(" ", "")
    assert HOSTILE.replace(" ", "") in said
    for element in parsed(drawn).iter():
        for key, value in element.attrib.items():
            assert not key.rpartition("}")[2].startswith("on")
            if "href" in key or "url(" in value:
                assert "#k-" in value


# Also what an XML file cannot hold, which would else hardly ever be drawn by lot.
LETTERS = st.one_of(st.characters(), st.sampled_from("\ufffe\uffff\x00\x0b\ud800"))


@given(st.text(LETTERS, max_size=200))
@example("\ufffe")
@example("\uffff")
@settings(max_examples=25, deadline=None)
def test_any_label_makes_a_chart_that_can_be_read(label: str) -> None:
    for chart in (rates(label), splits(label)):
        parsed(svg(replace(chart, of=label), "k", BROWSER))


def test_two_drawings_are_the_same_bytes_and_share_no_id() -> None:
    for chart in every("A"):
        once = svg(chart, "one", BROWSER)
        assert once == svg(chart, "one", BROWSER)
        other = svg(chart, "two", BROWSER)
        ids = [set(re.findall(r' id="([^"]+)"', drawn)) for drawn in (once, other)]
        assert ids[0]
        assert ids[0].isdisjoint(ids[1])
        used = re.findall(r"#(one-[\w-]+)", once)
        assert set(used) == ids[0]


@pytest.mark.parametrize("chart", every("A"))
def test_every_colour_is_the_page_s_own(chart: Chart) -> None:
    drawn = svg(chart, "k", BROWSER)
    dyes = {"ink", "soft", "line", "back", "mark"}
    assert set(re.findall(r"var\(--(\w+)\)", drawn)) == dyes
    styles = " ".join(re.findall(r'(?:style|fill|stroke)="([^"]*)"', drawn))
    assert not re.search(r"#[0-9a-f]{6}", styles)
    assert "font-family" not in drawn
    paper = svg(chart, "k", PAPER)
    styles = " ".join(re.findall(r'(?:style|fill|stroke)="([^"]*)"', paper))
    colours = set(re.findall(r"#[0-9a-f]{6}\b", styles))
    assert colours <= {"#000000", "#111111", "#222222", "#ffffff", "#333333"}
    assert "font-family: 'DejaVu Sans', 'Another'" in paper


def _places(drawn: str, text: str) -> list[tuple[float, float]]:
    return [
        (float(e.attrib["x"]), float(e.attrib["y"]))
        for e in parsed(drawn).iter()
        if name(e) == "text" and e.text == text
    ]


def _rings(drawn: str) -> list[tuple[float, float]]:
    """Where the rates are: what is used and drawn round."""
    root = parsed(drawn)
    rounds = {
        e.attrib["id"]
        for e in root.iter()
        if name(e) == "path" and "id" in e.attrib and " C " in e.attrib["d"]
    }
    return [
        (float(e.attrib["x"]), float(e.attrib["y"]))
        for e in root.iter()
        if name(e) == "use" and e.attrib["href"][1:] in rounds
    ]


def test_along_the_work_the_numbers_stand_below_each_place() -> None:
    drawn = svg(rates(), "k", BROWSER)
    rings = _rings(drawn)
    for text in ("1 to 3", "7.1 %", "4.3 to 11.6", "14 of 196"):
        ((across, _),) = _places(drawn, text)
        assert across == pytest.approx(rings[0][0], abs=0.01)
    (_, zero), (_, end) = _places(drawn, "0 %")[0], _places(drawn, "15 %")[0]
    assert (rings[0][1] - zero + 3.8) / (end - zero) * 15 == pytest.approx(7.14, abs=1)
    assert {"round", "rate", "likely", "no-reps"} <= set(texts(drawn))
    assert "no-reps in 100 attempts (dashed: all, 5.8)" in texts(drawn)
    # Wilson's interval of 14 in 196 is 4.30 to 11.63 %.
    line = re.search(
        r'd="M ([\d.]+) ([\d.]+) L \1 ([\d.]+)" style="[^"]*var\(--mark', drawn
    )
    assert line is not None
    low, high = (float(line[n]) for n in (2, 3))
    deep = (low - high) / (zero - end) * 15
    assert deep == pytest.approx(11.631 - 4.302, abs=0.01)


def test_parts_of_a_whole_are_as_long_as_they_are_many() -> None:
    drawn = svg(splits(), "k", BROWSER)
    (zero, _), (end, _) = _places(drawn, "0 %")[0], _places(drawn, "100 %")[0]
    bars = []
    for element in parsed(drawn).iter():
        if name(element) == "path" and "stroke: var(--mark)" in str(element.attrib):
            across = [
                float(x) for x in re.findall(r"[ML] ([\d.]+)", element.get("d", ""))
            ]
            bars.append(round((max(across) - min(across)) / (end - zero), 3))
    assert bars[:3] == [0.5, 0.25, 0.25]


def test_a_long_label_is_broken_and_its_numbers_get_a_line_of_their_own() -> None:
    words = "Dumbbell snatch with alternating arms from the floor to overhead: LOCK"
    drawn = svg(splits(words), "k", BROWSER)
    lines = [text for text in texts(drawn) if text and text in words]
    assert len(lines) == 2
    heights = [_places(drawn, text)[0][1] for text in (*lines, "2, 1, 1 of 4")]
    assert heights[0] < heights[1] <= heights[2]


@pytest.mark.parametrize("wide", [False, True])
def test_a_label_too_long_for_its_lines_shows_that_there_is_more(wide: bool) -> None:
    words = "rope " * 30
    told = [
        [
            text
            for text in texts(svg(splits(label), "k", BROWSER, wide=wide))
            if label[:4] in text
        ]
        for label in (words[:60], words)
    ]
    assert [line for line in told[0] if "…" in line] == []
    assert [line.endswith("…") for line in told[1]] == [False, False, True]


def test_a_page_has_a_drawing_for_phones_and_one_for_wide_screens() -> None:
    page = Page(
        title="x",
        sections=(Section(title="y", charts=(splits(), rates(), rates("A", ""))),),
    )
    html = page_html(page)
    assert html.count("<svg ") == 3
    assert html.count('<div class="narrow"><svg ') == 1
    assert html.count('<div class="wide"><svg ') == 1
    ids = re.findall(r' id="([^"]+)"', html)
    assert len(ids) == len(set(ids))


def test_on_paper_labels_are_letters_and_what_no_font_has_is_named() -> None:
    page = Page(
        title="x",
        sections=(Section(title="y", charts=(rates(), splits("محمد \ue123A <b>$x$"))),),
    )
    made = page_pdf([page], Typefaces())
    assert made == page_pdf([page], Typefaces())
    told = PdfReader(io.BytesIO(made)).pages[0].extract_text()
    assert "A <b>$x$" in told
    assert "\ue123" not in told
    assert "2, 1, 1 of 4" in told
    assert "4.3 to 11.6" in told
    assert "no-reps in 100 attempts (dashed: all, 5.8)" in told


def test_only_a_page_with_charts_imports_what_draws_them() -> None:
    code = (
        "import sys; from judgekit.reports.page import *; import judgekit.cli.report;"
        "page_html(Page(title='x', sections=(Section(title='y', lines=('z',)),)));"
        "sys.exit('matplotlib' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=False)
    assert done.returncode == 0
