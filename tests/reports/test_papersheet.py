"""Sheets for a pencil: whole, of size A5, and asking for all that a score needs."""

from __future__ import annotations

import io
import re
import unicodedata
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from judgekit.core.errors import InputError
from judgekit.core.people import Emergency
from judgekit.core.plan import OPEN, Plan, PlanTieBreak
from judgekit.core.quantity import show_time
from judgekit.desk.transcribing import read_tally
from judgekit.files import tally
from judgekit.reports.papersheet import boxes, parts_of
from judgekit.reports.paperview import LaneOnPaper, each_judges, paper_pdf, view
from judgekit.reports.typefaces import Typefaces
from tests.files.paper_of import paper_of
from tests.files.test_format_examples import COUNTS, event, lane_of
from tests.support import for_time, simple, window

HELP = Emergency(call="112", say="The boat shed", defibrillator="left of the desk")
A5 = (420, 595)


def on_paper(plan: Plan, judge: str = "Kim Brandt") -> LaneOnPaper:
    return LaneOnPaper(plan=plan, start="10:20", judge=judge, emergency=HELP)


def pages(*plans: Plan) -> list[str]:
    made = paper_pdf([on_paper(plan) for plan in plans], Typefaces())
    found = PdfReader(io.BytesIO(made)).pages
    assert {
        (round(float(p.mediabox.width)), round(float(p.mediabox.height))) for p in found
    } == {A5}
    return [
        " ".join(unicodedata.normalize("NFKC", page.extract_text()).split())
        for page in found
    ]


@cache
def plan_of(workout: str) -> Plan:
    [row] = [row for row in event().heats if row.workout == workout]
    return event().plan_of(row, ())


@pytest.mark.parametrize("workout", COUNTS)
def test_each_format_s_sheet_tells_all_that_a_judge_needs(workout: str) -> None:
    plan = plan_of(workout)
    told = pages(plan)
    text = " ".join(told)
    for number, page in enumerate(told, 1):
        assert f"lane {plan.lane}, {plan.bib}, heat {plan.heat}, 10:20" in page
        assert f"page {number} of {len(told)}" in page
    for must in (
        plan.bib,
        plan.workout_name,
        plan.division_name,
        *("STOP at once:", "112", "The boat shed", "athlete: score and no-reps"),
        *(f"Part {part.id}" for part in plan.parts if part.is_work),
        *(
            fault.call
            for c in plan.cards
            for fault in c.faults
            if fault.weight == "void"
        ),
        *(card.name for card in plan.cards),
        *((f"cap {show_time(plan.cap_ms)}",) if plan.cap_ms else ()),
    ):
        assert must in text, must
    must_be = {
        criterion.says
        for card in plan.cards
        for fault in card.faults
        if fault.weight == "void" and (criterion := card.criterion_of(fault))
    }
    # A line may end behind a hyphen.
    whole = text.replace("- ", "-")
    assert [says for says in must_be if says not in whole] == []
    signs = {sign for card in plan.cards for sign in card.stop_signs}
    assert [sign for sign in signs if sign not in text] == []


@pytest.mark.parametrize("workout", COUNTS)
def test_every_set_of_each_format_has_its_room(workout: str) -> None:
    plan = plan_of(workout)
    for number, part in enumerate(parts_of(plan), 1):
        if part.rounds:
            shown = [(one.number, len(one.rows)) for one in part.rounds]
            sets = [
                (r, len(plan.round_sets(number, r)))
                for r in range(1, max(1, plan.parts[number - 1].rounds) + 1)
            ]
            assert shown == sets
        kinds = [bool(part.rounds), part.grid is not None, bool(part.attempts)]
        assert kinds.count(True) == (part.kind != "rest")


TIMES = re.compile(r"^(?:part|rep) \S+ at .*\n|^\d+:\S+$| at \S+$", re.MULTILINE)


@pytest.mark.parametrize("workout", COUNTS)
def test_a_sheet_asks_for_every_time_that_paper_may_lack(workout: str) -> None:
    [row] = [row for row in event().heats if row.workout == workout]
    text = TIMES.sub("", paper_of(lane_of(workout)))
    plan = plan_of(workout)
    lines = tally.parse(text, "p", plan)
    try:
        read_tally(event(), row, lines, b"", shown="p")
    except InputError as lacks:
        asked = [problem.right for problem in lacks.problems]
    else:
        asked = []
    parts = {part.name: part for part in parts_of(plan)}
    for one in asked:
        named = re.search(r"part (\w+)", one)
        if one.startswith("Write when round") and named:
            assert all(round_.timed for round_ in parts[named[1]].rounds)
        elif one.startswith("Write when part") and named:
            assert parts[named[1]].timed
        else:
            assert view(on_paper(plan))["done"]


def test_some_format_lacks_each_kind_of_time() -> None:
    """So that the test above is about something."""
    assert view(on_paper(plan_of("ferry")))["done"]
    assert all(one.timed for one in parts_of(plan_of("ferry"))[0].rounds)
    assert parts_of(plan_of("gangway"))[0].timed


def test_each_lane_begins_a_page_of_its_own() -> None:
    told = pages(*(simple(lane=n, bib=f"b{n}") for n in (1, 2, 3)))
    assert [re.findall(r"lane \d, b\d", page) for page in told] == [
        ["lane 1, b1"],
        ["lane 2, b2"],
        ["lane 3, b3"],
    ]
    assert all(page.endswith("page 1 of 1") or "page 1 of 1" in page for page in told)


def test_a_name_stands_as_its_owner_wants_it() -> None:
    named = {
        show: pages(simple(show=show))[0] for show in ("name", "initials", "number")
    }
    assert "Ines Varga" in named["name"]
    assert ("I. V." in named["initials"], "Ines" in named["initials"]) == (True, False)
    assert "Ines" not in named["number"]
    assert "I. V." not in named["number"]


@pytest.mark.parametrize(
    "name", ['#panic("x") $a$ *b*', "<b>Bo</b> =1+1", "Дмитрий Жук", "Zoë Łukasz"]
)
def test_a_name_is_text(name: str) -> None:
    assert name in pages(simple(name=name))[0]


def test_long_texts_are_not_cut() -> None:
    name = "Anneliese Bartholomea Cunigunde von und zu Drachenfels the Younger"
    (page, *_) = pages(simple(name=name, workout_name="Long " * 20, division_name=name))
    assert page.count(name) == 2


@given(st.integers(1, 5000))
def test_the_last_box_is_the_whole_set(target: int) -> None:
    made = boxes(target)
    assert len(made) <= 501
    if made[0] == "":
        assert (len(made), set(made)) == (target, {""})
    else:
        numbers = [int(words) for words in made]
        assert numbers == sorted(set(numbers))
        assert numbers[-1] == target


def test_a_window_has_room_for_more_rounds_than_ordinary() -> None:
    (part,) = parts_of(window())
    assert part.grid is not None
    # 5 x 2.4 s and 8 x 1.7 s are 25.6 s a round: 300 s hold not quite twelve.
    assert len(part.grid.rounds) > 12
    assert part.grid.rounds[0] == ("5", "8")


def many_rounds(rounds: int) -> Plan:
    plan = simple()
    row = replace(plan.parts[0].movements[0], targets=(15,))
    part = replace(plan.parts[0], rounds=rounds, movements=(row, row, row))
    return replace(plan, parts=(part,))


def test_very_many_rounds_have_a_line_each() -> None:
    (few,), (many,) = (parts_of(many_rounds(n)) for n in (12, 13))
    assert (len(few.rounds), few.grid) == (12, None)
    assert (many.rounds, many.grid is not None) == ((), True)
    assert many.grid is not None
    assert (many.grid.rounds, many.grid.more) == ((("15", "15", "15"),) * 13, False)
    assert len(pages(many_rounds(30))) == 2


def test_intervals_of_a_line_each_say_when_they_open() -> None:
    every = replace(
        many_rounds(14).parts[0], kind="every", every_ms=60_000, work_ms=60_000
    )
    plan = replace(many_rounds(14), parts=(every,))
    (part,) = parts_of(plan)
    assert part.grid is not None
    assert part.grid.opens[:3] == ("0:00", "1:00", "2:00")
    assert "13:00" in pages(plan)[0]


def in_turn(times: int) -> Plan:
    plan = plan_of("port-starboard")
    return replace(plan, parts=(replace(plan.parts[0], rounds=times),))


@pytest.mark.parametrize("times", [12, 14, 30])
def test_movements_in_turn_are_each_named_in_their_own_rounds(times: int) -> None:
    plan = in_turn(times)
    (part,) = parts_of(plan)
    named = [[(row.movement, row.target) for row in one.rows] for one in part.rounds]
    pair = [[("Front squat", "4")], [("Toes-to-bar", "6")]]
    assert (part.grid, named) == (None, pair * (times // 2))
    told = " ".join(pages(plan))
    for shown in ("4 Front squat", "6 Toes-to-bar"):
        assert told.count(shown) == times // 2


def test_a_monitor_is_read_also_where_another_movement_has_the_first_turn() -> None:
    plan = in_turn(14)
    squat, other = plan.parts[0].movements
    part = replace(
        plan.parts[0], movements=(squat, replace(other, unit="calories", targets=(0,)))
    )
    (shown,) = parts_of(replace(plan, parts=(part,)))
    writes = [row.write for one in shown.rounds for row in one.rows]
    assert writes == ["", "monitor shows"] * 7


def test_a_load_that_changes_stands_in_the_cell_of_its_round() -> None:
    plan = many_rounds(13)
    row = replace(plan.parts[0].movements[0], loads=("60 kg",) * 12 + ("70 kg",))
    part = replace(plan.parts[0], movements=(row,))
    (shown,) = parts_of(replace(plan, parts=(part,)))
    assert shown.grid is not None
    assert shown.grid.heads == (("Front squat", ""),)
    assert shown.grid.rounds[11:] == (("15, 60 kg",), ("15, 70 kg",))


def test_no_round_is_parted_between_two_pages() -> None:
    told = pages(many_rounds(12))
    rows = [page.count("15 Front squat") for page in told]
    assert (sum(rows), len(told) > 1) == (36, True)
    assert [many % 3 for many in rows] == [0] * len(told)


@pytest.mark.parametrize(
    ("plan", "score"),
    [
        (for_time(), ["reps at the cap"]),
        (for_time(cap_ms=0), []),
        (window(), ["rounds", "reps"]),
        (plan_of("one-breath"), ["reps"]),
        (plan_of("oarsman"), ["calories"]),
        (plan_of("anchor"), ["best"]),
        (plan_of("windlass"), ["in total"]),
        (plan_of("three-crates"), []),
    ],
)
def test_the_score_has_a_line_where_a_time_is_not_all_of_it(
    plan: Plan, score: list[str]
) -> None:
    assert view(on_paper(plan))["score"] == score


def test_the_line_of_the_score_stands_above_the_signatures() -> None:
    for plan, said in ((window(), "rounds + reps"), (for_time(), "reps at the cap")):
        above, _ = " ".join(pages(plan)).split("athlete: score")
        assert above.rstrip().endswith(f"score {said}")


def test_a_team_s_sheet_says_how_it_shares_the_work() -> None:
    plan = plan_of("common-rope")
    assert "Team: any split; at least 5 reps each" in str(view(on_paper(plan))["rules"])
    (page,) = pages(plan)
    for member in plan.team.members:
        assert re.search(rf"each did.* {member.bib}\b", page)
    together = str(view(on_paper(plan_of("in-step")))["rules"])
    assert "Team: a rep counts when all do it; of two judges the lower" in together
    assert view(on_paper(plan_of("in-step")))["each"] == []


def test_each_of_two_judges_has_a_sheet() -> None:
    alone, team = on_paper(simple()), on_paper(plan_of("in-step"))
    assert each_judges(alone) == (alone,)
    first, second = each_judges(team)
    assert (first, second.judge) == (team, "")
    made = paper_pdf([first, second], Typefaces())
    told = [page.extract_text() for page in PdfReader(io.BytesIO(made)).pages]
    assert ["judge 1 of 2 Kim Brandt" in page for page in told] == [True, False]
    assert [page.count("judge 2 of 2") for page in told] == [0, 2]


def sizes(name: str) -> dict[str, float]:
    """How large each text of a first page is."""
    found: dict[str, float] = {}

    def seen(text: str, _now: object, _at: object, _font: object, size: float) -> None:
        found[text.strip()] = size

    made = paper_pdf([on_paper(simple(name=name))], Typefaces())
    PdfReader(io.BytesIO(made)).pages[0].extract_text(visitor_text=seen)
    return found


def test_a_name_is_as_large_in_each_script_as_it_has_letters() -> None:
    long = "Bartholomea Drachenfels Younger"
    (short,) = {sizes(name)[name] for name in ("Dmitry Zhukov", "Дмитрий Жуков")}
    assert short > sizes(long)["Bartholomea Drachenfels"]


def test_a_name_of_one_long_word_stays_beside_the_heat() -> None:
    name = "W" * 40
    page = pages(simple(name=name))[0]
    assert page.replace("\u200b", "").replace(" ", "").count(name) == 1


def test_units_stand_above_the_cells_of_a_window() -> None:
    plan = window()
    row = replace(plan.parts[0].movements[0], unit="calories", loads=("9 kg",))
    part = replace(plan.parts[0], movements=(row,))
    (shown,) = parts_of(replace(plan, parts=(part,)))
    assert shown.grid is not None
    assert shown.grid.heads == (("Front squat", "calories, 9 kg"),)
    assert set(shown.grid.rounds) == {("5",)}


def test_the_end_of_an_only_round_is_asked_for_once() -> None:
    tie = PlanTieBreak(kind="last-full-round")
    first, _, last = parts_of(for_time(tiebreaks=(tie,)))
    assert [one.timed for one in first.rounds] == [True, True]
    assert [one.timed for one in last.rounds] == [False]


def test_a_rest_of_one_s_own_and_a_tie_ask_when_it_began() -> None:
    first, rest, last = parts_of(for_time())
    assert (first.timed, rest.kind, last.timed) == (True, "rest", False)
    assert view(on_paper(for_time()))["done"]
    assert not view(on_paper(window()))["done"]


def test_settings_stand_on_it_once_in_the_words_of_the_card() -> None:
    says = (("Front squat", "Hip crease below the knee"), ("Front squat", "No belt"))
    shown = view(replace(on_paper(simple()), chosen=says))
    assert shown["chosen"] == ["Front squat: No belt"]
    assert "In doubt: the rep counts" in str(shown["rules"])


def test_todays_watched_calls_come_first() -> None:
    plan = simple()
    watched = replace(plan.parts[0].movements[0], watch=("lock",))
    part = replace(plan.parts[0], movements=(watched,))
    (shown,) = parts_of(replace(plan, parts=(part,)))
    assert [one.calls for one in shown.missed] == [("LOCK", "DEPTH")]


def test_as_many_as_can_be_done_has_room_to_tally() -> None:
    plan = simple(1)
    many = replace(plan.parts[0].movements[0], targets=(0,))
    part = replace(plan.parts[0], kind="window", length_ms=60_000, movements=(many,))
    open_ = replace(plan, parts=(part,), score="reps")
    assert open_.target(open_.round_sets(1, 1)[0]) == OPEN
    ((row,),) = [one.rows for one in parts_of(open_)[0].rounds]
    assert (row.target, row.write, row.boxes) == ("max", "tally", ())
