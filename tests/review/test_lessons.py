from __future__ import annotations

from dataclasses import replace

from judgekit.core.entry import NoRep, Rep
from judgekit.core.press import EndLook, ReportSet
from judgekit.core.watchentry import Look
from judgekit.review.attempts import LaneRows, lane_rows
from judgekit.review.lessons import Lesson, lessons, seen
from tests.support import SQUAT, Played, for_time, simple


def tried(*pressed: str, plan: object = None) -> Played:
    """A lane of squats, every five seconds a good rep ("") or a no-rep."""
    played = Played(simple(30)).go()
    for place, fault in enumerate(pressed, 1):
        body = NoRep(faults=(fault,)) if fault else Rep()
        played.press(5 * place, body)
    assert played.refusals == []
    return played


def rows(*pressed: str) -> LaneRows:
    return lane_rows(tried(*pressed).lane)


def test_the_commonest_fault_comes_first_with_its_tries_and_what_mends_it() -> None:
    found = lessons(seen([rows("lock", "depth", "", "depth", "")]))
    assert found[0] == Lesson(
        card="front-squat",
        movement="Front squat",
        fault="depth",
        call="DEPTH",
        watched="judged",
        many=2,
        tries=5,
        must_be="Hip crease below the knee",
        cue="one",
        drill="Ten slow ones",
    )
    assert [(one.fault, one.many, one.tries) for one in found] == [
        ("depth", 2, 5),
        ("lock", 1, 5),
    ]


def test_there_are_three_at_most_and_of_equals_the_sooner_one_stays() -> None:
    plan = for_time()
    played = Played(plan).go()
    for second, fault in ((3, "lock"), (6, "depth")):
        played.press(second, NoRep(faults=(fault,)))
    played.press(10, Rep(n=3))
    for second, fault in ((14, "lock"), (17, "depth")):
        played.press(second, NoRep(faults=(fault,)))
    found = lessons(seen([lane_rows(played.lane)]))
    assert [(one.card, one.fault) for one in found] == [
        ("front-squat", "lock"),
        ("front-squat", "depth"),
        ("toes-to-bar", "lock"),
    ]


def test_a_fault_without_reason_or_no_longer_on_the_card_mends_nothing() -> None:
    played = tried("lock", "depth")
    bare = replace(SQUAT, faults=SQUAT.faults[:1])
    lane = replace(played.lane, plan=replace(played.plan, cards=(bare,)))
    assert [one.fault for one in lessons(seen([lane_rows(lane)]))] == ["depth"]
    nameless = Played(simple(3)).go()
    nameless.press(5, NoRep())
    assert lessons(seen([lane_rows(nameless.lane)])) == ()


def test_the_newest_card_of_several_lanes_says_what_must_be() -> None:
    old, new = tried("depth"), tried("depth")
    fault = replace(SQUAT.faults[0], cues=("sit down",))
    card = replace(SQUAT, revision=2, faults=(fault,))
    lane = replace(new.lane, plan=replace(new.plan, cards=(card,)))
    for lanes in ((old.lane, lane), (lane, old.lane)):
        (one,) = lessons(seen(map(lane_rows, lanes)))
        assert (one.cue, one.many, one.tries) == ("sit down", 2, 2)


def test_what_was_looked_at_and_what_was_noticed_stay_apart() -> None:
    played = Played(replace(simple(20), watching="reported")).go()
    played.press(5, Look())
    played.press(8, NoRep(faults=("depth",)))
    played.press(20, EndLook(seen=6))
    played.press(25, NoRep(faults=("depth",)))
    played.press(30, ReportSet(n=20))
    found = lessons(seen([lane_rows(played.lane)]))
    assert [(one.watched, one.many, one.tries) for one in found] == [
        ("sampled", 1, 6),
        ("reported", 1, None),
    ]


def test_of_a_team_only_the_own_tries_are_counted() -> None:
    of = rows("depth", "", "depth")
    first, *others = of.attempts
    mixed = replace(of, attempts=(first, *(o._replace(by="31") for o in others)))
    (one,) = lessons(seen([mixed], "31"))
    assert (one.many, one.tries) == (1, 2)
