"""Everything that stands on the Floor, as text: made from a lane and the moment.

The words are a judge's; what is shown is always the newest durable state.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.lane import own_ms
from judgekit.core.plan import OPEN
from judgekit.core.quantity import show_time
from judgekit.core.status import class_over_ms
from judgekit.core.teams import at_work
from judgekit.core.values import dataclass
from judgekit.core.watching import open_look
from judgekit.ui.views import history
from judgekit.ui.views.banner import BannerKind, banner, large_words
from judgekit.ui.views.count import (
    Count,
    count,
    horn_words,
    no_reps_of,
    round_words,
)
from judgekit.ui.views.following import following
from judgekit.ui.views.naming import beside_number, who
from judgekit.ui.views.phase import (
    Now,
    Phase,
    has_ended,
    is_untouched,
    judged_set,
    phase_of,
    rests,
    shown_set,
    stopped_before,
    voiding,
    waits_for_why,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.plan import Plan, PlanCard, PlanFault, SetKey
    from judgekit.core.state import Lane

# At most so many voiding faults stand on the Floor; the rest are behind n.
CALLS_SHOWN = 5
# So long a judgement's sign stands beside the count.
MARK_MS = 3000
CLASS_OVER = "class over"


@dataclass(frozen=True, slots=True, kw_only=True)
class CallRow:
    """A key, what the judge calls, and what must be there."""

    key: str
    call: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorView:
    """Every text of the Floor. `big` is drawn in block digits, `beside` next to it.

    What is a tuple of texts is said fully first, then ever shorter; `calls`, `last`,
    `large`, `hint` and `flags` are several things.
    `done` and `target` fill the bar. `calls` are the faults whose letters work now, and
    `letters` says of which movement where that is not the one shown. `large` is drawn
    in block letters beside the count; `banner` is the one line that asks or warns, of
    the kind that says how it is drawn. `hint` are the keys of the moment.
    """

    phase: Phase
    workout: str
    where: str
    clock: str
    cap: str
    athlete: tuple[str, ...]
    place: tuple[str, ...]
    movement: tuple[str, ...]
    no_reps: tuple[str, ...]
    letters: str
    big: str
    beside: str
    done: int
    target: int
    following: tuple[str, ...]
    calls: tuple[CallRow, ...]
    last: tuple[str, ...]
    mark: str
    large: tuple[str, ...]
    banner: str
    banner_kind: BannerKind
    hint: tuple[str, ...]
    saved: str
    flags: tuple[str, ...]
    small: str


def floor_view(lane: Lane, now: Now) -> FloorView:
    """The Floor of a lane at a moment."""
    at = None if now.heat_ms is None else own_ms(lane, now.heat_ms)
    phase = phase_of(lane, at, now.stop_ms)
    resting = rests(lane, phase, at)
    key, judged = shown_set(lane, at), judged_set(lane, at)
    counted = count(lane, key, phase, at)
    asks, kind = banner(lane, phase, at, now)
    newest = history.last(lane, 3, now.judges)
    small = _small(counted, resting=resting)
    return FloorView(
        phase=phase,
        workout=lane.plan.workout_name,
        where=_where(lane.plan, second=now.second),
        clock=clock_words(lane, phase, at),
        cap=_cap(lane, key, at),
        athlete=athlete_words(lane, key),
        place=place_words(lane, key, phase),
        movement=("REST",) if resting else movement_words(lane, key, phase, judged),
        no_reps=_no_reps(lane, phase),
        letters=_letters(lane, key, judged),
        big=counted.big,
        beside=counted.beside,
        done=counted.done,
        target=counted.target,
        following=_held(lane, key, judged)
        or following(lane.plan, key, phase, resting=resting),
        calls=call_rows(lane, judged, everything=waits_for_why(lane, at)),
        last=tuple(history.stamped(lane, e, now.judges) for e in newest),
        mark=mark_words(lane, key, phase, at),
        large=large_words(lane, phase, now),
        banner=asks,
        banner_kind=kind,
        hint=_hint(lane, key, phase, at, checks=now.checks),
        saved=_saved(now),
        flags=_flags(lane, now),
        small=small,
    )


def all_calls(lane: Lane, heat_ms: int | None) -> tuple[CallRow, ...]:
    """Every call whose letter works now, those of the day first."""
    at = None if heat_ms is None else own_ms(lane, heat_ms)
    return call_rows(lane, judged_set(lane, at), everything=True)


def _small(counted: Count, *, resting: bool) -> str:
    if resting:
        return f"REST {counted.big}"
    return f"{counted.big} {counted.beside}".strip()


def _flags(lane: Lane, now: Now) -> tuple[str, ...]:
    """What to mind; a stop of an earlier day is asked about before work counts."""
    before = stopped_before(now)
    if not before:
        return lane.flags
    words = f"{before[:1].upper()}{before[1:]}: ask first."
    return (*lane.flags, words) if is_untouched(lane) else (words, *lane.flags)


def opened_again(lanes: Sequence[Lane], heat_ms: int | None) -> str:
    """What a judge must know who opens a desk in a running heat; empty in no other."""
    if not any(_is_running(lane, heat_ms) for lane in lanes):
        return ""
    good = sum(lane.work.good for lane in lanes)
    return f"Opened again: {good} rep{'' if good == 1 else 's'}, the clock ran on."


def _is_running(lane: Lane, heat_ms: int | None) -> bool:
    at = None if heat_ms is None else own_ms(lane, heat_ms)
    return phase_of(lane, at) in _RUNNING and bool(lane.work.attempts)


_RUNNING: frozenset[Phase] = frozenset({"work", "rest", "horn", "stopped", "frozen"})
_HINTS: dict[Phase, tuple[str, ...]] = {
    "before go": ("g, y go", "press any key to see what it does"),
    "countdown": ("0 STOP", "w recall"),
    "work": ("space good rep", "backspace take back"),
    "rest": ("a rep now would be too early",),
    "horn": ("backspace take back",),
    "stopped": ("g stopped by mistake", "w let go on"),
    "frozen": ("f work goes on",),
    "over": ("g scorecard", "backspace take back"),
    "accepted": ("g scorecard", "q, y close"),
    "absent": ("w here after all",),
}


def _hint(
    lane: Lane, key: SetKey, phase: Phase, at: int | None, *, checks: bool
) -> tuple[str, ...]:
    hints = _at_monitor(lane, key, phase) or _HINTS[phase]
    if phase == "stopped" and has_ended(lane, at):
        hints = ("g scorecard", "w let go on")
    if phase == "work" and lane.plan.team.how == "shared":
        hints = (hints[0], "w who works", *hints[1:])
    if checks and phase == "before go":
        hints = (hints[0], "enter lane check", *hints[1:])
    return (*hints, "? keys")


def _at_monitor(lane: Lane, key: SetKey, phase: Phase) -> tuple[str, ...]:
    """The keys of a set that is not counted rep by rep; none where they are usual."""
    plan = lane.plan
    if plan.watching == "reported":
        return _reported(lane) if phase in ("work", "rest", "horn") else ()
    if plan.part(key).kind == "attempts" and phase == "work":
        return _at_the_bar(lane, key)
    if looking.is_held(plan, key):
        under_way = looking.work_now(lane).hold is not None
        hold = "space ends the hold" if under_way else "space the hold begins"
        return (hold, "backspace take back") if phase == "work" else ()
    if phase == "work" and plan.movement(key).unit == "segments":
        return ("space good segment", "backspace take back")
    if key != lane.work.cursor or not looking.on_monitor(plan, key):
        return ()
    if phase == "work":
        target = plan.target(key)
        typed = "enter type the monitor"
        return (typed,) if target == OPEN else (typed, f"space all {target}")
    read = ("enter type the monitor", "g scorecard")
    return read if phase in ("horn", "over") else ()


def _reported(lane: Lane) -> tuple[str, ...]:
    if open_look(lane) is not None:
        return ("* look ends", "space seen good", "backspace take back")
    return ("enter set done", "+ how many", "* look")


def _at_the_bar(lane: Lane, key: SetKey) -> tuple[str, ...]:
    bar = looking.bar_of(lane, key)
    if bar is None:
        return "enter the load", "space good lift"
    checked = () if bar.confirmed else ("y bar checked",)
    return (*checked, "space good lift")


# --- heading ------------------------------------------------------------------------


def _where(plan: Plan, *, second: bool) -> str:
    more = "   SECOND JUDGE" if second else ""
    return f"heat {plan.heat}  lane {plan.lane}{more}"


def athlete_words(lane: Lane, key: SetKey) -> tuple[str, str]:
    """Who is in the lane; of a team who works, as far as that is known."""
    plan = lane.plan
    shown = who(plan.name, plan.show, plan.bib)
    member = at_work(lane, key)
    if member is not None:
        known = beside_number(member.name, member.show, member.bib) or member.bib
        shown = f"{shown}: {known} works"
    return f"{shown}   {plan.division_name}".strip(), shown


def clock_words(lane: Lane, phase: Phase, at: int | None) -> str:
    if at is None or phase in ("before go", "countdown"):
        return "0:00"
    done = lane.work.done_ms
    if done is not None and phase in ("over", "accepted"):
        return show_time(done, lane.plan.precision_ms)
    return show_time(at)


def _cap(lane: Lane, key: SetKey, at: int | None) -> str:
    if class_over_ms(lane) is not None:
        return CLASS_OVER
    horn = looking.line_of(lane).horn(key)
    if horn is None:
        return "no cap"
    shut = looking.line_of(lane).shut_until(key) or 0
    part = lane.plan.part(key)
    if not part.ends_by_work and at is not None and at < shut:
        return f"starts {show_time(shut)}"
    word = horn_words(lane.plan, part)
    if at is None or at <= 0:
        return f"{word} {show_time(horn)}"
    left = -(-max(0, horn - at) // 1000) * 1000
    return f"{word} {show_time(horn)}   {show_time(left)} left"


def place_words(lane: Lane, key: SetKey, phase: Phase) -> tuple[str, str]:
    plan, part = lane.plan, lane.plan.part(key)
    several = sum(1 for p in plan.parts if p.movements) > 1
    round_ = round_words(part, key)
    if phase in ("over", "accepted") and part.kind == "attempts":
        # The next try, which the clock has cut off, is none.
        round_ = ""
    named = f"part {part.id}  {round_}" if several else round_
    brief = f"{part.id} {round_.removeprefix('round ')}" if several else round_
    return named.rstrip(), brief.rstrip()


def movement_words(
    lane: Lane, key: SetKey, phase: Phase, judged: SetKey
) -> tuple[str, ...]:
    """What is done and with what: fully, without conversions, and the name alone."""
    movement = lane.plan.movement(key)
    name = lane.plan.card_of(key).name.upper()
    bar = looking.bar_of(lane, key)
    load = bar.load if bar is not None else lane.plan.load(key)
    height = _height(movement.height)
    held = f"({phase})" if lane.holds and judged != key else ""
    instead = f"(for {movement.instead_of})" if movement.instead_of else ""
    brief = (_unconverted(load), _unconverted(height))
    ways = (
        (name, load, height, instead, held),
        (name, *brief, instead, held),
        (name, *brief, held),
        (name, held),
        (name,),
    )
    return tuple("  ".join(word for word in way if word) for way in ways)


def _unconverted(text: str) -> str:
    """A load or height as written: without its other unit, and what it is made of."""
    return _MADE_OF.sub("", text)


def _height(text: str) -> str:
    """The height to reach first: what it was made of may be cut off."""
    made = _ABOVE_REACH.fullmatch(text)
    return f"{made['height']} ({made['above']} above reach)" if made else text


_MADE_OF = re.compile(r"(?<=\w) ≈ .+| \(.+ above reach\)")
_ABOVE_REACH = re.compile(r"(?P<above>.+) above reach .+? (?P<height>[=≈] .+)")


def _letters(lane: Lane, key: SetKey, judged: SetKey) -> str:
    """Whose letters work, where another movement is shown."""
    shown, working = lane.plan.card_of(key), lane.plan.card_of(judged)
    return "" if shown is working else f"letters: {working.name.upper()}"


def _no_reps(lane: Lane, phase: Phase) -> tuple[str, str]:
    """All no-reps of the lane, with and without what they are to be measured by."""
    many = sum(attempt.n for attempt in no_reps_of(lane))
    judged = sum(s.no_reps for s in lane.work.sets)
    more = " in all"
    if phase in ("over", "accepted") and many == judged:
        moved = {lane.plan.movement(s.key).unit for s in lane.work.sets}
        more = f" of {lane.work.good + many} tries" if moved == {"reps"} else more
    return f"no-reps {many}{more}", f"no-reps {many}"


def _held(lane: Lane, key: SetKey, judged: SetKey) -> tuple[str, ...]:
    """What the held presses would make, and which movement the next one goes to."""
    if not lane.holds or not lane.held:
        return ()
    work = looking.work_now(lane)
    held = (a.set for a in reversed(work.attempts) if a.good and "held" in a.marks)
    last = next(held, None)
    words, brief = [], ""
    if last is not None:
        done = work.set_done(last)
        name = lane.plan.card_of(last).name.lower()
        many = done.good if done is not None else 0
        words.append(f"held: would be {name} {many}")
        brief = f"held: would be {many}"
    if judged != (last or key):
        words.append(f"next press {lane.plan.card_of(judged).name.lower()}")
    return (", ".join(words), brief or words[-1]) if words else ()


# --- the count ----------------------------------------------------------------------


def mark_words(lane: Lane, key: SetKey, phase: Phase, at: int | None) -> str:
    """The sign of the newest judgement, for as long as it is news."""
    attempts = looking.work_now(lane).attempts
    here = bool(attempts) and attempts[-1].set.part == key.part
    if looking.work_now(lane).hold is not None and not lane.holds:
        return "holding"
    if not here or at is None or phase in ("rest", "countdown"):
        return ""
    newest = next(iter(history.newest(lane, 1)), None)
    made = None if newest is None else lane.when(newest)
    fresh = made is not None and at - own_ms(lane, made) <= MARK_MS
    return history.mark(lane) if fresh else ""


def call_rows(lane: Lane, key: SetKey, *, everything: bool) -> tuple[CallRow, ...]:
    card = lane.plan.card_of(key)
    watched = lane.plan.movement(key).watch
    faults = sorted(
        voiding(card), key=lambda f: watched.index(f.id) if f.id in watched else 99
    )
    shown = faults if everything else faults[:CALLS_SHOWN]
    return tuple(
        CallRow(key=f.key, call=f.call.upper(), says=_must(card, f)) for f in shown
    )


def _must(card: PlanCard, fault: PlanFault) -> str:
    criterion = card.criterion_of(fault)
    return criterion.says[:1].lower() + criterion.says[1:] if criterion else ""


def _saved(now: Now) -> str:
    return f"NOT SAVED: {now.waiting} waiting" if now.waiting else "saved"
