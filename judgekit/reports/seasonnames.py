"""What a season's ids are called: names for people, calls for faults."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import TYPE_CHECKING

from judgekit.reports.layout import Cell, Column
from judgekit.reports.names import NO_REASON, OFF_CARD
from judgekit.review.season import call_key, calls_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.review.season import Fault, Word

# What ids are called, by words.
Names = Mapping[str, Mapping[str, str]]
_UNJOINED = (
    "Athletes without an id in people.csv count as another person in each event "
    "({many} here). Give each an id there, the same in every event, and ask again."
)
_ALONE, _JOINED, _TEAM = "bib:", "id:", "team:"
_ATHLETE_ID = Column(name="Athlete's id", key="athlete_id")
# Words whose values are ids that have names.
_NAMED: tuple[Word, ...] = ("movement", "athlete", "division", "workout", "judge")
# Words that data has as they are in the event's files.
_PLAIN: tuple[Word, ...] = ("fault", "judge")


def unjoined(names: Names, events: int) -> tuple[str, ...]:
    """That some people cannot be joined, and what to do, if there is anything to join.

    They are found by their bib in one event, as nothing else tells who they are.
    """
    alone = sum(who.startswith(_ALONE) for who in names.get("athlete", ()))
    if not alone or events <= 1:
        return ()
    return (_UNJOINED.format(many=alone),)


def told_apart(names: Names) -> Names:
    """The names for people: who shares theirs has it with what tells them apart.

    That is the bib and its event; of those with ids, who have many bibs, which of them
    it is. An id may be a name that is not to be shown, so only data has it.
    """
    athletes = names.get("athlete", {})
    alike = Counter(athletes.values())
    of: dict[str, list[str]] = {}
    for who, name in sorted(athletes.items()):
        if who.startswith(_JOINED):
            of.setdefault(name, []).append(who)
    apart = {
        who: name if alike[name] == 1 else f"{name} ({_beside(who, name, of)})"
        for who, name in athletes.items()
    }
    return {**names, "athlete": apart}


def _beside(who: str, name: str, of: Mapping[str, list[str]]) -> str:
    if who.startswith(_JOINED):
        return f"{of[name].index(who) + 1} of {len(of[name])} with an id"
    # Whose name is the bib, as a team's is, has it once.
    return who.removeprefix(_ALONE).removeprefix(_TEAM).removeprefix(f"{name} ")


def named(names: Names, word: Word, value: str) -> Cell:
    """What an id is called; as it is where it has no name."""
    if word in _NAMED:
        return names.get(word, {}).get(value, value)
    return value or None


def call(names: Names, movement: str | None, fault: str) -> str:
    """The call, or the id where no card has it any more.

    Without its movement the id stands beside a call that several faults share.
    """
    if not fault:
        return NO_REASON
    calls = names.get("fault", {})
    if movement is not None:
        return calls.get(call_key(movement, fault)) or f"{fault} ({OFF_CARD})"
    known = [(of.fault, calls[call_key(*of)]) for of in calls_of(calls)]
    found = next((said for of, said in known if of == fault), None)
    if found is None:
        return f"{fault} ({OFF_CARD})"
    alike = {of for of, said in known if said == found}
    return found if len(alike) == 1 else f"{found} ({fault})"


def columns_of(by: Sequence[Word], *, people: bool) -> Iterator[Column]:
    """The columns of what a group is of, as `values` fills them.

    Two people may share a name: data says in a column whose a row is, and people read
    it beside the name (`told_apart`).
    """
    yield from (Column(name=word.capitalize(), key=word) for word in by)
    if "athlete" in by and not people:
        yield _ATHLETE_ID


def values(
    names: Names, by: Sequence[Word], of: Sequence[str], *, people: bool
) -> Iterator[Cell]:
    """What a group is of, by names; people are told faults by their calls."""
    told = dict(zip(by, of, strict=True))
    for word, value in told.items():
        if word == "fault" and people:
            yield call(names, told.get("movement"), value)
        elif word in _PLAIN and not people:
            yield value or (NO_REASON if word == "fault" else None)
        else:
            yield named(names, word, value)
    if "athlete" in told and not people:
        yield told["athlete"]


def fault_cells(names: Names, of: Fault, *, people: bool) -> tuple[Cell, Cell]:
    fault = call(names, of.movement, of.fault) if people else of.fault
    return named(names, "movement", of.movement), fault
