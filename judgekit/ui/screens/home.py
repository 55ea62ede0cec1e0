"""Home: the heats and lanes of an event, how far each is, and one to open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from judgekit.ui.compat import SureTimers
from judgekit.ui.keys import dead_key, latin_of, name_of
from judgekit.ui.text import cut, packed, plain, styled, width_of, wrapped
from judgekit.ui.views.home import HeatRow, ToAll, ToBrief, Wanted
from judgekit.ui.widgets.line import Line

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult


# The widest that numbers and names may be beside how far a lane is, and the least room
# that is left for that; with less it stands below.
_NAME_MOST = 26
_STATE_LEAST = 24
_STATE_LINES = 3
_GAP = 2
# Columns of the list's scrollbar, and blank ones at both ends.
_BAR = 1
_ENDS = 2
_KEYS = ("arrows choose", "a all lanes", "b briefs", "enter opens", "q leaves")
_EMPTY = ("No heats yet: write them in heats.csv.", "q leaves")
# What the list itself answers to.
_LIST_KEYS = frozenset({"up", "down", "home", "end", "pageup", "pagedown", "enter"})


class HomeScreen(SureTimers, Screen[None], inherit_bindings=False):
    """A plain list: arrows choose, Enter opens, a opens all lanes, q leaves."""

    class Chosen(Message):
        """A lane or a heat to open, or one to brief; None to leave."""

        def __init__(self, row: Wanted | None) -> None:
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
        self._show_keys()

    def on_resize(self) -> None:
        heats = self.query_one("#heats", OptionList)
        for number, prompt in enumerate(self._prompts(self.size.width)):
            heats.replace_option_prompt(f"row-{number}", prompt)
        self._show_keys()

    def _prompts(self, columns: int) -> list[Content]:
        """Each lane as it is listed, with one width for all names."""
        longest = max((width_of(_name(row)) for row in self._rows), default=0)
        wide = min(longest, _NAME_MOST)
        return [_row(row, wide, columns - _BAR) for row in self._rows]

    def _show_keys(self, says: str = "") -> None:
        """The keys, after what one of them has just not done."""
        keys = _KEYS if self._rows else _EMPTY
        lines = packed(keys, self.size.width, 3)
        above = [says] if says else []
        self.query_one("#homekeys", Line).show(*above, *lines, layout=True)

    def on_key(self, event: events.Key) -> None:
        key = name_of(event.key, event.character)
        if key is None or key in _LIST_KEYS:
            return
        event.stop()
        known = latin_of(key) or key
        if known == "q":
            self.post_message(self.Chosen(None))
        elif known == "b" and self._rows:
            self.post_message(self.Chosen(ToBrief(row=self._highlighted())))
        elif known == "a" and self._rows:
            self.post_message(self.Chosen(ToAll(row=self._highlighted())))
        else:
            self._show_keys(dead_key(key, "here"))

    def _highlighted(self) -> HeatRow:
        """The lane that stands out; the first one while none does."""
        option = self.query_one("#heats", OptionList).highlighted_option
        return self._rows[0 if option is None else _number(option)]

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.post_message(self.Chosen(self._rows[_number(event.option)]))

    def _options(self) -> list[Option]:
        options: list[Option] = []
        heat = ""
        prompts = self._prompts(self.app.size.width - _ENDS)
        for number, (row, prompt) in enumerate(zip(self._rows, prompts, strict=True)):
            if row.heat != heat:
                heat = row.heat
                head = styled(
                    f"Heat {heat}   {row.start}   {row.workout}", "bold $blue"
                )
                options.append(Option(head, disabled=True))
            options.append(Option(prompt, id=f"row-{number}"))
        return options


def _number(option: Option) -> int:
    """Which row an option stands for."""
    return int((option.id or "").removeprefix("row-"))


def _lane(row: HeatRow) -> str:
    return f"  lane {row.lane:>2}  "


def _name(row: HeatRow) -> str:
    return f"{row.bib}  {row.name}".rstrip()


def _row(row: HeatRow, wide: int, columns: int) -> Content:
    """A lane, its name, and how far it is: beside it, below it where room is short."""
    lane = _lane(row)
    start = len(lane) + wide + _GAP
    beside = columns - start >= _STATE_LEAST
    room = wide if beside else columns - len(lane)
    name = cut(_name(row), max(1, room))
    indent = start if beside else len(lane)
    apart = start - len(lane) - width_of(name)
    between = " " * apart if beside else "\n" + " " * indent
    state = wrapped(row.state, max(1, columns - indent), _STATE_LINES)
    return Content.assemble(
        # No colour of its own: it must stay readable on the chosen row.
        plain(lane),
        styled(name, "bold"),
        between,
        Content("\n" + " " * indent).join(map(plain, state)),
    )
