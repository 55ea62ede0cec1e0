"""What stands on the Floor at each size, without a terminal: nothing read is cut."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.core.bodies import card_body
from judgekit.core.entry import Freeze, MoveOn, NoRep, Rep, Stop, Withdraw
from judgekit.core.press import Called, TakeBackOne
from judgekit.files.folder import load_event
from judgekit.ui import morepanels, panels
from judgekit.ui.logmenu import log_menu
from judgekit.ui.panels import Choice, Known, Menu, ToCard
from judgekit.ui.views.floor import floor_view
from judgekit.ui.views.phase import Now
from judgekit.ui.widgets.laying import Over, face_rows
from judgekit.ui.widgets.row import written
from tests.support import Played, for_time, movement, simple

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.core.plan import Plan, PlanCard

DEMO = Path(__file__).resolve().parents[2] / "demo"


@cache
def library() -> dict[str, PlanCard]:
    """Every card that comes along, once for each choice of its settings."""
    cards = load_event(DEMO, shown="demo").cards
    bodies = {}
    for card in cards.values():
        values = [
            [value.value for value in setting.values] for setting in card.settings
        ]
        for number, chosen in enumerate(product(*values)):
            names = (f"{card.id}.{setting.id}" for setting in card.settings)
            body = card_body(card, dict(zip(names, chosen, strict=True)))
            bodies[f"{card.id} {number}"] = body
    return bodies


def at_work(card: PlanCard, reps: int = 120) -> Played:
    plan = simple(reps=reps)
    part = replace(plan.parts[0], movements=(movement(card.id, reps),))
    return Played(replace(plan, parts=(part,), cards=(card,))).go()


def shown(
    played: Played, seconds: float, size: tuple[int, int], over: Over | None = None
) -> str:
    """The Floor of a lane at a moment, as text."""
    view = floor_view(played.lane, Now(heat_ms=round(seconds * 1000)))
    rows = face_rows(view, over or Over(), *size)
    return "\n".join(written(row).rstrip() for row in rows)


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (48, 50)])
@pytest.mark.parametrize("name", sorted(library()))
def test_what_must_be_there_is_shown_whole_for_every_card(
    name: str, size: tuple[int, int]
) -> None:
    card = library()[name]
    seen = shown(at_work(card), 1, size)
    assert "…" not in seen
    view = floor_view(at_work(card).lane, Now(heat_ms=1000))
    right = seen if size == (48, 50) else "\n".join(r[49:] for r in seen.split("\n"))
    if size == (120, 40):
        right = "\n".join(row[70:] for row in seen.split("\n"))
    missing = [c.call for c in view.calls if c.says not in flat(right)]
    assert (missing, "0  STOP" in seen) == ([], True)


@pytest.mark.parametrize("happens", [Rep(), NoRep(), Stop(), Freeze(), Withdraw()])
@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 12), (120, 40)])
@pytest.mark.parametrize("name", [n for n in sorted(library()) if n.endswith(" 0")])
def test_nothing_is_cut_whatever_goes_on(
    name: str, size: tuple[int, int], happens: Rep | NoRep | Stop | Freeze | Withdraw
) -> None:
    played = at_work(library()[name])
    played.press(3, Rep())
    played.press(6, happens)
    assert "…" not in shown(played, 6.5, size)


def test_three_digits_keep_their_target_in_one_line() -> None:
    played = at_work(library()["front-squat 0"], reps=301)
    played.press(3, Rep(n=300))
    for size in ((80, 24), (120, 40), (60, 20), (40, 12)):
        assert "of 301" in shown(played, 4, size)
    # Figures of ten rows on a usual screen.
    figures = [row[1:31] for row in shown(played, 4, (80, 24)).split("\n")]
    assert sum("█" in row for row in figures[5:15]) == 10


def test_two_reasons_leave_no_rep_in_large_letters() -> None:
    played = at_work(library()["front-squat 0"])
    played.press(3, Called(fault="shallow"))
    over = Over(flash=("NO REP", "DEPTH", "ELBOWS"))
    seen = shown(played, 3, (80, 24), over)
    assert ("█  █  █     ██  ███ ██" in seen, "DEPTH + ELBOWS" in seen) == (True, True)


def test_the_last_entries_are_shown_whole_or_not_at_all_and_in_order() -> None:
    played = Played(for_time()).go()
    played.press(3, Rep())
    played.press(4, Rep())
    played.press(9, Withdraw(why="pain in the left shoulder since the second round"))
    played.put(Stop(), 10_000)
    last = shown(played, 11, (80, 24)).split("\n")[-3]
    whole = "0:09.0  withdrew: pain in the left shoulder since the second round"
    assert last == f" 0:10.0  STOP     {whole}"[: len(last)]
    assert "rep 2" not in last


def _far_off() -> Menu:
    return morepanels.far_off_menu(2_700_000, 143_000, 0)


def _long_choice() -> Menu:
    says = "let go on by the athlete's own coach, who has seen it all from the floor"
    return Menu(
        opener="more",
        title="STOPPED, 12 held do not count",
        choices=(Choice(says=says, leads=ToCard()),),
    )


@pytest.mark.parametrize("menu", [_far_off, _long_choice])
@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 12), (120, 40)])
def test_a_panel_is_read_whole(menu: Callable[[], Menu], size: tuple[int, int]) -> None:
    panel = menu()
    over = Over(panel=panel, panel_keys=panels.keys_of(panel))
    seen = shown(at_work(library()["row 0"]), 3, size, over)
    assert ("…" in seen, "escape closes" in seen) == (False, True)
    words = f"{panel.title} {panel.choices[0].says}".split()
    assert [word for word in words if word not in seen] == []


def test_every_menu_of_the_floor_is_whole_at_each_size() -> None:
    played = at_work(library()["front-squat 0"])
    played.press(3, Rep())
    known = Known(judges={"kb": "Kim Brandt"})
    menus = [morepanels.more_menu(played.lane, known, 4000), panels.move_on_menu()]
    menus.append(panels.back_menu(played.lane, 4000))
    menus.append(log_menu(played.lane, known))
    for menu, size in product(menus, ((80, 24), (60, 20), (40, 12))):
        seen = shown(played, 4, size, Over(panel=menu))
        assert "…" not in seen
        assert missing(menu, seen) == []


def missing(menu: Menu, seen: str) -> list[str]:
    """The choices of a menu that are not on the screen in all their words."""
    lines = enumerate((choice.says.split() for choice in menu.choices), 1)
    return [
        " ".join(words)
        for digit, words in lines
        if f"{digit}  {words[0]}" not in seen or any(w not in seen for w in words)
    ]


def eight() -> Menu:
    """As many choices as there are digits, each of them another word."""
    says = ("alpha", "bravo", "charlie", "delta", "echo", "foxtrot", "golf", "hotel")
    choices = tuple(Choice(says=one, leads=ToCard()) for one in says)
    return Menu(opener="more", title="MORE", choices=choices)


LONG = (
    "The program stood still for 1.2 s. Presses just after may be that late: "
    "check the count"
)


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 12), (48, 50), (120, 40)])
@pytest.mark.parametrize("stops", [False, True])
def test_an_open_panel_keeps_its_choices_and_its_keys_beside_a_notice(
    size: tuple[int, int], *, stops: bool
) -> None:
    played = at_work(library()["front-squat 0"])
    played.press(3, Rep())
    if stops:
        played.press(4, Stop())
    keys = ("closes in 3 s", *panels.keys_of(eight()))
    over = Over(panel=eight(), notice=LONG, panel_keys=keys)
    seen = shown(played, 5, size, over)
    assert missing(eight(), seen) == []
    assert "closes in 3 s   press 1 to 8" in seen
    assert ("STOPPED at 0:04" in seen) == stops
    if size[1] > 12:
        # Where there is room for both, neither is cut.
        assert LONG in flat(seen)
    elif not stops:
        assert "The program stood still" in seen


def test_choices_that_take_all_rows_shorten_a_notice_on_a_usual_screen_too() -> None:
    says = "let go on by the head judge"
    menu = Menu(
        opener="more",
        title="MORE, and what else can be done",
        choices=tuple(Choice(says=f"{n} {says}", leads=ToCard()) for n in range(7)),
    )
    over = Over(panel=menu, notice=LONG)
    seen = shown(at_work(library()["row 0"]), 3, (80, 24), over)
    assert missing(menu, seen) == []
    assert "The program stood still" in seen


def test_a_panel_that_has_no_room_says_that_there_is_more() -> None:
    says = "let go on by the athlete's own coach, who has seen it from the floor"
    menu = Menu(
        opener="more",
        title="STOPPED",
        choices=tuple(Choice(says=says, leads=ToCard()) for _ in range(8)),
    )
    over = Over(panel=menu, panel_keys=panels.keys_of(menu))
    seen = shown(at_work(library()["row 0"]), 3, (40, 12), over)
    assert "… the rest needs a larger window" in seen
    assert "press 1 to 8" in seen


def test_a_question_and_a_notice_together_leave_the_count_whole() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 6, 9, 11.4)
    played.press(14, MoveOn(why="pain"))
    played.press(20, TakeBackOne(at=9000))
    over = Over(notice=LONG)
    seen = shown(played, 21, (40, 12), over)
    asked = floor_view(played.lane, Now(heat_ms=21_000)).banner
    assert len(asked) > 38
    assert flat(asked) in flat(seen)
    assert "The program stood still for 1.2 s." in seen
    assert ("of 3" in seen, "next" in seen, "0 STOP" in flat(seen)) == (True,) * 3


def test_the_page_of_keys_is_whole_on_a_usual_screen_with_every_cue() -> None:
    card = library()["front-squat 0"]
    played = at_work(card)
    page = panels.keys_page(replace(played.lane, plan=_with_cues(played.plan)), 3000)
    seen = shown(played, 3, (80, 24), Over(panel=page))
    assert ("…" in seen, "KEYS" in seen) == (False, True)
    assert page.lines[-1][1] in seen


def _with_cues(plan: Plan) -> Plan:
    return replace(plan, cues="on")


def test_a_height_stands_on_the_smallest_screen_too() -> None:
    plan = at_work(library()["burpee-to-target 0"], reps=7).plan
    part = plan.parts[0]
    high = replace(part.movements[0], height="6 in above reach 2.14 m ≈ 2.29 m")
    played = Played(replace(plan, parts=(replace(part, movements=(high,)),))).go()
    assert "BURPEE TO TARGET  ≈ 2.29 m" in shown(played, 3, (40, 12))


def test_unsaved_presses_push_out_a_hint_instead_of_cutting_it() -> None:
    played = at_work(library()["front-squat 0"])
    played.press(3, Stop())
    view = floor_view(played.lane, Now(heat_ms=4000, waiting=3))
    over = Over(notice="Not saved, tried again each second: no space left on device")
    seen = "\n".join(written(row) for row in face_rows(view, over, 40, 12))
    assert ("NOT SAVED: 3 waiting" in seen, "…" in seen) == (True, False)
    assert "STOPPED at 0:03" in seen


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 12)])
def test_a_long_notice_takes_more_lines_and_leaves_count_and_stop(
    size: tuple[int, int],
) -> None:
    seen = shown(at_work(library()["front-squat 0"]), 3, size, Over(notice=LONG))
    assert LONG in flat(seen)
    assert ("of 120" in seen, "0  STOP" in seen) == (True, True)
