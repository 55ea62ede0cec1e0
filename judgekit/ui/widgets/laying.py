"""Where everything on the Floor stands at each size: rows of exact width.

What matters most is kept longest: the count and what is asked or warned of, then the
clock, the movement and the last entries, then the calls.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from judgekit.ui.effects import Trial
from judgekit.ui.panels import Menu, Panel, Typing
from judgekit.ui.text import packed, width_of, wrapped
from judgekit.ui.widgets.block import block_lines
from judgekit.ui.widgets.row import Row, filled, run
from judgekit.ui.widgets.side import panel_rows, side_rows

if TYPE_CHECKING:
    from judgekit.ui.views.floor import FloorView
    from judgekit.ui.widgets.row import Tone

LAYOUTS = ("tiny", "narrow", "tall", "normal", "wide")
# The least columns and rows of each layout.
_LEAST = (40, 12)
_WHOLE = (80, 24)
_WIDE = (110, 36)
_TALL_ROWS = 34
_ENDS = 2
_MANY = 99


@dataclass(frozen=True, slots=True, kw_only=True)
class Over:
    """What stands over the lane's own texts just now; empty where nothing does."""

    notice: str = ""
    flash: tuple[str, ...] = ()
    trial: Trial | None = None
    panel: Panel | None = None
    typed_for: str = ""
    panel_keys: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """Columns and rows of one layout; 0 leaves a thing out."""

    clock: int = 10
    clock_rows: int = 1
    cap: int = 30
    place: int = 30
    no_reps: int = 30
    saved: int = 24
    side: int = 30
    gap: int = 1
    count: int = 11


_FRAMES = {
    "normal": _Frame(),
    "wide": _Frame(clock=42, clock_rows=5, no_reps=48, side=48, gap=2, count=16),
    "tall": _Frame(cap=0, place=20, no_reps=12, saved=0, side=0),
    "narrow": _Frame(cap=0, place=0, no_reps=12, saved=0, side=0, gap=0, count=5),
}


def layout_for(width: int, height: int) -> str:
    """Which of the layouts fits a screen of so many columns and rows."""
    if width < _LEAST[0] or height < _LEAST[1]:
        return "tiny"
    if width < _WHOLE[0] or height < _WHOLE[1]:
        return "tall" if height >= _TALL_ROWS else "narrow"
    return "wide" if width >= _WIDE[0] and height >= _WIDE[1] else "normal"


def face_rows(view: FloorView, over: Over, width: int, height: int) -> tuple[Row, ...]:
    """All rows of the Floor, each exactly `width` cells."""
    layout = layout_for(width, height)
    if layout == "tiny":
        return _tiny_rows(view, over, width, height)
    columns = width - _ENDS
    narrow = layout == "narrow"
    frame = _FRAMES[layout]
    if narrow and over.panel is not None:
        head = _top(view, frame, columns)
        foot = [_notice(view, over, columns), _foot(view, over, frame, columns)]
        room = height - len(head) - len(foot)
        # The panel covers the count, and so shows it.
        middle = _column(view, over, columns, room, view.small)
    else:
        head = _head(view, frame, columns, narrow=narrow)
        foot = [
            _banner(view, over, columns),
            (run(_last(view, narrow=narrow), "text", columns),),
            _notice(view, over, columns),
            _foot(view, over, frame, columns),
        ]
        middle = _middle(view, over, layout, columns, height - len(head) - len(foot))
    blank = (run("", "text", columns),)
    middle += [blank] * (height - len(head) - len(middle) - len(foot))
    end = run("", "text", 1)
    return tuple((end, *row, end) for row in (*head, *middle, *foot))


# --- above and below --------------------------------------------------------------


def _top(view: FloorView, frame: _Frame, columns: int) -> list[Row]:
    """The workout, its cap and the clock, in block figures where there is room."""
    room = columns - frame.clock - frame.cap
    clock = block_lines((view.clock,), (), frame.clock, frame.clock_rows)
    cap = (run(view.cap, "soft", frame.cap, right=True),) if frame.cap else ()
    rows: list[Row] = [
        (
            run(view.title, "bold", room),
            *cap,
            run(clock[0], "bold", frame.clock, right=True),
        )
    ]
    for line in clock[1:]:
        blank = run("", "text", room + frame.cap)
        rows.append((blank, run(line, "bold", frame.clock, right=True)))
    blank = run("", "text", columns)
    rows += [(blank,)] * (frame.clock_rows - len(rows))
    return rows


def _head(view: FloorView, frame: _Frame, columns: int, *, narrow: bool) -> list[Row]:
    rows = _top(view, frame, columns)
    if narrow:
        rows.append((run(view.place, "soft", columns),))
    else:
        room = columns - frame.place
        place = run(view.place, "soft", frame.place, right=True)
        rows += [
            (run(view.athlete, "text", room), place),
            (run("", "text", columns),),
        ]
    # Where there is little room the set's own number stands alone.
    few = view.no_reps if frame.side else view.no_reps.split(" this")[0]
    few = few if narrow else view.letters or few
    room = columns - frame.no_reps
    no_reps = run(few, "text", frame.no_reps, right=frame.side == 0)
    rows.append((run(view.movement, "key", room), no_reps))
    return rows


def _banner(view: FloorView, over: Over, columns: int) -> Row:
    kind: Tone = "bold"
    text = view.banner
    if over.flash and not view.banner:
        text, kind = "  ".join(over.flash), "alarm"
    elif over.trial is not None:
        text, kind = over.trial.says, "ask"
    elif view.banner_kind:
        kind = "key" if view.banner_kind == "quiet" else view.banner_kind
    return (run(text, kind, columns),)


def _last(view: FloorView, *, narrow: bool) -> str:
    return "     ".join(view.last[:1] if narrow else view.last)


def _notice(view: FloorView, over: Over, columns: int) -> Row:
    return (run(over.notice or "   ".join(view.flags[-1:]), "notice", columns),)


def _foot(view: FloorView, over: Over, frame: _Frame, columns: int) -> Row:
    """The keys that matter now: an open panel's own, while there is one."""
    tone: Tone = "soft" if view.saved == "saved" else "waiting"
    if not frame.saved:
        covers = over.panel_keys and tone == "soft"
        return (run(over.panel_keys if covers else view.saved, tone, columns),)
    saved = run(view.saved, tone, frame.saved, right=True)
    return run(over.panel_keys or view.hint, "soft", columns - frame.saved), saved


# --- the middle ---------------------------------------------------------------------


def _middle(
    view: FloorView, over: Over, layout: str, columns: int, rows: int
) -> list[Row]:
    """The count, and beside or below it the column of calls."""
    frame = _FRAMES[layout]
    if not frame.side:
        left = _left(view, over, frame, columns)
        spare = rows - len(left)
        if layout == "tall":
            return (left + _column(view, over, columns, spare))[:rows]
        packed_ = _spare(view, columns)[: max(0, spare)]
        return (left + [(run(line, "text", columns),) for line in packed_])[:rows]
    left = _left(view, over, frame, columns - frame.side - 1)[:rows]
    side = _column(view, over, frame.side, rows)
    blank = run("", "text", columns - frame.side - 1)
    apart = run("", "text", 1)
    left += [(blank,)] * (rows - len(left))
    side += [(run("", "text", frame.side),)] * (rows - len(side))
    return [(*a, apart, *b) for a, b in zip(left, side, strict=True)]


def _left(view: FloorView, over: Over, frame: _Frame, columns: int) -> list[Row]:
    """The count in block figures, the bar, and what comes next."""
    big = over.trial.big if over.trial is not None else (view.big,)
    beside = _beside(view) if over.trial is None else ()
    lines = block_lines(tuple(big), beside, columns, frame.count)
    lines = ("",) * frame.gap + lines + ("",) * (frame.count - len(lines))
    bar = _bar(view.done, view.target, columns)
    return [(run(line, "text", columns),) for line in (*lines, bar, view.following)]


def _column(
    view: FloorView, over: Over, columns: int, rows: int, count: str = ""
) -> list[Row]:
    """An open panel, else the calls or a word below one blank row."""
    if over.panel is not None:
        return list(panel_rows(over.panel, over.typed_for, count, columns, rows))
    blank = (run("", "text", columns),)
    return [blank, *side_rows(view.calls, _words(view, over), columns, rows - 1)]


def _words(view: FloorView, over: Over) -> tuple[str, ...]:
    """What covers the calls: not while a reason is asked for."""
    return () if len(over.flash) == 1 else over.flash or view.large


def _beside(view: FloorView) -> tuple[str, ...]:
    return (view.beside, "", view.mark) if view.beside or view.mark else ()


def _bar(done: int, target: int, width: int) -> str:
    """One box for each rep where they fit, else the share done."""
    if target * 2 <= width:
        return " ".join("■" * done + "□" * (target - done))
    if target <= width:
        return "■" * done + "□" * (target - done)
    filled_ = done * width // target if target else 0
    return "█" * filled_ + "░" * (width - filled_)


def _spare(view: FloorView, columns: int) -> list[str]:
    """What a narrow screen shows in lines that are left over: the calls first."""
    calls = [f"{row.key} {row.call}" for row in view.calls]
    before = [view.letters] if view.letters else []
    return [
        *packed([*before, *calls, "n NO REP, why next", "0 STOP"], columns),
        *packed((view.athlete, view.cap), columns),
        *packed((view.hint,), columns),
    ]


# --- too small for anything but the count -------------------------------------------


def _tiny_rows(view: FloorView, over: Over, width: int, height: int) -> tuple[Row, ...]:
    """What a judge must know first, then the count, which no other words push out."""
    first = [t for text in _first(view, over) for t in wrapped(text, width, _MANY)]
    count, *why = wrapped(view.too_small, width, _MANY)
    if first and len(first) + 1 + len(why) > height:
        count, why = view.small, []
    if width < width_of(view.small) or (first and height == 1):
        count = view.big
    if first and height == 1:
        count = f"{count} {first[0]}"
    lines = [*first[: height - 1], count, *why]
    lines += [view.clock] * (len(lines) < height)
    lines += [""] * (height - len(lines))
    rows = [filled([run(line, "bold", width)], width) for line in lines[:height]]
    return tuple(rows)


def _first(view: FloorView, over: Over) -> list[str]:
    warns = view.banner if view.banner_kind in ("ask", "quiet", "alarm") else ""
    waits = view.saved if view.saved != "saved" else ""
    asked = over.trial.says if over.trial is not None else ""
    panel = _small_panel(over.panel) if over.panel is not None else ""
    texts = (warns, "  ".join(over.flash), asked, waits, over.notice, panel)
    return [text for text in texts if text]


def _small_panel(panel: Panel) -> str:
    """An open panel in a window that has no room for it."""
    if isinstance(panel, Menu):
        choices = (f"{n} {c.says}" for n, c in enumerate(panel.choices, 1))
        return "  ".join((f"{panel.title}:", *choices))
    typed = f" {panel.typed}_" if isinstance(panel, Typing) else ""
    return f"{panel.title}{typed}"
