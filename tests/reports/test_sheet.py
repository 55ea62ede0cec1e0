from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from judgekit.core.card import Setting, SettingValue
from judgekit.core.entry import (
    Absent,
    Accept,
    Cue,
    Dispute,
    Freeze,
    GoOn,
    NoRep,
    Note,
    Rep,
    Rule,
    Stop,
    Time,
    Unfreeze,
    Withdraw,
)
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import Member, PlanTeam, PlanTieBreak, SetKey
from judgekit.core.press import EndLook, ReportSet, WriteNoReps
from judgekit.core.ruling import Percent, RepsInSet, StartBy, TimeBy
from judgekit.core.tryentry import Works
from judgekit.core.watchentry import Look
from judgekit.reports.inforce import NO_ADVICE, SIGNS, settings_spoken
from judgekit.reports.page import page_text
from judgekit.reports.sheet import Split, sheet
from judgekit.reports.sheetlearn import to_learn
from judgekit.reports.sheetmissed import HELD, Missed
from judgekit.reports.sheetpicture import drawn
from judgekit.reports.sheetsince import FEW, Before, Changed, PastScore
from judgekit.reports.sheettext import (
    as_json,
    question_words,
    sheet_page,
    since_lines,
)
from judgekit.reports.sheetview import sheet_html
from judgekit.review.attempts import lane_rows
from judgekit.review.lessons import Lesson
from tests.core.test_cardcheck import SQUAT as AIR_SQUAT
from tests.reports.sheeting import sheet_of, worked
from tests.support import SQUAT, ZERO_WALL, Played, for_time, movement, simple, window

if TYPE_CHECKING:
    from judgekit.core.plan import Plan
    from judgekit.reports.sheet import Sheet

MINUTE = 60_000


def finished(plan: Plan | None = None, later: float = 0, end_of_a: int = 37) -> Played:
    """A whole lane with two no-reps at squats; the last rep at 1:44.5 and so later."""
    played = Played(plan or for_time()).go()
    for second in (5, 8):
        played.press(second, Rep())
    played.press(11, NoRep(faults=("depth",)))
    played.press(14, NoRep(faults=("depth", "lock")))
    for second in (17, 20, 23, 26, 29, 32, 35, end_of_a):
        played.press(second, Rep())
    played.press(99, Rep(n=4))
    played.press(101, Rep())
    played.press(104.5 + later, Rep())
    assert played.refusals == []
    return played


def test_score_place_and_no_reps_stand_with_where_when_and_what_must_be() -> None:
    slower = finished(replace(for_time(), lane=5, bib="31"), later=20).lane
    made = sheet_of(finished().lane, slower, code="20.0123")
    (work,) = made.works
    assert (made.bib, made.name, made.division) == ("27", "Ines Varga", "Women")
    assert (work.score, work.place, work.status) == ("0:44", "1 of 2", "finished")
    assert [(step.label, step.value) for step in work.steps] == [
        ("last rep at", "1:44.500"),
        ("planned rest", "-1:00.000"),
        ("score", "0:44"),
    ]
    assert made.well == ("12 of 14 tries were good reps.",)
    assert work.tries == ""
    assert work.missed == (
        Missed(
            at="0:11.0",
            where="A 1",
            movement="Front squat",
            call="DEPTH",
            must_be="Hip crease below the knee",
        ),
        Missed(
            at="0:14.0",
            where="A 1",
            movement="Front squat",
            call="DEPTH + LOCK",
            must_be="Hip crease below the knee; Knees and hips straight",
        ),
    )
    assert [(one.fault, one.many, one.tries) for one in made.lessons] == [
        ("depth", 2, 10),
        ("lock", 1, 10),
    ]
    assert work.splits[0] == Split(
        part="A",
        where="A 1",
        movement="Front squat",
        load="",
        done="3",
        no_reps=2,
        at="0:17",
        took="0:17",
        held="",
        pieces="3",
        note="",
    )
    assert work.splits[-2].done == "4 calories"
    assert (work.log_code, bool(made.proves)) == ("20.0123", True)


def test_a_moved_start_moves_score_splits_and_no_reps_alike() -> None:
    played = finished()
    before = sheet_of(played.lane).works[0]
    played.press(120, Rule(effect=StartBy(by_ms=12_000), why="left early"))
    after = sheet_of(played.lane).works[0]
    assert (before.score, after.score) == ("0:44", "0:32")
    assert (before.missed[0].at, after.missed[0].at) == ("0:11.0", "-0:01.0")
    assert before.splits[1].at == "0:23"
    assert after.splits[1].at == "0:11"
    assert "ruling by the head judge: start moved by +12 s" in after.happened


def test_a_place_is_one_so_far_while_others_have_still_to_go() -> None:
    waiting = Played(replace(for_time(), lane=5, bib="31")).lane
    (work,) = sheet_of(finished().lane, waiting).works
    assert work.place == "1 of 2 so far"


def test_nobody_else_is_named_and_no_note_is_told() -> None:
    played = finished()
    played.press(110, Stop(sign="Sharp pain"))
    played.press(112, GoOn(by="Dr. Hurst", by_mistake=False))
    played.put(Note(text="speaks of a bad marriage"), 113_000)
    played.press(120, Rule(effect=TimeBy(by_ms=5000), why="left early"))
    played.press(121, Dispute(about="depth of rep 2"))
    other = finished(replace(for_time(), lane=5, bib="31", name="Bo Lindt")).lane
    made = sheet_of(played.lane, other)
    told = as_json([made]) + page_text(sheet_page(made))
    for word in ("kb", "Hurst", "marriage", "Bo Lindt", "31"):
        assert word not in told
    happened = made.works[0].happened
    assert any("Sharp pain" in line for line in happened)
    assert any("went on at 1:52.0" in line for line in happened)
    assert "ruling by the head judge: +5 s on the score" in happened
    assert "dispute 1: not answered yet" in happened
    assert ("ruling", "+0:05.000") in [
        (step.label, step.value) for step in made.works[0].steps
    ]


def test_no_text_that_anybody_wrote_stands_on_a_sheet() -> None:
    played = finished()
    played.press(105, Freeze(why="Bo Lindt in the lane"))
    played.press(106, Unfreeze(by_mistake=False))
    about = Dispute(about="Bo Lindt was in it", by="Bo Lindt", evidence="Lindt's video")
    played.press(110, about)
    dispute = played.entries[-1].ref
    played.press(
        112,
        Rule(effect=Percent(percent=5), why="as for Bo Lindt", answers=(dispute,)),
    )
    played.press(
        113, Rule(effect=RepsInSet(set=SetKey(1, 1, 1), by=-1), why="Bo Lindt saw it")
    )
    withdrew = Played(simple()).go()
    withdrew.press(5, Rep())
    withdrew.press(8, Withdraw(why="Bo Lindt fell on me"))
    assert (played.refusals, withdrew.refusals) == ([], [])
    for lane in (played.lane, withdrew.lane):
        made = sheet_of(lane)
        told = as_json([made]) + page_text(sheet_page(made)) + sheet_html(made)
        assert "Lindt" not in told
    (work,) = sheet_of(played.lane).works
    assert "dispute 1: answered: score made worse by 5 %" in work.happened


@pytest.mark.parametrize(
    ("show", "name"), [("name", "Ines Varga"), ("initials", "I. V."), ("number", "27")]
)
def test_the_name_stands_as_its_owner_wants_it(show: str, name: str) -> None:
    plan = for_time(show=show)
    made = sheet_of(finished(plan).lane)
    assert made.name == name
    assert ("Ines" in page_text(sheet_page(made))) == (show == "name")


def test_what_may_be_questioned_is_said_until_when() -> None:
    plan = replace(for_time(), dispute_ms=30 * MINUTE, disputes="count")
    played = finished(plan)
    open_ = sheet_of(played.lane, wall=ZERO_WALL).works[0]
    # 08:01:44.5 UTC and half an hour, in Berlin.
    assert question_words(open_) == (
        "May be questioned: the count until 10:31, with the head judge"
    )
    late = sheet_of(played.lane, wall=ZERO_WALL + 60 * MINUTE).works[0]
    assert question_words(late) == (
        "Not to be questioned: the time for it ended at 10:31"
    )
    for who in ("athlete", "judge"):
        played.press(130, Accept(who=who, signed=True))
    closed = sheet_of(played.lane).works[0]
    assert question_words(closed).startswith("Not to be questioned: it is closed")


def test_an_athlete_who_has_not_started_has_a_sheet_without_numbers() -> None:
    made = sheet_of(Played(for_time()).lane)
    (work,) = made.works
    assert (work.status, work.score, work.place, work.picture) == (
        "waiting",
        "",
        "",
        None,
    )
    assert (work.splits, work.missed, made.lessons, made.care) == ((), (), (), ())
    assert "waiting" in page_text(sheet_page(made))
    ties = (PlanTieBreak(kind="fewer-no-reps"),)
    told = Played(for_time(watching="reported")).lane
    assert sheet_of(told).works[0].tries == ""
    tied = Played(for_time(tiebreaks=ties)).lane
    assert sheet_of(tied).works[0].tiebreak == ""


def test_what_there_is_to_work_on_is_said_in_every_format_where_it_is_nothing() -> None:
    played = Played(simple(2)).go()
    played.each(Rep(), 30, 105)
    made = sheet_of(played.lane)
    for text in (page_text(sheet_page(made)), sheet_html(made)):
        assert "No fault was seen. Keep moving as you did." in text
    empty = sheet_of(Played(for_time()).lane)
    assert "Nothing was judged yet." in page_text(sheet_page(empty))


def test_who_did_not_start_is_told_so_and_no_rules() -> None:
    absent = Played(for_time())
    absent.press(0, Absent())
    made = sheet_of(absent.lane)
    for text in (page_text(sheet_page(made)), sheet_html(made)):
        assert "No start was judged, so nothing is said of it here." in text
        assert "rules in force" not in text.lower()
    # Of several workouts, those that were done have theirs.
    played = Played(for_time(workout="mole", workout_name="Mole")).go()
    played.press(30, Rep())
    both = replace(made, works=(*made.works, *sheet_of(played.lane).works))
    text = page_text(sheet_page(both))
    assert "MOLE: RULES IN FORCE" in text
    assert "QUAYSIDE: RULES IN FORCE" not in text
    assert "No start was judged" not in text


def test_what_went_well_are_movements_with_ten_judged_tries_and_no_no_rep() -> None:
    squats = (movement("front-squat", 12), movement("toes-to-bar", 12))
    part = replace(for_time().parts[0], rounds=1, movements=squats)
    played = Played(for_time(parts=(part,))).go()
    played.press(30, Rep(n=12))
    played.press(33, NoRep())
    played.press(60, Rep(n=12))
    made = sheet_of(played.lane)
    assert [(one.movement, one.tries) for one in made.clean] == [("Front squat", 12)]
    for text in (page_text(sheet_page(made)), sheet_html(made)):
        assert "Every try counted: Front squat (12)." in text
    few = Played(simple(9)).go()
    few.press(30, Rep(n=9))
    told = Played(replace(simple(20), watching="reported")).go()
    told.press(30, ReportSet(n=20))
    for lane in (few.lane, told.lane):
        assert sheet_of(lane).clean == ()
    assert sheet_of(few.lane).well == (
        "Whole sets in which every try counted: Front squat A (9).",
    )
    assert "What went well" not in sheet_html(sheet_of(told.lane))


def test_the_last_of_the_field_is_told_what_was_good_and_no_sting_twice() -> None:
    played = Played(simple(40, cap_ms=60_000)).go()
    played.press(4, NoRep(faults=("depth",)))
    played.each(Rep(), 9, 12, 15, 18)
    played.press(60, Time())
    assert played.refusals == []
    made = sheet_of(played.lane)
    (work,) = made.works
    assert work.status == "time cap reached"
    assert (work.score, work.steps) == ("4 of 40", ())
    assert made.well == ("4 of 5 tries were good reps.",)
    text = page_text(sheet_page(made))
    assert "short" not in text
    assert text.index("tries were good") < text.index("WHAT TO WORK ON")


def test_a_set_in_one_piece_has_it_and_a_movement_never_let_go_is_praised() -> None:
    squats = movement("front-squat", 8)
    part = replace(for_time().parts[0], rounds=2, movements=(squats,))
    plan = for_time(parts=(part,))

    def done(pause: float) -> Sheet:
        played = Played(plan).go()
        for place in range(16):
            late = pause if place >= 12 else 0
            played.press(3 * (place + 1) + late, Rep())
        assert played.refusals == []
        return sheet_of(played.lane)

    whole, broken = done(0), done(20)
    assert [split.pieces for split in whole.works[0].splits] == ["8", "8"]
    assert "Unbroken in every set: Front squat (2 sets)." in whole.well
    assert [split.pieces for split in broken.works[0].splits] == ["8", "4 + 4"]
    assert not any(line.startswith("Unbroken") for line in broken.well)


def test_no_movement_is_praised_for_its_pieces_that_there_is_something_to_mend_of() -> (
    None
):
    played = Played(simple(8)).go()
    played.press(3, NoRep(faults=("depth",)))
    for place in range(8):
        played.press(3 * place + 6, Rep())
    made = sheet_of(played.lane)
    assert made.works[0].splits[0].pieces == "8"
    assert [one.movement for one in made.lessons] == ["Front squat"]
    assert not any(line.startswith("Unbroken") for line in made.well)


def slowed(plan: Plan, slower: float = 1.2, until: int = 60) -> Played:
    """As many reps, each of the last two thirds longer than those of the first."""
    played = Played(plan).go()
    at = 0.0
    for place in range(until):
        at += (2 if place < 20 else 2 * slower) + place % 3 / 10
        played.press(at, Rep())
    assert played.refusals == []
    return played


def test_a_pace_that_fell_is_told_in_one_kind_line_with_its_range() -> None:
    def done(slower: float) -> Sheet:
        return sheet_of(slowed(simple(60), slower).lane)

    pace = done(1.2).pace
    assert pace.endswith(" %): a calmer start may leave you more for the end.")
    assert pace.startswith("At Front squat a rep took 19 % longer in the last third")
    assert "(likely " in pace
    assert pace in page_text(sheet_page(done(1.2)))
    assert pace in sheet_html(done(1.2)).replace("\u00a0", " ")
    assert done(1).pace == ""


def test_no_cause_of_a_slower_pace_is_told_to_whom_a_stop_or_the_clock_ended() -> None:
    plan = simple(70, cap_ms=4 * MINUTE)
    capped = slowed(plan)
    capped.press(4 * 60 + 1, Time())
    pace = sheet_of(capped.lane, wall=ZERO_WALL + 5 * MINUTE).pace
    assert pace.startswith("At Front squat a rep took 19 % longer")
    assert pace.endswith(" %).")
    stopped = slowed(plan, until=50)
    stopped.press(150, Stop(sign="Sharp pain"))
    assert sheet_of(stopped.lane).pace == ""
    withdrawn = slowed(plan)
    withdrawn.press(200, Withdraw(why="calf"))
    assert sheet_of(withdrawn.lane).pace == ""


def test_a_rep_while_work_was_held_is_told_and_the_stop_is_drawn() -> None:
    played = finished()
    held = Played(played.lane.plan).go()
    held.press(5, Rep())
    held.press(10, Stop(sign="Sharp pain"))
    held.press(12, Rep())
    held.press(30, GoOn(by="Dr. Hurst", by_mistake=False))
    held.press(36, Rep())
    held.press(40, Rep())
    (work,) = sheet_of(held.lane).works
    assert [(one.at, one.call) for one in work.missed] == [("0:12.0", HELD)]
    assert work.picture is not None
    stop = work.picture.strips[-1]
    assert (stop.name, stop.is_hold) == ("STOP", True)
    assert [(band.left, band.width) for band in stop.bands] == [(25, 50)]
    assert "# work was held" in drawn(work.picture, 60)[-1]
    assert work.splits[0].held == "STOP 20.0 s"
    assert not any(split.held for split in work.splits[1:])
    assert "Of it held" in page_text(sheet_page(sheet_of(held.lane)))
    assert "Of it held" not in page_text(sheet_page(sheet_of(played.lane)))
    assert sum(line.count("#") for line in drawn(work.picture, 60)[:-1]) > 10
    assert "What was called" not in page_text(sheet_page(sheet_of(held.lane)))


def test_the_cue_that_was_called_most_has_its_meaning_and_a_drill() -> None:
    played = Played(for_time(cues="on")).go()
    for second in (5, 6, 7):
        played.press(second, Cue(fault="heels"))
    played.press(9, Rep())
    assert played.refusals == []
    made = sheet_of(played.lane)
    (learnt,) = to_learn(made.lessons, made.said)
    fault = next(one for one in SQUAT.faults if one.id == "heels")
    assert (learnt.call, learnt.many, learnt.drill) == ("HEELS", 3, fault.drill)
    for text in (page_text(sheet_page(made)), sheet_html(made)):
        assert "called 3 times, and the reps counted" in text
        assert text.count(fault.drill) == 1
    twice = replace(made, said=tuple(one._replace(many=2) for one in made.said))
    assert list(to_learn((), twice.said)) == []
    for text in (page_text(sheet_page(twice)), sheet_html(twice)):
        assert f"; drill: {fault.drill})" in text


def test_there_are_three_things_to_work_on_at_the_most() -> None:
    played = Played(for_time(cues="on")).go()
    for second in (5, 6, 7):
        played.press(second, Cue(fault="heels"))
    made = sheet_of(played.lane)
    few = Lesson(
        card="front-squat",
        movement="Front squat",
        fault="depth",
        call="DEPTH",
        watched="judged",
        many=1,
        tries=9,
        must_be="",
        cue="",
        drill="",
    )
    more, most = replace(few, many=2), replace(few, many=3)
    rare = replace(few, tries=30)
    for lessons, said, kept in (
        ((most, more, few), made.said, [most, more, *made.said]),
        ((most, most, more), made.said, [most, most, *made.said]),
        ((most, most, most), made.said, [most, most, most]),
        ((more, few), made.said, [more, few, *made.said]),
        ((more, rare), (), [more, rare]),
        ((more, few, rare), (), [more, few]),
        ((more, few, few), (), [more, few, few]),
    ):
        assert list(to_learn(lessons, said)) == kept


def test_only_the_settings_of_what_no_reps_lacked_stand_beside_them() -> None:
    plan = for_time()
    # No no-rep was for want of height, and none was of the other movements.
    chosen = (("how-deep", "deep"), ("how-tall", "tall"))
    cards = tuple(replace(card, settings=chosen) for card in plan.cards)
    lane = finished(replace(plan, cards=cards)).lane
    values = {
        setting: SettingValue(value=value, criterion=criterion, says="Not in force")
        for (setting, value), criterion in zip(chosen, ("depth", "height"), strict=True)
    }
    known = replace(
        AIR_SQUAT,
        id=SQUAT.id,
        settings=tuple(
            Setting(id=setting, default="", values=(value,))
            for setting, value in values.items()
        ),
    )
    made = sheet_of(lane, cards={SQUAT.id: known})
    (work,) = made.works
    assert work.missed_rules == (("Front squat: how-deep", "deep"),)
    assert {*work.missed_rules, ("Front squat: how-tall", "tall")} <= set(work.rules)
    for text in (page_text(sheet_page(made)), sheet_html(made)):
        assert "Settings in force: Front squat: how-deep: deep" in text
    # Cards that tell the setting no more leave it to the rules below.
    assert "Settings in force" not in sheet_html(sheet_of(lane))


def test_nobody_reads_what_the_standard_asks_as_the_fault() -> None:
    made = sheet_of(finished(for_time()).lane)
    asks = "The standard asks: Hip crease below the knee"
    assert f"no-reps. {asks}" in sheet_html(made) or f"tries. {asks}" in sheet_html(
        made
    )
    text = page_text(sheet_page(made))
    assert asks in text
    assert "Beside each call stands what the standard asks." in text
    held = replace(made.works[0].missed[0], call=HELD)
    (only_held,) = (replace(work, missed=(held,)) for work in made.works)
    text = page_text(sheet_page(replace(made, works=(only_held,))))
    assert "Beside each call" not in text


def test_a_setting_is_told_in_the_words_that_were_in_force_and_else_by_its_name() -> (
    None
):
    values = (
        SettingValue(value="deep", criterion="depth", says="Hip crease below the knee"),
        SettingValue(value="free", criterion="depth", says="As you like", waives=True),
        SettingValue(value="new", criterion="depth", says="Words of a later card"),
    )
    known = replace(
        AIR_SQUAT,
        id=SQUAT.id,
        settings=(Setting(id="depth", default="deep", values=values),),
    )
    plans = [
        replace(simple(), cards=(replace(SQUAT, settings=(("depth", value),)),))
        for value in ("deep", "free", "new")
    ]
    told = [settings_spoken(plan, {SQUAT.id: known})[0].told for plan in plans]
    assert told == [
        ("Front squat", "Hip crease below the knee"),
        ("Front squat", "As you like"),
        ("Front squat: depth", "new"),
    ]
    assert settings_spoken(plans[0], {})[0].told == ("Front squat: depth", "deep")


def test_a_tie_break_that_parts_equal_scores_says_so_and_names_nobody() -> None:
    plan = for_time(tiebreaks=(PlanTieBreak(kind="after-part", part=1),))
    other = replace(plan, lane=5, bib="31")
    mine = finished(plan).lane
    # The same to the tie-break, and a score that parts them by itself.
    for alike in (finished(other), finished(other, later=3, end_of_a=36)):
        (work,) = sheet_of(mine, alike.lane).works
        assert "parts" not in work.tiebreak
    (work,) = sheet_of(mine, finished(other, end_of_a=36).lane).works
    assert (work.score, work.place) == ("0:44", "2 of 2")
    assert work.tiebreak == "end of part A 0:37 (it parts equal scores)"


def test_nothing_is_said_to_part_where_there_is_no_tie_break() -> None:
    (mine,) = worked(finished(for_time()).lane)
    (work,) = sheet("27", [replace(mine, parted=True)]).works
    assert work.tiebreak == ""


def test_rounds_are_added_up_to_the_score() -> None:
    played = Played(window()).go()
    played.each(Rep(), *range(5, 5 + 4 * 28, 4))
    (work,) = sheet_of(played.lane).works
    assert work.score == "2 rounds and 2 (28 reps)"
    assert [(step.label, step.value) for step in work.steps] == [
        ("2 rounds of 13", "26 reps"),
        ("round 3", "2 reps"),
        ("score", "28 reps"),
    ]
    played.press(200, Rule(effect=RepsInSet(set=SetKey(1, 2, 1), by=-1), why="x"))
    (work,) = sheet_of(played.lane).works
    assert not any("rounds of" in step.label for step in work.steps)


def test_what_was_reported_has_no_tries_but_those_of_looks() -> None:
    played = Played(replace(simple(20), watching="reported")).go()
    played.press(5, Look())
    played.press(8, NoRep(faults=("depth",)))
    played.press(20, EndLook(seen=6))
    played.press(30, ReportSet(n=20))
    (work,) = sheet_of(played.lane).works
    assert work.tries == (
        "As you reported it; nobody watched every rep. "
        "In looks 5 of 6 tries were good reps."
    )
    assert work.splits[0].no_reps is None


def test_what_two_desks_dispute_has_no_score_and_says_so() -> None:
    (one,) = worked(finished().lane)
    why = "not scored: two desks went on with this lane, a ruling must choose"
    row = replace(one.place.row, unscored=why)
    disputed = replace(one, place=replace(one.place, row=row, rank=None))
    (work,) = sheet("27", [disputed]).works
    assert (work.score, work.steps, work.standing) == ("", (), "")
    assert work.status == why
    assert work.place == f"no place: {why}"


def test_care_is_of_what_was_done_said_once_and_points_to_a_doctor() -> None:
    again = "No medical advice: see a doctor."
    cards = tuple(
        replace(card, caution=f"Mind {card.id}. {again}") for card in for_time().cards
    )
    played = Played(for_time(cards=cards)).go()
    played.press(5, Rep(n=3))
    played.press(9, Rep())
    assert sheet_of(played.lane).care == (
        f"Front squat: Mind front-squat. {again}",
        "Toes to bar: Mind toes-to-bar.",
        SIGNS,
        NO_ADVICE,
    )


def test_whoever_stopped_or_withdrew_is_told_the_signs() -> None:
    played = Played(simple()).go()
    played.press(5, Rep())
    assert sheet_of(played.lane).care == ()
    played.press(8, Withdraw(why="calf"))
    assert sheet_of(played.lane).care == (SIGNS, NO_ADVICE)


TEAM = "done by the team"


def _shares(one: Sheet) -> list[tuple[int | None, str]]:
    return [(split.no_reps, split.note) for split in one.works[0].splits[:4]]


def test_a_set_that_two_of_a_team_did_says_so_and_counts_the_own_no_reps() -> None:
    members = (Member(bib="1", name="Ann"), Member(bib="2", name="Bea"))
    plan = simple(4, bib="T", name="Herons", team=PlanTeam(members=members))
    played = Played(plan).go()
    played.press(1, Works(bib="1"))
    played.press(5, NoRep(faults=("depth",)))
    played.each(Rep(), 9, 13)
    played.press(14, Works(bib="2"))
    played.each(Rep(), 17, 21)
    assert played.refusals == []
    one, two = (sheet_of(played.lane, bib=bib) for bib in "12")
    assert _shares(one) == [(1, "done with the team")]
    assert _shares(two) == [(0, "done with the team")]


def test_where_nobody_said_who_worked_no_set_is_a_member_s() -> None:
    members = (Member(bib="1", name="Ann"), Member(bib="2", name="Bea"))
    plan = simple(2, bib="T", name="Herons", team=PlanTeam(members=members))
    played = Played(plan).go()
    played.press(5, NoRep(faults=("depth",)))
    played.each(Rep(), 9, 13)
    one = sheet_of(played.lane, bib="1")
    assert _shares(one) == [(1, "no-reps are the team's")]
    assert one.works[0].picture is None


def test_each_member_of_a_team_has_the_own_no_reps() -> None:
    team = PlanTeam(
        members=(Member(bib="1", name="Ann"), Member(bib="2", name="Bea")), how="relay"
    )
    played = finished(replace(for_time(), bib="T", name="Herons", team=team))
    one, two = (sheet_of(played.lane, bib=bib) for bib in "12")
    assert (one.name, one.team, len(one.works[0].missed)) == ("Ann", "Herons", 2)
    assert (two.name, len(two.works[0].missed), two.lessons) == ("Bea", 0, ())
    assert _shares(one) == [(2, ""), (0, ""), (None, TEAM), (None, TEAM)]
    assert _shares(two) == [(None, TEAM), (None, TEAM), (0, ""), (0, "")]
    for each in (one, two):
        assert "done by the team" in page_text(sheet_page(each))
        assert sheet_html(each).count("done by the team") >= 2
    # Rounds of a set each: a member's bars are those of the own rounds.
    left, right = (each.works[0].picture for each in (one, two))
    assert left is not None
    assert right is not None
    assert left.strips[0].bands[0].left == 0
    assert right.strips[0].bands[0].left > 0
    assert [tick.says for tick in left.ticks] == [tick.says for tick in right.ticks]
    assert "Bea" not in as_json([one])


def test_a_cue_stands_on_the_sheet_of_whose_it_was() -> None:
    team = PlanTeam(
        members=(Member(bib="1", name="Ann"), Member(bib="2", name="Bea")), how="relay"
    )
    plan = replace(for_time(cues="on"), bib="T", name="Herons", team=team)
    played = Played(plan).go()
    played.press(5, Cue(fault="heels"))
    played.press(6, Rep())
    assert played.refusals == []
    one, two = (sheet_of(played.lane, bib=bib).works[0].cues for bib in "12")
    assert (one, two) == ((("Front squat: HEELS", 1),), ())
    text = page_text(sheet_page(sheet_of(played.lane, bib="1")))
    assert "Front squat: HEELS, cue once; the rep counted" in text


# --- since last time -----------------------------------------------------------------


def many(bad: int, good: int) -> Played:
    played = Played(simple(200)).go()
    for place in range(bad + good):
        body = NoRep(faults=("depth",)) if place < bad else Rep()
        played.press(5 * (place + 1), body)
    return played


def before(bad: int, good: int) -> Before:
    rows = lane_rows(many(bad, good).lane)
    past = PastScore(workout="quayside", revision=1, score="9:59")
    return Before(event="April", date="2027-04-03", lanes=(rows,), scores=(past,))


def test_a_fault_is_compared_with_both_counts_and_the_interval() -> None:
    now = many(1, 39).lane
    found = sheet_of(now, before=before(20, 20)).since
    assert found is not None
    assert (found.event, found.date) == ("April", "2027-04-03")
    assert found.scores == (
        "Quayside: not compared with last time (still open now, judged then)",
    )
    # By hand: -0.475, less 0.149 and plus 0.181.
    assert found.faults == (
        Changed(
            movement="Front squat",
            call="DEPTH",
            now="1 of 40 tries",
            then="20 of 40 tries",
            tells="fewer (\u221262 to \u221229 in 100 tries)",
            says="1 of 40 tries, last time 20 of 40 tries: fewer (\u221262 to "
            "\u221229 in 100 tries)",
        ),
    )


def test_few_tries_tell_nothing_and_say_so() -> None:
    found = sheet_of(many(1, 5).lane, before=before(2, 4)).since
    assert found is not None
    assert found.faults[0].tells == FEW
    assert list(since_lines(found))[-2:] == [
        "Front squat, DEPTH: 2 last time, 1 now (6 tries each time, few)",
        "Few: so few tries that no change is sure.",
    ]


def test_many_tries_without_a_change_are_not_too_few() -> None:
    then = before(11, 99)
    found = sheet_of(many(11, 99).lane, before=replace(then, lanes=then.lanes * 4))
    assert found.since is not None
    assert found.since.faults[0].tells.startswith("no clear change (")


def test_of_two_faults_a_change_must_be_surer() -> None:
    """5 of 15 against none: chance alone p = .042, raised beside an even one .083."""
    alone = sheet_of(many(0, 15).lane, before=before(5, 10)).since
    assert alone is not None
    assert alone.faults[0].tells.startswith("fewer (")

    def both(bad: int) -> Played:
        played = Played(simple(200)).go()
        for place in range(15):
            of = ("depth",) if place < bad else ("lock",) if place == bad else ()
            played.press(5 * (place + 1), NoRep(faults=of) if of else Rep())
        return played

    then = replace(before(1, 1), lanes=(lane_rows(both(5).lane),))
    found = sheet_of(both(0).lane, before=then).since
    assert found is not None
    assert [one.tells for one in found.faults] == [FEW] * 2
    lines = list(since_lines(found))
    assert lines[1] == (
        "Front squat, DEPTH: 5 last time, none now (15 tries each time, few)"
    )
    # Nothing stands in brackets that would have to be explained.
    assert "In brackets" not in lines[-1]


def test_only_scores_of_one_kind_are_compared() -> None:
    signed = many(1, 3)
    signed.press(699, Time())
    signed.press(700, Accept(who="athlete", signed=True))
    signed.press(701, Accept(who="judge", signed=True))
    assert signed.refusals == []
    then = before(1, 1)
    found = sheet_of(signed.lane, before=then).since
    assert found is not None
    assert found.scores == ("Quayside: 3 of 200, 197 short, last time 9:59",)
    told = tuple(replace(one, kind="reported") for one in then.scores)
    found = sheet_of(signed.lane, before=replace(then, scores=told)).since
    assert found is not None
    assert found.scores == (
        "Quayside: not compared with last time (judged now, reported then)",
    )


def test_the_surest_and_best_news_comes_first() -> None:
    def both(depth: int, lock: int) -> Played:
        played = Played(simple(300)).go()
        for place in range(60):
            of = "depth" if place < depth else "lock" if place < depth + lock else ""
            played.press(5 * (place + 1), NoRep(faults=(of,)) if of else Rep())
        return played

    then = replace(before(1, 1), lanes=(lane_rows(both(6, 30).lane),), scores=())
    found = sheet_of(both(7, 2).lane, before=then).since
    assert found is not None
    assert [(one.call, one.tells.split(" (")[0]) for one in found.faults] == [
        ("LOCK", "fewer"),
        ("DEPTH", "too few tries to tell"),
    ]


def test_a_fault_that_is_gone_is_told_too() -> None:
    found = sheet_of(many(0, 40).lane, before=before(20, 20)).since
    assert found is not None
    assert found.faults[0].now == "0 of 40 tries"


def test_without_anything_in_common_nothing_is_compared() -> None:
    past = replace(before(3, 3), scores=())
    other = for_time(
        cards=(replace(SQUAT, id="lunge"),),
        parts=(
            replace(
                simple().parts[0],
                movements=(replace(simple().parts[0].movements[0], card="lunge"),),
            ),
        ),
    )
    played = Played(other).go()
    played.press(5, Rep())
    assert sheet_of(played.lane, before=past).since is None


# --- the picture ---------------------------------------------------------------------


def test_the_picture_has_each_set_rep_and_no_rep_in_its_place() -> None:
    shown = sheet_of(finished().lane).works[0].picture
    assert shown is not None
    squats, toes, row = shown.strips
    assert [strip.name for strip in shown.strips] == [
        "Front squat",
        "Toes to bar",
        "Row",
    ]
    # The last rep at 1:44.5 is the picture's right edge.
    assert squats.reps[-1] == 100
    assert squats.missed == (10.53, 13.4)
    assert (squats.bands[0].left, squats.bands[0].width) == (0, 16.27)
    assert (row.reps, len(row.bands), len(toes.reps)) == ((), 1, 4)
    assert [tick.says for tick in shown.ticks] == ["0:00", "0:30", "1:00", "1:30"]
    assert "no-reps at 0:11, 0:14" in shown.says


def test_letters_draw_it_within_the_width() -> None:
    shown = sheet_of(finished().lane).works[0].picture
    assert shown is not None
    lines = drawn(shown, 60)
    assert max(map(len, lines)) <= 60
    assert lines[0].startswith("Front squat  ")
    assert lines[0].count("x") == 2
    assert "1:30" in lines[3]


def test_json_is_versioned_and_holds_no_number_that_is_none() -> None:
    made = json.loads(as_json([sheet_of(finished().lane)]))
    assert made["format"] == 1
    assert made["sheets"][0]["works"][0]["picture"]["strips"][0]["missed"] == [
        10.53,
        13.4,
    ]


def test_a_sheet_from_paper_tells_no_reps_without_a_time_and_draws_none() -> None:
    played = Played(for_time()).go()
    first = SetKey(1, 1, 1)
    played.press(0, WriteNoReps(set=first, n=2, fault="depth", any_round=True))
    played.press(0, WriteNoReps(set=SetKey(1, 2, 2), n=1, fault="lock"))
    played.press(461, PaperTime())
    (work,) = sheet_of(played.lane).works
    assert work.picture is None
    assert [(one.at, one.where, one.call) for one in work.missed] == [
        ("", "A", "DEPTH x2"),
        ("", "A 2", "LOCK x1"),
    ]
    assert {(one.took, one.pieces) for one in work.splits} == {("", "")}
