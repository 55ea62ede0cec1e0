from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.core.entry import (
    Accept,
    Body,
    Claim,
    Correct,
    Entry,
    Extra,
    Go,
    GoOn,
    NoRep,
    Rep,
    Rule,
    TakeBack,
    Time,
)
from judgekit.core.plan import SetKey
from judgekit.core.ruling import Percent, Ref, RepsInSet
from judgekit.core.watchentry import LookEnd, Result, SetReported
from judgekit.reports.logtext import log_table, says, screen_table, wall_text


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (Rep(), ""),
        (Rep(n=5), "n 5"),
        (NoRep(faults=("shallow", "lock")), "faults shallow + lock"),
        (Correct(by=-1, said="nine said"), "by -1, said nine said"),
        (TakeBack(target=Ref("b", 12)), "target entry 12"),
        (
            Extra(target=Ref("b", 12), one_too_many=True),
            "target entry 12, one too many yes",
        ),
        (GoOn(by_mistake=False, by="dr"), "by mistake no, by dr"),
        (Claim(judge="kb", covers=(Ref("a", 3),)), "judge kb, covers entry 3 of a"),
        (
            Accept(who="judge", signed=True, covers=(Ref("a", 3), Ref("b", 1))),
            "who judge, signed yes, covers entry 3 of a + entry 1",
        ),
        (
            Rule(effect=RepsInSet(set=SetKey(1, 2, 1), by=-2), why="video"),
            "effect reps (set 1/2/1, by -2), why video",
        ),
        (
            Rule(effect=Percent(percent=15), why="bar"),
            "effect percent (percent 15), why bar",
        ),
        (Time(), ""),
        (SetReported(n=8), "n 8"),
        (LookEnd(seen=12), "seen 12"),
        (Result(unit="ms", amount=461_000), "7:41.0"),
        (Result(unit="reps", rounds=5, amount=8), "5+8"),
        (Result(unit="load", load="80 kg"), "80 kg"),
        (Go(boot="x", boot_ms=5, zero_ms=9, plans=((1, "ff"),)), ""),
        (Go(boot="x", boot_ms=5, zero_ms=9, offset_ms=2000), "offset ms 2000"),
    ],
)
def test_a_body_says_what_is_not_at_its_default(body: Body, words: str) -> None:
    assert says(body, "b") == words


@pytest.mark.parametrize(
    ("zone", "shown"),
    [
        ("UTC", "2026-07-15T07:26:00.000+00:00"),
        ("Europe/Berlin", "2026-07-15T09:26:00.000+02:00"),
        ("Asia/Tokyo", "2026-07-15T16:26:00.000+09:00"),
    ],
)
def test_a_wall_time_is_one_instant_in_every_zone(zone: str, shown: str) -> None:
    """C07: the offset is that of the entry's own time."""
    assert wall_text(1_784_100_360_000, zone) == shown


def test_a_winter_time_has_the_winter_s_offset() -> None:
    assert wall_text(1_796_108_760_001, "Europe/Berlin").endswith(".001+01:00")


def test_entries_are_rows_in_the_order_given() -> None:
    """C08: one stamp, four entries, their order kept."""
    bodies: tuple[Body, ...] = (Rep(), NoRep(), TakeBack(target=Ref("b", 2)), Rep())
    entries = [
        Entry(
            book="b",
            number=number,
            lane=1,
            at=61_500,
            wall=61_500,
            who="",
            set=SetKey(1, 1, 1),
            body=body,
        )
        for number, body in enumerate(bodies, 1)
    ]
    table = log_table("E", [("3", entry) for entry in entries])
    assert [(row[1], row[-2]) for row in table.rows] == [
        (1, "rep"),
        (2, "no-rep"),
        (3, "take-back"),
        (4, "rep"),
    ]
    assert table.rows[0] == (
        "b",
        1,
        "3",
        1,
        "1:01.500",
        61_500,
        "1970-01-01T00:01:01.500+00:00",
        None,
        "1/1/1",
        "rep",
        None,
    )


def test_an_entry_before_go_has_no_heat_time() -> None:
    entry = Entry(
        book="b",
        number=1,
        lane=None,
        at=None,
        wall=0,
        who="kb",
        set=None,
        body=Claim(judge="kb"),
    )
    (row,) = log_table("E", [("3", entry)]).rows
    assert row[3:6] == (None, None, None)
    assert row[7:] == ("kb", None, "claim", "judge kb")


def test_in_a_terminal_the_day_is_said_once_and_no_time_twice() -> None:
    first = 1_809_763_200_000
    rep = Entry(
        book="b", number=1, lane=1, at=0, wall=first, who="kb", set=None, body=Rep()
    )
    next_day = replace(rep, number=2, wall=first + 86_400_000)
    table = screen_table("Quayside", [("1", rep), ("1", next_day)], "Europe/Berlin")
    keys = [column.key for column in table.columns]
    assert "at_ms" not in keys
    assert [row[keys.index("wall")] for row in table.rows] == [
        "10:00:00.000",
        "2027-05-09 10:00:00.000+02:00",
    ]
    assert table.notes == (
        "Wall times are of 2027-05-08, +02:00 from UTC, where no day stands.",
    )
    assert screen_table("Quayside", ()).notes == ()
