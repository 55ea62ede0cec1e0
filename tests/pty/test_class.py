"""A class of twelve at one real terminal: every key counts once, in its own lane."""

from __future__ import annotations

import random
import threading
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from judgekit.core.entry import Claim, NoRep, Rep, TakeBack
from judgekit.store.folder import read_all
from tests.class_event import LANES, a_class
from tests.pty.terminal import Terminal
from tests.ui.test_arrivals import TOWPATH

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.files.folder import EventFolder

# Never set: how a hand waits between two keys.
_PACE = threading.Event()
# A minute's worth of keys at twenty a second, in bursts as a slow line delivers them.
KEYS = 1200
KEYS_PAGE = "KEYS"
LEAST, BURST = 4, 6
FLOOR = ("floor", ".", "--heat", "7")
FAULTS = {"d": "shallow", "s": "not-tall", "k": "elbow-touch"}
SIZES = ((80, 24), (40, 12), (120, 40), (100, 30), (30, 8), (60, 20))
# No guard against held keys and no second reason: each key stands for itself.
_BARE = 'repeat = "0 s"\nsecond-reason = "0 s"\n'


@dataclass
class Model:
    """What the keys come to, told once more and simply: lane, kind, fault."""

    chosen: int = 0
    page: int = 0
    done: list[tuple[int, str, str]] = field(default_factory=list)
    live: dict[int, list[int]] = field(default_factory=lambda: {n: [] for n in LANES})

    def press(self, key: str) -> None:
        if key == "\t":
            self.page = 1 - self.page
        elif key.isdecimal():
            self.chosen = self.page * 9 + int(key)
        elif key == "\x7f":
            if self.live[self.chosen]:
                self.live[self.chosen].pop()
                self.done.append((self.chosen, "take-back", ""))
        else:
            self.live[self.chosen].append(len(self.done))
            kind = "rep" if key == " " else "no-rep"
            self.done.append((self.chosen, kind, FAULTS.get(key, "")))

    def good(self, lane: int) -> int:
        return sum(self.done[at][1] == "rep" for at in self.live[lane])


def keys(chance: random.Random) -> Iterator[str]:
    """A coach's keys: lanes of both pages, reps, faults, take-backs.

    No key twice in a row, which at this pace would be a held one, and no second reason
    for a no-rep in the very millisecond of it.
    """
    page = lane = 0
    last = dict.fromkeys(LANES, "")
    while True:
        if chance.random() < 0.2:
            page = 1 - page
            yield "\t"
        others = [n for n in range(1, 4 if page else 10) if page * 9 + n != lane]
        digit = chance.choice(others)
        lane = page * 9 + digit
        yield str(digit)
        for _ in range(chance.randint(1, 4)):
            acts = " \x7f" if last[lane] in FAULTS else " " * 5 + "dsk\x7f"
            last[lane] = chance.choice(acts.replace(last[lane], "") or " ")
            yield last[lane]


def lists_keys(text: str) -> bool:
    return KEYS_PAGE in text


def lists_no_keys(text: str) -> bool:
    return KEYS_PAGE not in text


def logged(folder: EventFolder) -> list[tuple[int, str, str]]:
    """What was judged, in the order of the book."""
    [copy] = read_all(folder.log)
    return [
        (e.lane or 0, e.body.kind, *(getattr(e.body, "faults", ()) or ("",)))
        for e in copy.entries
        if isinstance(e.body, Rep | NoRep | TakeBack)
    ]


def test_a_minutes_keys_in_bursts_across_twelve_lanes_are_exact(
    tmp_path: Path,
) -> None:
    folder = a_class(tmp_path / "event", _BARE)
    chance = random.Random(20)  # noqa: S311 - the same keys every time
    hand, model, pressed = keys(chance), Model(), 0
    with Terminal(FLOOR, folder=folder.folder) as terminal:
        terminal.wait_for("a digit chooses a lane")
        while pressed < KEYS:
            stormy = chance.random() < 0.2
            if stormy:
                terminal.resize(*chance.choice(SIZES))
            burst = [next(hand) for _ in range(chance.randint(LEAST, BURST))]
            terminal.send("".join(burst))
            for key in burst:
                model.press(key)
            pressed += len(burst)
            if stormy:
                terminal.resize(80, 24)
            # Bursts that came as one would be a paste; the list of keys parts them.
            for shows in (lists_keys, lists_no_keys):
                _PACE.wait(0.01)
                terminal.send("?")
                terminal.wait_for(shows)
            _PACE.wait(0.01)
        counts = [f"{model.good(lane)}/5000" for lane in LANES]
        terminal.wait_for(
            lambda text: all(
                count in row
                for count, row in zip(counts, text.splitlines()[1:13], strict=True)
            )
        )
        terminal.send("q")
        terminal.wait_for("y closes")
        terminal.send("y")
        assert terminal.ended() == 0
    assert logged(folder) == model.done


def test_somebody_walks_into_a_class_of_one_and_the_floor_becomes_one_of_two(
    tmp_path: Path,
) -> None:
    (tmp_path / "towpath.toml").write_text(TOWPATH, encoding="utf-8")
    words = ("class", "towpath.toml", "Ana", "--judged", "--folder", "monday")
    with Terminal(words, folder=tmp_path) as terminal:
        terminal.wait_for("? keys")
        for key, shows in (
            ("g", "GO?"),
            ("y", "w recall"),
            ("w", "other athlete"),
            ("5", "somebody new"),
            ("4", "name?"),
            ("Dee\r", "Dee has lane 2"),
            ("?", "left: good"),
            ("?", lists_no_keys),
            ("q", "y closes"),
            ("y", lambda _: True),
        ):
            terminal.send(key)
            terminal.wait_for(shows)
        assert terminal.ended() == 0
    [copy] = read_all(tmp_path / "monday" / "log")
    claims = [e.lane for e in copy.entries if isinstance(e.body, Claim)]
    assert claims == [1, 2]
