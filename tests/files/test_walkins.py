"""Somebody who walks in, written into a class's lists beside other desks."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from filelock import FileLock

from judgekit.core.classmates import Classmate
from judgekit.core.errors import InputError
from judgekit.files import classrows, walkins
from judgekit.files.folder import load_event
from judgekit.files.walkins import add_walk_in, who_may_it_be
from tests.ui.test_arrivals import a_class

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.eventfolder import EventFolder

LISTS = ("people.csv", "heats.csv")


@pytest.fixture
def event(tmp_path: Path) -> EventFolder:
    return load_event(a_class(tmp_path, "Ana, Bo"))


def mate(event: EventFolder, name: str) -> Classmate:
    [who] = who_may_it_be(event, Classmate(name=name))
    return who


def lists(event: EventFolder) -> list[bytes]:
    return [(event.folder / name).read_bytes() for name in LISTS]


def test_nobody_is_taken_in_while_another_desk_writes_in_the_lists(
    event: EventFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(classrows, "PATIENCE_SECONDS", 0)
    who, before = mate(event, "Dee"), lists(event)
    with (
        FileLock(event.folder / ".lists.lock"),
        pytest.raises(InputError, match="another desk is writing"),
    ):
        add_walk_in(event, "1", who)
    assert lists(event) == before
    grown, lane = add_walk_in(event, "1", who)
    assert (lane, grown.lanes("1")[-1].bib) == (3, "3")


def test_who_cannot_come_in_takes_away_no_row_but_their_own(
    event: EventFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A row that a coach saves in between stays."""
    real = walkins.as_written
    before, who = lists(event), mate(event, "Dee")

    def later_on(folder: EventFolder) -> EventFolder:
        people = folder.folder / "people.csv"
        if b"Dee" in people.read_bytes():
            with people.open("a", encoding="utf-8") as file:
                file.write("9,Kit,nowhere,\n")
        return real(folder)

    monkeypatch.setattr(walkins, "as_written", later_on)
    with pytest.raises(InputError, match="nowhere"):
        add_walk_in(event, "1", who)
    assert lists(event) == [before[0] + b"9,Kit,nowhere,\n", before[1]]


def test_nobody_comes_in_twice_at_two_desks(event: EventFolder) -> None:
    who = mate(event, "Dee")
    add_walk_in(event, "1", who)
    before = lists(event)
    with pytest.raises(InputError, match="Dee is in this class already"):
        add_walk_in(event, "1", who)
    assert lists(event) == before
