"""The log as a panel: the newest entries, and what can be done about each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import doubt, looking
from judgekit.core.entry import NoRep, Reading, Rep
from judgekit.core.press import (
    Act,
    AnswerExtra,
    CountAgain,
    Name,
    TakeBackOne,
    WasClose,
)
from judgekit.reports.names import answer_words
from judgekit.ui.panels import MOST, Choice, Menu, Older, Submit
from judgekit.ui.views import history
from judgekit.ui.views.phase import voiding

if TYPE_CHECKING:
    from judgekit.core.entry import Entry
    from judgekit.core.state import Lane
    from judgekit.ui.panels import Known


def log_menu(lane: Lane, known: Known, skip: int = 0) -> Menu:
    """The newest entries but so many, each leading to what can be done about it."""
    found = history.newest(lane, skip + MOST + 1, known.judges)[skip:]
    more = len(found) > MOST
    choices = [
        Choice(
            says=history.stamped(lane, entry, known.judges),
            leads=_about(lane, entry, known),
        )
        for entry in found[: MOST - 1 if more else MOST]
    ]
    if more:
        older = Older(skip=skip + len(choices))
        choices.append(Choice(says="older ones", leads=older))
    title = "THE LOG, newest first" if not skip else "THE LOG, older ones"
    return Menu(opener="log", title=title, choices=tuple(choices))


def _about(lane: Lane, entry: Entry, known: Known) -> Menu:
    says = history.stamped(lane, entry, known.judges)
    at = lane.when(entry)
    gone = {taken.target for taken in lane.taken_back}
    choices: list[Choice] = []
    if entry.ref in gone:
        act: Act = CountAgain(at=at)
        choices.append(Choice(says="count it again", leads=Submit(act=act)))
    elif looking.newest_live(lane, at=at) == entry and at is not None:
        act = TakeBackOne(at=at)
        choices += _of_doubt(lane, entry)
        choices.append(Choice(says="take it back", leads=Submit(act=act)))
        choices += _namings(lane, entry)
        if isinstance(entry.body, Rep | NoRep | Reading):
            close = Submit(act=WasClose(at=at))
            choices.append(Choice(says="that was close", leads=close))
    return Menu(opener="log", title=says, choices=tuple(choices[:MOST]))


def _of_doubt(lane: Lane, entry: Entry) -> list[Choice]:
    """What a press that came too soon was, to be said later than it was asked."""
    at = lane.when(entry)
    found = None if at is None else doubt.stamped(lane, at)
    if found is None or found.entry != entry:
        return []
    return [
        Choice(
            says=answer_words(entry, yes=yes),
            leads=Submit(act=AnswerExtra(yes=yes, at=at)),
        )
        for yes in (True, False)
    ]


def _namings(lane: Lane, entry: Entry) -> list[Choice]:
    if not isinstance(entry.body, NoRep) or entry.set is None:
        return []
    known = looking.reasons_of(lane, entry)
    return [
        Choice(
            says=f"reason {fault.call.lower()}",
            leads=Submit(act=Name(fault=fault.id, at=lane.when(entry))),
        )
        for fault in voiding(lane.plan.card_of(entry.set))
        if fault.id not in known
    ]
