"""Everything seen on the Floor: fixed widgets, each updated in place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.containers import Horizontal, Vertical

from judgekit.ui.controls import Trial
from judgekit.ui.panels import Menu, Panel, Typing
from judgekit.ui.text import packed
from judgekit.ui.widgets.block import Block
from judgekit.ui.widgets.line import Line
from judgekit.ui.widgets.side import Side

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from judgekit.ui.views.floor import FloorView

LAYOUTS = ("tiny", "narrow", "tall", "normal", "wide")
# The least columns and rows of each layout.
_LEAST = (40, 12)
_WHOLE = (80, 24)
_WIDE = (110, 36)
_TALL_ROWS = 34
_BANNERS = ("ask", "alarm", "tell")


def layout_for(width: int, height: int) -> str:
    """Which of the layouts fits a screen of so many columns and rows."""
    if width < _LEAST[0] or height < _LEAST[1]:
        return "tiny"
    if width < _WHOLE[0] or height < _WHOLE[1]:
        return "tall" if height >= _TALL_ROWS else "narrow"
    return "wide" if width >= _WIDE[0] and height >= _WIDE[1] else "normal"


@dataclass(frozen=True, slots=True, kw_only=True)
class Over:
    """What stands over the lane's own texts just now; empty where nothing does."""

    notice: str = ""
    flash: tuple[str, ...] = ()
    trial: Trial | None = None
    panel: Panel | None = None
    typed_for: str = ""


class Face(Vertical, can_focus=False):
    """The Floor's widgets; it shows what it is given and asks nothing."""

    def compose(self) -> ComposeResult:
        yield Line(id="tiny")
        with Horizontal(id="top"):
            yield Line(id="title")
            yield Line(id="cap")
            yield Block(id="clock")
        with Horizontal(id="who"):
            yield Line(id="athlete")
            yield Line(id="place")
        with Horizontal(id="what"):
            yield Line(id="movement")
            yield Line(id="noreps")
        with Horizontal(id="middle"):
            with Vertical(id="left"):
                yield Block(id="count")
                yield Line(id="bar")
                yield Line(id="next")
                yield Line(id="spare")
            yield Side(id="side")
        yield Line(id="banner")
        yield Line(id="last")
        yield Line(id="notice")
        with Horizontal(id="foot"):
            yield Line(id="hint")
            yield Line(id="saved")

    def show(self, view: FloorView, over: Over) -> None:
        """Show a view, and what stands over it."""
        self._show_lines(view, over)
        self._show_banner(view, over)
        self._show_middle(view, over)

    def _show_lines(self, view: FloorView, over: Over) -> None:
        narrow = self.screen.has_class("-narrow")
        texts = {
            "title": view.title,
            "cap": view.cap,
            "athlete": view.athlete,
            "place": view.place,
            "movement": view.movement,
            "noreps": view.no_reps.split(",")[0]
            if narrow
            else view.letters or view.no_reps,
            "next": view.following,
            "last": "     ".join(view.last[:1] if narrow else view.last),
            "notice": over.notice or "   ".join(view.flags[-1:]),
            "hint": view.hint,
            "saved": view.saved,
        }
        for name, text in texts.items():
            self.query_one(f"#{name}", Line).show(text)
        self.query_one("#tiny", Line).show(*_tiny(view, over))
        spare = _spare(view, self.screen.size.width - 2) if narrow else []
        self.query_one("#spare", Line).show(*spare)
        self.query_one("#clock", Block).show((view.clock,))
        self.query_one("#saved").set_class(view.saved != "saved", "-waiting")

    def _show_banner(self, view: FloorView, over: Over) -> None:
        banner = self.query_one("#banner", Line)
        if over.flash and not view.banner:
            text, kind = "  ".join(over.flash), "alarm"
        elif over.trial is not None:
            text, kind = over.trial.says, "ask"
        else:
            text, kind = view.banner, view.banner_kind
        banner.show(text)
        for known in _BANNERS:
            banner.set_class(known == kind, f"-{known}")

    def _show_middle(self, view: FloorView, over: Over) -> None:
        count = self.query_one("#count", Block)
        if over.trial is not None:
            count.show(over.trial.big)
        else:
            count.show((view.big,), _beside(view))
        bar = self.query_one("#bar", Line)
        bar.show(_bar(view.done, view.target, bar.size.width))
        self.query_one("#side", Side).show(
            view.calls,
            panel=over.panel,
            count=f"{view.big} {view.beside}",
            typed_for=over.typed_for,
            words=_words(view, over),
            coloured=not (over.flash or view.phase == "stopped"),
        )


def _words(view: FloorView, over: Over) -> tuple[str, ...]:
    """What covers the calls: not a panel, and not while a reason is asked for."""
    if over.panel is not None or len(over.flash) == 1:
        return ()
    return over.flash or view.large


def _tiny(view: FloorView, over: Over) -> list[str]:
    """What a judge must know first, then the count, then that the window is small."""
    warns = view.banner if view.banner_kind in ("ask", "alarm") else ""
    waits = view.saved if view.saved != "saved" else ""
    asked = over.trial.says if over.trial is not None else ""
    panel = _small_panel(over.panel) if over.panel is not None else ""
    first = (warns, "  ".join(over.flash), asked, waits, over.notice, panel)
    return [*(text for text in first if text), view.too_small]


def _small_panel(panel: Panel) -> str:
    """An open panel in a window that has no room for it."""
    if isinstance(panel, Menu):
        choices = (f"{n} {c.says}" for n, c in enumerate(panel.choices, 1))
        return "  ".join((f"{panel.title}:", *choices))
    typed = f" {panel.typed}_" if isinstance(panel, Typing) else ""
    return f"{panel.title}{typed}"


def _spare(view: FloorView, columns: int) -> list[str]:
    """What a narrow screen shows in lines that are left over: the calls first."""
    calls = [f"{row.key} {row.call}" for row in view.calls]
    before = [view.letters] if view.letters else []
    return [
        *packed([*before, *calls, "n NO REP, why next", "0 STOP"], columns),
        *packed((view.athlete, view.cap), columns),
        *packed((view.hint,), columns),
    ]


def _beside(view: FloorView) -> tuple[str, ...]:
    return (view.beside, "", view.mark) if view.beside or view.mark else ()


def _bar(done: int, target: int, width: int) -> str:
    """One box for each rep where they fit, else the share done."""
    if target * 2 <= width:
        return " ".join("■" * done + "□" * (target - done))
    if target <= width:
        return "■" * done + "□" * (target - done)
    filled = done * width // target if target else 0
    return "█" * filled + "░" * (width - filled)
