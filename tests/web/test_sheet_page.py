"""An athlete's sheet in Chromium: whole on a phone, one A4 page in print, alone."""

from __future__ import annotations

import base64
import io
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from judgekit.cli.demo import prepare
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
