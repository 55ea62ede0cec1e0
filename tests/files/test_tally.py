"""The tally: one line form for each kind of entry, read and written."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import TYPE_CHECKING, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from judgekit.core import entry as e
from judgekit.core import ruling
from judgekit.core.checkentry import Answer, Check, Unchecked
from judgekit.core.decide import decide
from judgekit.core.errors import InputError, Refusal
from judgekit.core.lane import empty, evolve
from judgekit.core.paperentry import PaperNoReps, PaperSet, PaperTime
from judgekit.core.plan import Plan, PlanPart, SetKey
from judgekit.core.press import (
    Act,
    AnswerExtra,
    AnswerHorn,
    Answering,
    Called,
    CountAgain,
    EndLook,
    GoBack,
    Name,
    Press,
    ReportSet,
    RuleAt,
    TakeBackOne,
    WasClose,
    WriteNoReps,
    WriteSet,
)
from judgekit.core.watchentry import Look, LookEnd, Result, SetReported
from judgekit.files.cleaning import clean
from judgekit.files.tally import (
    GRAMMAR,
    NO_FORM,
    Form,
    TallyLine,
    decoded,
    parse,
    read,
    write,
)
from tests.support import SQUAT, for_time, movement

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from judgekit.core.state import Lane

GO = e.Go(boot="", boot_ms=0, zero_ms=0)


WORK = movement("front-squat", 6)
PLAN = for_time(
    parts=(
        PlanPart(id="A", kind="rounds", rounds=2, movements=(WORK,)),
        PlanPart(id="", kind="rest", length_ms=10_000),
        PlanPart(id="B", kind="rounds", rounds=2, movements=(WORK,)),
    ),
    cards=(SQUAT,),
)


def acts(text: str, plan: Plan | None = None) -> list[Act]:
    return [line.act for line in parse(text, "t", plan).lines]


def act(line: str, plan: Plan | None = None) -> Act:
    """The act of one line, after go."""
    return acts(f"0:00.0 go\n0:05.9 {line}\n", plan)[1]


def problems(text: str, plan: Plan | None = None) -> list[str]:
    with pytest.raises(InputError) as caught:
        parse(text, "lane4.tally", plan)
    return [str(problem) for problem in caught.value.problems]


# --- reading -----------------------------------------------------------------------


def test_a_tally_is_read_line_by_line() -> None:
    text = (
        "# heat 3 lane 4\n"
        "0:00.0  go\n"
        "\n"
        "0:02.4  rep\n"
        "0:04.1  no-rep shallow\n"
        "0:05.9  rep x5\n"
        "1:10.0  reading 15\n"
        "1:12.0  take-back\n"
        "9:00.0  time\n"
    )
    assert parse(text, "t").lines == (
        TallyLine(line=2, at=0, act=GO),
        TallyLine(line=4, at=2_400, act=e.Rep()),
        TallyLine(line=5, at=4_100, act=e.NoRep(faults=("shallow",))),
        TallyLine(line=6, at=5_900, act=e.Rep(n=5)),
        TallyLine(line=7, at=70_000, act=e.Reading(shows=15)),
        TallyLine(line=8, at=72_000, act=TakeBackOne()),
        TallyLine(line=9, at=540_000, act=e.Time()),
    )


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff0:00 go\r\n0:02.4 rep\r\n",
        "0:00 go\r0:02.4 rep",
        "0:00\tgo\n\t0:02.4 \t rep \n",
        "  # a comment\n0:00.000 GO\n0:02.40 Rep\n#\n",
    ],
)
def test_marks_spaces_line_ends_and_case_do_not_matter(text: str) -> None:
    lines = parse(text, "t").lines
    assert [(line.at, line.act) for line in lines] == [(0, GO), (2_400, e.Rep())]


@pytest.mark.parametrize(
    ("stamp", "ms"),
    [("0:02", 2_000), ("7:41.2", 461_200), ("75:03.25", 4_503_250), ("0:00.001", 1)],
)
def test_a_time_has_up_to_three_decimals(stamp: str, ms: int) -> None:
    assert parse(f"0:00 go\n{stamp} rep", "t").lines[1].at == ms


def test_hours_may_stand_before_the_minutes() -> None:
    assert parse("0:00 go\n1:02:03.4 rep", "t").lines[1].at == 3_723_400


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("go +0:12.0", e.Go(boot="", boot_ms=0, zero_ms=0, offset_ms=12_000)),
        ("rep x12", e.Rep(n=12)),
        ("no-rep", e.NoRep()),
        ("no-rep depth lock", e.NoRep(faults=("depth", "lock"))),
        ("call depth", Called(fault="depth")),
        ("name lock", Name(fault="lock")),
        ("name lock at 0:04.1", Name(fault="lock", at=4_100)),
        ("cue low-catch", e.Cue(fault="low-catch")),
        ("reading 0", e.Reading(shows=0)),
        ("reading 9 misread it", e.Reading(shows=9, why="misread it")),
        ("set-reported", ReportSet()),
        ("set-reported 8", ReportSet(n=8)),
        ("set-reported 1.2.1", ReportSet(set=SetKey(1, 2, 1))),
        ("set-reported 1.2.1 8", ReportSet(n=8, set=SetKey(1, 2, 1))),
        ("look", Look()),
        ("look-end", EndLook()),
        ("look-end 12", EndLook(seen=12)),
        ("result 7:41", Result(unit="ms", amount=461_000)),
        ("result 5 + 8", Result(unit="reps", rounds=5, amount=8)),
        ("result 62.5 kg", Result(unit="load", load="62.5 kg")),
        ("stop", e.Stop()),
        ("stop knees fall in", e.Stop(sign="knees fall in")),
        ("go-on mistake", e.GoOn(by_mistake=True)),
        ("go-on by Kim Brandt", e.GoOn(by_mistake=False, by="Kim Brandt")),
        ("take-back 0:04.1", TakeBackOne(at=4_100)),
        ("count-again", CountAgain()),
        ("count-again 0:04.1", CountAgain(at=4_100)),
        ("correct +1 that is twelve", e.Correct(by=1, said="that is twelve")),
        ("correct -2 back to ten", e.Correct(by=-2, said="back to ten")),
        ("move-on sore hands", e.MoveOn(why="sore hands")),
        ("back-to two short", GoBack(why="two short")),
        ("back-to 3.2.1 two short", GoBack(why="two short", to=SetKey(3, 2, 1))),
        ("extra yes", AnswerExtra(yes=True)),
        ("extra no 0:04.1", AnswerExtra(yes=False, at=4_100)),
        ("close-call", WasClose()),
        ("close-call 0:04.1", WasClose(at=4_100)),
        ("horn yes", AnswerHorn(counts=True)),
        ("horn no", AnswerHorn(counts=False)),
        ("withdraw", e.Withdraw()),
        ("withdraw sore shoulder", e.Withdraw(why="sore shoulder")),
        ("recall lane 2 moved", e.Recall(why="lane 2 moved")),
        ("freeze rig moved", e.Freeze(why="rig moved")),
        ("unfreeze", e.Unfreeze(by_mistake=False)),
        ("unfreeze mistake", e.Unfreeze(by_mistake=True)),
        ("time", e.Time()),
        (
            'scale front-squat as air-squat reps 8 load "47.5 kg" height 9ft why knee',
            e.Scale(
                card="front-squat",
                substitute="air-squat",
                reps=8,
                load="47.5 kg",
                height="9ft",
                why="knee",
            ),
        ),
        ("is 007", e.Is(bib="007")),
        ("absent", e.Absent()),
        ("absent no", e.Absent(absent=False)),
        ("accept athlete", e.Accept(who="athlete", signed=True)),
        ("accept judge not-signed", e.Accept(who="judge", signed=False)),
        ("dispute rep 7", e.Dispute(about="rep 7")),
        (
            "rule reps 1.2.1 -1 on video",
            e.Rule(effect=ruling.RepsInSet(set=SetKey(1, 2, 1), by=-1), why="on video"),
        ),
        ("rule time +0:30 w", e.Rule(effect=ruling.TimeBy(by_ms=30_000), why="w")),
        ("rule start -0:12 w", e.Rule(effect=ruling.StartBy(by_ms=-12_000), why="w")),
        ("rule credit 0:40 w", e.Rule(effect=ruling.Credit(ms=40_000), why="w")),
        ("rule percent 15 w", e.Rule(effect=ruling.Percent(percent=15), why="w")),
        ("rule void 0:04.1 w", RuleAt(restore=False, at=4_100, why="w")),
        ("rule restore 0:04.1 w", RuleAt(restore=True, at=4_100, why="w")),
        (
            "rule status did-not-start ill",
            e.Rule(effect=ruling.StatusIs(status="did not start"), why="ill"),
        ),
        (
            "rule time -0:03 answers 2,4 clock was late",
            Answering(
                ruling=e.Rule(effect=ruling.TimeBy(by_ms=-3_000), why="clock was late"),
                disputes=(2, 4),
            ),
        ),
        (
            "rule restore 0:04.1 answers 1 deep",
            Answering(ruling=RuleAt(restore=True, at=4_100, why="deep"), disputes=(1,)),
        ),
        (
            "rule stands answers 1 w",
            Answering(ruling=e.Rule(effect=ruling.Stands(), why="w"), disputes=(1,)),
        ),
        (
            "rule time -0:03 answers nothing",
            e.Rule(effect=ruling.TimeBy(by_ms=-3_000), why="answers nothing"),
        ),
        ("rule run 2 rower", e.Rule(effect=ruling.RunCounts(run=2), why="rower")),
        ("rule reopen heard", e.Rule(effect=ruling.Reopen(), why="heard")),
        ("rule close left", e.Rule(effect=ruling.Close(), why="left")),
        ("note # is no comment here", e.Note(text="# is no comment here")),
        ("early", e.Early()),
        (
            "ignored late",
            e.Ignored(why="late", key="", first_ms=5_900, last_ms=5_900, many=1),
        ),
        (
            'ignored "after the horn" x3 key "a \\" b" from 0:05.0 to 0:05.8',
            e.Ignored(
                why="after the horn",
                key='a " b',
                first_ms=5_000,
                last_ms=5_800,
                many=3,
            ),
        ),
        ("gap 0:02 laptop slept", e.Gap(off_ms=2_000, why="laptop slept")),
        ("clock-jump -0:08", e.ClockJump(by_ms=-8_000)),
        ("wall-set 1:30", e.WallSet(shows_ms=90_000)),
        ("check safety as-planned", Check(item="safety", answer="as planned")),
        (
            'check target-rope measured "2.75 m"',
            Check(item="target-rope", answer="measured", value="2.75 m"),
        ),
        (
            "check load-row refused 40kg",
            Check(item="load-row", answer="refused", value="40kg"),
        ),
        (
            'check limits not-as-planned "left elbow" by Dag R',
            Check(item="limits", answer="not as planned", why="left elbow", by="Dag R"),
        ),
        (
            'unchecked "no time" clock safety',
            Unchecked(items=("clock", "safety"), why="no time"),
        ),
    ],
)
def test_each_form_is_read(line: str, expected: Act) -> None:
    assert act(line) == expected


@pytest.mark.parametrize("form", GRAMMAR, ids=lambda form: form.keyword)
def test_each_form_has_an_example_that_is_one(form: Form) -> None:
    assert f"{form.example} ".startswith(f"{form.keyword} ")
    go = "" if form.keyword == "go" else "0:00.0 go\n"
    (*_, made) = acts(f"{go}0:00.0 {form.example}")
    kind = made.kind if isinstance(made, e.Body) else form.kind
    assert kind == form.kind


def test_every_kind_of_entry_has_a_form_or_a_reason_for_none() -> None:
    kinds = {body.kind for body in get_args(e.Body)}
    assert {form.kind for form in GRAMMAR} | NO_FORM.keys() == kinds
    assert not {form.kind for form in GRAMMAR} & NO_FORM.keys()
    effects = {effect.effect for effect in get_args(ruling.Effect)}
    rulings = {form.keyword for form in GRAMMAR if form.kind == "rule"}
    assert rulings == {f"rule {effect}" for effect in effects}


def test_keywords_are_told_apart() -> None:
    assert len({form.keyword for form in GRAMMAR}) == len(GRAMMAR)


def test_a_part_goes_by_its_place_or_by_its_id_in_the_workout() -> None:
    expected = GoBack(why="two short", to=SetKey(3, 1, 1))
    assert act("back-to 3.1.1 two short", PLAN) == expected
    assert act("back-to b.1.1 two short", PLAN) == expected


def test_a_part_that_the_workout_does_not_have_is_refused_with_those_it_has() -> None:
    assert problems("0:00 go\n0:09 back-to C.1.1 w", PLAN) == [
        (
            'lane4.tally:2: back-to: there is no part "C"; the parts are A, B; write'
            " back-to [PART.ROUND.MOVEMENT] WHY, as in: 0:09  back-to 1.2.1"
            " two reps short"
        )
    ]


def test_free_text_is_cleaned() -> None:
    assert act("note  Zoe\u0301\x07 \u202e says\thi") == e.Note(
        text="Zo\u00e9\ufffd says hi"
    )


# --- refusing ----------------------------------------------------------------------


def test_every_bad_line_is_told_with_what_would_be_right() -> None:
    text = "0:00 go\nrep\n0:02 rpe\n0:03 rep 5\n0:04\n0:05 rule tme +0:30 w\n0:06 rep\n"
    assert problems(text) == [
        (
            'lane4.tally:2: the line should begin with a time: "rep" is not a time such'
            ' as "7:41.2"; write the heat time first, as in: 0:02.4  rep'
        ),
        'lane4.tally:3: "rpe" is not a word of a tally; did you mean "rep"?',
        (
            'lane4.tally:4: rep: "5" does not say how many; write rep [xN],'
            " as in: 0:03  rep x5"
        ),
        "lane4.tally:5: the line ends after its time; say what happened, such as: rep",
        'lane4.tally:6: "rule tme" is not a word of a tally; did you mean "rule time"?',
    ]


def test_times_never_go_back_and_both_lines_are_named() -> None:
    assert problems("0:00 go\n0:05.9 rep\n\n0:04.1 rep\n0:06 rep\n") == [
        (
            "lane4.tally:4: 0:04.1 comes after 0:05.9 of line 2; times never go back;"
            " put the lines in order, or mend the time"
        )
    ]


@pytest.mark.parametrize("text", ["", "\n\n", "# heat 3 lane 4\n"])
def test_an_empty_tally_is_refused(text: str) -> None:
    assert problems(text) == [
        "lane4.tally:1: nothing is tallied here; begin with a line such as: 0:00.0  go"
    ]


@pytest.mark.parametrize("line", ["rep", "call depth", "take-back", "time"])
def test_nothing_is_judged_before_go(line: str) -> None:
    expected = [
        (
            "lane4.tally:2: nothing can be judged before go;"
            " put a line before it: 0:00.0  go"
        )
    ]
    assert problems(f"0:00 is 31\n0:00 {line}\n0:00 go\n") == expected
    assert problems(f"0:00 is 31\n0:00 {line}\n") == expected


def test_a_lane_that_never_started_needs_no_go() -> None:
    text = "0:00 absent\n0:00 rule status did-not-start ill\n0:00 note fever\n"
    assert acts(text) == [
        e.Absent(),
        e.Rule(effect=ruling.StatusIs(status="did not start"), why="ill"),
        e.Note(text="fever"),
    ]


def test_what_belongs_to_the_day_may_stand_before_go() -> None:
    text = "-0:02.1 early\n0:00 is 31\n0:00 scale front-squat reps 8\n0:00 go\n0:02 rep"
    assert [line.at for line in parse(text, "t").lines] == [-2_100, 0, 0, 0, 2_000]


def test_before_zero_nothing_counts() -> None:
    (problem,) = problems("-0:10.0 go\n-0:02.1 rep\n")
    assert problem.startswith(
        "lane4.tally:2: rep: nothing counts before 0:00; a rep made there is: early;"
    )


def test_go_stands_once_and_at_zero() -> None:
    assert problems("0:00 go\n0:09 rep\n0:10 go +0:10\n0:11 go\n") == [
        (
            "lane4.tally:4: go: times count from go, at 0:00; a later start says by how"
            " much; write go [+TIME], as in: 0:11  go"
        )
    ]
    assert problems("0:00 go\n0:00 go\n") == [
        (
            "lane4.tally:2: go stands in line 1 already;"
            " a second run has a tally of its own"
        )
    ]


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("rep x0", '"x0" does not say how many'),
        ("no-rep (depth)", '"(depth)" is not the id of a fault'),
        ("call", "the fault is missing"),
        ("reading 1.5", 'what the monitor shows: "1.5" is not a whole number'),
        ("go-on", "after a stop, say whether by mistake or who lets the athlete go on"),
        ("go-on by", "who lets the athlete go on is missing"),
        ("take-back 4.1", '"4.1" is not a time such as "7:41.2"'),
        ("take-back 0:61", '"0:61" is not a time; seconds go up to 59'),
        ("name depth of 0:04", '"of 0:04" is too much'),
        ("correct 1 x", 'the correction: "1" is not a number with + or - before it'),
        ("correct +1", "what was said aloud is missing"),
        ("move-on", "the reason is missing"),
        ("horn maybe", 'the answer: "maybe" is none of yes, no'),
        ("time 9:00", '"9:00" is too much'),
        ("scale squat", "nothing is scaled"),
        ("scale squat why knee", "nothing is scaled"),
        ('scale squat load "47.5 kg', "load: a quotation mark is not closed"),
        ("scale squat load", "load is missing"),
        ("scale squat load 47.5 kg", '"kg" is none of as, reps, load, height, why'),
        ("scale squat reps 8 reps 9", '"reps" stands twice'),
        ("accept coach", 'who: "coach" is none of athlete, judge'),
        ("rule reps 121 -1 w", '"121" is not a set'),
        ("rule time 0:30 w", '"0:30" needs + or - before it'),
        ("rule time +-0:30 w", '"-0:30" is not a time'),
        ("rule credit -0:40 w", '"-0:40" is not a time'),
        ("rule percent 101 w", "101 per cent is not from 1 to 100"),
        ("rule void 0:04", "the reason is missing"),
        ("rule run 0 w", "the run, counted from 1, is missing"),
        ("go +-0:10", '"-0:10" is not a time'),
    ],
)
def test_a_line_that_is_not_right_says_what_is_wrong(line: str, what: str) -> None:
    (problem,) = problems(f"0:00 go\n0:09 {line}\n")
    keyword = " ".join(line.split()[: 2 if line.startswith("rule") else 1])
    assert problem.startswith(f"lane4.tally:2: {keyword}: {what}")
    assert f"; write {keyword}" in problem
    assert "as in: 0:09  " in problem


@pytest.mark.parametrize("line", ["rep # nice", "close-call # nice"])
def test_a_comment_needs_a_line_of_its_own(line: str) -> None:
    (problem,) = problems(f"0:00 go\n0:09 {line}\n")
    assert problem.endswith("; a comment needs a line of its own")


@given(
    st.text(max_size=60) | st.text(st.sampled_from("0:1.-+x \n\t#grepo"), max_size=40)
)
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    said: Sequence[object]
    try:
        said = parse(text, "t").lines
    except InputError as error:
        said = error.problems
    assert said


# --- writing -----------------------------------------------------------------------


def entry(number: int, at: int | None, body: e.Body, key: SetKey | None) -> e.Entry:
    return e.Entry(
        book="b",
        number=number,
        lane=4,
        at=at,
        wall=0,
        who="kb",
        set=key,
        body=body,
    )


def test_a_lane_is_written_with_parts_by_id_and_times_as_fine_as_needed() -> None:
    a, b = SetKey(1, 1, 1), SetKey(3, 1, 1)
    ref = [ruling.Ref("b", number) for number in range(20)]
    bodies: list[tuple[int | None, e.Body, SetKey | None]] = [
        (None, e.Claim(judge="kb"), None),
        (None, e.Is(bib="31"), None),
        (-10_000, e.Go(boot="x", boot_ms=7, zero_ms=9), None),
        (2_400, e.Rep(), a),
        (4_125, e.NoRep(faults=("depth",)), a),
        (4_600, e.NameFault(target=ref[4], fault="lock"), a),
        (5_000, e.Rep(n=2), a),
        (6_000, e.TakeBack(target=ref[6]), a),
        (6_500, e.TakeBack(target=ref[3]), a),
        (7_000, e.PutBack(target=ref[3]), a),
        (7_100, e.Rep(), a),
        (7_500, e.Extra(target=ref[10], one_too_many=True), a),
        (7_600, e.PutBack(target=ref[10]), a),
        (7_700, e.Extra(target=ref[10], one_too_many=False), a),
        (7_800, e.CloseCall(target=ref[3]), a),
        (8_010, e.BackTo(why="two short"), b),
        (9_000, e.Rule(effect=ruling.RestoreAttempt(target=ref[4]), why="video"), None),
        (None, e.Rule(effect=ruling.RepsInSet(set=b, by=-1), why="video"), None),
        (None, e.Session(start=False), None),
    ]
    entries = [entry(n, at, body, key) for n, (at, body, key) in enumerate(bodies)]
    assert write(entries, PLAN) == (
        "# Quayside, heat 3, lane 4\n"
        "-0:10.0  is 31\n"
        "-0:10.0  go\n"
        "0:02.4  rep\n"
        "0:04.125  no-rep depth\n"
        "0:04.6  name lock\n"
        "0:05.0  rep x2\n"
        "0:06.0  take-back\n"
        "0:06.5  take-back 0:02.4\n"
        "0:07.0  count-again\n"
        "0:07.1  rep\n"
        "0:07.5  extra yes\n"
        "0:07.6  count-again\n"
        "0:07.7  extra no 0:07.1\n"
        "0:07.8  close-call 0:02.4\n"
        "0:08.01  back-to B.1.1 two short\n"
        "0:09.0  rule restore 0:04.125 video\n"
        "0:09.0  rule reps B.1.1 -1 video\n"
    )


def test_a_press_stamped_before_its_predecessor_is_written_in_its_place() -> None:
    key = SetKey(1, 1, 1)
    entries = [
        entry(1, 0, GO, None),
        entry(2, 3_000, e.Rep(), key),
        entry(3, 2_000, e.NoRep(), key),
        entry(4, 4_000, e.TakeBack(target=ruling.Ref("b", 3)), key),
    ]
    assert write(entries, None) == (
        "0:00.0  go\n0:02.0  no-rep\n0:03.0  rep\n0:04.0  take-back 0:02.0\n"
    )


def test_what_is_meant_without_a_time_is_written_without_one() -> None:
    key = SetKey(1, 1, 1)
    rep = ruling.Ref("b", 3)
    entries = [
        entry(1, -500, e.Early(), key),
        entry(2, 0, GO, None),
        entry(3, 2_000, e.Rep(), key),
        entry(4, 2_500, e.CloseCall(target=rep), key),
        entry(5, 3_000, e.Horn(target=rep, counts=True), key),
        entry(6, 4_000, e.Horn(target=rep, counts=False), key),
        entry(7, 5_000, e.BackTo(why="two short"), None),
    ]
    assert write(entries, None) == (
        "-0:00.5  early\n0:00.0  go\n0:02.0  rep\n0:02.5  close-call\n"
        "0:03.0  horn yes\n0:04.0  horn no\n0:05.0  back-to two short\n"
    )


def test_nothing_is_written_for_no_entries() -> None:
    assert write([], None) == ""


def test_no_text_adds_a_line() -> None:
    entries = [entry(1, 0, e.Note(text="a\n0:01.0 rep\r\u20280:02.0 rep"), None)]
    assert write(entries, None) == "0:00.0  note a 0:01.0 rep 0:02.0 rep\n"


@pytest.mark.parametrize("form", GRAMMAR, ids=lambda form: form.keyword)
def test_each_form_of_an_entry_is_written_as_it_is_read(form: Form) -> None:
    example = "go +0:12" if form.keyword == "go" else form.example
    lines = parse(f"0:00.0 go\n0:05.0 {example}", "t").lines
    bodies = [line.act for line in lines if isinstance(line.act, e.Body)]
    entries = [entry(n, n * 5_000, body, None) for n, body in enumerate(bodies)]
    assert parse(write(entries, None), "t").lines == lines[: len(bodies)]


ids = st.sampled_from(["depth", "lock", "low-catch", "x2", "at"])
words = (
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30).map(
        clean
    )
    | st.sampled_from(
        ['a "b" \\c', "x5", "at 0:01", "by mistake", "# no comment", "no"]
    )
).filter(bool)
some_words = words | st.just("")
lengths = st.integers(1, 10_000_000)
signed = lengths | lengths.map(lambda ms: -ms)
sets = st.builds(SetKey, st.integers(1, 9), st.integers(1, 99), st.integers(1, 9))
effects = st.one_of(
    st.builds(ruling.RepsInSet, set=sets, by=st.integers(1, 99) | st.integers(-99, -1)),
    st.builds(ruling.TimeBy, by_ms=signed),
    st.builds(ruling.StartBy, by_ms=signed),
    st.builds(ruling.Credit, ms=lengths),
    st.builds(ruling.Percent, percent=st.integers(1, 100)),
    st.builds(ruling.StatusIs, status=st.sampled_from(get_args(ruling.StatusWord))),
    st.builds(ruling.RunCounts, run=st.integers(1, 9)),
    st.builds(ruling.Reopen),
    st.builds(ruling.Close),
)
counted = st.sampled_from(["reps", "calories", "metres", "seconds", "segments"])
plain_bodies: st.SearchStrategy[e.Body] = st.one_of(
    st.builds(e.Rep, n=st.integers(1, 999)),
    st.builds(e.NoRep, faults=st.lists(ids, unique=True).map(tuple)),
    st.builds(e.Cue, fault=ids),
    st.builds(e.Reading, shows=st.integers(0, 9999), why=some_words),
    st.builds(SetReported, n=st.integers(0, 9999)),
    st.just(Look()),
    st.builds(LookEnd, seen=st.integers(0, 999)),
    st.builds(Result, unit=st.just("ms"), amount=lengths),
    st.builds(Result, unit=counted, amount=st.integers(0, 99_999)),
    st.builds(
        Result,
        unit=st.just("reps"),
        rounds=st.integers(1, 99),
        amount=st.integers(0, 99),
    ),
    st.builds(Result, unit=st.just("rounds"), rounds=st.integers(0, 99)),
    st.builds(Result, unit=st.just("load"), load=st.sampled_from(["80 kg", "9 lb"])),
    st.builds(
        PaperSet, n=st.integers(0, 999), load=st.sampled_from(["", "80 kg", "9 lb"])
    ),
    st.builds(
        PaperNoReps,
        n=st.integers(1, 99),
        fault=ids | st.just(""),
        any_round=st.booleans(),
    ),
    st.builds(PaperTime),
    st.builds(PaperTime, part=st.integers(1, 9), round=st.integers(0, 9)),
    st.builds(PaperTime, rep=st.integers(1, 999)),
    st.builds(e.Stop, sign=some_words),
    st.just(e.GoOn(by_mistake=True)),
    st.builds(e.GoOn, by_mistake=st.just(False), by=words),
    st.builds(e.Correct, by=st.integers(1, 99) | st.integers(-99, -1), said=words),
    st.builds(e.MoveOn, why=words),
    st.builds(e.BackTo, why=words),
    st.builds(e.Withdraw, why=some_words),
    st.builds(e.Recall, why=some_words),
    st.builds(e.Freeze, why=some_words),
    st.builds(e.Unfreeze, by_mistake=st.booleans()),
    st.just(e.Time()),
    st.builds(
        e.Scale,
        card=ids,
        substitute=ids | st.just(""),
        reps=st.integers(1, 999),
        load=some_words,
        height=some_words,
        why=some_words,
    ),
    st.builds(e.Is, bib=words.filter(lambda text: len(text) <= 20)),
    st.builds(e.Absent, absent=st.booleans()),
    st.builds(e.Accept, who=st.sampled_from(get_args(e.Signer)), signed=st.booleans()),
    st.builds(e.Dispute, about=words),
    st.builds(e.Rule, effect=effects, why=words),
    st.builds(e.Note, text=words),
    st.builds(
        e.Ignored,
        why=words,
        key=some_words,
        first_ms=signed,
        last_ms=signed,
        many=st.integers(1, 99),
    ),
    st.builds(e.Gap, off_ms=lengths, why=some_words),
    st.builds(e.ClockJump, by_ms=signed),
)


def as_act(body: e.Body, key: SetKey | None) -> Act:
    """What a press would have to say for such an entry, where it points at nothing."""
    if isinstance(body, e.BackTo):
        return GoBack(why=body.why, to=key)
    if isinstance(body, SetReported):
        return ReportSet(n=body.n, set=key)
    if isinstance(body, PaperSet) and key is not None:
        return WriteSet(set=key, n=body.n, load=body.load)
    if isinstance(body, PaperNoReps) and key is not None:
        key = key._replace(round=1) if body.any_round else key
        return WriteNoReps(
            set=key, n=body.n, fault=body.fault, any_round=body.any_round
        )
    return EndLook(seen=body.seen) if isinstance(body, LookEnd) else body


@given(st.lists(st.tuples(st.integers(0, 5_000), plain_bodies, sets), max_size=12))
def test_what_is_written_reads_back_the_same(
    steps: list[tuple[int, e.Body, SetKey]],
) -> None:
    entries = [entry(0, 0, GO, None)]
    at = 0
    for number, (gap, body, key) in enumerate(steps, 1):
        at += gap
        entries.append(entry(number, at, body, key))
    lines = parse(write(entries, None), "t").lines
    expected = [(x.at, as_act(x.body, x.set)) for x in entries]
    assert [(line.at, line.act) for line in lines] == expected


# --- a lane played, written, and played again ----------------------------------------


def play(lines: list[tuple[int, Act]], plan: Plan = PLAN) -> Lane:
    """The lane that these acts make; what is refused leaves no trace."""
    lane = empty(plan)
    for at, one in lines:
        decided = decide(lane, Press(at=at, act=one, who="kb"))
        if isinstance(decided, Refusal):
            continue
        for draft in decided:
            made = entry(len(lane.entries), draft.at, draft.body, draft.set)
            lane = evolve(lane, made)
    return lane


MOMENTS = st.integers(0, 30).map(lambda n: n * 700)
ANSWERS = st.sampled_from(get_args(Answer))
presses: st.SearchStrategy[Act] = st.one_of(
    st.just(e.Rep()),
    st.just(e.Rep()),
    st.builds(e.Rep, n=st.integers(1, 3)),
    st.builds(e.NoRep, faults=st.sampled_from([(), ("depth",)])),
    st.builds(Called, fault=st.sampled_from(["depth", "lock"])),
    st.builds(Name, fault=st.sampled_from(["depth", "lock"])),
    st.just(TakeBackOne()),
    st.builds(TakeBackOne, at=MOMENTS),
    st.just(CountAgain()),
    st.builds(WasClose, at=st.none() | MOMENTS),
    st.builds(AnswerExtra, yes=st.booleans(), at=st.none() | MOMENTS),
    st.builds(Check, item=st.sampled_from(("clock", "safety")), answer=ANSWERS),
    st.just(Check(item="clock", answer="not as planned", why='a "minute"', by="Kim")),
    st.just(Unchecked(items=("clock", "safety"), why="no time left")),
    st.just(e.MoveOn(why="sore hands")),
    st.just(GoBack(why="two short")),
    st.just(e.Correct(by=1, said="that is one more")),
    st.just(e.Stop()),
    st.just(e.GoOn(by_mistake=True)),
    st.just(e.GoOn(by_mistake=False, by="Kim")),
    st.just(e.Freeze()),
    st.just(e.Unfreeze(by_mistake=True)),
    st.builds(
        RuleAt,
        restore=st.booleans(),
        at=MOMENTS,
        why=st.just("video"),
    ),
    st.builds(e.Dispute, about=st.just("the count"), by=st.sampled_from(["", "Kim"])),
    st.builds(
        Answering,
        ruling=st.builds(RuleAt, restore=st.booleans(), at=MOMENTS, why=st.just("w"))
        | st.just(e.Rule(effect=ruling.Stands(), why="as judged")),
        disputes=st.sampled_from([(1,), (2,), (1, 2)]),
    ),
)


@settings(max_examples=200)
@given(st.lists(presses, max_size=30))
def test_a_lane_written_out_and_played_again_is_the_same_lane(made: list[Act]) -> None:
    first = play([(0, GO), *((n * 700, one) for n, one in enumerate(made, 1))])
    lines = parse(write(first.entries, PLAN), "t", PLAN).lines
    again = play([(line.at, line.act) for line in lines])
    assert again == first


class_presses: st.SearchStrategy[Act] = st.one_of(
    st.builds(ReportSet, n=st.none() | st.integers(1, 3)),
    st.just(Look()),
    st.builds(EndLook, seen=st.none() | st.integers(0, 9)),
    st.just(Result(unit="ms", amount=300_000)),
    presses,
)


@settings(max_examples=200)
@given(st.lists(class_presses, max_size=30))
def test_a_class_written_out_and_played_again_is_the_same_lane(made: list[Act]) -> None:
    plan = replace(PLAN, watching="reported")
    acts = [(0, GO), *((n * 700, one) for n, one in enumerate(made, 1))]
    first = play(acts, plan)
    lines = parse(write(first.entries, plan), "t", plan).lines
    assert play([(line.at, line.act) for line in lines], plan) == first


SET_BACK = """0:00.0  go
0:10.0  rep
0:20.0  wall-set 0:15.0
0:15.5  rep
0:16.0  no-rep depth
0:17.0  take-back 0:05.0
0:18.0  name lock at 0:16.0
0:19.0  wall-set 0:30.0
0:31.0  take-back 0:26.5
"""


def test_a_clock_set_back_or_on_is_written_out_and_played_again_the_same() -> None:
    """Times go back there, and what came before is named by the time it has since."""
    lines = parse(SET_BACK, "t", PLAN).lines
    lane = play([(line.at, line.act) for line in lines])
    assert len(lane.entries) == len(lines)
    assert write(lane.entries, None) == SET_BACK.replace(" at 0:16.0", "")
    assert [a.at for a in lane.work.attempts] == [27_000]


def test_after_a_clock_was_set_times_still_never_go_back() -> None:
    text = "0:00.0  go\n0:20.0  wall-set 0:15.0\n0:14.9  rep\n"
    (says,) = problems(text)
    assert says.startswith("lane4.tally:3: 0:14.9 comes after 0:15.0 of line 2; ")


def test_a_ruling_of_an_older_log_is_written_with_what_it_ended() -> None:
    made = [
        entry(0, 0, GO, None),
        entry(1, 20_000, e.Dispute(about="the count"), None),
        entry(
            2,
            30_000,
            e.Rule(effect=ruling.Percent(percent=5), why="x", answers=None),
            None,
        ),
        entry(3, 40_000, e.Dispute(about="the time"), None),
        entry(4, 50_000, e.Rule(effect=ruling.Percent(percent=5), why="y"), None),
    ]
    assert [line.split("  ")[1] for line in write(made, None).splitlines()] == [
        "go",
        "dispute the count",
        "rule percent 5 answers 1 x",
        "dispute the time",
        "rule percent 5 y",
    ]


LONG = "9" * 5000


@pytest.mark.parametrize(
    "line",
    [
        LONG,
        f"rep {LONG}",
        f"rule {LONG}",
        f"no-rep {LONG}",
        f"call {LONG}",
        f"is {LONG}",
        f"scale {LONG} reps 5",
        f"scale front-squat as {LONG}",
        f"scale front-squat {LONG}",
        f"back-to {'x' * 5000}.1.1 short",
        f"take-back {LONG}",
        f"take-back 0:{LONG}",
        f"reading {LONG}",
        f"correct {LONG} x",
        f"correct +{LONG} x",
        f"accept {LONG}",
        f"rule reps {LONG} +1 x",
        f"rule reps {'x' * 5000}.1.1 +1 x",
        f"rule time {LONG} x",
        f"go +0:{LONG}",
        f"close-call {LONG}",
    ],
)
def test_no_message_quotes_more_than_forty_letters(line: str) -> None:
    found = problems(f"0:00.0  go\n0:01.0  {line}\n")
    assert found
    for message in found:
        assert LONG[:41] not in message
        assert "x" * 41 not in message
    (early, *_) = problems(f"{LONG}  rep\n")
    assert f'"{LONG[:40]}…" is not a time' in early


def test_a_tally_is_a_file_of_a_size_that_is_meant(tmp_path: Path) -> None:
    path = tmp_path / "one.tally"
    path.write_bytes(b"0:00.0  go\n")
    assert decoded(read(path, "t"), "t") == "0:00.0  go\n"
    path.write_bytes(b"#" * 1_000_001)
    device = tmp_path / "device"
    device.symlink_to(os.devnull)
    for odd, says in (
        (path, "t:1: the file is larger than 1 MB; a tally is of one lane"),
        (device, "t:1: this is not a file; check its name and folder"),
        (tmp_path, "t:1: this is not a file; check its name and folder"),
        (tmp_path / "no", "t:1: there is no such file; check its name and folder"),
    ):
        with pytest.raises(InputError) as caught:
            read(odd, "t")
        assert str(caught.value) == says
