"""The events beside one: which there are, who was there, and what is left out."""

from __future__ import annotations

import errno
from typing import TYPE_CHECKING

import pytest

from judgekit.core.errors import InputError
from judgekit.files.history import History, PastEvent, read_history
from judgekit.files.tables import read_people
from tests.small_event import write_event

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.core.people import Athlete

NOBODY = {"27": "", "007": "", "31": ""}


def athletes_in(event: Path) -> tuple[Athlete, ...]:
    athletes, _ = read_people(event / "people.csv", "people.csv", None)
    return athletes


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_every_event_beside_it_has_its_people_and_the_days_of_its_heats(
    tmp_path: Path,
) -> None:
    today = write_event(tmp_path / "today")
    one = write_event(tmp_path / "b-event")
    write_event(tmp_path / "a-event")
    (tmp_path / "notes").mkdir()
    write_event(tmp_path / ".trash")
    (tmp_path / "read me.txt").write_text("no event")
    change(one / "people.csv", "reach\n27,Ines Varga,women", "id\n27,Ines Varga,women")
    change(one / "people.csv", "2.10 m", "ines")
    change(one / "heats.csv", "bib,judge\n", "bib,judge,date\n")
    change(one / "heats.csv", "31,kb\n", "31,kb,2027-05-09\n")

    found = read_history(today)

    a_day = frozenset({"2027-05-08"})
    assert found == History(
        events=(
            PastEvent(
                folder=tmp_path / "a-event",
                shown=str(tmp_path / "a-event"),
                athletes=athletes_in(tmp_path / "a-event"),
                dates=a_day,
            ),
            PastEvent(
                folder=one,
                shown=str(one),
                athletes=athletes_in(one),
                dates=a_day | {"2027-05-09"},
            ),
        ),
        left_out=(),
    )
    persons = [event.persons for event in found.events]
    assert persons == [NOBODY, {"27": "ines", "007": "2.05 m", "31": "2.30 m"}]
    assert found.events[1].log == one / "log"


def test_what_was_done_needs_neither_workouts_nor_cards_of_the_past(
    tmp_path: Path,
) -> None:
    today = write_event(tmp_path / "today")
    past = write_event(tmp_path / "past")
    (past / "workouts" / "quayside.toml").write_text("not = [toml")
    assert [event.folder for event in read_history(today).events] == [past]


def test_a_folder_that_cannot_be_read_is_named_with_what_is_wrong(
    tmp_path: Path,
) -> None:
    today = write_event(tmp_path / "today")
    undated = write_event(tmp_path / "undated")
    change(undated / "event.toml", "date = 2027-05-08", 'date = "May"')
    twice = write_event(tmp_path / "twice")
    change(twice / "people.csv", "007,Zoé Marr,women", "27,Zoé Marr,women")
    change(twice / "people.csv", "31,Bo Lindt,men", "27,,men")
    only_heats = tmp_path / "only-heats"
    only_heats.mkdir()
    (only_heats / "heats.csv").write_text("heat,start\n")

    found = read_history(today)

    assert found.events == ()
    file, bib, date = (
        "there is no such file; check its name and folder",
        'rows 2 and 3 both have bib "27"; give each its own (and 2 more)',
        '"date" is "May", not a date; write it like 2027-05-08',
    )
    assert [text.replace(str(tmp_path), "") for text in found.left_out] == [
        f"/only-heats is left out: /only-heats/event.toml:1: {file}",
        f"/twice is left out: /twice/people.csv:3: {bib}",
        f"/undated is left out: /undated/event.toml:2: {date}",
    ]


def test_the_same_folder_is_read_once_whatever_it_is_called(tmp_path: Path) -> None:
    today = write_event(tmp_path / "today")
    past = write_event(tmp_path / "past")
    (tmp_path / "a-link").symlink_to(past)
    (tmp_path / "my-today").symlink_to(today)
    (tmp_path / "round").symlink_to(tmp_path / "round")
    assert [e.shown for e in read_history(today).events] == [str(tmp_path / "a-link")]
    via_link = tmp_path / "my-today"
    assert len(read_history(via_link).events) == 1


def test_another_folder_can_hold_the_past(tmp_path: Path) -> None:
    today = write_event(tmp_path / "here" / "today")
    write_event(tmp_path / "here" / "not-this")
    kept = write_event(tmp_path / "old" / "kept")
    found = read_history(today, tmp_path / "old")
    assert [event.folder for event in found.events] == [kept]
    with pytest.raises(InputError, match="nowhere:1: the folder cannot be read"):
        read_history(today, tmp_path / "nowhere")


def test_a_folder_that_may_not_be_read_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    today = write_event(tmp_path / "today")
    shut = write_event(tmp_path / "shut")
    listed = type(shut).iterdir

    def refused(folder: Path) -> Iterator[Path]:
        if folder == shut:
            raise PermissionError(errno.EACCES, "Permission denied")
        return listed(folder)

    monkeypatch.setattr(type(shut), "iterdir", refused)
    found = read_history(today)
    assert found.events == ()
    assert found.left_out == (
        f"{shut} is left out: it cannot be read, Permission denied",
    )
