"""Review: rates as bars that read without colour, and keys that look otherwise."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.review.faults import rate
from judgekit.ui.screens.review import ReviewScreen
from judgekit.ui.text import width_of
from judgekit.ui.views.bars import (
    ASCII,
    BLOCKS,
    axis,
    bar,
    time_axis,
    time_line,
    top_of,
)
from judgekit.ui.views.review import (
    GROUPS,
    LOOKS,
    Asked,
    Reviewed,
    review_lines,
    title,
)
from judgekit.ui.watch_app import WatchApp
from tests.review.made_rows import counted, facts, simulated
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
    assert found[1].endswith("1 of 3  33.3 %   1 of 1 few")
    assert found[2].startswith("1 Athlete 1")
    assert found[2].endswith("10 of 100  10.0 %   1 of 1")
    assert "few: under 20 attempts" in found[3]
    assert "11 no-reps in 103 attempts" in " ".join(found)
    narrow = shown(of, Asked(group=GROUPS.index(("athlete",))), 38)
    assert narrow[2] == "1 Athlete 1          10 of 100  10.0 %"


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
    assert found[1].startswith("3.4 1 Athlete 1 ")
    legend = " ".join(found[-2:])
    assert "d DEPTH" in legend
    assert "? gone (no longer on the card) or no reason given" in legend


def test_what_has_no_time_stands_on_no_line_of_time() -> None:
    live = counted(facts("1", lane=4), 3, ("depth",))
    paper = counted(facts("2", lane=5), 3, ("lock",))
    untimed = tuple(row._replace(at=0, timed=False) for row in paper.attempts)
    of = Reviewed("Quayside", [live, replace(paper, attempts=untimed)], {})
    told = "\n".join(shown(of, Asked(look="time")))
    assert "3.4 1 Athlete 1" in told
    assert "Athlete 2" not in told
    assert "LOCK" not in told


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
    assert not any("02 Athlete" in line for line in one)
    assert "03 Athlete 03" in title(of, Asked(bib="03"))
    assert len(of.lanes("03")) == 1


async def test_keys_change_the_view_the_grouping_and_whose_it_is() -> None:
    app = WatchApp(lambda: ReviewScreen(reviewed()))
    async with app.run_test(size=(80, 24)) as pilot:
        assert "faults by movement and fault" in text(app)
        await pilot.press("right")
        await until(
            pilot, lambda: "faults by movement\n" in f"{rows(app)[0].strip()}\n"
        )
        await pilot.press("left", "left")
        await until(pilot, lambda: "faults by heat" in text(app))
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
        await pilot.press("escape")
        await until(pilot, lambda: rows(app)[0].rstrip().endswith("time line"))


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
