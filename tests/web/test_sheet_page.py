"""Reports in Chromium: whole on a phone; a sheet one A4 page in print, alone."""

from __future__ import annotations

import base64
import io
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from judgekit.cli.demo import prepare
from judgekit.reports.chart import bars_of
from judgekit.reports.layout import Column, Table
from judgekit.reports.page import Page, Row, Section, page_html
from judgekit.review.faults import rate
from tests.cli.running import run
from tests.web.browser import CHROMIUM, chromium

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="there is no Chromium here")
# What is cut off at the right, or has to be scrolled to.
BEYOND = """[...document.querySelectorAll("body *")]
  .filter((one) => one.getBoundingClientRect().right > innerWidth + 1)
  .map((one) => one.tagName)"""


async def test_every_sheet_of_the_demo_is_whole_on_a_phone_and_one_page_in_print(
    tmp_path: Path,
) -> None:
    event = tmp_path / "demo"
    prepare(event)
    assert run("athlete", event, "--all").code == 0
    paths = sorted((event / "out" / "athletes").glob("*.html"))
    assert len(paths) == 12
    async with chromium() as tab:
        page, small = await tab(390, 844), await tab(320, 640)
        for path in paths:
            title = path.stem
            for phone in (page, small):
                await phone.open(path.as_uri())
                await phone.until(f"document.title.startsWith({title!r})")
                assert await phone.js(BEYOND) == [], title
            made = await page.call("Page.printToPDF", preferCSSPageSize=True)
            printed = PdfReader(io.BytesIO(base64.b64decode(made["data"])))
            assert len(printed.pages) == 1, title
        fetched = [url for url in page.requests if not url.startswith("file:")]
        assert fetched == page.problems == []


async def test_the_demo_s_report_is_short_on_a_phone_and_whole_in_print(
    tmp_path: Path,
) -> None:
    event, path = tmp_path / "demo", tmp_path / "report.html"
    prepare(event)
    run("report", event, "--format", "html", "--out", path)
    async with chromium() as tab:
        phone = await tab(390, 844)
        await phone.open(path.as_uri())
        await phone.until("document.title.includes('report for the coach')")
        assert await phone.js(BEYOND) == []
        closed = await phone.js("document.documentElement.scrollHeight")
        await phone.js("for (const d of document.querySelectorAll('details')) d.open=1")
        opened = await phone.js("document.documentElement.scrollHeight")
        await phone.js("for (const d of document.querySelectorAll('details')) d.open=0")
        assert isinstance(closed, int)
        assert isinstance(opened, int)
        assert closed < 6500
        assert opened > 1.5 * closed
        made = await phone.call("Page.printToPDF", preferCSSPageSize=True)
        pages = PdfReader(io.BytesIO(base64.b64decode(made["data"]))).pages
        printed = "\n".join(page.extract_text() for page in pages)
        printed = printed.replace("\u00a0", " ")
        # Rows that were closed, without what would open them.
        for words in ("Wall-ball shot: CONTROL", "KNEES OUT", "114 of 128"):
            assert words in printed
        assert "more rows" not in printed
        fetched = [url for url in phone.requests if not url.startswith("file:")]
        assert fetched == phone.problems == []


async def test_a_page_with_names_of_one_long_word_is_whole_on_a_phone(
    tmp_path: Path,
) -> None:
    name = "W" * 40
    columns = tuple(Column(name=f"{n}", key=f"{n}") for n in range(5))
    many = Table(title="t", columns=columns, rows=((name, "a", name, name, "b"),))
    rows = (Row(label="For", says=f"{name} and others"), Row(label=name, says="x"))
    section = Section(title=name, lines=(name,), rows=rows, tables=(many,))
    path = tmp_path / "page.html"
    path.write_text(page_html(Page(title=name, under=name, sections=(section,))))
    async with chromium() as tab:
        for width in (320, 390, 600):
            # Without touch: a page too wide would make the touched screen wider.
            page = await tab(width, 844, touch=False)
            await page.open(path.as_uri())
            await page.until(f"document.title == {name!r}")
            assert await page.js(BEYOND) == [], width


async def test_rows_with_bars_are_whole_at_any_width_whatever_the_names(
    tmp_path: Path,
) -> None:
    name = "W" * 40
    keys = ("athlete", "no_reps", "likely", "most_often")
    table = Table(
        title=name,
        columns=tuple(Column(name=key, key=key) for key in keys),
        rows=((name, "12 of 345, 6.7 %", "10.0 to 100.0 %", name),) * 12,
        bars=bars_of([rate(1, 2)] * 12),
    )
    path = tmp_path / "page.html"
    section = Section(title=name, tables=(table,))
    path.write_text(page_html(Page(title=name, sections=(section,), kind="report")))
    async with chromium() as tab:
        for width in (320, 390, 600, 700, 900, 1200):
            page = await tab(width, 844, touch=False)
            await page.open(path.as_uri())
            await page.until(f"document.title == {name!r}")
            assert await page.js(BEYOND) == [], width
            bars = "[...document.querySelectorAll('td.bar')].map(b => b.offsetWidth)"
            wide = await page.js(bars)
            assert isinstance(wide, list)
            # Those that are closed on a phone have no width; all others are alike.
            assert len({one for one in wide if one}) == 1, width
            assert max(wide) > 60, width
