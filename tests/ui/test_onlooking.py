"""Board and head judge's view of any lane at any moment, whatever is written there."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Dispute, Freeze, NoRep, Rep, Stop
from judgekit.core.press import TakeBackOne
from judgekit.core.tryentry import Bar, HoldOff, HoldOn
from judgekit.ui.headkeys import HeadKeys
from judgekit.ui.text import width_of
from judgekit.ui.views.board import board_view
from judgekit.ui.views.head import FactsKept, head_view
from judgekit.ui.widgets.boardlaying import board_rows
from judgekit.ui.widgets.headlaying import Below, head_rows
from judgekit.ui.widgets.row import written
from tests.format_plans import FORMATS
from tests.support import Played, for_time
from tests.ui.heats_seen import at, heat
from tests.ui.test_stress import HOSTILE

if TYPE_CHECKING:
    from judgekit.core.plan import Plan

SIZES = [(80, 24), (120, 40), (160, 45), (40, 12), (20, 5)]


def shown(played: Played, seconds: float, keys: HeadKeys | None = None) -> str:
    """Both screens at every size, each row exactly as wide as the screen, and plain."""
    seen = heat("3", played)
    board = board_view([seen], at(seconds), "UTC", "3")
    head = head_view(seen, at(seconds), FactsKept(None, {}))
    below = Below(
        lane=played.plan.lane,
        open=keys.open if keys else None,
        typed=keys.typed if keys else "",
    )
    texts = []
    for size in SIZES:
        for found in (board_rows(board, 0, *size), head_rows(head, below, *size)):
            rows = [written(row) for row in found]
            assert [width_of(row) for row in rows] == [size[0]] * size[1]
            assert all(row.replace("\u200d", "").isprintable() for row in rows)
            texts += rows
    return "\n".join(texts)


@pytest.mark.parametrize("plan", FORMATS.values(), ids=FORMATS.keys())
def test_every_format_is_shown_at_every_moment_of_it(plan: Plan) -> None:
    played = Played(plan).go()
    acts = (Bar(load="60 kg"), HoldOn(), Rep(), NoRep(), HoldOff(), Rep(), Rep())
    for second in range(1, 120, 4):
        played.press(second, acts[second // 4 % len(acts)])
        whole = shown(played, second + 0.5)
        assert "heat 3" in whole
        assert played.plan.bib in whole
    shown(played, 4000)


@pytest.mark.parametrize("word", HOSTILE)
def test_no_text_moves_anything_or_reaches_the_hall_unasked(word: str) -> None:
    plan = for_time(
        name=word, workout_name=word, division_name=word, bib=word[:4] or "1"
    )
    played = Played(plan).go()
    played.each(Rep(), 3, 6, 6.1)
    played.press(20, TakeBackOne())
    played.press(21, Dispute(about=word, by=word, evidence=word))
    played.press(22, Freeze(why=word))
    played.press(23, Stop(sign=word))
    shown(played, 24)
    lanes = [played.lane]
    for opens in ("r", "d", "u", "f"):
        keys = HeadKeys()
        keys.choose(lanes)
        keys.press(opens, opens, lanes)
        keys.typed = word
        shown(played, 24, keys)
