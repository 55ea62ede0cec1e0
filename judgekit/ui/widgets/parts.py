"""Rows of the Floor that more than one layout shows: above and below the count."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.text import cut, fitting, joined, width_of, wrapped
from judgekit.ui.widgets.block import block_lines
from judgekit.ui.widgets.row import Row, fit, run

if TYPE_CHECKING:
    from judgekit.ui.views.floor import FloorView
    from judgekit.ui.widgets.laying import Over
    from judgekit.ui.widgets.row import Tone

# Lines that a question or a notice may take before it is cut.
MOST_LINES = 3
_MANY = 99
_LAST_GAP = 5


def blank(columns: int) -> Row:
    """An empty row."""
    return (run("", "text", columns),)


def exactly(rows: list[Row], many: int, columns: int) -> list[Row]:
    """So many rows: cut, or filled with empty ones."""
    return (rows + [blank(columns)] * (many - len(rows)))[: max(0, many)]


def side_by_side(
    left: list[Row], right: list[Row], columns: tuple[int, int], rows: int
) -> list[Row]:
    """Two columns with one blank between them, so many rows of each."""
    apart = run("", "text", 1)
    ways = exactly(left, rows, columns[0]), exactly(right, rows, columns[1])
    return [(*a, apart, *b) for a, b in zip(*ways, strict=True)]


def ends(
    left: tuple[str, ...],
    right: tuple[str, ...],
    tones: tuple[Tone, Tone],
    columns: int,
) -> Row:
    """Both ends of a row, said as fully as fits.

    The right one is shortened first, unless that would not keep the left one whole.
    """
    fits = (way for way in right if width_of(f"{left[-1]} {way}") <= columns)
    end = next(fits, fitting(right, columns // 2))
    wide = min(width_of(end), columns)
    room = columns - wide
    said = cut(fitting(left, room - 1), room - 1)
    return run(said, tones[0], room), (fit(end, wide), tones[1])


def top(view: FloorView, clock: int, clock_rows: int, columns: int) -> list[Row]:
    """The workout, its cap and the clock, in block figures where there is room."""
    figures = block_lines((view.clock,), (), clock, clock_rows)
    room = columns - clock
    # The cap gives way before the heat and lane do.
    least = width_of(view.where) + _TITLE_GAP + min(width_of(view.workout), _WORKOUT)
    wide = width_of(view.cap) if least + width_of(view.cap) < room else 0
    first = (
        run(_title(view, room - wide - 1), "bold", room - wide),
        run(view.cap, "soft", wide),
        run(figures[0], "bold", clock, right=True),
    )
    more: list[Row] = [
        (run("", "text", room), run(line, "bold", clock, right=True))
        for line in figures[1:]
    ]
    return exactly([first, *more], clock_rows, columns)


# So much of a workout's long name stays beside the cap.
_WORKOUT = 16
_TITLE_GAP = 3


def _title(view: FloorView, columns: int) -> str:
    """The workout and where: a long name is cut before the heat and lane are."""
    room = columns - width_of(view.where) - _TITLE_GAP
    workout = f"{cut(view.workout, room)}{' ' * _TITLE_GAP}" if room > 1 else ""
    return f"{workout}{view.where}"


def performed(text: str, columns: int, least: int) -> list[Row]:
    """What a scripted athlete does: all of it, in so many rows at least."""
    lines = wrapped(text, columns, _MANY)
    rows: list[Row] = [(run(line, "head", columns),) for line in lines]
    return exactly(rows, max(least, len(rows)), columns)


def banner(
    view: FloorView, over: Over, columns: int, most: int = MOST_LINES
) -> list[Row]:
    """What asks or warns, in as many rows as it takes."""
    kind: Tone = "bold"
    text = view.banner
    if over.flash and not view.banner:
        text, kind = "  ".join(over.flash), "alarm"
    elif over.trial is not None:
        text, kind = over.trial.says, "ask"
    elif view.banner_kind:
        kind = "key" if view.banner_kind == "quiet" else view.banner_kind
    return _lines(text, kind, columns, most)


def notice(
    view: FloorView, over: Over, columns: int, most: int = MOST_LINES
) -> list[Row]:
    """What was told last, in as many rows as it takes."""
    return _lines(over.notice or "   ".join(view.flags[-1:]), "notice", columns, most)


def _lines(text: str, tone: Tone, columns: int, most: int) -> list[Row]:
    if not text or most < 1:
        return []
    if width_of(text) <= columns:
        return [(run(text, tone, columns),)]
    return [(run(line, tone, columns),) for line in wrapped(text, columns, most)]


def last(view: FloorView, columns: int) -> Row:
    """The newest entries, as many as fit whole."""
    line = joined(view.last, columns, _LAST_GAP, in_order=True)
    return (run(line, "text", columns),)


def keys(view: FloorView, over: Over, columns: int) -> Row:
    """The keys of the moment (an open panel's own), and whether all is saved."""
    tone: Tone = "soft" if view.saved == "saved" else "waiting"
    room = columns - width_of(view.saved) - 1
    ways = joined(over.panel_keys or view.hint, room), ""
    return ends(ways, (view.saved,), ("soft", tone), columns)


def foot(
    view: FloorView, over: Over, columns: int, most: int = MOST_LINES
) -> list[Row]:
    """Four rows or more below the count, each in its place; `most` for a notice."""
    empty = [blank(columns)]
    return [
        *(banner(view, over, columns) or empty),
        last(view, columns),
        *(notice(view, over, columns, most) or empty),
        keys(view, over, columns),
    ]


def bar(done: int, target: int, columns: int) -> str:
    """One box for each rep where they fit, else the share done.

    As many as can be done have no box: more of them than fit would look cut off.
    """
    if not target:
        return ""
    if target * 2 <= columns:
        return " ".join("■" * done + "□" * (target - done))
    if target <= columns:
        return "■" * done + "□" * (target - done)
    full = done * columns // target if target else 0
    return "█" * full + "░" * (columns - full)


def large_words(view: FloorView, over: Over) -> tuple[str, ...]:
    """What covers the calls: not while a reason is asked for.

    Two reasons share a line, so that NO REP stays large.
    """
    if not over.flash:
        return view.large
    no_rep, *reasons = over.flash
    return (no_rep, " + ".join(reasons)) if reasons else ()
