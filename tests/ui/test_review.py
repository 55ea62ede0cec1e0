"""Review: rates as bars that read without colour, and keys that look otherwise."""

from __future__ import annotations

import random
import re
from dataclasses import replace
from time import monotonic

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.entry import Rep
from judgekit.core.plan import Member, PlanTeam
from judgekit.core.press import Called, EndLook
from judgekit.core.watchentry import Look
from judgekit.review.attempts import CueRow, LaneRows, lane_rows
from judgekit.review.differences import Count, difference
from judgekit.review.faults import rate
from judgekit.review.pieces import LanePieces, SetPieces, lane_pieces
from judgekit.review.sessions import LaneSum, MovementSum, Sessions, sessions
from judgekit.ui.compat import KeyParser, as_one_read
from judgekit.ui.screens.review import ReviewScreen
from judgekit.ui.text import width_of
from judgekit.ui.views.bars import (
    ASCII,
    BLOCKS,
    axis,
    bar,
    change_axis,
    change_bar,
    change_top,
    time_axis,
    time_line,
    top_of,
)
from judgekit.ui.views.review import review_lines, title
from judgekit.ui.views.reviewed import GROUPS, LOOKS, Also, Asked, Reviewed
from judgekit.ui.views.signs import signs_of
from judgekit.ui.watch_app import WatchApp
from judgekit.ui.widgets.line import Line
from judgekit.ui.widgets.sheetpane import SheetPane
from tests.review.made_rows import counted, facts, simulated, squats
from tests.review.test_cost import from_paper
from tests.support import Played, card, simple
from tests.ui.fake_desk import rows, text, until

JUDGES = {"kb": "Kim Brandt"}


def late(rep: int) -> float:
    return 0.03 if rep < 9 else 0.12


def reviewed(many: int = 8, *, ascii_only: bool = False) -> Reviewed:
    drawn = random.Random(4)  # noqa: S311 - the same athletes every time
    lanes = [
        simulated(facts(f"0{n}", lane=n), drawn, late, sets=4)
        for n in range(1, many + 1)
    ]
    return Reviewed("Quayside Saturday", lanes, JUDGES, ascii_only=ascii_only)


def shown(of: Reviewed, asked: Asked, columns: int = 78) -> list[str]:
    return [line.text for line in review_lines(of, asked, columns)]


def test_a_bar_leads_to_its_range_and_marks_the_rate() -> None:
    of = rate(10, 100)
    assert bar(of, 0.2, 20, BLOCKS) == "·····━━━━━●━━━━━━━  "
    assert bar(of, 0.2, 20, ASCII) == ".....-----o-------  "
    assert bar(of, 0.1, 10, ASCII) == ".....---->"
    assert bar(rate(0, 0), 0.2, 10, BLOCKS) == " " * 10
    assert bar(rate(3, None), 0.2, 10, BLOCKS) == " " * 10


@given(
    st.integers(1, 500).flatmap(
        lambda tries: st.builds(rate, st.integers(0, tries), st.just(tries))
    ),
    st.sampled_from([0.05, 0.2, 1.0]),
    st.integers(4, 60),
)
def test_a_bar_is_as_wide_as_asked_and_has_one_mark(
    of: object, top: float, columns: int
) -> None:
    drawn = bar(of, top, columns, BLOCKS)  # type: ignore[arg-type]
    assert len(drawn) == columns
    assert drawn.count("●") + drawn.count(">") >= 1
    assert drawn.count("●") <= 1


def test_a_scale_ends_above_what_is_sure_and_small_rates_do_not_stretch_it() -> None:
    assert top_of([rate(10, 100), rate(1, 9)]) == 0.2
    # But every rate has its mark.
    assert top_of([rate(10, 100), rate(1, 2)]) == 0.6
    assert ASCII.at in bar(rate(1, 2), 0.6, 20, ASCII)
    assert top_of([rate(1, 2)]) == 1.0
    assert top_of([rate(3, None)]) == 0.05
    assert axis(0.2, 20) == "0 %       10    20 %"


def test_a_time_line_is_as_long_as_the_work_and_counts_what_falls_together() -> None:
    marks = [(0, "d"), (5000, "k"), (5100, "d"), (9000, "d")]
    assert time_line(marks, 9000, 20_000, 20, ".") == "d....2...d" + " " * 10
    assert time_line([], 0, 0, 10, ".") == " " * 10
    # Before a start that was ruled later: at the start, and never at the end.
    assert time_line([(-5000, "d")], 9000, 20_000, 10, ".") == "d...." + " " * 5
    assert time_line([(-50_000, "d")], -9, 1, 5, ".") == "d    "
    assert time_axis(600_000, 40).split() == ["0", "min", "2", "4", "6", "8"]
    assert time_axis(1, 20).strip() == "0 min"


def test_rates_stand_with_their_attempts_and_what_is_few_is_said() -> None:
    lanes = [
        counted(facts("1"), 90, *[("depth",)] * 10),
        counted(facts("2"), 2, ("lock",)),
    ]
    of = Reviewed("Quayside", lanes, {})
    found = shown(of, Asked(group=GROUPS.index(("athlete",))))
    assert found[1].startswith("2 Athlete 2")
    assert found[1].endswith("1 of 3  33.3 % few")
    assert found[2].startswith("1 Athlete 1")
    assert found[2].endswith("10 of 100  10.0 %")
    assert "few: under 20 attempts" in found[3]
    assert "11 no-reps in 103 attempts" in " ".join(found)
    narrow = shown(of, Asked(group=GROUPS.index(("athlete",))), 38)
    assert narrow[1] == "2 Athlete 2         1 of 3  33.3 % few"
    assert narrow[2] == "1 Athlete 1      10 of 100  10.0 %"


def test_nothing_and_no_faults_are_said_in_words() -> None:
    """C21: no empty chart."""
    nothing = Reviewed("Quayside", [], {})
    for look in LOOKS:
        assert shown(nothing, Asked(look=look)) == ["Nothing was judged here yet."]
    clean = Reviewed("Quayside", [counted(facts("1"), 50)], {})
    assert shown(clean, Asked()) == ["No faults: 0 no-reps in 50 attempts."]
    assert "No no-reps." in shown(clean, Asked(look="time"))
    every = " ".join(shown(clean, Asked(look="when")))
    assert "too few to tell" in every


# Where a row's bar begins, or its numbers where there is no room for bars.
_AFTER_LABEL = re.compile(r"\s([·━●>]{4,}.*|\s+\d+ of \d+.*)$")
LONG = "Maximiliana Theodora von und zu Hohenfels"
WIDE = "東京都千代田区霞が関の長い名前の選手"


def named(name: str, *, movement: str = "Front squat") -> Reviewed:
    """Two athletes of that name with two faults each."""
    lanes = []
    for bib in ("1", "2"):
        plan = facts(bib).plan
        squat = replace(plan.cards[0], name=movement)
        own = replace(
            facts(bib), plan=replace(plan, name=name, cards=(squat, *plan.cards[1:]))
        )
        lanes.append(counted(own, 30, ("depth",), ("depth",), ("lock",)))
    return Reviewed("Quayside", lanes, JUDGES)


@pytest.mark.parametrize("columns", [60, 78, 98, 118, 158, 198])
@pytest.mark.parametrize("name", [LONG, WIDE, "e\u0301" * 40])
def test_rows_with_long_names_are_whole_and_never_look_alike(
    name: str, columns: int
) -> None:
    of = named(name, movement="Alternating single-arm overhead walking lunge")
    asked = Asked(group=GROUPS.index(("athlete", "movement", "fault")))
    found = shown(of, asked, columns)
    assert max(map(width_of, found)) <= columns
    first = next(n for n, line in enumerate(found) if line.startswith("1 "))
    last = next(n for n, line in enumerate(found) if not line)
    labels = (_AFTER_LABEL.sub("", line) for line in found[first:last])
    told = "".join("".join(labels).split())
    assert "…" not in told
    # Each of four rows has the whole name and the whole movement, broken or not.
    for whole in (name, "Alternating single-arm overhead walking lunge"):
        assert told.count("".join(whole.split())) == 4


@pytest.mark.parametrize("columns", [78, 118, 198])
def test_bars_begin_in_the_same_cell_beside_names_of_any_script(columns: int) -> None:
    lanes = []
    for bib, name in (("1", WIDE), ("2", "Ida"), ("3", "Zoe\u0301 M")):
        own = facts(bib)
        own = replace(own, plan=replace(own.plan, name=name))
        lanes.append(counted(own, 30, ("depth",)))
    of = Reviewed("Quayside", lanes, JUDGES)
    found = shown(of, Asked(group=GROUPS.index(("athlete",))), columns)
    bars = [line for line in found if "●" in line]
    assert len(bars) == 3
    assert len({width_of(line[: line.index("●")]) for line in bars}) == 1
    assert len({width_of(line[: line.index("1 of 31")]) for line in bars}) == 1


def test_a_cue_told_is_no_bar_of_nought() -> None:
    cards = (card("front-squat"), card("row"))
    one = counted(facts("1", cards=cards), 90, *[("depth",)] * 10)
    row = one.attempts[0].set
    cue = CueRow(one.facts, row, 4000, "heels", "1")
    machine = replace(row, card="row", unit="calories", rated=False)
    back = CueRow(one.facts, machine, 5000, "back", "1")
    of = Reviewed("Quayside", [replace(one, cues=(cue, cue, back))], {})
    found = shown(of, Asked())
    assert [line.split()[0] for line in found[1:2]] == ["Front"]
    assert not found[2]
    assert (
        "change no count: Front squat HEELS 2, Row back (no longer on the card) 1"
        in (" ".join(found[3:]))
    )
    by_movement = shown(of, Asked(group=1))
    assert "change no count: Front squat 2, Row 1." in " ".join(by_movement)
    assert not any(line.startswith("Row") for line in by_movement[:3])


def test_who_was_told_cues_and_tried_nothing_has_no_bar() -> None:
    tried, told = counted(facts("1"), 9, ("depth",)), facts("2")
    cue = CueRow(told, tried.attempts[0].set, 4000, "heels", "2")
    of = Reviewed("Quayside", [tried, LaneRows(facts=told, cues=(cue,))], {})
    found = shown(of, Asked(group=GROUPS.index(("athlete",))))
    assert [line[:11] for line in found if " Athlete " in line[:11]] == ["1 Athlete 1"]
    assert "change no count: 2 Athlete 2 1." in " ".join(found)


# --- how long a rep takes -------------------------------------------------------------


def paced(bib: str, *gaps: int) -> LanePieces:
    """A lane of front squats in two sets: one rep each at so many ms."""
    one = SetPieces(
        set=squats(), target=9, good=9, no_reps=0, pieces=(5, 4), pace_ms=gaps[0]
    )
    more = replace(one, set=squats(2), pieces=(9,), pace_ms=gaps[1])
    row = replace(squats(3), movement="Row")
    read = replace(one, set=row, pace_ms=None, pieces=(), untold="monitor")
    return LanePieces(facts=facts(bib), sets=(one, more, read))


def test_everybody_s_pace_is_the_middle_set_between_quickest_and_slowest() -> None:
    pieces = (paced("1", 2000, 4000), paced("2", 2200, 2200), paced("3", 5000, 5000))
    lanes = [counted(facts(bib), 18) for bib in ("1", "2", "3")]
    of = Reviewed("Quayside", lanes, {}, also=Also(pieces=pieces))
    head, row, *rest = shown(of, Asked(look="pace"), 60)
    assert head.split() == [
        "movement",
        "0",
        "s",
        "2.5",
        "5",
        "s",
        "a",
        "rep",
        "athletes",
    ]
    # The middle of all is 3.1 s; athletes have 2.2, 3 and 5 s, on a scale to 5 s.
    drawn = row[len("Front squat") + 1 :].strip()
    bar_, *numbers = drawn.split(" ", 1)
    assert numbers[0].split() == ["3.1", "s", "3"]
    wide = len(bar_)
    assert bar_.index("━") == int(2.2 / 5 * wide)
    assert bar_.index("●") == int(3.1 / 5 * wide)
    assert bar_.endswith("━")
    assert "an estimate" in " ".join(rest)


def test_pieces_are_left_out_where_they_have_no_room() -> None:
    many = replace(paced("1", 2000, 4000).sets[0], pieces=(3, 2, 1, 1, 1, 1))
    lane = replace(paced("1", 2000, 4000), sets=(many,))
    of = Reviewed("Quayside", [counted(facts("1"), 9)], {}, also=Also(pieces=(lane,)))
    wide, narrow = (shown(of, Asked(look="pace", bib="1"), c)[1] for c in (78, 38))
    assert wide.endswith("3 + 2 + 1 + 1 + 1 + 1")
    assert narrow.split()[-3:] == ["2.0", "s", "9"]


def test_one_athlete_s_pace_is_told_set_by_set_with_what_has_none() -> None:
    lanes = [counted(facts(bib), 18) for bib in ("1", "2")]
    pieces = (paced("1", 2000, 4000), paced("2", 9000, 9000))
    of = Reviewed("Quayside", lanes, {}, also=Also(pieces=pieces))
    _, first, second, *rest = shown(of, Asked(look="pace", bib="1"))
    assert first.startswith("A.1 Front squat ")
    assert first.split()[-6:] == ["2.0", "s", "9", "5", "+", "4"]
    assert second.split()[-3:] == ["4.0", "s", "9"]
    words = " ".join(rest)
    assert "No pace of Row: a machine or a clock counts, not each rep." in words
    assert "9.0 s" not in words
    nothing = shown(Reviewed("Quayside", lanes, {}), Asked(look="pace"))
    assert nothing[0].startswith("No set has a pace")


# --- other sessions -------------------------------------------------------------------


def days(*counts: tuple[int, int]) -> Sessions:
    """Sessions of front squats, so many no-reps for depth in so many attempts."""
    lanes = [
        LaneSum(
            date=f"2027-04-{at:02}",
            sums=(
                MovementSum(
                    *("front-squat", "Front squat", "judged", attempts),
                    (("depth", many),),
                    (("depth", "DEPTH"),),
                ),
            ),
        )
        for at, (many, attempts) in enumerate(counts, 1)
    ]
    return sessions(lanes, f"2027-04-{len(counts):02}")


def test_changes_are_drawn_beside_nought_and_said_where_they_are_sure() -> None:
    lanes = [counted(facts("1"), 92, *[("depth",)] * 8)]
    found = days((20, 100), (30, 100), (8, 100))
    of = Reviewed("Quayside", lanes, {}, also=Also(sessions=found))
    told = shown(of, Asked(look="since"))
    assert told[1].split()[-8:] == [
        "8",
        "of",
        "100",
        "30",
        "of",
        "100",
        "-22.0",
        "fewer",
    ]
    drawn = told[1]
    assert drawn.index("━") < drawn.index("●") < drawn.index("│")
    words = " ".join(told)
    assert "Then: the last day with the same movement (2027-04-02)." in words
    again = next(line for line in told if line.endswith("3 of 3"))
    assert "58 of 300" in again
    assert "Of everybody" in " ".join(shown(of, Asked(look="since", bib="1")))
    alone = " ".join(shown(Reviewed("Quayside", lanes, {}), Asked(look="since")))
    assert alone.startswith("No session before this one is known")


def test_a_change_beyond_the_scale_ends_in_an_arrow() -> None:
    small = difference(Count(1, 4), Count(0, 3))
    sure = difference(Count(8, 100), Count(30, 100))
    assert small is not None
    assert sure is not None
    top = change_top([(small, True), (sure, False)])
    assert top == 0.4
    assert change_bar(small, top, 20, ASCII) == " ---------|-----o-->"
    fewer = difference(Count(0, 3), Count(1, 4))
    assert fewer is not None
    assert change_bar(fewer, top, 20, ASCII).startswith("<--o---")
    assert change_bar(sure, top, 20, ASCII) == " ---o---  |         "
    assert change_axis(top, 20) == "-40       0      +40"


@given(
    st.builds(Count, st.integers(0, 40), st.just(40)),
    st.builds(Count, st.integers(0, 60), st.just(60)),
    st.integers(6, 120),
)
def test_a_change_is_as_wide_as_asked_and_on_its_side_of_nought(
    now: Count, then: Count, columns: int
) -> None:
    by = difference(now, then)
    assert by is not None
    top = change_top([(by, False)])
    drawn = change_bar(by, top, columns, BLOCKS)
    assert len(drawn) == columns
    assert drawn.count("●") == 1
    assert not {">", "<"} & set(drawn)
    if "│" in drawn:
        assert (drawn.index("●") < drawn.index("│")) == (by.by < 0)


def test_what_looks_saw_has_its_own_sum_and_no_place_in_a_set() -> None:
    played = Played(simple(60, bib="1", watching="reported")).go()
    played.press(2, Look())
    played.press(3, Called(fault="depth"))
    played.press(90, EndLook(seen=40))
    played.press(95, Called(fault="lock"))
    of = Reviewed("Quayside", [lane_rows(played.lane)], {})
    words = " ".join(shown(of, Asked()))
    assert "In looks: 1 no-rep in 40 attempts" in words
    assert "Noticed outside of looks: 1 fault." in words
    assert "No attempt was judged" not in words
    when = " ".join(shown(of, Asked(look="when")))
    assert when.startswith("Nothing here has a known place in its set")


def test_of_one_athlete_no_row_says_how_many_athletes() -> None:
    of = reviewed()
    assert "athletes" in " ".join(shown(of, Asked(look="when"))[:9])
    head = next(
        line
        for line in shown(of, Asked(look="when", bib="03"))
        if line.startswith("rep ")
    )
    assert head.endswith("rate")


def test_when_says_in_words_from_where_on_no_reps_double() -> None:
    of = reviewed(16)
    words = " ".join(shown(of, Asked(look="when"))[:4])
    assert "no-reps come late" in words
    assert "an estimate" in words
    assert title(of, Asked(look="when", along=2)).endswith("no-reps by minute")


def test_a_no_rep_stands_at_its_time_with_its_letter() -> None:
    lanes = [
        counted(facts("1", lane=4), 3, ("depth",), ("gone",), ()),
    ]
    found = shown(Reviewed("Quayside", lanes, {}), Asked(look="time"))
    assert found[0] == "? gone (no longer on the card) or no reason given, d DEPTH,"
    assert found[1] == "a digit: so many at once."
    assert found[-1].startswith("3.4 1 Athlete 1 ")
    assert found[-1].endswith("3")


def test_a_letter_means_one_call_and_the_legend_stands_above_all_lines() -> None:
    """DEPTH of squats and REACH of lunges have one key on the Floor."""
    squat, lunge = card("front-squat"), card("lunge")
    reach = replace(lunge.faults[0], id="reach", call="REACH")
    assert reach.key == "d"
    lunge = replace(lunge, name="Lunge", faults=(reach, *lunge.faults[1:]))
    own = facts("1", cards=(squat, lunge))
    rows = counted(own, 9, ("depth",), ("depth",)).attempts
    other = tuple(
        row._replace(set=replace(row.set, card="lunge", movement="Lunge"))
        for row in counted(own, 9, ("reach",), ("depth",)).attempts
    )
    lanes = [replace(counted(own, 1), attempts=(*rows, *other))]
    of = Reviewed("Quayside", lanes, {})
    assert of.signs == {"DEPTH": "d", "REACH": "r"}
    legend, gap, _, drawn = shown(of, Asked(look="time"))
    assert legend.startswith("? depth (no longer on the card), d DEPTH, r REACH, a")
    assert gap == ""
    assert "1 Athlete 1 " in drawn
    # The letter stays, whatever is looked at.
    alone = shown(of, Asked(look="time", card="lunge"))
    assert "r REACH" in alone[0]
    assert "DEPTH" not in alone[0]


def test_letters_are_enough_for_many_calls_and_none_is_of_two() -> None:
    squat = card("front-squat")
    many = tuple(replace(squat.faults[0], id=f"f{n}", call=f"C{n}") for n in range(60))
    own = facts("1", cards=(replace(squat, faults=many),))
    signs = signs_of([counted(own, 1, *[(one.id,) for one in many])])
    assert len(signs) == len(set(signs.values())) == 52


def test_what_has_no_time_stands_on_no_line_of_time() -> None:
    live = counted(facts("1", lane=4), 3, ("depth",))
    paper = counted(facts("2", lane=5), 3, ("lock",))
    untimed = tuple(row._replace(at=0, timed=False) for row in paper.attempts)
    of = Reviewed("Quayside", [live, replace(paper, attempts=untimed)], {})
    told = "\n".join(shown(of, Asked(look="time")))
    assert "3.4 1 Athlete 1" in told
    assert "3.5 2 Athlete 2" not in told
    assert "LOCK" not in told


def test_who_is_on_paper_alone_is_named_where_times_are_shown() -> None:
    """Faults have them, so that a gap without a word would look like an error."""
    live = Played(simple(4, bib="1"), book="1").go()
    live.each(Rep(), 2, 4, 6, 8)
    paper = from_paper("2", 60)
    lanes = [lane_rows(played.lane) for played in (live, paper)]
    pieces = [
        lane_pieces(played.lane, rows=of)
        for played, of in zip((live, paper), lanes, strict=True)
    ]
    of = Reviewed("Quayside", lanes, {}, also=Also(pieces=pieces))
    said = "From paper, without times: 2 Ines Varga."
    for look in ("time", "pace"):
        everybody = shown(of, Asked(look=look))
        assert everybody[-1] == said
        assert len(everybody) > 2
        assert shown(of, Asked(look=look, bib="2")) == [said]
        alone = " ".join(shown(of, Asked(look=look, bib="1")))
        assert "paper" not in alone


@pytest.mark.parametrize("columns", range(6, 20))
def test_a_line_of_time_fits_where_hardly_anything_does(columns: int) -> None:
    found = shown(reviewed(), Asked(look="time"), columns)
    assert max(map(width_of, found)) <= columns
    assert len([line for line in found if line.endswith(("·", "d", "2", "3"))]) >= 8


@pytest.mark.parametrize("columns", [38, 58, 78, 118])
@pytest.mark.parametrize("look", LOOKS)
def test_no_line_is_wider_than_the_screen(columns: int, look: str) -> None:
    of = reviewed()
    for group in range(len(GROUPS)):
        asked = Asked(look=look, group=group)  # type: ignore[arg-type]
        assert max(width_of(line) for line in shown(of, asked, columns)) <= columns


def test_plain_signs_are_enough() -> None:
    of = reviewed(ascii_only=True)
    for look in LOOKS:
        assert all(line.isascii() for line in shown(of, Asked(look=look)))


def test_one_athlete_is_theirs_alone() -> None:
    of = reviewed()
    one = shown(of, Asked(bib="03", group=GROUPS.index(("athlete",))))
    assert [line[:2] for line in one[1:2]] == ["03"]
    of_faults = Asked(bib="03", group=GROUPS.index(("athlete", "movement", "fault")))
    assert title(of, of_faults).endswith("faults by movement and fault, 03 Athlete 03")
    assert shown(of, of_faults)[1].startswith("Front squat, DEPTH ")
    assert not any("02 Athlete" in line for line in one)
    assert "03 Athlete 03" in title(of, Asked(bib="03"))
    assert len(of.lanes(Asked(bib="03"))) == 1


def test_one_of_a_team_has_their_own_tries_and_cues() -> None:
    team = PlanTeam(members=(Member(bib="7a", name="Ada"), Member(bib="7b", name="Bo")))
    lane = counted(facts("7", team=team), 20, ("depth",))
    cue = CueRow(lane.facts, lane.attempts[0].set, 4000, "heels", "7b")
    rows = tuple(row._replace(by="7a" if row.good else "7b") for row in lane.attempts)
    of = Reviewed("Quayside", [replace(lane, attempts=rows, cues=(cue,))], {})
    ada, bo = (" ".join(shown(of, Asked(bib=bib))) for bib in ("7a", "7b"))
    assert ada == "No faults: 0 no-reps in 20 attempts."
    assert "1 of 1 100.0 %" in " ".join(bo.split())
    assert "Front squat HEELS 1" in bo


def test_one_movement_is_shown_alone_in_every_view() -> None:
    squat, lunge = card("front-squat"), replace(card("lunge"), name="Lunge")
    one = counted(facts("1", cards=(squat, lunge)), 9, ("depth",))
    rows = tuple(
        row._replace(set=replace(row.set, card="lunge", movement="Lunge"))
        for row in counted(one.facts, 29, ("lock",)).attempts
    )
    other = paced("1", 7000, 7000)
    lunges = tuple(
        replace(s, set=replace(s.set, card="lunge", movement="Lunge"))
        for s in other.sets
    )
    pieces = (paced("1", 2000, 2000), replace(other, sets=lunges))
    of = Reviewed(
        "Quayside",
        [replace(one, attempts=(*one.attempts, *rows))],
        {},
        also=Also(pieces=pieces, sessions=days((20, 100), (30, 100), (8, 100))),
    )
    first = of.next_movement(Asked())
    second = of.next_movement(first)
    assert (first.card, second.card) == ("front-squat", "lunge")
    assert of.next_movement(second) == Asked()
    assert title(of, second) == "Quayside: faults by movement and fault, Lunge"
    for look, mine in (
        ("faults", "Lunge, LOCK"),
        ("when", "1 of 1 100.0 %"),
        ("pace", "7.0 s"),
        ("since", "No session before this one is known"),
    ):
        told = " ".join(shown(of, replace(second, look=look)))  # type: ignore[arg-type]
        assert mine in told
        assert "squat" not in told
    assert "2.0 s" in " ".join(shown(of, replace(first, look="pace")))
    assert "-22.0" in " ".join(shown(of, replace(first, look="since")))


async def test_keys_change_the_view_the_grouping_and_whose_it_is() -> None:
    app = WatchApp(lambda: ReviewScreen(reviewed()))
    async with app.run_test(size=(80, 24)) as pilot:
        assert "faults by movement and fault" in text(app)
        await pilot.press("right")
        await until(
            pilot, lambda: "faults by movement\n" in f"{rows(app)[0].strip()}\n"
        )
        await pilot.press("left", "left")
        await until(pilot, lambda: "faults by date" in text(app))
        await pilot.press("tab")
        await until(pilot, lambda: "no-reps by rep" in text(app))
        await pilot.press("right")
        await until(pilot, lambda: "no-reps by round" in text(app))
        await pilot.press("3")
        await until(pilot, lambda: "bib 3" in text(app))
        await pilot.press("enter")
        await until(pilot, lambda: "03 Athlete 03" in rows(app)[0])
        await pilot.press("tab", "right")
        await until(pilot, lambda: "time line, 03 Athlete 03" in text(app))
        await until(pilot, lambda: "does nothing here" in text(app))
        assert "left, right:" not in text(app)
        await pilot.press("escape")
        await until(pilot, lambda: rows(app)[0].rstrip().endswith("time line"))
        await pilot.press("m")
        await until(pilot, lambda: "time line, Front squat" in text(app))
        await pilot.press("m")
        await until(pilot, lambda: rows(app)[0].rstrip().endswith("time line"))


async def test_an_escape_is_not_lost_in_a_key_right_after_it() -> None:
    """A terminal of the older kind sends both as one; Alt is told apart by others."""
    app = WatchApp(lambda: ReviewScreen(reviewed()))

    def sent(keys: str) -> None:
        for message in as_one_read(KeyParser().feed(keys), monotonic()):
            app.screen.post_message(message)

    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("3", "enter")
        await until(pilot, lambda: "03 Athlete 03" in rows(app)[0])
        sent("\x1b[9;3u")
        await until(pilot, lambda: "no-reps by rep, 03" in rows(app)[0])
        sent("\x1b\t")
        await until(
            pilot, lambda: rows(app)[0].strip().endswith("no-reps on a time line")
        )
        sent("5\x1b\t")
        await until(pilot, lambda: "how long a rep takes" in rows(app)[0])
        assert "bib 5" not in text(app)
        sent("\x1bm")
        await until(pilot, lambda: app.return_code is not None)


async def test_what_cannot_be_is_said_and_q_leaves() -> None:
    app = WatchApp(lambda: ReviewScreen(reviewed()))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("9", "9", "enter")
        await until(pilot, lambda: "Nobody with bib 99 was judged" in text(app))
        await pilot.press("9", "backspace", "x")
        await until(pilot, lambda: "x does nothing here" in text(app))
        await pilot.press("9", "escape")
        await until(pilot, lambda: "bib 9" not in text(app))
        await pilot.press("q")
        await until(pilot, lambda: app.return_code is not None)
    assert app.return_code == 0


@pytest.mark.parametrize("beyond", range(8))
async def test_a_page_is_still_whether_or_not_there_is_more_of_it(beyond: int) -> None:
    """The words for it may take a row, without which all would be on the screen."""
    of = reviewed(12)
    lines = len(review_lines(of, Asked(look="time"), 78))
    app = WatchApp(lambda: ReviewScreen(of))
    async with app.run_test(size=(80, lines + beyond)) as pilot:
        await pilot.press("tab", "tab")
        await until(pilot, lambda: "time line" in rows(app)[0])
        keys = app.screen.query_one("#reviewkeys", Line)
        pane = app.screen.query_one("#review", SheetPane)
        seen = []
        for _ in range(20):
            await pilot.pause(0.01)
            seen.append(keys.shown)
        assert len(set(seen[10:])) == 1
        whole = lines <= pane.scrollable_content_region.height
        assert ("more below" in seen[-1]) == (not whole)


async def test_a_long_table_is_scrolled_and_says_that_there_is_more() -> None:
    app = WatchApp(lambda: ReviewScreen(reviewed(12)))
    async with app.run_test(size=(80, 14)) as pilot:
        await pilot.press("tab")
        await until(pilot, lambda: "arrows: more below" in text(app))
        await pilot.press("end")
        await until(pilot, lambda: "arrows: more above" in text(app))
        await until(pilot, lambda: "rep 15" in text(app))
        await pilot.resize_terminal(80, 40)
        await until(pilot, lambda: "arrows" not in text(app))


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 12), (20, 5)])
async def test_it_stands_on_screens_of_any_size(size: tuple[int, int]) -> None:
    app = WatchApp(lambda: ReviewScreen(reviewed()))
    async with app.run_test(size=size) as pilot:
        for _ in LOOKS:
            await pilot.press("tab")
            await until(pilot, lambda: "Quayside" in text(app))


async def test_a_hostile_name_is_text() -> None:
    bad = "[red]x[/red]\x1b[2J\u202eevil"
    lane = counted(facts("7"), 30, ("depth",))
    plan = replace(lane.facts.plan, name=bad)
    own = replace(lane.facts, plan=plan)
    made = replace(
        lane, facts=own, attempts=tuple(r._replace(lane=own) for r in lane.attempts)
    )
    app = WatchApp(lambda: ReviewScreen(Reviewed("Quay", [made], {})))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("right", "right")
        await until(pilot, lambda: "[red]x[/red]" in text(app))
        assert "\x1b[2J" not in text(app)
        assert "\u202e" not in text(app)
