from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.card import (
    Card,
    Criterion,
    Fault,
    Height,
    Seconds,
    Setting,
    SettingValue,
)
from judgekit.core.entry import Absent, Body, Entry, Is, Rep, Scale
from judgekit.core.errors import InputError
from judgekit.core.people import Athlete, Division, Event, HeatLane, Rules
from judgekit.core.plan import (
    Member,
    Plan,
    PlanCard,
    PlanCriterion,
    PlanFault,
    PlanMovement,
    PlanPart,
    PlanTeam,
    PlanTieBreak,
    SetKey,
)
from judgekit.core.quantity import Quantity, parse
from judgekit.core.setup import athlete_of, height_text, is_absent, resolve, team_of
from judgekit.core.workout import (
    AfterPart,
    ByDivision,
    ClockRest,
    LastFullRound,
    Movement,
    OneHold,
    OwnRest,
    Part,
    Rounds,
    Shape,
    Team,
    Unit,
    Watching,
    Window,
    Workout,
)


def fault(fault_id: str, breaks: str | None) -> Fault:
    return Fault(
        id=fault_id,
        weight="void" if breaks else "cue",
        breaks=breaks,
        key=fault_id[0],
        call=fault_id.upper(),
        cues=("slow",),
        drill="ten slow ones",
    )


def card(card_id: str, **changes: object) -> Card:
    plain = Card(
        id=card_id,
        name=card_id.capitalize(),
        revision=2,
        counts=("reps",),
        ends="top",
        view="from the side",
        seconds=Seconds(floor_ms=1000, brisk_ms=1500, ordinary_ms=2000),
        changeover_ms=1500,
        equipment=(),
        source="common practice",
        start="standing",
        finish="standing tall",
        criteria=(Criterion(id="depth", kind="depth", at="bottom", says="low"),),
        settings=(),
        faults=(fault("shallow", "depth"),),
        stop_signs=("pain",),
        caution="build up",
        substitutes=(),
        measures=(),
        examples=(),
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


LINE = Setting(
    id="line",
    default="counts",
    values=(
        SettingValue(value="counts", criterion="target", says="touching the line"),
        SettingValue(value="above", criterion="target", says="above the line"),
        SettingValue(value="below", criterion="target", says="below the line"),
    ),
)
WALL_BALL = card(
    "wall-ball",
    equipment=("ball", "wall"),
    criteria=(
        Criterion(id="depth", kind="depth", at="bottom", says="low"),
        Criterion(
            id="target",
            kind="target-height",
            at="finish",
            says="at the mark",
            height=Height(
                by_key=(("men", parse("10 ft")), ("women", parse("9 ft"))),
            ),
        ),
    ),
    settings=(LINE,),
    faults=(
        fault("catch", None),
        fault("shallow", "depth"),
        fault("target", "target"),
        fault("under", "target"),
    ),
)
ROW = card("row", counts=("calories", "metres"), seconds=None, criteria=(), faults=())
SQUAT = card("squat", equipment=("barbell",))
LUNGE = card("lunge", equipment=("barbell",))
AIR = card("air-squat")
CARDS = {c.id: c for c in (WALL_BALL, ROW, SQUAT, LUNGE, AIR)}

EVENT = Event(
    name="Pier Day",
    date="2027-05-08",
    zone="Europe/Berlin",
    divisions=(
        Division(id="women-open", name="Women", standard="women"),
        Division(id="men-open", name="Men", standard="men"),
    ),
    rules=Rules(doubt="no-rep", early_start="seconds", horn_lag_ms=500),
    card_settings=(("wall-ball.line", "below"),),
)
INES = Athlete(bib="007", name="Ines", division="women-open", show="initials")
HEAT = HeatLane(
    heat="3",
    date="2027-05-08",
    start_ms=0,
    workout="pier",
    lane=4,
    bib="007",
    judge="kb",
)


def loads(*pairs: tuple[str, tuple[str, ...]]) -> ByDivision[tuple[Quantity, ...]]:
    return ByDivision(
        by_key=tuple((key, tuple(map(parse, texts))) for key, texts in pairs)
    )


def workout(*parts: Part, **changes: object) -> Workout:
    plain = Workout(
        id="pier", name="Pier", revision=3, score="time", parts=tuple(parts)
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


def rounds(*movements: Movement, n: int = 3, part: str = "A") -> Part:
    return Part(id=part, shape=Rounds(rounds=n), movements=movements)


SQUATS = Movement(
    card=ByDivision(same="squat"),
    unit="reps",
    amounts=ByDivision(same=(12, 10, 8)),
    load=loads(("men", ("70 kg",)), ("women", ("47.5 kg",))),
    pieces=((7, 5), (6, 4), (8,)),
    watch=("shallow",),
)
WALL_BALLS = Movement(
    card=ByDivision(same="wall-ball"), unit="reps", amounts=ByDivision(same=(20,))
)
ROWING = Movement(
    card=ByDivision(same="row"),
    unit="calories",
    amounts=ByDivision(by_key=(("men", (15,)), ("women", (12,)))),
)


def resolved(
    plan_of: Workout,
    *day: Entry,
    event: Event = EVENT,
    athlete: Athlete = INES,
) -> Plan:
    return resolve(
        event=event, heat=HEAT, athlete=athlete, workout=plan_of, cards=CARDS, day=day
    )


def only(plan: Plan) -> PlanMovement:
    return plan.parts[0].movements[0]


def said(body: Body, *, lane: int | None = 4, wall: int = 1, number: int = 1) -> Entry:
    return Entry(
        book="b",
        number=number,
        lane=lane,
        at=None,
        wall=wall,
        who="coach",
        set=None,
        body=body,
    )


def test_a_plan_holds_everything_about_the_lane_resolved() -> None:
    plan = resolved(
        workout(
            rounds(SQUATS),
            Part(id="", shape=OwnRest(length_ms=240_000)),
            Part(id="B", shape=Window(length_ms=600_000), movements=(WALL_BALLS,)),
            Part(id="", shape=ClockRest(until_ms=900_000)),
            cap_ms=ByDivision(by_key=(("men", 1), ("women", 1_440_000))),
            capped="second-per-rep",
            rest="included",
            precision_ms=100,
            tiebreaks=(AfterPart(part="B"), LastFullRound()),
            settings=(("wall-ball.line", "above"),),
        )
    )
    assert plan == Plan(
        event="Pier Day",
        date="2027-05-08",
        zone="Europe/Berlin",
        heat="3",
        lane=4,
        bib="007",
        name="Ines",
        show="initials",
        division="women-open",
        division_name="Women",
        workout="pier",
        workout_name="Pier",
        revision=3,
        score="time",
        rest="included",
        cap_ms=1_440_000,
        capped="second-per-rep",
        precision_ms=100,
        parts=(
            PlanPart(
                id="A",
                kind="rounds",
                rounds=3,
                movements=(
                    PlanMovement(
                        card="squat",
                        unit="reps",
                        targets=(12, 10, 8),
                        loads=("47.5 kg ≈ 105 lb",) * 3,
                        pieces=((7, 5), (6, 4), (8,)),
                        watch=("shallow",),
                    ),
                ),
            ),
            PlanPart(id="", kind="rest", length_ms=240_000),
            PlanPart(
                id="B",
                kind="window",
                length_ms=600_000,
                movements=(
                    PlanMovement(
                        card="wall-ball",
                        unit="reps",
                        targets=(20,),
                        height="9 ft ≈ 2.74 m",
                        watch=("shallow", "target"),
                    ),
                ),
            ),
            PlanPart(id="", kind="rest-until", until_ms=900_000),
        ),
        cards=(
            PlanCard(
                id="squat",
                name="Squat",
                revision=2,
                ends="top",
                view="from the side",
                floor_ms=1000,
                brisk_ms=1500,
                ordinary_ms=2000,
                changeover_ms=1500,
                source="common practice",
                start="standing",
                finish="standing tall",
                criteria=(
                    PlanCriterion(id="depth", kind="depth", at="bottom", says="low"),
                ),
                settings=(),
                faults=(
                    PlanFault(
                        id="shallow",
                        weight="void",
                        breaks="depth",
                        key="s",
                        call="SHALLOW",
                        cues=("slow",),
                        drill="ten slow ones",
                    ),
                ),
                stop_signs=("pain",),
                caution="build up",
            ),
            plan.card("wall-ball"),
        ),
        tiebreaks=(
            PlanTieBreak(kind="after-part", part=3),
            PlanTieBreak(kind="last-full-round"),
        ),
        doubt="no-rep",
        early_start="seconds",
        horn_lag_ms=500,
        dispute_ms=1_800_000,
    )
    assert [fault.breaks for fault in plan.card("wall-ball").faults] == [
        "",
        "depth",
        "target",
        "target",
    ]


@pytest.mark.parametrize(
    ("of_event", "of_workout", "value", "words"),
    [
        ((), (), "counts", "touching the line"),
        ((("wall-ball.line", "below"),), (), "below", "below the line"),
        (
            (("wall-ball.line", "below"),),
            (("wall-ball.line", "above"),),
            "above",
            "above the line",
        ),
    ],
)
def test_workout_beats_event_beats_card_default(
    of_event: tuple[tuple[str, str], ...],
    of_workout: tuple[tuple[str, str], ...],
    value: str,
    words: str,
) -> None:
    plan = resolved(
        workout(rounds(WALL_BALLS), settings=of_workout),
        event=replace(EVENT, card_settings=of_event),
    )
    body = plan.card("wall-ball")
    assert [c.says for c in body.criteria] == ["low", words]
    assert body.settings == (("line", value),)


def test_a_setting_nobody_wrote_is_named_with_what_it_may_be() -> None:
    with pytest.raises(InputError) as error:
        resolved(workout(rounds(WALL_BALLS), settings=(("wall-ball.line", "x"),)))
    assert str(error.value) == (
        'heats.csv:1: workout pier, bib 007: wall-ball.line cannot be "x"; '
        "use one of counts, above, below"
    )


def test_one_amount_or_load_stands_for_every_round() -> None:
    plan = resolved(workout(rounds(ROWING, n=4)))
    assert only(plan).targets == (12, 12, 12, 12)


def test_a_value_for_the_division_itself_beats_its_standard() -> None:
    both = replace(
        SQUATS,
        load=loads(
            ("women", ("47.5 kg",)), ("women-open", ("50 kg", "55 kg", "60 kg"))
        ),
    )
    assert only(resolved(workout(rounds(both)))).loads == (
        "50 kg ≈ 110 lb",
        "55 kg ≈ 121 lb",
        "60 kg ≈ 132 lb",
    )


def test_everything_missing_is_named_at_once() -> None:
    men_only: ByDivision[int] = ByDivision(by_key=(("men", 60_000),))
    with pytest.raises(InputError) as error:
        resolved(
            workout(
                rounds(
                    replace(SQUATS, load=loads(("men", ("70 kg",)))),
                    replace(WALL_BALLS, card=ByDivision(same="wall-bal")),
                    replace(ROWING, amounts=ByDivision(by_key=(("men", (15,)),))),
                ),
                cap_ms=men_only,
                tiebreaks=(AfterPart(part="Z"),),
            )
        )
    assert [str(problem) for problem in error.value.problems] == [
        f"heats.csv:1: workout pier, bib 007: {what}"
        for what in (
            "part A: no load of squat for division women-open (standard women)",
            'part A: there is no card "wall-bal"',
            "part A: no calories of row for division women-open (standard women)",
            'the tie-break names part "Z", which is not there',
            "no cap for division women-open (standard women)",
        )
    ]


def test_a_division_the_event_lacks_is_named() -> None:
    with pytest.raises(InputError) as error:
        resolved(workout(rounds(SQUATS)), athlete=replace(INES, division="kids"))
    assert str(error.value) == (
        'heats.csv:1: bib 007: the event has no division "kids"; '
        "use one of men-open, women-open"
    )


def above_reach(text: str) -> Card:
    mark = Criterion(
        id="mark",
        kind="target-height",
        at="finish",
        says="touch the mark",
        height=Height(above_reach=parse(text)),
    )
    return card("burpee", criteria=(mark,))


@pytest.mark.parametrize(
    ("above", "reach", "shown"),
    [
        ("6 in", "2.31 m", "6 in above reach 2.31 m ≈ 2.47 m"),
        ("15 cm", "2.31 m", "15 cm above reach 2.31 m = 2.46 m"),
        ("6 in", "7 ft 7 in", "6 in above reach 7 ft 7 in ≈ 2.47 m"),
        ("6 in", None, "6 in above reach (measure at the lane check)"),
    ],
)
def test_a_height_above_reach_is_added_exactly_or_left_to_the_lane_check(
    above: str, reach: str | None, shown: str
) -> None:
    athlete = replace(INES, reach=parse(reach) if reach else None)
    assert height_text(above_reach(above), EVENT.divisions[0], athlete) == shown


def test_the_workouts_height_beats_the_cards() -> None:
    movement = replace(WALL_BALLS, height=ByDivision(same=parse("8 ft")))
    assert only(resolved(workout(rounds(movement)))).height == "8 ft ≈ 2.44 m"


def test_a_card_height_the_division_lacks_is_named() -> None:
    event = replace(
        EVENT, divisions=(Division(id="women-open", name="Women", standard="kids"),)
    )
    with pytest.raises(InputError, match="card wall-ball has no height for division"):
        resolved(workout(rounds(WALL_BALLS)), event=event)


def test_the_days_choices_replace_reps_load_and_height() -> None:
    scale = Scale(card="squat", reps=5, load="30 kg", height="on a box", why="knee")
    plan = resolved(workout(rounds(SQUATS)), said(scale))
    assert only(plan) == PlanMovement(
        card="squat",
        unit="reps",
        targets=(5, 5, 5),
        loads=("30 kg ≈ 66 lb",) * 3,
        height="on a box",
        watch=("shallow",),
    )
    assert plan.substituted


@pytest.mark.parametrize(
    ("substitute", "kept"),
    [("lunge", ("47.5 kg ≈ 105 lb",) * 3), ("air-squat", ())],
)
def test_a_substitute_keeps_the_load_only_where_it_uses_the_same_equipment(
    substitute: str, kept: tuple[str, ...]
) -> None:
    plan = resolved(
        workout(rounds(SQUATS)), said(Scale(card="squat", substitute=substitute))
    )
    assert only(plan) == PlanMovement(
        card=substitute,
        unit="reps",
        targets=(12, 10, 8),
        loads=kept,
        pieces=((7, 5), (6, 4), (8,)),
        watch=("shallow",),
        instead_of="Squat",
    )
    assert plan.substituted
    assert [body.id for body in plan.cards] == [substitute]


def test_a_substitute_counted_otherwise_needs_a_number_of_its_own() -> None:
    rowing = workout(rounds(ROWING))
    with pytest.raises(InputError, match="say how many reps stand in for row"):
        resolved(rowing, said(Scale(card="row", substitute="air-squat")))
    plan = resolved(rowing, said(Scale(card="row", substitute="air-squat", reps=20)))
    assert (only(plan).unit, only(plan).targets) == ("reps", (20, 20, 20))


def test_the_latest_scale_of_a_card_wins_and_an_empty_one_undoes_it() -> None:
    first = said(Scale(card="squat", reps=5), wall=10, number=1)
    second = said(Scale(card="squat", load="20 kg"), wall=10, number=2)
    third = said(Scale(card="squat"), wall=11, number=1)
    plan = resolved(workout(rounds(SQUATS)), second, first)
    assert (only(plan).targets, only(plan).loads[0]) == ((12, 10, 8), "20 kg ≈ 44 lb")
    assert resolved(workout(rounds(SQUATS)), third, first, second) == resolved(
        workout(rounds(SQUATS))
    )


def test_another_lanes_day_and_other_entries_change_nothing() -> None:
    plain = resolved(workout(rounds(SQUATS)))
    other = said(Scale(card="squat", reps=5), lane=5)
    unused = said(Scale(card="row", reps=5))
    assert resolved(workout(rounds(SQUATS)), other, unused, said(Rep())) == plain
    for_all = said(Scale(card="squat", reps=5), lane=None)
    assert only(resolved(workout(rounds(SQUATS)), for_all)).targets == (5, 5, 5)


def test_a_swap_puts_another_athlete_in_the_lane() -> None:
    other = replace(INES, bib="31", name="Mara")
    athletes = (INES, other)
    assert athlete_of(HEAT, athletes) == INES
    assert athlete_of(HEAT, athletes, [said(Is(bib="31"))]) == other
    back = [said(Is(bib="007"), wall=2), said(Is(bib="31"), wall=1)]
    assert athlete_of(HEAT, athletes, back) == INES
    with pytest.raises(InputError, match='heat 3, lane 4: nobody has bib "9"'):
        athlete_of(HEAT, athletes, [said(Is(bib="9"))])


def test_absence_is_the_days_latest_word_on_this_lane() -> None:
    gone, back = said(Absent(), wall=1), said(Absent(absent=False), wall=2)
    assert not is_absent(HEAT, [])
    assert is_absent(HEAT, [gone])
    assert not is_absent(HEAT, [back, gone])
    assert not is_absent(HEAT, [said(Absent(), lane=5)])


SCALES = st.lists(
    st.builds(
        said,
        st.builds(
            Scale,
            card=st.sampled_from(["squat", "wall-ball"]),
            substitute=st.sampled_from(["", "air-squat"]),
            reps=st.integers(0, 9),
            load=st.sampled_from(["", "20 kg"]),
        ),
        lane=st.sampled_from([4, 5, None]),
        wall=st.integers(0, 3),
        number=st.integers(1, 9),
    ),
    max_size=6,
    unique_by=lambda entry: entry.number,
)


@given(day=SCALES, data=st.data())
def test_the_order_of_cards_athletes_and_day_entries_never_matters(
    day: list[Entry], data: st.DataObject
) -> None:
    athletes = [replace(INES, bib=str(n)) for n in range(3)] + [INES]
    cards = dict(data.draw(st.permutations(list(CARDS.items()))))
    shuffled = data.draw(st.permutations(athletes))
    mixed = data.draw(st.permutations(day))
    whole = workout(rounds(SQUATS, WALL_BALLS, ROWING))
    assert resolve(
        event=EVENT,
        heat=HEAT,
        athlete=athlete_of(HEAT, shuffled, mixed),
        workout=whole,
        cards=cards,
        day=mixed,
    ) == resolved(whole, *day)


# --- teams ----------------------------------------------------------------------


def member(bib: str, division: str = "women-open", team: str = "Pier") -> Athlete:
    return Athlete(bib=bib, name=f"N{bib}", division=division, team=team)


@pytest.mark.parametrize(
    ("event", "own", "plan"),
    [
        ("judged", None, "judged"),
        ("reported", None, "reported"),
        ("reported", "judged", "judged"),
        ("judged", "reported", "reported"),
    ],
)
def test_a_workout_may_be_watched_otherwise_than_its_event(
    event: Watching, own: Watching | None, plan: Watching
) -> None:
    rules = replace(EVENT.rules, watching=event)
    written = workout(rounds(SQUATS), watching=own)
    found = resolved(written, event=replace(EVENT, rules=rules))
    assert found.watching == plan


def team_plan(*athletes: Athlete) -> Plan:
    workout = Workout(
        id="pier",
        name="Pier",
        revision=1,
        score="time",
        parts=(
            Part(
                id="A",
                shape=Rounds(rounds=2),
                movements=(
                    Movement(
                        card=ByDivision(same="air-squat"),
                        unit="reps",
                        amounts=ByDivision(same=(5,)),
                    ),
                ),
            ),
        ),
        team=Team(size=2, how="relay", least=4, judges=2),
    )
    heat = replace(HEAT, bib="Pier")
    return resolve(
        event=EVENT,
        heat=heat,
        athlete=team_of(heat, athletes),
        workout=workout,
        cards=CARDS,
    )


def test_a_team_stands_in_its_lane_by_its_name() -> None:
    plan = team_plan(member("7"), member("8", team="Quay"), member("9"))
    assert (plan.bib, plan.name, plan.division) == ("Pier", "Pier", "women-open")
    assert plan.show == "number"
    assert plan.team == PlanTeam(
        members=(Member(bib="7", name="N7"), Member(bib="9", name="N9")),
        how="relay",
        least=4,
        judges=2,
    )


@pytest.mark.parametrize(
    ("athletes", "wrong"),
    [
        ([member("7")], 'the team "Pier" has 1 in people.csv, and the workout is for'),
        (
            [member("7"), member("8", division="men-open")],
            'the team "Pier" has members of several divisions: women-open, men-open',
        ),
        (
            [member("7", team="Quay")],
            'heat 3, lane 4: nobody is in the team "Pier"; write the team beside its',
        ),
    ],
)
def test_a_team_that_cannot_start(athletes: list[Athlete], wrong: str) -> None:
    with pytest.raises(InputError, match=re.escape(wrong)):
        team_plan(*athletes)


def test_what_is_said_on_the_day_does_not_rise_but_a_substitute_does() -> None:
    movement = Movement(
        card=ByDivision(same="squat"),
        unit="reps",
        amounts=ByDivision(same=(5,)),
        rise=2,
    )
    part = Part(id="A", shape=Window(length_ms=60_000), movements=(movement,))
    workout = Workout(id="pier", name="P", revision=1, score="reps", parts=(part,))
    rising = resolve(event=EVENT, heat=HEAT, athlete=INES, workout=workout, cards=CARDS)
    assert rising.target(SetKey(1, 3, 1)) == 9
    scaled = resolve(
        event=EVENT,
        heat=HEAT,
        athlete=INES,
        workout=workout,
        cards=CARDS,
        day=[said(Scale(card="squat", reps=4))],
    )
    assert scaled.target(SetKey(1, 3, 1)) == 4
    other = resolve(
        event=EVENT,
        heat=HEAT,
        athlete=INES,
        workout=workout,
        cards=CARDS,
        day=[said(Scale(card="squat", substitute="air-squat"))],
    )
    assert (other.target(SetKey(1, 3, 1)), other.parts[0].movements[0].card) == (
        9,
        "air-squat",
    )


def one_part(shape: Shape, card_id: str, unit: Unit, per: int = 1) -> Workout:
    movement = Movement(
        card=ByDivision(same=card_id),
        unit=unit,
        amounts=ByDivision(same=(20,)),
        per=per,
    )
    part = Part(id="A", shape=shape, movements=(movement,))
    return Workout(id="pier", name="P", revision=1, score="reps", parts=(part,))


def test_a_substitute_with_a_unit_of_its_own_counts_each_of_those() -> None:
    plan = resolve(
        event=EVENT,
        heat=HEAT,
        athlete=INES,
        workout=one_part(Window(length_ms=60_000), "row", "calories", per=10),
        cards=CARDS,
        day=[said(Scale(card="row", substitute="air-squat", reps=40))],
    )
    movement = plan.parts[0].movements[0]
    assert (movement.unit, movement.targets, movement.per) == ("reps", (40,), 1)


def test_what_stands_in_for_a_hold_is_a_hold() -> None:
    cards = {**CARDS, "plank": card("plank", counts=("seconds",), seconds=None)}
    workout = one_part(OneHold(most_ms=20_000), "plank", "seconds")
    day = [said(Scale(card="plank", substitute="air-squat", reps=10))]
    with pytest.raises(InputError, match="air-squat is no hold; choose one that is"):
        resolve(
            event=EVENT,
            heat=HEAT,
            athlete=INES,
            workout=workout,
            cards=cards,
            day=day,
        )
