"""Faults counted by any set of keys: by movement, athlete, judge, all of them together.

Rows are those of `attempts.py`, of one event or of many. With the fault among the keys
a no-rep counts under each of its reasons, out of the attempts of its group at movements
that can have that fault; without it once. Ways of watching are never added up, and
where nobody counted the attempts there is no rate.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from typing import TYPE_CHECKING, Literal, NamedTuple, get_args

from judgekit.core.plan import PlanCard
from judgekit.core.values import dataclass
from judgekit.review.attempts import athlete_of
from judgekit.review.faults import Rate, rate, worth
from judgekit.review.judged import Watched
from judgekit.review.tallying import Tally, together

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from judgekit.core.people import ShowAs
    from judgekit.core.plan import Member, Plan
    from judgekit.review.attempts import LaneFacts, LaneRows, SetFacts

Key = Literal[
    "movement",
    "fault",
    "athlete",
    "division",
    "part",
    "round",
    "judge",
    "workout",
    "heat",
    "date",
]
KEYS: tuple[Key, ...] = get_args(Key)


class Person(NamedTuple):
    """Somebody of the rows, to be shown as `show` says.

    `person` is who it is over several events, where nobody has one bib.
    """

    bib: str
    name: str
    show: ShowAs
    person: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frequency:
    """No-reps of one group, `of` being its value for each key asked for.

    Values are ids; a part is "A" and a round "A.2", after its workout's id where there
    are several. The fault is empty where no reason was given. `share` is the group's of
    all no-reps counted by the same way of watching; `athletes` had one, of
    `of_athletes` who tried. `good` is None where nobody counted the attempts.
    """

    of: tuple[str, ...]
    watched: Watched
    rate: Rate
    good: int | None
    share: float | None
    athletes: int
    of_athletes: int
    cues: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Frequencies:
    """Groups, most worth acting on first, and who and what they speak of.

    `total` is of judged attempts, `sampled` of those seen in looks, `noticed` the
    no-reps that have no number of attempts. `cards` are those of the highest revision,
    `names` what divisions and workouts are called.
    """

    by: tuple[Key, ...]
    rows: tuple[Frequency, ...]
    total: Rate
    sampled: Rate
    noticed: int
    cards: Mapping[str, PlanCard]
    people: Mapping[str, Person]
    names: Mapping[tuple[Key, str], str]


class _Group(NamedTuple):
    """Values of all keys but the fault, how it was watched, whether it has a rate."""

    of: tuple[str, ...]
    watched: Watched
    rated: bool


@dataclass(slots=True)
class _Found:
    """Tallies of each group by the card of the movement; what lanes say besides."""

    tallies: dict[_Group, dict[str, Tally]] = field(default_factory=dict)
    cards: dict[str, PlanCard] = field(default_factory=dict)
    people: dict[str, Person] = field(default_factory=dict)
    names: dict[tuple[Key, str], str] = field(default_factory=dict)


def frequencies(lanes: Iterable[LaneRows], by: Sequence[Key]) -> Frequencies:
    """The groups of all rows by those keys; the order of the lanes never matters.

    Groups in which nothing was tried and nothing noted are not there.
    """
    lanes = sorted(lanes, key=_order)
    several = len({lane.facts.plan.workout for lane in lanes}) > 1
    found = _Found()
    for lane in lanes:
        _add_names(found, lane.facts.plan)
        _add_lane(found, lane, by, several=several)
    told = [_rows(found, group, by) for group in found.tallies]
    said = [row for rows in told for row in rows if _says(row)]
    rows = _shared(_with_cues(said))
    return Frequencies(
        by=tuple(by),
        rows=tuple(sorted(rows, key=_worth)),
        total=_total(found, "judged"),
        sampled=_total(found, "sampled"),
        noticed=sum(
            tally.no_reps
            for group, of in found.tallies.items()
            if not group.rated
            for tally in of.values()
        ),
        cards=found.cards,
        people=found.people,
        names=found.names,
    )


def _order(lane: LaneRows) -> tuple[str, str, int, str]:
    plan = lane.facts.plan
    return plan.date, plan.heat, plan.lane, plan.bib


def _add_names(found: _Found, plan: Plan) -> None:
    for card in plan.cards:
        known = found.cards.get(card.id)
        if known is None or card.revision >= known.revision:
            found.cards[card.id] = card
    found.names["division", plan.division] = plan.division_name
    found.names["workout", plan.workout] = plan.workout_name


def _add_lane(
    found: _Found, lane: LaneRows, by: Sequence[Key], *, several: bool
) -> None:
    """All rows of a lane; those of one set by one athlete fall into one group."""
    facts = lane.facts
    groups: dict[tuple[int, int, str, Watched], Tally] = {}
    for row in lane.attempts:
        key = (id(row.set), id(row.lane), row.by, row.watched)
        tally = groups.get(key)
        who = athlete_of(facts, row.by)
        if tally is None:
            _add_person(found, facts, row.by, who)
            of = _values(_Of(row.lane, row.set, who, several), by)
            group = _Group(of, row.watched, row.rated)
            tally = groups[key] = _tally(found, group, row.set.card)
        tally.add(row, who)
    told = lane.cues_watched
    for cue in lane.cues:
        who = athlete_of(facts, cue.by)
        of = _values(_Of(cue.lane, cue.set, who, several), by)
        rated = cue.set.rated and told != "reported"
        _add_person(found, facts, cue.by, who)
        _tally(found, _Group(of, told, rated), cue.set.card).cue(cue.fault)


def _tally(found: _Found, group: _Group, card: str) -> Tally:
    return found.tallies.setdefault(group, {}).setdefault(card, Tally())


def _add_person(found: _Found, facts: LaneFacts, by: str, who: str) -> None:
    plan = facts.plan
    known: tuple[Plan | Member, ...] = (plan, *plan.team.members)
    shown = next((one for one in known if one.bib == (by or plan.bib)), None)
    if shown is None:
        # They worked before the lane was another team's; another lane may know them.
        found.people.setdefault(who, Person(by, by, "number"))
    else:
        found.people[who] = Person(shown.bib, shown.name, shown.show)


class _Of(NamedTuple):
    """What a row belongs to."""

    facts: LaneFacts
    set: SetFacts
    who: str
    several: bool


_VALUES: Mapping[Key, Callable[[_Of], str]] = {
    "movement": lambda of: of.set.card,
    "athlete": lambda of: of.who,
    "division": lambda of: of.facts.plan.division,
    "part": lambda of: _placed(of, of.set.part),
    "round": lambda of: _placed(of, _round(of.set)),
    "judge": lambda of: of.facts.judge,
    "workout": lambda of: of.facts.plan.workout,
    "heat": lambda of: of.facts.plan.heat,
    "date": lambda of: of.facts.plan.date,
}


def _round(of: SetFacts) -> str:
    """The round after its part; the part alone where paper does not say the round."""
    return f"{of.part}.{of.key.round}" if of.key.round else of.part


def has_round(value: str) -> bool:
    """Whether a value of the key "round" names one, and no part alone."""
    return value.rpartition(".")[2].isdecimal()


def _placed(of: _Of, place: str) -> str:
    return f"{of.facts.plan.workout} {place}" if of.several else place


def _values(of: _Of, by: Sequence[Key]) -> tuple[str, ...]:
    return tuple(_VALUES[key](of) for key in by if key != "fault")


def _total(found: _Found, watched: Watched) -> Rate:
    of = [
        tally
        for group, by_card in found.tallies.items()
        if group.rated and group.watched == watched
        for tally in by_card.values()
    ]
    return rate(sum(one.no_reps for one in of), sum(one.attempts for one in of))


def _rows(found: _Found, group: _Group, by: Sequence[Key]) -> list[Frequency]:
    tallies = found.tallies[group]
    if "fault" not in by:
        tally = together(tallies.values())
        cues = sum(tally.cues.values())
        return [_row(group.of, group, tally, (tally.no_reps, tally.missing, cues))]
    place = list(by).index("fault")
    faults = {
        fault for tally in tallies.values() for fault in (*tally.reasons, *tally.cues)
    }
    return [
        _fault_row(
            fault,
            _Group((*group.of[:place], fault, *group.of[place:]), *group[1:]),
            [
                tally
                for card, tally in tallies.items()
                if _can_have(found.cards[card], fault, tally)
            ],
        )
        for fault in sorted(faults)
    ]


def _can_have(card: PlanCard, fault: str, tally: Tally) -> bool:
    """Whether a fault can be called there: it is on the card, or was logged there."""
    known = not fault or card.fault(fault) is not None
    return known or fault in tally.reasons or fault in tally.cues


def _fault_row(fault: str, group: _Group, tallies: Sequence[Tally]) -> Frequency:
    tally = together(tallies)
    seen = tally.reasons.get(fault, 0), tally.by.get(fault, set())
    return _row(group.of, group, tally, (*seen, tally.cues.get(fault, 0)))


def _row(
    of: tuple[str, ...],
    group: _Group,
    tally: Tally,
    seen: tuple[int, set[str], int],
) -> Frequency:
    no_reps, missing, cues = seen
    attempts = tally.attempts if group.rated else None
    return Frequency(
        of=of,
        watched=group.watched,
        rate=rate(no_reps, attempts),
        good=None if attempts is None else attempts - tally.no_reps,
        share=None,
        athletes=len(missing),
        of_athletes=len(tally.athletes),
        cues=cues,
    )


def _with_cues(rows: list[Frequency]) -> list[Frequency]:
    """Rows with the cues of those that are nothing but cues, where nothing was tried.

    A cue is in no rate, so it needs no row of its own where the group has one.
    """
    cues: dict[tuple[tuple[str, ...], Watched], int] = {}
    for row in rows:
        if _is_cues(row):
            key = row.of, row.watched
            cues[key] = cues.get(key, 0) + row.cues
    kept = []
    for row in rows:
        if not _is_cues(row):
            more = cues.pop((row.of, row.watched), 0)
            kept.append(replace(row, cues=row.cues + more) if more else row)
    # Where nobody tried, a row with a rate of nothing and one without any are one.
    left = [
        replace(row, cues=cues.pop((row.of, row.watched)))
        for row in rows
        if _is_cues(row) and (row.of, row.watched) in cues
    ]
    return kept + left


def _is_cues(row: Frequency) -> bool:
    return not (row.rate.attempts or row.rate.no_reps)


def _shared(rows: list[Frequency]) -> list[Frequency]:
    """Each row with its share of the no-reps of all rows watched as it was."""
    every: dict[Watched, int] = {}
    for row in rows:
        every[row.watched] = every.get(row.watched, 0) + row.rate.no_reps
    return [
        replace(row, share=row.rate.no_reps / every[row.watched])
        if every[row.watched] and not _is_cues(row)
        else row
        for row in rows
    ]


def _says(row: Frequency) -> bool:
    """Whether there is anything to say: where nobody counted, only what was noted."""
    return bool(row.rate.attempts or row.rate.no_reps or row.cues)


def _worth(row: Frequency) -> tuple[float, int, tuple[str, ...], Watched]:
    """What a coach should act on first; then the more no-reps, then by name."""
    return -worth(row.rate, row.athletes), -row.rate.no_reps, row.of, row.watched
