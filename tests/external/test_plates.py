"""Plate loading, against worked examples; the source stands beside each.

The rule itself (half of what is missing on each side, heaviest disc innermost) is
common practice; the masses of bars, collars and discs are the federations'.
"""

import pytest

from judgekit.core.plates import (
    Disc,
    Rack,
    colour_of,
    load,
    mass_kg,
    unmade_words,
    usual_discs,
)
from judgekit.core.quantity import parse
from judgekit.files.library import load_library

# Disc masses of the weightlifting federation: Technical and Competition Rules &
# Regulations, 3.3 (second-hand copy).
MASSES = ("25", "20", "15", "10", "5", "2.5", "2", "1.5", "1", "0.5")
KG = tuple(Disc(mass=parse(f"{mass} kg")) for mass in MASSES)
LB = usual_discs("lb")


def written(target: str, rack: Rack) -> list[str] | None:
    side = load(parse(target), rack).side
    return None if side is None else [disc.written for disc in side]


def test_a_red_a_yellow_and_a_small_disc_make_110_kg() -> None:
    # T. Dziepak, 1997 note on loading: one 25 (red), one 15 (yellow) and one 2.5 kg a
    # side on a bar of 25 kg with its collars.
    rack = Rack(bar=parse("20 kg"), collar=parse("2.5 kg"), discs=KG)
    side = (parse("25 kg"), parse("15 kg"), parse("2.5 kg"))
    assert mass_kg(side, rack) == 110
    assert load(parse("110 kg"), rack).side == side


@pytest.mark.parametrize(
    ("target", "bar", "side"),
    [
        # Constructed from bar, collar and disc masses of the weightlifting federation
        # (Technical and Competition Rules & Regulations, 3.3, second-hand copy).
        ("142 kg", "20 kg", ["25 kg", "25 kg", "5 kg", "2.5 kg", "1 kg"]),
        ("87 kg", "15 kg", ["25 kg", "5 kg", "2.5 kg", "1 kg"]),
        ("25 kg", "20 kg", []),
        ("101.3 kg", "20 kg", None),
    ],
)
def test_competition_bars_with_collars(
    target: str, bar: str, side: list[str] | None
) -> None:
    rack = Rack(bar=parse(bar), collar=parse("2.5 kg"), discs=KG)
    assert written(target, rack) == side


def test_the_nearest_load_below_101_3_kg_is_101_kg() -> None:
    rack = Rack(bar=parse("20 kg"), collar=parse("2.5 kg"), discs=KG)
    loading = load(parse("101.3 kg"), rack)
    assert loading.below is not None
    assert loading.above is not None
    assert (mass_kg(loading.below, rack), mass_kg(loading.above, rack)) == (
        parse("101 kg").amount,
        parse("102 kg").amount,
    )


@pytest.mark.parametrize(
    ("target", "side"),
    [
        # Common practice, no source: a bar of 45 lb without collars.
        ("65 lb", ["10 lb"]),
        ("95 lb", ["25 lb"]),
        ("135 lb", ["45 lb"]),
        ("185 lb", ["45 lb", "25 lb"]),
        ("205 lb", ["45 lb", "35 lb"]),
        ("225 lb", ["45 lb", "45 lb"]),
        ("275 lb", ["45 lb", "45 lb", "25 lb"]),
        ("315 lb", ["45 lb", "45 lb", "45 lb"]),
    ],
)
def test_bars_in_pounds(target: str, side: list[str]) -> None:
    assert written(target, Rack(bar=parse("45 lb"), discs=LB)) == side


def test_limited_stock_where_the_heaviest_first_fails() -> None:
    # Constructed: one pair of 25 and two pairs of 20; 40 kg a side needs 20 + 20.
    discs = (Disc(mass=parse("25 kg"), pairs=1), Disc(mass=parse("20 kg"), pairs=2))
    rack = Rack(bar=parse("20 kg"), discs=discs)
    assert written("100 kg", rack) == ["20 kg", "20 kg"]


def test_the_usual_set_has_every_disc_of_the_federation() -> None:
    assert set(KG) <= set(usual_discs("kg"))


@pytest.mark.parametrize(
    ("colour", "masses"),
    [
        # Weightlifting federation, Technical and Competition Rules & Regulations, 3.3
        # (second-hand copy; three stored pages agree).
        ("red", ("25 kg", "2.5 kg")),
        ("blue", ("20 kg", "2 kg")),
        ("yellow", ("15 kg", "1.5 kg")),
        ("green", ("10 kg", "1 kg")),
        ("white", ("5 kg", "0.5 kg")),
        # No discs of those rules: an older set's chrome one, and pounds.
        ("", ("1.25 kg", "45 lb", "25 lb", "10 lb")),
    ],
)
def test_a_disc_has_the_colour_of_the_rules(
    colour: str, masses: tuple[str, ...]
) -> None:
    assert [colour_of(parse(mass)) for mass in masses] == [colour] * len(masses)


def test_every_disc_of_the_federation_has_a_colour() -> None:
    assert all(colour_of(disc.mass) for disc in KG)


def test_the_bars_of_men_and_women_and_their_collars_weigh_what_the_cards_say() -> None:
    # The same rules, 3.3: bars of 20 and 15 kg, collars of 2.5 kg each.
    lifts = ("weightlifting-snatch", "weightlifting-clean-and-jerk")
    cards = load_library()
    for card in (cards[lift].card for lift in lifts):
        masses = {
            (measure.id, key): mass.written
            for measure in card.measures
            for key, mass in measure.by_key
        }
        assert masses["bar", "men"] == "20 kg"
        assert masses["bar", "women"] == "15 kg"
        assert masses["collar", "all"] == "2.5 kg"


def test_what_cannot_be_made_is_told_in_the_bars_own_unit() -> None:
    # Constructed: 45 lb and a pair of 2.5, then of 5.
    rack = Rack(bar=parse("45 lb"), discs=LB)
    assert unmade_words(load(parse("52 lb"), rack), rack) == (
        "cannot be made with these discs; nearest 50 lb (each side 2.5 lb) "
        "or 55 lb (each side 5 lb)"
    )


def test_heavier_than_all_discs_and_lighter_than_the_bar_have_one_nearest_load() -> (
    None
):
    rack = Rack(bar=parse("20 kg"), discs=(Disc(mass=parse("10 kg"), pairs=1),))
    no = "cannot be made with these discs; nearest"
    for target, near in (("80 kg", "40 kg (each side 10 kg)"), ("15 kg", _ALONE)):
        assert unmade_words(load(parse(target), rack), rack) == f"{no} {near}"


_ALONE = "20 kg (the bar alone)"
