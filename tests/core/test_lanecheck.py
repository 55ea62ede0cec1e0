"""The lane check: its items, what answers them, and what is open at go."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.checkitems import Gear, Item, items
from judgekit.core.lane import fold
from judgekit.core.lanecheck import LaneCheck, checks_in, miss_words, name_of
from judgekit.core.people import Division, Emergency, Event
from judgekit.core.plan import Plan, PlanCriterion
from judgekit.core.plates import Plates
from judgekit.core.quantity import parse
from judgekit.files.library import open_library
from judgekit.files.shelf import Cards
from tests.support import Played, for_time

if TYPE_CHECKING:
    from judgekit.core.card import Card

OWN = "6 in above reach 2.14 m ≈ 2.30 m"
UNKNOWN = "6 in above reach (measure at the lane check)"


def aimed(height: str = OWN, load: str = "42.5 kg ≈ 94 lb") -> Plan:
    """Loaded squats, toes-to-bar at a mark of the athlete's own, and a rower."""
    plan = for_time()
    squat, toes = plan.parts[0].movements
    first = (replace(squat, loads=(load, load)), replace(toes, height=height))
    body = plan.cards[1]
    mark = PlanCriterion(id="mark", kind="target-height", at="finish", says="Touch it")
    cards = (plan.cards[0], replace(body, criteria=(*body.criteria, mark)))
    monitored = replace(plan.cards[2], ends="monitor")
    parts = (replace(plan.parts[0], movements=first), *plan.parts[1:])
    return replace(plan, parts=parts, cards=(*cards, monitored))


def gear() -> Gear:
    return Gear(
        event=Event(
            name="E",
            date="2027-05-08",
            divisions=(
                Division(
                    id="women-open", name="Women", standard="women", bar=parse("15 kg")
                ),
            ),
            plates=Plates(collar=parse("2.5 kg")),
            emergency=Emergency(
                call="112", defibrillator="by the door", first_aid="Kim"
            ),
        ),
        cards=Cards(open_library(), {}),
    )


def check_of(played: Played, *, with_gear: bool = False) -> LaneCheck:
    now = checks_in(played.entries)
    known = gear() if with_gear else None
    return LaneCheck(items=items(played.lane.plan, now, known), now=now)


def by_id(found: tuple[Item, ...]) -> dict[str, Item]:
    return {item.id: item for item in found}


def say(played: Played, *answers: Check) -> None:
    """Answers before go."""
    for answer in answers:
        played.press(0, answer)


def test_the_items_follow_from_the_plan() -> None:
    found = items(aimed())
    assert [(item.id, item.name, item.planned) for item in found] == [
        ("athlete", "Athlete", "27, Women"),
        ("load-front-squat", "Front squat load", "42.5 kg ≈ 94 lb"),
        ("reach", "Reach", "2.14 m for 27"),
        (
            "target-toes-to-bar",
            "Toes to bar own mark",
            "2.30 m for 27, 6 in above reach 2.14 m",
        ),
        ("machine-row-calories", "Row machine", "at 0, counts calories"),
        ("safety", "Safety", "lane and exit free"),
        ("clock", "Clock", "shows the hall's time"),
        ("limits", "Limits", "none told by 27"),
    ]


def test_what_stands_at_the_lane_adds_discs_tools_and_who_helps() -> None:
    found = by_id(items(aimed(), (), gear()))
    assert found["load-front-squat"].how == (
        "Bar 15 kg, collars 2.5 kg each, each side 10 + 1.25 kg. "
        "Both sides alike, collars on, other discs off the lane"
    )
    assert found["hanging-gear"].planned == "high and level"
    assert "first aid: Kim; defibrillator: by the door; call: 112" in (
        found["safety"].how
    )


def test_a_load_that_no_discs_make_says_what_they_do() -> None:
    item = by_id(items(aimed(load="42.6 kg"), (), gear()))["load-front-squat"]
    assert item.unmade
    assert item.how == (
        "Cannot be made with these discs; nearest 42.5 kg (each side 10 + 1.25 kg) or "
        "43 kg (each side 10 + 1.5 kg). Bar 15 kg, collars 2.5 kg each. "
        "n says what it carries"
    )


def test_identity_load_targets_and_machine_are_answered_one_by_one() -> None:
    one_by_one = [i.id for i in items(aimed(UNKNOWN), (), gear()) if i.one_by_one]
    assert one_by_one == [
        "athlete",
        "load-front-squat",
        "reach",
        "target-toes-to-bar",
        "machine-row-calories",
    ]


def test_two_heights_of_one_movement_are_two_items_and_one_reach_is_asked() -> None:
    plan = aimed(UNKNOWN)
    part = plan.parts[0]
    other = replace(part.movements[1], height="3 in above reach (measure it)")
    twice = replace(part, movements=(*part.movements, other))
    found = [i.id for i in items(replace(plan, parts=(twice, *plan.parts[1:])))]
    assert found[2:5] == ["reach", "target-toes-to-bar", "target-toes-to-bar-2"]


def test_loads_that_change_are_one_item_and_the_first_is_on_the_bar() -> None:
    plan = aimed()
    squat = replace(plan.parts[0].movements[0], loads=("40 kg", "50 kg"))
    part = replace(plan.parts[0], movements=(squat, plan.parts[0].movements[1]))
    item = by_id(items(replace(plan, parts=(part, *plan.parts[1:]))))[
        "load-front-squat"
    ]
    assert item.planned == "40 kg, then 50 kg"
    assert item.wanted is not None
    assert item.wanted.markings == (parse("40 kg"),)


def test_a_target_a_centimetre_short_is_refused_measured_again_and_accepted() -> None:
    played = Played(aimed())
    target = Check(item="target-toes-to-bar", answer="measured", value="2.29 m")
    say(played, target)
    item = by_id(check_of(played).items)[target.item]
    refused = check_of(played).answer(item)
    assert refused == replace(
        target, answer="refused", planned="2.30 m for 27, 6 in above reach 2.14 m"
    )
    assert miss_words(played.lane.plan, played.entries, refused) == (
        "2.29 m is 1 cm under 2.30 m; raise it and measure again"
    )
    assert item in check_of(played).open
    say(played, replace(target, value="2.30 m"))
    assert item not in check_of(played).open
    assert [e.body for e in checks_in(played.entries)] == [
        refused,
        replace(refused, answer="measured", value="2.30 m"),
    ]


def test_a_reach_that_is_not_known_is_typed_and_makes_the_height() -> None:
    played = Played(aimed(UNKNOWN))
    target = Check(item="target-toes-to-bar", answer="as planned")
    reach = Check(item="reach", answer="as planned")
    say(played, target, replace(target, answer="measured", value="2.30 m"), reach)
    assert played.refusals == [
        "Measure the reach first: it makes this height.",
        "Measure the reach first: it makes this height.",
        "Reach: type what the tape shows, with its unit.",
    ]
    say(played, replace(reach, answer="measured", value="2.14 m"))
    say(played, replace(target, answer="measured", value="2.27 m"))
    assert played.entries[-1].body == Check(
        item="target-toes-to-bar",
        answer="refused",
        planned="2.30 m for 27, 6 in above reach 2.14 m",
        value="2.27 m",
    )


def test_a_reach_measured_anew_moves_the_own_mark_and_opens_it_again() -> None:
    played = Played(aimed())
    mark = Check(item="target-toes-to-bar", answer="measured", value="2.30 m")
    say(played, mark)
    assert mark.item not in by_id(check_of(played).open)
    say(played, Check(item="reach", answer="measured", value="2.17 m"))
    assert by_id(check_of(played).open)[mark.item].planned == (
        "2.33 m for 27, 6 in above reach 2.17 m"
    )
    say(played, mark, replace(mark, value="2.33 m"))
    assert [e.body.answer for e in played.entries if isinstance(e.body, Check)] == [
        "measured",
        "measured",
        "refused",
        "measured",
    ]


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        (
            Check(item="rings", answer="as planned"),
            "rings is no item here; known: athlete",
        ),
        (
            Check(item="clock", answer="measured", value="2 m"),
            "Clock: nothing is measured there.",
        ),
        (
            Check(item="load-front-squat", answer="measured", value="2 m"),
            'Front squat load: "2 m" is a length; a mass is needed.',
        ),
        (
            Check(item="load-front-squat", answer="measured", value="42,5 kg"),
            'Front squat load: "42,5 kg" has a comma; write decimals with a full',
        ),
        (
            Check(item="reach", answer="measured", value="245 m"),
            "Reach: 245 m is nobody's reach (0.5 m to 4 m); check the number",
        ),
        (
            Check(item="safety", answer="not as planned"),
            "Say what is not as planned.",
        ),
    ],
)
def test_an_answer_that_cannot_stand_is_refused_in_words(
    answer: Check, says: str
) -> None:
    played = Played(aimed())
    say(played, answer)
    [refusal] = played.refusals
    assert refusal.startswith(says)
    assert checks_in(played.entries) == ()


def test_what_is_not_as_planned_is_open_until_an_official_agrees() -> None:
    played = Played(aimed())
    limit = Check(item="limits", answer="not as planned", why="left elbow stays bent")
    say(played, limit)
    assert "limits" in by_id(check_of(played).open)
    say(played, replace(limit, by="Dag Ravensholm"))
    assert "limits" not in by_id(check_of(played).open)


def test_another_plan_opens_what_it_changes() -> None:
    played = Played(aimed())
    say(played, *(Check(item=i, answer="as planned") for i in by_id(items(aimed()))))
    assert check_of(played).open == ()
    lane = fold(aimed(load="40 kg ≈ 88 lb"), played.entries)
    check = LaneCheck(items=items(lane.plan), now=checks_in(played.entries))
    assert [item.id for item in check.open] == ["load-front-squat"]


def test_all_as_planned_covers_what_is_unchanged_since_the_last_check_alone() -> None:
    before = Played(aimed())
    everything = by_id(items(aimed()))
    say(before, *(Check(item=i, answer="as planned") for i in everything))
    earlier = checks_in(before.entries)
    now = Check(item="clock", answer="not as planned", why="a minute slow")
    played = Played(aimed())
    say(played, now)
    check = replace(check_of(played), earlier=earlier)
    # One by one, and the clock, which has an answer of its own by now, are left.
    assert [item.id for item in check.unchanged] == ["safety", "limits"]
    assert check_of(played).unchanged == ()
    other = replace(check, items=items(replace(aimed(), bib="28")))
    assert [item.id for item in other.unchanged] == ["safety"]


@pytest.mark.parametrize("height", [OWN, UNKNOWN])
def test_another_athlete_with_the_same_figures_has_marks_of_their_own(
    height: str,
) -> None:
    """Whatever settled them for 27 is no answer for 28, of the very same reach."""
    played = Played(aimed(height))
    say(
        played,
        Check(item="reach", answer="measured", value="2.14 m"),
        Check(item="target-toes-to-bar", answer="not as planned", why="it", by="DR"),
        Check(item="marks", answer="as planned"),
    )
    known = gear()
    cards = {**known.cards, "toes-to-bar": with_equipment("tape for heel line")}
    known = replace(known, cards=cards)
    now = checks_in(played.entries)
    for bib, asked in (("27", set()), ("28", {"reach", "target-toes-to-bar", "marks"})):
        plan = replace(aimed(height), bib=bib)
        check = LaneCheck(items=items(plan, now, known), now=now)
        own = {"reach", "target-toes-to-bar", "marks"}
        assert own & {item.id for item in check.items} == own
        assert own & {item.id for item in check.open} == asked
    assert by_id(items(replace(aimed(), bib="28"), (), known))["marks"].planned == (
        "set for 28"
    )


def with_equipment(*tools: str) -> Card:
    return replace(gear().cards["toes-to-bar"], equipment=tools)


@pytest.mark.parametrize(
    ("tool", "found"),
    [
        ("incline board", ""),
        ("airplane mat", ""),
        ("earrings", ""),
        ("boxing bag", ""),
        ("Lines on the floor", "floor-lines"),
        ("two taped lanes", "floor-lines"),
        ("steady box, no higher", "box"),
        ("a climbing rope with a mark", "hanging-gear"),
        ("bar at the athlete's height", "marks"),
    ],
)
def test_tools_are_known_by_whole_words(tool: str, found: str) -> None:
    plan, known = aimed(height=""), gear()
    cards = {"toes-to-bar": with_equipment(tool)}
    placed = [
        item.id
        for item in items(plan, (), replace(known, cards=cards))
        if item.kind == "place" and item.id not in ("safety", "clock")
    ]
    assert placed == [found] * bool(found)


def test_open_items_need_a_reason_once() -> None:
    played = Played(aimed())
    say(played, Check(item="athlete", answer="as planned"))
    left = check_of(played).going("no time left")
    assert left == Unchecked(
        items=(
            "load-front-squat",
            "reach",
            "target-toes-to-bar",
            "machine-row-calories",
            "safety",
            "clock",
            "limits",
        ),
        why="no time left",
    )
    played.put(left, None)
    assert check_of(played).going("no time left") is None
    assert len(check_of(played).open) == 7


def test_a_check_changes_no_score_and_is_taken_in_mid_heat() -> None:
    played = Played(aimed()).go()
    before = played.lane.work
    played.press(
        30, Check(item="target-toes-to-bar", answer="measured", value="2.30 m")
    )
    assert played.entries[-1].at == 30_000
    assert played.lane.work == before
    assert fold(played.lane.plan, played.entries) == played.lane


def test_items_of_the_log_are_named() -> None:
    plan = aimed()
    assert name_of(plan, "load-front-squat") == "Front squat load"
    assert name_of(plan, "hanging-gear") == "Hanging gear"
    assert name_of(plan, "reach") == "Reach"
    assert name_of(plan, "load-gone") == "load-gone"
