"""Twenty desks on one machine, each with its own book, against twenty raw writers."""

from __future__ import annotations

import multiprocessing
import time
from contextlib import closing
from dataclasses import dataclass, replace
from statistics import median
from typing import TYPE_CHECKING

from tests.bench.append import (
    RawFile,
    bare_append,
    book_append,
    new_book,
    raw_append,
)
from tests.bench.arithmetic import Measured, percentile
from tests.bench.rows import Group, Line, Row, Setting, lines, shuffled

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from multiprocessing.queues import SimpleQueue
    from multiprocessing.synchronize import Barrier
    from pathlib import Path

_DESKS = 20
_SECONDS = 2.0
_ROUNDS = 5
_EVEN = 0.6
_ROW = Row(
    name="twenty",
    says="the slowest p99 of twenty desks against twenty raw writers' p99",
    label="p99",
    goals={"p50": 3.0},
)
_TOGETHER = Row(
    name="twenty",
    says="the p99 of all desks together against all raw writers'",
    label="p99",
    goals={"p50": None},
)
_ALONE = Row(
    name="twenty",
    says="the same of SQLite's own statements with the triggers",
    label="p99",
    goals={"p50": None},
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Crowd:
    """What twenty writers did at the same time: each one's times, and who failed."""

    times: tuple[tuple[float, ...], ...]
    failed: tuple[str, ...]

    @property
    def slowest(self) -> float:
        """The p99 of the writer that had to wait longest."""
        return max(percentile(times, 0.99) for times in self.times)

    @property
    def all(self) -> float:
        """The p99 of all writers' appends together."""
        return percentile([time for times in self.times for time in times], 0.99)

    @property
    def even(self) -> float:
        """The fewest rows of a writer over the most."""
        rows = [len(times) for times in self.times]
        return min(rows) / max(rows)


def _desk(folder: Path, number: int, append_for: float, start: Barrier) -> list[float]:
    with closing(new_book(folder, f"b{number}")) as book:
        return _for_a_while(book_append(book), append_for, start)


def _bare(folder: Path, number: int, append_for: float, start: Barrier) -> list[float]:
    with closing(new_book(folder, f"b{number}")) as book:
        return _for_a_while(bare_append(book), append_for, start)


def _raw(folder: Path, number: int, append_for: float, start: Barrier) -> list[float]:
    with RawFile(folder / f"raw-{number}") as file:
        return _for_a_while(raw_append(file), append_for, start)


def _for_a_while(
    append: Callable[[], float], seconds: float, start: Barrier
) -> list[float]:
    start.wait()
    end = time.perf_counter() + seconds
    times = [append()]
    while time.perf_counter() < end:
        times.append(append())
    return times


_WRITERS: Mapping[str, Callable[[Path, int, float, Barrier], list[float]]] = {
    "product": _desk,
    "bare": _bare,
    "floor": _raw,
    "again": _raw,
}


def _work(
    name: str,
    folder: Path,
    number: int,
    seconds: float,
    start: Barrier,
    answers: SimpleQueue[tuple[float, ...] | str],
) -> None:
    try:
        answers.put(tuple(_WRITERS[name](folder, number, seconds, start)))
    except Exception as error:  # noqa: BLE001 - whatever it is, it is told
        start.abort()
        answers.put(f"{type(error).__name__}: {error}")


def crowd(name: str, folder: Path, seconds: float) -> Crowd:
    """Twenty writers of one kind, each in a process, from the same moment on."""
    folder.mkdir(parents=True)
    context = multiprocessing.get_context("fork")
    start = context.Barrier(_DESKS)
    answers: SimpleQueue[tuple[float, ...] | str] = context.SimpleQueue()
    processes = [
        context.Process(
            target=_work, args=(name, folder, number, seconds, start, answers)
        )
        for number in range(_DESKS)
    ]
    for process in processes:
        process.start()
    told = [answers.get() for _ in processes]
    for process in processes:
        process.join()
    return Crowd(
        times=tuple(one for one in told if isinstance(one, tuple)),
        failed=tuple(one for one in told if isinstance(one, str)),
    )


def measure(_: Sequence[str], setting: Setting) -> Iterator[Line]:
    """Crowds one after the other, shuffled within each round."""
    crowds: dict[str, list[Crowd]] = {name: [] for name in _WRITERS}
    seconds = _SECONDS / 2 if setting.quick else _SECONDS
    for number in range(setting.rounds(_ROUNDS)):
        for name in shuffled(_WRITERS, setting.chance):
            folder = setting.folder / f"twenty-{number}-{name}"
            crowds[name].append(crowd(name, folder, seconds))
    desks = crowds["product"]
    failed = [says for one in desks for says in one.failed]
    if not failed:
        slowest = tuple((one.slowest,) for one in desks)
        together = {
            name: tuple((one.all,) for one in ones) for name, ones in crowds.items()
        }
        alone = together.pop("bare")
        measured = Measured(**together)
        yield from lines(_ROW, replace(measured, product=slowest))
        yield from lines(_TOGETHER, measured)
        yield from lines(_ALONE, replace(measured, product=alone))
        even = median(one.even for one in desks)
        yield Line(
            row=_ROW.name,
            says="fewest rows of a desk over most",
            stat="even",
            unit="",
            product=even,
            goal=f">= {_EVEN}",
            verdict="ok" if even >= _EVEN else "MISSED",
        )
    yield Line(
        row=_ROW.name,
        says="; ".join(failed) or "desks that failed",
        stat="fail",
        unit="",
        product=len(failed),
        goal="0",
        verdict="MISSED" if failed else "ok",
    )


GROUP = Group(names=(_ROW.name,), measure=measure)
