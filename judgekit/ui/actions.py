"""The one table of what a judge can do: its name, its keys, and its words.

The Floor, the key trial, the list of keys and the check of an event's `[keys]` all
read this table; nothing else binds a key.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

# "heat": while the clock runs; before go the key only says what it would do.
When = Literal["always", "heat"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """One thing a judge can do. `big` is shown in large letters in the key trial.

    `key` is the name of its own key, `short` what the list of keys says, `says` what
    a press does.
    """

    name: str
    key: str
    when: When
    short: str
    big: tuple[str, ...]
    says: str


ACTIONS: tuple[Action, ...] = (
    Action(
        name="good",
        key="space",
        when="heat",
        short="good rep",
        big=("GOOD", "REP"),
        says="adds one to the count",
    ),
    Action(
        name="no-rep",
        key="n",
        when="heat",
        short="no rep, why next",
        big=("NO REP", "WHY?"),
        says="a no-rep; the next fault key gives its reason",
    ),
    Action(
        name="take-back",
        key="backspace",
        when="heat",
        short="take back the last",
        big=("TAKE", "BACK"),
        says="undoes the last press",
    ),
    Action(
        name="count-again",
        key="u",
        when="heat",
        short="count it again",
        big=("COUNT", "AGAIN"),
        says="counts again what was undone last",
    ),
    Action(
        name="stop",
        key="0",
        when="heat",
        short="STOP, unsafe",
        big=("STOP",),
        says="the athlete is unsafe: freezes the score at once",
    ),
    Action(
        name="go",
        key="g",
        when="always",
        short="then y: go; go on",
        big=("GO",),
        says="then y starts the clock; after STOP: it was a mistake, go on",
    ),
    Action(
        name="move-on",
        key="m",
        when="heat",
        short="move on, set short",
        big=("MOVE", "ON"),
        says="leaves this set short, with a reason",
    ),
    Action(
        name="back-to",
        key="b",
        when="heat",
        short="back a set",
        big=("BACK", "A SET"),
        says="goes back to the set before, with a reason",
    ),
    Action(
        name="freeze",
        key="f",
        when="heat",
        short="freeze all lanes",
        big=("FREEZE",),
        says="holds the count of every lane here; the clock goes on",
    ),
    Action(
        name="reading",
        key="enter",
        when="heat",
        short="lane check; monitor",
        big=("TYPE", "NUMBER"),
        says="types what the machine's monitor shows",
    ),
    Action(
        name="several",
        key="+",
        when="heat",
        short="reps at once",
        big=("REPS", "+10"),
        says="then enter: ten good reps at once, or as many as you type",
    ),
    Action(
        name="look",
        key="*",
        when="heat",
        short="look, where sets are reported",
        big=("LOOK",),
        says="where sets are reported: you watch rep by rep until * again",
    ),
    Action(
        name="more",
        key="w",
        when="always",
        short="who, absent, more",
        big=("MORE",),
        says="who judges, who is in the lane, withdraw, recall and more",
    ),
    Action(
        name="log",
        key="l",
        when="heat",
        short="the log",
        big=("THE", "LOG"),
        says="lists the last entries: name a reason, or undo an older one",
    ),
    Action(
        name="yes",
        key="y",
        when="heat",
        short="yes; one too many",
        big=("YES",),
        says="answers what is asked: go after g, or one too many",
    ),
    Action(
        name="keys",
        key="?",
        when="always",
        short="these keys",
        big=("KEYS",),
        says="lists every key",
    ),
    Action(
        name="close",
        key="q",
        when="always",
        short="then y: close desk",
        big=("CLOSE",),
        says="then y closes the desk; the heat can be opened again",
    ),
)

# STOP's pad means STOP where a 0 is a digit of a number.
STOP_PAD = "stop pad"
PAD_KEYS = (("stop", (STOP_PAD,)),)
# What begins the key of a lane's own pad: its number follows.
LANE_PAD = "lane pad "
# The pad of what is about all lanes, which `w` twice is on a keyboard.
ALL_PAD = "all lanes pad"

ACTION_NAMES: frozenset[str] = frozenset(action.name for action in ACTIONS)

# What a key of one lane may do: a panel's digits would choose another lane of several.
_OF_ONE_LANE = frozenset({"good", "no-rep", "take-back", "count-again", "stop", "yes"})
# What an event's `[keys]` may name; what one lane may have a key for begins with a dot.
NAMES_IN_KEYS: frozenset[str] = ACTION_NAMES | {f".{name}" for name in _OF_ONE_LANE}

# A finger that misses STOP must not judge anything.
BESIDE_STOP: frozenset[str] = frozenset("9-op")

_BY_NAME = {action.name: action for action in ACTIONS}


def action(name: str) -> Action:
    """The action of that name; KeyError if there is none."""
    return _BY_NAME[name]


def keymap(extra: Iterable[tuple[str, tuple[str, ...]]] = ()) -> Mapping[str, str]:
    """Key name -> action name: an event's extra keys, then every action's own key.

    `extra` is the event's `[keys]`. An action's own key cannot be taken away, and
    the neighbours of STOP stay dead; names for one lane of several ("1.good") are
    `lane_keys`.
    """
    keys = {
        key.casefold(): name
        for name, more in extra
        if name in ACTION_NAMES
        for key in more
        if key.casefold() not in BESIDE_STOP
    }
    return keys | {known.key: known.name for known in ACTIONS}


def lane_keys(
    extra: Iterable[tuple[str, tuple[str, ...]]],
) -> Mapping[str, tuple[int, str]]:
    """Key name -> (place, action name), for "1.good": the first lane of the desk."""
    named = ((*name.partition("."), more) for name, more in extra)
    return {
        key.casefold(): (int(place), name)
        for place, _, name, more in named
        if place.isdecimal() and name in _OF_ONE_LANE
        for key in more
        if key.casefold() not in BESIDE_STOP
    }
