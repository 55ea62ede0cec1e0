"""Deciding what stands on paper, and what paper must still tell for a score.

Nothing is made up: a time that the arithmetic needs is asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.counted import full_of, scored_by, scored_parts
from judgekit.core.entry import NoRep
from judgekit.core.errors import Refusal
from judgekit.core.lane import own_ms
from judgekit.core.onpaper import done_by, names_work
from judgekit.core.paperentry import OfPaper, PaperNoReps, PaperSet, PaperTime
from judgekit.core.papertimes import impossible
from judgekit.core.pointing import Decided, draft, faulted
from judgekit.core.press import Draft, WriteNoReps, WriteSet
from judgekit.core.quantity import parse, show_time
from judgekit.core.status import missing
from judgekit.core.timeline import last_bell

if TYPE_CHECKING:
    from collections.abc import Iterator

    from judgekit.core.entry import Body
    from judgekit.core.plan import Plan, PlanPart, SetKey
    from judgekit.core.press import Press
    from judgekit.core.state import Lane

MOST_NO_REPS = 999
Written = WriteSet | WriteNoReps | OfPaper


def written(lane: Lane, press: Press, act: Written) -> Decided:
    """What a line of paper makes of a lane."""
    refused = _unfit(lane)
    if not refused and isinstance(act, PaperSet | PaperNoReps):
        refused = "Say which set it is."
    if refused:
        return Refusal(says=refused)
    if isinstance(act, WriteSet):
        return _set(lane, press, act)
    if isinstance(act, WriteNoReps):
        return _no_reps(lane, press, act)
    if isinstance(act, PaperTime):
        refused = _time_refusal(lane, own_ms(lane, press.at or 0), act)
        return Refusal(says=refused) if refused else (draft(press, act),)
    return Refusal(says="Say which set it is.")


def _unfit(lane: Lane) -> str:
    """Why totals from paper cannot stand in this lane; empty if they can."""
    work = looking.work_now(lane)
    if lane.plan.watching == "reported":
        return "Sets are reported in this lane: write set-reported, or a result."
    if lane.holds:
        how = "stopped" if lane.stopped else "frozen"
        return f"The athlete is {how}: totals come before that, or when work goes on."
    if work.attempts:
        return "This lane was judged rep by rep already; totals do not go with that."
    return ""


def _timeless(press: Press, body: Body, key: SetKey) -> tuple[Draft, ...]:
    return (Draft(at=None, set=key, body=body, who=press.who),)


def _set(lane: Lane, press: Press, act: WriteSet) -> Decided:
    plan, key = lane.plan, act.set
    if not plan.holds(key):
        return Refusal(says=f"The workout has no {set_words(plan, key)}.")
    where, target = set_words(plan, key), plan.target(key)
    if looking.work_now(lane).set_done(key) is not None:
        return Refusal(says=f"{where} stands here already.")
    if act.n > target and not looking.on_monitor(plan, key):
        return Refusal(says=f"{where}: the set has {target}, not {act.n}.")
    if act.load and not is_load(act.load):
        says = f'{where}: "{act.load}" is no load; write it with its unit.'
        return Refusal(says=says)
    return _timeless(press, PaperSet(n=min(act.n, target), load=act.load), key)


def is_load(text: str) -> bool:
    """Whether a text is a load, such as "62.5 kg"."""
    try:
        load = parse(text)
    except ValueError:
        return False
    return load.dimension == "mass" and load.amount > 0


def _no_reps(lane: Lane, press: Press, act: WriteNoReps) -> Decided:
    if not lane.plan.holds(act.set):
        return Refusal(says=f"The workout has no {set_words(lane.plan, act.set)}.")
    if not 1 <= act.n <= MOST_NO_REPS:
        return Refusal(says=f"No-reps are 1 to {MOST_NO_REPS} here, not {act.n}.")
    faults = (act.fault,) if act.fault else ()
    found = faulted(lane, press, act.set, faults, NoRep(faults=faults), weight="void")
    if isinstance(found, Refusal):
        return found
    body = PaperNoReps(n=act.n, fault=act.fault, any_round=act.any_round)
    return _timeless(press, body, act.set)


# --- times ----------------------------------------------------------------------------


def _time_refusal(lane: Lane, at: int, act: PaperTime) -> str:
    plan = lane.plan
    if at <= 0:
        return "A time is longer than none."
    if not act.rep and not names_work(plan, act):
        if act.part:
            return "The workout has no such part or round, or the clock ends it."
        return "The clock ends this workout: it has no time of its own."
    bell = last_bell(plan)
    if bell is not None and at > bell:
        return (
            f"The clock ended at {show_time(bell)}: what was done by then stands in "
            "the rounds, without a time."
        )
    stands = "" if act.rep else _not_done(lane, act) or _said_before(lane, act)
    return stands or impossible(lane, at, act)


def _not_done(lane: Lane, act: PaperTime) -> str:
    """What speaks against it that all of it was done; empty if nothing does."""
    plan = lane.plan
    done = {one.key: one for one in looking.work_now(lane).sets}
    for key in done_by(plan, act):
        if key in done and done[key].short:
            good, target = done[key].good, done[key].target
            where = set_words(plan, key)
            return (
                f"{where} has {good} of {target}, so it was done at no time: leave "
                "the clock's time out, or mend the number."
            )
    return ""


def _said_before(lane: Lane, act: PaperTime) -> str:
    gone = {taken.target for taken in lane.taken_back}
    twice = any(e.body == act and e.ref not in gone for e in lane.entries)
    return "That time stands here already." if twice else ""


def set_words(plan: Plan, key: SetKey) -> str:
    """A set in words: "part A, round 3, front squat"."""
    if not 1 <= key.part <= len(plan.parts):
        return f"part {key.part}"
    part = plan.parts[key.part - 1]
    where = f"part {part.id or key.part}, round {key.round}"
    if not 1 <= key.movement <= len(part.movements):
        return f"{where}, movement {key.movement}"
    return f"{where}, {plan.card_of(key).name.lower()}"


# --- what is still missing ------------------------------------------------------------


def lacking(lane: Lane) -> tuple[str, ...]:
    """What paper must still tell so that there is a score, each in a sentence."""
    if lane.work.paper is None or lane.withdrawn_ms is not None or lane.stopped:
        return ()
    return tuple(dict.fromkeys((*_end(lane), *_round_times(lane), *_rests(lane))))


def _end(lane: Lane) -> Iterator[str]:
    plan, work = lane.plan, lane.work
    if work.done_ms is not None:
        return
    if plan.score == "time" and not missing(lane):
        yield "All of the work is done: write the clock's time alone, such as 7:41."
    elif lane.over_ms is None and looking.end_ms(lane) is None:
        yield (
            "No clock ends this work: write the clock's time alone where all was done "
            "(7:41), or when time was called (12:00 time)."
        )


def _round_times(lane: Lane) -> Iterator[str]:
    """Rounds whose own times make the score."""
    plan = lane.plan
    ends = dict(lane.work.part_ends)
    for number, part in scored_parts(plan):
        if scored_by(plan, part) != "time":
            continue
        full = full_of(plan, lane.work.sets, number)
        unsaid = number not in ends and len(full) == part.rounds
        if part.take != "sum" or part.kind == "every":
            yield from _unsaid_rounds(lane, number, full)
        elif plan.score == "placing" and unsaid:
            yield _when_done(part)


def _unsaid_rounds(lane: Lane, number: int, full: list[int]) -> Iterator[str]:
    part = lane.plan.parts[number - 1]
    for round_ in full:
        last = lane.plan.round_sets(number, round_)[-1]
        done = lane.work.set_done(last)
        if done is not None and done.done_ms is None:
            yield (
                f"Write when round {round_} of part {part.id} was done, "
                f"such as: round {round_} at 3:12."
            )


def _rests(lane: Lane) -> Iterator[str]:
    """Rests up to a time of the clock, which come off from the moment they began."""
    plan = lane.plan
    if plan.rest != "excluded" or lane.work.done_ms is None:
        return
    ends = dict(lane.work.part_ends)
    for number, part in enumerate(plan.parts, 1):
        before = number - 1
        if part.kind == "rest-until" and before and before not in ends:
            yield _when_done(plan.parts[before - 1])


def _when_done(part: PlanPart) -> str:
    return f"Write when part {part.id} was done: part {part.id} at 3:12."
