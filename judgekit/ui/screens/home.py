"""Home: the heats and lanes of an event, how far each is, and one to open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from judgekit.reports.layout import cell_width
from judgekit.ui.keys import dead_key, latin_of, name_of
from judgekit.ui.text import plain, styled
from judgekit.ui.widgets.line import Line

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult

    from judgekit.ui.views.home import HeatRow

_NAME_WIDE = 26
_KEYS = "arrows choose   enter opens the lane   q leave"
# What the list itself answers to.
_LIST_KEYS = frozenset({"up", "down", "home", "end", "pageup", "pagedown", "enter"})


class HomeScreen(Screen[None], inherit_bindings=False):
    """A plain list: arrows choose, Enter opens, q leaves."""

    class Chosen(Message):
        """A lane to open; None to leave."""

        def __init__(self, row: HeatRow | None) -> None:
            super().__init__()
            self.row = row

    def __init__(self, title: str, rows: tuple[HeatRow, ...]) -> None:
        super().__init__()
        self._title = title
        self._rows = rows

    def compose(self) -> ComposeResult:
        yield Line(id="hometitle")
        yield OptionList(*self._options(), id="heats", markup=False)
        yield Line(id="homekeys")

    def on_mount(self) -> None:
        self.query_one("#hometitle", Line).show(self._title)
        empty = "No heats yet: write them in heats.csv.   q leave"
        self.query_one("#homekeys", Line).show(_KEYS if self._rows else empty)

    def on_key(self, event: events.Key) -> None:
        key = name_of(event.key, event.character)
        if key is None or key in _LIST_KEYS:
            return
        event.stop()
        if (latin_of(key) or key) == "q":
            self.post_message(self.Chosen(None))
        else:
            self.query_one("#homekeys", Line).show(f"{dead_key(key, 'here')}   {_KEYS}")

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        chosen = {f"row-{n}": row for n, row in enumerate(self._rows)}
        self.post_message(self.Chosen(chosen[event.option.id or ""]))

    def _options(self) -> list[Option]:
        options: list[Option] = []
        heat = ""
        for number, row in enumerate(self._rows):
            if row.heat != heat:
                heat = row.heat
                head = styled(
                    f"Heat {heat}   {row.start}   {row.workout}", "bold $blue"
                )
                options.append(Option(head, disabled=True))
            options.append(Option(_row(row), id=f"row-{number}"))
        return options


def _row(row: HeatRow) -> Content:
    name = f"{row.bib}  {row.name}".rstrip()
    space = " " * max(1, _NAME_WIDE - cell_width(name))
    return Content.assemble(
        # No colour of its own: it must stay readable on the chosen row.
        plain(f"  lane {row.lane:>2}  "),
        styled(name, "bold"),
        f"{space}",
        plain(row.state),
    )
