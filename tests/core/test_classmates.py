"""Names typed for a class: who is meant, and what divisions their workout needs."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from judgekit.core.classmates import (
    Classmate,
    bearers,
    joined,
    named,
    named_twice,
    standards_in,
    strangers,
    with_persons,
)
from judgekit.core.people import Athlete
from judgekit.files.library import open_library, with_overlays
from judgekit.files.toml import loads
from judgekit.files.workoutfile import workout_from

ANA = Athlete(bib="1", name="Ana  Moor", division="women", person="ana")


def test_names_stand_between_commas_with_a_division_after_a_slash() -> None:
    assert named("Ana Moor/Women, Bo ;Cy\n, ") == (
        Classmate(name="Ana Moor", division="women"),
        Classmate(name="Bo"),
        Classmate(name="Cy"),
    )
    assert named(" , ") == ()


def test_a_name_stands_once() -> None:
    assert not named_twice(named("Ana, Bo"))
    assert named_twice(named("Ana, Bo, ANA")) == "ANA"


def test_only_a_person_with_an_id_is_an_earlier_one() -> None:
    mate = Classmate(name="ana moor")
    again = Athlete(bib="9", name="Ana Moor", division="women", person="ana")
    other = Athlete(bib="2", name="Ana Moor", division="women", person="ana-2")
    nobody = Athlete(bib="3", name="Ana Moor", division="women")
    assert bearers(mate, [ANA, again, nobody]) == (again,)
    assert bearers(mate, [ANA, other]) == (ANA, other)
    assert bearers(Classmate(name="Ana"), [ANA]) == ()


def test_an_accent_left_out_is_the_same_name() -> None:
    zoe = replace(ANA, name="Zoé Marr", person="zoe")
    other = replace(ANA, name="Zoe Marr", person="zoe-2")
    assert bearers(Classmate(name="zoe marr"), [zoe]) == (zoe,)
    assert bearers(Classmate(name="zoe marr"), [zoe, other]) == (zoe, other)
    assert strangers(named("Zoe Marr, Zoë"), [zoe]) == (Classmate(name="Zoë"),)
    assert named_twice(named("Zoé, Zoe")) == "Zoe"


def test_joining_takes_the_division_that_serves_here() -> None:
    mate = Classmate(name="Ana Moor")
    assert joined(mate, ANA, ("men", "women")) == Classmate(
        name="Ana Moor", division="women", person="ana"
    )
    assert joined(mate, ANA, ("scaled",)).division == ""
    typed = Classmate(name="Ana Moor", division="men")
    assert joined(typed, ANA, ("men", "women")).division == "men"


def test_everybody_gets_an_id_that_nobody_has() -> None:
    mates = (
        Classmate(name="Ana Moor"),
        Classmate(name="Bo", person="bo"),
        Classmate(name="Bo"),
        Classmate(name="!"),
    )
    found = with_persons(mates, {"ana-moor", "ana-moor-2"})
    assert [mate.person for mate in found] == ["ana-moor-3", "bo", "bo-2", "athlete"]


def test_a_stranger_is_nobody_who_is_there() -> None:
    assert strangers(named("ANA moor, Bo"), [ANA]) == (Classmate(name="Bo"),)


def standards(movement: str, head: str = "") -> tuple[str, ...]:
    text = (
        f'id = "w"\nname = "W"\nrevision = 1\nscore = "time"\n{head}\n'
        f"[[part]]\nrounds = 2\n[[part.movement]]\n{movement}\n"
    )
    cards = with_overlays(open_library(), Path("none"), "none")
    return standards_in(
        workout_from(loads(text.encode(), "w.toml"), "w", cards, ()), cards
    )


def test_divisions_are_needed_where_a_value_or_a_card_differs() -> None:
    assert standards('card = "air-squat"\nreps = 5') == ()
    keyed = 'card = "front-squat"\nreps = 5\nload = { hard = "60 kg", open = "40 kg" }'
    assert standards(keyed) == ("hard", "open")
    assert standards('card = "air-squat"\nreps = { a = 5, b = [4, 3] }') == ("a", "b")
    cap = 'cap = { women = "5:00", men = "4:00" }'
    assert standards('card = "air-squat"\nreps = 5', cap) == ("women", "men")
    assert set(standards('card = "wall-ball-shot"\nreps = 5')) == {"men", "women"}
    own = 'card = "wall-ball-shot"\nreps = 5\nheight = "3 m"'
    assert standards(own) == ()
