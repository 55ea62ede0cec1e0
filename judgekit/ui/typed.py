"""What a number typed in a panel comes to."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.checkentry import Check
from judgekit.core.entry import Is, Reading, Rep, WallSet
from judgekit.core.press import Counted, EndLook, ReportSet
from judgekit.core.quantity import show_time
from judgekit.core.tryentry import Bar
from judgekit.ui import panels
from judgekit.ui.effects import Say
from judgekit.ui.panels import TYPED_MOST, Menu, Submit, Swap, Typing
from judgekit.ui.watchpanels import about_before

if TYPE_CHECKING:
    from judgekit.core.press import Act
    from judgekit.core.state import Lane
    from judgekit.ui.panels import Known

# A wall clock so far from this one was misread, or is another heat's.
FAR_OFF_MS = 600_000


# In a report: the set before is meant.
_EARLIER = "b"


def takes(panel: Typing, key: str) -> bool:
    """Whether a key is for what is typed. An empty number takes no 0: that is STOP."""
    if key == "." and panel.what in ("measure", "load"):
        return "." not in panel.typed
    if key == _EARLIER and panel.what == "report":
        return True
    return key.isdecimal() and (bool(panel.typed) or key != "0")


def after_key(panel: Typing, key: str, lane: Lane) -> Typing | None:
    """The panel after one key; None if the key is none of its business."""
    if key == "backspace" and panel.typed:
        return replace(panel, typed=panel.typed[:-1])
    if not takes(panel, key):
        return None
    if key == _EARLIER:
        return about_before(lane, panel)
    return replace(panel, typed=(panel.typed + key)[:TYPED_MOST])


def typed_words(panel: Typing, known: Known) -> str:
    """What the number being typed stands for, once it can be said."""
    if not panel.typed:
        return ""
    match panel.what:
        case "wall":
            shows = panels.wall_ms(panel.typed)
            return "" if shows is None else f"the wall shows {show_time(shows)}"
        case "athlete":
            bib = known.bib(panel.typed)
            return "nobody has it" if bib is None else known.athletes[bib]
        case "measure" | "load":
            return f"{panel.typed} {panel.unit}"
        case _:
            return ""


def typed_act(
    panel: Typing, known: Known, boot_ms: int, heat_ms: int | None
) -> Submit | Swap | Say | Menu:
    """What a whole number does, or the menu that asks whether it is meant."""
    match panel.what:
        case "measure":
            value = _with_unit(panel)
            check = Check(item=panel.item, answer="measured", value=value)
            return Submit(act=check)
        case "load":
            return Submit(act=Bar(load=_with_unit(panel)))
        case "wall":
            return _wall(panel.typed, boot_ms, heat_ms or 0)
        case "athlete":
            bib = known.bib(panel.typed)
            if bib is None:
                return Say(text=f"Nobody has the number {panel.typed}.")
            return Submit(act=Is(bib=bib))
        case "lane":
            return Swap(other=int(panel.typed))
        case "count" if panel.set is not None:
            # What is still being saved moves the count before this has its turn.
            return Submit(act=Counted(to=int(panel.typed), set=panel.set))
        case _:
            return Submit(act=_number_act(panel, int(panel.typed)))


def _number_act(panel: Typing, number: int) -> Act:
    match panel.what:
        case "several":
            return Rep(n=number)
        case "report":
            return ReportSet(n=number, set=panel.set)
        case "by stop":
            return ReportSet(n=number, set=panel.set, at_stop=True)
        case "look":
            return EndLook(seen=number)
        case _:
            return Reading(shows=number)


def _with_unit(panel: Typing) -> str:
    """The number with its unit, as the log keeps it: ".9" is "0.9 m"."""
    number = panel.typed.rstrip(".")
    whole = f"0{number}" if number.startswith(".") else number
    return f"{whole} {panel.unit}"


def _wall(typed: str, boot_ms: int, here: int) -> Submit | Say | Menu:
    shows = panels.wall_ms(typed)
    if shows is None:
        return Say(text=f"{typed} is no time: 130 means 1:30, 10130 means 1:01:30.")
    if abs(shows - here) > FAR_OFF_MS:
        return panels.far_off_menu(shows, here, boot_ms)
    return Submit(act=WallSet(shows_ms=shows))
