"""A skill block for what a season says is most worth acting on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.review.frequencies import Person
from judgekit.review.season import call_key, groups
from judgekit.review.sessions import FaultKey
from judgekit.review.skillplan import LEAST, Drill, SkillPlan, in_minutes

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from judgekit.review.season import Asked, Group

    _Names = Mapping[str, Mapping[str, str]]
    _Who = Mapping[FaultKey, Sequence[tuple[Person, int]]]


def season_plan(season: Asked, names: _Names, day: str) -> SkillPlan:
    """The block after a day; `names` has each fault's call, cue and drill."""
    who = _who(season, names)
    return in_minutes(day, [_drill(one, names, who) for one in _picked(season, names)])


def _picked(season: Asked, names: _Names) -> Iterator[Group]:
    """What can be drilled: with a rate, no chance no-rep, and on a card."""
    seen = set()
    for one in groups(season, ("movement", "fault")):
        known = names.get("fault", {}).get(call_key(*one.of))
        enough = one.rate.rate is not None and one.no_reps >= LEAST
        if known and enough and one.of not in seen:
            seen.add(one.of)
            yield one


def _who(season: Asked, names: _Names) -> _Who:
    """Who had each fault and how often, most often first."""
    found: dict[FaultKey, dict[str, int]] = {}
    for one in season.by(("movement", "fault", "athlete")):
        movement, fault, athlete = one.of
        if one.no_reps:
            key = FaultKey(movement, fault, one.watched)
            of = found.setdefault(key, {})
            of[athlete] = of.get(athlete, 0) + one.no_reps
    called = names.get("athlete", {})
    return {key: [*_people(of, called)] for key, of in found.items()}


def _people(
    no_reps: Mapping[str, int], called: Mapping[str, str]
) -> Iterator[tuple[Person, int]]:
    """Over several events nobody has one bib: the name stands for it."""
    for athlete in sorted(no_reps, key=lambda one: (-no_reps[one], one)):
        name = called.get(athlete, athlete)
        yield Person(name, name, "name", athlete), no_reps[athlete]


def _drill(one: Group, names: _Names, who: _Who) -> Drill:
    movement, fault = one.of
    key, told = FaultKey(movement, fault, one.watched), call_key(movement, fault)
    had = who.get(key, ())
    return Drill(
        of=key,
        movement=names["movement"].get(movement, movement),
        call=names["fault"][told],
        cue=names["cue"].get(told, ""),
        drill=names["drill"].get(told, ""),
        rate=one.rate,
        who=tuple(person for person, _ in had),
        must_be=names["must_be"].get(told, ""),
        had=tuple(n for _, n in had),
    )
