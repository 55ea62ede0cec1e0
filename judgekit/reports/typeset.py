"""PDF pages: a template of ours in typst's language, and what it shows as data.

Data never becomes a part of the template, so no name or note can be markup or a
command. The same data give the same bytes. A template finds its data as `data`; its
fonts are set already, and every text in it can be drawn (see `typefaces.py`).
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING

import typst

from judgekit.reports.typefaces import Typefaces

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

_BEFORE = """\
#let data = json(bytes(sys.inputs.data))
#let pictures = json(bytes(sys.inputs.pictures))
#set text(font: json(bytes(sys.inputs.families)), fallback: false, lang: "en")
"""
_PAGES = re.compile(rb"/Type/Pages/Count (\d+)")
# When a file was made is no part of what it says.
_NO_TIME = 0


def pdf(
    template: str,
    data: Mapping[str, object],
    faces: Typefaces | None = None,
    pictures: Sequence[str] = (),
) -> bytes:
    """The pages of a template as PDF; `data` are tables, lists, texts and numbers.

    `faces` are the fonts; whoever makes many files shares them, and reads there what
    no font could draw. `pictures` are SVG of ours, spelt by the same fonts.
    """
    used = Typefaces() if faces is None else faces
    shown = json.dumps(used.fitted(data), ensure_ascii=False, allow_nan=False)
    compiler = typst.Compiler(root=Path(__file__).parent, font_paths=used.fonts)
    made = compiler.compile(
        (_BEFORE + template).encode(),
        format="pdf",
        sys_inputs={
            "data": shown,
            "families": json.dumps(used.families),
            "pictures": json.dumps(pictures),
        },
        timestamp=_NO_TIME,
    )
    if not isinstance(made, bytes):
        raise TypeError("typst made no single file")
    return made


def on_one_page(
    template: str, tries: Iterable[Mapping[str, object]], faces: Typefaces
) -> bytes:
    """The first of some data that makes one page; the last as many as it takes."""
    made = b""
    for data in tries:
        made = pdf(template, data, faces)
        if pages_of(made) == 1:
            break
    return made


def pages_of(made: bytes) -> int:
    """How many pages a file of ours has."""
    found = _PAGES.search(made)
    return 0 if found is None else int(found[1])
