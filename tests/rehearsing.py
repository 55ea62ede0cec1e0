"""Rehearsals in a test: the cards that come with judgekit, and judges of every kind."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from judgekit.core.entry import NoRep, Rep
from judgekit.core.people import Division, Event
from judgekit.files.library import open_library
from judgekit.files.shelf import Cards
from judgekit.review.performing import Athlete
from judgekit.review.practiceplan import Practice, of_cards, practice
from tests.support import Played

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.core.press import Act
    from judgekit.review.performing import Performed

CARDS = Cards(open_library(), {})
EVENT = Event(
    name="Practice",
    date="2027-05-08",
    divisions=(Division(id="men", name="", standard="men"),),
)


def rehearsal(*ids: str, reps: int = 20) -> Practice:
    found = practice(EVENT, [of_cards(ids)], CARDS, reps)
    assert found is not None
    return found


def athlete(
    found: Practice, *, seed: int = 1, reps: int = 20, percent: int = 100
) -> Athlete:
    return Athlete(found.shows, Random(seed), reps=reps, percent=percent)  # noqa: S311 - reps, not secrets


def right(shown: Performed) -> Act:
    """The press that a rep deserves."""
    return NoRep(faults=(shown.fault,)) if shown.fault else Rep()


def called(
    found: Practice,
    performer: Athlete,
    judge: Callable[[Performed], list[tuple[int, Act]]],
) -> Played:
    """A whole rehearsal; `judge` says when after a rep's words came what is pressed."""
    played = Played(found.plan).go()
    waiting: list[tuple[int, Act]] = []
    while not performer.is_done or waiting:
        if waiting and (performer.is_done or waiting[0][0] <= performer.due_ms):
            at, act = waiting.pop(0)
            played.press(at / 1000, act)
            continue
        before = len(performer.performed)
        performer.look(performer.due_ms, played.lane)
        for shown in performer.performed[before:]:
            waiting += [(shown.at_ms + after, act) for after, act in judge(shown)]
            waiting.sort(key=lambda one: one[0])
    return played
