"""A second reading of the rules, slow and obvious: everything from the whole list.

It shares nothing with the program but the names of sets, acts and plans. Each time it
is asked it starts from nothing and goes through every press that was kept.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from judgekit.core import entry as e
from judgekit.core import press as p
from judgekit.core.checkentry import Check
from judgekit.core.plan import OPEN, SetKey
from judgekit.core.quantity import parse
from judgekit.core.tryentry import Bar, HoldOff, HoldOn, Works
from tests.fuzz.hours import Hours, by_work
from tests.fuzz.tempo import Tempo, Tried

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.core.plan import Plan

_SECOND_REASON_MS, _WHY_MS = 1000, 2000


@dataclass
class Line:
    """One line of the list: what was kept, when, for which set, and if it stands."""

    number: int
    kind: str
    at: int
    set: SetKey | None = None
    amount: int = 0
    fault: str = ""
    text: str = ""
    target: int = 0
    yes: bool = False
    stands: bool = True
    extra: bool = False
    judged: bool = True


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
    spent: set[SetKey] = field(default_factory=set)
    pressed: dict[int, int] = field(default_factory=dict)
    part_ends: dict[int, int] = field(default_factory=dict)
    round_ends: dict[tuple[int, int], int] = field(default_factory=dict)
    bars: dict[tuple[int, int], tuple[str, bool]] = field(default_factory=dict)
    turns: list[tuple[int, str]] = field(default_factory=list)
    hold: Line | None = None
    # As long as no part or round ends, and none is opened again.
    hours: Hours | None = None

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
            spent=set(self.spent),
            pressed=dict(self.pressed),
            part_ends=dict(self.part_ends),
            round_ends=dict(self.round_ends),
            bars=dict(self.bars),
            turns=list(self.turns),
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

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.tempo = Tempo(plan)
        self.lines: list[Line] = []
        self.undone: list[tuple[int, int]] = []  # what, and after how many lines
        self.started = False
        self._read: Reading | None = None

    # --- presses --------------------------------------------------------------------

    def press(self, act: p.Act, at: int) -> str:
        """Keeps what the press makes; "kept", "ignored", "early" or "refused"."""
        self._read = None
        if isinstance(act, e.Stop | e.Freeze | e.GoOn | e.Unfreeze):
            return self._hold(act, at)
        if isinstance(act, p.TakeBackOne):
            return self._take_back(act, at)
        if isinstance(act, p.CountAgain):
            return self._count_again(at)
        if isinstance(act, p.Name | p.WasClose | p.AnswerHorn | p.AnswerExtra | Check):
            return self._about(act, at)
        if isinstance(act, Bar):
            return self._bar(act, at)
        if isinstance(act, Works):
            return self._works(act, at)
        return self._at_work(act, at)

    def _at_work(self, act: p.Act, at: int) -> str:
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
        self._read = None
        self.lines.append(Line(number, kind, at, **more))  # type: ignore[arg-type]
        return "kept"

    def _odd(self, at: int) -> None:
        self._keep("odd", at, judged=False)

    def _count(self, act: p.Act, at: int) -> str:
        now = self.read()
        if now.withdrawn:
            return "refused"
        many = len(self.lines)
        if self._hold_is_full(at, now.onward) and isinstance(act, e.Rep | HoldOff):
            return "kept"
        made = self._counted_in(act, at)
        if made == "refused":
            del self.lines[many:]
            self._read = None
        return made

    def _hold_is_full(self, at: int, board: Board) -> bool:
        """Whether a hold was long enough by then: it has ended by itself."""
        hold = board.hold
        if hold is None or hold.set is None:
            return False
        full = hold.at + 1000 * self._left(hold.set, board)
        if at >= full:
            self._keep("hold-off", full, set=hold.set)
        return at >= full

    def _counted_in(self, act: p.Act, at: int) -> str:
        now = self.read()
        if isinstance(act, p.Called) and self._is_a_reason(act, at, now.onward):
            return "kept"
        if isinstance(act, e.Correct | p.Counted):
            return self._correct(act, at, now)
        key = self._set_at(at, now.onward)
        if isinstance(act, e.Reading):
            key = self._monitored(at, now.onward) or key
        if key is None:
            self._odd(at)
            return "ignored"
        if isinstance(act, e.Reading):
            return self._reading(act, at, key, now.onward)
        held = self.plan.movement(key).unit == "seconds"
        if held or isinstance(act, HoldOn | HoldOff):
            return self._held(act, at, key, now.onward) if held else "refused"
        if isinstance(act, e.Rep):
            return self._rep(act, at, key, now.onward)
        fault = act.fault if isinstance(act, p.Called) else ""
        return self._keep("no-rep", at, set=key, fault=fault)

    def _held(self, act: p.Act, at: int, key: SetKey, board: Board) -> str:
        """One press begins a hold, the next ends it, a fault too."""
        under_way = board.hold
        begins = isinstance(act, HoldOn) or (
            isinstance(act, e.Rep) and under_way is None
        )
        if isinstance(act, e.Rep) and act.n > 1:
            return "refused"
        if begins:
            return "refused" if under_way else self._keep("hold-on", at, set=key)
        fault = act.fault if isinstance(act, p.Called) else ""
        if under_way is not None:
            return self._keep("hold-off", at, set=under_way.set, fault=fault)
        if isinstance(act, HoldOff):
            return "refused"
        return self._keep("no-rep", at, set=key, fault=fault)

    def _bar(self, act: Bar, at: int) -> str:
        """A load is that of the attempt that comes, or of one judged without."""
        board = self.read().onward
        key = self._set_at(at, board) or max(board.touched, default=None)
        if key is None or self.plan.part(key).kind != "attempts":
            return "refused"
        if act.confirmed:
            said = board.bars.get((key.part, key.round))
            if said is None:
                return "refused"
            return self._keep("bar", at, set=key, text=said[0], yes=True)
        if parse(act.load).dimension != "mass":
            return "refused"
        without = {
            tried.set._replace(movement=1)
            for tried in board.tried
            if self.plan.part(tried.set).kind == "attempts"
            and tried.set[:2] < key[:2]
            and tried.set[:2] not in board.bars
        }
        return self._keep("bar", at, set=max(without, default=key), text=act.load)

    def _works(self, act: Works, at: int) -> str:
        if act.bib not in [member.bib for member in self.plan.team.members]:
            return "refused"
        return self._keep("works", at, text=act.bib)

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
        hours = self._hours(board)
        horn, shut = hours.horn(key), hours.shut(key)
        late = horn is not None and at > horn
        if self._by_monitor(key):
            if late or (shut is not None and at < shut):
                self._odd(at)
                return "ignored"
            if self.plan.target(key) == OPEN:
                return "refused"
            return self._keep("reading", at, set=key, amount=self.plan.target(key))
        if act.n > self._left(key, board) or (late and act.n > 1):
            return "refused"
        return self._keep("rep", at, set=key, amount=act.n)

    def _reading(self, act: e.Reading, at: int, key: SetKey, board: Board) -> str:
        counted = self.plan.movement(key).unit in ("reps", "segments")
        if counted or act.shows < board.good.get(key, 0):
            return "refused"
        return self._keep("reading", at, set=key, amount=act.shows)

    def _correct(self, act: e.Correct | p.Counted, at: int, now: Reading) -> str:
        board = now.score
        if now.holds:
            return "refused"
        if isinstance(act, p.Counted):
            return self._counted(act, at, board)
        on = board.cursor and self._on_by_clock(board.cursor, at, board)
        for key in (on, board.cursor, self._worked_before(board)):
            if key is None:
                continue
            good = board.good.get(key, 0)
            if 0 <= good + act.by <= self.plan.target(key):
                return self._keep("correct", at, set=key, amount=act.by)
        return "refused"

    def _counted(self, act: p.Counted, at: int, board: Board) -> str:
        """Only for the set on the screen."""
        if act.set != self._shown(at, board):
            return "refused"
        moved = act.to - board.good.get(act.set, 0)
        if not moved or not 0 <= act.to <= self.plan.target(act.set):
            return "refused"
        return self._keep("correct", at, set=act.set, amount=moved)

    def _shown(self, at: int, board: Board) -> SetKey:
        """The set under way by the clock; the last one worked on once all is over."""
        key = board.cursor
        if key is None or (board.touched and self._hours(board).never_opened(key, at)):
            return max(board.touched)
        return self._on_by_clock(key, at, board)

    def _move(self, act: p.Act, at: int) -> str:
        now = self.read()
        if isinstance(act, e.Withdraw):
            return "refused" if now.withdrawn else self._keep("withdraw", at)
        if isinstance(act, e.MoveOn):
            key = self._set_at(at, now.onward)
            return self._keep("move-on", at, set=key) if key else "refused"
        key = self._worked_before(now.onward)
        if key is None or not self._left(key, now.onward):
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
        self._read = None
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
            self._read = None
            self.undone.append((found[-1].number, len(self.lines)))
        return "kept"

    def _count_again(self, at: int) -> str:
        if not self.undone:
            return "refused"
        number, since = self.undone[-1]
        if any(line.number > since for line in self._live()):
            return "refused"
        line = self.lines[number - 1]
        board = self.read().onward
        key = line.set if line.kind == "rep" else None
        if key is not None and line.amount > self._left(key, board):
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
            return self._keep("close", at, set=live[-1].set) if live else "refused"
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

    def _by_monitor(self, key: SetKey) -> bool:
        return self.plan.movement(key).unit in ("calories", "metres")

    def _monitored(self, at: int, board: Board) -> SetKey | None:
        """The set under way, if a monitor counts it: it is read after the horn, too."""
        key = board.cursor
        if key is None or not self._by_monitor(key):
            return None
        return None if self._hours(board).never_opened(key, at) else key

    def _hours(self, board: Board) -> Hours:
        if board.hours is None:
            board.hours = Hours(
                self.plan, dict(board.part_ends), dict(board.round_ends)
            )
        return board.hours

    def _left(self, key: SetKey, board: Board) -> int:
        return self.plan.target(key) - board.good.get(key, 0)

    def _set_at(self, at: int, board: Board) -> SetKey | None:
        """The set that a press of that time is for; None once all is over."""
        hours, key = self._hours(board), board.cursor
        while key is not None:
            horn = hours.horn(key)
            if horn is None or at <= horn:
                return key
            if at <= horn + hours.lag(key) and not self._horn_is_taken(key, board):
                return key
            key = self._opened(key, at, board, hours)
        return None

    def _opened(
        self, key: SetKey, at: int, board: Board, hours: Hours
    ) -> SetKey | None:
        """What the clock has on next; a press within the thumb's lag breaks no rest."""
        following = hours.next_by_clock(key, lambda k: self._open(k, board))
        opens = None if following is None else hours.opening(following)
        horn = hours.horn(key)
        if opens is None or horn is None:
            return None
        if opens > at and at <= horn + self.plan.horn_lag_ms:
            return None
        return following

    def _on_by_clock(self, key: SetKey, at: int, board: Board) -> SetKey:
        hours = self._hours(board)
        return hours.on_by_clock(key, at, lambda k: self._open(k, board))

    def _horn_is_taken(self, key: SetKey, board: Board) -> bool:
        """Whether a press waits at that horn already: no second one is asked about."""
        return any(
            tried.at_horn and tried.good and self._same_horn(tried.set, key)
            for tried in board.tried[-4:]
        )

    def _same_horn(self, one: SetKey, other: SetKey) -> bool:
        if self.plan.part(one).kind == "every":
            return one[:2] == other[:2]
        return one.part == other.part

    def _worked_before(self, board: Board) -> SetKey | None:
        before = [k for k in board.touched if board.cursor is None or k < board.cursor]
        return max(before, default=None)

    def _open(self, key: SetKey, board: Board) -> bool:
        full = board.good.get(key, 0) >= self.plan.target(key)
        return not full and key not in board.left_short | board.spent

    def _next(self, key: SetKey, board: Board) -> SetKey | None:
        """On within the part, then what is short in it, then the parts after it."""
        onward = self._after(key, lambda k: k.part == key.part)
        for later in onward:
            if self._open(later, board):
                return later
        for part in range(key.part, 0, -1):
            if by_work(self.plan, part):
                for one in self.plan.sets_of(part):
                    if self._open(one, board):
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
        if self._read is None:
            self._read = self._from_nothing()
        return self._read

    def _from_nothing(self) -> Reading:
        board = Board(cursor=self.plan.first_from(1))
        base: Board | None = None
        holds: list[str] = []
        held = 0
        dropping = False
        withdrawn = False
        for line in self._by_their_own_time():
            if line.kind in ("stop", "freeze"):
                base = base or self._as_held(board, line.at)
                holds.append(line.kind)
            elif line.kind.startswith("end "):
                holds.remove(line.kind.removeprefix("end "))
                dropping = dropping or not line.yes
                if not holds:
                    if dropping and base is not None:
                        board = self._without_held(base, board)
                    base, held, dropping = None, 0, False
            elif line.judged:
                held += line.stands and bool(holds)
                withdrawn = withdrawn or (line.stands and line.kind == "withdraw")
                self._take_or_drop(line, board, base)
        return Reading(base or board, board, holds, held, withdrawn)

    def _by_their_own_time(self) -> list[Line]:
        """The list, but what a hold overtook stands before that hold."""
        lines = list(self.lines)
        for index, line in enumerate(self.lines):
            first = self._held_since(index)
            pointing = line.kind in ("name", "close", "horn")
            if first is None or not line.judged or pointing or line.at >= first.at:
                continue
            lines.remove(line)
            lines.insert(lines.index(first), line)
        return lines

    def _held_since(self, index: int) -> Line | None:
        """The line that froze the score at a line, if it is frozen there."""
        first, kinds = None, set()
        for line in self.lines[:index]:
            if line.kind in ("stop", "freeze"):
                first = first or line
                kinds.add(line.kind)
            elif line.kind.startswith("end "):
                kinds.discard(line.kind.removeprefix("end "))
                first = first if kinds else None
        return first

    def _take_or_drop(self, line: Line, board: Board, base: Board | None) -> None:
        if not line.stands:
            self._pressed(line.set or board.cursor, line.at, board)
            return
        self._take(line, board)
        if line.kind in ("horn", "name") and base is not None:
            self._take(line, base)

    def _as_held(self, board: Board, at: int) -> Board:
        """What a stop or freeze leaves for the score: a hold ends there."""
        base = board.copy()
        self._let_go(at, base)
        return base

    def _pressed(self, key: SetKey | None, at: int, board: Board) -> None:
        """A press tells when a part was left, also one that was taken back."""
        if key is not None:
            board.pressed[key.part] = max(at, board.pressed.get(key.part, at))

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
        elif line.kind == "withdraw":
            self._let_go(line.at, board)
        elif line.kind == "works":
            board.turns.append((line.at, line.text))
        elif key is not None and line.kind == "bar":
            board.bars[key.part, key.round] = line.text, line.yes
        elif key is not None and line.kind != "close":
            self._take_in(line, key, board)

    def _answer(self, line: Line, board: Board) -> None:
        """Only a rep that waits on this board at its horn can be answered."""
        rep = self.lines[line.target - 1]
        if line.target in board.at_horn and line.yes and rep.set is not None:
            for tried in board.tried:
                if tried.number == line.target and not tried.counts:
                    tried.at = self._by_the_horn(rep.set, tried.at, board)
                    tried.counts = True
                    self._add(rep.set, rep.amount, tried.at, board)
        board.at_horn = [n for n in board.at_horn if n != line.target]

    def _by_the_horn(self, key: SetKey, at: int, board: Board) -> int:
        horn = self._hours(board).horn(key)
        return at if horn is None else min(at, horn)

    def _take_in(self, line: Line, key: SetKey, board: Board) -> None:
        if line.kind == "hold-off":
            self._let_go(line.at, board, line)
            return
        if line.kind == "hold-on":
            self._work_in(key, line.at, board)
            board.hold = line
            return
        board.touched.add(key)
        if line.kind == "back-to":
            board.left_short.discard(key)
            self._again(key, board)
        elif line.kind == "move-on":
            board.left_short.add(key)
            self._leave(key, line.at, board)
        elif line.kind == "correct":
            if line.amount < 0:
                self._again(key, board)
            at = self._by_the_horn(key, line.at, board)
            self._add(key, line.amount, at, board)
        else:
            self._judge(line, key, board)

    def _again(self, key: SetKey, board: Board) -> None:
        """Work goes on in that set: nothing of it has ended, if it is the furthest."""
        board.cursor, board.done, board.hours = key, False, None
        if all(k.part <= key.part for k in board.touched):
            board.part_ends.pop(key.part, None)
        if all(k.part != key.part or k.round <= key.round for k in board.touched):
            board.round_ends.pop((key.part, key.round), None)

    def _work_in(self, key: SetKey, at: int, board: Board) -> None:
        """Somebody works there, and so has left the parts before it."""
        board.touched.add(key)
        self._pressed(key, at, board)
        for part in set(range(1, key.part)) - board.part_ends.keys():
            if self.plan.parts[part - 1].is_work and by_work(self.plan, part):
                board.part_ends[part] = board.pressed.get(part, at)
                board.hours = None
        if not board.done:
            board.cursor = key

    def _judge(self, line: Line, key: SetKey, board: Board) -> None:
        hours = self._hours(board)
        horn, shut = hours.horn(key), hours.shut(key)
        late = horn is not None and line.at > horn
        early = shut is not None and line.at < shut
        tried = Tried(line.number, key, line.at, line.amount, line.kind != "no-rep")
        if late and horn is not None:
            taken = line.kind != "reading" and self._horn_is_taken(key, board)
            tried.at_horn = not taken and (
                line.kind == "reading" or line.at <= horn + hours.lag(key)
            )
        if line.kind == "no-rep":
            self._no_rep(line, tried, board, late=late)
            return
        if line.kind == "reading":
            tried.many = max(
                0, min(line.amount, self.plan.target(key)) - board.good.get(key, 0)
            )
            tried.at = self._by_the_horn(key, line.at, board)
            late = False
        tried.soon = self._too_soon(line, tried, board, hours)
        tried.counts = not late and (not early or self._counts_early(key))
        if late and tried.at_horn:
            board.at_horn.append(line.number)
        board.tried.append(tried)
        self._work_in(key, tried.at, board)
        if tried.counts:
            self._add(key, tried.many, tried.at, board)

    def _too_soon(self, line: Line, tried: Tried, board: Board, hours: Hours) -> bool:
        """A press by its pace; a monitor's number by the time since its set began."""
        if line.kind != "reading":
            return self.tempo.too_soon(board.tried, tried, hours)
        pressed = tried.at == line.at and line.amount == self.plan.target(tried.set)
        soon = pressed and self.tempo.too_soon(board.tried, tried, hours)
        return soon or self.tempo.too_much(board.tried, tried, line.amount, hours)

    def _no_rep(self, line: Line, tried: Tried, board: Board, *, late: bool) -> None:
        tried.many, tried.counts = 1, False
        board.tried.append(tried)
        board.faults[line.number] = [line.fault] if line.fault else []
        self._work_in(tried.set, line.at, board)
        board.no_reps[tried.set] = board.no_reps.get(tried.set, 0) + 1
        if self.plan.part(tried.set).kind == "attempts" and not late:
            self._spend(tried.set, line.at, board)

    def _counts_early(self, key: SetKey) -> bool:
        """Whether work before its time counts; an interval has no rest to make good."""
        rule = self.plan.early_start
        return rule == "counts" or (
            rule == "seconds" and self.plan.part(key).kind != "every"
        )

    def _let_go(self, at: int, board: Board, by: Line | None = None) -> None:
        """A hold ends: its whole seconds count, as far as its set has room for them."""
        hold = board.hold
        if hold is None or hold.set is None:
            return
        board.hold = None
        key, number = hold.set, (by or hold).number
        full = hold.at + 1000 * self._left(key, board)
        end = min(self._by_the_horn(key, at, board), full)
        seconds = max(0, end - hold.at) // 1000
        shut = self._hours(board).shut(key)
        counts = shut is None or hold.at >= shut or self._counts_early(key)
        board.tried.append(Tried(number, key, end, seconds, good=True, counts=counts))
        if by is not None and by.fault:
            board.tried.append(Tried(number, key, end, 1, good=False, counts=False))
            board.faults[number] = [by.fault]
            board.no_reps[key] = board.no_reps.get(key, 0) + 1
        self._work_in(key, end, board)
        if counts:
            self._add(key, seconds, end, board)
        if self.plan.part(key).kind == "hold" and self._open(key, board):
            self._spend(key, end, board)

    # --- sets that fill ---------------------------------------------------------------

    def _add(self, key: SetKey, amount: int, at: int, board: Board) -> None:
        target = self.plan.target(key)
        board.good[key] = min(target, max(0, board.good.get(key, 0) + amount))
        if board.good[key] == target:
            self._leave(key, at, board)

    def _spend(self, key: SetKey, at: int, board: Board) -> None:
        """A try is over: what is left of its round stays undone."""
        for other in self.plan.round_sets(key.part, key.round):
            if other.movement >= key.movement:
                board.spent.add(other)
                board.touched.add(other)
        self._leave(key, at, board)

    def _leave(self, key: SetKey, at: int, board: Board) -> None:
        part, board.hours = self.plan.part(key), None
        round_ = self.plan.round_sets(key.part, key.round)
        timed = part.rest_ms or part.kind == "every"
        if timed and not any(self._open(other, board) for other in round_):
            board.round_ends.setdefault((key.part, key.round), at)
        sets = self.plan.sets_of(key.part)
        if by_work(self.plan, key.part) and not any(self._open(k, board) for k in sets):
            board.part_ends.setdefault(key.part, at)
        if board.cursor == key:
            board.cursor = self._next(key, board)
            board.done = board.cursor is None
