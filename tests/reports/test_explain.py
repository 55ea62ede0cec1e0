"""An athlete's place followed down to the entries of the log."""

from __future__ import annotations

import json
from dataclasses import replace

from judgekit.core.entry import (
    Accept,
    Correct,
    Dispute,
    NoRep,
    Rep,
    Rule,
    Stop,
    Time,
    Withdraw,
)
from judgekit.core.lane import fold
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import PlanTeam, PlanTieBreak, SetKey
from judgekit.core.press import TakeBackOne, WriteNoReps, WriteSet
from judgekit.core.ruling import RepsInSet, TimeBy
from judgekit.core.score import score
from judgekit.core.twojudges import score_of_both
from judgekit.reports import explain as report
from judgekit.reports.entrywords import entry_words
from judgekit.reports.explain import (
    Deciding,
    Explained,
    Instead,
    Neighbour,
    explain,
    explain_page,
    questions_words,
)
from judgekit.reports.page import page_text
from judgekit.reports.standings import Result, standings
from tests.support import ZERO_WALL, Played, for_time, simple, window

NAMES = {"kb": "Kim Brandt"}


def timed(bib: str, name: str, last: float) -> Played:
    plan = simple(2, bib=bib, name=name, dispute_ms=900_000, zone="UTC")
    played = Played(plan, book=f"log-{bib}").go()
    played.each(Rep(), 2, last)
    return played


def explained(bib: str, *lanes: Played) -> Explained:
    results = [Result(lane=p.lane, score=score(p.lane)) for p in lanes]
    (told,) = explain(standings(results), bib, NAMES)
    return told


def field() -> tuple[Played, Played, Played]:
    """A 10 s and a penalty of 5 s, B 12 s after a no-rep, C 30 s."""
    one = timed("A", "Ana Roth", 10)
    one.press(20, Rule(effect=TimeBy(by_ms=5000), why="left the lane"))
    two = Played(simple(2, bib="B", name="Bo Lind", zone="UTC"), book="log-B").go()
    two.press(2, Rep())
    two.press(6, NoRep(faults=("depth",)))
    two.press(12, Rep())
    return one, two, timed("C", "Cy Mora", 30)


def test_a_place_is_followed_down_to_its_entries() -> None:
    assert explained("A", *field()) == Explained(
        bib="A",
        name="Ana Roth",
        workout="Quayside",
        division="Women",
        place="2 of 3",
        score="0:15",
        status="finished, provisional until 08:15",
        judges="",
        steps=(
            ("last rep at", "0:10.000"),
            ("ruling: left the lane", "+0:05.000"),
            ("score", "0:15"),
        ),
        neighbours=(
            Neighbour(
                place="1", who="B Bo Lind", score="0:12", parted="0:03 between them"
            ),
            Neighbour(
                place="3", who="C Cy Mora", score="0:30", parted="0:15 between them"
            ),
        ),
        entries=(
            Deciding(number=4, log="log-A", at="0:10.0", says="last: Front squat: rep"),
            Deciding(
                number=5,
                log="log-A",
                at="0:20.0",
                says="ruling by Kim Brandt: +5 s on the score (left the lane)",
            ),
        ),
        otherwise=(
            Instead(
                question="A without the ruling: +5 s on the score (left the lane)",
                score="0:10 instead of 0:15",
                moves="A from 2 to 1, B from 1 to 2",
            ),
        ),
        questions="the count and the time until 08:15, with the head judge",
    )


def test_what_others_are_asked_about_counts_where_it_moves_this_one() -> None:
    told = explained("B", *field())
    assert [one.question for one in told.otherwise] == [
        "A without the ruling: +5 s on the score (left the lane)"
    ]
    assert [one.says for one in told.entries] == [
        "Front squat: no-rep DEPTH",
        "last: Front squat: rep",
    ]
    # C is third whatever is said of A.
    assert explained("C", *field()).otherwise == ()


def test_equal_scores_are_said_to_share_their_place() -> None:
    told = explained("A", timed("A", "Ana", 10), timed("B", "Bo", 10))
    assert told.place == "1 of 2, shared"
    assert [n.parted for n in told.neighbours] == ["nothing: the place is shared"]


def test_a_dispute_says_who_asks_for_what_and_why() -> None:
    one = timed("A", "Ana", 14)
    claim = Dispute(
        about="the clock was late",
        by="the athlete",
        claims=TimeBy(by_ms=-3000),
        evidence="video 0:11",
    )
    one.press(20, claim)
    (other,) = explained("A", one, timed("B", "Bo", 12)).otherwise
    assert other.question == (
        "A if granted: dispute 1 by the athlete: the clock was late; "
        "asks: -3 s on the score; seen: video 0:11; not answered yet"
    )
    assert other.moves == "A from 2 to 1, B from 1 to 2"


def test_what_was_taken_back_is_told_with_its_undoing() -> None:
    one = timed("A", "Ana", 10)
    one.press(11, TakeBackOne())
    one.press(13, Rep())
    assert [e.says for e in explained("A", one).entries] == [
        "taken back: rep at 0:10.0",
        "last: Front squat: rep",
    ]


def test_an_accepted_score_is_no_more_questioned() -> None:
    one = timed("A", "Ana", 10)
    one.press(20, Accept(who="athlete", signed=True))
    one.press(21, Accept(who="judge", signed=True))
    assert questions_words(one.lane) == (
        "no: it is closed, and only a head judge's ruling changes it"
    )


def test_once_the_time_is_over_nothing_is_questioned() -> None:
    lane = timed("A", "Ana", 10).lane
    end = ZERO_WALL + 10_000 + 900_000
    assert questions_words(lane, end).startswith("the count and the time until 08:15")
    assert questions_words(lane, end + 1) == ("no: the time for it ended at 08:15")


def test_the_page_and_the_json_say_the_same() -> None:
    told = explained("A", *field())
    text = page_text(explain_page(told))
    for words in ("0:10 instead of 0:15", "A from 2 to 1", "log-A", "2 of 3"):
        assert words in text
    data = json.loads(report.as_json([told]))
    assert data["format"] == 1
    assert data["explained"][0]["otherwise"][0]["score"] == "0:10 instead of 0:15"


def two_judges(bib: str, lane: int, mine: int, other: int) -> Result:
    """A pair in a window of five minutes, which a second judge counts beside."""
    plan = window(bib=bib, name=bib, lane=lane, team=PlanTeam(judges=2))
    first, second = Played(plan, book=bib).go(), Played(plan, book=f"{bib}-2").go()
    for played, reps in ((first, mine), (second, other)):
        played.each(Rep(), *(2 + 3 * n for n in range(reps)))
        played.press(300, Time())
    return Result(
        lane=first.lane,
        score=score_of_both(first.lane, second.lane),
        beside=tuple(second.entries),
    )


def test_where_two_judges_count_the_lower_one_is_explained_and_weighed() -> None:
    """A: 4 and 3, so 3 counts; B has 3. A rep more in both makes A first alone."""
    one, two = two_judges("A", 1, 4, 3), two_judges("B", 2, 3, 5)
    asked = Dispute(about="one more", claims=RepsInSet(set=SetKey(1, 1, 1), by=1))
    lane = Played(one.lane.plan, book="A")
    lane.entries, lane.lane = [*one.lane.entries], one.lane
    lane.press(310, asked)
    one = replace(one, lane=lane.lane)
    (told,) = explain(standings([one, two]), "A", NAMES)
    differ = "they differ in part A, round 1, front squat: 4 and 3"
    assert told.judges == f"first judge: 4, second judge: 3; 3 counts; {differ}"
    lasts = [(one.log, one.at) for one in told.entries if one.says.startswith("last")]
    assert lasts == [("A", "0:11.0"), ("A-2", "0:08.0")]
    assert told.place == "1 of 2, shared"
    (other,) = told.otherwise
    assert (other.score, other.moves) == (
        "0 rounds and 4 (4 reps) instead of 0 rounds and 3 (3 reps)",
        "B from 1 to 2",
    )
    assert "two judges" in page_text(explain_page(told))


def test_a_team_is_named_once() -> None:
    lanes = [timed("Heron", "Heron", 10), timed("Otter", "Otter", 12)]
    told = explained("Heron", *lanes)
    assert explain_page(told).title == "Heron"
    assert [one.who for one in told.neighbours] == ["Otter"]


def reps(bib: str, lane: int, *signs: str) -> Played:
    """Squats in five minutes: + a rep, - a no-rep, every three seconds from 2 s."""
    plan = window(bib=bib, name=bib, lane=lane, tiebreaks=(LAST_REP,))
    played = Played(plan, book=f"log-{bib}").go()
    for number, sign in enumerate(signs):
        act = Rep() if sign == "+" else NoRep(faults=("depth",))
        played.press(2 + 3 * number, act)
    played.press(300, Time())
    return played


LAST_REP = PlanTieBreak(kind="last-rep")


def test_a_call_that_would_move_a_place_is_told_with_who_would_pass_whom() -> None:
    """A 3 and B 3 by an earlier last rep; with its second no-rep A has 4."""
    one, two = reps("A", 1, *"++-+"), reps("B", 2, *"+++")
    told = explained("A", one, two)
    assert told.place == "2 of 2"
    assert [(o.question, o.moves) for o in told.otherwise] == [
        (
            "A if it counted: Front squat: no-rep DEPTH at 0:08.0",
            "A from 2 to 1, B from 1 to 2",
        )
    ]
    # Of the one in front no call moves anybody, nor is another lane's judge asked.
    assert explained("B", one, two).otherwise == ()


def test_a_correction_that_moved_a_place_is_weighed_without_it() -> None:
    one, two = reps("A", 1, *"+++"), reps("B", 2, *"++++")
    one.lane = fold(one.plan, one.entries[:-1])
    one.entries = [*one.lane.entries]
    one.press(20, Correct(by=2, said="five"))
    one.press(300, Time())
    assert [(o.question, o.moves) for o in explained("A", one, two).otherwise] == [
        ("A without it: correction +2 at 0:20.0", "A from 1 to 2, B from 2 to 1")
    ]


def test_what_made_a_tie_break_is_among_the_entries() -> None:
    lanes = [reps("A", 1, *"++-"), reps("B", 2, *"++")]
    assert [one.says for one in explained("A", *lanes).entries] == [
        "last, tie-break, last rep: Front squat: rep",
        "Front squat: no-rep DEPTH",
    ]


def test_what_ended_the_work_early_is_among_the_entries() -> None:
    one, two = reps("A", 1), timed("B", "Bo", 12)
    gone = Played(simple(3, bib="C", name="Cy"), book="c").go()
    gone.press(5, Withdraw(why="sore wrist"))
    stopped = Played(simple(3, bib="D", name="Di"), book="d").go()
    stopped.press(5, Stop(sign="sharp pain"))
    says = [
        [entry.says for entry in explained(bib, one, two, gone, stopped).entries]
        for bib in ("C", "D")
    ]
    assert says == [["withdrew (sore wrist)"], ["STOP (sharp pain)"]]
    assert explained("C", gone).place == "no place: withdrawn"


def test_what_changes_no_score_is_said_to_leave_it() -> None:
    one = timed("A", "Ana", 10)
    effect = RepsInSet(set=SetKey(1, 1, 1), by=-1)
    one.press(20, Dispute(about="late", claims=TimeBy(by_ms=100)))
    (other,) = explained("A", one).otherwise
    assert (other.score, other.moves) == ("0:10 as it is", "nobody moves")
    one.press(30, Rule(effect=effect, why="short"))
    assert len(explained("A", one).otherwise) == 2


def test_nothing_of_an_explanation_is_cut_where_columns_are_few() -> None:
    one, two, three = field()
    claim = Dispute(
        about="the clock was late by a good deal, as everybody in the hall could see",
        by="the athlete",
        claims=TimeBy(by_ms=-3000),
        evidence="the video of the second camera at 0:11",
    )
    one.press(25, claim)
    for columns in (80, 120):
        text = page_text(explain_page(explained("A", one, two, three)), columns)
        assert "…" not in text
        assert max(map(len, text.splitlines())) <= columns
        assert "could see" in text


def test_entries_from_paper_say_of_which_set_they_are() -> None:
    played = Played(for_time()).go()
    squats, toes = SetKey(1, 1, 1), SetKey(1, 2, 2)
    played.press(0, WriteSet(set=squats, n=2))
    played.press(0, WriteNoReps(set=squats, n=3, fault="depth", any_round=True))
    played.press(0, WriteNoReps(set=toes, n=1))
    played.press(90, TakeBackOne())
    played.press(200, PaperTime(part=3))
    told = [entry_words(played.lane, entry, {}) for entry in played.entries[2:]]
    assert told == [
        "part A, round 1, front squat, from paper: 2",
        "part A, front squat, from paper: 3 no-reps DEPTH",
        "part A, round 2, toes to bar, from paper: 1 no-rep, undone",
        "taken back: from paper: 1 no-rep",
        "from paper: part B done",
    ]
