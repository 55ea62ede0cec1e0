"""What each key does, by the state of the lane and the open panel; no screen needed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core.entry import (
    Absent,
    Accept,
    Claim,
    Cue,
    Freeze,
    GoOn,
    Is,
    MoveOn,
    NoRep,
    Reading,
    Recall,
    Rep,
    Stop,
    Time,
    Unfreeze,
    WallSet,
    Withdraw,
)
from judgekit.core.plan import PlanPart, SetKey
from judgekit.core.press import (
    AnswerHorn,
    Called,
    CountAgain,
    Counted,
    GoBack,
    Name,
    ReportSet,
    TakeBackOne,
    WasClose,
)
from judgekit.ui import morepanels
from judgekit.ui.asking import ANSWER_MS
from judgekit.ui.controls import Controls
from judgekit.ui.effects import Effect, Leave, Opened, Say, Trial
from judgekit.ui.moment import Moment
from judgekit.ui.panels import (
    Go,
    Known,
    LateGo,
    Menu,
    Page,
    Submit,
    Swap,
    ToCard,
    Typing,
)
from tests.support import Played, card, fault, for_time, movement, simple, window

KNOWN = Known(
    athletes={"007": "Zoé Marr", "31": "Bo Lindt"},
    judges={"kb": "Kim Brandt", "mo": "Mo Oduya"},
)


class Keys:
    """A lane under keys: each press two seconds after the one before."""

    def __init__(self, played: Played, seconds: float | None = 30.0) -> None:
        self.played = played
        self.controls = Controls(KNOWN)
        self.seconds = seconds
        self.boot_ms = 100_000
        self.waiting = 0

    def press(self, *keys: str, after_ms: int = 2000) -> Effect:
        effect: Effect = Opened()
        for key in keys:
            self.boot_ms += after_ms
            heat_ms = None
            if self.seconds is not None:
                self.seconds += after_ms / 1000
                heat_ms = round(self.seconds * 1000)
            moment = Moment(
                lane=self.played.lane,
                boot_ms=self.boot_ms,
                heat_ms=heat_ms,
                waiting=self.waiting,
            )
            effect = self.controls.press(key, moment)
        return effect

    def titles(self) -> list[str]:
        panel = self.controls.panel
        return [c.says for c in panel.choices] if isinstance(panel, Menu) else []


def running() -> Keys:
    return Keys(Played(for_time()).go())


def before_go() -> Keys:
    return Keys(Played(for_time()), seconds=None)


def over() -> Keys:
    played = Played(simple(reps=2)).go()
    played.each(Rep(), 3, 6)
    return Keys(played)


def test_an_extra_key_leaves_the_letters_of_held_work_alone() -> None:
    plan = for_time()
    bar = replace(plan.cards[1].faults[0], id="bar", key="t")
    toes = replace(plan.cards[1], faults=(bar,))
    played = Played(replace(plan, cards=(plan.cards[0], toes, plan.cards[2]))).go()
    played.each(Rep(), 3, 6)
    keys = Keys(played)
    keys.controls = Controls(KNOWN, (("good", ("t",)),))
    assert keys.press("t") == Submit(act=Rep())
    played.press(8, Freeze())
    played.press(10, Rep())
    assert keys.press("t") == Submit(act=Called(fault="bar"))


# --- judging -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "act"),
    [
        ("space", Rep()),
        ("n", NoRep()),
        ("backspace", TakeBackOne()),
        ("u", CountAgain()),
        ("0", Stop()),
        ("f", Freeze()),
        ("d", Called(fault="depth")),
        ("k", Called(fault="lock")),
        ("1", Called(fault="depth")),
        ("2", Called(fault="lock")),
    ],
)
def test_one_key_is_one_judgement(
    key: str,
    act: Rep | NoRep | TakeBackOne | CountAgain | Stop | Freeze | Called,
) -> None:
    assert running().press(key) == Submit(act=act)


def test_a_fault_answers_on_the_card_of_the_set_under_way() -> None:
    toes = replace(card("toes-to-bar"), faults=(card("x").faults[1],))
    played = Played(for_time(cards=(card("front-squat"), toes, card("row")))).go()
    keys = Keys(played)
    assert keys.press("1") == Submit(act=Called(fault="depth"))
    played.each(Rep(), 31, 33, 35)
    assert keys.press("1") == Submit(act=Called(fault="lock"))


@pytest.mark.parametrize("key", ["9", "-", "o", "p"])
def test_the_neighbours_of_stop_judge_nothing_and_say_so(key: str) -> None:
    words = f"{key} does nothing: it lies beside STOP."
    assert running().press(key) == Say(text=words, dead="does nothing")


def test_an_unknown_key_is_said_never_swallowed() -> None:
    assert [running().press(key) for key in ("c", "8", "ctrl+q", "h")] == [
        dead("c does nothing on Front squat. ? lists the keys."),
        dead("8 does nothing on Front squat. ? lists the keys."),
        dead("ctrl+q does nothing here: q, then y closes the desk."),
        dead("h HEELS is a cue: it never changes the count.", why="is a cue"),
    ]


def dead(text: str, why: str = "does nothing") -> Say:
    """What is said of a key that does nothing, and kept in the log."""
    return Say(text=text, dead=why)


CLOSED = "came after the panel had closed"


def test_a_letter_of_another_layout_is_the_one_on_its_key() -> None:
    assert [running().press(key) for key in ("в", "δ", "л")] == [
        Submit(act=Called(fault="depth")),
        Submit(act=Called(fault="depth")),
        Submit(act=Called(fault="lock")),
    ]
    assert running().press("т") == Submit(act=NoRep())
    asked = running().press("й")
    assert isinstance(asked, Say)
    assert asked.text.startswith("Close this desk?")
    # Where nothing is on the Latin key either, the key is named as it was pressed.
    nothing = dead("ш does nothing on Front squat. ? lists the keys.")
    assert running().press("ш") == nothing


def test_a_letter_of_another_layout_that_is_a_key_itself_is_itself() -> None:
    plan = for_time()
    own = replace(plan.cards[0], faults=(fault("knees", "в"), fault("depth", "d")))
    played = Played(replace(plan, cards=(own, *plan.cards[1:]))).go()
    assert Keys(played, seconds=5).press("в") == Submit(act=Called(fault="knees"))
    keys = running()
    keys.controls = Controls(KNOWN, [("stop", ("в",))])
    assert keys.press("в") == Submit(act=Stop())


def test_a_superscript_is_no_digit() -> None:
    keys = running()
    keys.press("w", "2")
    assert keys.press("²") == dead("² does nothing on Front squat. ? lists the keys.")


def test_an_extra_key_does_what_its_action_does_but_never_takes_a_faults_letter() -> (
    None
):
    keys = running()
    extra = (("good", ("pagedown", "d")), ("no-rep", ("pageup",)))
    keys.controls = Controls(KNOWN, extra)
    assert [keys.press(key) for key in ("pagedown", "pageup", "d")] == [
        Submit(act=Rep()),
        Submit(act=NoRep()),
        Submit(act=Called(fault="depth")),
    ]


# --- before go ------------------------------------------------------------------------


def test_before_go_a_key_says_what_it_would_do_and_judges_nothing() -> None:
    keys = before_go()
    assert [keys.press(key) for key in ("space", "d", "1", "0")] == [
        Trial(big=("GOOD", "REP"), says="space: adds one to the count"),
        Trial(big=("NO REP", "DEPTH"), says="d: Hip crease below the knee"),
        Trial(big=("NO REP", "DEPTH"), says="d: Hip crease below the knee"),
        Trial(
            big=("STOP",),
            says="0: the athlete is unsafe: freezes the score at once",
        ),
    ]


GO = Trial(big=("GO?",), says="GO? y starts all lanes in ten seconds", for_ms=ANSWER_MS)


def test_go_asks_and_yes_starts_within_three_seconds() -> None:
    keys = before_go()
    assert keys.press("g") == GO
    assert isinstance(keys.press("y", after_ms=3001), Trial)
    keys.press("g")
    assert keys.press("y", after_ms=3000) == Go()
    assert isinstance(keys.press("y", after_ms=100), Trial)


def test_go_held_down_only_asks_again() -> None:
    keys = before_go()
    assert [keys.press("g", after_ms=500) for _ in range(3)] == [GO, GO, GO]


def test_another_key_between_go_and_yes_starts_nothing() -> None:
    keys = before_go()
    assert isinstance(keys.press("g", "space", "y", after_ms=500), Trial)


def test_go_pressed_again_while_the_clock_is_on_starts_nothing() -> None:
    assert running().press("g") == Say(text="The clock is on already.")
    countdown = Keys(Played(for_time()).go(), seconds=-8)
    assert countdown.press("g") == Say(
        text="The countdown is on. Recall stands behind w."
    )


def test_before_go_the_menu_holds_the_days_changes_only() -> None:
    keys = before_go()
    keys.press("w")
    assert keys.titles() == ["who judges", "other athlete here", "athlete is absent"]
    assert keys.press("3") == Submit(act=Absent(absent=True))


# --- closing --------------------------------------------------------------------------


CLOSE = Say(
    text="Close this desk? y closes; the heat can be opened again", for_ms=ANSWER_MS
)


def test_closing_asks_and_yes_closes_within_three_seconds() -> None:
    for keys in (running(), before_go()):
        assert keys.press("q") == CLOSE
        assert keys.press("y", after_ms=3001) != Leave()
        keys.press("q")
        assert keys.press("y", after_ms=3000) == Leave()


def test_close_held_down_or_another_key_after_it_closes_nothing() -> None:
    keys = running()
    assert [keys.press("q", after_ms=500) for _ in range(3)] == [CLOSE] * 3
    assert keys.press("space", after_ms=500) == Submit(act=Rep())
    assert keys.press("y", after_ms=500) == Say(text="Nothing is asked.")


def test_the_desk_is_closed_before_the_horn_is_answered_where_both_are_asked() -> None:
    played = Played(window()).go()
    played.each(Rep(), 299, 300.5)
    played.put(Time(), 300_000)
    assert Keys(played, seconds=301).press("q", "y") == Leave()


def test_closing_over_presses_not_saved_names_them_and_takes_one_more_step() -> None:
    keys = running()
    keys.waiting = 4
    assert [keys.press(key, after_ms=500) for key in ("q", "y", "q")] == [
        Say(
            text="4 presses NOT SAVED. y, if it must be closed all the same",
            for_ms=ANSWER_MS,
        ),
        Say(
            text="q loses 4 presses and closes, unless the disk works again",
            for_ms=ANSWER_MS,
        ),
        Leave(),
    ]
    keys.waiting = 1
    assert keys.press("q") == Say(
        text="1 press NOT SAVED. y, if it must be closed all the same",
        for_ms=ANSWER_MS,
    )
    assert keys.press("q", after_ms=500) != Leave()


# --- panels ---------------------------------------------------------------------------


def test_an_open_panel_takes_digits_only() -> None:
    keys = running()
    for key, act in (
        ("space", Rep()),
        ("d", Called(fault="depth")),
        ("n", NoRep()),
        ("0", Stop()),
        ("backspace", TakeBackOne()),
    ):
        keys.press("m")
        assert keys.press(key, after_ms=100) == Submit(act=act)


def test_a_panel_closes_by_its_own_key_by_escape_and_by_itself() -> None:
    keys = running()
    for closing in ("m", "escape"):
        keys.press("m")
        assert isinstance(keys.controls.panel, Menu)
        assert keys.press(closing, after_ms=500) == Opened()
        assert keys.controls.panel is None
    keys.press("m")
    assert not keys.controls.lapse(keys.boot_ms + 7999)
    assert keys.controls.lapse(keys.boot_ms + 8000)
    assert keys.controls.panel is None


def test_a_number_may_be_thought_about_for_half_a_minute() -> None:
    keys = running()
    keys.played.each(Rep(), 31)
    keys.press("w", "2")
    keys.press("2", after_ms=29_999)
    meant = Counted(to=2, set=SetKey(1, 1, 1))
    assert keys.press("enter", after_ms=29_999) == Submit(act=meant)


def test_digits_for_a_panel_that_has_just_closed_are_refused_in_words() -> None:
    keys = running()
    keys.press("w", "2")
    assert not keys.controls.lapse(keys.boot_ms + 29_999)
    late = [keys.press("1", after_ms=30_000), keys.press("0", after_ms=900)]
    assert late == [
        dead("The panel had closed: 1 did nothing.", why=CLOSED),
        dead("The panel had closed: 0 did nothing.", why=CLOSED),
    ]
    assert keys.press("1", after_ms=1100) == Submit(act=Called(fault="depth"))


def test_two_seconds_after_a_panel_has_closed_a_digit_is_a_fault_again() -> None:
    keys = running()
    keys.press("m")
    assert keys.controls.lapse(keys.boot_ms + 8000)
    said = keys.press("1", after_ms=9999)
    assert said == dead("The panel had closed: 1 did nothing.", why=CLOSED)
    assert keys.press("1", after_ms=1000) == Submit(act=Called(fault="depth"))


def test_stop_is_never_refused_as_the_first_key_after_a_panel_has_closed() -> None:
    keys = running()
    keys.press("m")
    assert keys.press("0", after_ms=8000) == Submit(act=Stop())


def test_a_panel_closed_by_hand_or_a_list_of_keys_leaves_the_digits_alone() -> None:
    keys = running()
    keys.press("m", "m", after_ms=500)
    assert keys.press("1", after_ms=500) == Submit(act=Called(fault="depth"))
    keys.press("?")
    assert keys.press("1", after_ms=8000) == Submit(act=Called(fault="depth"))


def test_a_digit_beyond_the_choices_is_told_and_the_panel_stays() -> None:
    keys = running()
    keys.press("b")
    panel = keys.controls.panel
    assert keys.press("4") == Say(text="Press 1 to 3 here.")
    assert keys.controls.panel is panel
    assert keys.press("1") == Submit(act=GoBack(why="reps are missing there"))
    keys.press("w", "7")
    assert keys.press("2") == Say(text="Press 1 here.")
    keys.press("escape", "l")
    oldest = str(len(keys.titles()))
    assert keys.press(oldest, "1") == Say(text="There is nothing to choose here.")


def test_reasons_are_chosen_by_digit() -> None:
    keys = running()
    keys.press("m")
    assert keys.press("3") == Submit(act=MoveOn(why="equipment failed"))
    keys.press("b")
    assert keys.press("1") == Submit(act=GoBack(why="reps are missing there"))
    assert keys.controls.panel is None


@pytest.mark.parametrize(
    ("choices", "effect"),
    [
        ("1", Submit(act=WasClose())),
        ("3 2", Submit(act=Withdraw(why="own choice"))),
        ("5 1 3 1 enter", Submit(act=Is(bib="31"))),
        ("5 2 2 enter", Swap(other=2)),
        ("6", Submit(act=Absent(absent=True))),
        ("7 1", Submit(act=Recall(why="false start"))),
        ("8 1", LateGo()),
        ("8 2 1 3 0 enter", Submit(act=WallSet(shows_ms=90_000))),
    ],
)
def test_the_menu_of_a_running_heat_reaches_every_rare_act(
    choices: str, effect: Effect
) -> None:
    keys = running()
    keys.press("w")
    assert keys.press(*choices.split()) == effect


@pytest.mark.parametrize(
    ("typed", "stands_for", "effect"),
    [
        ("5", "the wall shows 0:05", Submit(act=WallSet(shows_ms=5000))),
        ("1 0 0 5", "the wall shows 10:05", Submit(act=WallSet(shows_ms=605_000))),
        ("1 7 5", "", Say(text="175 is no time: 130 means 1:30, 10130 means 1:01:30.")),
        ("", "", Opened()),
    ],
)
def test_the_wall_clock_is_typed_as_minutes_and_seconds(
    typed: str, stands_for: str, effect: Effect
) -> None:
    keys = running()
    keys.press("w", "8", "2", *typed.split())
    assert keys.controls.typed_for() == stands_for
    assert keys.press("enter") == effect


@pytest.mark.parametrize(
    ("typed", "shows"),
    [
        ("130", 90_000),
        ("7503", 4_503_000),
        ("11503", 4_503_000),
        ("114000", 42_000_000),
        ("160", None),
        ("16003", None),
    ],
)
def test_more_than_four_figures_of_a_wall_clock_have_hours(
    typed: str, shows: int | None
) -> None:
    assert morepanels.wall_ms(typed) == shows


def test_a_wall_clock_far_off_is_asked_about_and_means_the_moment_of_enter() -> None:
    keys = running()
    keys.press("w", "8", "2", "1", "2", "0", "0", "enter")
    entered = keys.boot_ms
    panel = keys.controls.panel
    assert isinstance(panel, Menu)
    assert [choice.says for choice in panel.choices] == ["yes, the wall shows 12:00"]
    act = WallSet(shows_ms=720_000)
    assert keys.press("1") == Submit(act=act, boot_ms=entered)


def test_a_judge_who_takes_over_carries_the_same_run_on() -> None:
    keys = running()
    keys.press("w")
    effect = keys.press("4", "2")
    last = keys.played.entries[-1].ref
    assert effect == Submit(act=Claim(judge="mo", covers=(last,)))


def test_the_count_said_aloud_is_for_the_set_it_was_typed_for() -> None:
    keys = running()
    keys.played.each(Rep(), 31, 33)
    keys.press("w", "2", "2")
    keys.played.press(37, Rep())
    assert keys.press("enter") == Submit(act=Counted(to=2, set=SetKey(1, 1, 1)))


def test_a_typed_number_takes_digits_and_gives_them_back_but_leaves_stop_alone() -> (
    None
):
    keys = running()
    keys.press("w", "5", "1")
    assert isinstance(keys.controls.panel, Typing)
    assert keys.press("0") == Submit(act=Stop())
    # What is unsafe is not hidden behind a number.
    assert keys.controls.panel is None
    keys.press("w", "5", "1")
    keys.press("3", "0", "9", "backspace", "backspace", "1")
    assert (keys.controls.panel.typed, keys.controls.typed_for()) == ("31", "Bo Lindt")
    keys.press("backspace", "backspace")
    assert keys.press("backspace") == Submit(act=TakeBackOne())


def test_an_athlete_is_named_by_number_with_or_without_its_zeros() -> None:
    keys = before_go()
    keys.press("w", "2", "1")
    assert keys.press("7", "enter") == Submit(act=Is(bib="007"))
    keys.press("w", "2", "1")
    keys.press("5")
    assert keys.controls.typed_for() == "nobody has it"
    assert keys.press("enter") == Say(text="Nobody has the number 5.")


def test_what_a_monitor_shows_is_typed_and_sent_by_enter() -> None:
    played = Played(for_time()).go()
    played.each(Rep(), 3, 6, 9, 12, 15, 20, 23, 26, 30, 33)
    keys = Keys(played, seconds=100)
    keys.press("enter", "1", "2")
    assert keys.press("enter") == Submit(act=Reading(shows=12))


def test_enter_on_a_movement_counted_rep_by_rep_says_so() -> None:
    assert running().press("enter") == Say(
        text="Front squat has no monitor: space counts each rep."
    )


def test_no_set_is_reported_before_the_work() -> None:
    played = Played(for_time(watching="reported")).go()
    keys = Keys(played, seconds=-5)
    early = Say(text="There is no set to report yet.")
    assert keys.press("enter") == early
    keys.seconds = 30
    assert keys.press("enter") == Submit(act=ReportSet())


@pytest.mark.parametrize("key", ["enter", "+"])
def test_while_work_is_held_it_is_asked_how_many_were_done_by_then(key: str) -> None:
    played = Played(for_time(watching="reported")).go()
    keys = Keys(played, seconds=30)
    played.press(20, Freeze())
    keys.press(key)
    assert titled(keys) == "Front squat: how many of 3 by the freeze"
    played.press(32, Stop())
    assert keys.press("escape", key) == Opened()
    assert titled(keys) == "Front squat: how many of 3 by the stop"
    by_stop = ReportSet(n=2, set=SetKey(1, 1, 1), at_stop=True)
    assert keys.press("2", "enter") == Submit(act=by_stop)
    # Nothing typed is nothing said.
    assert keys.press(key, "enter") == Opened()


def test_with_all_sets_done_by_the_stop_there_is_none_to_report() -> None:
    played = Played(simple(3, watching="reported")).go()
    played.press(20, ReportSet())
    played.press(21, Stop())
    words = "All sets were done by then: there is none to report."
    assert Keys(played, seconds=30).press("enter") == Say(text=words)


def two_windows() -> Played:
    """A minute of 5 squats over and over, then at once one of 4 toes-to-bar."""
    parts = tuple(
        PlanPart(id=id_, kind="window", length_ms=60_000, movements=(movement(c, n),))
        for id_, c, n in (("A", "front-squat", 5), ("B", "toes-to-bar", 4))
    )
    return Played(for_time(parts=parts, score="reps", watching="reported")).go()


def test_right_after_a_horn_it_is_asked_of_the_work_that_it_ended() -> None:
    keys = Keys(two_windows(), seconds=62)
    keys.press("+")
    assert titled(keys) == "Front squat, part A round 1: how many are done of 5"
    keys.press("escape")
    keys.seconds = 90
    keys.press("+")
    assert titled(keys) == "Toes to bar: how many are done of 4"


def test_b_asks_about_the_set_before_and_keeps_what_was_typed() -> None:
    keys = Keys(two_windows(), seconds=90)
    keys.press("+", "3", "b")
    assert titled(keys) == "Front squat, part A round 1: how many are done of 5"
    assert keys.controls.panel_keys(keys.boot_ms) == (
        "digits, enter",
        "b the set before",
        "escape, then 0: STOP",
    )
    # Nothing comes before the first.
    keys.press("b")
    assert titled(keys) == "Front squat, part A round 1: how many are done of 5"
    first = ReportSet(n=3, set=SetKey(1, 1, 1))
    assert keys.press("enter") == Submit(act=first)


def titled(keys: Keys) -> str:
    panel = keys.controls.panel
    assert isinstance(panel, Typing)
    return panel.title


def test_the_log_takes_back_an_older_entry_and_names_an_older_no_rep() -> None:
    keys = running()
    keys.played.press(31, Rep())
    keys.played.press(34, NoRep())
    keys.played.press(37, Rep())
    keys.press("l")
    assert keys.titles()[:3] == ["0:37.0  rep 2", "0:34.0  NO REP", "0:31.0  rep 1"]
    assert keys.press("3", "1") == Submit(act=TakeBackOne(at=31_000))
    keys.press("l", "2")
    assert keys.titles() == [
        "take it back",
        "reason depth",
        "reason lock",
        "that was close",
    ]
    assert keys.press("3") == Submit(act=Name(fault="lock", at=34_000))


def test_the_log_counts_again_what_was_undone() -> None:
    keys = running()
    keys.played.press(31, Rep())
    keys.played.press(33, TakeBackOne())
    keys.press("l")
    assert keys.titles()[:2] == ["0:33.0  undone: rep", "0:31.0  rep, undone"]
    assert keys.press("2", "1") == Submit(act=CountAgain(at=31_000))


def test_the_list_of_keys_fits_beside_the_count() -> None:
    keys = running()
    keys.press("?")
    page = keys.controls.panel
    assert isinstance(page, Page)
    wide = max(len(key) for key, _ in page.lines) + 1
    assert max(len(says) for _, says in page.lines) + wide <= 30
    assert len(page.lines) + 1 <= 16


# --- stopped, frozen, over ------------------------------------------------------------


def test_after_stop_one_key_says_it_was_a_mistake() -> None:
    keys = running()
    keys.played.press(30, Stop())
    assert keys.press("g") == Submit(act=GoOn(by_mistake=True))


def test_after_stop_letting_go_on_names_who_did() -> None:
    keys = running()
    keys.played.press(30, Stop())
    keys.press("w")
    assert keys.press("1") == Submit(act=GoOn(by_mistake=False, by="head judge"))
    keys.press("w")
    assert keys.press("4", "1") == Submit(act=Withdraw(why="pain or injury"))
    keys.press("w")
    assert keys.press("5") == ToCard()


def test_after_stop_presses_are_judged_as_before() -> None:
    keys = running()
    keys.played.press(30, Stop())
    assert [keys.press(key) for key in ("space", "d", "1")] == [
        Submit(act=Rep()),
        Submit(act=Called(fault="depth")),
        Submit(act=Called(fault="depth")),
    ]


def test_a_freeze_ends_with_a_choice() -> None:
    keys = running()
    keys.played.press(30, Freeze())
    keys.press("f")
    assert keys.press("1") == Submit(act=Unfreeze(by_mistake=True))
    keys.press("f")
    assert keys.press("2") == Submit(act=Unfreeze(by_mistake=False))


def test_when_the_work_is_over_go_and_enter_lead_to_the_scorecard() -> None:
    assert [over().press(key) for key in ("g", "enter")] == [ToCard(), ToCard()]


def test_the_question_at_the_horn_is_answered_yes_or_no_once_it_is_over() -> None:
    played = Played(window()).go()
    played.press(299, Rep())
    played.press(300.5, Rep())
    keys = Keys(played, seconds=301)
    assert keys.press("n") == Submit(act=NoRep())
    played.put(Time(), 300_000)
    assert keys.press("y") == Submit(act=AnswerHorn(counts=True))
    assert keys.press("n") == Submit(act=AnswerHorn(counts=False))


def test_yes_without_a_question_says_so() -> None:
    assert running().press("y") == Say(text="Nothing is asked.")


def test_an_accepted_scorecard_still_takes_the_press_that_the_desk_will_refuse() -> (
    None
):
    keys = over()
    keys.played.press(40, Accept(who="athlete", signed=True))
    keys.played.press(41, Accept(who="judge", signed=True))
    assert keys.press("space") == Submit(act=Rep())
    assert keys.press("g") == ToCard()


def test_a_monitor_is_only_asked_for_where_there_is_one() -> None:
    part = for_time().parts[2]
    plan = for_time(parts=(replace(part, movements=(movement("front-squat", 4),)),))
    assert isinstance(Keys(Played(plan).go()).press("enter"), Say)


def test_a_cues_letter_notes_it_where_the_event_switches_cues_on() -> None:
    words = "h HEELS is a cue: it never changes the count."
    assert running().press("h") == dead(words, why="is a cue")
    played = Played(for_time(cues="on")).go()
    played.press(3, Rep())
    on = Keys(played, seconds=5)
    assert on.press("h") == Submit(act=Cue(fault="heels"))
