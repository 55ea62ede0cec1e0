"""A second reading of the rules, slow and obvious: everything from the whole list.

It shares nothing with the program but the names of sets, acts and plans. Each time it
is asked it starts from nothing and goes through every press that was kept.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from judgekit.core import entry as e
from judgekit.core import press as p
from judgekit.core.checkentry import Check
from judgekit.core.plan import SetKey

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.core.plan import Plan

_SECOND_REASON_MS, _WHY_MS, _THUMB_MS = 1000, 2000, 1000


@dataclass
class Line:
    """One line of the list: what was kept, when, for which set, and if it stands."""

    number: int
    kind: str
    at: int
    set: SetKey | None = None
    amount: int = 0
    fault: str = ""
    target: int = 0
    yes: bool = False
    stands: bool = True
    extra: bool = False
    judged: bool = True


@dataclass
class Tried:
    """An attempt: which line's, when, how many, and whether it came too soon."""

    number: int
    set: SetKey
    at: int
    many: int
    good: bool
    counts: bool = True
    soon: bool = False


@dataclass
class Board:
    """What a judge would have on paper after the whole list."""

    tried: list[Tried] = field(default_factory=list)
    good: dict[SetKey, int] = field(default_factory=dict)
    no_reps: dict[SetKey, int] = field(default_factory=dict)
    left_short: set[SetKey] = field(default_factory=set)
    touched: set[SetKey] = field(default_factory=set)
    faults: dict[int, list[str]] = field(default_factory=dict)
    dropped: dict[int, list[str]] = field(default_factory=dict)
    at_horn: list[int] = field(default_factory=list)
    cursor: SetKey | None = None
    done: bool = False

    def copy(self) -> Board:
        """The same, to go its own way."""
        return replace(
            self,
            tried=[replace(one) for one in self.tried],
            good=dict(self.good),
            no_reps=dict(self.no_reps),
            left_short=set(self.left_short),
            touched=set(self.touched),
            faults={n: list(why) for n, why in self.faults.items()},
            dropped={n: list(why) for n, why in self.dropped.items()},
            at_horn=list(self.at_horn),
        )

    def reasons(self, no_rep: int) -> list[str]:
        """Why a no-rep was none, also of one that a hold has left uncounted."""
        return self.faults.get(no_rep, self.dropped.get(no_rep, []))


@dataclass
class Reading:
    """The whole list read: `score` is frozen by a hold, `onward` goes on under it."""

    score: Board
    onward: Board
    holds: list[str]
    held: int
    withdrawn: bool


class Model:
    """The list of a lane, and what each new press makes of it."""

    def __init__(self, plan: Plan, horn: int | None) -> None:
        self.plan = plan
        self.horn = horn
        self.lines: list[Line] = []
        self.undone: list[tuple[int, int]] = []  # what, and after how many lines
        self.started = False

    # --- presses --------------------------------------------------------------------

    def press(self, act: p.Act, at: int) -> str:
        """Keeps what the press makes; "kept", "ignored", "early" or "refused"."""
        if isinstance(act, e.Stop | e.Freeze | e.GoOn | e.Unfreeze):
            return self._hold(act, at)
        if isinstance(act, p.TakeBackOne):
            return self._take_back(act, at)
        if isinstance(act, p.CountAgain):
            return self._count_again(at)
        if isinstance(act, p.Name | p.WasClose | p.AnswerHorn | p.AnswerExtra | Check):
            return self._about(act, at)
        if self.started and at < 0 and isinstance(act, e.Rep):
            self._odd(at)
            return "early"
        if not self.started or at < 0:
            return "refused"
        if isinstance(act, e.MoveOn | p.GoBack | e.Withdraw):
            return self._move(act, at)
        return self._count(act, at)

    def _keep(self, kind: str, at: int, **more: object) -> str:
        number = len(self.lines) + 1
        self.lines.append(Line(number, kind, at, **more))  # type: ignore[arg-type]
        return "kept"

    def _odd(self, at: int) -> None:
        self._keep("odd", at, judged=False)

    def _count(self, act: p.Act, at: int) -> str:
        now = self.read()
        if now.withdrawn:
            return "refused"
        if isinstance(act, e.Correct | p.Counted):
            return self._correct(act, at, now)
        key = self._set_at(at, now.onward)
        if isinstance(act, p.Called) and self._is_a_reason(act, at, now.onward):
            return "kept"
        if isinstance(act, e.Reading) and self._by_monitor(now.onward.cursor):
            key = now.onward.cursor
        if key is None:
            self._odd(at)
            return "ignored"
        if isinstance(act, e.Reading):
            return self._reading(act, at, key, now.onward)
        if isinstance(act, e.Rep):
            return self._rep(act, at, key, now.onward)
        fault = act.fault if isinstance(act, p.Called) else ""
        return self._keep("no-rep", at, set=key, fault=fault)

    def _is_a_reason(self, act: p.Called, at: int, board: Board) -> bool:
        """Whether a call is a reason for the no-rep just made; then it is kept."""
        last = self._just_no_repped()
        if last is None:
            return False
        reasons = board.reasons(last.number)
        within = _SECOND_REASON_MS if reasons else _WHY_MS
        if act.fault in reasons or not 0 <= at - last.at <= within:
            return False
        self._keep("name", at, set=last.set, target=last.number, fault=act.fault)
        return True

    def _rep(self, act: e.Rep, at: int, key: SetKey, board: Board) -> str:
        late = self.horn is not None and at > self.horn
        if self._by_monitor(key):
            if late:
                self._odd(at)
                return "ignored"
            return self._keep("reading", at, set=key, amount=self.plan.target(key))
        left = self.plan.target(key) - board.good.get(key, 0)
        if act.n > left or (late and act.n > 1):
            return "refused"
        return self._keep("rep", at, set=key, amount=act.n)

    def _reading(self, act: e.Reading, at: int, key: SetKey, board: Board) -> str:
        if not self._by_monitor(key) or act.shows < board.good.get(key, 0):
            return "refused"
        return self._keep("reading", at, set=key, amount=act.shows)

    def _correct(self, act: e.Correct | p.Counted, at: int, now: Reading) -> str:
        board = now.score
        if now.holds:
            return "refused"
        if isinstance(act, p.Counted):
            return self._counted(act, at, board)
        for key in (board.cursor, self._worked_before(board)):
            if key is None:
                continue
            good = board.good.get(key, 0)
            if 0 <= good + act.by <= self.plan.target(key):
                return self._keep("correct", at, set=key, amount=act.by)
        return "refused"

    def _counted(self, act: p.Counted, at: int, board: Board) -> str:
        """Only for the set under way, or the last one once all is done."""
        moved = act.to - board.good.get(act.set, 0)
        if act.set != (board.cursor or max(board.touched)) or not moved:
            return "refused"
        if not 0 <= act.to <= self.plan.target(act.set):
            return "refused"
        return self._keep("correct", at, set=act.set, amount=moved)

    def _move(self, act: p.Act, at: int) -> str:
        now = self.read()
        if isinstance(act, e.Withdraw):
            return "refused" if now.withdrawn else self._keep("withdraw", at)
        if isinstance(act, e.MoveOn):
            key = self._set_at(at, now.onward)
            return self._keep("move-on", at, set=key) if key else "refused"
        key = self._worked_before(now.onward)
        if key is None or now.onward.good.get(key, 0) >= self.plan.target(key):
            return "refused"
        return self._keep("back-to", at, set=key)

    def _hold(self, act: p.Act, at: int) -> str:
        holds = self.read().holds
        starts = ""
        if isinstance(act, e.Stop | e.Freeze):
            starts = "stop" if isinstance(act, e.Stop) else "freeze"
        if starts:
            if starts in holds:
                return "refused"
            return self._keep(starts, at, judged=False)
        ends = "stop" if isinstance(act, e.GoOn) else "freeze"
        if ends not in holds:
            return "refused"
        mistake = isinstance(act, e.GoOn | e.Unfreeze) and act.by_mistake
        return self._keep(f"end {ends}", at, yes=mistake, judged=False)

    # --- what points at an earlier line ---------------------------------------------

    def _live(self, *kinds: str) -> list[Line]:
        return [
            line
            for line in self.lines
            if line.judged and line.stands and (not kinds or line.kind in kinds)
        ]

    def _take_back(self, act: p.TakeBackOne, at: int) -> str:
        live = self._live()
        if act.at is not None:
            live = [line for line in live if line.at == act.at]
        elif self._stop_is_newest():
            return "refused"
        if not live:
            return "refused"
        live[-1].stands = False
        self._keep("take-back", at, judged=False)
        self.undone.append((live[-1].number, len(self.lines)))
        return "kept"

    def _extra(self, act: p.AnswerExtra, at: int) -> str:
        """Only one press that came too soon, counts, and is the newest or named."""
        done = [x for x in self.lines if x.kind not in ("odd", "extra") and not x.extra]
        pressed = done[-1:]
        if act.at is not None:
            pressed = [line for line in self.lines if line.at == act.at]
        asked = [
            tried.number
            for tried in self.read().onward.tried
            if tried.soon and tried.counts
        ]
        found = [line for line in pressed if line.stands and line.number in asked]
        if not found:
            return "refused"
        self._keep("extra", at, judged=False)
        if act.yes:
            found[-1].stands, found[-1].extra = False, True
            self.undone.append((found[-1].number, len(self.lines)))
        return "kept"

    def _count_again(self, at: int) -> str:
        if not self.undone:
            return "refused"
        number, since = self.undone[-1]
        if any(line.number > since for line in self._live()):
            return "refused"
        line = self.lines[number - 1]
        if line.kind == "rep" and line.set is not None:
            good = self.read().onward.good.get(line.set, 0)
            if good + line.amount > self.plan.target(line.set):
                return "refused"
        line.stands, line.extra = True, False
        self.undone.pop()
        return self._keep("put-back", at, judged=False)

    def _about(self, act: p.Act, at: int) -> str:
        if isinstance(act, p.AnswerExtra | Check):
            return self._said(act, at)
        if isinstance(act, p.AnswerHorn):
            waiting = self.read().onward.at_horn
            if not waiting:
                return "refused"
            return self._keep("horn", at, target=waiting[0], yes=act.counts)
        if isinstance(act, p.WasClose):
            live = self._live("rep", "no-rep", "reading")
            if act.at is not None:
                live = [line for line in live if line.at == act.at]
            return self._keep("close", at) if live else "refused"
        assert isinstance(act, p.Name)
        live = self._live("no-rep")
        if not live:
            return "refused"
        last = live[-1]
        if act.fault in self.read().onward.reasons(last.number):
            return "refused"
        return self._keep("name", at, set=last.set, target=last.number, fault=act.fault)

    def _said(self, act: p.AnswerExtra | Check, at: int) -> str:
        if isinstance(act, Check):
            return self._keep("check", at, judged=False)
        return self._extra(act, at)

    def _stop_is_newest(self) -> bool:
        if "stop" not in self.read().holds:
            return False
        stop = max(line.number for line in self.lines if line.kind == "stop")
        return all(line.number < stop for line in self._live())

    def _just_no_repped(self) -> Line | None:
        """The no-rep that nothing but its own reasons has followed."""
        for line in reversed(self.lines):
            if line.kind in ("odd", "check"):
                continue
            if not line.stands:
                return None
            if line.kind == "no-rep":
                return line
            if line.kind != "name":
                return None
        return None

    # --- sets -----------------------------------------------------------------------

    def _by_monitor(self, key: SetKey | None) -> bool:
        return key is not None and self.plan.movement(key).unit != "reps"

    def _set_at(self, at: int, board: Board) -> SetKey | None:
        if self.horn is None or at <= self.horn:
            return board.cursor
        if at > self.horn + _THUMB_MS or self._horn_is_taken():
            return None
        return board.cursor

    def _horn_is_taken(self) -> bool:
        assert self.horn is not None
        return any(line.at > self.horn for line in self._live("rep"))

    def _worked_before(self, board: Board) -> SetKey | None:
        before = [k for k in board.touched if board.cursor is None or k < board.cursor]
        return max(before, default=None)

    def _open(self, key: SetKey, board: Board) -> bool:
        full = board.good.get(key, 0) >= self.plan.target(key)
        return not full and key not in board.left_short

    def _next(self, key: SetKey, board: Board) -> SetKey | None:
        """On within the part, then what is short in it, then the parts after it."""
        onward = self._after(key, lambda k: k.part == key.part)
        for later in onward:
            if self._open(later, board):
                return later
        for part in range(key.part, 0, -1):
            if self.plan.parts[part - 1].kind == "rounds":
                for one in self.plan.all_sets():
                    if one.part == part and self._open(one, board):
                        return one
        beyond = self._after(key, lambda k: k.part > key.part)
        return next((k for k in beyond if self._open(k, board)), None)

    def _after(self, key: SetKey, wanted: Callable[[SetKey], bool]) -> list[SetKey]:
        found = []
        following = self.plan.after(key)
        for _ in range(60):
            if following is None:
                break
            if wanted(following):
                found.append(following)
            following = self.plan.after(following)
        return found

    # --- the list, from nothing -----------------------------------------------------

    def read(self) -> Reading:
        """The whole list, from its first line."""
        board = Board(cursor=self.plan.first_from(1))
        base: Board | None = None
        holds: list[str] = []
        held = 0
        dropping = False
        withdrawn = False
        for line in self.lines:
            if line.kind in ("stop", "freeze"):
                base = base or board.copy()
                holds.append(line.kind)
            elif line.kind.startswith("end "):
                holds.remove(line.kind.removeprefix("end "))
                dropping = dropping or not line.yes
                if not holds:
                    if dropping and base is not None:
                        board = self._without_held(base, board)
                    base, held, dropping = None, 0, False
            elif line.judged and line.stands:
                held += bool(holds)
                withdrawn = withdrawn or line.kind == "withdraw"
                self._take(line, board)
                if line.kind in ("horn", "name") and base is not None:
                    self._take(line, base)
        return Reading(base or board, board, holds, held, withdrawn)

    def _without_held(self, base: Board, board: Board) -> Board:
        """The board of before a hold, with what was held beside it, uncounted."""
        more = {n: f for n, f in board.faults.items() if n not in base.faults}
        base.dropped = board.dropped | more
        for tried in board.tried[len(base.tried) :]:
            tried.counts = False
            base.tried.append(tried)
        return base

    def _take(self, line: Line, board: Board) -> None:
        key = line.set
        if line.kind == "horn":
            self._answer(line, board)
        elif line.kind == "name":
            reasons = board.reasons(line.target)
            if line.target in board.faults | board.dropped:
                reasons += [line.fault] if line.fault not in reasons else []
        elif key is not None:
            self._take_in(line, key, board)

    def _answer(self, line: Line, board: Board) -> None:
        """Only a rep that waits on this board at its horn can be answered."""
        rep = self.lines[line.target - 1]
        if line.target in board.at_horn and line.yes and rep.set is not None:
            self._add(rep.set, rep.amount, board)
            for tried in board.tried:
                if tried.number == line.target and self.horn is not None:
                    tried.counts, tried.at = True, self.horn
        board.at_horn = [n for n in board.at_horn if n != line.target]

    def _take_in(self, line: Line, key: SetKey, board: Board) -> None:
        board.touched.add(key)
        if line.kind == "back-to":
            board.left_short.discard(key)
            board.cursor, board.done = key, False
        elif line.kind == "move-on":
            board.left_short.add(key)
            self._leave(key, board)
        elif line.kind == "correct":
            if line.amount < 0:
                board.cursor, board.done = key, False
            self._add(key, line.amount, board)
        else:
            if not board.done:
                board.cursor = key
            self._judge(line, key, board)

    def _judge(self, line: Line, key: SetKey, board: Board) -> None:
        late = self.horn is not None and line.at > self.horn
        tried = Tried(line.number, key, line.at, line.amount, line.kind != "no-rep")
        if line.kind == "no-rep":
            tried.many = 1
            board.no_reps[key] = board.no_reps.get(key, 0) + 1
            board.faults[line.number] = [line.fault] if line.fault else []
        elif line.kind == "reading":
            more = min(line.amount, self.plan.target(key)) - board.good.get(key, 0)
            tried.many = max(0, more)
            if late and self.horn is not None:
                tried.at = self.horn
            tried.soon = not late and self._too_soon(board.tried, tried)
            self._add(key, tried.many, board)
        else:
            tried.counts = not late
            tried.soon = self._too_soon(board.tried, tried)
            if late:
                board.at_horn.append(line.number)
            else:
                self._add(key, line.amount, board)
        board.tried.append(tried)

    # --- presses too soon -----------------------------------------------------------

    def _too_soon(self, before: list[Tried], new: Tried) -> bool:
        if not before or not before[-1].good or not new.many:
            return False
        card = self.plan.card_of(new.set)
        if self.plan.card_of(before[-1].set).id != card.id:
            slowest = card.floor_ms * new.many if new.many > 1 else 0
            soonest = max(slowest, card.changeover_ms)
        else:
            soonest = card.floor_ms * new.many
        if new.at - before[-1].at >= soonest:
            return False
        return not self._catching_up([*before, new])

    def _catching_up(self, presses: list[Tried]) -> bool:
        """Whether the pause before the burst had room for every press of it."""
        pairs = list(pairwise(presses))[:-1]
        begins = [
            n
            for n, (before, after) in enumerate(pairs)
            if self._is_pause(before, after) or self._in_its_time(before, after)
        ]
        if not begins or len(pairs) - begins[-1] > 40:
            return False
        before, after = pairs[begins[-1]]
        burst = list(pairwise(presses))[begins[-1] :]
        room = after.at - before.at >= sum(self._brisk(*pair) for pair in burst)
        return room and self._is_pause(before, after)

    def _in_its_time(self, before: Tried, after: Tried) -> bool:
        """Whether a press came as late as a rep done briskly: it begins anew."""
        return after.at - before.at >= self._brisk(before, after)

    def _is_pause(self, before: Tried, after: Tried) -> bool:
        card = self.plan.card_of(after.set)
        pause = 1.5 * card.ordinary_ms
        same = self.plan.card_of(before.set).id == card.id
        if not same or before.set.part != after.set.part:
            pause += 2 * card.changeover_ms
        return after.at - before.at > pause

    def _brisk(self, before: Tried, tried: Tried) -> int:
        card = self.plan.card_of(tried.set)
        change = self.plan.card_of(before.set).id != card.id
        reps = card.brisk_ms * tried.many
        return max(reps, card.changeover_ms) if change else reps

    def _add(self, key: SetKey, amount: int, board: Board) -> None:
        target = self.plan.target(key)
        board.good[key] = min(target, max(0, board.good.get(key, 0) + amount))
        if board.good[key] == target:
            self._leave(key, board)

    def _leave(self, key: SetKey, board: Board) -> None:
        if board.cursor == key:
            board.cursor = self._next(key, board)
            board.done = board.cursor is None
