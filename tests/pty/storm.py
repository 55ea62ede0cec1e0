"""A kill storm: a desk in a real terminal, killed at random instants, opened again.

After each kill the log is whole, holds every judgement that was painted, and no other
than the keys sent, in their order; the desk opened again shows exactly what it holds.
"""

from __future__ import annotations

import random
import re
import time
from collections import Counter
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from itertools import cycle
from typing import TYPE_CHECKING

from judgekit.core.entry import Go, Judged, Session, Undoing
from judgekit.core.lane import evolve, fold
from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from judgekit.store.reading import read_lanes
from judgekit.store.verify import verify_folder
from judgekit.ui.views.floor import floor_view
from judgekit.ui.views.phase import Now
from judgekit.ui.widgets import parts
from judgekit.ui.widgets.row import written
from tests.pty.terminal import PATIENCE_S, Terminal
from tests.small_event import EVENT, WORKOUT, write_event

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from judgekit.core.entry import Entry
    from judgekit.core.state import Lane

FLOOR = ("floor", ".", "--heat", "1", "--lane", "1")
# One after another, these keys are fast; each for itself is slower than a held key.
SAME_KEY_S = 0.2
PACE_S = (0.01, 0.035)
_FOLDER_KILLS = 25
_RUNNING_MS = 30_000
_GOOD = (" ", "\x1b[6~", "\x1b[5~", "\x1b[H", "\x1b[F", "\x1b[2~")
_CALLS = ("1", "2", "3", "4", "d", "h")
_KEYS = '\n[keys]\ngood = ["pagedown", "pageup", "home", "end", "insert"]\n'
# What one key's entry may be: a second reason within a second, or a no-rep.
_CALLED = frozenset({"no-rep", "name-fault"})

_JUDGES = {"kb": "Kim Brandt", "mo": "Mo Oduya"}

Shown = tuple[str, ...]


@dataclass
class Tally:
    """What a storm did: kills of each kind, keys sent, entries kept, and the gaps.

    `unpainted` is the most judgements that a log held beyond the last picture,
    `unwritten` the most keys sent that had not become entries when the kill came.
    """

    seed: int
    kills: Counter[str] = field(default_factory=Counter)
    keys: int = 0
    entries: int = 0
    unpainted: int = 0
    unwritten: int = 0

    @property
    def total(self) -> int:
        """How often the desk was killed."""
        return self.kills.total()


def storm(folder: Path, kills: int, seed: int) -> Tally:
    """So many kills, in event folders made below that one.

    Raises AssertionError, naming seed and kill, at the first that loses anything.
    """
    chance = random.Random(seed)  # noqa: S311 - instants, not secrets
    tally = Tally(seed=seed)
    heat: _Heat | None = None
    while tally.total < kills:
        number = tally.total + 1
        kind = chance.choices(("keys", "write", "start", "go"), (50, 25, 15, 10))[0]
        if kind == "go":
            fresh = _Heat(
                folder / f"go-{number}" / "event", chance, tally, running=False
            )
            with _named(seed, number):
                fresh.kill_at_go()
                fresh.resumes()
        else:
            if heat is None or heat.killed == _FOLDER_KILLS:
                _last(heat, seed, number)
                heat = _Heat(
                    folder / f"heat-{number}" / "event", chance, tally, running=True
                )
            with _named(seed, number):
                heat.kill(kind)
        tally.kills[kind] += 1
    _last(heat, seed, tally.total)
    return tally


def _last(heat: _Heat | None, seed: int, number: int) -> None:
    if heat is not None:
        with _named(seed, number):
            heat.resumes()


@contextmanager
def _named(seed: int, number: int) -> Iterator[None]:
    """Whatever fails in there says how it is found again."""
    try:
        yield
    except AssertionError as error:
        error.add_note(f"storm seed {seed}, kill {number}")
        raise


class _Heat:
    """One lane's event folder, and what its log held after the last kill.

    It lies alone in a folder: beside others each Floor would look for earlier stops.
    """

    def __init__(
        self, folder: Path, chance: random.Random, tally: Tally, *, running: bool
    ) -> None:
        self.folder = folder
        self.killed = 0
        self._chance = chance
        self._tally = tally
        self._sent_at: dict[str, float] = {}
        self._goods = cycle(_GOOD)
        self._running = running
        _write(folder)
        self._event = load_event(folder)
        if running:
            clock = SystemClock()
            desk, _ = open_desk(self._event, Wish(heat="1", lanes=(1,)), clock)
            desk.call_go(boot_ms=clock.boot_ms() - _RUNNING_MS)
            desk.close()
        self._entries = self._read().entries if running else ()

    # --- kills ---

    def kill(self, kind: str) -> None:
        """A kill of that kind, in a heat that is under way."""
        if kind == "start":
            self.kill_at_start()
        else:
            self.kill_in_work(kind)

    def kill_in_work(self, kind: str) -> None:
        """Keys at a fast pace, and a kill among them or in the very write."""
        with self._terminal() as terminal:
            self._wait_resumed(terminal)
            keys = self._keys()
            for key, _ in keys:
                self._send(terminal, key)
                self._pace()
                self._wait_read(terminal, key)
            lull = 0.012 if kind == "write" else 0.06
            if kind == "write":
                key = self._good()
                keys.append((key, frozenset({"rep"})))
                self._send(terminal, key)
            time.sleep(self._chance.random() * lull)
            painted = self._kill(terminal)
        before = self._entries
        lane = self._checked([kinds for _, kinds in keys if kinds], all_kept=True)
        self._compare(lane, len(before), painted)

    def kill_at_start(self) -> None:
        """While the program is being loaded, with a judge who types already."""
        with self._terminal() as terminal:
            until = time.monotonic() + self._chance.random() * 1.2
            keys = []
            while time.monotonic() < until:
                if self._chance.random() < 0.5:
                    keys.append(frozenset({"rep"}))
                    self._send(terminal, self._good())
                self._pace()
            self._kill(terminal)
        # Before a terminal is taken over, a key may be lost; it was never painted.
        self._checked(keys, all_kept=False)

    def kill_at_go(self) -> None:
        """In the go itself, or in the countdown."""
        with self._terminal() as terminal:
            terminal.wait_for("Not started")
            terminal.send("g")
            terminal.wait_for("y starts all lanes")
            terminal.send("y")
            time.sleep(self._chance.random() * 0.25)
            painted = self._kill(terminal)
        self.killed += 1
        assert all(verify_folder(self.folder / "log"))
        lane = self._read()
        assert lane.started or "seconds to go" not in painted
        self._entries = lane.entries

    def resumes(self) -> None:
        """Opened once more, the desk shows what the log holds."""
        with self._terminal() as terminal:
            if self._running:
                self._wait_resumed(terminal)
            else:
                # A slow machine may have it open only after zero.
                under_way = ("seconds to go", "take back   ? keys")
                here = under_way if self._read().started else ("Not started",)
                terminal.wait_for(lambda text: any(words in text for words in here))
            self._kill(terminal)

    # --- keys ---

    def _keys(self) -> list[tuple[str, frozenset[str]]]:
        """Keys, and what each becomes: exactly one entry, or none for a menu's own."""
        keys: list[tuple[str, frozenset[str]]] = []
        for _ in range(self._chance.randrange(1, 6)):
            keys += self._phrase(any_yet=bool(self._judged() or keys))
        return keys

    def _phrase(self, *, any_yet: bool) -> list[tuple[str, frozenset[str]]]:
        good = [(self._good(), frozenset({"rep"}))]
        which = self._chance.randrange(10)
        if which < 5 or not any_yet:
            return good
        if which < 7:
            return [(self._chance.choice(_CALLS[:4]), _CALLED), *good]
        if which == 7:
            call = (self._chance.choice(_CALLS[:4]), _CALLED)
            return [("n", frozenset({"no-rep"})), call, *good]
        if which == 8:
            again = ("u", frozenset({"put-back"}))
            return [*good, ("\x7f", frozenset({"take-back"})), again]
        return [*good, ("m", frozenset()), ("1", frozenset({"move-on"}))]

    def _good(self) -> str:
        """The good-rep key that rested longest, so that the pace stays fast."""
        return next(self._goods)

    def _send(self, terminal: Terminal, key: str) -> None:
        rest = self._sent_at.get(key, 0.0) + SAME_KEY_S - time.monotonic()
        time.sleep(max(0.0, rest))
        self._sent_at[key] = time.monotonic()
        with suppress(OSError):
            terminal.send(key)
        self._tally.keys += 1

    def _wait_read(self, terminal: Terminal, key: str) -> None:
        """Let a busy machine read the key before the next one is sent.

        More than a few that arrive together are a paste, and a key that is read late
        seems to be held when it comes again. Neither is what is killed here.
        """
        limit = time.monotonic() + PATIENCE_S
        while not terminal.read_all() and time.monotonic() < limit:
            time.sleep(PACE_S[0])
            self._sent_at[key] = time.monotonic()

    def _pace(self) -> None:
        time.sleep(self._chance.uniform(*PACE_S))

    # --- what must hold ---

    def _terminal(self) -> Terminal:
        return Terminal(FLOOR, folder=self.folder, framed=True)

    def _kill(self, terminal: Terminal) -> str:
        terminal.process.kill()
        terminal.ended()
        return terminal.text()

    def _read(self) -> Lane:
        event = self._event
        read = read_lanes(event.log, "1", rows=event.heats, resolve=event.plan_of)
        assert read.wrong == ()
        return next(one.lane for one in read.lanes if one.number == 1)

    def _judged(self) -> list[Entry]:
        return [e for e in self._entries if isinstance(e.body, Judged)]

    def _checked(self, expected: Sequence[frozenset[str]], *, all_kept: bool) -> Lane:
        """The lane after a kill: whole, longer by the keys sent and by nothing else."""
        self.killed += 1
        assert all(verify_folder(self.folder / "log"))
        lane = self._read()
        known = len(self._entries)
        assert lane.entries[:known] == self._entries
        new = [e.body.kind for e in _made(lane.entries[known:])]
        if all_kept:
            fits = [kind in kinds for kind, kinds in zip(new, expected, strict=False)]
            assert all(fits), (new, expected)
        assert len(new) <= len(expected), (new, expected)
        self._entries = lane.entries
        self._tally.entries += len(new)
        if all_kept:
            missing = len(expected) - len(new)
            self._tally.unwritten = max(self._tally.unwritten, missing)
        return lane

    def _compare(self, lane: Lane, known: int, screen: str) -> None:
        """What was painted is the lane as it stood at some entry of this sitting."""
        states = _states(lane, known)
        here = _on_screen(screen)
        fitting = [n for n, state in enumerate(states) if state == here]
        assert fitting, f"painted, but never in the log: {here}\n{states}\n{screen}"
        behind = len(states) - 1 - fitting[-1]
        self._tally.unpainted = max(self._tally.unpainted, behind)

    def _wait_resumed(self, terminal: Terminal) -> None:
        expected = _expected(self._read())
        try:
            terminal.wait_for(lambda text: _on_screen(text) == expected)
        except AssertionError as error:
            error.add_note(f"{_on_screen(terminal.text())}, not {expected}")
            raise


def _made(entries: Sequence[Entry]) -> list[Entry]:
    return [e for e in entries if isinstance(e.body, (Judged, Undoing))]


def _states(lane: Lane, known: int) -> list[Shown]:
    """What the Floor shows after each entry from there on."""
    so_far = fold(lane.plan, lane.entries[:known])
    states = [_expected(so_far)]
    for entry in lane.entries[known:]:
        so_far = evolve(so_far, entry)
        if not isinstance(entry.body, (Session, Go)):
            states.append(_expected(so_far))
    assert so_far == fold(lane.plan, lane.entries)
    return states


def _expected(lane: Lane) -> Shown:
    """Count, target, set, no-reps and last entries, as the Floor words them."""
    at = max((e.at or 0 for e in lane.entries), default=0) + 10_000
    view = floor_view(lane, Now(heat_ms=at, judges=_JUDGES))
    return (
        str(view.done),
        view.beside,
        view.movement[-1],
        view.place[0],
        view.no_reps[0],
        written(parts.last(view, 78)).strip(),
    )


_STAMPED = re.compile(r"\d+:\d\d\.\d  ")


def _on_screen(text: str) -> Shown:
    lines = text.splitlines()
    words = [[w for w in line.split("   ") if w.strip()] for line in lines]
    bar = next((line for line in lines if line.startswith((" ■", " □"))), "")
    target = re.search(r"█ +(of \d+)", text)
    return (
        str(bar.count("■")),
        target.group(1) if target is not None else "",
        words[3][0].strip().split("  ")[0] if words[3:] and words[3] else "",
        words[1][-1].strip() if words[1:] and words[1] else "",
        words[3][-1].strip() if words[3:] and words[3] else "",
        _last_entries(lines),
    )


def _last_entries(lines: list[str]) -> str:
    """The row of the last entries: above the notice, which may take two rows."""
    above = (line.strip() for line in (lines[-3], lines[-4]))
    return next(filter(_STAMPED.match, above), lines[-3].strip())


def _write(folder: Path) -> None:
    """An event whose sets are short and whose work never ends."""
    write_event(folder)
    (folder / "event.toml").write_text(EVENT + _KEYS, encoding="utf-8")
    text = WORKOUT.replace('cap = "10:00"\n', "").replace("rounds = 2", "rounds = 400")
    text = text.replace("[3, 2]", "5").replace("reps = 2\n", "reps = 7\n")
    (folder / "workouts" / "quayside.toml").write_text(text, encoding="utf-8")
