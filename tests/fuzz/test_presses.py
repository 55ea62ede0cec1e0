"""Thousands of random press sequences: the program and the model never disagree."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core import entry as e
from judgekit.core import looking
from judgekit.core import press as p
from judgekit.core.checkentry import Check
from judgekit.core.lane import fold
from judgekit.core.plan import SetKey
from tests.fuzz.model import Board, Model
from tests.support import Played, for_time, simple, window

if TYPE_CHECKING:
    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane, Work

SEQUENCES = 2500
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


def sequence(chance: random.Random) -> list[tuple[int, p.Act | None]]:
    """Acts with their heat times; None is go."""
    weights, acts = zip(*ACTS, strict=True)
    at = chance.choice((-12_000, 0, HORN_MS - 4000, HORN_MS - 700))
    go_after = chance.choice((0, 0, 0, 3))
    made: list[tuple[int, p.Act | None]] = []
    for n in range(chance.randrange(4, 45)):
        if n == go_after:
            made.append((0, None))
        at += chance.choice(GAPS_MS)
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
    }


def outcome(played: Played, at: int, act: p.Act) -> str:
    many, refusals = len(played.entries), len(played.refusals)
    played.press(at / 1000, act)
    if len(played.refusals) > refusals:
        return "refused"
    [made] = played.entries[many:]
    odd = {"ignored": "ignored", "early": "early"}
    return odd.get(made.body.kind, "kept")


def compare(plan: Plan, horn: int | None, made: list[tuple[int, p.Act | None]]) -> None:
    played, model = Played(plan), Model(plan, horn)
    for at, act in made:
        if act is None:
            played.go()
            model.started = True
            continue
        assert outcome(played, at, act) == model.press(act, at), (at, act)
        lane, read = played.lane, model.read()
        assert board_of(lane, lane.work) == told_by(read.score), (at, act)
        onward = looking.work_now(lane)
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
    "one set": (simple(6), None),
    "two rounds": (two_rounds(), None),
    "two parts": (two_parts(), None),
    "capped": (capped(), HORN_MS),
    "window": (short_window(), HORN_MS),
}


@pytest.mark.parametrize("name", list(PLANS))
def test_random_presses_are_what_the_model_says(name: str) -> None:
    plan, horn = PLANS[name]
    for seed in range(SEQUENCES):
        made = sequence(random.Random(seed))  # noqa: S311 - presses, not secrets
        try:
            compare(plan, horn, made)
        except Exception as error:
            listed = "\n".join(f"{at:7d} {act}" for at, act in made)
            error.add_note(f"seed {seed} on {name}\n{listed}")
            raise
