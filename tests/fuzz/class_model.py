"""A second reading of the rules where sets are reported: slow, and from the whole list.

Like `model.py` it shares nothing with the program but the names of sets, acts, plans.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from judgekit.core import entry as e
from judgekit.core import press as p
from judgekit.core.plan import SetKey
from judgekit.core.watchentry import Look, Result

if TYPE_CHECKING:
    from judgekit.core.plan import Plan

_SECOND_REASON_MS, _WHY_MS = 1000, 2000


@dataclass
class Said:
    """One line of the list: what was kept, when, in which set, and if it stands."""

    number: int
    kind: str
    at: int
    set: SetKey | None = None
    amount: int = 0
    fault: str = ""
    target: int = 0
    stands: bool = True
    judged: bool = True


@dataclass
class Seen:
    """A press in a look, or a fault noticed."""

    number: int
    good: bool
    many: int
    faults: list[str] = field(default_factory=list)


@dataclass
class Looked:
    """A look: its set, how many were seen (None while open), and its presses."""

    set: SetKey | None
    seen: int | None = None
    presses: list[Seen] = field(default_factory=list)


@dataclass
class Wall:
    """What would be written on the wall after the whole list."""

    good: dict[SetKey, int] = field(default_factory=dict)
    cursor: SetKey | None = None
    looks: list[Looked] = field(default_factory=list)
    noticed: list[Seen] = field(default_factory=list)
    given: bool = False
    reported: int = 0

    @property
    def open(self) -> Looked | None:
        """The look under way."""
        return self.looks[-1] if self.looks and self.looks[-1].seen is None else None

    def seen(self, number: int) -> Seen | None:
        """The press of that line, wherever it was seen."""
        every = [*self.noticed, *(s for look in self.looks for s in look.presses)]
        return next((one for one in every if one.number == number), None)


class ClassModel:
    """The list of a lane in a class without a cap, rests or windows."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.lines: list[Said] = []
        self.undone: list[tuple[int, int]] = []

    # --- presses --------------------------------------------------------------------

    def press(self, act: p.Act, at: int) -> str:
        """Keeps what the press makes; "kept", "ignored" or "refused"."""
        if isinstance(act, p.TakeBackOne):
            return self._take_back(at)
        if isinstance(act, p.CountAgain):
            return self._count_again(at)
        if isinstance(act, p.Name):
            return self._name(act, at)
        wall = self.read()
        if wall.given and not isinstance(act, p.EndLook):
            return "refused"
        if isinstance(act, e.Rep | e.NoRep | p.Called):
            return self._see(act, at, wall)
        return self._say(act, at, wall)

    def _keep(self, kind: str, at: int, **more: object) -> str:
        number = len(self.lines) + 1
        self.lines.append(Said(number, kind, at, **more))  # type: ignore[arg-type]
        return "kept"

    def _say(self, act: p.Act, at: int, wall: Wall) -> str:
        if isinstance(act, p.ReportSet):
            return self._report(act, at, wall)
        if isinstance(act, Look):
            if wall.open or wall.cursor is None:
                return "refused"
            return self._keep("look", at, set=wall.cursor)
        if isinstance(act, p.EndLook):
            return self._end(act, at, wall)
        if isinstance(act, Result):
            return "refused" if wall.reported else self._keep("result", at)
        assert isinstance(act, e.Correct)
        return self._correct(act, at, wall)

    def _report(self, act: p.ReportSet, at: int, wall: Wall) -> str:
        key = wall.cursor
        if key is None:
            return "refused"
        target, before = self.plan.target(key), wall.good.get(key, 0)
        many = target if act.n is None else act.n
        monitor = self.plan.movement(key).unit == "calories"
        if many <= before or (many > target and not monitor):
            return "refused"
        return self._keep("report", at, set=key, amount=many)

    def _end(self, act: p.EndLook, at: int, wall: Wall) -> str:
        if wall.open is None:
            return "refused"
        pressed = sum(one.many for one in wall.open.presses)
        if act.seen is not None and act.seen < pressed:
            return "refused"
        seen = pressed if act.seen is None else act.seen
        return self._keep("end", at, set=wall.open.set, amount=seen)

    def _see(self, act: e.Rep | e.NoRep | p.Called, at: int, wall: Wall) -> str:
        if isinstance(act, p.Called) and self._is_a_reason(act, at, wall):
            return "kept"
        if isinstance(act, e.Rep):
            if wall.open is None:
                return "refused"
            return self._keep("rep", at, set=wall.open.set, amount=act.n)
        key = wall.open.set if wall.open else wall.cursor
        if key is None:
            self._keep("odd", at, judged=False)
            return "ignored"
        fault = act.fault if isinstance(act, p.Called) else ""
        return self._keep("no-rep", at, set=key, amount=1, fault=fault)

    def _is_a_reason(self, act: p.Called, at: int, wall: Wall) -> bool:
        """Whether a call is a reason for the fault just seen; then it is kept."""
        last = self._just_seen()
        if last is None:
            return False
        seen = wall.seen(last.number)
        reasons = seen.faults if seen else []
        within = _SECOND_REASON_MS if reasons else _WHY_MS
        if act.fault in reasons or not 0 <= at - last.at <= within:
            return False
        self._keep("name", at, set=last.set, target=last.number, fault=act.fault)
        return True

    def _just_seen(self) -> Said | None:
        for line in reversed(self.lines):
            if line.kind == "odd":
                continue
            if not line.stands or line.kind in ("take-back", "again"):
                return None
            if line.kind == "no-rep":
                return line
            if line.kind != "name":
                return None
        return None

    def _name(self, act: p.Name, at: int) -> str:
        found = [x for x in self.lines if x.kind == "no-rep" and x.stands]
        if not found:
            return "refused"
        seen = self.read().seen(found[-1].number)
        if seen and act.fault in seen.faults:
            return "refused"
        number = found[-1].number
        return self._keep("name", at, set=found[-1].set, target=number, fault=act.fault)

    def _correct(self, act: e.Correct, at: int, wall: Wall) -> str:
        earlier = [k for k in sorted(wall.good) if not wall.cursor or k < wall.cursor]
        for key in (wall.cursor, *earlier[-1:]):
            if key is None:
                continue
            if 0 <= wall.good.get(key, 0) + act.by <= self.plan.target(key):
                return self._keep("correct", at, set=key, amount=act.by)
        return "refused"

    def _take_back(self, at: int) -> str:
        live = [line for line in self.lines if line.judged and line.stands]
        if not live:
            return "refused"
        live[-1].stands = False
        self._keep("take-back", at, judged=False)
        self.undone.append((live[-1].number, len(self.lines)))
        return "kept"

    def _count_again(self, at: int) -> str:
        if not self.undone:
            return "refused"
        number, since = self.undone[-1]
        if any(x.judged and x.stands and x.number > since for x in self.lines):
            return "refused"
        self.undone.pop()
        self.lines[number - 1].stands = True
        return self._keep("again", at, judged=False)

    # --- the whole list read --------------------------------------------------------

    def read(self) -> Wall:
        """Everything that stands, from the first line on."""
        wall = Wall(cursor=self.plan.first_from(1))
        for line in self.lines:
            if line.judged and line.stands:
                self._take(line, wall)
        return wall

    def _take(self, line: Said, wall: Wall) -> None:
        if line.kind == "look":
            wall.looks.append(Looked(line.set))
        elif line.kind == "end" and wall.open:
            pressed = sum(one.many for one in wall.open.presses)
            wall.open.seen = max(line.amount, pressed)
        elif line.kind in ("rep", "no-rep"):
            self._take_seen(line, wall)
        elif line.kind == "name":
            seen = wall.seen(line.target)
            if seen and line.fault not in seen.faults:
                seen.faults.append(line.fault)
        elif line.kind == "result":
            wall.given, wall.cursor = True, None
            wall.good = {key: self.plan.target(key) for key in self.plan.all_sets()}
        elif line.set is not None:
            self._take_count(line, line.set, wall)

    def _take_seen(self, line: Said, wall: Wall) -> None:
        faults = [line.fault] if line.fault else []
        seen = Seen(line.number, line.kind == "rep", line.amount, faults)
        if wall.open:
            wall.open.presses.append(seen)
        elif not seen.good:
            wall.noticed.append(seen)

    def _take_count(self, line: Said, key: SetKey, wall: Wall) -> None:
        target, before = self.plan.target(key), wall.good.get(key, 0)
        if line.kind == "report":
            wall.reported += 1
            if wall.cursor is not None:
                wall.cursor = key
            good = max(before, line.amount)
        else:
            if line.amount < 0:
                wall.cursor = key
            good = before + line.amount
        wall.good[key] = min(target, max(0, good))
        if wall.good[key] == target and wall.cursor == key:
            wall.cursor = self._next(key, wall)

    def _next(self, key: SetKey, wall: Wall) -> SetKey | None:
        """The next set with work left: of this part, then of earlier ones, then on."""
        left = [
            k for k in self.plan.all_sets() if wall.good.get(k, 0) < self.plan.target(k)
        ]
        here = [k for k in left if k.part == key.part and k > key]
        back = [k for part in range(key.part, 0, -1) for k in left if k.part == part]
        on = [k for k in left if k.part > key.part]
        return next(iter([*here, *back, *on]), None)
