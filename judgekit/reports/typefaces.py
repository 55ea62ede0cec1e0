"""Letters on paper: which fonts have them, and what stands where none has.

A PDF carries its own letters. One broad font comes with the libraries; for letters
that it lacks the fonts of this computer and those of a folder are looked through. A
word that nobody can draw is never drawn as boxes: the name of its script stands there
in brackets, and `lacking` remembers it.
"""

from __future__ import annotations

import unicodedata
from importlib.util import find_spec
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from judgekit.reports.layout import NO_BREAK, visible

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import typst

BASE = "DejaVu Sans"
# Draws every letter as a box with its script's name: no better than none.
_NO_FONT = "Last Resort High-Efficiency"
_REGULAR = 400
# What stands nearly everywhere and surely is in the base font.
_USUAL = frozenset(map(chr, range(0x20, 0x180))) | frozenset("–—…≈·×−•’“”→")  # noqa: RUF001 - typeset signs
_SIGN = "signs"
_SCRIPTS: Mapping[str, str] = {
    "CJK": "Chinese",
    "HIRAGANA": "Japanese",
    "KATAKANA": "Japanese",
    "HANGUL": "Korean",
    "CANADIAN": "Canadian syllabics",
    "OLD": "an old script",
}


class Typefaces:
    """The fonts that texts are set in: more of them as texts need more.

    `folder` holds further fonts. `families` are those in use, the usual one first;
    `lacking` are the scripts that no font here has, each once.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder
        self._covered: set[int] | None = None
        self._others: dict[str, tuple[Path, int]] | None = None
        self._missing: set[str] = set()
        self.families: list[str] = [BASE]
        self.lacking: list[str] = []
        self._fonts: typst.Fonts | None = None

    @property
    def fonts(self) -> typst.Fonts:
        """All fonts that a page may be set in."""
        if self._fonts is None:
            import typst

            self._fonts = typst.Fonts(
                include_system_fonts=False,
                include_embedded_fonts=False,
                font_paths=[str(_shipped())],
            )
        return self._fonts

    def fitted(self, data: object) -> object:
        """The same tables and lists, every text as it can be drawn."""
        if isinstance(data, str):
            return self.spelt(data)
        if isinstance(data, dict):
            return {key: self.fitted(value) for key, value in data.items()}
        if isinstance(data, list | tuple):
            return [self.fitted(value) for value in data]
        return data

    def spelt(self, text: str) -> str:
        """A text as it can be drawn."""
        # A number stays with its unit: of all spaces this one is kept.
        parts = NO_BREAK.join(map(visible, text.split(NO_BREAK)))
        composed = unicodedata.normalize("NFC", parts)
        lacking = self._lacking(composed)
        if not lacking:
            return composed
        words = [self._drawn(word, lacking) for word in composed.split(" ")]
        # Several words of one script are one gap.
        return " ".join(
            word
            for shown, same in groupby(words)
            for word in ([shown] if shown.startswith("[") else same)
            if word
        )

    def _drawn(self, word: str, lacking: set[str]) -> str:
        """A word as it can be drawn: whole, without its signs, or its script's name."""
        scripts = [_script(char) for char in word if char in lacking]
        for script in scripts:
            if script not in self.lacking:
                self.lacking.append(script)
        letters = [script for script in scripts if script != _SIGN]
        if letters:
            return f"[{letters[0]}]"
        return "".join(char for char in word if char not in lacking)

    def _lacking(self, text: str) -> set[str]:
        """The letters of a text that no font has."""
        unusual = {char for char in set(text) - _USUAL if not _is_mute(char)}
        unknown = unusual - self._missing
        if unknown:
            self._missing |= self._sought(unknown)
        return unusual & self._missing

    def _sought(self, wanted: set[str]) -> set[str]:
        """Which letters are left when fonts for them have been looked for."""
        if self._covered is None:
            self._covered = _letters(_shipped() / "DejaVuSans.ttf", 0)
        left = {char for char in wanted if ord(char) not in self._covered}
        if left:
            self._find_others()
        for family, file in (self._others or {}).items() if left else ():
            letters = _letters(*file)
            if any(ord(char) in letters for char in left):
                self.families.append(family)
                self._covered |= letters
                left = {char for char in left if ord(char) not in letters}
            if not left:
                break
        return left

    def _find_others(self) -> None:
        """All families of this computer, once: those of the folder before others."""
        if self._others is not None:
            return
        import typst

        folders = [str(_shipped())]
        if self._folder is not None:
            folders.append(str(self._folder))
        self._fonts = typst.Fonts(
            include_system_fonts=True, include_embedded_fonts=False, font_paths=folders
        )
        found: dict[str, tuple[Path, int]] = {}
        for font in self._fonts.fonts():
            # What lies beside the usual font is for formulas, or all boxes.
            if font.path is None or _shipped() in Path(font.path).parents:
                continue
            upright = (font.style, font.weight) == ("normal", _REGULAR)
            if upright or font.family not in found:
                found[font.family] = Path(font.path), font.index
        usable = [name for name in found if name not in {BASE, _NO_FONT}]
        ordered = sorted(usable, key=lambda name: self._taste(name, found[name][0]))
        self._others = {name: found[name] for name in ordered}

    def _taste(self, family: str, path: Path) -> tuple[bool, bool, bool, str]:
        """What comes first: what was given, then what goes with the usual font."""
        folder = self._folder
        given = folder is not None and folder.resolve() in path.resolve().parents
        return not given, "Mono" in family, "Sans" not in family, family


def lacking_words(scripts: Sequence[str]) -> tuple[str, ...]:
    """Which fonts would have been needed and what stands instead; none if none."""
    if not scripts:
        return ()
    said = (
        f"no font here has {', '.join(scripts)}: such words stand in brackets as the "
        "script's name, signs are left out; install a font that has them, or name the "
        "folder of one with --font-folder"
    )
    return (said,)


def _shipped() -> Path:
    """The folder of the fonts that come with the library that draws charts."""
    found = find_spec("matplotlib")
    if found is None or found.origin is None:
        raise ModuleNotFoundError("matplotlib, whose fonts are used, is not installed")
    return Path(found.origin).parent / "mpl-data" / "fonts" / "ttf"


def _letters(path: Path, index: int) -> set[int]:
    """The letters that a font file has; none of one that cannot be read."""
    from fontTools.ttLib import TTFont, TTLibError

    try:
        with TTFont(path, fontNumber=index, lazy=True) as font:
            return set(font.getBestCmap() or ())
    except (TTLibError, OSError):
        return set()


def _is_mute(char: str) -> bool:
    """Whether a sign only joins or varies others, and has no shape of its own."""
    return unicodedata.category(char) == "Cf" or "VARIATION SELECTOR" in _name(char)


def _script(char: str) -> str:
    if unicodedata.category(char)[0] not in "LMN":
        return _SIGN
    first = _name(char).split(" ")[0]
    return _SCRIPTS.get(first, first.split("-")[0].title()) or _SIGN


def _name(char: str) -> str:
    return unicodedata.name(char, "")
