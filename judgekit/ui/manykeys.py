"""Whose key it is on a Floor of several lanes, without Textual and a clock.

A digit chooses a lane; the choice goes eight seconds after the last key. An act without
a lane waits, with its own time, until a digit says whose it is: before that it counts
nothing. Digits after `+` are its number, with a lane and without one. STOP without a
lane freezes them all at once and then asks whose it is.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field
from typing import TYPE_CHECKING

from judgekit.core.decide import WHY_MS
from judgekit.core.values import dataclass
from judgekit.ui.actions import ALL_PAD, LANE_PAD, action, keymap, lane_keys
from judgekit.ui.keys import latin_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

CHOICE_MS = 8000
# A lane is one of nine on a page, and 0 is STOP.
PAGE = 9
_DIGITS, _ZERO = "123456789", "0"
# The first lane of two figures, and how soon the second follows the first.
TEN, NUMBER_MS = 10, 1500
TWO = 2
# What a Floor of two lanes has for the left and for the right one.
_TWO_KEYS = {
    "z": (1, "good"),
    "x": (1, "no-rep"),
    ",": (2, "good"),
    ".": (2, "no-rep"),
}
# What follows a press of its own lane's key by nature.
_OF_THE_LAST = frozenset({"take-back", "count-again", "yes"})
_ALWAYS_FOR_ALL = frozenset({"close", "keys", "freeze"})
# Before go nothing counts, but these are about one lane all the same.
_OF_A_LANE = frozenset({"reading", "more"})
NO_LANE = "came without a lane"


@dataclass(frozen=True, slots=True, kw_only=True)
class ForLane:
    """A key for one lane, and when it was pressed."""

    lane: int
    key: str
    boot_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ForAll:
    """A key that is about the desk and all of its lanes."""

    key: str
    boot_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FreezeAll:
    """STOP was pressed and no lane is chosen: all are frozen at that moment."""

    boot_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Dropped:
    """An act for which no lane was named in time."""

    key: str
    boot_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Gone:
    """A key that was a lane's own before more lanes came, and the keys `instead`."""

    key: str
    instead: str
    boot_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class NoLane:
    """A digit to which no lane of this desk belongs."""

    key: str
    boot_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """Another lane, or another page, or nothing chosen any more."""


Step = ForLane | ForAll | FreezeAll | Gone | Dropped | NoLane | Turned


@dataclass(slots=True, kw_only=True)
class Waits:
    """An act that waits for its lane, and what was typed for it until enter."""

    key: str
    boot_ms: int
    typed: list[tuple[str, int]] = field(default_factory=list)
    takes_digits: bool = False

    @property
    def words(self) -> str:
        """The key, and its number."""
        return self.key + "".join(key for key, _ in self.typed if key != "enter")

    @property
    def pressed(self) -> tuple[tuple[str, int], ...]:
        """Every key of it, with its own time."""
        return ((self.key, self.boot_ms), *self.typed)

    def type(self, key: str, boot_ms: int) -> bool:
        """A key of its number; whether it is one."""
        if not self.takes_digits:
            return False
        if key == "backspace" and self.typed:
            self.typed.pop()
        elif key == "enter" or (key.isdecimal() and (self.typed or key != "0")):
            self.typed.append((key, boot_ms))
        else:
            self.takes_digits = False
            return False
        self.takes_digits = key != "enter"
        return True


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What else decides whose a key is.

    `wanted_by` is whose open panel takes this key (0: the desk's own), `open` whether
    a panel of the chosen lane is open, `typed` whether the key goes into a text,
    `asked` whether the desk asks a question that `y` answers. `calls` says whether a
    key names a fault in any lane, and `asking` which lane asks: that one if it does,
    else the lane with the newest question. `shut`: the chosen lane takes no STOP.
    """

    started: bool
    wanted_by: int | None = None
    open: bool = False
    typed: bool = False
    shut: bool = False
    asked: bool = False
    calls: Callable[[str], bool] = lambda _key: False
    asking: Callable[[int | None], int | None] = lambda _lane: None


class ManyKeys:
    """The chosen lane, the page that digits are about, and the acts that wait."""

    def __init__(
        self, lanes: Sequence[int], extra: Iterable[tuple[str, tuple[str, ...]]] = ()
    ) -> None:
        given = tuple(extra)
        self._given = given
        self._keys = keymap(given)
        # A lane's own keys that are nobody's since a third lane came.
        self.gone: dict[str, tuple[int, str]] = {}
        self._places: dict[str, tuple[int, str]] = {}
        self.take_in(lanes)
        self._stays = False
        self._touched_ms = 0
        # When a lane was last chosen by its digit.
        self._typed_ms = -NUMBER_MS - 1
        # What the key before was for.
        self._before: str | None = None
        # The last press of a lane's own key, and the last no-rep among them.
        self._last: tuple[int, int] | None = None
        self._no_rep: tuple[int, int] | None = None
        self.page = self._pages[0]
        self.chosen: int | None = None
        self.waiting: list[Waits] = []

    def take_in(self, lanes: Sequence[int]) -> None:
        """From now on these are the lanes; the chosen one stays."""
        self._lanes = tuple(lanes)
        before, self._places = self._places, _places(self._lanes, self._given)
        gone = {**self.gone, **before}
        self.gone = {key: of for key, of in gone.items() if key not in self._places}
        self._pages = sorted({page_of(lane) for lane in self._lanes})

    def stay_with(self, lane: int) -> None:
        """Choose a lane that stays so until another is: the keys were all for it."""
        self.chosen, self.page, self._stays = lane, page_of(lane), True

    # --- what the screen asks ---------------------------------------------------------

    @property
    def pages(self) -> int:
        """How many pages of lanes there are."""
        return len(self._pages)

    @property
    def asks_stop(self) -> bool:
        """Whether a STOP waits for its lane."""
        return any(self._keys.get(one.key) == "stop" for one in self.waiting)

    @property
    def waits_for_more(self) -> bool:
        """Whether the list of what is seldom needed waits for its lane."""
        return bool(self.waiting) and self._keys.get(self.waiting[-1].key) == "more"

    @property
    def types(self) -> bool:
        """Whether digits go into a number that waits for its lane."""
        return bool(self.waiting) and self.waiting[-1].takes_digits

    @property
    def first_to_answer(self) -> int | None:
        """Whose question `y` answers before others: that of a lane just chosen."""
        return None if self._last is not None else self.chosen

    def is_stop(self, key: str) -> bool:
        """Whether the key is STOP, where no number is being typed."""
        return self._keys.get(key) == "stop"

    def may_mean_ten(self, key: str, lane: int, boot_ms: int) -> bool:
        """Whether 1 and 0 came as one number: lane 1 is stopped, and lane 10 here.

        A pad is no figure of a number, neither a lane's nor STOP.
        """
        soon = 0 <= boot_ms - self._typed_ms <= NUMBER_MS
        stops = key == _ZERO and self.is_stop(key)
        return stops and lane == 1 and soon and TEN in self._lanes

    def digit_of(self, lane: int) -> str:
        """The digit that chooses a lane on this page, empty for one of another."""
        return _DIGITS[(lane - 1) % PAGE] if page_of(lane) == self.page else ""

    def last_lane(self, boot_ms: int) -> int | None:
        """Whose press a take-back would take: that of its own key, or the chosen."""
        return self._lane_of("take-back", boot_ms)

    def place_of(self, key: str) -> int:
        """Which lane a repeat of the key would be about, 0 where none is chosen."""
        if key in self._places:
            return self._places[key][0]
        chooses = key in _DIGITS or key.startswith(LANE_PAD)
        return 0 if chooses else self.chosen or 0

    def lapse(self, boot_ms: int, *, panel: bool = False) -> tuple[Step, ...]:
        """End a choice that was left alone, and with it what waits for one.

        A STOP waits for its lane for ever, and a choice as long as its panel is open.
        """
        idle = boot_ms - self._touched_ms >= CHOICE_MS
        if not idle or panel or self.asks_stop:
            return ()
        chosen = self.chosen if self._stays else None
        if not self.waiting and (self.chosen, self.page) == (chosen, self._pages[0]):
            return ()
        self.chosen, self.page = chosen, self._pages[0]
        return (Turned(), *self._dropped())

    def choose_none(self) -> None:
        """No lane is chosen any more: the coach comes from elsewhere."""
        self.chosen = None

    # --- keys -------------------------------------------------------------------------

    def press(self, key: str, boot_ms: int, scene: Scene) -> tuple[Step, ...]:
        """What one key comes to, in order."""
        ended = self.lapse(boot_ms, panel=scene.open)
        meant = self._meant(key, scene)
        steps = self._for_all(meant, boot_ms, scene)
        self._touched_ms = max(boot_ms, self._touched_ms)
        return (*ended, *(steps or self._pressed(meant, boot_ms, scene)))

    def _for_all(self, key: str, boot_ms: int, scene: Scene) -> tuple[Step, ...]:
        """`w` twice is about all lanes, whether one is chosen or none; or its pad."""
        before, self._before = self._before, None
        if key == ALL_PAD:
            return (ForAll(key=action("more").key, boot_ms=boot_ms),)
        if scene.typed or self._keys.get(key) != "more":
            return ()
        if before != "more" or boot_ms - self._touched_ms >= CHOICE_MS:
            self._before = "more"
            return ()
        waited = self.waiting
        self.waiting = [one for one in waited if self._keys.get(one.key) != "more"]
        return (ForAll(key=key, boot_ms=boot_ms),)

    def _meant(self, key: str, scene: Scene) -> str:
        latin = latin_of(key)
        if latin is None or self._knows(key, scene) or not self._knows(latin, scene):
            return key
        return latin

    def _knows(self, key: str, scene: Scene) -> bool:
        return key in self._keys or key in self._places or scene.calls(key)

    def _pressed(self, key: str, boot_ms: int, scene: Scene) -> tuple[Step, ...]:
        # While a STOP waits, no panel takes the digit that says whose it is.
        names_lane = self.asks_stop and self._lane_named(key) is not None
        if scene.wanted_by is not None and not names_lane:
            if scene.wanted_by:
                return (ForLane(lane=scene.wanted_by, key=key, boot_ms=boot_ms),)
            return (ForAll(key=key, boot_ms=boot_ms),)
        if self.waiting and self.waiting[-1].type(key, boot_ms):
            return (Turned(),)
        lane = self._lane_named(key)
        if lane is not None:
            return self._choose(lane, key, boot_ms)
        if key == "tab" and self.pages > 1:
            return self._turn()
        if key == "escape" and (self.waiting or self.chosen is not None):
            self.chosen, self._stays = None, False
            return (Turned(), *self._dropped())
        if key in self._places:
            return (self._at_its_place(key, boot_ms, scene),)
        return self._act(key, boot_ms, scene)

    def _lane_named(self, key: str) -> int | None:
        """The lane that a digit or a pad names, whether it is at this desk or not."""
        if key in _DIGITS:
            return self.page * PAGE + int(key)
        if key.startswith(LANE_PAD):
            return int(key.removeprefix(LANE_PAD))
        return None

    def _choose(self, lane: int, key: str, boot_ms: int) -> tuple[Step, ...]:
        if lane not in self._lanes:
            # Whatever follows was meant for a lane that is not here.
            self.chosen, self._stays = None, False
            return (NoLane(key=key, boot_ms=boot_ms),)
        self.chosen, self.page, self._stays = lane, page_of(lane), False
        self._last = self._no_rep = None
        if key in _DIGITS:
            self._typed_ms = boot_ms
        waited, self.waiting = self.waiting, []
        keys = (pair for one in waited for pair in one.pressed)
        acts = (ForLane(lane=lane, key=act, boot_ms=at) for act, at in keys)
        return (Turned(), *acts)

    def _turn(self) -> tuple[Step, ...]:
        at = self._pages.index(self.page) + 1
        self.page = self._pages[at % len(self._pages)]
        return (Turned(),)

    def _at_its_place(self, key: str, boot_ms: int, scene: Scene) -> ForLane:
        lane, name = self._places[key]
        if scene.started:
            self._last = lane, boot_ms
            if name == "no-rep":
                self._no_rep = lane, boot_ms
        return ForLane(lane=lane, key=action(name).key, boot_ms=boot_ms)

    def _gone(self, key: str, boot_ms: int) -> Gone:
        lane, name = self.gone[key]
        instead = f"{self.digit_of(lane)}, then {action(name).key}"
        return Gone(key=key, instead=instead, boot_ms=boot_ms)

    def _act(self, key: str, boot_ms: int, scene: Scene) -> tuple[Step, ...]:
        name = self._keys.get(key)
        known = name is not None or scene.calls(key)
        if self._is_for_all(name, scene):
            return (ForAll(key=key, boot_ms=boot_ms),)
        if key in self.gone and not known:
            return (self._gone(key, boot_ms),)
        lane = self._lane_of(name, boot_ms)
        if name == "yes":
            lane = scene.asking(self.first_to_answer) or lane
        if name == "stop" and scene.shut:
            # Somebody else is meant, and nobody waits until it is said who.
            lane = None
        if lane is not None:
            return (ForLane(lane=lane, key=key, boot_ms=boot_ms),)
        if not known or not (scene.started or name in _OF_A_LANE):
            return (ForAll(key=key, boot_ms=boot_ms),)
        types = name == "several"
        self.waiting.append(Waits(key=key, boot_ms=boot_ms, takes_digits=types))
        return (FreezeAll(boot_ms=boot_ms),) if name == "stop" else (Turned(),)

    def _is_for_all(self, name: str | None, scene: Scene) -> bool:
        if name == "yes":
            return scene.asked
        return name in _ALWAYS_FOR_ALL or (name == "go" and not scene.started)

    def _lane_of(self, name: str | None, boot_ms: int) -> int | None:
        """Whose the act is: a reason goes where the last no-rep went."""
        if name is None and self._no_rep is not None:
            lane, at = self._no_rep
            if 0 <= boot_ms - at <= WHY_MS:
                return lane
        if name in _OF_THE_LAST and self._last is not None:
            lane, at = self._last
            if 0 <= boot_ms - at <= CHOICE_MS:
                return lane
        return self.chosen

    def _dropped(self) -> tuple[Step, ...]:
        waited, self.waiting = self.waiting, []
        return tuple(Dropped(key=one.words, boot_ms=one.boot_ms) for one in waited)


def keys_of_lanes(many: int) -> tuple[tuple[str, str], ...]:
    """What the list of keys says first on a Floor of so many lanes."""
    if many == TWO:
        return ("z x", "left: good, no rep"), (", .", "right: good, no rep")
    return (("1-9 tab", "choose a lane; page"),)


def page_of(lane: int) -> int:
    """The page a lane is on, counted from 0: lanes 1 to 9, then 10 to 18."""
    return (lane - 1) // PAGE


def _places(
    lanes: Sequence[int], extra: Iterable[tuple[str, tuple[str, ...]]]
) -> dict[str, tuple[int, str]]:
    """Keys that belong to one lane: its number, and what they do."""
    two = _TWO_KEYS if len(lanes) == TWO else {}
    found = {**lane_keys(extra), **two}
    return {
        key: (lanes[place - 1], name)
        for key, (place, name) in found.items()
        if 1 <= place <= len(lanes)
    }
