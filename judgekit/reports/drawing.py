"""What matplotlib drew, as one element of SVG that can stand in any page.

It fetches nothing, its ids are its own, and its texts take the fonts of the page. Our
drawings use five colours that mean something only here; each becomes the page's own,
so a page for browsers may draw them dark or light.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

INK, SOFT, GRID, BACK, MARK = "#010203", "#020304", "#030405", "#040506", "#050607"
_SPACE = "http://www.w3.org/2000/svg"
# Paths that cut off nothing of ours, and what would hold for a whole page.
_UNWANTED = {"metadata", "style", "clipPath"}
_USED = re.compile(r"#([a-z][\w-]*)")
_FAMILY = re.compile(r"font-family: [^;]*;? ?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Paint:
    """What a page draws with: its colours, and its fonts where it has no usual ones."""

    ink: str
    soft: str
    grid: str
    back: str
    mark: str
    families: tuple[str, ...] = ()

    def styled(self, style: str) -> str:
        """A style in the colours and fonts of this page."""
        for drawn, dye in (
            (INK, self.ink),
            (SOFT, self.soft),
            (GRID, self.grid),
            (BACK, self.back),
            (MARK, self.mark),
        ):
            style = style.replace(drawn, dye)
        named = ", ".join(f"'{name}'" for name in self.families)
        return _FAMILY.sub(f"font-family: {named}; " if named else "", style)


BROWSER = Paint(
    ink="var(--ink)",
    soft="var(--soft)",
    grid="var(--line)",
    back="var(--back)",
    mark="var(--mark)",
)


def element(drawn: bytes, title: str, key: str, paint: Paint) -> str:
    """A drawing with its title; `key` keeps its ids apart from all of the page."""
    root = ET.fromstring(drawn)  # noqa: S314 - our own drawing, no file of others
    box = root.attrib["viewBox"]
    for parent in list(root.iter()):
        for child in list(parent):
            if _name(child.tag) in _UNWANTED:
                parent.remove(child)
    used = set(_uses(root))
    for each in root.iter():
        _clean(each, used, key, paint)
    root.attrib.clear()
    root.attrib.update({"xmlns": _SPACE, "viewBox": box})
    named = ET.Element("title")
    named.text = title
    root.insert(0, named)
    return ET.tostring(root, encoding="unicode")


def _name(qualified: str) -> str:
    """The name of an element or attribute without that of its space."""
    return qualified.rpartition("}")[2]


def _uses(root: ET.Element) -> Iterator[str]:
    """The ids that something in the drawing points to."""
    for each in root.iter():
        for name, value in each.attrib.items():
            if _name(name) in {"href", "style"}:
                yield from _USED.findall(value)


def _clean(each: ET.Element, used: set[str], key: str, paint: Paint) -> None:
    """Keep what is drawn of an element, in the page's colours, with ids of its own."""
    each.tag = _name(each.tag)
    if each.tag != "text":
        each.text = None
    each.tail = None
    given = {_name(name): value for name, value in each.attrib.items()}
    each.attrib.clear()
    for name, value in given.items():
        shown = _attribute(name, value, used, key, paint)
        if shown is not None:
            each.set(name, shown)


def _attribute(
    name: str, value: str, used: set[str], key: str, paint: Paint
) -> str | None:
    """An attribute as it stands in the page; None where it says nothing there."""
    match name:
        case "id":
            return f"{key}-{value}" if value in used else None
        case "clip-path":
            return None
        case "href" | "style" | "fill" | "stroke":
            own = _USED.sub(lambda m: f"#{key}-{m[1]}" if m[1] in used else m[0], value)
            return paint.styled(own)
        case "transform" if value.startswith("rotate(-0 "):
            return None
        case _:
            return " ".join(value.split())
