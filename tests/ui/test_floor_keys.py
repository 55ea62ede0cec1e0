"""Keys that came together, keys without meaning, keys at the edge of the heat."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Early, Ignored, NoRep, Rep, Session
from judgekit.ui.compat import Key
from tests.support import simple
from tests.ui.fake_desk import Floor, text, until

if TYPE_CHECKING:
    from textual.pilot import Pilot

SIZE = (80, 24)
FAST = "came at once, faster than a hand"


@pytest.fixture(autouse=True)
def _exact(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key is handled in the very instant in which it was pressed."""
    monkeypatch.setattr("judgekit.ui.screens.heard.monotonic", lambda: 0.0)


async def one_read(floor: Floor, pilot: Pilot[None], *keys: str) -> None:
    """Keys that the terminal sent in one go, two seconds after the last one."""
    floor.clock.pass_(2000)
    for key in keys:
        event = Key(key, " " if key == "space" else None, many=len(keys))
        event.time = float(floor.clock.boot_now)
        floor.app.screen.post_message(event)
    await pilot.pause()


def ignored(floor: Floor) -> list[tuple[str, str, int]]:
    found = [body for body in floor.bodies() if isinstance(body, Ignored)]
    return [(body.key, body.why, body.many) for body in found]


async def test_a_few_keys_of_one_read_count_and_are_told() -> None:
    floor = Floor(simple(reps=20))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await one_read(floor, pilot, "space", "space", "d")
        assert (floor.good, floor.lane.work.sets[0].no_reps) == (2, 1)
        assert "3 keys came at once: each of them counts." in text(floor.app)


async def test_a_paste_without_marks_counts_nothing_and_is_one_entry() -> None:
    floor = Floor(simple(reps=20))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await one_read(floor, pilot, "a", "d", "d", "space", "space", "d", "a", "0")
        said = "Many keys at once, faster than a hand: none of them counts."
        assert said in text(floor.app)
        await floor.tap(pilot, "space")
        assert (floor.good, floor.lane.stopped) == (1, False)
        assert ignored(floor) == [("a d d space space d a 0", FAST, 8)]
        assert not any(isinstance(body, NoRep) for body in floor.bodies())


async def test_a_run_is_told_and_logged_without_another_key() -> None:
    floor = Floor(simple(reps=20))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await one_read(floor, pilot, *["space"] * 6)
        floor.clock.pass_(500)
        await until(pilot, lambda: bool(ignored(floor)))
        assert ignored(floor) == [(" ".join(["space"] * 6), FAST, 6)]
        assert "6 keys at once, faster than a hand: not counted." in text(floor.app)


async def test_a_dead_key_is_told_kept_and_hides_no_judgement() -> None:
    floor = Floor(simple(reps=20))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space")
        await floor.tap(pilot, "ctrl+a", after=300)
        shown = text(floor.app)
        assert "ctrl+a does nothing on Front squat. ? lists the keys." in shown
        assert ("✓ good" in shown, "0:02.0  rep 1" in shown) == (True, True)
        assert "0:02.3" not in shown
        assert ignored(floor) == [("ctrl+a", "does nothing", 1)]


async def test_before_go_a_dead_key_is_told_only() -> None:
    floor = Floor(simple(reps=20))
    async with floor.app.run_test(size=SIZE) as pilot:
        before = floor.bodies()
        await floor.tap(pilot, "ctrl+a")
        assert "ctrl+a does nothing" in text(floor.app)
        assert floor.bodies() == before


async def test_a_key_that_cannot_be_read_is_told_in_words() -> None:
    floor = Floor(simple(reps=20))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "unreadable")
        said = "The terminal sent a key that cannot be read: it does nothing."
        assert said in text(floor.app)


async def test_the_last_press_before_zero_and_the_first_one_at_it() -> None:
    floor = Floor(simple(reps=20))
    floor.desk.call_go(boot_ms=floor.clock.boot_now)
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", after=9_900)
        await floor.tap(pilot, "space", after=100)
        kept = [body for body in floor.bodies() if isinstance(body, Early | Rep)]
        assert kept == [Early(), Rep()]
        assert floor.good == 1


async def test_pasted_digits_sign_no_scorecard() -> None:
    floor = Floor(simple(reps=1))
    floor.go()
    async with floor.app.run_test(size=SIZE) as pilot:
        await floor.tap(pilot, "space", "g")
        await pilot.pause()
        before = floor.bodies()
        floor.app.screen._ready = 0.0  # type: ignore[attr-defined]
        await one_read(floor, pilot, "1", "2", "3", "4", "1")
        assert "Many keys at once" in text(floor.app)
        new = [b for b in floor.bodies()[len(before) :] if not isinstance(b, Session)]
        assert new == []
