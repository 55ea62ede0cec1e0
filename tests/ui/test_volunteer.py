"""What annoyed a volunteer who judged a whole heat: each mended, and kept so."""

from __future__ import annotations

from dataclasses import dataclass

from judgekit.core.entry import NameFault, NoRep, Rep, Stop
from judgekit.core.press import Name
from judgekit.ui.controls import Controls
from judgekit.ui.logmenu import log_menu
from judgekit.ui.moment import Moment
from judgekit.ui.panels import Known, Menu, Submit, Typing
from judgekit.ui.screens.heard import Stamps
from judgekit.ui.views.telling import telling
from tests.support import Played, for_time, window
from tests.ui.fake_desk import Floor, text

SIZE = (80, 24)


def moment(played: Played, seconds: float) -> Moment:
    ms = round(seconds * 1000)
    return Moment(lane=played.lane, boot_ms=ms, heat_ms=ms)


def test_the_log_goes_on_behind_its_newest_eight_entries() -> None:
    played = Played(window()).go()
    for at in range(2, 42, 2):
        played.press(at, Rep())
    controls = Controls()
    controls.press("l", moment(played, 50))
    seen: list[str] = []
    while isinstance(controls.panel, Menu):
        seen += [c.says for c in controls.panel.choices if c.says != "older ones"]
        if controls.panel.choices[-1].says != "older ones":
            break
        controls.press(str(len(controls.panel.choices)), moment(played, 51))
    assert len(seen) == len(set(seen)) == len(played.entries)
    assert seen[0].startswith("0:40.0")
    assert seen[-1] == "judge kb"


def test_a_log_of_eight_entries_has_no_older_ones() -> None:
    played = Played(window()).go()
    for at in range(2, 14, 2):
        played.press(at, Rep())
    menu = log_menu(played.lane, Known())
    assert len(menu.choices) == len(played.entries) == 8
    assert all(choice.says != "older ones" for choice in menu.choices)


def test_stop_closes_what_was_being_typed() -> None:
    played = Played(for_time()).go()
    played.press(2, Rep())
    controls = Controls()
    controls.press("w", moment(played, 3))
    controls.press("2", moment(played, 3.1))
    assert isinstance(controls.panel, Typing)
    assert controls.press("0", moment(played, 3.3)) == Submit(act=Stop())
    assert controls.panel is None


def test_naming_an_older_no_rep_is_told_in_a_line_and_flashes_nothing() -> None:
    played = Played(for_time()).go()
    played.press(2, NoRep())
    played.press(4, Rep())
    played.press(9, Name(fault="depth", at=2000))
    named = played.entries[-1]
    assert isinstance(named.body, NameFault)
    assert "depth" in telling(played.lane, named, ())


async def test_an_older_no_rep_that_is_named_leaves_the_newest_mark() -> None:
    floor = Floor(for_time())
    floor.go()
    floor.act(NoRep(), after=2000)
    floor.act(Rep(), after=2000)
    at = floor.lane.entries[-2].at
    async with floor.app.run_test(size=SIZE) as pilot:
        floor.act(Name(fault="depth", at=at), after=5000)
        await pilot.pause()
        assert "named depth" in text(floor.app)
        assert "✗ NO REP" not in text(floor.app)


@dataclass
class _Key:
    time: float


class _Clock:
    """A boot clock that is read a little late, each time by another bit."""

    def __init__(self, *reads: int) -> None:
        self._reads = list(reads)

    def boot_ms(self) -> int:
        return self._reads.pop(0)


def test_keys_of_one_read_share_a_stamp_and_none_runs_back() -> None:
    stamps = Stamps()
    far = 1e12
    clock = _Clock(6423, 6422, 6500)
    found = [
        stamps.of(clock, _Key(time))  # type: ignore[arg-type]
        for time in (far, far, far + 0.001, far + 1)
    ]
    assert found == [6423, 6423, 6423, 6500]
