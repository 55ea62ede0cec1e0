"""One sitting at a desk: press, decide, append, evolve, tell. Nothing else appends.

Every press enters one queue with the time it was made; one consumer takes them in
order. Nothing is told before it is durable, and nothing is decided on stale state.
"""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.decide import decide
from judgekit.core.entry import (
    Absent,
    Body,
    Claim,
    Entry,
    Freeze,
    Gap,
    Go,
    Ignored,
    Is,
    Recall,
    Scale,
    Session,
    Stop,
    Time,
    Unfreeze,
)
from judgekit.core.errors import InputError, Refusal
from judgekit.core.lane import empty, evolve, fold
from judgekit.core.plan import Plan
from judgekit.core.press import Act, Draft, Press
from judgekit.core.state import Lane
from judgekit.desk.news import Judged, Lost, News, Refused, Started, Told
from judgekit.desk.others import OBEYED, Others
from judgekit.desk.pen import Pen
from judgekit.desk.watch import ClockWatch
from judgekit.store import chain
from judgekit.store.codec import encode_plan, plan_hash

if TYPE_CHECKING:
    from judgekit.desk.clock import Clock
    from judgekit.store.book import Book

COUNTDOWN_MS = 10_000
IDLE_S = 0.1
# Time is called a little after the thumb's lag, so that late presses are all in.
SETTLE_MS = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pressed:
    number: int
    act: Act
    boot_ms: int
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _GoPressed:
    boot_ms: int
    late: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Heard:
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Close:
    why: str


_Item = _Pressed | _GoPressed | _Heard | _Close


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """What a desk is given when it opens.

    `lanes` are folded from the run that this desk carries on. `resolve` makes a
    lane's plan from the day's entries of the heat (in any order); `day` are those
    there so far. `codes` are the log-code pieces of earlier books.
    """

    heat: str
    lanes: Mapping[int, Lane]
    resolve: Callable[[int, Sequence[Entry]], Plan]
    who: str
    day: tuple[Entry, ...] = ()
    codes: Mapping[str, str] = field(default_factory=dict)
    second: bool = False


class Desk:
    """One screen's door to one book; the module's words are its rules."""

    def __init__(self, seat: Seat, book: Book, clock: Clock) -> None:
        self.heat = seat.heat
        self.lanes = tuple(sorted(seat.lanes))
        self.clock = clock
        self.second = seat.second
        self.who = seat.who
        self.zero_boot_ms: int | None = None
        self._seat = seat
        self._book = book
        self._states = dict(seat.lanes)
        self._day = list(seat.day)
        self._codes = dict(seat.codes)
        self._lost: set[int] = set()
        self._others = Others(book=book.id, boot=clock.boot)
        self._watch = ClockWatch(clock)
        self._queue: queue.SimpleQueue[_Item] = queue.SimpleQueue()
        self._listeners: list[Callable[[News], None]] = []
        self._thread: threading.Thread | None = None
        self._closing = threading.Event()
        self._pen = Pen(
            book,
            clock,
            tell=self._tell,
            waiting=self._queue.qsize,
            closing=self._closing,
        )

    # --- what anyone may ask, from any thread ---

    @property
    def book_id(self) -> str:
        """The id of the book this desk writes."""
        return self._book.id

    def lane(self, number: int) -> Lane:
        """The newest durable state of a lane."""
        return self._states[number]

    def heat_ms(self, boot_ms: int | None = None) -> int | None:
        """Heat time, negative in the countdown, None before go."""
        zero = self.zero_boot_ms
        if zero is None:
            return None
        return (self.clock.boot_ms() if boot_ms is None else boot_ms) - zero

    def logging_code(self, number: int) -> str:
        """The lane's log code: each book that its score reads, in fold order."""
        books = dict.fromkeys(e.book for e in self._states[number].entries)
        return chain.code_of([self._codes[b] for b in books if b in self._codes])

    def submit(self, number: int, act: Act, *, boot_ms: int, key: str = "") -> None:
        """A press, with the time it was made on the boot clock; returns at once."""
        self._queue.put(_Pressed(number=number, act=act, boot_ms=boot_ms, key=key))

    def call_go(self, *, boot_ms: int) -> None:
        """Go for all lanes: zero lies ten seconds ahead."""
        self._queue.put(_GoPressed(boot_ms=boot_ms))

    def call_late_go(self, number: int, *, boot_ms: int) -> None:
        """A late starter's own go, now."""
        self._queue.put(_GoPressed(boot_ms=boot_ms, late=number))

    def repeat(
        self, number: int, key: str, *, first_ms: int, last_ms: int, many: int
    ) -> None:
        """A held key's run of repeats, in one entry (times on the boot clock)."""
        body = Ignored(
            why="held key",
            key=key,
            first_ms=self.heat_ms(first_ms) or 0,
            last_ms=self.heat_ms(last_ms) or 0,
            many=many,
        )
        self.submit(number, body, boot_ms=last_ms, key=key)

    def hear(self, entries: Sequence[Entry]) -> None:
        """Entries of the heat's other books, as the follower reads them."""
        if entries:
            self._queue.put(_Heard(entries=tuple(entries)))

    def listen(self, listener: Callable[[News], None]) -> None:
        """Be told; the listener runs in the desk's thread and must return at once."""
        self._listeners.append(listener)

    # --- opening, running, closing ---

    def begin(self, bodies: Sequence[tuple[int | None, Body]]) -> None:
        """The first entries of the sitting (claims, session), and where zero lies."""
        for state in self._states.values():
            self._others.remember(state.entries)
        drafts = [(lane, self._draft(None, body)) for lane, body in bodies]
        self._write(drafts, boot_ms=self.clock.boot_ms())
        self._find_zero()

    def start(self) -> None:
        """Start the consumer's thread."""
        self._thread = threading.Thread(target=self._run, name="desk")
        self._thread.start()

    def close(self, why: str = "") -> None:
        """Drain, note the end of the session, close the book. Safe to call twice."""
        if self._closing.is_set():
            return
        self._closing.set()
        self._queue.put(_Close(why=why))
        if self._thread is None:
            self.work_off()
        elif self._thread is not threading.current_thread():
            self._thread.join()

    def work_off(self) -> None:
        """Take everything that waits, in this thread: a desk without a consumer."""
        while True:
            try:
                item = self._queue.get_nowait()
            except queue.Empty:
                return
            self._take(item)

    def _run(self) -> None:
        while True:
            try:
                item = self._queue.get(timeout=IDLE_S)
            except queue.Empty:
                self.idle()
                continue
            self._take(item)
            if isinstance(item, _Close):
                return

    def idle(self) -> None:
        """Off the key path: watch the clocks, call time where the clock has ended."""
        for body, says in self._watch.look():
            if self.zero_boot_ms is not None:
                self._write_all(body)
                self._tell(Told(says=says))
        now = self.heat_ms()
        for number in self.lanes if now is not None else ():
            lane = self._states[number]
            end = looking.end_ms(lane)
            if end is None or now is None or not _awaits_time(lane):
                continue
            at = end + lane.offset_ms + lane.start_shift_ms
            if now > at + lane.plan.horn_lag_ms + SETTLE_MS:
                self._decide(number, Press(at=at, act=Time(), who=self.who))

    def _take(self, item: _Item) -> None:
        match item:
            case _Pressed():
                self._press(item)
            case _GoPressed():
                self._go(item)
            case _Heard(entries=entries):
                for entry in entries:
                    self._hear(entry)
            case _Close(why=why):
                self._write_all(Session(start=False, why=why))
                self._book.close()

    # --- presses ---

    def _press(self, item: _Pressed) -> None:
        if item.number in self._lost:
            says = "Another desk judges this lane now; this one only watches."
            self._tell(Refused(lane=item.number, says=says, key=item.key))
            return
        press = Press(at=self.heat_ms(item.boot_ms), act=item.act, who=self.who)
        self._decide(item.number, press, boot_ms=item.boot_ms, key=item.key)

    def _decide(
        self, number: int, press: Press, *, boot_ms: int | None = None, key: str = ""
    ) -> None:
        decided = decide(self._states[number], press)
        if isinstance(decided, Refusal):
            self._tell(Refused(lane=number, says=decided.says, key=key))
            return
        drafts = [(_lane_of(draft.body, number), draft) for draft in decided]
        plans: dict[int, Plan] = {}
        body = decided[0].body
        if isinstance(body, Scale | Is):
            try:
                plans, changed = self._change_of_day(number, decided[0], body)
            except InputError as error:
                says = error.problems[0].what
                self._tell(Refused(lane=number, says=says, key=key))
                return
            drafts = [(number, changed)]
        when = self.clock.boot_ms() if boot_ms is None else boot_ms
        self._write(drafts, boot_ms=when, plans=plans, key=key)

    def _change_of_day(
        self, number: int, draft: Draft, body: Scale | Is
    ) -> tuple[dict[int, Plan], Draft]:
        """Another plan for the lane; after go it is sealed beside the entry."""
        entry = self._pen.entry(self._book.last + 1, number, draft, 2**62)
        plan = self._seat.resolve(number, [*self._day, entry])
        if self.zero_boot_ms is None:
            return {number: plan}, draft
        sealed = replace(body, plan=plan_hash(encode_plan(plan)))
        return {number: plan}, replace(draft, body=sealed)

    def _go(self, item: _GoPressed) -> None:
        late = item.late
        zero = self.zero_boot_ms
        if late is not None and zero is None:
            says = "The heat has not started yet."
            self._tell(Refused(lane=late, says=says, key="g"))
            return
        lanes = self.lanes if late is None else (late,)
        if late is None or zero is None:
            zero = item.boot_ms + COUNTDOWN_MS
        plans = {n: self._seat.resolve(n, self._day) for n in lanes}
        body = Go(
            boot=self.clock.boot,
            boot_ms=zero,
            zero_ms=self._pen.wall_at(zero),
            plans=_hashes(plans),
            offset_ms=0 if late is None else max(1, item.boot_ms - zero),
        )
        press = Press(at=item.boot_ms - zero, act=body, who=self.who)
        decided = decide(self._states[lanes[0]], press)
        if isinstance(decided, Refusal):
            self._tell(Refused(lane=lanes[0], says=decided.says, key="g"))
            return
        drafts = [(late, draft) for draft in decided]
        self._write(drafts, boot_ms=item.boot_ms, plans=plans, key="g")
        self._set_zero(zero)

    # --- other desks ---

    def _hear(self, entry: Entry) -> None:
        body = entry.body
        if isinstance(body, Claim):
            self._hear_claim(entry, body)
        elif isinstance(body, Is | Scale | Absent):
            self._day.append(entry)
        elif isinstance(body, Go):
            self._hear_go(entry)
        elif isinstance(body, OBEYED) and self.zero_boot_ms is not None:
            self._hear_order(entry, body)

    def _hear_order(
        self, entry: Entry, body: Recall | Freeze | Unfreeze | Stop | Time
    ) -> None:
        if self._others.obeys(entry, self._states):
            number = self.lanes[0] if entry.lane is None else entry.lane
            act = replace(body, copies=entry.ref)
            self._decide(number, Press(at=entry.at, act=act, who=entry.who))

    def _hear_claim(self, entry: Entry, claim: Claim) -> None:
        covers_us = any(ref.book == self._book.id for ref in claim.covers)
        if covers_us and entry.lane in self._states and entry.lane not in self._lost:
            self._lost.add(entry.lane)
            self._tell(Lost(lane=entry.lane, to=claim.judge or entry.who))

    def _hear_go(self, entry: Entry) -> None:
        now = self.clock.boot_ms()
        go = self._others.takes_go(
            entry,
            zero=self.zero_boot_ms,
            lane=self._states[self.lanes[0]],
            now_boot_ms=now,
        )
        if go is None:
            return
        plans = {n: self._seat.resolve(n, self._day) for n in self.lanes}
        body = replace(go, copies=entry.ref, plans=_hashes(plans))
        draft = self._draft(now - go.boot_ms, body)
        self._write([(None, draft)], boot_ms=now, plans=plans)
        self._set_zero(go.boot_ms)

    # --- writing ---

    def _draft(self, at: int | None, body: Body) -> Draft:
        return Draft(at=at, set=None, body=body, who=self.who)

    def _write_all(self, body: Body) -> None:
        now = self.clock.boot_ms()
        self._write([(None, self._draft(self.heat_ms(now), body))], boot_ms=now)

    def _write(
        self,
        drafts: Sequence[tuple[int | None, Draft]],
        *,
        boot_ms: int,
        plans: Mapping[int, Plan] | None = None,
        key: str = "",
    ) -> None:
        known = plans or {}
        entries = self._pen.write(drafts, boot_ms=boot_ms, plans=known.values())
        self._day += [e for e in entries if isinstance(e.body, Is | Scale | Absent)]
        for number in self.lanes:
            mine = tuple(e for e in entries if e.lane in (None, number))
            if mine:
                self._evolve(number, mine, known.get(number), key)

    def _evolve(
        self, number: int, entries: tuple[Entry, ...], plan: Plan | None, key: str
    ) -> None:
        lane = self._states[number]
        if plan is not None and plan != lane.plan:
            lane = fold(plan, lane.entries)
        for entry in entries:
            lane = evolve(lane, entry)
        self._states[number] = lane
        self._note_code(lane)
        self._tell(Judged(lane=number, state=lane, entries=entries, key=key))
        if lane.recalled:
            self._back_to_the_line(number, lane)

    def _back_to_the_line(self, number: int, lane: Lane) -> None:
        """After a recall a new run begins in the same book."""
        self.zero_boot_ms = None
        state = empty(lane.plan)
        for claim in [e for e in lane.entries if isinstance(e.body, Claim)][-1:]:
            state = evolve(state, claim)
        self._states[number] = state
        self._tell(Judged(lane=number, state=state, entries=()))

    def _note_code(self, lane: Lane) -> None:
        # Only a scorecard shows the code, so a rep need not pay for it.
        if looking.is_over(lane) or lane.signatures:
            last = dict(looking.read_up_to(lane)).get(self._book.id)
            if last:
                piece = chain.piece(last, self._book.hash_at(last))
                self._codes[self._book.id] = piece

    # --- zero ---

    def _find_zero(self) -> None:
        """Where zero lies after opening: exact in the same boot, else by the wall."""
        lane = self._states[self.lanes[0]]
        gos = [e for e in lane.entries if isinstance(e.body, Go) and e.lane is None]
        if not gos or not isinstance(gos[-1].body, Go):
            return
        go = gos[-1].body
        if go.boot == self.clock.boot:
            self._set_zero(go.boot_ms)
            return
        self._set_zero(self.clock.boot_ms() - (self.clock.wall_ms() - go.zero_ms))
        why = "opened in another boot: heat time goes by the wall clock"
        self._write_all(Gap(off_ms=1000, why=why))
        self._tell(Told(says=f"{why}, so it may be a second off"))

    def _set_zero(self, zero_boot_ms: int) -> None:
        self.zero_boot_ms = zero_boot_ms
        self._tell(Started(zero_boot_ms=zero_boot_ms))

    def _tell(self, news: News) -> None:
        for listener in self._listeners:
            listener(news)


def _awaits_time(lane: Lane) -> bool:
    if not lane.started or lane.recalled or lane.closed:
        return False
    return lane.over_ms is None and lane.work.done_ms is None


def _lane_of(body: Body, number: int) -> int | None:
    """Entries of the heat are about all lanes; everything else is a lane's own."""
    return None if isinstance(body, Recall | Freeze | Unfreeze) else number


def _hashes(plans: Mapping[int, Plan]) -> tuple[tuple[int, str], ...]:
    return tuple((n, plan_hash(encode_plan(p))) for n, p in sorted(plans.items()))
