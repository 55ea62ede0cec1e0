"""The collector rests while logs are read, whoever reads, and goes on afterwards."""

from __future__ import annotations

import gc
import threading
from contextlib import suppress
from typing import TYPE_CHECKING

import pytest

from judgekit.store.collector import collector_still

if TYPE_CHECKING:
    from collections.abc import Iterator


@pytest.fixture(autouse=True)
def _on_afterwards() -> Iterator[None]:
    yield
    gc.enable()


def test_it_rests_inside_and_goes_on_after_the_outermost_whatever_is_raised() -> None:
    with suppress(KeyError), collector_still():
        with collector_still():
            assert not gc.isenabled()
        assert not gc.isenabled()
        raise KeyError
    assert gc.isenabled()


def test_one_that_was_off_stays_off() -> None:
    gc.disable()
    with collector_still():
        pass
    assert not gc.isenabled()


def test_the_last_thread_out_lets_it_go_on() -> None:
    inside, leave = threading.Event(), threading.Event()

    def reads() -> None:
        with collector_still():
            inside.set()
            leave.wait()

    thread = threading.Thread(target=reads)
    with collector_still():
        thread.start()
        inside.wait()
    assert not gc.isenabled()
    leave.set()
    thread.join()
    assert gc.isenabled()


def test_what_was_made_inside_is_old_and_not_looked_through_at_once() -> None:
    made: list[list[list[int]]] = []
    with collector_still():
        made.append([[] for _ in range(5000)])
    assert any(one is made[0] for one in gc.get_objects(generation=2))


def test_what_a_screen_has_put_away_stays_away() -> None:
    gc.freeze()
    try:
        away = gc.get_freeze_count()
        with collector_still():
            made: list[list[int]] = [[]]
        assert gc.get_freeze_count() == away
        assert not any(one is made for one in gc.get_objects(generation=2))
    finally:
        gc.unfreeze()
