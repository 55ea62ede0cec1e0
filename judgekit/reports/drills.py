"""The skill block for the next class, and whether the one before moved anything.

JSON: `format` (1), `date`, `minutes`, `drills` (movement, fault, call, cue, drill,
must_be, minutes, watched_minutes, attempts, no_reps, rate, low, high, who, names and
had, how often each of them had it) and `before`: `date` and `drills` of what was
planned last time, with what came of it. `who` are the bibs, over a season ids as
`athlete_id` has them; `names` are theirs as shown.
"""

from __future__ import annotations

import json
from collections import Counter
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports.frequencies import person_words
from judgekit.reports.names import asks_words, counted_words, listed, shown_name
from judgekit.reports.page import Page, Row, Section
from judgekit.reports.ratewords import (
    COUNTS,
    attempts_words,
    change_words,
    likely,
    numbers,
    out_of,
    percent,
    rounded,
)
from judgekit.review.skillplan import Kept, Moved, SkillPlan, planned_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.review.faults import Rate
    from judgekit.review.sessions import FaultKey
    from judgekit.review.skillplan import Drill

FORMAT = 1
_SHOWN = 8
# Whoever had so much of a fault together needs its drill first, if they are so few.
_FIRST, _SO_MUCH = 3, 2 / 3
_NOTHING = (
    "Nothing to plan for: no fault with a rate was called twice, or the cards have "
    "those faults no more."
)
_MOVED = (
    "Fewer or more is said only where chance alone would hardly do it; else more "
    "attempts are needed."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """An event's block, and what was planned before with what came of it.

    `notes` are what to mind about who is who.
    """

    event: str
    plan: SkillPlan
    before: Kept | None = None
    moved: tuple[Moved, ...] = ()
    notes: tuple[str, ...] = ()


def drills_page(report: Report) -> Page:
    """The page for the coach."""
    plan = report.plan
    minutes = (
        counted_words(plan.minutes, "minutes") if plan.drills else "nothing to plan"
    )
    return Page(
        title=f"{report.event}: skill block for the next class",
        under=f"After {plan.date}: {minutes}" if plan.date else minutes,
        sections=(
            _before(report),
            _block(plan),
            Section(title="Who is who", lines=report.notes),
        ),
    )


def _before(report: Report) -> Section:
    if report.before is None:
        return Section(title="Planned before")
    asked = sum(one.by is not None for one in report.moved)
    return Section(
        title=f"Planned after {report.before.date}: did it move?",
        leads=True,
        rows=tuple(
            Row(
                label=f"{one.planned.movement}: {one.planned.call}",
                says=one.verdict,
                more=tuple(_moved(one, asked)),
            )
            for one in report.moved
        ),
        lines=(_MOVED,),
    )


def moved_words(report: Report) -> Iterator[str]:
    """In one sentence what became of the faults that were planned for."""
    if report.before is None or not report.moved:
        return
    found: dict[str, list[str]] = {}
    for one in report.moved:
        name = f"{one.planned.movement}: {one.planned.call}"
        found.setdefault(one.verdict, []).append(name)
    told = "; ".join(f"{said}: {', '.join(of)}" for said, of in found.items())
    yield f"Of what was planned to be drilled after {report.before.date}: {told}"


def told_of(report: Report, day: str) -> frozenset[FaultKey]:
    """The faults that were planned for after a day."""
    if report.before is None or report.before.date != day:
        return frozenset()
    return planned_of(report.before)


def _moved(one: Moved, asked: int) -> Iterator[str]:
    if one.now is None or one.by is None:
        yield f"then {out_of(one.then)}; the movement was not judged on this day"
        return
    change = change_words(one.by.by, one.by.low, one.by.high)
    yield f"now {out_of(one.now)}, then {out_of(one.then)}; {change}"
    if one.by.is_clear and one.verdict == "cannot tell yet":
        why = _chance(asked)
        yield f"The range leaves out nought, but {why}: more attempts will tell."


def _chance(asked: int) -> str:
    """Why a range that leaves out nought does not show yet that anything moved."""
    if asked > 1:
        return (
            f"{asked} faults were looked at, and by chance alone one of several may "
            "move as far"
        )
    return "in so few attempts chance alone may move it as far"


def _block(plan: SkillPlan) -> Section:
    if not plan.drills:
        return Section(title="Skill block", lines=(_NOTHING,))
    return Section(
        title=f"Skill block, {counted_words(plan.minutes, 'minutes')}",
        leads=True,
        rows=tuple(
            Row(
                label=f"{number}. {drill.movement}: {drill.call}",
                says=asks_words(drill.must_be) or _to_do(drill),
                more=tuple(_drill(drill)),
            )
            for number, drill in enumerate(plan.drills, 1)
        ),
    )


def _to_do(drill: Drill) -> str:
    return f"{_minutes(drill.minutes)}: {drill.drill}"


def advice_words(plan: SkillPlan) -> Iterator[str]:
    """What to do next class in plain words: what is asked, and who needs it first."""
    for number, drill in enumerate(plan.drills, 1):
        asked = f' ("{drill.must_be}")' if drill.must_be else ""
        yield (
            f"Next class, {number}: {drill.movement}: {drill.call}{asked}, "
            f"{_for_whom(drill)}"
        )


def _for_whom(drill: Drill) -> str:
    """The few who had most of it, and how much; else that it is for all."""
    few = _few(times) if (times := _times(drill)) else None
    if few is None:
        return f"for all: {_so_many(drill)} had it"
    lead = "first for" if few < len(times) else "for"
    names = listed([f"{name} ({n})" for name, n in times[:few]])
    return f"{lead} {names}: {_had(times[:few])} of {_had(times)} no-reps"


def _few(times: Sequence[tuple[str, int]]) -> int | None:
    """How many had most of it, if they are few.

    Whoever had it as often as the last of them is one of them.
    """
    for last in range(_FIRST):
        few = sum(n >= times[last][1] for _, n in times)
        if few > _FIRST:
            return None
        if _had(times[:few]) >= _SO_MUCH * _had(times):
            return few
    return None


def _had(times: Sequence[tuple[str, int]]) -> int:
    return sum(n for _, n in times)


def _so_many(drill: Drill) -> str:
    """How many had it; of how many who tried, where that is known."""
    many = len(drill.who)
    if drill.of_athletes is None:
        return counted_words(many, "athletes")
    return f"{many} of {counted_words(drill.of_athletes, 'athletes')}"


def _times(drill: Drill) -> list[tuple[str, int]]:
    """How often each name had it, the most often first; none where it is not told."""
    times: Counter[str] = Counter()
    for person, n in zip(drill.who, drill.had, strict=bool(drill.had)):
        times[person_words(person)] += n
    return times.most_common()


def _who(drill: Drill) -> list[str]:
    """Who had it, each name once, and how often where that is told."""
    times = [f"{name} ({n})" for name, n in _times(drill)]
    return times or list(dict.fromkeys(map(person_words, drill.who)))


def _drill(drill: Drill) -> Iterator[str]:
    if drill.must_be:
        yield _to_do(drill)
    if drill.cue:
        yield f"Cue: {drill.cue}"
    watched = f"reps watched for {drill.call}, called as in a heat"
    yield f"{_minutes(drill.watched)}: {watched}"
    yield f"For: {who_words(drill)}"
    yield f"Called {called_words(drill.rate)}"


def called_words(rate: Rate) -> str:
    """How often: "14 of 318 attempts, 4.4 % (likely 2.6 to 7.3 %)"."""
    if rate.rate is None:
        return attempts_words(rate)
    few = "; few attempts" if rate.is_small else ""
    return f"{attempts_words(rate)}, {percent(rate.rate)} (likely {likely(rate)}{few})"


def who_words(drill: Drill) -> str:
    """Who needs it, most often first, each name once; not more than are read."""
    names = _who(drill)
    more = len(names) - _SHOWN
    rest = f" and {more} more" if more > 0 else ""
    return f"{', '.join(names[:_SHOWN])}{rest}"


def _minutes(many: int) -> str:
    return f"{many} min"


def as_json(report: Report) -> str:
    """The report as the module's docstring says."""
    plan = report.plan
    data = {
        "format": FORMAT,
        "date": plan.date,
        "minutes": plan.minutes,
        "drills": [_drill_data(drill) for drill in plan.drills],
        "before": None
        if report.before is None
        else {
            "date": report.before.date,
            "drills": [_moved_data(one) for one in report.moved],
        },
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def _counts(rate: Rate) -> dict[str, object]:
    return dict(zip((c.key for c in COUNTS), numbers(rate), strict=True))


def _drill_data(drill: Drill) -> dict[str, object]:
    return {
        "movement": drill.movement,
        "fault": drill.of.fault,
        "call": drill.call,
        "cue": drill.cue,
        "drill": drill.drill,
        "must_be": drill.must_be,
        "minutes": drill.minutes,
        "watched_minutes": drill.watched,
        **_counts(drill.rate),
        "who": [person.person or person.bib for person in drill.who],
        "names": [shown_name(one.name, one.show, one.bib) for one in drill.who],
        "had": list(drill.had),
    }


def _moved_data(one: Moved) -> dict[str, object]:
    return {
        "movement": one.planned.movement,
        "fault": one.planned.of.fault,
        "verdict": one.verdict,
        "then": _counts(one.then),
        "now": None if one.now is None else _counts(one.now),
        "difference": None if one.by is None else rounded(one.by.by),
        "difference_low": None if one.by is None else rounded(one.by.low),
        "difference_high": None if one.by is None else rounded(one.by.high),
    }
