"""What keys mean on the head judge's view: which lane, which order, which ruling, why.

No screen in here, no clock and no log. Nothing is done by one key alone: an order is
given by `enter` behind its reason, a choice by its number, a ruling by `y`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from judgekit.core.disputing import number_of, unruled
from judgekit.core.entry import Dispute, Freeze, Recall, Rule, Unfreeze
from judgekit.core.errors import InputError
from judgekit.core.press import Act, Answering
from judgekit.core.ruling import RestoreAttempt, Stands, VoidAttempt
from judgekit.core.values import dataclass
from judgekit.files import tally
from judgekit.files.tally_rulings import RULINGS
from judgekit.ui.effects import Opened, Say
from judgekit.ui.keys import dead_key

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane

WORDS_MOST = 160
_DIGITS = "123456789"
# What was seen at a stop, and what was done, is written down as a note.
_NOTES = tuple(form for form in tally.GRAMMAR if form.keyword == "note")
# One for each kind of ruling.
CHOOSES = "123456789abcdefg"
NEEDS_WHY = "Say why: it stands in the log."
_FREEZE_WHY = ("equipment broke", "somebody is hurt", "floor is not clear")
_RECALL_WHY = ("false start", "clock did not start", "lane was not ready")
_RULING_WHY = ("seen by me", "seen on video", "the judge confirms it")
_NO_LANE = "There is no such lane."


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """An order to the desk of a lane, or to all of them (None)."""

    body: Freeze | Unfreeze | Recall
    lane: int | None
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruled:
    """Official words about a lane."""

    lane: int
    act: Act
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaves:
    """The head judge closes the view."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherHeat:
    """The next heat of the list."""


HeadEffect = Ordered | Ruled | Leaves | OtherHeat | Say | Opened


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A line to be typed, and what it makes once `enter` ends it.

    It begins with `begins`; `offers` are whole ones that a finger finds ready.
    """

    title: str
    made: Callable[[str], HeadEffect]
    keys: str
    begins: str = ""
    offers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """Things to choose from by their keys, and where each leads."""

    title: str
    choices: tuple[tuple[str, HeadEffect | Asked], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sure:
    """What `y` does."""

    title: str
    does: HeadEffect


class HeadKeys:
    """Which lane is chosen, and what is open: a line, a list, a question."""

    def __init__(self) -> None:
        self.lane = 0
        self.open: Asked | Chosen | Sure | None = None
        self.typed = ""
        self.emergency = False

    @property
    def types(self) -> bool:
        """Whether keys go into a text, where the same one may come twice."""
        return isinstance(self.open, Asked)

    def choose(self, lanes: Sequence[Lane]) -> Lane | None:
        """The lane that is chosen, the first if that one is not there."""
        numbers = {lane.plan.lane: lane for lane in lanes}
        if self.lane not in numbers:
            self.lane = min(numbers, default=0)
        return numbers.get(self.lane)

    def turn_to(self, lane: str) -> None:
        """Choose the lane of that number, where nothing is open about another."""
        if self.open is None:
            self.lane = int(lane)

    def offer(self, words: str) -> None:
        """Words that were ready go into the line; `enter` still ends it."""
        if self.types:
            self.typed = words

    def press(self, key: str, sign: str, lanes: Sequence[Lane]) -> HeadEffect:
        """What a key does, by its name and by the sign that it stands for."""
        if key == "escape":
            self._shut()
            return Opened()
        match self.open:
            case Asked() as asked:
                return self._type(asked, key, sign)
            case Chosen() as chosen:
                return self._pick(chosen, key)
            case Sure(does=does):
                self._shut()
                return does if key == "y" else Say(text="Nothing was done.")
            case None:
                return self._first(key, lanes)

    def _shut(self) -> None:
        self.open, self.typed, self.emergency = None, "", False

    # --- nothing is open --------------------------------------------------------------

    def _first(self, key: str, lanes: Sequence[Lane]) -> HeadEffect:
        lane = self.choose(lanes)
        if key in ("up", "down") or key in _DIGITS:
            return self._move(key, lanes)
        if key == "e":
            self.emergency = not self.emergency
            return Opened()
        if key == "tab":
            return OtherHeat()
        if key == "q":
            return self._opened(Sure(title="Close this view? y closes", does=Leaves()))
        opener = _OPENERS.get(key)
        if opener is None or lane is None:
            return Say(text=dead_key(key, "here"))
        return self._opened(opener(lane))

    def _move(self, key: str, lanes: Sequence[Lane]) -> HeadEffect:
        numbers = [lane.plan.lane for lane in lanes]
        if key in _DIGITS:
            if int(key) not in numbers:
                return Say(text=_NO_LANE)
            self.lane = int(key)
        elif numbers:
            at = numbers.index(self.lane) + (1 if key == "down" else -1)
            self.lane = numbers[at % len(numbers)]
        return Opened()

    def _opened(self, opens: Asked | Chosen | Sure | Say) -> HeadEffect:
        if isinstance(opens, Say):
            return opens
        self.open = opens
        self.typed = opens.begins if isinstance(opens, Asked) else ""
        return Opened()

    # --- something is open ------------------------------------------------------------

    def _pick(self, chosen: Chosen, key: str) -> HeadEffect:
        at = CHOOSES.find(key) if len(key) == 1 else -1
        if not 0 <= at < len(chosen.choices):
            last = CHOOSES[len(chosen.choices) - 1]
            return Say(text=f"1 to {last} choose; escape leaves it.")
        leads = chosen.choices[at][1]
        self._shut()
        return self._opened(leads) if isinstance(leads, Asked) else leads

    def _type(self, asked: Asked, key: str, sign: str) -> HeadEffect:
        if key == "backspace":
            self.typed = self.typed[:-1]
        elif key == "enter":
            made = asked.made(" ".join(self.typed.split()))
            if isinstance(made, Ruled) and asked.begins:
                return self._opened(Sure(title=f"{made.says}: y writes it", does=made))
            if not isinstance(made, Say):
                self._shut()
            return made
        elif sign and len(self.typed) < WORDS_MOST:
            self.typed += sign
        return Opened()


# --- orders --------------------------------------------------------------------------


def _freeze_all(_lane: Lane) -> Asked:
    return Asked(
        title="FREEZE all lanes: why?",
        offers=_FREEZE_WHY,
        keys="enter freezes",
        made=lambda why: Ordered(
            body=Freeze(why=why), lane=None, says="FREEZE is told to every desk."
        ),
    )


def _freeze_lane(lane: Lane) -> Asked:
    number = lane.plan.lane
    return Asked(
        title=f"FREEZE lane {number}: why?",
        offers=_FREEZE_WHY,
        keys="enter freezes",
        made=lambda why: Ordered(
            body=Freeze(why=why), lane=number, says=f"FREEZE is told to lane {number}."
        ),
    )


def _unfreeze(lane: Lane) -> Chosen:
    number = lane.plan.lane

    def order(lane_: int | None, *, mistake: bool) -> Ordered:
        says = "all lanes" if lane_ is None else f"lane {lane_}"
        return Ordered(
            body=Unfreeze(by_mistake=mistake),
            lane=lane_,
            says=f"Work goes on is told to {says}.",
        )

    return Chosen(
        title="Work goes on",
        choices=(
            (f"lane {number}: held presses do not count", order(number, mistake=False)),
            (
                f"lane {number}: a mistake, held presses count",
                order(number, mistake=True),
            ),
            ("all lanes: held presses do not count", order(None, mistake=False)),
            ("all lanes: a mistake, held presses count", order(None, mistake=True)),
        ),
    )


def _recall(_lane: Lane) -> Asked:
    return Asked(
        title="RECALL all lanes to the start: why?",
        offers=_RECALL_WHY,
        keys="enter recalls",
        made=lambda why: (
            Ordered(
                body=Recall(why=why), lane=None, says="RECALL is told to every desk."
            )
            if why
            else Say(text=NEEDS_WHY)
        ),
    )


# --- rulings -------------------------------------------------------------------------


def _ruling(lane: Lane) -> Chosen:
    number, plan = lane.plan.lane, lane.plan
    return Chosen(
        title=f"Rule on lane {number}",
        choices=tuple(
            (
                f"{form.keyword.removeprefix('rule ')}: {form.means}",
                Asked(
                    title=f"lane {number}: {form.shape}",
                    keys=f"enter, as in: {form.example}",
                    begins=f"{form.keyword} ",
                    made=lambda typed: _ruled(typed, number, plan),
                ),
            )
            for form in (*RULINGS, *_NOTES)
        ),
    )


def _ruled(typed: str, number: int, plan: Plan) -> HeadEffect:
    """The ruling of a line as tallies have it, or what is wrong with that."""
    try:
        [line] = tally.parse(f"0:00 {typed}", "ruling", plan).lines
    except InputError as error:
        wrong = error.problems[0]
        return Say(text="; ".join(said for said in (wrong.what, wrong.right) if said))
    return Ruled(lane=number, act=line.act, says=f"lane {number}: {typed}")


def _dispute(lane: Lane) -> Chosen | Say:
    """The oldest open dispute of the lane: granted as it asks, or it stands."""
    waiting = unruled(lane)
    if not waiting:
        return Say(text="Nothing is disputed in this lane.")
    dispute, number = waiting[0], number_of(lane, waiting[0].ref)
    claims = dispute.body.claims if isinstance(dispute.body, Dispute) else None

    def answer(title: str, effect: Rule) -> Asked:
        return _with_why(
            f"dispute {number}: {title}",
            lane.plan.lane,
            lambda why: Answering(
                ruling=Rule(effect=effect.effect, why=why), disputes=(number,)
            ),
        )

    stands = (
        "what was judged stands",
        answer("it stands", Rule(effect=Stands(), why="")),
    )
    if claims is None:
        by_hand: HeadEffect = Say(
            text=f"It asks for no ruling: r rules, with answers {number} in the line."
        )
        return Chosen(title=f"Dispute {number}", choices=(("granted", by_hand), stands))
    granted = "granted as asked", answer("granted", Rule(effect=claims, why=""))
    return Chosen(title=f"Dispute {number}", choices=(granted, stands))


def _horn(lane: Lane) -> Chosen | Say:
    """The oldest rep that waits at a horn."""
    if not lane.horn_asks:
        return Say(text="No rep waits at the horn in this lane.")
    target = lane.horn_asks[0]
    number = lane.plan.lane
    counts = _with_why(
        "the rep at the horn counts",
        number,
        lambda why: Rule(effect=RestoreAttempt(target=target), why=why),
    )
    late = _with_why(
        "the rep at the horn does not count",
        number,
        lambda why: Rule(effect=VoidAttempt(target=target), why=why),
    )
    return Chosen(
        title="Rep at the horn", choices=(("in time", counts), ("too late", late))
    )


def _with_why(title: str, number: int, made: Callable[[str], Act]) -> Asked:
    return Asked(
        title=f"lane {number}, {title}: why?",
        offers=_RULING_WHY,
        keys="enter rules",
        made=lambda why: (
            Ruled(lane=number, act=made(why), says=f"lane {number}: {title}")
            if why
            else Say(text=NEEDS_WHY)
        ),
    )


_OPENERS: dict[str, Callable[[Lane], Asked | Chosen | Say]] = {
    "f": _freeze_all,
    "l": _freeze_lane,
    "u": _unfreeze,
    "x": _recall,
    "r": _ruling,
    "d": _dispute,
    "h": _horn,
}
BRIEF_HINTS = (
    *("f l freeze", "u go on", "x recall", "r d h rule", "e EMERGENCY", "q close"),
)
HINTS = (
    "f freeze all",
    "l this lane",
    "u go on",
    "x recall",
    "r rule",
    "d dispute",
    "h horn",
    "e EMERGENCY",
    "arrows lane",
    "tab heat",
    "q close",
)
