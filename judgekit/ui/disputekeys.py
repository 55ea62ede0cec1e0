"""What keys mean while a score is questioned: what about, what is claimed, in words.

No screen in here, no clock and no desk. Each step is one line: `enter` goes on,
`escape` leaves it all.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from judgekit.core.disputing import may_be_questioned, reps_refusal
from judgekit.core.entry import Dispute
from judgekit.core.quantity import parse_duration, show_time
from judgekit.core.ruling import RepsInSet, RestoreAttempt, TimeBy
from judgekit.core.score import score
from judgekit.core.values import dataclass
from judgekit.review.judged import missed
from judgekit.ui.effects import Opened, Say

if TYPE_CHECKING:
    from collections.abc import Mapping

    from judgekit.core.ruling import Effect, Ref
    from judgekit.core.state import Attempt, Lane, SetDone

Step = Literal["", "about", "set", "no-rep", "time", "words", "seen"]
About = Literal["the count", "a no-rep", "the time", "something else"]

ABOUT: Mapping[str, About] = {
    "5": "the count",
    "6": "a no-rep",
    "7": "the time",
    "8": "something else",
}
# What opens it on the scorecard, and closes it again.
OPENS = "d"
_FIRST: Mapping[About, Step] = {
    "the count": "set",
    "a no-rep": "no-rep",
    "the time": "time",
    "something else": "words",
}
_WORDS_MOST = 120
# As long as "1:15:03.45".
_NUMBER_MOST = 10
_BY_ARROW = {"up": -1, "down": 1}
_NOTHING = "Scores cannot be questioned at this event."


@dataclass(frozen=True, slots=True, kw_only=True)
class Asks:
    """A dispute for the desk."""

    dispute: Dispute


DisputeEffect = Asks | Say | Opened


class DisputeKeys:
    """How far a dispute is: its step, what is typed there, and what stands before."""

    def __init__(self) -> None:
        self.close()

    def close(self) -> None:
        """Nothing is questioned."""
        self.step: Step = ""
        self.about: About = "something else"
        self.typed = ""
        self._chosen = 0
        self._words = ""
        self._claims: Effect | None = None
        self._target: Ref | None = None

    @property
    def types(self) -> bool:
        """Whether keys go into a text, where the same one may come twice."""
        return self.step in ("set", "time", "words", "seen")

    def open(self, lane: Lane) -> Say | Opened:
        """Begin, where the event lets anything be questioned."""
        if may_be_questioned(lane) == "nothing":
            return Say(text=_NOTHING)
        self.close()
        self.step = "about"
        return Opened()

    def press(self, key: str, sign: str, lane: Lane) -> DisputeEffect:
        """What a key does, by its name and by the sign it stands for, if any."""
        if key == "escape" or (key == OPENS and self.step == "about"):
            self.close()
            return Opened()
        if key in _BY_ARROW and self.step in ("set", "no-rep"):
            return self._move(_BY_ARROW[key], lane)
        match self.step:
            case "about":
                return self._choose(key, lane)
            case "set" | "time" | "no-rep":
                return self._claim(key, lane)
            case _:
                return self._write(key, sign)

    # --- what about -------------------------------------------------------------------

    def _choose(self, key: str, lane: Lane) -> DisputeEffect:
        about = ABOUT.get(key)
        if about is None:
            return Say(text="5 to 8 say what is disputed; escape leaves it.")
        refused = _refused(about, lane)
        if refused:
            return Say(text=refused)
        self.about, self.step = about, _FIRST[about]
        self._chosen = len(_choices(self.step, lane)) - 1
        return Opened()

    def _move(self, by: int, lane: Lane) -> Opened:
        many = len(_choices(self.step, lane))
        self._chosen = (self._chosen + by) % many
        self.typed = ""
        return Opened()

    # --- what is claimed --------------------------------------------------------------

    def set_done(self, lane: Lane) -> SetDone:
        """The set whose count is claimed."""
        return lane.work.sets[self._chosen % len(lane.work.sets)]

    def no_rep(self, lane: Lane) -> Attempt:
        """The no-rep that is to count."""
        found = missed(lane)
        return found[self._chosen % len(found)]

    def _claim(self, key: str, lane: Lane) -> DisputeEffect:
        if key == "enter":
            made = self._made(lane)
            if isinstance(made, str):
                return Say(text=made)
            self._claims, self.step, self.typed = made, "words", ""
        elif key == "backspace":
            self.typed = self.typed[:-1]
        elif self.step != "no-rep" and _is_of_number(key, self.step):
            self.typed = (self.typed + key)[:_NUMBER_MOST]
        return Opened()

    def _made(self, lane: Lane) -> Effect | str:
        """What is asked for, or why it is nothing that could be granted."""
        if self.step == "set":
            return _count(lane, self.set_done(lane), self.typed)
        if self.step == "time":
            return _time(_ms_of(lane), self.typed)
        self._target = self.no_rep(lane).ref
        return RestoreAttempt(target=self._target)

    # --- in words ---------------------------------------------------------------------

    def _write(self, key: str, sign: str) -> DisputeEffect:
        if key == "enter":
            return self._written()
        if key == "backspace":
            self.typed = self.typed[:-1]
        elif len(sign) == 1 and sign.isprintable():
            self.typed = (self.typed + sign)[:_WORDS_MOST]
        return Opened()

    def _written(self) -> DisputeEffect:
        typed = self.typed.strip()
        if self.step == "words":
            if not typed and self.about == "something else":
                return Say(text="Say what is disputed; escape leaves it.")
            self._words, self.step, self.typed = typed or self.about, "seen", ""
            return Opened()
        made = Dispute(
            about=self._words,
            claims=self._claims,
            target=self._target,
            evidence=typed,
        )
        self.close()
        return Asks(dispute=made)


def _refused(about: About, lane: Lane) -> str:
    """Why that cannot be questioned here, with what can; empty if it can."""
    rule = lane.plan.disputes
    kind = {"the count": "count", "a no-rep": "count", "the time": "time"}.get(about)
    if kind and rule not in ("count-and-time", kind):
        keys = "5, 6 or 8" if rule == "count" else "7 or 8"
        may = may_be_questioned(lane)
        return f"Only {may} can be questioned at this event: {keys}."
    if about == "the time" and _ms_of(lane) is None:
        return "This score is no time: 5 questions the count."
    if about == "a no-rep" and not missed(lane):
        return "There is no no-rep here: 5 questions the count."
    if about == "the count" and not lane.work.sets:
        return "Nothing was counted here: 8 says it in words."
    return ""


def _choices(step: Step, lane: Lane) -> tuple[SetDone, ...] | list[Attempt]:
    return missed(lane) if step == "no-rep" else lane.work.sets


def _is_of_number(key: str, step: Step) -> bool:
    return key.isdecimal() or (step == "time" and key in (":", "."))


def _count(lane: Lane, done: SetDone, typed: str) -> RepsInSet | str:
    if not typed:
        return "Type what the count should be; arrows choose another set."
    claimed = int(typed)
    if claimed == done.good:
        return f"{claimed} is what counts now: type what it should be."
    effect = RepsInSet(set=done.key, by=claimed - done.good)
    if reps_refusal(lane, effect):
        return f"That set holds {done.target}: type no more than that."
    return effect


def _ms_of(lane: Lane) -> int | None:
    """The score as a time; None where it is none."""
    result = score(lane)
    is_time = result.value is not None and result.unit == "ms"
    return int(result.value or 0) if is_time else None


def _time(now: int | None, typed: str) -> TimeBy | str:
    claimed = _ms_typed(typed)
    if claimed is None or now is None:
        return "Type what the time should be, as 7:38."
    if claimed == now:
        return f"{show_time(now)} is the score now: type what it should be."
    return TimeBy(by_ms=claimed - now)


def _ms_typed(typed: str) -> int | None:
    """Whole ms of "7:38.2", or of bare digits: 738 is 7:38, 11503 is 1:15:03."""
    text = typed
    if typed.isdecimal():
        pairs = (typed[:-4], typed[-4:-2] or "0", typed[-2:].zfill(2))
        text = ":".join(pairs).removeprefix(":")
    try:
        return parse_duration(text)
    except ValueError:
        return None
