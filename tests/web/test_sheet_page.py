"""Reports in Chromium: whole on a phone; a sheet one A4 page in print, alone."""

from __future__ import annotations

import base64
import io
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from judgekit.cli.demo import prepare
from judgekit.reports.layout import Column, Table
from judgekit.reports.page import Page, Row, Section, page_html
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
