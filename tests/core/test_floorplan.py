"""What the floor needs: counted by hand, on the cards that come with judgekit."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from judgekit.core.floorplan import (
    FloorMark,
    LaneSetup,
    Need,
    is_floor,
    lines_of,
    marks_of,
    needs_of,
)
from judgekit.core.people import Division
from judgekit.core.plan import PlanMovement, PlanPart
from judgekit.core.plates import Plates, rack_for
from judgekit.core.quantity import parse
from judgekit.files.library import load_library
from tests.support import for_time

if TYPE_CHECKING:
    from judgekit.core.card import Card

WOMEN = Division(id="women-open", name="Women", standard="women", bar=parse("15 kg"))
MEN = Division(id="men-open", name="Men", standard="men", bar=parse("20 kg"))


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return {name: file.card for name, file in load_library().items()}


def move(
    card: str, *targets: int, unit: str = "reps", load: str = "", height: str = ""
) -> PlanMovement:
    return PlanMovement(
        card=card,
        unit=unit,  # type: ignore[arg-type]
        targets=targets or (5,),
        loads=(load,) if load else (),
        height=height,
    )


def part(*movements: PlanMovement) -> PlanPart:
    return PlanPart(id="A", kind="rounds", rounds=1, movements=movements)


def lane(
    *parts: PlanPart, division: Division = MEN, collar: str = "2.5 kg"
) -> LaneSetup:
    plates = Plates(collar=parse(collar) if collar else None)
    return LaneSetup(
        plan=for_time(parts=parts, division=division.id),
        division=division,
        rack=rack_for(division.bar, plates, "kg"),
    )


def counted(
    lanes: list[LaneSetup], cards: dict[str, Card], **shared: int
) -> list[tuple[str, str, int, int]]:
    found = needs_of(lanes, cards, {k.replace("_", " "): v for k, v in shared.items()})
    return [(need.what, need.size, need.each, need.shared) for need in found]


def marked(
    lanes: list[LaneSetup], cards: dict[str, Card]
) -> list[tuple[str, str, str, str | None]]:
    found = marks_of(lanes, cards)
    return [(mark.division, mark.what, mark.size, mark.edge) for mark in found]


def test_bars_come_with_their_collars_and_discs_of_both_sides(
    cards: dict[str, Card],
) -> None:
    # Men 61 kg: (61 - 20 - 5) / 2 = 18 = 15 + 2.5 + 0.5; women 43: (43 - 15 - 5) / 2 =
    # 11.5 = 10 + 1.5. Two men and one woman.
    man = lane(part(move("front-squat", load="61 kg / 135 lb"), move("row")))
    woman = lane(part(move("front-squat", load="43 kg")), division=WOMEN)
    assert counted([man, woman, man], cards) == [
        ("barbell", "20 kg", 2, 2),
        ("barbell", "15 kg", 1, 1),
        ("collar", "2.5 kg", 6, 6),
        ("disc", "15 kg", 4, 4),
        ("disc", "10 kg", 2, 2),
        ("disc", "2.5 kg", 4, 4),
        ("disc", "1.5 kg", 2, 2),
        ("disc", "0.5 kg", 4, 4),
        ("rowing machine", "", 2, 2),
    ]


def test_shared_pieces_are_rounded_up_for_each_size_and_bring_their_discs(
    cards: dict[str, Card],
) -> None:
    parts = (part(move("front-squat", load="60 kg"), move("row")),)
    lanes = [lane(*parts, collar="") for _ in range(5)]
    lanes.append(lane(*parts, division=WOMEN, collar=""))
    # Women: (60 - 15) / 2 = 22.5 = 20 + 2.5.
    assert counted(lanes, cards, barbell=2, rowing_machine=4) == [
        ("barbell", "20 kg", 5, 3),
        ("barbell", "15 kg", 1, 1),
        ("disc", "20 kg", 12, 8),
        ("disc", "2.5 kg", 2, 2),
        ("rowing machine", "", 6, 2),
    ]


def test_a_bar_that_is_reloaded_is_one_with_all_that_it_ever_has_on(
    cards: dict[str, Card],
) -> None:
    # 60 kg: 20 a side. 90 kg: 35 = 20 + 15. Both on one bar, as a part is between.
    later = part(move("deadlift", load="90 kg"))
    one = lane(part(move("front-squat", load="60 kg")), later, collar="")
    assert counted([one], cards) == [
        ("barbell", "20 kg", 1, 1),
        ("disc", "20 kg", 2, 2),
        ("disc", "15 kg", 2, 2),
    ]
    # In the same part nobody has time to change: two bars.
    squat, lift = move("front-squat", load="60 kg"), move("deadlift", load="90 kg")
    assert counted([lane(part(squat, lift), collar="")], cards)[:3] == [
        ("barbell", "20 kg", 2, 2),
        ("disc", "25 kg", 2, 2),
        ("disc", "20 kg", 2, 2),
    ]


def test_the_same_thing_in_two_parts_is_one_and_of_two_sizes_two(
    cards: dict[str, Card],
) -> None:
    balls = part(move("wall-ball-shot", load="9 kg", height="10 ft ≈ 3.05 m"))
    box = part(move("box-jump", height="60 cm ≈ 23.6 in"), move("pull-up"))
    low = part(move("box-step-up", height="50 cm ≈ 19.7 in"), move("toes-to-bar"))
    assert counted([lane(balls, box, low, balls)], cards) == [
        ("medicine ball", "9 kg", 1, 1),
        ("wall target", "10 ft ≈ 3.05 m", 1, 1),
        ("box", "60 cm ≈ 23.6 in", 1, 1),
        ("box", "50 cm ≈ 19.7 in", 1, 1),
        ("pull-up bar", "", 1, 1),
    ]


def test_a_box_without_a_height_has_its_cards_face_for_the_division(
    cards: dict[str, Card],
) -> None:
    jumps = part(move("box-jump-over"))
    both = [lane(jumps), lane(jumps, division=WOMEN)]
    assert counted(both, cards) == [
        ("box", "24 in / 61 cm", 1, 1),
        ("box", "20 in / 51 cm", 1, 1),
    ]
    assert marked(both, cards) == [
        ("Men", "Box", "24 in / 61 cm", None),
        ("Women", "Box", "20 in / 51 cm", None),
    ]


def test_a_bar_to_jump_over_needs_full_size_plates_unless_it_has_a_load(
    cards: dict[str, Card],
) -> None:
    over = move("burpee-over-bar-facing")
    assert counted([lane(part(over))], cards) == [
        ("barbell", "20 kg", 1, 1),
        ("pair of full-size plates", "", 1, 1),
    ]
    loaded = lane(part(over, move("thruster", load="40 kg")), collar="")
    assert counted([loaded], cards) == [
        ("barbell", "20 kg", 1, 1),
        ("disc", "10 kg", 2, 2),
    ]


def test_an_own_height_needs_a_target_that_can_be_set(cards: dict[str, Card]) -> None:
    high = move("burpee-to-target", height="6 in above reach 2.14 m ≈ 2.30 m")
    assert counted([lane(part(high))], cards) == [
        ("overhead target", "at own height", 1, 1)
    ]
    assert marked([lane(part(high))], cards) == [
        ("", "Mark", "6 in ≈ 15 cm above reach", "lower edge")
    ]


def test_the_hand_zone_and_the_lines_stand_as_the_cards_have_them(
    cards: dict[str, Card],
) -> None:
    upside = part(move("handstand-push-up"), move("wall-walk"))
    assert marked([lane(upside), lane(upside, division=WOMEN)], cards) == [
        ("", "Zone for the hands, along the wall", "36 in / 91 cm", None),
        ("", "Zone for the hands, out from the wall", "24 in / 61 cm", None),
        ("", "Far line, from the wall", "55 in / 140 cm", None),
        ("", "Near line, from the wall", "10 in / 25 cm", None),
    ]
    assert counted([lane(upside)], cards) == [("head pad", "", 1, 1)]


def test_targets_name_their_edge_for_each_division(cards: dict[str, Card]) -> None:
    men = lane(part(move("wall-ball-shot", load="9 kg", height="10 ft ≈ 3.05 m")))
    women = lane(
        part(move("wall-ball-shot", load="6 kg", height="9 ft ≈ 2.74 m")),
        division=WOMEN,
    )
    assert marks_of([women, men], cards) == (
        FloorMark(
            division="Women",
            movement="Wall-ball shot",
            kind="height",
            what="Mark",
            size="9 ft ≈ 2.74 m",
            edge="lower edge",
        ),
        FloorMark(
            division="Men",
            movement="Wall-ball shot",
            kind="height",
            what="Mark",
            size="10 ft ≈ 3.05 m",
            edge="lower edge",
        ),
    )


def test_a_load_that_nobody_set_is_the_cards_usual_one(cards: dict[str, Card]) -> None:
    swing = part(move("kettlebell-swing"))
    assert marked([lane(swing)], cards) == [("", "Kettlebell", "24 kg / 53 lb", None)]
    said = part(move("kettlebell-swing", load="20 kg"))
    assert marked([lane(said)], cards) == []
    assert counted([lane(said)], cards) == [("kettlebell", "20 kg", 1, 1)]


def test_where_a_bar_is_one_of_two_ways_it_is_one_piece(cards: dict[str, Card]) -> None:
    pull = part(move("sumo-deadlift-high-pull", load="24 kg"))
    assert counted([lane(pull)], cards) == [("barbell or kettlebell", "24 kg", 1, 1)]


def test_a_height_above_reach_is_no_size_of_a_piece(cards: dict[str, Card]) -> None:
    jump = [lane(part(move("jumping-pull-up")))]
    assert [size for _what, size, *_many in counted(jump, cards)] == [""]
    assert marked(jump, cards) == [
        ("", "Bar above standing reach", "6 in / 15 cm", None)
    ]


@pytest.mark.parametrize(
    ("metres", "segment", "places"),
    [
        # 25 ft = 7.62 m.
        (20, "25 ft", ["0", "7.62", "15.24", "20"]),
        (30, "10 m", ["0", "10", "20", "30"]),
        (5, "10 m", ["0", "5"]),
    ],
)
def test_lines_lie_at_each_segment_and_at_the_end(
    metres: int, segment: str, places: list[str]
) -> None:
    expected = tuple(Fraction(place) for place in places)
    assert lines_of(metres, parse(segment)) == expected


def test_a_lane_in_metres_says_where_its_lines_are(cards: dict[str, Card]) -> None:
    carry = part(move("farmers-carry", 20, unit="metres", load="24 kg"))
    assert marked([lane(carry)], cards) == [
        (
            "",
            "Segment",
            "25 ft / 7.6 m: lines at 0, 7.62, 15.24, 20.00 m",
            None,
        )
    ]
    far = part(move("run", 400, unit="metres"))
    assert marked([lane(far)], cards)[0][2] == (
        "25 ft / 7.6 m: a line after each, to 400 m"
    )


def test_every_piece_of_the_library_is_floor_or_can_be_brought(
    cards: dict[str, Card],
) -> None:
    pieces = {piece for card in cards.values() for piece in card.equipment}
    assert {piece for piece in pieces if is_floor(piece)} == {
        "course or lane with marked lines",
        "flat floor",
        "floor that lets it slide",
        "foot mark on the floor",
        "lines on the floor",
        "tape for hand zone and heel line",
        "taped lane with a line at each segment",
        "two taped lines on the floor",
        "wall",
    }


def test_needs_stand_kind_by_kind_in_the_order_of_the_work(
    cards: dict[str, Card],
) -> None:
    row, squat = move("row"), move("front-squat", load="60 kg")
    first = lane(part(row, squat), collar="")
    assert needs_of([first], cards, {"rowing machine": 2}) == (
        Need(what="barbell", size="20 kg", each=1, shared=1),
        Need(what="disc", size="20 kg", each=2, shared=2),
        Need(what="rowing machine", size="", each=1, shared=1, lanes=2),
    )
