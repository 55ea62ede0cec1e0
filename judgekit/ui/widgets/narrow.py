"""The Floor on a small screen: the count, the keys and the movement before all else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.panels import Menu, Typing
from judgekit.ui.text import fitting, joined, width_of, wrapped
from judgekit.ui.widgets import parts
from judgekit.ui.widgets.block import block_lines
from judgekit.ui.widgets.row import Row, filled, run, written
from judgekit.ui.widgets.side import KEY_COLUMNS, panel_rows, side_rows

if TYPE_CHECKING:
    from judgekit.ui.panels import Panel
    from judgekit.ui.views.floor import FloorView
    from judgekit.ui.widgets.laying import Over

# Rows of small and of large figures, the columns a count of three takes in them, and
# the screen from which on the large ones have room.
_SMALL, _LARGE = 5, 10
_COUNT_COLUMNS = {_SMALL: 25, _LARGE: 30}
_LARGE_FROM = (56, 12)
# Below the figures: what they are of, and what comes next.
_BELOW = 2
# Columns of the calls where there is room for what must be there, and for NO REP large.
_SIDE = 30
_WORD = 23
_CLOCK = 6
# With fewer rows there is one line for what was judged, asked or told.
_ROOMY = 16
# Rows of what a scripted athlete does; few reps need one more.
_SHOWN = 3
_STOP = "0 STOP"
_TOO_SMALL = "TOO SMALL, counting goes on"
_MANY = 99


def narrow_rows(view: FloorView, over: Over, columns: int, height: int) -> list[Row]:
    """Rows for a screen that is narrow or low."""
    head = parts.top(view, max(_CLOCK, width_of(view.clock) + 1), 1, columns)
    if over.performs is not None and over.panel is None:
        # What the athlete does needs the row more than the clock does.
        head = parts.performed(over.performs, columns, _SHOWN)
    if over.panel is not None:
        below = _with_panel(view, over, over.panel, columns, height - len(head))
        return [*head, *below]
    roomy = height >= _ROOMY
    foot = parts.foot(view, over, columns) if roomy else _foot(view, over, columns)
    # What is said just now may cover who works here, but neither the count nor a key.
    named = over.performs is None
    if named and height - len(foot) - len(head) - 1 > _SMALL + _BELOW:
        where = (view.letters,) if view.letters else view.place
        head.append(parts.ends(view.athlete, where, ("text", "soft"), columns))
    # The load and the height need the room more than what no-reps are measured by.
    no_reps = view.no_reps if columns >= _LARGE_FROM[0] else view.no_reps[-1:]
    head.append(parts.ends(view.movement, no_reps, ("key", "text"), columns))
    cap = "" if view.cap in written(head[0]) else view.cap
    middle = _middle(view, over, cap, columns, height - len(head) - len(foot))
    return [*head, *middle, *foot]


def _with_panel(
    view: FloorView, over: Over, panel: Panel, columns: int, rows: int
) -> list[Row]:
    """A panel, and below it its keys; it covers the count, and so shows it.

    What asks or warns keeps a row; what was told has what the panel leaves.
    """

    def drawn(room: int) -> list[Row]:
        return list(panel_rows(panel, over.typed_for, view.small, columns, room))

    room = rows - 1
    spare = room - len(drawn(_MANY))
    said = parts.banner(view, over, columns, min(max(1, spare), parts.MOST_LINES))
    told = min(spare - len(said), parts.MOST_LINES)
    said += parts.notice(view, over, columns, told)
    room -= len(said)
    shown = parts.exactly(drawn(room), room, columns)
    return [*shown, *said, parts.keys(view, over, columns)]


def _foot(view: FloorView, over: Over, columns: int) -> list[Row]:
    """Two rows, and more only for what must be said: the count has to stay whole."""
    told = bool(parts.notice(view, over, columns))
    said = parts.banner(view, over, columns, parts.MOST_LINES - told)
    said += parts.notice(view, over, columns, parts.MOST_LINES - len(said))
    last = [] if over.performs is not None else [parts.last(view, columns)]
    rows = said or last
    least = _BELOW if over.performs is None else 1
    quiet = len(said) < least or view.saved != "saved"
    return [*rows, parts.keys(view, over, columns)] if quiet else rows


def _middle(
    view: FloorView, over: Over, cap: str, columns: int, rows: int
) -> list[Row]:
    # Where pads say what keys do, the count has the room, also while one is asked.
    alone = not view.calls and not view.hint
    wide = columns >= _LARGE_FROM[0] or alone
    large = wide and rows >= _LARGE_FROM[1] - alone
    count = _LARGE if large else _SMALL
    longest = max((width_of(call.call) for call in view.calls), default=0)
    left = max(_COUNT_COLUMNS[count], columns - _SIDE - 1)
    left = min(left, max(_COUNT_COLUMNS[_SMALL], columns - longest - KEY_COLUMNS - 1))
    side = columns - left - 1
    words = parts.large_words(view, over) if side >= _WORD else ()
    shown = bool(words) or not alone
    calls = list(side_rows(view.calls, words, side, rows)) if shown else []
    lines = _left(view, over, cap, (left, count), rows)
    return parts.side_by_side(lines, calls, (left, side), rows)


def _left(
    view: FloorView, over: Over, cap: str, size: tuple[int, int], rows: int
) -> list[Row]:
    """The count, below it what it is of, what comes next, and what else has room."""
    columns, count = size
    if over.trial is None:
        lines = [*block_lines((view.big,), (), columns, count)]
        lines += [""] * (count - len(lines))
        lines.append(joined(filter(None, (view.beside, view.mark)), columns))
    else:
        lines = [*block_lines(over.trial.big, (), columns, count + 1)]
        lines += [""] * (count + 1 - len(lines))
    spare = rows - len(lines) - 1
    if spare > 0:
        lines.append(parts.bar(view.done, view.target, columns))
    lines.append(fitting(view.following, columns))
    if spare > 1:
        lines.append(cap)
    return [(run(line, "text", columns),) for line in lines]


# --- too small for anything but the count -------------------------------------------


def tiny_rows(view: FloorView, over: Over, width: int, height: int) -> tuple[Row, ...]:
    """What a judge must know first; nothing pushes the count and STOP out."""
    first = [t for text in first_words(view, over) for t in wrapped(text, width, _MANY)]
    count = joined((view.small, _STOP), width)
    stop = [] if _STOP in count else [_STOP]
    if width < width_of(view.small) or (first and height == 1):
        count = view.big
    if first and height == 1:
        count = f"{count} {first[0]}"
    must = [count, *stop]
    room = max(0, height - len(must))
    lines = [*first[:room], *must]
    why = wrapped(_TOO_SMALL, width, _MANY)
    if not first or len(lines) + len(why) <= height:
        lines += why
    lines = [*lines, view.clock, *[""] * height]
    return tuple(filled([run(line, "bold", width)], width) for line in lines[:height])


def first_words(view: FloorView, over: Over) -> list[str]:
    """What is asked, warned of or told, where nothing else has room."""
    warns = view.banner if view.banner_kind in ("ask", "quiet", "alarm") else ""
    waits = view.saved if view.saved != "saved" else ""
    asked = over.trial.says if over.trial is not None else ""
    panel = _small_panel(over.panel) if over.panel is not None else ""
    texts = (
        over.performs or "",
        warns,
        "  ".join(over.flash),
        asked,
        waits,
        over.notice,
        panel,
    )
    return [text for text in texts if text]


def _small_panel(panel: Panel) -> str:
    """An open panel in a window that has no room for it."""
    if isinstance(panel, Menu):
        choices = (f"{n} {c.says}" for n, c in enumerate(panel.choices, 1))
        return "  ".join((f"{panel.title}:", *choices))
    typed = f" {panel.typed}_" if isinstance(panel, Typing) else ""
    return f"{panel.title}{typed}"
