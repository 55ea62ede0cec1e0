"""Formats: older books are lifted when read, newer ones refused, none rewritten."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import reduce
from pathlib import Path

import pytest

from judgekit.core.entry import Body, Freeze, Reading, Rule, Stop
from judgekit.core.errors import BookError
from judgekit.core.lane import empty, evolve, fold
from judgekit.core.plan import Member, PlanTeam
from judgekit.core.ruling import Percent
from judgekit.core.score import score
from judgekit.store import lift, sqlfile, sqlite
from judgekit.store.book import Header, Row, Snapshot, header_bytes
from judgekit.store.chain import first_link, link
from judgekit.store.codec import canonical, encode_entry, encode_plan, parsed, plan_hash
from judgekit.store.exchange import export, import_file
from judgekit.store.folder import read_all
from tests.store.making import (
    WALL,
    closed_book,
    entries,
    entry,
    plan,
    plan_bytes,
    tamper,
)


def as_list(value: object) -> list[object]:
    assert isinstance(value, list)
    return value


def as_table(value: object) -> dict[str, object]:
    assert isinstance(value, dict)
    return value


def older_entry(number: int) -> bytes:
    """An entry in an imagined format 0, where a rep's body was its bare number."""
    values = as_list(parsed(encode_entry(entry(number))))
    return canonical([*values[:7], 1])


def older_plan() -> bytes:
    """A plan in an imagined format 0, which did not know `repeat_ms`."""
    table = as_table(parsed(plan_bytes()))
    del table["repeat_ms"]
    return canonical(table)


def lift_entry(value: object) -> object:
    row = as_list(value)
    return [*row[:7], {"n": row[7]}]


def lift_plan(value: object) -> object:
    return as_table(value) | {"repeat_ms": 80}


def plan_of_format_2() -> bytes:
    """A plan as it was kept before sets could be reported."""
    table = as_table(parsed(plan_bytes()))
    del table["watching"]
    return canonical(table)


def plan_of_format_1() -> bytes:
    """A plan as it was kept before intervals, attempts, holds and teams."""
    table = as_table(parsed(plan_of_format_2()))
    new = ("last_lift", "body_grams", "units", "team", "disputes", "dispute_ms")
    for key in new:
        del table[key]
    for part in map(as_table, as_list(table["parts"])):
        for key in ("every_ms", "work_ms", "rest_ms", "in_turn", "until_failed"):
            del part[key]
        for key in ("score", "take", "scored"):
            del part[key]
        for move in map(as_table, as_list(part["movements"])):
            del move["rise"], move["per"]
    for tie in map(as_table, as_list(table["tiebreaks"])):
        del tie["number"]
    return canonical(table)


def test_a_plan_of_format_1_is_lifted_to_what_it_meant() -> None:
    assert lift.lift_plan(1, plan_of_format_1()) == plan_bytes()
    assert lift.lift_plan(1, plan_of_format_1()) != plan_of_format_1()


def test_a_ruling_of_format_2_answers_what_was_disputed_before_it() -> None:
    rule = Rule(effect=Percent(percent=5), why="wrong bar", answers=None)
    now = encode_entry(replace(entry(7), body=rule))
    values = as_list(parsed(now))
    del as_table(values[7])["answers"]
    assert lift.lift_entry(2, canonical(values)) == now
    # Whatever else stands in such a book is as it was.
    assert lift.lift_entry(2, encode_entry(entry(3))) == encode_entry(entry(3))


def test_members_of_a_team_of_format_2_are_shown_by_name_as_they_were() -> None:
    team = PlanTeam(members=(Member(bib="7", name="Ines Varga"),), how="relay")
    now = encode_plan(replace(plan(), team=team))
    table = as_table(parsed(now))
    for member in as_list(as_table(table["team"])["members"]):
        del as_table(member)["show"]
    assert lift.lift_plan(2, canonical(table)) == now


def test_a_plan_of_format_2_is_lifted_to_every_rep_judged() -> None:
    assert lift.lift_plan(2, plan_of_format_2()) == plan_bytes()
    assert lift.lift_plan(2, plan_of_format_2()) != plan_of_format_2()


@pytest.mark.parametrize("written", [1, 2])
def test_a_reading_of_an_older_format_had_no_reason(written: int) -> None:
    new = replace(entry(7), body=Reading(shows=15))
    row = as_list(parsed(encode_entry(new)))
    older = canonical([*row[:7], {"shows": 15}])
    assert lift.lift_entry(written, older) == encode_entry(new)
    assert lift.lift_entry(written, encode_entry(entry(8))) == encode_entry(entry(8))


LIFT = lift.Lift(entry=lift_entry, plan=lift_plan)


def broken_half_way(value: object) -> object:
    row = as_list(value)
    if row[0] == 25:
        raise KeyError("n")
    return lift_entry(value)


@pytest.fixture
def older(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A closed book of format 0 with 50 entries and a plan."""
    monkeypatch.setitem(lift.LIFTS, 0, LIFT)
    head = header_bytes(
        Header(format=0, book="b1", event="Quayside", heat="1", created=WALL)
    )
    rows: list[Row] = []
    previous = first_link(head)
    for number in range(1, 51):
        data = older_entry(number)
        previous = link(previous, data)
        rows.append(Row(number, data, previous))
    plans = ((plan_hash(older_plan()), older_plan()),)
    path = tmp_path / "b1.sqlite"
    sqlfile.build(path, Snapshot(header=head, rows=tuple(rows), plans=plans))
    return path


def test_an_older_book_reads_whole_and_stays_as_it_was(older: Path) -> None:
    before = older.read_bytes()
    book = sqlite.read(older)
    assert book.entries() == entries(50)
    assert book.plans() == {plan_hash(older_plan()): plan()}
    assert book.verify() is None
    assert older.read_bytes() == before


def test_an_older_book_is_read_with_the_others_and_moves_with_them(
    older: Path, tmp_path: Path
) -> None:
    (copy,) = read_all(older.parent)
    assert list(copy.entries) == entries(50)
    file = tmp_path / "out.jsonl"
    with file.open("w") as out:
        export([copy], out)
    import_file(file, tmp_path / "other")
    moved = sqlite.read(tmp_path / "other" / "b1.sqlite")
    assert moved.snapshot() == copy.snapshot()
    again = io.StringIO()
    export([moved], again)
    assert again.getvalue() == file.read_text()


def test_an_older_book_is_not_written_on(older: Path) -> None:
    before = older.read_bytes()
    with pytest.raises(BookError, match="written by an older judgekit"):
        sqlite.reopen(older)
    assert older.read_bytes() == before


def test_a_lift_that_fails_half_way_changes_nothing(
    older: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = older.read_bytes()
    monkeypatch.setitem(lift.LIFTS, 0, lift.Lift(entry=broken_half_way, plan=lift_plan))
    with pytest.raises(BookError, match="log b1, entry 25: it does not fit format 0"):
        sqlite.read(older).entries()
    broken = sqlite.read(older).verify()
    assert broken is not None
    assert broken.number == 25
    assert older.read_bytes() == before


def test_a_format_without_a_lift_is_refused(
    older: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delitem(lift.LIFTS, 0)
    with pytest.raises(BookError, match="format 0, which no judgekit ever wrote"):
        sqlite.read(older)


def test_a_newer_book_is_refused_and_untouched(tmp_path: Path) -> None:
    path = closed_book(tmp_path, 5)
    tamper(path, "PRAGMA user_version = 99")
    before = path.read_bytes()
    for open_it in (sqlite.read, sqlite.reopen):
        with pytest.raises(BookError, match=r"newer judgekit \(format 99.*untouched"):
            open_it(path)
    with pytest.raises(BookError, match="newer judgekit"):
        read_all(tmp_path)
    assert path.read_bytes() == before


@pytest.mark.parametrize("body", [Stop(sign="dizzy"), Freeze(why="loose rig")])
@pytest.mark.parametrize("written", [1, 2, 3])
def test_a_hold_of_an_older_format_sorts_nothing(
    written: int, body: Stop | Freeze
) -> None:
    row = as_list(parsed(encode_entry(replace(entry(7), body=body))))
    older = {key: value for key, value in as_table(row[7]).items() if key != "sorts"}
    lifted = lift.lift_entry(written, canonical([*row[:7], older]))
    assert lifted == encode_entry(replace(entry(7), body=replace(body, sorts=False)))


def test_a_scorecard_signed_in_format_3_stays_what_it_was(tmp_path: Path) -> None:
    """A rep and a set left, both made before a freeze, came to the log after it.

    That log was written by the version before holds sorted: only the rep counted.
    """
    import_file(Path(__file__).parent / "logs" / "format-3.jsonl", tmp_path)
    book = sqlite.read(tmp_path / "b1.sqlite")
    assert book.header.format == 3
    entries, [plan_then] = book.entries(), book.plans().values()
    lane = fold(plan_then, entries)
    assert lane.closed
    assert score(lane).shown == "4 of 6"
    assert not any(done.moved_on for done in lane.work.sets)
    assert lane == reduce(evolve, entries, empty(plan_then))
    # The same presses of today: the set was left before the freeze.
    now = [replace(e, body=_sorting(e.body)) for e in entries]
    assert [done.moved_on for done in fold(plan_then, now).work.sets] == [
        "cannot go on"
    ]


def _sorting(body: Body) -> Body:
    return replace(body, sorts=True) if isinstance(body, Freeze) else body
