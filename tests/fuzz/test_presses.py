"""Thousands of random press sequences: the program and the model never disagree."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.core import entry as e
from judgekit.core import looking
from judgekit.core import press as p
from judgekit.core.checkentry import Check
from judgekit.core.lane import fold
from judgekit.core.plan import SetKey
from judgekit.core.tryentry import Bar, HoldOff, HoldOn, Works
from judgekit.files.folder import load_event
from tests.fuzz.hours import Hours
from tests.fuzz.model import Board, Model
from tests.support import SQUAT, Played, for_time, simple, window

if TYPE_CHECKING:
    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane, Work

SEQUENCES = 1800
# Of each workout among the examples; those are long, and there are many of them.
SEQUENCES_OF_EACH = 40
EXAMPLES = Path(__file__).parents[1] / "formats"
HORN_MS = 60_000


def two_rounds() -> Plan:
    return for_time(cap_ms=0, parts=for_time().parts[:1])


def two_parts() -> Plan:
    """Two parts with no rest between them, one with a monitor."""
    whole = for_time()
    return replace(whole, cap_ms=0, parts=(whole.parts[0], whole.parts[2]))


def capped() -> Plan:
    return replace(two_parts(), cap_ms=HORN_MS)


def short_window() -> Plan:
    part = replace(window().parts[0], length_ms=HORN_MS)
    return window(parts=(part,))


ACTS: tuple[tuple[int, p.Act], ...] = (
    (30, e.Rep()),
    (2, e.Rep(n=2)),
    (8, p.Called(fault="depth")),
    (8, p.Called(fault="lock")),
    (6, e.NoRep()),
    (10, p.TakeBackOne()),
    (6, p.CountAgain()),
    (2, e.MoveOn(why="sore hands")),
    (2, p.GoBack(why="two short")),
    (2, e.Stop()),
    (2, e.Freeze()),
    (2, e.GoOn(by_mistake=True)),
    (2, e.GoOn(by_mistake=False, by="Kim")),
    (2, e.Unfreeze(by_mistake=True)),
    (1, e.Unfreeze(by_mistake=False)),
    (2, e.Correct(by=1, said="one more")),
    (2, e.Correct(by=-1, said="one less")),
    (1, e.Correct(by=-2, said="two less")),
    (3, p.Counted(to=2, set=SetKey(1, 1, 1))),
    (2, p.Counted(to=1, set=SetKey(1, 1, 2))),
    (1, p.Counted(to=9, set=SetKey(1, 1, 1))),
    (4, e.Reading(shows=2)),
    (2, e.Reading(shows=4)),
    (1, e.Reading(shows=9)),
    (2, p.Name(fault="lock")),
    (1, p.WasClose()),
    (5, p.AnswerExtra(yes=True)),
    (2, p.AnswerExtra(yes=False)),
    (2, p.AnswerHorn(counts=True)),
    (1, p.AnswerHorn(counts=False)),
    (1, e.Withdraw(why="pain")),
    (1, Check(item="clock", answer="as planned")),
    (1, Check(item="clock", answer="not as planned", why="a minute slow")),
)
GAPS_MS = (0, 0, 1, 60, 200, 700, 999, 1000, 1001, 1999, 2001, 4000, 9000, -300)


# What the other formats ask for besides; a rep begins and ends a hold, too.
MORE_ACTS: tuple[tuple[int, p.Act], ...] = (
    *ACTS,
    # Most reps are good, so that sets, rounds and parts fill up and give way.
    (30, e.Rep()),
    (12, e.Rep(n=4)),
    (6, Bar(load="60 kg")),
    (2, Bar(load="135 lb")),
    (1, Bar(load="6 ft")),
    (4, Bar(load="", confirmed=True)),
    (4, HoldOn()),
    (4, HoldOff()),
    (3, Works(bib="11")),
    (3, Works(bib="22")),
    (4, e.Reading(shows=12)),
    (2, e.Reading(shows=27)),
)
# Now and then half a minute passes, so that many sequences see several intervals.
MORE_GAPS_MS = (*GAPS_MS * 2, 14_000, 31_000, 59_400)


def sequence(
    chance: random.Random,
    weighed: tuple[tuple[int, p.Act], ...] = ACTS,
    gaps_ms: tuple[int, ...] = GAPS_MS,
    starts_ms: tuple[int, ...] = (-12_000, 0, HORN_MS - 4000, HORN_MS - 700),
) -> list[tuple[int, p.Act | None]]:
    """Acts with their heat times; None is go."""
    weights, acts = zip(*weighed, strict=True)
    at = chance.choice(starts_ms)
    go_after = chance.choice((0, 0, 0, 3))
    made: list[tuple[int, p.Act | None]] = []
    for n in range(chance.randrange(4, 45)):
        if n == go_after:
            made.append((0, None))
        at += chance.choice(gaps_ms)
        act = chance.choices(acts, weights)[0]
        if isinstance(act, p.TakeBackOne) and made and chance.random() < 0.3:
            act = p.TakeBackOne(at=chance.choice(made)[0])
        if isinstance(act, p.AnswerExtra) and made and chance.random() < 0.4:
            act = p.AnswerExtra(yes=act.yes, at=chance.choice(made[-6:])[0])
        if isinstance(act, p.WasClose) and made and chance.random() < 0.4:
            act = p.WasClose(at=chance.choice(made[-6:])[0])
        made.append((at, act))
    return made


def board_of(lane: Lane, work: Work) -> dict[str, object]:
    """What the program says, in the model's words."""
    number = {x.ref: n for n, x in enumerate(_pressed(lane), 1)}
    return {
        "good": {s.key: s.good for s in work.sets if s.good},
        "no-reps": {s.key: s.no_reps for s in work.sets if s.no_reps},
        "cursor": work.cursor,
        "faults": {
            number[a.ref]: list(a.faults)
            for a in work.attempts
            if not a.good and "not counted" not in a.marks
        },
        "soon": [
            (number[a.ref], a.counts)
            for a in work.attempts
            if {"soon", "changeover", "unlikely"} & set(a.marks)
        ],
        "ends": dict(work.part_ends),
        "rounds": {(part, round_): at for part, round_, at in work.round_ends},
        "bars": {(bar.part, bar.round): (bar.load, bar.confirmed) for bar in work.bars},
        "hold": work.hold and (work.hold.set, work.hold.from_ms),
        "turns": list(work.turns),
        "spent": {s.key for s in work.sets if s.spent},
        "counted": [(number[a.ref], a.at, a.n, a.counts) for a in work.attempts],
    }


def _pressed(lane: Lane) -> list[e.Entry]:
    return [x for x in lane.entries if not isinstance(x.body, e.Claim | e.Go)]


def told_by(board: Board) -> dict[str, object]:
    return {
        "good": {key: n for key, n in board.good.items() if n},
        "no-reps": dict(board.no_reps),
        "cursor": board.cursor,
        "faults": board.faults,
        "soon": [(x.number, x.counts) for x in board.tried if x.soon],
        "ends": board.part_ends,
        "rounds": board.round_ends,
        "bars": board.bars,
        "hold": board.hold and (board.hold.set, board.hold.at),
        "turns": board.turns,
        "spent": board.spent,
        "counted": [(x.number, x.at, x.many, x.counts) for x in board.tried],
    }


def outcome(played: Played, at: int, act: p.Act) -> str:
    many, refusals = len(played.entries), len(played.refusals)
    played.press(at / 1000, act)
    if len(played.refusals) > refusals:
        return "refused"
    # A hold that was long enough ends by itself, before what was pressed.
    last = played.entries[many:][-1]
    odd = {"ignored": "ignored", "early": "early"}
    return odd.get(last.body.kind, "kept")


def compare(plan: Plan, made: list[tuple[int, p.Act | None]]) -> None:
    played, model = Played(plan), Model(plan)
    for at, act in made:
        if act is None:
            played.go()
            model.started = True
            continue
        assert outcome(played, at, act) == model.press(act, at), (at, act)
        lane, read = played.lane, model.read()
        assert board_of(lane, lane.work) == told_by(read.score), (at, act)
        onward = looking.work_now(lane)
        if onward is not lane.work or read.onward is not read.score:
            assert board_of(lane, onward) == told_by(read.onward), (at, act)
        assert [hold.kind for hold in lane.holds] == read.holds
        assert lane.held == (read.held if read.holds else 0)
        assert len(lane.horn_asks) == len(read.onward.at_horn), (at, act)
        gone = {taken.target for taken in lane.taken_back}
        live = [
            n
            for n, x in enumerate(_pressed(lane), 1)
            if isinstance(x.body, e.Judged) and x.ref not in gone
        ]
        assert live == [x.number for x in model.lines if x.judged and x.stands]
    assert fold(plan, played.entries) == played.lane


PLANS = {
    "one set": simple(6),
    "two rounds": two_rounds(),
    "two parts": two_parts(),
    "capped": capped(),
    "window": short_window(),
}


@pytest.mark.parametrize("name", list(PLANS))
def test_random_presses_are_what_the_model_says(name: str) -> None:
    for seed in range(SEQUENCES):
        agree(PLANS[name], seed, sequence(random.Random(seed)))  # noqa: S311


def agree(plan: Plan, seed: int, made: list[tuple[int, p.Act | None]]) -> None:
    try:
        compare(plan, made)
    except Exception as error:
        listed = "\n".join(f"{at:7d} {act}" for at, act in made)
        error.add_note(f"seed {seed} on {plan.workout}\n{listed}")
        raise


@cache
def examples() -> dict[str, Plan]:
    """The plan of each workout among the examples, with faults that all have."""
    event = load_event(EXAMPLES, shown="formats")
    plans = {row.workout: event.plan_of(row, ()) for row in event.heats}
    return {name: _with_faults(plan) for name, plan in plans.items()}


def _with_faults(plan: Plan) -> Plan:
    cards = tuple(
        replace(card, criteria=SQUAT.criteria, faults=SQUAT.faults)
        for card in plan.cards
    )
    return replace(plan, cards=cards)


def _starts(plan: Plan) -> tuple[int, ...]:
    """Go, and shortly before some horn that is known from the start."""
    hours = Hours(plan, {}, {})
    first = plan.first_from(1)
    horns = [hours.bell(), *hours.ends.values()]
    horns += [hours.horn(first)] if first else []
    known = sorted({horn for horn in horns if horn})
    return (-12_000, *[0] * 6, *(ms - by for ms in known for by in (4000, 700)))


@pytest.mark.parametrize("workout", sorted(w.stem for w in EXAMPLES.glob("*/*.toml")))
def test_random_presses_on_each_format_are_what_the_model_says(workout: str) -> None:
    plan = examples()[workout]
    starts = _starts(plan)
    for seed in range(SEQUENCES_OF_EACH):
        chance = random.Random(seed)  # noqa: S311 - presses, not secrets
        agree(plan, seed, sequence(chance, MORE_ACTS, MORE_GAPS_MS, starts))
