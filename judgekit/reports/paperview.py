"""A lane's sheet as its template needs it: plain texts, in the order of the page."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import TYPE_CHECKING

from judgekit.core.counted import scored_parts
from judgekit.core.onpaper import last_work
from judgekit.core.people import Emergency
from judgekit.core.plan import Plan, PlanCard
from judgekit.core.quantity import show_time
from judgekit.core.resulting import unit_wanted
from judgekit.core.tiebreaks import label_of
from judgekit.core.values import dataclass
from judgekit.reports.briefing import box
from judgekit.reports.inforce import LATE_PRESS, NO_ADVICE, rules_of
from judgekit.reports.look import source
from judgekit.reports.names import beside_bib, shown_name
from judgekit.reports.papersheet import parts_of, voiding

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.reports.typefaces import Typefaces

# How much room each row has, the best first.
_ROOMS = (1.0, 0.85, 0.72)
# Said on the sheet otherwise, or of no use to a pencil.
_SAID = ("watching", LATE_PRESS, "cap", "questions")


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneOnPaper:
    """A lane to print: its plan, and what only the event's files know.

    `chosen` are the cards' settings in force, in the card's own words. Each of two
    judges has a sheet, the `second` with room for a name.
    """

    plan: Plan
    start: str
    judge: str
    emergency: Emergency
    chosen: tuple[tuple[str, str], ...] = ()
    second: bool = False


def each_judges(lane: LaneOnPaper) -> tuple[LaneOnPaper, ...]:
    """A sheet for each judge of the lane; who the second one is nobody has written."""
    if lane.plan.team.judges == 1:
        return (lane,)
    return (lane, replace(lane, judge="", second=True))


def paper_pdf(lanes: Sequence[LaneOnPaper], faces: Typefaces) -> bytes:
    """A sheet of size A5 for each lane; each begins a page of its own.

    Rows stand closer where that saves a page.
    """
    from judgekit.reports.typeset import pages_of, pdf

    data = {"sheets": [view(lane) for lane in lanes]}
    made = [pdf(source("paper.typ"), {**data, "room": room}, faces) for room in _ROOMS]
    return min(made, key=pages_of)


def view(lane: LaneOnPaper) -> dict[str, object]:
    """The texts of one sheet."""
    plan = lane.plan
    return {
        "event": f"{plan.event}, {plan.date}",
        "lane": str(plan.lane),
        "bib": plan.bib,
        "name": _name(plan),
        "division": plan.division_name,
        "workout": f"{plan.workout_name}, revision {plan.revision}",
        "heat": f"heat {plan.heat}, {lane.start}",
        "judge": lane.judge,
        "judging": _judging(lane),
        "members": [
            beside_bib(m.bib, shown_name(m.name, m.show, m.bib))
            for m in plan.team.members
        ],
        "parts": [asdict(part) for part in parts_of(plan)],
        "cap": show_time(plan.cap_ms) if plan.cap_ms else "",
        "done": plan.parts[last_work(plan) - 1].ends_by_work,
        "reps_at": _reps_at(plan),
        "score": _score(plan),
        "each": [m.bib for m in plan.team.members] if plan.team.least else [],
        "ties": [label_of(plan, tie) for tie in plan.tiebreaks],
        "questions": _questions(plan),
        "rules": [
            f"{_capital(rule)}: {value}"
            for rule, value in rules_of(plan)
            if rule not in _SAID
        ],
        "chosen": list(_chosen(lane)),
        "moves": _moves(plan),
        "signs": list(dict.fromkeys(s for card in plan.cards for s in card.stop_signs)),
        "emergency": [list(row) for row in box(lane.emergency)],
        "advice": NO_ADVICE,
    }


def _judging(lane: LaneOnPaper) -> str:
    """Whose sheet it is."""
    judges = lane.plan.team.judges
    return "judge" if judges == 1 else f"judge {1 + lane.second} of {judges}"


def _chosen(lane: LaneOnPaper) -> Iterator[str]:
    """Settings that no call of the movement says already."""
    asked = {must.says for card in lane.plan.cards for must in card.criteria}
    for movement, says in lane.chosen:
        if says not in asked:
            yield f"{movement}: {says}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _name(plan: Plan) -> str:
    """The name as its owner wants it; none where the bib says all."""
    shown = shown_name(plan.name, plan.show, plan.bib)
    return "" if shown == plan.bib else shown


def _reps_at(plan: Plan) -> list[str]:
    """Reps whose time parts ties: "rep 60", or the last one, with its number."""
    named = {"at-rep": "rep {}", "last-rep": "last rep, number"}
    return [
        named[tie.kind].format(tie.number)
        for tie in plan.tiebreaks
        if tie.kind in named
    ]


def _score(plan: Plan) -> list[str]:
    """What the score is a number of, where the clock's time is not all of it."""
    unit = unit_wanted(plan)
    if unit is None:
        return []
    if unit == "ms":
        return ["reps at the cap"] if plan.cap_ms else []
    if unit == "kg":
        return ["in total" if plan.score == "total" else "best"]
    parts = scored_parts(plan)
    grid = parts_of(plan)[parts[0][0] - 1].grid
    by_rounds = len(parts) == 1 and grid is not None and grid.more
    return ["rounds", unit] if by_rounds and unit == "reps" else [unit]


def _questions(plan: Plan) -> str:
    if plan.disputes == "none":
        return ""
    about = plan.disputes.replace("-", " ")
    length = plan.dispute_ms / 60_000
    unit = "minute" if length == 1 else "minutes"
    minutes = f", within {length:g} {unit}" if length else ""
    return f"Questions ({about}{minutes}) to the head judge until"


def _asked(card: PlanCard) -> list[tuple[str, str]]:
    criteria = [(fault.call, card.criterion_of(fault)) for fault in voiding(card)]
    return [(call, must.says) for call, must in criteria if must is not None]


def _moves(plan: Plan) -> list[dict[str, object]]:
    """What each call of each movement asks for."""
    used = {m.card for part in plan.parts for m in part.movements}
    return [
        {
            "name": card.name,
            "calls": _asked(card),
        }
        for card in plan.cards
        if card.id in used
    ]
