"""Which presses count: held keys, taps that came together, pastes."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from judgekit.ui.guard import (
    MOST_AT_ONCE,
    TOO_FAST,
    Guard,
    Press,
    Run,
    Verdict,
    repeat_limit_ms,
)

LIMIT = 80


def verdicts(reads: list[tuple[int, str]], guard: Guard | None = None) -> list[Verdict]:
    """What becomes of the keys of some reads: when, and one letter a key."""
    guard = guard or Guard()
    return [
        guard.press(Press(key=key, at=at, read=1.0 + n, many=len(keys)), LIMIT)
        for n, (at, keys) in enumerate(reads)
        for key in keys
    ]


def counted(times: list[int]) -> tuple[int, list[Run]]:
    """How many presses of space count, each its own read, and the runs in the end."""
    guard = Guard()
    found = [
        guard.press(Press(key="space", at=at, read=1.0 + n), LIMIT)
        for n, at in enumerate(times)
    ]
    runs = guard.ended(times[-1] + 1000, LIMIT)
    return sum(v in ("counts", "at once") for v in found), list(runs)


def test_a_space_held_for_a_second_counts_once() -> None:
    times = [33 * n for n in range(30)]
    run = Run(key="space", first_ms=33, last_ms=957, many=29)
    assert counted(times) == (1, [run])


def test_six_taps_of_a_quick_hand_count_six() -> None:
    assert counted([160 * n for n in range(6)]) == (6, [])


def test_a_key_held_for_two_seconds_counts_at_most_twice() -> None:
    times = [0, *(500 + 33 * n for n in range(50))]
    run = Run(key="space", first_ms=533, last_ms=2117, many=49)
    assert counted(times) == (2, [run])


def test_ten_presses_a_quarter_of_a_second_apart_are_ten() -> None:
    assert counted([250 * n for n in range(10)]) == (10, [])


def test_the_guard_is_each_keys_own() -> None:
    reads = [(0, "s"), (10, "d"), (200, "s"), (215, "d")]
    assert verdicts(reads) == ["counts"] * 4


def test_a_few_keys_of_one_read_count_and_are_marked() -> None:
    assert verdicts([(100, "sss")]) == ["counts", "at once", "at once"]
    assert verdicts([(100, "sdsd")]) == ["counts", *["at once"] * 3]


def test_keys_of_one_read_are_known_however_late_each_is_handled() -> None:
    guard = Guard()
    presses = [Press(key="s", at=at, read=7.0, many=3) for at in (100, 133, 166)]
    assert [guard.press(p, LIMIT) for p in presses] == ["counts", "at once", "at once"]


def test_keys_of_two_reads_are_repeats_however_close_they_are_handled() -> None:
    assert verdicts([(0, "s"), (33, "s"), (34, "s"), (35, "s")]) == [
        *("counts", "held", "held", "held")
    ]


def test_more_keys_of_one_read_than_hands_make_count_nothing_not_even_the_first() -> (
    None
):
    guard = Guard()
    assert verdicts([(100, "add  dad")], guard) == ["too fast"] * 8
    run = Run(key="a d d     d a d", first_ms=100, last_ms=100, many=8, why=TOO_FAST)
    assert guard.ended(500, LIMIT) == (run,)


def test_thirty_seven_spaces_of_one_write_count_nothing_and_are_one_run() -> None:
    guard = Guard()
    assert verdicts([(100, "s" * 37)], guard) == ["too fast"] * 37
    listed = " ".join("s" * 12) + " …"
    run = Run(key=listed, first_ms=100, last_ms=100, many=37, why=TOO_FAST)
    assert guard.ended(500, LIMIT) == (run,)


def test_a_paste_that_comes_byte_by_byte_ends_after_four() -> None:
    reads = [(100 + n, key) for n, key in enumerate("addedada")]
    assert verdicts(reads) == [
        *("counts", "at once", "at once", "at once"),
        *["too fast"] * 4,
    ]


def test_two_pastes_are_two_runs() -> None:
    guard = Guard()
    verdicts([(100, "abcde"), (2000, "edcba")], guard)
    assert [(run.key, run.many) for run in guard.ended(3000, LIMIT)] == [
        ("a b c d e", 5),
        ("e d c b a", 5),
    ]


def test_what_a_held_key_did_while_the_line_stood_counts_nothing() -> None:
    reads = [(0, "s"), (33, "s"), (66, "sss"), (900, "s" * 25), (933, "s")]
    assert verdicts(reads) == ["counts", *["held"] * 4, *["too fast"] * 25, "held"]


def test_a_key_held_on_a_line_that_bundles_counts_its_first_bundle_only() -> None:
    reads = [(0, "s"), *((600 + 100 * n, "sss") for n in range(10)), (1620, "s")]
    guard = Guard()
    found = verdicts(reads, guard)
    assert found == ["counts", "counts", "at once", "at once", *["held"] * 28]
    assert guard.ended(1800, LIMIT) == (
        Run(key="s", first_ms=700, last_ms=1620, many=28),
    )


def test_two_bundles_of_different_keys_are_taps() -> None:
    assert "held" not in verdicts([(0, "sd"), (200, "sd"), (400, "ds")])


def test_a_run_is_told_once_and_only_when_it_has_ended() -> None:
    guard = Guard()
    for n, at in enumerate((0, 33, 66)):
        guard.press(Press(key="space", at=at, read=1.0 + n), LIMIT)
    assert (guard.ended(100, LIMIT), guard.waiting) == ((), True)
    run = Run(key="space", first_ms=33, last_ms=66, many=2)
    assert (guard.ended(147, LIMIT), guard.waiting) == ((run,), False)
    assert guard.ended(500, LIMIT) == ()


def test_a_new_press_ends_the_run_before_it() -> None:
    guard = Guard()
    for n, at in enumerate((0, 33, 200)):
        guard.press(Press(key="space", at=at, read=1.0 + n), LIMIT)
    run = Run(key="space", first_ms=33, last_ms=33, many=1)
    assert guard.ended(200, LIMIT) == (run,)


def test_a_card_with_quick_reps_has_a_shorter_guard() -> None:
    limits = [repeat_limit_ms(80, floor) for floor in (0, 1200, 160, 120, 60)]
    assert limits == [80, 80, 80, 60, 30]


@given(
    st.lists(
        st.tuples(st.integers(0, 500), st.text("sdk", min_size=1, max_size=9)),
        min_size=1,
        max_size=40,
    )
)
def test_every_press_counts_or_is_in_one_run(
    gaps: list[tuple[int, str]],
) -> None:
    guard = Guard()
    at, many, told = 0, 0, 0
    for n, (gap, keys) in enumerate(gaps):
        at += gap
        for key in keys:
            press = Press(key=key, at=at, read=1.0 + n, many=len(keys))
            verdict = guard.press(press, LIMIT)
            many += verdict in ("counts", "at once")
            assert verdict not in ("counts", "at once") or len(keys) <= MOST_AT_ONCE
            told += sum(run.many for run in guard.ended(at, LIMIT))
    told += sum(run.many for run in guard.ended(at + 1000, LIMIT))
    assert (many + told, guard.waiting) == (sum(len(keys) for _, keys in gaps), False)


def test_a_key_for_another_lane_is_no_repeat_and_one_between_others_no_held_one() -> (
    None
):
    guard = Guard(most=8)
    spaces = [
        Press(key="space", at=1000, place=4),
        Press(key="space", at=1040, place=5),
    ]
    assert [guard.press(press, 80) for press in spaces] == ["counts", "counts"]
    # A slow line hands over "4 space 4 d", and soon after it the same lane once more.
    bundle = ("4", "space", "4", "d")
    first = [Press(key=key, at=2000, read=2.0, many=4) for key in bundle]
    again = [Press(key=key, at=2200, read=2.2, many=4) for key in bundle]
    assert [guard.press(press, 80) for press in (*first, *again)] == ["counts"] + [
        "at once"
    ] * 3 + ["counts"] + ["at once"] * 3
