"""What an athlete does instead today: said before go, and with the score for ever."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from judgekit.core.entry import Scale
from judgekit.desk.opening import Wish, open_desk
from judgekit.desk.scaling import ScaleError, scale_lane
from judgekit.desk.transcribing import transcribe
from judgekit.files import tally
from judgekit.files.folder import EventFolder, load_event
from judgekit.reports.names import scaled_words
from judgekit.store.folder import read_all
from judgekit.store.reading import read_lanes
from tests.desk.fakes import FakeClock
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.core.plan import Plan

KNEES = Scale(card="toes-to-bar", substitute="hanging-knee-raise", why="first week")


@pytest.fixture
def folder(tmp_path: Path) -> EventFolder:
    return load_event(write_event(tmp_path / "event"))


def scale(folder: EventFolder, choice: Scale, clock: FakeClock | None = None) -> Plan:
    row = folder.lanes("1")[0]
    return scale_lane(folder, row, choice, clock=clock or FakeClock(), who="coach")


def judge(folder: EventFolder, text: str = TALLY) -> None:
    row = folder.lanes("1")[0]
    transcribe(folder, row, tally.parse(text, "t"), text.encode(), shown="t")


def done(plan: Plan) -> list[tuple[str, tuple[int, ...], tuple[str, ...]]]:
    return [(m.card, m.targets, m.loads) for m in plan.parts[0].movements]


def test_the_choice_is_an_entry_of_its_own_and_go_seals_what_it_makes(
    folder: EventFolder,
) -> None:
    made = scale(folder, KNEES)
    ((entry,),) = [copy.entries for copy in read_all(folder.log)]
    assert (entry.body, entry.who, entry.lane, entry.at) == (KNEES, "coach", 1, None)

    judge(folder)
    [one] = [x for x in read_lanes(folder.log, "1").lanes if x.number == 1]
    assert one.lane.plan == made
    assert [m.card for m in made.parts[0].movements] == [
        "front-squat",
        "hanging-knee-raise",
    ]
    assert scaled_words(one.lane.plan) == "with hanging knee raise"
    assert one.lane.work.done_ms == 33_500


def test_a_desk_that_has_the_lane_open_hears_of_it_before_go(
    folder: EventFolder,
) -> None:
    clock = FakeClock()
    desk, follower = open_desk(folder, Wish(heat="1", lanes=(1,)), clock)
    with closing(follower):
        clock.pass_(1000)
        made = scale(folder, KNEES, clock)
        assert desk.lane(1).plan != made
        follower.look()
        desk.work_off()
        assert desk.lane(1).plan == made
        desk.close("done")


def test_another_lane_s_desk_that_waits_for_go_is_in_nobody_s_way(
    folder: EventFolder,
) -> None:
    desk, follower = open_desk(folder, Wish(heat="1", lanes=(2,)), FakeClock())
    with closing(follower):
        assert scaled_words(scale(folder, KNEES)) == "with hanging knee raise"
        desk.close("done")


def test_the_latest_choice_counts_whatever_the_machines_clock_says(
    folder: EventFolder,
) -> None:
    scale(folder, KNEES)
    early = FakeClock(wall_now=1000)
    plan = scale(folder, Scale(card="toes-to-bar", reps=1), early)
    assert done(plan)[1] == ("toes-to-bar", (1, 1), ())


def test_a_card_that_stands_in_for_itself_is_as_written_again(
    folder: EventFolder,
) -> None:
    as_written = folder.plan_of(folder.lanes("1")[0], ())
    scale(folder, KNEES)
    assert scale(folder, Scale(card="toes-to-bar", substitute="toes-to-bar")) == (
        as_written
    )


def test_other_cards_keep_what_was_chosen_for_them(folder: EventFolder) -> None:
    scale(folder, KNEES)
    plan = scale(folder, Scale(card="front-squat", load="30 kg"))
    assert done(plan) == [
        ("front-squat", (3, 2), ("30 kg ≈ 66 lb",) * 2),
        ("hanging-knee-raise", (2, 2), ()),
    ]


@pytest.mark.parametrize(
    ("choice", "says"),
    [
        (
            Scale(card="toes-to-bar", substitute="air-squat"),
            (
                '"air-squat" is no substitute on the card toes-to-bar; it has '
                "knees-to-elbows, hanging-knee-raise, lying-knee-raise, sit-up, and "
                "cards/toes-to-bar.toml in the event can add one"
            ),
        ),
        (
            Scale(card="row", substitute="bike"),
            'Quayside has no "row" for bib 27; it has front-squat, toes-to-bar',
        ),
    ],
)
def test_what_cannot_stand_is_refused_in_words_and_not_written(
    folder: EventFolder, choice: Scale, says: str
) -> None:
    with pytest.raises(ScaleError) as refused:
        scale(folder, choice)
    assert str(refused.value) == says
    assert read_all(folder.log) == ()


def test_a_substitute_that_the_event_adds_may_need_a_number(tmp_path: Path) -> None:
    place = write_event(tmp_path / "other")
    work = place / "workouts" / "quayside.toml"
    text = work.read_text(encoding="utf-8")
    text = text.replace('card = "toes-to-bar"\nreps = 2', 'card = "row"\ncalories = 2')
    work.write_text(text, encoding="utf-8")
    (place / "cards").mkdir()
    (place / "cards" / "row.toml").write_text(
        '[[substitute]]\ncard = "box-step-up"\nwhy = "the rower is taken"\n',
        encoding="utf-8",
    )
    folder = load_event(place)
    with pytest.raises(ScaleError, match="say how many reps stand in for row"):
        scale(folder, Scale(card="row", substitute="box-step-up"))
    plan = scale(folder, Scale(card="row", substitute="box-step-up", reps=9))
    assert done(plan)[1] == ("box-step-up", (9, 9), ())


def test_once_the_lane_has_started_what_is_done_there_is_fixed(
    folder: EventFolder,
) -> None:
    judge(folder)
    many = len(read_all(folder.log))
    with pytest.raises(ScaleError, match="lane 1 has started: what is done there"):
        scale(folder, KNEES)
    assert len(read_all(folder.log)) == many


def test_after_a_false_start_a_choice_can_still_be_made(folder: EventFolder) -> None:
    judge(folder, "0:00.0  go\n0:01.0  recall one went early\n")
    assert scaled_words(scale(folder, KNEES)) == "with hanging knee raise"
