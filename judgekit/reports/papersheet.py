"""A lane's sheet on paper: boxes to tick, calls to tally, times to write down.

What is asked for here is what `judgekit transcribe` reads as totals: the same parts,
rounds and calls, and every time that the score or a tie-break needs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.counted import scored_by, scored_parts
from judgekit.core.onpaper import last_work
from judgekit.core.plan import OPEN, SetKey
from judgekit.core.quantity import show_time
from judgekit.core.values import dataclass
from judgekit.reports.briefparts import part_words
from judgekit.reports.briefwork import as_written

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.core.plan import Plan, PlanCard, PlanFault, PlanPart

# Up to so many reps each has a box; beyond it a box is five, beyond that ten.
_EACH, _BY_FIVE = 34, 170
_STEPS = (1, 5, 10)
# How many rounds of a window, and attempts where any number is free, have their room.
_FEWEST_ROUNDS, _MOST_ROUNDS, _ATTEMPTS = 4, 30, 8
# More rounds than these have a line each, or they would fill page after page.
_ROUNDS_OF_BOXES, _SETS_OF_A_LINE = 12, 4
# Room for that much more than an ordinary pace fills; further rounds have a line.
_ROOM = 1.4
_MONITOR = ("calories", "metres", "seconds")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One set: what it is, with a box for each rep, or room to write in.

    `boxes` are the texts in them, mostly none. `write` says what to write where no rep
    has a box, and `of` how much it should be.
    """

    movement: str
    target: str
    detail: str = ""
    boxes: tuple[str, ...] = ()
    write: str = ""
    of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """One round: its number, when it opens if the clock says so, its sets.

    `timed`: what the clock shows at its end is to be written down.
    """

    number: int
    opens: str
    rows: tuple[Row, ...]
    timed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Rounds of a line each: a cell for each set, with the reps that fill it.

    `opens` is when they open if the clock says so; `more`: there may be more of them.
    """

    heads: tuple[tuple[str, str], ...]
    rounds: tuple[tuple[str, ...], ...]
    timed: bool
    more: bool
    opens: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Missed:
    """A movement's calls, to tally no-reps under."""

    movement: str
    calls: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperPart:
    """One part: what it is in words, and room for what is done in it."""

    name: str
    title: str
    kind: str
    rounds: tuple[Round, ...] = ()
    grid: Grid | None = None
    attempts: tuple[str, ...] = ()
    missed: tuple[Missed, ...] = ()
    timed: bool = False


def parts_of(plan: Plan) -> tuple[PaperPart, ...]:
    """Every part of a lane's work, and the rests between."""
    return tuple(_part(plan, number) for number in range(1, len(plan.parts) + 1))


def _part(plan: Plan, number: int) -> PaperPart:
    part = plan.parts[number - 1]
    title = part_words(part, plan.parts[: number - 1])
    if not part.is_work:
        return PaperPart(name="", title=title, kind="rest")
    grid = _is_grid(plan, number)
    tried = part.kind == "attempts"
    return PaperPart(
        name=part.id,
        title=title.removeprefix(f"{part.id}: ").removesuffix(" of").rstrip(":"),
        kind=part.kind,
        rounds=() if grid or tried else tuple(_rounds(plan, number)),
        grid=_grid(plan, number) if grid else None,
        attempts=_attempts(plan, number) if tried else (),
        missed=tuple(_missed(plan, part)),
        timed=part.ends_by_work and number != last_work(plan),
    )


# --- rounds --------------------------------------------------------------------------


def _is_grid(plan: Plan, number: int) -> bool:
    """Whether rounds have a line each: those of a window, and very many of a few sets.

    Where a set is as many as can be done, or what a monitor shows, it needs its row;
    where movements take turns, each round has one, and names it.
    """
    part, keys = plan.parts[number - 1], plan.round_sets(number, 1)
    if part.in_turn or any(plan.target(key) == OPEN for key in keys):
        return False
    if part.kind == "window":
        return True
    read = any(plan.movement(key).unit in _MONITOR for key in keys)
    many = part.rounds > _ROUNDS_OF_BOXES and len(keys) <= _SETS_OF_A_LINE
    return many and not read and part.kind in ("rounds", "every")


def _rounds(plan: Plan, number: int) -> Iterator[Round]:
    part = plan.parts[number - 1]
    for round_ in range(1, max(1, part.rounds) + 1):
        yield Round(
            number=round_,
            opens=_opens(part, number, round_),
            rows=tuple(_row(plan, key) for key in plan.round_sets(number, round_)),
            timed=_rounds_timed(plan, number),
        )


def _opens(part: PlanPart, number: int, round_: int) -> str:
    """When an interval opens, where that is known: in the first part."""
    known = part.kind == "every" and number == 1
    return show_time((round_ - 1) * part.every_ms) if known else ""


def _rounds_timed(plan: Plan, number: int) -> bool:
    """Whether the score, a rest or a tie-break asks when each round was done."""
    part = plan.parts[number - 1]
    ties = {tie.kind for tie in plan.tiebreaks}
    by_time = any(n == number for n, p in scored_parts(plan)) and (
        scored_by(plan, part) == "time"
    )
    by_round = part.take in ("worst", "best") or part.kind == "every"
    # The end of a part's only round is the part's, which is asked for anyway.
    full_rounds = part.kind == "window" or (part.kind == "rounds" and part.rounds > 1)
    return (
        (by_time and by_round)
        or bool(part.rest_ms)
        or ("last-full-round" in ties and full_rounds)
        or ("interval-seconds" in ties and part.kind == "every")
    )


def _row(plan: Plan, key: SetKey) -> Row:
    movement, card = plan.movement(key), plan.card_of(key)
    target = plan.target(key)
    unit = movement.unit
    shown = "max" if target == OPEN else str(target)
    things = (as_written(plan.load(key)), as_written(movement.height))
    row = Row(
        movement=card.name,
        target=shown if unit in ("reps", "segments") else f"{shown} {unit}",
        detail=", ".join(filter(None, things)),
    )
    if plan.part(key).kind == "hold":
        return _write(row, "held, whole seconds", "")
    if unit in _MONITOR:
        return _write(row, "monitor shows", "" if target == OPEN else str(target))
    if target == OPEN:
        return _write(row, "tally", "")
    return Row(
        movement=row.movement,
        target=row.target,
        detail=row.detail,
        boxes=boxes(target),
    )


def _write(row: Row, words: str, of: str) -> Row:
    return Row(
        movement=row.movement, target=row.target, detail=row.detail, write=words, of=of
    )


def boxes(target: int) -> tuple[str, ...]:
    """The boxes of a set: one for each rep, or for five or ten of them, numbered."""
    step = _STEPS[(target > _EACH) + (target > _BY_FIVE)]
    if step == 1:
        return ("",) * target
    whole = [str(n) for n in range(step, target, step)]
    return (*whole, str(target))


def _grid(plan: Plan, number: int) -> Grid:
    part = plan.parts[number - 1]
    endless = part.kind == "window"
    many = _likely_rounds(plan, number) if endless else part.rounds
    rounds = [plan.round_sets(number, round_) for round_ in range(1, many + 1)]
    # What changes from round to round stands in its cell.
    alike = [
        len({plan.load(k) for k in keys}) == 1 for keys in zip(*rounds, strict=True)
    ]
    return Grid(
        heads=tuple(
            (plan.card_of(key).name, _under(plan, key, loaded=same))
            for key, same in zip(rounds[0], alike, strict=True)
        ),
        rounds=tuple(
            tuple(
                _cell(plan, key, loaded=not same)
                for key, same in zip(keys, alike, strict=True)
            )
            for keys in rounds
        ),
        timed=_rounds_timed(plan, number),
        more=endless,
        opens=tuple(_opens(part, number, n) for n in range(1, many + 1)),
    )


def _cell(plan: Plan, key: SetKey, *, loaded: bool) -> str:
    load = as_written(plan.load(key)) if loaded else ""
    return ", ".join(filter(None, (str(plan.target(key)), load)))


def _under(plan: Plan, key: SetKey, *, loaded: bool) -> str:
    """What stands under a movement above its cells: its unit, load and height."""
    movement = plan.movement(key)
    things = (
        "" if movement.unit == "reps" else movement.unit,
        as_written(plan.load(key)) if loaded else "",
        as_written(movement.height),
    )
    return ", ".join(filter(None, things))


def _likely_rounds(plan: Plan, number: int) -> int:
    """More rounds of a window than most will do, by its cards' ordinary pace."""
    part = plan.parts[number - 1]
    left = _ROOM * (part.length_ms or part.until_ms or plan.cap_ms)
    for round_ in range(1, _MOST_ROUNDS):
        keys = plan.round_sets(number, round_)
        left -= sum(plan.target(k) * plan.card_of(k).ordinary_ms for k in keys)
        if left <= 0:
            return max(_FEWEST_ROUNDS, round_ + 1)
    return _MOST_ROUNDS


def _attempts(plan: Plan, number: int) -> tuple[str, ...]:
    """The planned load of each attempt, empty where it is said on the day."""
    part = plan.parts[number - 1]
    many = part.rounds or _ATTEMPTS
    return tuple(
        as_written(plan.load(SetKey(number, attempt, 1)))
        for attempt in range(1, many + 1)
    )


# --- no-reps -------------------------------------------------------------------------


def _missed(plan: Plan, part: PlanPart) -> Iterator[Missed]:
    for card_id in dict.fromkeys(m.card for m in part.movements):
        card = plan.card(card_id)
        watched = [f for m in part.movements if m.card == card_id for f in m.watch]
        faults = sorted(voiding(card), key=lambda one: one.id not in watched)
        yield Missed(movement=card.name, calls=tuple(one.call for one in faults))


def voiding(card: PlanCard) -> Sequence[PlanFault]:
    """The faults of a card that make a no-rep, in its own order."""
    return [fault for fault in card.faults if fault.weight == "void"]
