"""How much room a sheet takes on paper, reckoned before its page is set.

These are the distances and sizes of `sheet.typ`, in em. To set a page takes long, so
the size of its letters and what stands in which of its two columns are not tried out.
What is a little wrong here costs another try, or leaves one column longer than it might
be; nothing is cut off.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import chain, pairwise
from typing import TYPE_CHECKING, Any, NamedTuple
from unicodedata import east_asian_width

from judgekit.reports.layout import NO_BREAK

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

# The texts of a sheet, as its templates have them.
Texts = Mapping[str, Any]

# A page within its margins, in points.
_WIDE, _HIGH = 544.2, 790.8
# Of an em: from a line's foot to the tops of its letters, and between two lines.
_LINE, _LEADING = 0.76, 0.45
_PARAGRAPHS, _ABOVE_COLUMNS, _BETWEEN_COLUMNS = 0.55, 0.92, 1.6
_SMALL = 0.9
# Above and below what stands in a cell, together; right of it.
_CELL, _GAP = 0.4, 0.8
# How wide it is set what was held of a time.
_HELD = 4
# Many pieces, and what a movement is called, share what a table has left.
_MANY, _OF_REST = 12, 1.7 / 2.7
# How wide letters of the usual font are; others are as wide as most.
_MOST, _BOLD, _SQUARE = 0.62, 1.12, 1.0
# Chinese, Japanese and Korean letters, each of which may begin a line; words of others.
_PARTS = re.compile(
    "[\u2e80-\u9fff\uac00-\ud7a3\uf900-\ufaff\uff01-\uff60]|"
    "[^\u2e80-\u9fff\uac00-\ud7a3\uf900-\ufaff\uff01-\uff60]+"
)
_HAIR = 0.001
_WIDTHS = {
    char: wide
    for chars, wide in (
        ("ijlIJ'|", 0.28),
        (f" {NO_BREAK},.:;/f·", 0.33),
        ("()[]tr-!", 0.39),
        ("szc?", 0.53),
        ("LFkvxy", 0.57),
        ("KAVBRXZCU", 0.69),
        ("HNDGOQ", 0.77),
        ("0123456789", 0.636),
        ("+=<>≈w", 0.835),
        ("mMW%@", 0.96),
    )
    for char in chars
}


class Part(NamedTuple):
    """A part of the two columns, by its name in the template, and of which work."""

    part: str
    of: int = 0


class _Block(NamedTuple):
    """Something with a height, and how far it keeps from what is above and below."""

    above: float
    height: float
    below: float = 0


class Laid(NamedTuple):
    """What stands in the two columns, and which share of one page all of it fills."""

    columns: tuple[Sequence[Part], Sequence[Part]]
    room: float


_Blocks = Mapping[Part, Sequence[_Block]]


def parts_of(shown: Texts) -> list[Part]:
    """All that stands in the columns, in the order in which it is read."""
    return [*chain(*map(_whole, _told(shown))), *_more(shown)]


def laid(shown: Texts, size: float) -> Laid:
    """A sheet on one page with letters of a size, whether it has room for it or not.

    One work is parted into its course and what did not count, several stand below each
    other as they come. What is left over goes below the shorter column, one by one.
    """
    wide = _WIDE / size / 2 - _BETWEEN_COLUMNS / 2
    blocks = {part: list(_part(shown, part, wide)) for part in parts_of(shown)}
    works = [_whole(place) for place in _told(shown)]
    if len(works) == 1:
        works = [[part] for part in works[0]]
    left, right = _halves(works, blocks)
    for part in _more(shown):
        is_left = _column(left, blocks) <= _column(right, blocks)
        (left if is_left else right).append(part)
    high = max(_column(left, blocks), _column(right, blocks))
    return Laid((left, right), size * (_head(shown, _WIDE / size) + high) / _HIGH)


def _told(shown: Texts) -> list[int]:
    """Which works have anything to tell."""
    return [
        place
        for place, one in enumerate(shown["works"])
        if one["tables"] or one["missed"] or one["noted"]
    ]


def _whole(place: int) -> list[Part]:
    return [Part("course", place), Part("faults", place)]


def _halves(
    works: Sequence[list[Part]], blocks: _Blocks
) -> tuple[list[Part], list[Part]]:
    """Works in two columns, the first ones left, so that the longer one is short."""
    ways = [
        (list(chain(*works[:many])), list(chain(*works[many:])))
        for many in range(bool(works), max(1, len(works)))
    ]
    return min(ways, key=lambda of: max(_column(one, blocks) for one in of))


def _column(parts: Iterable[Part], blocks: _Blocks) -> float:
    return _stacked([block for part in parts for block in blocks[part]])


def _more(shown: Texts) -> Iterator[Part]:
    if shown["signs"]:
        yield Part("care")
    if shown["rules"]:
        yield Part("rules")
    yield Part("small")


# --- heights, in em ------------------------------------------------------------------


def _part(shown: Texts, part: Part, wide: float) -> Iterator[_Block]:
    if part.part == "course":
        yield from _course(shown["works"][part.of], wide)
    elif part.part == "faults":
        yield from _faults(shown["works"][part.of], wide)
    elif part.part == "care":
        yield _heading(1)
        yield from (_Block(0.4, _high(line, wide)) for line in shown["signs"])
        yield from _print(shown["care"], wide)
    else:
        yield _heading(1)
        yield from _print(shown[part.part], wide)


def _print(lines: Iterable[str], wide: float) -> Iterator[_Block]:
    return (_Block(0.4, _high(line, wide, _SMALL)) for line in lines)


def _heading(size: float = 1.25) -> _Block:
    return _Block(1, _LINE * size + 0.25, 0.5)


def _course(work: Texts, wide: float) -> Iterator[_Block]:
    yield _heading()
    if work["picture"] is not None:
        strips = 1.5 * len(work["picture"]["strips"]) + 0.9
        yield _Block(0, _SMALL * (strips + _PARAGRAPHS + _LINE))
    for table in work["tables"]:
        yield _Block(_SMALL * _PARAGRAPHS, _SMALL * _sets(table, wide / _SMALL))


def _sets(table: Texts, wide: float) -> float:
    """A table with a row for each round, and what its cells are; or one of sets."""
    if table["rounds"]:
        heads = [f"{one['name']} {one['small']}" for one in table["heads"]]
        each = [wide / len(heads) - 1.5 * _GAP] * len(heads)
        rows = [map(_cell, of["cells"]) for of in table["rounds"]]
        return _rows([heads, *rows], each) + _PARAGRAPHS + _LINE
    rows = table["rows"]
    narrow = {"where": "Set", "done": "Done", "took": "Took", "no_reps": "No-reps"}
    left = wide - sum(_needed(rows, *of) + _GAP for of in narrow.items())
    pieces = _needed(rows, "pieces", "Pieces") + _GAP
    if any(len(row["pieces"]) > _MANY for row in rows):
        pieces = left * (1 - _OF_REST)
    widths = (left - pieces - _GAP, pieces - _GAP, _HELD)
    cells = [(_moved(row), row["pieces"], _took(row)) for row in rows]
    return _rows([("Movement", "Pieces", ""), *cells], widths)


def _needed(rows: Sequence[Texts], key: str, head: str) -> float:
    """How wide a column is where nothing is broken."""
    held = _HELD if key == "took" and any(row["held"] for row in rows) else 0
    return max(_BOLD * _wide(head), held, *(_wide(row[key]) for row in rows))


def _cell(one: Texts) -> str:
    return " ".join((one["took"], one["held"], one["says"], one["no_reps"] and "1+"))


def _moved(row: Texts) -> str:
    return f"{row['movement']} {row['small']}"


def _took(row: Texts) -> str:
    """A time, which fills a line, and what of it was held."""
    return f"{row['took']:.<9} {row['held']}" if row["held"] else row["took"]


def _faults(work: Texts, wide: float) -> Iterator[_Block]:
    if work["missed"]:
        yield _Block(0.8, _LINE)
        if work["lost"]:
            yield _Block(0.4, _high(work["lost"], wide))
        words = wide / _SMALL
        cells = [
            (
                f"{one['movement']}: {one['call']}, {one['must_be']}",
                " ".join(map(_when, one["when"])),
            )
            for one in work["missed"]
        ]
        widths = (0.66 * words - _GAP, 0.34 * words - _GAP)
        yield _Block(_PARAGRAPHS, _SMALL * _rows([("", ""), *cells], widths))
        if work["missed_rules"]:
            yield _Block(
                _SMALL * _PARAGRAPHS, _high(work["missed_rules"], wide, _SMALL)
            )
    if work["noted"]:
        yield _Block(_SMALL * 0.8, _SMALL * _LINE)
        yield from (
            _Block(_SMALL * 0.4, _high(words, wide, _SMALL)) for words in work["noted"]
        )


def _when(one: Texts) -> str:
    where: str = one["where"].replace(" ", NO_BREAK)
    return f"{where}{NO_BREAK}{one['at']}"


def _head(shown: Texts, wide: float) -> float:
    """All that stands above the columns."""
    blocks = [
        _Block(0, _high(shown["title"], wide, 2)),
        _Block(0.6, _high(shown["under"], wide)),
        _Block(0.8, _beside(3, shown["scores"], _score, wide)),
    ]
    if shown["well"]:
        blocks += _heading(), _Block(0, _high(" ".join(shown["well"]), wide))
    blocks.append(_heading())
    if shown["nothing"]:
        blocks.append(_Block(0, _high(shown["nothing"], wide)))
    if shown["lessons"]:
        blocks.append(_Block(0, _lessons(shown["lessons"], wide)))
    if shown["pace"]:
        blocks.append(_Block(0.5, _high(shown["pace"], wide)))
    if shown["since"]:
        lines = shown["since"]["lines"]
        half = wide / 2 - _BETWEEN_COLUMNS / 2
        high = _stacked([_Block(0.4, _high(line, half)) for line in lines])
        blocks += _heading(), _Block(0, high / 2)
    return _stacked(blocks) + _ABOVE_COLUMNS


def _score(one: Texts, wide: float) -> Iterator[_Block]:
    yield _heading()
    if one["score"]:
        size = 1.5 if one["is_long"] else 2.4
        yield _Block(0.5, _high(one["score"], wide, size * _BOLD))
    if one["place"]:
        yield _Block(0.5, _high(one["place"], wide, 1.3))
    yield from (_Block(0.4, _high(line, wide)) for line in one["lines"])
    if one["steps"]:
        # A step is never broken, and they stand wider apart than words.
        steps = " ··".join(
            f"{step['label']} {step['value']}".replace(" ", NO_BREAK)
            for step in one["steps"]
        )
        yield _Block(0.4, _high(steps, wide, _SMALL))


def _lessons(every: Sequence[Texts], wide: float) -> float:
    """They stand beside each other, an em apart, in 0.7 em of their colour."""
    each = (wide + 1) / len(every) - 1 - 1.4
    return 1.4 + max(_stacked(list(_lesson(one, each))) for one in every)


def _lesson(one: Texts, wide: float) -> Iterator[_Block]:
    yield _Block(0, _high(one["title"], wide / _BOLD))
    yield _Block(0.5, _high(one["says"], wide))
    if one["cue"]:
        yield _Block(0.5, _high(f"Think: {one['cue']}", wide / _BOLD))
    if one["drill"]:
        yield _Block(0.5, _high(f"Practise: {one['drill']}", wide))


def _beside(
    many: int,
    cells: Sequence[Texts],
    blocks: Callable[[Texts, float], Iterable[_Block]],
    wide: float,
) -> float:
    """Rows of so many cells, each as high as its highest."""
    many = max(1, min(many, len(cells)))
    each = (wide + _BETWEEN_COLUMNS) / many - _BETWEEN_COLUMNS
    high = [_stacked(list(blocks(one, each))) for one in cells]
    rows = [max(high[at : at + many]) for at in range(0, len(high), many)]
    return sum(rows) + 0.6 * (len(rows) - 1)


# --- texts ---------------------------------------------------------------------------


def _stacked(blocks: Sequence[_Block]) -> float:
    """Of two that keep apart the greater distance counts; what is first keeps none."""
    apart = (max(one.below, other.above) for one, other in pairwise(blocks))
    return sum(block.height for block in blocks) + sum(apart)


def _rows(rows: Iterable[Iterable[str]], widths: Sequence[float]) -> float:
    """Rows of a table, each as high as the longest of its texts once broken."""
    return sum(_CELL + _of_lines(max(map(_lines, cells, widths))) for cells in rows)


def _high(text: str, wide: float, size: float = 1) -> float:
    return size * _of_lines(_lines(text, wide / size))


def _of_lines(many: int) -> float:
    return many * (_LINE + _LEADING) - _LEADING


def _lines(text: str, wide: float) -> int:
    """How many lines a text takes, broken between words, or Chinese letters."""
    many, left = 1, wide
    for word in text.split(" "):
        for part in _PARTS.findall(word) or ("",):
            needs = _wide(part)
            if needs > left + _HAIR and left < wide:
                many, left = many + 1, wide
            left -= needs
        left -= _WIDTHS[" "]
    return many


@lru_cache(4096)
def _wide(word: str) -> float:
    return sum(_WIDTHS.get(char) or _unusual(char) for char in word)


def _unusual(char: str) -> float:
    return _SQUARE if east_asian_width(char) in "WF" else _MOST
