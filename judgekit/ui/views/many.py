"""A Floor of several lanes, as text: a row for each lane, and the chosen one in full.

Stopped athletes stand on top, the others in the order of their lanes. What a lane is in
is told by a sign and a word; a colour only repeats it.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from judgekit.core import looking
from judgekit.core.lane import own_ms
from judgekit.core.plan import OPEN
from judgekit.core.quantity import show_time
from judgekit.core.seeing import seen_in
from judgekit.core.values import dataclass
from judgekit.core.watching import open_look
from judgekit.ui.manykeys import PAGE
from judgekit.ui.views.count import UNITS, count, no_reps_of
from judgekit.ui.views.doubt import (
    answered,
    asked_at,
    question_ways,
    waiting_ways,
)
from judgekit.ui.views.floor import (
    FloorView,
    athlete_words,
    mark_words,
    movement_words,
    place_words,
)
from judgekit.ui.views.following import following
from judgekit.ui.views.manytells import tells
from judgekit.ui.views.phase import (
    Now,
    Phase,
    good_in,
    horn_asked,
    is_untouched,
    judged_set,
    phase_of,
    rest_left,
    rests,
    shown_set,
    stopped_before,
    stopped_ms,
    waits_for_why,
)
from judgekit.ui.views.tried import call_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from judgekit.core.plan import SetKey
    from judgekit.core.state import Attempt, Lane

# So long "GO" stands once a rest is over, and so long before it is counted down.
GO_MS = 4000
SOON_MS = 3000
_TWO = 2
_SECOND_MS = 1000
# How a lane's state is drawn; its sign and word say the same.
RowKind = Literal["", "good", "no-rep", "rest", "go", "ask", "stopped", "over"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneRow:
    """One lane, each text said fully first.

    `key` is the digit that chooses it, empty while it is on another page. `says` is
    its state and `faults` its `no_reps` so far. `late` is its own clock, where that
    began later. `watched` are the keys and calls to look at first. Of a rest so many
    ms are left, 0 where there is none. It has asked something since `asked_ms`.
    """

    lane: int
    key: str
    phase: Phase
    athlete: tuple[str, ...]
    late: str
    place: tuple[str, ...]
    movement: tuple[str, ...]
    count: str
    done: int
    target: int
    kind: RowKind
    says: tuple[str, ...]
    no_reps: int
    faults: tuple[str, ...]
    following: tuple[str, ...]
    watched: tuple[str, ...]
    rest_ms: int = 0
    asked_ms: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ManyView:
    """All lanes. `front` is the chosen lane's Floor, or the desk's where none is.

    Of two lanes, `pair` are the Floors of both.
    `asks` is what must be answered by a digit; `tells` what is worth knowing while no
    lane is chosen, each said fully first. `keys`: each of two halves names its own.
    """

    rows: tuple[LaneRow, ...]
    front: FloorView
    chosen: int | None = None
    asks: str = ""
    pair: tuple[FloorView, ...] = ()
    tells: tuple[tuple[str, ...], ...] = ()
    keys: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Choosing:
    """What digits are about: the page of so many `pages`, and the lane `chosen` there.

    `asks` is what waits for a digit. A take-back would be lane `last`'s, and `y` goes
    to `answers` first. Sets are `reported` where nobody judges every rep.
    """

    pages: tuple[int, int]
    chosen: int | None = None
    asks: str = ""
    last: int | None = None
    answers: int | None = None
    reported: bool = False


def lane_row(lane: Lane, now: Now, key: str, open_items: int = 0) -> LaneRow:
    """The row of one lane; `open_items` of its check are not answered yet."""
    at = None if now.heat_ms is None else own_ms(lane, now.heat_ms)
    phase = phase_of(lane, at, now.stop_ms)
    set_, judged = shown_set(lane, at), judged_set(lane, at)
    kind, says = _state(lane, phase, at, now)
    if phase == "before go" and open_items:
        kind, says = "", (f"{open_items} to check",)
    if stopped_before(now) and not kind and is_untouched(lane):
        kind, says = "ask", _stopped_ways(stopped_before(now), open_items)
    target = lane.plan.target(set_)
    resting = rests(lane, phase, at)
    no_reps = no_reps_of(lane)
    return LaneRow(
        lane=lane.plan.lane,
        key=key,
        phase=phase,
        athlete=athlete_words(lane, set_),
        late=_late(lane, phase, at),
        place=place_words(lane, set_, phase),
        movement=movement_words(lane, set_, phase, judged),
        count=_count(lane, set_, phase, at),
        done=good_in(lane, set_),
        target=0 if target == OPEN else target,
        kind=kind,
        says=says,
        no_reps=sum(a.n for a in no_reps),
        faults=_faults(lane, no_reps),
        following=following(lane.plan, set_, phase, resting=resting),
        watched=_watched(lane, judged),
        rest_ms=0 if at is None or phase != "rest" else rest_left(lane, at),
        asked_ms=asked_at(lane, phase, at),
    )


def _stopped_ways(before: str, open_items: int) -> tuple[str, ...]:
    """A stop of an earlier day, and what is to be checked besides."""
    both = (f"! {before}, {open_items} to check",) if open_items else ()
    return (*both, f"! {before}", "! stopped", "!")


def _watched(lane: Lane, key: SetKey) -> tuple[str, ...]:
    """The faults of the day of the movement that is judged, with their keys."""
    movement, card = lane.plan.movement(key), lane.plan.card_of(key)
    found = (card.fault(fault_id) for fault_id in movement.watch)
    return tuple(f"{fault.key} {fault.call.upper()}" for fault in found if fault)


def many_view(
    rows: Sequence[LaneRow], front: FloorView, choice: Choosing, shared: str = ""
) -> ManyView:
    """All rows in their order, and what stands above and below them.

    `front` is the Floor of the chosen lane, else of any; `shared` says which equipment
    several lanes have together.
    """
    chosen, asks, last = choice.chosen, choice.asks, choice.last
    rows = _answering(rows, choice.answers)
    ordered = sorted(rows, key=lambda row: (row.phase != "stopped", row.lane))
    where = f"{front.where.partition('  lane')[0]}  {len(rows)} lanes"
    if front.where.endswith("SECOND JUDGE"):
        where += "   SECOND JUDGE"
    hint = _hint(front, choice)
    if len(rows) == _TWO:
        hint = _hint_of_two(front, rows, last)
    front = replace(front, where=where, hint=hint)
    if chosen is None:
        front = replace(front, banner="", banner_kind="", last=(), flags=())
    if asks:
        front = replace(front, banner=asks, banner_kind="ask")
    return ManyView(
        rows=tuple(ordered),
        front=front,
        chosen=chosen,
        asks=asks,
        tells=tells(rows, shared) if chosen is None else (),
    )


def _answering(rows: Sequence[LaneRow], first: int | None) -> list[LaneRow]:
    """The rows, with the key of a question only in the one that it answers."""
    whose = answered({row.lane: row.asked_ms for row in rows}, first)
    return [
        row
        if row.asked_ms is None or row.lane == whose
        else replace(row, says=waiting_ways(row.says))
        for row in rows
    ]


def _hint_of_two(
    view: FloorView, rows: Sequence[LaneRow], last: int | None
) -> tuple[str, ...]:
    """The keys of two lanes; which of them a take-back would be about."""
    if view.phase == "before go":
        return (view.hint[0], "a digit chooses", "0 STOP", "? keys")
    places = {row.lane: ("left", "right")[n] for n, row in enumerate(rows)}
    back = f"backspace take back {places[last]}" if last in places else "0 STOP"
    return (back, "a digit chooses", "0 STOP", "? keys")[last not in places :]


def _hint(view: FloorView, choice: Choosing) -> tuple[str, ...]:
    page, many = choice.pages
    turn = (_turns(1 if page == many else page + 1),) if many > 1 else ()
    if choice.chosen is not None:
        return (*view.hint[:-1], *turn, view.hint[-1])
    go = view.hint[:1] if view.phase == "before go" else ()
    chooses = "a digit chooses a lane"
    if choice.reported and not go:
        chooses = "digit, then enter: set done"
    return (*go, chooses, *turn, "0 STOP", "? keys")


def _turns(page: int) -> str:
    """How the first lane of another page is chosen."""
    return f"tab, 1: lane {(page - 1) * PAGE + 1}"


# --- one lane -------------------------------------------------------------------------


def own_start(lane: Lane) -> int:
    """How much later than the others the lane began; under a second is no later."""
    late = lane.offset_ms + lane.start_shift_ms
    return late if late >= _SECOND_MS else 0


def clock_of(heat_ms: int | None) -> str:
    """The heat's clock, which stands at zero until it runs."""
    return show_time(max(0, heat_ms or 0))


def _late(lane: Lane, phase: Phase, at: int | None) -> str:
    """A late lane's own clock; once it is over, by how much it began later."""
    late = own_start(lane)
    if not late:
        return ""
    if at is None or at < 0 or phase in ("over", "accepted", "absent"):
        return f"+{show_time(late)}"
    return f"own {show_time(at)}"


def _count(lane: Lane, key: SetKey, phase: Phase, at: int | None) -> str:
    """The count of the set that is shown, also while a rest keeps it shut."""
    if phase in ("over", "accepted"):
        return f"{lane.work.good} in all"
    counted = count(lane, key, "work", at)
    if not counted.target:
        return f"{counted.big} {counted.beside.partition('  ')[0]}".strip()
    if lane.plan.part(key).kind == "attempts":
        return f"{counted.big} {counted.beside.partition(',')[0]}"
    return f"{counted.done}/{counted.target}{UNITS[lane.plan.movement(key).unit]}"


def _faults(lane: Lane, attempts: Sequence[Attempt]) -> tuple[str, ...]:
    """No-reps so far: by their calls, then with the last call, then how many."""
    if not attempts:
        return ("",)
    many = sum(a.n for a in attempts)
    calls = [call_of(lane, a.set, fault) for a in attempts for fault in a.faults]
    if not calls:
        return (f"no-reps {many}", f"✗{many}")
    by_call = ", ".join(f"{call} {n}" for call, n in Counter(calls).most_common())
    last = f"last {calls[-1]}"
    return (
        f"no-reps {many}: {by_call}, {last}",
        f"no-reps {many}: {by_call}",
        f"✗{many} {last}",
        f"✗{many} {calls[-1]}",
        f"✗{many}",
    )


def _state(
    lane: Lane, phase: Phase, at: int | None, now: Now
) -> tuple[RowKind, tuple[str, ...]]:
    """What the lane is in, by a sign and a word."""
    if phase == "stopped":
        since = show_time(stopped_ms(lane, now))
        held = f", {lane.held} held" if lane.held else ""
        return "stopped", (f"■ STOP {since}{held}", f"■ STOP {since}", "■ STOP")
    if phase == "frozen":
        return "stopped", (f"■ FROZEN, {lane.held} held", "■ FROZEN")
    if at is None or phase not in ("work", "rest", "horn"):
        return _still(lane, phase, at)
    if phase == "horn":
        return "over", ("■ TIME",)
    if waits_for_why(lane, at):
        return "ask", ("✗ NO REP why?", "✗ why?")
    look = open_look(lane)
    if look is not None:
        seen = seen_in(look.presses)
        return "good", (f"○ LOOK {seen} seen", f"○ LOOK {seen}", f"○{seen}")
    if phase == "rest":
        return _resting(rest_left(lane, at))
    return _working(lane, phase, at)


def _resting(left_ms: int) -> tuple[RowKind, tuple[str, ...]]:
    seconds = -(-left_ms // 1000)
    if left_ms <= SOON_MS:
        return "go", (f"» GO in {seconds}", f"» {seconds}")
    shown = show_time(seconds * 1000)
    return "rest", (f"… REST {shown}", f"… {shown}")


def _working(lane: Lane, phase: Phase, at: int) -> tuple[RowKind, tuple[str, ...]]:
    asked = question_ways(lane, phase, at)
    if asked:
        return "ask", asked
    mark = mark_words(lane, shown_set(lane, at), phase, at)
    if mark:
        brief = mark.replace("NO REP ", "")
        return ("no-rep" if "✗" in mark else "good"), (mark, brief, brief[:1])
    if _just_opened(lane, at):
        return "go", ("» GO", "»")
    if looking.left_short(lane, at) is not None:
        return "ask", ("! a set is short", "! short")
    return "", ("",)


def _just_opened(lane: Lane, at: int) -> bool:
    """Whether the work that is on was opened just now, and nothing done since."""
    key = shown_set(lane, at)
    line = looking.line_of(lane)
    ends = [rest.until_ms for rest in line.rests if rest.until_ms <= at]
    opened = max((*ends, line.opening(key) or 0))
    work = looking.work_now(lane)
    newest = [attempt.at for attempt in work.attempts[-1:]]
    newest += [said.at for said in work.reported[-1:]]
    done = any(at >= opened for at in newest)
    return not done and 0 <= at - opened < GO_MS


def _still(lane: Lane, phase: Phase, at: int | None) -> tuple[RowKind, tuple[str, ...]]:
    """Who does not work: not yet, or not any more."""
    match phase:
        case "countdown":
            return "go", (f"» GO in {-((at or 0) // 1000)}",)
        case "over" if horn_asked(lane, phase):
            return "ask", ("? in time: y, n", "? y n")
        case "over":
            return "over", _over(lane)
        case "accepted":
            return "over", ("✓ scorecard closed", "✓ closed")
        case "absent":
            return "over", ("- absent", "-")
        case _:
            return "", ("not started", "")


def _over(lane: Lane) -> tuple[str, ...]:
    if lane.withdrawn_ms is not None:
        return (f"- withdrew {show_time(lane.withdrawn_ms)}", "- withdrew", "-")
    if lane.work.done_ms is not None:
        done = show_time(lane.work.done_ms, lane.plan.precision_ms)
        return (f"✓ DONE {done}", "✓ DONE", "✓")
    return ("■ TIME", "■")


def early_rows(
    lanes: Sequence[Lane], key_of: Callable[[int], str]
) -> tuple[LaneRow, ...]:
    """Every planned lane while the log is read: no count is known yet."""
    now = Now(heat_ms=None)
    rows = (lane_row(lane, now, key_of(lane.plan.lane)) for lane in lanes)
    return tuple(
        replace(row, count="", done=0, target=0, says=("",), following=("",))
        for row in rows
    )
