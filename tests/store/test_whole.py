from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest

from judgekit.store.whole import write_whole

if TYPE_CHECKING:
    from pathlib import Path


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_file_is_written_and_only_on_request_over_another(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    write_whole(path, b"one", over=False)
    with pytest.raises(FileExistsError):
        write_whole(path, b"two", over=False)
    assert files(tmp_path) == {"a.csv": b"one"}
    write_whole(path, b"two", over=True)
    assert files(tmp_path) == {"a.csv": b"two"}


@pytest.mark.parametrize("links", [True, False])
def test_a_file_that_came_in_the_meantime_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    path = tmp_path / "a.csv"
    without_links(monkeypatch, links)
    monkeypatch.setattr(os, "fsync", lambda _: path.write_bytes(b"theirs"))
    with pytest.raises(FileExistsError):
        write_whole(path, b"ours", over=False)
    assert files(tmp_path) == {"a.csv": b"theirs"}


def test_a_disk_without_links_takes_a_file_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_links(monkeypatch, False)
    write_whole(tmp_path / "a.csv", b"one", over=False)
    assert files(tmp_path) == {"a.csv": b"one"}


def test_what_was_half_written_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        write_whole(tmp_path / "a.csv", b"one", over=False)
    assert files(tmp_path) == {}


def test_a_name_as_long_as_the_disk_allows_can_be_written(tmp_path: Path) -> None:
    write_whole(tmp_path / ("n" * 255), b"one", over=False)
    assert files(tmp_path) == {"n" * 255: b"one"}


def without_links(monkeypatch: pytest.MonkeyPatch, links: bool) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    if not links:
        monkeypatch.setattr(os, "link", refuse)
