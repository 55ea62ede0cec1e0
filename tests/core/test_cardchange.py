"""Two revisions of a standard, told apart in words."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.card import Card, Height, Substitute
from judgekit.core.cardchange import Change, changes
from judgekit.core.quantity import parse
from judgekit.files.library import load_library

CARDS = {card_id: file.card for card_id, file in load_library().items()}
BALL = CARDS["wall-ball-shot"]


def test_a_card_does_not_differ_from_itself() -> None:
    assert [changes(card, card) for card in CARDS.values()] == [()] * len(CARDS)


def test_a_changed_word_height_and_key_are_told_with_both_values() -> None:
    shallow, *others = BALL.faults
    target = BALL.criterion("target")
    assert target is not None
    lower = Height(by_key=(("men", parse("3 m")), ("women", parse("9 ft"))))
    new = replace(
        BALL,
        start="Standing tall, ball at the chest",
        faults=(replace(shallow, key="r"), *others),
        criteria=tuple(
            replace(c, height=lower) if c.id == "target" else c for c in BALL.criteria
        ),
    )
    assert [(c.what, c.before, c.after) for c in changes(BALL, new)] == [
        ("start", BALL.start, "Standing tall, ball at the chest"),
        ("criterion target, height for men", "10 ft ≈ 3.05 m", "3 m ≈ 9.8 ft"),
        ("fault shallow, key", "d", "r"),
    ]


def test_a_row_that_is_new_or_gone_is_told_once() -> None:
    new = replace(
        BALL,
        faults=BALL.faults[1:],
        substitutes=(*BALL.substitutes, Substitute(card="burpee", why="a joke")),
    )
    assert changes(BALL, new) == (
        Change(at=("fault", "shallow"), before="DEPTH", after=""),
        Change(at=("substitute", "burpee"), before="", after="a joke"),
    )


def test_a_cue_made_a_no_rep_says_so() -> None:
    cue = next(f for f in BALL.faults if f.weight == "cue")
    void = replace(cue, weight="void", breaks="depth")
    new = replace(BALL, faults=tuple(void if f is cue else f for f in BALL.faults))
    assert [(c.what, c.before, c.after) for c in changes(BALL, new)] == [
        (f"fault {cue.id}, weight", "cue only", "no rep"),
        (f"fault {cue.id}, breaks", "", "depth"),
    ]


@given(st.sampled_from(list(CARDS.values())), st.sampled_from(list(CARDS.values())))
def test_the_way_back_tells_the_same_things_turned_round(old: Card, new: Card) -> None:
    there = {(c.at, c.before, c.after) for c in changes(old, new)}
    back = {(c.at, c.after, c.before) for c in changes(new, old)}
    assert there == back
