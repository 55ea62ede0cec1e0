"""PDF pages: a template of ours in typst's language, and what it shows as data.

Data never becomes a part of the template, so no name or note can be markup or a
command. The same data give the same bytes. A template finds its data as `data`; its
fonts are set already, and every text in it can be drawn (see `typefaces.py`).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import typst

from judgekit.reports.typefaces import Typefaces

if TYPE_CHECKING:
    from collections.abc import Mapping

_BEFORE = """\
#let data = json(bytes(sys.inputs.data))
#set text(font: json(bytes(sys.inputs.families)), fallback: false, lang: "en")
"""
# When a file was made is no part of what it says.
_NO_TIME = 0


def pdf(
    template: str, data: Mapping[str, object], faces: Typefaces | None = None
) -> bytes:
    """The pages of a template as PDF; `data` are tables, lists, texts and numbers.

    `faces` are the fonts; whoever makes many files shares them, and reads there what
    no font could draw.
    """
    used = Typefaces() if faces is None else faces
    shown = json.dumps(used.fitted(data), ensure_ascii=False, allow_nan=False)
    compiler = typst.Compiler(root=Path(__file__).parent, font_paths=used.fonts)
    made = compiler.compile(
        (_BEFORE + template).encode(),
        format="pdf",
        sys_inputs={"data": shown, "families": json.dumps(used.families)},
        timestamp=_NO_TIME,
    )
    if not isinstance(made, bytes):
        raise TypeError("typst made no single file")
    return made


def lacking_words(faces: Typefaces) -> str:
    """Which fonts would have been needed and what stands instead; empty if none."""
    if not faces.lacking:
        return ""
    of = ", ".join(faces.lacking)
    return (
        f"no font here has {of}: such words stand in brackets as the script's name, "
        "signs are left out; install a font that has them, or name the folder of one "
        "with --font-folder"
    )
