"""The head judge's view: what waits in each lane, and no order by one key alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import (
    Dispute,
    Freeze,
    Note,
    Recall,
    Rep,
    Rule,
    Stop,
    Time,
    Unfreeze,
)
from judgekit.core.people import Emergency
from judgekit.core.plan import SetKey
from judgekit.core.press import Answering, RuleAt, TakeBackOne, WasClose
from judgekit.core.ruling import (
    RepsInSet,
    RestoreAttempt,
    RunCounts,
    Stands,
    TimeBy,
    VoidAttempt,
)
from judgekit.desk.headdesk import HeadDesk
from judgekit.desk.onlooker import Onlooker
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.ui.effects import Opened, Say
from judgekit.ui.headkeys import (
    HINTS,
    NEEDS_WHY,
    HeadKeys,
    Leaves,
    Ordered,
    OtherHeat,
    Ruled,
)
from judgekit.ui.screens.head import HeadScreen
from judgekit.ui.views.head import (
    NO_EMERGENCY,
    Facts,
    FactsKept,
    HeadLane,
    HeadView,
    emergency_lines,
    facts_of,
    head_view,
)
from judgekit.ui.watch_app import WatchApp
from judgekit.ui.widgets.headlaying import Below, head_rows
from judgekit.ui.widgets.row import written
from tests.desk.fakes import FakeClock
from tests.small_event import write_event
from tests.support import Played, simple, window
from tests.ui.fake_desk import faint, text, until
from tests.ui.heats_seen import at, heat

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from judgekit.core.state import Lane
    from judgekit.desk import Desk
    from judgekit.desk.onlooker import HeatSeen
    from judgekit.ui.headkeys import HeadEffect

FIRST = SetKey(1, 1, 1)


def disputed() -> Played:
    """A lane of which somebody says that one rep more was good."""
    played = Played(simple(10, lane=1)).go()
    played.each(Rep(), 10, 20, 30)
    played.press(40, Dispute(about="one more", claims=RepsInSet(set=FIRST, by=1)))
    return played


# --- what stands there ---------------------------------------------------------------


def test_what_waits_in_a_lane_is_counted_and_told_the_newest_first() -> None:
    played = Played(simple(40, lane=1)).go()
    played.each(Rep(), 4, 5.3, 6.6, 6.7, 12)
    played.press(12.5, WasClose())
    played.press(16, Rep())
    played.press(20, Rep())
    played.press(20.5, TakeBackOne())
    played.press(30, TakeBackOne())
    played.press(40, Dispute(about="one more", claims=RepsInSet(set=FIRST, by=1)))
    played.press(50, Stop(sign="grey face"))
    found = facts_of(played.lane, None, {})
    assert found == Facts(
        stops=1,
        disputes=1,
        soon=1,
        late=1,
        close=1,
        matters=found.matters,
    )
    stamps = [line.split("  ")[0].strip() for line in found.matters]
    assert stamps == sorted(stamps, reverse=True)
    said = "\n".join(found.matters)
    for word in (
        "STOP (grey face)",
        "dispute 1",
        "taken back",
        "sooner than",
        "close call",
    ):
        assert word in said


def test_a_rep_at_the_horn_is_counted_until_somebody_answers() -> None:
    played = Played(window(lane=1)).go()
    played.each(Rep(), 10, 300.2)
    assert facts_of(played.lane, None, {}).horn == 1
    target = played.lane.horn_asks[0]
    played.press(310, Rule(effect=VoidAttempt(target=target), why="too late"))
    found = facts_of(played.lane, None, {})
    assert found.horn == 0
    assert "ruling" in found.matters[0]


def test_open_items_of_the_lane_check_are_counted_where_the_event_has_one(
    tmp_path: Path,
) -> None:
    folder = write_event(tmp_path / "event")
    toml = folder / "event.toml"
    toml.write_text(toml.read_text("utf-8").replace('"off"', '"on"'), "utf-8")
    event = load_event(folder)
    onlooker = Onlooker(event)
    onlooker.look()
    [one, _] = onlooker.heats
    kept = FactsKept(event.gear, {})
    assert kept.of(one.lanes[0]).checks > 5
    assert facts_of(one.lanes[0].lane, None, {}).checks == 0


def view() -> HeadView:
    ana = Played(simple(10, lane=1, name="Ana Roth")).go()
    ana.press(4, Rep())
    bo = Played(simple(10, lane=2, bib="28", name="Bo Lindt")).go()
    bo.press(5, Stop(sign="grey face"))
    kept = FactsKept(None, {"kb": "Kim Brandt"})
    return head_view(heat("3", ana, bo), at(7), kept)


def test_the_view_says_how_each_lane_is_and_who_is_stopped_for_what() -> None:
    found = view()
    assert (found.title, found.clock) == ("heat 3   Quayside", "0:07")
    assert found.alarm == "STOP  lane 2: grey face"
    assert found.lanes[0] == HeadLane(
        number=1,
        who=found.lanes[0].who,
        judge="Kim Brandt",
        state="works",
        count="1",
        facts=Facts(),
    )
    assert (found.lanes[1].state, found.lanes[1].stop) == ("STOP", "grey face")


def test_what_is_noted_after_a_stop_stands_with_it() -> None:
    bo = Played(simple(10, lane=2)).go()
    bo.press(5, Stop())
    found = head_view(heat("3", bo), at(7), FactsKept(None, {}))
    assert found.alarm == "STOP  lane 2"
    bo.press(6, Note(text="grey face, sat down"))
    found = head_view(heat("3", bo), at(7), FactsKept(None, {}))
    assert found.alarm == "STOP  lane 2: grey face, sat down"
    assert found.lanes[0].facts.matters[0].endswith("note: grey face, sat down")


def test_eighty_columns_have_a_column_for_each_and_the_chosen_lane_below() -> None:
    rows = [written(row).rstrip() for row in head_rows(view(), Below(lane=2), 80, 24)]
    assert rows[1] == " STOP lane 2: grey face"
    assert rows[2].split() == [
        *("lane", "count", "check", "stop", "asks", "horn", "soon", "late", "close")
    ]
    assert rows[3].split() == ["1", "27", "Ana", "Roth", "works", "1", *"......."]
    assert rows[4].split()[:6] == [">", "2", "28", "Bo", "Lindt", "STOP"]
    assert rows[4].split()[-7:] == [".", "1", ".", ".", ".", ".", "."]
    whole = "\n".join(rows)
    assert "lane 2   28 Bo Lindt   judge Kim Brandt   STOP grey face" in whole
    assert "0:05.0  STOP (grey face)" in whole
    assert all(hint in whole for hint in HINTS)


@pytest.mark.parametrize(
    ("columns", "headed"),
    [
        (74, "count check stop asks horn soon late close"),
        (58, "count check stop asks horn"),
        (57, "count waits"),
    ],
)
def test_fewer_columns_have_first_what_waits_for_a_word(
    columns: int, headed: str
) -> None:
    shown = [written(row) for row in head_rows(view(), Below(lane=2), columns, 24)]
    assert shown[2].split() == ["lane", *headed.split()]
    assert shown[3].split()[:4] == ["1", "27", "Ana", "Roth"]
    assert len(shown[4].split()) == len(shown[3].split()) + 1


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (160, 45), (40, 12)])
def test_each_size_is_filled_and_keeps_the_alarm_the_chosen_lane_and_the_keys(
    size: tuple[int, int],
) -> None:
    many = [Played(simple(10, lane=n, name=f"Ana {n}")).go() for n in range(1, 13)]
    many[2].press(5, Stop())
    found = head_view(heat("3", *many), at(7), FactsKept(None, {}))
    for chosen in (1, 7, 12):
        rows = [written(row) for row in head_rows(found, Below(lane=chosen), *size)]
        assert {len(row) for row in rows} == {size[0]}
        assert len(rows) == size[1]
        assert "STOP lane 3" in rows[1]
        assert any(row.startswith(f" >{chosen:>2} ") for row in rows)
        assert "q close" in rows[-1]


def test_every_choice_of_the_longest_list_has_its_key_on_a_small_screen() -> None:
    keys = HeadKeys()
    many = [Played(simple(10, lane=n)).go() for n in range(1, 13)]
    lanes = [one.lane for one in many]
    keys.choose(lanes)
    keys.press("r", "r", lanes)
    found = head_view(heat("3", *many), at(7), FactsKept(None, {}))
    for size in ((80, 24), (40, 12)):
        below = Below(lane=1, open=keys.open)
        whole = "\n".join(written(row) for row in head_rows(found, below, *size))
        for choice in ("1", "9", "a", "c"):
            assert f" {choice} " in whole
        assert "close" in whole


def test_whom_to_call_is_told_or_that_nobody_is_named() -> None:
    assert emergency_lines(Emergency(call="112", first_aid="red box")) == (
        "call: 112",
        "first aid: red box",
    )
    assert emergency_lines(Emergency()) == (NO_EMERGENCY,)


# --- keys ----------------------------------------------------------------------------


class Hand:
    """Keys at the view of some lanes, and the last effect."""

    def __init__(self, *lanes: Lane) -> None:
        self.lanes = list(lanes)
        self.keys = HeadKeys()
        self.keys.choose(self.lanes)

    def press(self, *keys: str) -> HeadEffect:
        effect: HeadEffect = Opened()
        for key in keys:
            effect = self.keys.press(key, key if len(key) == 1 else "", self.lanes)
        return effect

    def type(self, words: str) -> HeadEffect:
        for sign in words:
            self.keys.press("space" if sign == " " else sign, sign, self.lanes)
        return self.press("enter")


def hand() -> Hand:
    return Hand(*(Played(simple(10, lane=n)).go().lane for n in (1, 2, 3)))


def test_freezing_takes_enter_and_may_go_without_a_reason() -> None:
    at_keys = hand()
    assert isinstance(at_keys.press("f"), Opened)
    made = at_keys.press("enter")
    assert isinstance(made, Ordered)
    assert (made.body, made.lane) == (Freeze(), None)
    at_keys.press("3", "l")
    made = at_keys.type("the bar")
    assert isinstance(made, Ordered)
    assert (made.body, made.lane) == (Freeze(why="the bar"), 3)


def test_work_goes_on_for_a_lane_or_for_all_and_says_what_held_presses_are() -> None:
    expected = [(False, 2), (True, 2), (False, None), (True, None)]
    for number, (mistake, lane) in enumerate(expected, 1):
        at_keys = hand()
        made = at_keys.press("down", "u", str(number))
        assert isinstance(made, Ordered)
        assert (made.body, made.lane) == (Unfreeze(by_mistake=mistake), lane)


def test_a_recall_needs_its_reason() -> None:
    at_keys = hand()
    assert at_keys.press("x", "enter") == Say(text=NEEDS_WHY)
    made = at_keys.type("a false start")
    assert isinstance(made, Ordered)
    assert made.body == Recall(why="a false start")


@pytest.mark.parametrize(
    ("choice", "words", "act"),
    [
        ("d", "sat down, water", Note(text="sat down, water")),
        (
            "1",
            "1.1.1 -1 seen on video",
            Rule(effect=RepsInSet(set=FIRST, by=-1), why="seen on video"),
        ),
        (
            "2",
            "+0:30 left the lane",
            Rule(effect=TimeBy(by_ms=30_000), why="left the lane"),
        ),
        ("7", "0:04.1 deep enough", RuleAt(restore=True, at=4100, why="deep enough")),
        (
            "a",
            "2 the rower broke",
            Rule(effect=RunCounts(run=2), why="the rower broke"),
        ),
    ],
)
def test_official_words_are_a_tallys_line_and_y_writes_it(
    choice: str, words: str, act: object
) -> None:
    at_keys = hand()
    at_keys.press("r", choice)
    assert isinstance(at_keys.type(words), Opened)
    assert at_keys.press("x") == Say(text="Nothing was done.")
    at_keys.press("r", choice)
    at_keys.type(words)
    made = at_keys.press("y")
    assert isinstance(made, Ruled)
    assert (made.lane, made.act) == (1, act)


def test_what_is_wrong_with_a_ruling_is_said_and_the_line_stays() -> None:
    at_keys = hand()
    at_keys.press("r", "2")
    said = at_keys.type("soon")
    assert isinstance(said, Say)
    assert "rule time" in said.text
    assert at_keys.keys.typed == "rule time soon"


def test_a_dispute_is_granted_as_it_asks_or_stands() -> None:
    at_keys = Hand(disputed().lane)
    at_keys.press("d", "1")
    made = at_keys.type("video")
    assert isinstance(made, Ruled)
    effect = RepsInSet(set=FIRST, by=1)
    assert made.act == Answering(ruling=Rule(effect=effect, why="video"), disputes=(1,))
    at_keys.press("d", "2")
    made = at_keys.type("no")
    assert isinstance(made, Ruled)
    assert made.act == Answering(ruling=Rule(effect=Stands(), why="no"), disputes=(1,))
    assert hand().press("d") == Say(text="Nothing is disputed in this lane.")


def test_a_rep_at_the_horn_counts_or_does_not_with_a_reason() -> None:
    played = Played(window(lane=1)).go()
    played.each(Rep(), 10, 300.2)
    target = played.lane.horn_asks[0]
    for choice, effect in (("1", RestoreAttempt), ("2", VoidAttempt)):
        at_keys = Hand(played.lane)
        at_keys.press("h", choice)
        made = at_keys.type("seen")
        assert isinstance(made, Ruled)
        assert made.act == Rule(effect=effect(target=target), why="seen")
    assert hand().press("h") == Say(text="No rep waits at the horn in this lane.")


def test_no_single_key_gives_an_order_and_escape_leaves_everything() -> None:
    for key in "abcdefghijklmnoprstuvwxyz0123456789-!?":
        at_keys = hand()
        made = at_keys.press(key)
        assert isinstance(made, Say | Opened)
        at_keys.press("escape")
        assert (at_keys.keys.open, at_keys.keys.emergency) == (None, False)
    assert isinstance(hand().press("q", "y"), Leaves)
    assert isinstance(hand().press("q", "q"), Say)
    assert isinstance(hand().press("tab"), OtherHeat)


# --- the screen ----------------------------------------------------------------------


class Told:
    """A lookout that is given what it sees, and does jobs at once."""

    def __init__(self) -> None:
        self.tell: Callable[[tuple[HeatSeen, ...], str], object] | None = None

    def start(self, tell: Callable[[tuple[HeatSeen, ...], str], object]) -> None:
        self.tell = tell

    def soon(self, job: Callable[[], None]) -> None:
        job()


async def test_a_freeze_typed_on_the_view_is_written_and_the_desk_obeys(
    tmp_path: Path,
) -> None:
    folder = load_event(write_event(tmp_path / "event"))
    clock = FakeClock()
    desk: Desk
    desk, follower = open_desk(folder, Wish(heat="1", lanes=(1,), judge="kb"), clock)
    desk.call_go(boot_ms=clock.boot_now)
    desk.work_off()
    clock.pass_(12_000)
    onlooker = Onlooker(folder)
    onlooker.look()
    head = HeadDesk(folder, clock)
    lookout = Told()
    app = WatchApp(
        lambda: HeadScreen(folder, lookout, head, clock)  # type: ignore[arg-type]
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: lookout.tell is not None)
        assert lookout.tell is not None
        lookout.tell(onlooker.heats, "")
        await until(pilot, lambda: "Ines Varga" in text(app))
        await pilot.press("e")
        await until(pilot, lambda: "EMERGENCY" in text(app))
        assert NO_EMERGENCY[:20] in text(app)
        await pilot.press("escape", "f", "b", "a", "r")
        await until(pilot, lambda: "bar_" in text(app))
        assert faint(app) == []
        await pilot.press("enter")
        await until(pilot, lambda: "FREEZE is told to every desk" in text(app))
        follower.look()
        desk.work_off()
        assert [hold.why for hold in desk.lane(1).holds] == ["bar"]
        onlooker.look()
        lookout.tell(onlooker.heats, "")
        await until(pilot, lambda: "frozen" in text(app))
        await pilot.press("q", "y")
        await until(pilot, lambda: not app.is_running)
    head.close()
    follower.close()
    desk.close("done")


def test_time_that_was_called_is_over() -> None:
    played = Played(simple(10, lane=1)).go()
    played.press(5, Rep())
    played.press(9, Time())
    found = head_view(heat("3", played), at(20), FactsKept(None, {}))
    assert [lane.state for lane in found.lanes] == ["over"]
