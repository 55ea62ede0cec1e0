"""Reading a book back: the cursor alone, decode and fold, the chain, a desk opened."""

from __future__ import annotations

import gc
import time
from contextlib import closing
from typing import TYPE_CHECKING

from judgekit.core.lane import fold
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.store import sqlfile, sqlite
from judgekit.store.book import links_of
from judgekit.store.collector import collector_still
from tests.bench.arithmetic import Measured
from tests.bench.heat import Shape, book_of, write_heat
from tests.bench.rows import Group, Line, Row, Setting, in_rounds, lines

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from pathlib import Path

    from tests.bench.arithmetic import Rounds

SMALL, LARGE = 10_000, 100_000
_ROUNDS, _REPS = 1000, 60
# Times are a row's, so that both sizes of book can be compared.
_ROWS: Mapping[str, tuple[Row, str, str]] = {
    "replay-10k": (
        Row(
            name="replay-10k",
            says="decode and fold of 10,000 entries against the cursor, a row",
            unit="us",
            scale=1e6,
            goals={"p50": 8.0},
        ),
        "fold",
        "cursor",
    ),
    "replay-100k": (
        Row(
            name="replay-100k",
            says="the same for 100,000 entries",
            unit="us",
            scale=1e6,
            goals={"p50": 8.0},
        ),
        "fold-large",
        "cursor-large",
    ),
    "linear": (
        Row(
            name="linear",
            says="decode and fold, a row of 100,000 against a row of 10,000",
            unit="us",
            scale=1e6,
            goals={"p50": 1.15},
        ),
        "fold-large",
        "fold",
    ),
    "verify": (
        Row(
            name="verify",
            says="chain, contents, plans of 10,000 entries against the cursor, a row",
            unit="us",
            scale=1e6,
            goals={"p50": 3.0},
        ),
        "verify",
        "cursor",
    ),
    "chain": (
        Row(
            name="chain",
            says="the chain alone: read and link 10,000 entries, a row",
            unit="us",
            scale=1e6,
            goals={"p50": None},
        ),
        "chain",
        "cursor",
    ),
    "open-100k": (
        Row(
            name="open-100k",
            says="a desk opened on 100,000 entries against the cursor over them",
            unit="s",
            scale=LARGE,
            goals={"p50": None},
        ),
        "open-large",
        "cursor-large",
    ),
}


def _cursor(path: Path) -> int:
    """The floor: every stored row fetched, one at a time, and let go.

    The same rows and columns by the same index as the product's own reading, and
    nothing done with them: neither kept, nor looked at, nor the file's head checked.
    """
    with closing(sqlfile.open_reader(path)) as connection:
        rows = connection.execute(
            "SELECT number, data, hash FROM entry ORDER BY number"
        )
        return sum(1 for _ in rows)


@collector_still()
def _fold(path: Path) -> int:
    """As the program's own readers do it, who keep the collector still meanwhile."""
    book = sqlite.read(path)
    [plan] = book.plans().values()
    return len(fold(plan, book.entries()).entries)


def _verify(path: Path) -> int:
    book = sqlite.read(path)
    if book.verify() is not None:
        raise AssertionError(f"{path} is damaged")
    return book.last


def _chain(path: Path) -> int:
    snapshot = sqlite.read(path).snapshot()
    links = links_of(snapshot)
    if any(
        row.hash != link for row, link in zip(snapshot.rows, links[1:], strict=True)
    ):
        raise AssertionError(f"{path} is damaged")
    return len(snapshot.rows)


def _open(path: Path) -> int:
    event = load_event(path.parent.parent)
    desk, _ = open_desk(event, Wish(heat="1", lanes=(1,)), SystemClock())
    seen = len(desk.lane(1).entries)
    desk.close()
    return seen


_WORKS: Mapping[str, Callable[[Path], int]] = {
    "cursor": _cursor,
    "fold": _fold,
    "verify": _verify,
    "chain": _chain,
    "open": _open,
}


def _a_row(work: Callable[[Path], int], path: Path) -> Callable[[], float]:
    """Seconds for each row; the collector starts clean and runs as it would."""

    def measured() -> float:
        gc.collect()
        began = time.perf_counter()
        many = work(path)
        return (time.perf_counter() - began) / many

    return measured


def measure(wanted: Sequence[str], setting: Setting) -> Iterator[Line]:
    """Every way of reading, in turn, on one small and one large book."""
    rows = [_ROWS[name] for name in wanted]
    names = {name for _, *both in rows for name in both}
    floors = {floor for _, _, floor in rows}
    paths: dict[str, Path] = {}
    measures: dict[str, Callable[[], float]] = {}
    for name in sorted(names | {f"{floor}'" for floor in floors}):
        work, _, size = name.removesuffix("'").partition("-")
        if size not in paths:
            many = LARGE if size else SMALL
            event = setting.folder / f"replay-{many}"
            write_heat(event, Shape(rounds=_ROUNDS, reps=_REPS, judged=many))
            paths[size] = book_of(event)
        measures[name] = _a_row(_WORKS[work], paths[size])
    found = in_rounds(measures, setting.rounds(), 1, setting.chance)
    for row, product, floor in rows:
        yield from lines(row, _measured(found, product, floor))


def _measured(found: Mapping[str, Rounds], product: str, floor: str) -> Measured:
    return Measured(
        product=found[product], floor=found[floor], again=found[f"{floor}'"]
    )


GROUP = Group(names=tuple(_ROWS), measure=measure)
