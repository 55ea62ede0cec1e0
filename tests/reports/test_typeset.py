from __future__ import annotations

import io
import unicodedata
from typing import TYPE_CHECKING

import pytest
from fontTools.ttLib import TTFont
from pypdf import PdfReader

from judgekit.reports.typefaces import BASE, Typefaces, _shipped, lacking_words
from judgekit.reports.typeset import on_one_page, pages_of, pdf

if TYPE_CHECKING:
    from pathlib import Path

ROWS = "#for row in data.rows [#row\\ ]"
# A script that has no font anywhere: letters for private use have no shape.
NOWHERE = "\ue000\ue001"


def told(made: bytes) -> str:
    """All text of a PDF, with letters as they are written, not as they are drawn."""
    pages = PdfReader(io.BytesIO(made)).pages
    return unicodedata.normalize("NFKC", "\n".join(p.extract_text() for p in pages))


def made(*rows: str, faces: Typefaces | None = None) -> str:
    return told(pdf(ROWS, {"rows": rows}, faces))


@pytest.mark.parametrize(
    "name",
    [
        '#panic(1) $x$ _Bob_ *b* `r` <l> @r "q" \\',
        '#import "/etc/passwd"',
        "</script><b>bold</b> =1+1 // gone /* gone */",
        "Zoë Łukasz Ştefan Đặng Ñandú",
        "Ελένη Παππά",
        "Дмитрий Жук",
        "Արամ Սարգսյան",
    ],
)
def test_a_name_is_text_and_never_a_command(name: str) -> None:
    assert " ".join(made(name).split()) == " ".join(name.split())


@pytest.mark.parametrize("name", ["שלום לוי", "مرحبا"])
def test_what_is_written_from_the_right_is_drawn(name: str) -> None:
    faces = Typefaces()
    words = made(name, faces=faces)
    # In which order they are read out is the reader's; each letter is there.
    assert sorted(words.replace(" ", "").strip()) == sorted(name.replace(" ", ""))
    assert faces.lacking == []


def test_what_turns_or_hides_text_is_left_out() -> None:
    assert made("Ann\u202eBob\u0007\u2066x") == "AnnBobx"


def test_the_same_data_give_the_same_bytes() -> None:
    rows = {"rows": ["Zoë", 3, 2.5, None, True]}
    template = "#for row in data.rows [#repr(row)]"
    assert pdf(template, rows) == pdf(template, rows)


def test_no_number_that_is_none_reaches_a_page() -> None:
    with pytest.raises(ValueError, match="JSON"):
        pdf(ROWS, {"rows": [float("nan")]})


def test_letters_without_a_font_are_named_and_not_drawn() -> None:
    faces = Typefaces()
    faces._others = {}
    words = made("देव शर्मा 12", "李雷", "Ann 👍", faces=faces)
    assert words.splitlines() == ["[Devanagari] 12", "[Chinese]", "Ann"]
    assert faces.lacking == ["Devanagari", "Chinese", "signs"]
    (said,) = lacking_words(faces.lacking)
    assert "Devanagari, Chinese, signs" in said
    assert lacking_words(()) == ()


def test_letters_that_no_font_can_have_are_left_out() -> None:
    faces = Typefaces()
    assert made(f"Ann{NOWHERE}", faces=faces) == "Ann"
    assert faces.lacking == ["signs"]


def own_font(path: Path) -> None:
    """A font of another name, with one letter more."""
    with TTFont(_shipped() / "DejaVuSansDisplay.ttf") as font:
        for table in font["cmap"].tables:
            if table.format != 0:
                table.cmap[0xE000] = font.getGlyphOrder()[-1]
        for record in font["name"].names:
            if record.nameID in (1, 4, 6):
                record.string = "Ours"
        font.save(path)


def test_a_font_of_the_folder_is_used_before_others(tmp_path: Path) -> None:
    own_font(tmp_path / "ours.ttf")
    faces = Typefaces(tmp_path)
    made("A\ue000", faces=faces)
    assert (faces.families, faces.lacking) == ([BASE, "Ours"], [])
    made(f"A{NOWHERE}", faces=faces)
    assert faces.lacking == ["signs"]


def test_a_broken_font_file_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "broken.ttf").write_bytes(b"\x00\x01\x00\x00 no font")
    assert made(f"Ann{NOWHERE}", faces=Typefaces(tmp_path)) == "Ann"


def test_the_first_data_that_make_one_page_are_set_and_none_after_them() -> None:
    pages = "#range(data.many).map(str).join(pagebreak())"
    tries = iter([{"many": 3}, {"many": 1}, {"many": 2}])
    assert pages_of(on_one_page(pages, tries, Typefaces())) == 1
    assert list(tries) == [{"many": 2}]
    assert pages_of(on_one_page(pages, [{"many": 3}, {"many": 2}], Typefaces())) == 2
