"""Every kind of text that came from a file or a keyboard, hostile one at a time."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import (
    Claim,
    Correct,
    Dispute,
    Freeze,
    GoOn,
    MoveOn,
    NoRep,
    Reading,
    Rep,
    Rule,
    Stop,
    Withdraw,
)
from judgekit.core.ruling import TimeBy
from judgekit.core.score import score
from judgekit.reports.scorecard import scorecard
from judgekit.ui import morepanels, panels
from judgekit.ui.logmenu import log_menu
from judgekit.ui.panels import Known
from judgekit.ui.text import width_of
from judgekit.ui.views.floor import floor_view
from judgekit.ui.views.phase import Now
from judgekit.ui.views.sheet import sheet
from judgekit.ui.widgets.laying import Over, face_rows
from judgekit.ui.widgets.row import written
from judgekit.ui.widgets.sheetpane import _drawn
from tests.support import Played, for_time
from tests.ui.test_stress import HOSTILE

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.core.entry import Body
    from judgekit.core.plan import Plan, PlanCard

SIZES = [(80, 24), (60, 20), (40, 12), (120, 40), (48, 50)]


def _card(change: Callable[[PlanCard], PlanCard]) -> Plan:
    plan = for_time()
    return replace(plan, cards=(change(plan.cards[0]), *plan.cards[1:]))


def _moved(**changes: object) -> Plan:
    plan = for_time()
    first = replace(plan.parts[0].movements[0], **changes)  # type: ignore[arg-type]
    part = replace(plan.parts[0], movements=(first, *plan.parts[0].movements[1:]))
    return replace(plan, parts=(part, *plan.parts[1:]))


def _calls(card: PlanCard, word: str) -> PlanCard:
    return replace(card, faults=tuple(replace(f, call=word) for f in card.faults))


def _says(card: PlanCard, word: str) -> PlanCard:
    return replace(card, criteria=tuple(replace(c, says=word) for c in card.criteria))


PLANS: dict[str, Callable[[str], Plan]] = {
    "athlete": lambda word: for_time(name=word),
    "workout": lambda word: for_time(workout_name=word),
    "division": lambda word: for_time(division_name=word),
    "event": lambda word: for_time(event=word),
    "card": lambda word: _card(lambda card: replace(card, name=word)),
    "call": lambda word: _card(lambda card: _calls(card, word)),
    "criterion": lambda word: _card(lambda card: _says(card, word)),
    "load": lambda word: _moved(loads=(word,)),
    "height": lambda word: _moved(height=word),
    "instead of": lambda word: _moved(instead_of=word),
}
# What a log holds in people's own words.
BODIES: dict[str, Callable[[str], Body]] = {
    "judge": lambda word: Claim(judge=word),
    "withdrew": lambda word: Withdraw(why=word),
    "moved on": lambda word: MoveOn(why=word),
    "said": lambda word: Correct(by=1, said=word),
    "let go on": lambda word: GoOn(by_mistake=False, by=word),
    "disputed": lambda word: Dispute(about=word),
    "ruled": lambda word: Rule(effect=TimeBy(by_ms=1000), why=word),
}


def played(plan: Plan) -> Played:
    lane = Played(plan).go()
    lane.press(3, Rep())
    lane.press(6, NoRep(faults=("depth",)))
    return lane


def drawn(lane: Played, over: Over, size: tuple[int, int], word: str) -> list[str]:
    """The Floor row by row; each one is exactly as wide as the screen, and plain."""
    view = floor_view(lane.lane, Now(heat_ms=7000, judges={"kb": word}))
    rows = [written(row) for row in face_rows(view, over, *size)]
    assert [width_of(row) for row in rows] == [size[0]] * size[1]
    assert all(row.replace("\u200d", "").isprintable() for row in rows)
    return rows


def check(lane: Played, over: Over, word: str) -> None:
    """Nothing moves what a judge must find in its place, on any screen."""
    for size in SIZES:
        rows = drawn(lane, over, size, word)
        seen = "\n".join(rows)
        assert "heat 3  lane 4" in rows[0]
        assert rows[0].rstrip().endswith("0:07") or size == (120, 40)
        # Two lines of words stand in the place of the keys on the smallest screen.
        assert "saved" in seen or size == (40, 12)
        assert "of 3" in seen
        if over.panel is None and not over.flash:
            assert ("0  STOP" in seen, "n  no rep" in seen) == (True, True)


def check_card(lane: Played, word: str) -> None:
    card = scorecard(lane.lane, score(lane.lane), judge=word, log_code="b-9-abc")
    for line in sheet(card, 78):
        content = _drawn(line)
        assert content.plain.replace("\u200d", "").isprintable()
        assert len(content.spans) <= 1


@pytest.mark.parametrize("word", HOSTILE)
@pytest.mark.parametrize("kind", PLANS)
def test_a_text_of_a_file_stays_in_its_place(kind: str, word: str) -> None:
    lane = played(PLANS[kind](word))
    check(lane, Over(), word)
    for menu in (log_menu(lane.lane, Known()), panels.keys_page(lane.lane, 7)):
        check(lane, Over(panel=menu), word)
    check_card(lane, word)


@pytest.mark.parametrize("word", HOSTILE)
@pytest.mark.parametrize("kind", BODIES)
def test_words_in_the_log_stay_in_their_place(kind: str, word: str) -> None:
    lane = played(for_time())
    if kind == "let go on":
        lane.put(Stop(), 6500)
    lane.put(BODIES[kind](word), 6800)
    known = Known(athletes={"27": word}, judges={"kb": word})
    for size in SIZES:
        drawn(lane, Over(), size, word)
        for menu in (
            log_menu(lane.lane, known),
            morepanels.more_menu(lane.lane, known, 7000),
        ):
            drawn(lane, Over(panel=menu), size, word)
    check_card(lane, word)


@pytest.mark.parametrize("word", HOSTILE)
def test_a_refusal_that_names_a_card_is_shown_as_words(word: str) -> None:
    lane = played(PLANS["card"](word))
    none = NoRep(faults=("none",))
    for act in (Rep(n=9), Reading(shows=3), Correct(by=99, said="99"), none):
        lane.press(7, act)
    lane.press(8, Freeze())
    lane.press(9, Freeze())
    assert len(lane.refusals) > 3
    for says in lane.refusals:
        check(played(for_time()), Over(notice=says), word)


@pytest.mark.parametrize("word", HOSTILE)
@pytest.mark.parametrize(
    "says",
    [
        "Not saved, tried again each second: {}",
        "{} judges this lane now. This desk counts no more.",
        "Not written: {}.",
        "{} does nothing on Front squat. ? lists the keys.",
    ],
)
def test_what_the_desk_tells_with_a_strange_word_in_it(says: str, word: str) -> None:
    check(played(for_time()), Over(notice=says.format(word)), word)


@pytest.mark.parametrize("word", HOSTILE)
def test_a_name_that_is_typed_for_stays_in_the_panel(word: str) -> None:
    lane = played(for_time())
    typing = panels.Typing(opener="more", title=word, what="athlete", typed="27")
    check(lane, Over(panel=typing, typed_for=word), word)
