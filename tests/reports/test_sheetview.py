"""Sheets as pages for browsers and on paper, with names that would be commands."""

from __future__ import annotations

import io
import re
import unicodedata
from collections import Counter
from dataclasses import replace
from html.parser import HTMLParser
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from judgekit.core.entry import NoRep, Rep, Withdraw
from judgekit.core.plan import PlanFault
from judgekit.core.press import ReportSet
from judgekit.reports.look import source
from judgekit.reports.overall import OwnTotal
from judgekit.reports.sheetview import sheet_html, sheet_pdf, view
from judgekit.reports.typefaces import Typefaces
from judgekit.reports.typeset import on_one_page, pages_of
from tests.external.test_wcag_contrast import contrast
from tests.reports.sheeting import sheet_of
from tests.support import Played, for_time, simple

if TYPE_CHECKING:
    from judgekit.reports.sheet import Sheet

HOSTILE = (
    '<script>alert(1)</script><img src=x onerror="a()">',
    '"><svg onload=a()> {{ 7*7 }} {% raw %}',
    '#panic(1) $x$ _B_ *b* `r` @r \\ "q" // c',
    "=HYPERLINK(1) --> ]]> &lt;b&gt; javascript:a()",
)


class _Page(HTMLParser):
    """The elements with their attributes' names, and the text outside of styles."""

    def __init__(self) -> None:
        super().__init__()
        self.elements: Counter[tuple[str, ...]] = Counter()
        self.texts: list[str] = []
        self.values: list[str] = []
        self._in_style = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements[(tag, *(name for name, _ in attrs))] += 1
        self.values += [value or "" for _, value in attrs]
        self._in_style = tag == "style"

    def handle_endtag(self, tag: str) -> None:
        self._in_style = False

    def handle_data(self, data: str) -> None:
        if not self._in_style:
            self.texts.append(data)


def parsed(page: str) -> _Page:
    found = _Page()
    found.feed(page)
    return found


def paper(one: Sheet, faces: Typefaces | None = None) -> str:
    """The text of the sheet on paper, without its spaces: lines break anywhere."""
    made = sheet_pdf(one, faces or Typefaces())
    pages = PdfReader(io.BytesIO(made)).pages
    told = "".join(page.extract_text() for page in pages)
    return "".join(unicodedata.normalize("NFKC", told).split())


def named(word: str) -> Sheet:
    """A sheet in which every word that a person wrote is the same."""
    fault = PlanFault(
        id="depth",
        weight="void",
        breaks="depth",
        key="d",
        call=word,
        cues=(word,),
        drill=word,
    )
    plan = simple()
    card = plan.cards[0]
    criteria = tuple(replace(one, says=word) for one in card.criteria)
    cards = (
        replace(card, name=word, faults=(fault,), criteria=criteria, caution=word),
    )
    words = {"name": word, "event": word, "division_name": word, "workout_name": word}
    played = Played(replace(plan, cards=cards, **words)).go()  # type: ignore[arg-type]
    played.press(5, NoRep(faults=("depth",)))
    played.press(9, Rep())
    played.press(12, Withdraw(why=word))
    return sheet_of(played.lane, code="3.1234")


@pytest.mark.parametrize("word", HOSTILE)
def test_no_word_adds_an_element_an_attribute_or_an_address(word: str) -> None:
    plain, hostile = parsed(sheet_html(named("word"))), parsed(sheet_html(named(word)))
    assert hostile.elements == plain.elements
    assert {tag[0] for tag in hostile.elements}.isdisjoint({"script", "img", "a"})
    names = {name for tag in hostile.elements for name in tag[1:]}
    assert names.isdisjoint({"href", "src", "style", "onload", "onerror"})
    whole = "".join(hostile.texts)
    assert whole.count(word) == "".join(plain.texts).count("word")


def test_the_page_fetches_nothing_and_runs_nothing() -> None:
    page = sheet_html(named("word"))
    assert "default-src 'none'; style-src 'unsafe-inline'" in page
    assert re.findall(r"url\(|@import|https?:", page) == []


@pytest.mark.parametrize("word", HOSTILE)
def test_on_paper_every_word_is_a_word(word: str) -> None:
    told = paper(named(word))
    bare = "".join(word.split())
    # Name, event, division, workout, call, cue, drill, caution and why.
    assert told.count(bare) >= 9


@pytest.mark.parametrize("name", ["Дмитрий Жук", "Ελένη Παππά", "Zoë Łukasiewicz"])
def test_names_of_other_scripts_are_on_paper_as_they_are(name: str) -> None:
    faces = Typefaces()
    assert "".join(name.split()) in paper(named(name), faces)
    assert faces.lacking == []


def test_a_name_that_no_font_has_is_said_to_be_one() -> None:
    faces = Typefaces()
    faces._others = {}
    assert "27[Devanagari]" in paper(named("देव शर्मा"), faces)
    assert faces.lacking == ["Devanagari"]


def test_both_pages_tell_the_same() -> None:
    total = OwnTotal(
        division="Women",
        place="2 of 9",
        steps=(("Tide", "3"), ("total", "7")),
        how=("places added up",),
    )
    made = replace(named("word"), overall=(total,))
    page = "".join("".join(parsed(sheet_html(made)).texts).split())
    told = paper(made)
    for words in ("Whattoworkon", "0:05.0", "Takecare", "3.1234", "1no-repin2tries"):
        assert words in page
        assert words in told
    for words in ("Overall,Women", "place2of9", "Tide3", "total7", "placesaddedup"):
        assert words in page
        assert words in told


def long_heat(many: int) -> Sheet:
    """As many no-reps as that in one set, for a sheet that has much to tell."""
    played = Played(simple(150)).go()
    for place in range(many):
        played.press(4 * place + 4, NoRep(faults=("depth",)))
        played.press(4 * place + 6, Rep())
    assert played.refusals == []
    return sheet_of(played.lane)


@pytest.mark.parametrize("many", [0, 10, 40])
def test_a_sheet_is_one_page_of_paper(many: int) -> None:
    assert pages_of(sheet_pdf(long_heat(many), Typefaces())) == 1


def test_what_does_not_fit_goes_on_and_is_whole() -> None:
    one = long_heat(140)
    made = sheet_pdf(one, Typefaces())
    assert pages_of(made) > 1
    told = "".join(p.extract_text() for p in PdfReader(io.BytesIO(made)).pages)
    assert all(missed.at in told for missed in one.works[0].missed)


@pytest.mark.parametrize("letter", ["a", "я"])
def test_the_small_print_is_halved_by_its_letters_in_each_script(letter: str) -> None:
    data = {
        **view(long_heat(1)),
        "care": [],
        "small": [letter * 40, "b" * 50, "c" * 30],
    }
    template = source("look.typ") + source("sheet.typ")
    left: dict[str, float] = {}

    def seen(text: str, now: list[float], at: list[float], *_: object) -> None:
        left[text.strip()[:3]] = now[4] + at[4]

    made = on_one_page(template, data, Typefaces(), [9.0])
    PdfReader(io.BytesIO(made)).pages[0].extract_text(visitor_text=seen)
    # The first two are more than half of all, the first alone is not.
    assert left[letter * 3] == left["bbb"] < left["ccc"]


def test_an_empty_sheet_says_why_it_is_empty() -> None:
    for made in (sheet_of(Played(for_time()).lane), long_heat(0)):
        page = " ".join(parsed(sheet_html(made)).texts)
        assert "Nothing was judged yet." in page
        assert "None" not in page
        assert "nan" not in page.lower().replace("finance", "")


def test_every_time_of_the_axis_stands_under_its_tick() -> None:
    played = Played(simple(2)).go()
    played.each(Rep(), 30, 105)
    page = sheet_html(sheet_of(played.lane))
    axis = page[page.index('<svg class="axis"') :].split("</svg>", 1)[0]
    places = re.findall(r'x="([\d.]+)%" y="1em" text-anchor="(\w+)">([\d:]+)<', axis)
    assert [says for _, _, says in places] == ["0:00", "0:30", "1:00", "1:30"]
    assert {anchor for _, anchor, _ in places} == {"middle"}


def test_no_praise_stands_where_nobody_watched() -> None:
    told = Played(replace(simple(5), watching="reported")).go()
    told.press(30, ReportSet(n=5))
    page = " ".join(parsed(sheet_html(sheet_of(told.lane))).texts)
    assert "Nobody watched how you moved" in page
    assert "No fault was seen" not in page


def test_a_reason_that_the_card_has_no_more_is_said_to_be_one() -> None:
    played = Played(simple(2)).go()
    played.press(5, NoRep(faults=("depth",)))
    played.press(9, Rep())
    bare = Played(simple(2)).go()
    bare.press(5, NoRep())
    lane = played.lane
    cards = tuple(replace(card, faults=()) for card in lane.plan.cards)
    gone = sheet_of(replace(lane, plan=replace(lane.plan, cards=cards)))
    page = " ".join(parsed(sheet_html(gone)).texts)
    assert "What was called is on the card no longer" in page
    page = " ".join(parsed(sheet_html(sheet_of(bare.lane))).texts)
    assert "No reason stands in the log" in page


@pytest.mark.parametrize("scheme", ["light", "dark", "paper"])
def test_every_text_can_be_read_on_its_ground(scheme: str) -> None:
    blocks = re.findall(r":root \{(.*?)\}", source("look.css"), re.DOTALL)
    colours = dict(
        re.findall(
            r"--(\w+): (#\w{6})", blocks[["light", "dark", "paper"].index(scheme)]
        )
    )
    for text in ("ink", "soft", "mark", "miss"):
        for ground in ("back", "raised"):
            assert contrast(colours[text], colours[ground]) >= 4.5, (text, ground)
