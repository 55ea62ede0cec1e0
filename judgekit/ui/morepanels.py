"""What stands behind `w`: who is where, the start, and what is seldom needed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.checkitems import items
from judgekit.core.entry import (
    Absent,
    Claim,
    ClassOver,
    GoOn,
    Recall,
    WallSet,
    Withdraw,
)
from judgekit.core.lanecheck import checks_in
from judgekit.core.press import WasClose
from judgekit.core.quantity import show_time
from judgekit.ui.panels import (
    MOST,
    Arrives,
    Choice,
    LateGo,
    Menu,
    Submit,
    ToCard,
    Typing,
    Writing,
)
from judgekit.ui.scalepanels import instead_choice
from judgekit.ui.views.phase import shown_set

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.core.classmates import Classmate
    from judgekit.core.state import Lane
    from judgekit.ui.panels import Known

_SIXTIETHS = 59


def stopped_menu(lane: Lane) -> Menu:
    """What may follow a STOP that was no mistake."""
    people = ("head judge", "first aid", "the athlete's coach")
    let_go = [
        Choice(says=f"let go on by {who}", leads=Submit(act=_let_go(who)))
        for who in people
    ]
    return Menu(
        opener="more",
        title=f"STOPPED, {lane.held} held do not count",
        choices=(
            *let_go,
            Choice(says="athlete withdraws", leads=_withdraw_menu()),
            Choice(says="scorecard", leads=ToCard()),
        ),
    )


def _let_go(who: str) -> GoOn:
    return GoOn(by_mistake=False, by=who)


def _withdraw_menu() -> Menu:
    reasons = ("pain or injury", "own choice", "equipment failed")
    return Menu(
        opener="more",
        title="WITHDRAWS, why?",
        choices=tuple(
            Choice(says=why, leads=Submit(act=Withdraw(why=why))) for why in reasons
        ),
    )


def more_menu(lane: Lane, known: Known, at: int | None) -> Menu:
    """What is seldom needed: before go about the day, then about the work too.

    A closed scorecard takes none of it.
    """
    if lane.closed:
        card = Choice(says="scorecard", leads=ToCard())
        return Menu(opener="more", title="CLOSED: nothing changes", choices=(card,))
    again = measure_again(lane) if lane.started and not lane.absent else None
    # The list is full: where there is a thing to measure, absence goes one level down.
    instead = instead_choice(lane, known.written(lane.plan))
    further = {} if instead is None else {"work": instead}
    if again is not None:
        further["absent"] = _absent(lane)
    if known.joins:
        further["new"] = _somebody_new()
    athlete = _athlete(further)
    day = [_judges(lane, known), athlete, again or _absent(lane)]
    choices = [c for c in day if c is not None]
    if lane.started:
        choices = [*_work_choices(lane, at), *choices, *_start_choices()]
    return Menu(opener="more", title="MORE", choices=tuple(choices))


def all_menu(lane: Lane, known: Known, at: int | None) -> Menu:
    """What is about all lanes; `lane` is any that is still in the work."""
    choices = [_somebody_new()] if known.joins else []
    if lane.started and at is not None and at > 0:
        choices.append(Choice(says="class over: time for all", leads=_over_menu()))
    return Menu(opener="more", title="ALL LANES", choices=tuple(choices))


def _somebody_new() -> Choice:
    typed = Writing(opener="new", title="NEW, name?")
    return Choice(says="somebody new, a lane more", leads=typed)


def who_is_it(mates: Sequence[Classmate]) -> Menu:
    """Who of several is meant by a name that was typed; known ones come first."""
    persons = {mate.person for mate in mates}
    divisions = {mate.division for mate in mates}
    choices: list[Choice] = []
    for mate in mates[:MOST]:
        known = "as before" if mate.person == mates[0].person else "somebody new"
        words = [known] if len(persons) > 1 else []
        words += [mate.division] if len(divisions) > 1 else []
        choices.append(Choice(says=", ".join(words), leads=Arrives(mate=mate)))
    title = f"{mates[0].name}, who?"
    return Menu(opener="new", title=title, choices=tuple(choices))


def _over_menu() -> Menu:
    sure = Choice(says="yes: all that is open ends now", leads=Submit(act=ClassOver()))
    return Menu(opener="more", title="TIME for all lanes?", choices=(sure,))


def _work_choices(lane: Lane, at: int | None) -> list[Choice]:
    said = Typing(
        opener="more",
        title="Count you called in this set",
        what="count",
        set=shown_set(lane, at),
    )
    return [
        Choice(says="that was close", leads=Submit(act=WasClose())),
        Choice(says="correct the count", leads=said),
        Choice(says="athlete withdraws", leads=_withdraw_menu()),
    ]


def _start_choices() -> list[Choice]:
    sure = Menu(
        opener="more",
        title="RECALL all lanes?",
        choices=(
            Choice(
                says="false start: everybody back",
                leads=Submit(act=Recall(why="false start")),
            ),
        ),
    )
    wall = Typing(opener="more", title="WALL CLOCK, 130 is 1:30", what="wall")
    clock = Menu(
        opener="more",
        title="LATE START, CLOCK",
        choices=(
            Choice(says="this lane starts now", leads=LateGo()),
            Choice(says="the wall clock shows ..", leads=wall),
        ),
    )
    return [
        Choice(says="recall the start", leads=sure),
        Choice(says="late start, clock", leads=clock),
    ]


def wall_ms(typed: str) -> int | None:
    """A clock's figures as typed, in ms: "130" is 1:30, "11503" 1:15:03.

    None if it is no time.
    """
    hours, seconds = int(typed[:-4] or 0), int(typed[-2:])
    minutes = int(typed[-4:-2] or 0)
    if seconds > _SIXTIETHS or (hours and minutes > _SIXTIETHS):
        return None
    return ((hours * 60 + minutes) * 60 + seconds) * 1000


def far_off_menu(shows_ms: int, heat_ms: int, boot_ms: int) -> Menu:
    """Whether a wall clock that is far from this one was read right."""
    act = Submit(act=WallSet(shows_ms=shows_ms), boot_ms=boot_ms)
    says = f"yes, the wall shows {show_time(shows_ms)}"
    return Menu(
        opener="more",
        title=f"THE CLOCK HERE SHOWS {show_time(max(0, heat_ms))}. Sure?",
        choices=(Choice(says=says, leads=act),),
    )


def _judges(lane: Lane, known: Known) -> Choice | None:
    if not known.judges:
        return None
    covers = looking.read_up_to(lane)
    people = tuple(known.judges.items())[:MOST]
    menu = Menu(
        opener="more",
        title="WHO JUDGES?",
        choices=tuple(
            Choice(says=name, leads=Submit(act=Claim(judge=who, covers=covers)))
            for who, name in people
        ),
    )
    return Choice(says="who judges", leads=menu)


def _athlete(further: Mapping[str, Choice]) -> Choice:
    """Who is in the lane, and what else has no room of its own, by a word each."""
    typing = Typing(opener="more", title="Athlete's number", what="athlete")
    swap = Typing(opener="more", title="Swap with lane", what="lane")
    menu = Menu(
        opener="more",
        title="OTHER ATHLETE HERE",
        choices=(
            Choice(says="type the number", leads=typing),
            Choice(says="swap with another lane", leads=swap),
            *further.values(),
        ),
    )
    words = ", ".join(further)
    says = f"other athlete, {words}" if words else "other athlete here"
    return Choice(says=says, leads=menu)


def measure_again(lane: Lane) -> Choice | None:
    """What of the lane can be measured in mid-heat, None where nothing can."""
    known = items(lane.plan, checks_in(lane.entries))
    choices = tuple(
        Choice(
            says=f"{item.name}, {item.planned}",
            leads=Typing(
                opener="more",
                title=f"{item.name}, in {unit}",
                what="measure",
                item=item.id,
                unit=unit,
            ),
        )
        for item in known
        if item.wanted is not None
        for unit in [_unit(item.wanted.markings[0].unit)]
    )
    if not choices:
        return None
    menu = Menu(opener="more", title="MEASURE AGAIN", choices=choices[:MOST])
    return Choice(says="measure again", leads=menu)


def _unit(written: str) -> str:
    """The unit in which a number alone is typed: feet have too few figures."""
    return "in" if written == "ft" else written


def _absent(lane: Lane) -> Choice:
    says = "here after all" if lane.absent else "athlete is absent"
    return Choice(says=says, leads=Submit(act=Absent(absent=not lane.absent)))
