from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core.entry import (
    Accept,
    Cue,
    Dispute,
    GoOn,
    MoveOn,
    NoRep,
    Reading,
    Rep,
    Rule,
    Stop,
    Time,
)
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import PlanPart, PlanTieBreak, SetKey
from judgekit.core.press import (
    AnswerHorn,
    Called,
    EndLook,
    ReportSet,
    RuleAt,
    TakeBackOne,
    WasClose,
    WriteNoReps,
)
from judgekit.core.ruling import StartBy, TimeBy
from judgekit.core.score import Step, score
from judgekit.core.watchentry import Look
from judgekit.core.watchentry import Result as WholeResult
from judgekit.reports.inforce import NO_ADVICE
from judgekit.reports.names import NO_REASON, shown_name
from judgekit.reports.scorecard import (
    PROVES,
    AttemptRow,
    Scorecard,
    SplitRow,
    scorecard,
)
from judgekit.reports.scorecardtext import as_text
from judgekit.review.faults import fault_rates
from tests.format_plans import every, rounds, workout
from tests.support import Played, card, fault, for_time, movement, simple, window


def a_whole_heat() -> Played:
    """Two no-reps, a take-back, a cue, a dispute, both signatures, then a ruling."""
    played = Played(for_time()).go()
    played.each(Rep(), 2, 5, 8)
    played.press(11, Called(fault="depth"))
    played.press(11.5, Called(fault="lock"))
    played.each(Rep(), 14, 16, 20, 23, 26)
    played.press(27, NoRep())
    played.each(Rep(), 30, 33)
    played.press(34, TakeBackOne())
    played.press(35, Rep())
    played.press(96, Reading(shows=4))
    played.press(100, Cue(fault="heels"))
    played.each(Rep(), 101, 104.5)
    played.press(110, Dispute(about="depth of rep 2"))
    played.press(111, Accept(who="judge", signed=True))
    played.press(112, Accept(who="athlete", signed=False))
    played.press(113, Rule(effect=TimeBy(by_ms=5000), why="left early"))
    assert played.refusals == []
    return played


def card_of(played: Played) -> Scorecard:
    return scorecard(played.lane, score(played.lane))


def test_a_scorecard_says_everything_that_was_counted_and_why() -> None:
    lane = a_whole_heat().lane
    made = scorecard(
        lane, score(lane), log_code="22.0123456789", runs="run 2 of 2: rig moved"
    )
    squat = SplitRow(
        part="A",
        round=1,
        movement="Front squat",
        good=3,
        target=3,
        unit="reps",
        no_reps=0,
        done="0:08",
        took="0:08",
        note="",
    )
    toes = replace(squat, movement="Toes to bar", good=2, target=2, no_reps=1)
    row = replace(squat, part="B", movement="Row", good=4, target=4, unit="calories")
    assert made == Scorecard(
        event="Quayside Saturday",
        date="2027-05-08",
        heat="3",
        lane=4,
        bib="27",
        name="Ines Varga",
        division="Women",
        workout="Quayside",
        revision=1,
        judge="kb",
        run="run 2 of 2: rig moved",
        splits=(
            squat,
            replace(toes, done="0:16", took="0:08"),
            replace(squat, round=2, done="0:26", took="0:10"),
            replace(toes, round=2, done="0:35", took="0:09"),
            replace(row, done="1:36", took="0:01"),
            replace(squat, part="B", good=2, target=2, done="1:44", took="0:08"),
        ),
        no_reps=(
            AttemptRow(
                at="0:11.0",
                movement="Toes to bar",
                what="DEPTH + LOCK",
                says="Hip crease below the knee; Knees and hips straight",
                marks="",
            ),
            AttemptRow(
                at="0:27.0",
                movement="Toes to bar",
                what="no reason given",
                says="",
                marks="",
            ),
        ),
        remarked=(),
        cues=(("HEELS", 1),),
        corrections=(),
        late=(),
        steps=(
            Step(label="last rep at", value="1:44.500"),
            Step(label="planned rest", value="-1:00.000"),
            Step(label="ruling: left early", value="+0:05.000"),
            Step(label="score", value="0:49"),
        ),
        status="finished",
        standing="provisional",
        judges="",
        score="0:49",
        watched="judged",
        watched_words="",
        scaled="",
        tiebreak="",
        provisional=("disputed",),
        amended="signed 0:44, now 0:49",
        remarks=(
            "dispute 1: depth of rep 2; not answered yet",
            "ruling by kb: +5 s on the score (left early)",
        ),
        signed=("judge: accepted", "athlete: not signed"),
        settings=(
            ("watching", "every rep is judged"),
            ("in doubt", "the rep counts"),
            ("rep before a rest is over", "the rep does not count"),
            ("press after the horn", "asked about up to 1 s after it"),
            ("questions", "about count and time"),
            ("times cut to", "1 s"),
            ("cap", "10:00"),
            ("capped athletes", "ranked below finishers by reps done"),
            ("planned rest", "comes off the score"),
        ),
        cautions=(),
        log_code="22.0123456789",
        proves=PROVES,
        aloud=(
            "0:49 (1:44 less 1:00 rest, ruling: left early +0:05.000), amended "
            "from 0:44, two no-reps, reasons: depth 1, lock 1, no reason given 1"
        ),
    )


def test_the_title_says_who_did_what_under_whom() -> None:
    played = Played(simple())
    assert scorecard(
        played.lane, score(played.lane), runs="run 2 of 2", judge="Kim Brandt"
    ).title == (
        "Quayside Saturday, 2027-05-08",
        "Heat 3, lane 4: 27  Ines Varga, Women",
        "Quayside, revision 1, judged by Kim Brandt",
        "run 2 of 2",
    )


def test_took_adds_up_to_the_times_shown_beside_it() -> None:
    plan = for_time(parts=for_time().parts[:1])
    played = Played(plan).go()
    played.each(Rep(), 2, 5, 8.9, 12, 17.1, 20, 23, 26.95, 30, 40.05)
    splits = card_of(played).splits
    assert [(s.done, s.took) for s in splits] == [
        ("0:08", "0:08"),
        ("0:17", "0:09"),
        ("0:26", "0:09"),
        ("0:40", "0:14"),
    ]


@pytest.mark.parametrize(
    ("precision", "shown"),
    [(1000, "1:35"), (100, "1:35.6"), (10, "1:35.60")],
)
def test_one_time_looks_the_same_wherever_it_stands(precision: int, shown: str) -> None:
    """C10: times are cut, and cut alike in score, split, arithmetic and speech."""
    plan = simple(1, precision_ms=precision)
    played = Played(plan).go()
    played.press(95.608, Rep())
    made = card_of(played)
    assert (made.score, made.splits[0].done, made.steps[-1].value) == (shown,) * 3
    assert made.aloud == f"{shown}, no no-reps"


def test_times_just_below_a_minute_never_show_sixty_seconds() -> None:
    """C10: 59.997 s is 0:59, 0:59.9 or 0:59.99."""
    shown = []
    for precision in (1000, 100, 10):
        played = Played(simple(1, precision_ms=precision)).go()
        played.press(59.997, Rep())
        shown.append(card_of(played).score)
    assert shown == ["0:59", "0:59.9", "0:59.99"]


def test_a_moved_start_moves_the_score_the_splits_and_the_no_reps() -> None:
    """C24: everything on the card follows a correction of the start."""
    plan = for_time(parts=for_time().parts[:1])
    played = Played(plan).go()
    played.each(Rep(), 170, 175, 180)
    played.press(200, Called(fault="lock"))
    played.each(Rep(), 300, 310, 400, 410, 420, 560, 570)
    before = card_of(played)
    assert (before.score, before.splits[0].done) == ("9:30", "3:00")
    played.press(700, Rule(effect=StartBy(by_ms=12_000), why="wall clock said so"))
    after = card_of(played)
    assert (after.score, after.splits[0].done, after.splits[0].took) == (
        "9:18",
        "2:48",
        "2:48",
    )
    assert after.no_reps[0].at == "3:08.0"
    assert after.remarks == ("ruling by kb: start moved by +12 s (wall clock said so)",)
    assert after.aloud == "9:18, one no-rep: lock 1"


def test_rounds_and_reps_are_read_with_their_tie_break_and_every_reason() -> None:
    played = Played(window(tiebreaks=(PlanTieBreak(kind="last-full-round"),))).go()
    played.each(Rep(), *range(3, 18, 3))
    played.each(Called(fault="depth"), 20, 24, 28)
    played.press(40, Called(fault="lock"))
    played.each(Rep(), *range(50, 74, 3))
    played.each(Rep(), *range(80, 95, 3), 100)
    played.press(310, Time())
    assert card_of(played).aloud == (
        "1 round and 5 + 1 (19 reps), tie-break 1:11, four no-reps: depth 3, lock 1"
    )


def test_a_time_that_differs_from_the_clock_says_why_when_read() -> None:
    """The two times and the rest add up as shown, cut as they are."""
    played = Played(for_time()).go()
    played.each(Rep(), 2, 5, 8.9, 14, 16, 20, 23, 26, 30, 33.7)
    played.press(96.2, Reading(shows=4))
    played.each(Rep(), 101, 104.5)
    assert card_of(played).aloud == "0:44 (1:44 less 1:00 rest), no no-reps"


def test_many_no_reps_are_counted_in_figures() -> None:
    played = Played(simple()).go()
    played.each(Called(fault="depth"), *range(5, 70, 5))
    assert card_of(played).aloud == "0 of 10, 10 short, 13 no-reps: depth 13"


@pytest.mark.parametrize(
    ("act", "aloud"),
    [
        (Stop(sign="dizzy"), "stopped: 1 of 10, 9 short, no no-reps"),
        (Time(), "did not finish: 1 of 10, 9 short, no no-reps"),
    ],
)
def test_a_status_other_than_finished_is_said_first(
    act: Stop | Time, aloud: str
) -> None:
    played = Played(simple()).go()
    played.press(5, Rep())
    played.press(9, act)
    assert card_of(played).aloud == aloud


def test_a_lane_before_go_has_a_scorecard_that_says_so() -> None:
    made = card_of(Played(simple()))
    assert (made.status, made.score, made.splits, made.aloud) == (
        "waiting",
        "",
        (),
        "waiting, no no-reps",
    )


def test_what_is_no_judged_attempt_is_a_remark_and_no_no_rep() -> None:
    """Read aloud, splits, lines and fault rates count the same no-reps."""
    played = Played(simple()).go()
    played.press(5, Called(fault="lock"))
    played.press(10, Called(fault="depth"))
    played.press(12, RuleAt(restore=False, at=10_000, why="good on video"))
    played.press(20, Stop(sign="dizzy"))
    played.press(22, Called(fault="depth"))
    played.press(30, GoOn(by_mistake=False, by="the physician"))
    made = card_of(played)
    assert [row.at for row in made.no_reps] == ["0:05.0"]
    assert made.splits[0].no_reps == 1
    assert made.aloud.endswith(", one no-rep: lock 1")
    assert [(row.at, row.what, row.says) for row in made.remarked] == [
        ("0:10.0", "no-rep: DEPTH", "does not count"),
        ("0:22.0", "no-rep: DEPTH", "does not count"),
    ]
    assert fault_rates([played.lane]).total.no_reps == 1


def test_a_reason_that_left_the_card_stays_as_it_was_logged() -> None:
    """C32: a renamed reason is neither lost nor moved to another."""
    played = Played(simple()).go()
    played.put(NoRep(faults=("squat_depth",)), 5000)
    made = card_of(played)
    assert made.no_reps == (
        AttemptRow(
            at="0:05.0",
            movement="Front squat",
            what="squat_depth (no longer on the card)",
            says="",
            marks="",
        ),
    )


def test_reps_with_a_mark_are_shown_with_what_became_of_them() -> None:
    played = Played(window()).go()
    played.press(3, Rep())
    played.press(4, WasClose())
    played.press(300.4, Rep())
    made = card_of(played)
    assert made.remarked == (
        AttemptRow(
            at="0:03.0",
            movement="Front squat",
            what="rep",
            says="counts",
            marks="close call",
        ),
        AttemptRow(
            at="5:00.4",
            movement="Front squat",
            what="rep",
            says="does not count",
            marks="at the horn",
        ),
    )
    played.press(330, AnswerHorn(counts=True))
    assert card_of(played).remarked[1].says == "counts"


def test_a_restored_no_rep_is_none_any_more() -> None:
    played = Played(simple()).go()
    played.press(5, Called(fault="depth"))
    played.press(20, RuleAt(restore=True, at=5000, why="good on video"))
    made = card_of(played)
    assert (made.no_reps, made.splits[0].no_reps, made.splits[0].good) == ((), 0, 1)
    assert made.remarked[0].what == "no-rep: DEPTH"
    assert made.remarked[0].marks == "restored by a ruling"
    assert made.aloud == "1 of 10, 9 short, no no-reps"


def test_a_set_left_short_says_why() -> None:
    played = Played(for_time()).go()
    played.press(3, Rep())
    played.press(9, MoveOn(why="grip gone"))
    split = card_of(played).splits[0]
    assert (split.good, split.done, split.took, split.note) == (
        1,
        "",
        "",
        "moved on: grip gone",
    )


def test_settings_and_cautions_of_the_cards_in_use_are_printed() -> None:
    squat = replace(
        card("front-squat"),
        settings=(("depth", "below-parallel"),),
        caution="Over 60 in a first session: sore legs for days.",
    )
    plan = simple(
        cards=(squat,), doubt="no-rep", capped="second-per-rep", cap_ms=60_000
    )
    made = card_of(Played(plan))
    assert made.settings == (
        ("watching", "every rep is judged"),
        ("in doubt", "no rep"),
        ("rep before a rest is over", "the rep does not count"),
        ("press after the horn", "asked about up to 1 s after it"),
        ("questions", "about count and time"),
        ("times cut to", "1 s"),
        ("cap", "1:00"),
        ("capped athletes", "cap and 1 s for each rep short"),
        ("Front squat: depth", "below-parallel"),
    )
    assert made.cautions == (
        "Front squat: Over 60 in a first session: sore legs for days.",
        NO_ADVICE,
    )


def test_judges_are_named_and_without_a_name_the_log_s_id_stands() -> None:
    played = Played(simple()).go()
    played.press(9, Rule(effect=TimeBy(by_ms=1000), why="late"))
    lane = played.lane
    line = "ruling by {}: +1 s on the score (late)"
    bare = card_of(played)
    assert (bare.judge, bare.remarks) == ("kb", (line.format("kb"),))
    for made in (
        scorecard(lane, score(lane), judge="Kim Brandt"),
        scorecard(lane, score(lane), names={"kb": "Kim Brandt"}),
    ):
        assert (made.judge, made.remarks) == (
            "Kim Brandt",
            (line.format("Kim Brandt"),),
        )


def test_without_a_log_code_nothing_is_said_of_what_it_proves() -> None:
    made = card_of(Played(simple()))
    assert (made.log_code, made.proves) == ("", "")


@pytest.mark.parametrize(
    ("name", "show", "shown"),
    [
        ("Ines Varga", "name", "Ines Varga"),
        ("Ines maria Varga", "initials", "I. M. V."),
        ("Ines Varga", "number", "27"),
        ("", "initials", "27"),
    ],
)
def test_a_name_is_shown_as_its_owner_wants_it(
    name: str, show: str, shown: str
) -> None:
    assert shown_name(name, show, "27") == shown  # type: ignore[arg-type]
    plan = simple(name=name, show=show)
    assert card_of(Played(plan)).name == shown


def test_a_criterion_is_said_once_for_each_reason_that_breaks_it() -> None:
    squat = replace(
        card("front-squat"), faults=(fault("depth", "d"), fault("odd", "o"))
    )
    played = Played(simple(cards=(squat,))).go()
    played.press(5, Called(fault="depth"))
    played.press(5.5, Called(fault="odd"))
    assert card_of(played).no_reps[0].says == "Hip crease below the knee"


def test_what_was_done_instead_is_read_aloud_with_the_score() -> None:
    plan = for_time()
    squats, toes = plan.parts[0].movements
    knees = replace(toes, card="knee-raise", instead_of="Toes-to-bar")
    part = replace(plan.parts[0], movements=(squats, knees))
    plan = replace(
        plan,
        parts=(part, *plan.parts[1:]),
        cards=(*plan.cards, card("knee-raise", floor=850)),
        substituted=True,
    )
    played = Played(plan).go()
    assert card_of(played).aloud == "0 of 16, 16 short, with knee raise, no no-reps"
    played.each(Rep(), 2, 5, 8.9, 14, 16, 20, 23, 26, 30, 33.7)
    played.press(96.2, Reading(shows=4))
    played.each(Rep(), 101, 104.5)
    made = card_of(played)
    assert made.scaled == "with knee raise"
    assert made.aloud == "0:44 with knee raise (1:44 less 1:00 rest), no no-reps"
    assert card_of(Played(plan)).aloud == "waiting, no no-reps"


def test_tie_breaks_stand_in_words_with_their_values() -> None:
    ties = (PlanTieBreak(kind="last-rep"), PlanTieBreak(kind="fewer-no-reps"))
    played = Played(simple(1, tiebreaks=ties)).go()
    played.press(61, Rep())
    card = scorecard(played.lane, score(played.lane))
    assert card.tiebreak == "last rep 1:01, 0 no-reps"


def test_as_many_as_can_be_done_has_no_number_to_be_done() -> None:
    part = PlanPart(
        id="A",
        kind="window",
        length_ms=60_000,
        movements=(movement("front-squat", 0),),
    )
    played = Played(workout(part)).go()
    played.each(Rep(), 2, 5)
    [row] = card_of(played).splits
    assert (row.good, row.target) == (2, "max")


def test_what_was_waited_for_before_a_round_is_no_work_of_it() -> None:
    """Minute 2 opens at 1:00; after own rest of 0:30 round 2 opens at 0:35."""
    minutes = Played(workout(every(movement("front-squat", 2)))).go()
    minutes.each(Rep(), 2, 5, 63, 68)
    assert [(s.done, s.took) for s in card_of(minutes).splits[:2]] == [
        ("0:05", "0:05"),
        ("1:08", "0:08"),
    ]
    rested = rounds(movement("front-squat", 2), rounds=2, rest_ms=30_000)
    own = Played(workout(rested, score="time")).go()
    own.each(Rep(), 2, 5, 38, 41)
    assert [s.took for s in card_of(own).splits] == ["0:05", "0:06"]


def test_that_a_lane_was_capped_is_said_once() -> None:
    plan = simple(6, cap_ms=60_000, capped="second-per-rep")
    played = Played(plan).go()
    played.each(Rep(), 20, 40)
    played.press(62, Time())
    # Four short of six: 1:00 and four seconds.
    assert card_of(played).aloud == "1:04 (capped, 4 short), no no-reps"


def test_a_team_is_named_once() -> None:
    """Its bib is its name."""
    made = card_of(Played(simple(1, bib="Heron", name="Heron", show="number")))
    assert made.title[1] == "Heat 3, lane 4: Heron, Women"
    assert as_text(made).startswith("Heat 3, lane 4: Heron, Women\n")


# --- reported sets, looks and results ------------------------------------------------


def looked_at() -> Played:
    """Two sets of a class reported, with a look, one never closed, and one notice."""
    played = Played(for_time(watching="reported")).go()
    played.press(5, Look())
    played.press(6, Rep(n=2))
    played.press(7, Called(fault="depth"))
    played.press(7.5, Called(fault="lock"))
    played.press(9, NoRep())
    played.press(12, EndLook(seen=9))
    played.press(20, ReportSet())
    played.press(31.5, Called(fault="lock"))
    played.press(40, ReportSet(n=1))
    played.press(50, Look())
    played.press(51, Called(fault="depth"))
    return played


def test_a_scorecard_of_reported_sets_says_so_and_what_looks_saw() -> None:
    made = card_of(looked_at())
    assert (made.watched, made.watched_words) == (
        "sampled",
        "sets as the athlete reported them and looks",
    )
    assert [(s.good, s.no_reps, s.note) for s in made.splits] == [
        (3, None, "reported"),
        (1, None, "reported"),
    ]
    assert made.no_reps == ()
    assert made.remarks == (
        (
            "look at 0:05.0: Front squat, 9 seen, 2 no-reps (DEPTH 1, LOCK 1, "
            "no reason given 1)"
        ),
        "look at 0:50.0: Toes to bar, never closed, 1 no-rep (DEPTH 1)",
        "noticed at 0:31.5: Toes to bar LOCK",
    )
    assert (
        made.aloud == "4 of 16, 12 short, sets as the athlete reported them and looks"
    )


def test_a_scorecard_of_a_result_has_sets_without_times() -> None:
    played = Played(for_time()).go()
    played.press(0, WholeResult(unit="ms", amount=461_000))
    made = card_of(played)
    assert (made.score, made.status, made.watched) == ("7:41", "finished", "reported")
    assert {(s.done, s.took, s.note) for s in made.splits} == {("", "", "reported")}
    assert [(step.label, step.value) for step in made.steps] == [
        ("reported", "7:41.000"),
        ("score", "7:41"),
    ]
    assert (made.provisional, made.no_reps) == ((), ())
    assert made.settings[0] == ("watching", "result as the athlete reported it")
    assert made.aloud == "7:41, result as the athlete reported it"


def test_a_scorecard_from_paper_says_so_and_has_no_times_within_sets() -> None:
    played = Played(for_time()).go()
    squats = SetKey(1, 1, 1)
    played.press(0, WriteNoReps(set=squats, n=3, fault="depth", any_round=True))
    played.press(0, WriteNoReps(set=SetKey(1, 1, 2), n=1))
    played.press(200, PaperTime(part=1))
    played.press(461, PaperTime())
    made = card_of(played)
    assert (made.score, made.status, made.watched) == ("6:41", "finished", "judged")
    assert [(s.done, s.took, s.no_reps, s.note) for s in made.splits] == [
        *[("", "", None, "from paper")] * 3,
        ("3:20", "", None, "from paper"),
        ("", "", None, "from paper"),
        ("7:41", "", None, "from paper"),
    ]
    assert [(r.at, r.movement, r.what, r.says, r.marks) for r in made.no_reps] == [
        ("", "Front squat", "DEPTH x3", "Hip crease below the knee", "from paper"),
        ("", "Toes to bar", f"{NO_REASON} x1", "", "from paper"),
    ]
    assert made.settings[0] == ("watching", "totals from paper, every rep judged")
    assert made.aloud == (
        "6:41 (7:41 less 1:00 rest), four no-reps: depth 3, "
        "no reason given 1, from paper"
    )
