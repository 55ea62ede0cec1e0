"""Sheets as pages for browsers and on paper, with names that would be commands."""

from __future__ import annotations

import io
import re
import unicodedata
from collections import Counter
from dataclasses import replace
from html.parser import HTMLParser
from typing import TYPE_CHECKING, cast

import pytest
from pypdf import PdfReader

from judgekit.core.entry import GoOn, NoRep, Rep, Stop, Withdraw
from judgekit.core.plan import PlanFault
from judgekit.core.press import ReportSet
from judgekit.reports.look import source
from judgekit.reports.overallwords import OwnTotal
from judgekit.reports.sheettables import missed_rows, set_tables
from judgekit.reports.sheetview import sheet_html, sheet_pdf
from judgekit.reports.typefaces import Typefaces
from judgekit.reports.typeset import pages_of
from tests.external.test_wcag_contrast import contrast
from tests.reports.sheeting import sheet_of
from tests.support import Played, for_time, simple, window

if TYPE_CHECKING:
    from judgekit.core.plan import Plan
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
    # Each with a reason of its own, for one row each.
    (work,) = one.works
    many = enumerate(work.missed * 2)
    missed = tuple(replace(m, call=f"C{n}") for n, m in many)
    one = replace(one, works=(replace(work, missed=missed),))
    made = sheet_pdf(one, Typefaces())
    assert pages_of(made) > 1
    told = "".join(p.extract_text() for p in PdfReader(io.BytesIO(made)).pages)
    assert all(missed.at in told for missed in one.works[0].missed)


def rounds_of(plan: Plan, many: int) -> Sheet:
    """So many rounds of 5 and 8, one rep every three seconds, a no-rep first."""
    played = Played(plan).go()
    played.press(3, NoRep(faults=("depth",)))
    for place in range(13 * many + 2):
        played.press(3 * place + 6, Rep())
    assert played.refusals == []
    return sheet_of(played.lane)


def test_many_rounds_of_few_movements_have_a_row_each() -> None:
    one = rounds_of(window(), 4)
    (table,) = set_tables(one.works[0].splits)
    assert [head["name"] for head in table["heads"]] == ["Front squat", "Toes to bar"]
    assert table["rows"] == []
    first, *_, last = table["rounds"]
    assert (first["where"], len(table["rounds"])) == ("A 1", 5)
    cells = cast("list[dict[str, str]]", first["cells"])
    assert [(cell["took"], cell["no_reps"]) for cell in cells] == [
        ("0:18", "1"),
        ("0:24", ""),
    ]
    cells = cast("list[dict[str, str]]", last["cells"])
    assert [cell["says"] for cell in cells] == ["2 of 5", ""]
    (table,) = set_tables(rounds_of(window(), 2).works[0].splits)
    assert (len(table["rows"]), table["rounds"]) == (5, [])
    page = " ".join(parsed(sheet_html(one)).texts)
    assert "2 of 5" in page
    assert "2of5" in paper(one)


def test_what_a_stop_held_stands_beside_the_time_of_the_set() -> None:
    held = Played(simple(2)).go()
    held.press(5, Rep())
    held.press(10, Stop(sign="Sharp pain"))
    held.press(30, GoOn(by="Dr. Hurst", by_mistake=False))
    held.press(36, Rep())
    one = sheet_of(held.lane)
    page = "".join(parsed(sheet_html(one)).texts)
    assert "0:36 of it STOP 20.0\u00a0s" in page
    assert "0:36ofitSTOP20.0s" in paper(one)
    many = replace(one.works[0].splits[0], movement="x")
    long = [replace(many, where=f"A {place}") for place in range(1, 5)]
    (table,) = set_tables(long)
    cells = cast("list[dict[str, str]]", table["rounds"][0]["cells"])
    assert cells[0]["held"] == "of it STOP 20.0 s"


def test_no_set_is_torn_from_its_first_time_and_no_number_from_its_unit() -> None:
    one = replace(rounds_of(window(), 2), pace="At x 14 % longer (5 to 8 s): 60 kg")
    texts = " ".join(parsed(sheet_html(one)).texts)
    assert "14\u00a0% longer (5 to 8\u00a0s): 60\u00a0kg" in texts
    page = sheet_html(one)
    for missed in one.works[0].missed:
        where = missed.where.replace(" ", "\u00a0")
        assert f"<b>{where}</b>&nbsp;{missed.at}" in page
    assert Typefaces().fitted(["5\u2003to 8\u00a0s"]) == ["5 to 8\u00a0s"]


def test_a_call_stands_once_with_all_its_times() -> None:
    one = long_heat(10)
    (row,) = missed_rows(one.works[0].missed)
    assert row["when"] == [
        {"where": "A", "at": ", ".join(m.at for m in one.works[0].missed)}
    ]
    words = one.works[0].missed[0].must_be
    assert "".join(parsed(sheet_html(one)).texts).count(words) == 2  # once in a card
    assert all(missed.at in paper(one) for missed in one.works[0].missed)


@pytest.mark.parametrize("many", [0, 10, 60])
def test_no_print_is_smaller_than_six_and_a_half_points(many: int) -> None:
    sizes: list[float] = []

    def note(
        text: str, now: list[float], at: list[float], _: object, pt: float
    ) -> None:
        if text.strip():
            sizes.append(abs(pt * at[3] * now[3]))

    made = sheet_pdf(long_heat(many), Typefaces())
    for page in PdfReader(io.BytesIO(made)).pages:
        page.extract_text(visitor_text=note)
    assert 6.5 <= min(sizes) < 12
    printed = re.search(r"body \{ font-size: ([\d.]+)pt", sheet_html(long_heat(many)))
    assert printed is not None
    assert float(printed[1]) * 0.9 >= 6.5


def test_print_has_no_letters_under_nine_tenths_of_its_own() -> None:
    """One rule makes letters smaller, and none inside of another that does."""
    rules = source("sheet.css").split("@media print")[1]
    small = re.findall(r"font-size: (0?\.\d+)em", rules)
    assert small
    assert {float(size) for size in small} == {0.9}


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
