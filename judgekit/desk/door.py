"""One sitting at a desk: press, decide, append, evolve, tell. Nothing else appends.

Every press enters one queue with the time it was made; one consumer takes them in
order. Nothing is told before it is durable, and nothing is decided on stale state.
"""

from __future__ import annotations

import queue
import threading
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.decide import decide
from judgekit.core.entry import Body, Entry, Go, Ignored, Is, Session, Time
from judgekit.core.errors import JudgekitError, Refusal
from judgekit.core.lanecheck import LATE_START
from judgekit.core.press import Act, Draft, Press
from judgekit.core.tryentry import HoldOff
from judgekit.desk.checking import Checking
from judgekit.desk.hearing import Hearing
from judgekit.desk.items import (
    Close,
    GoPressed,
    Heard,
    Item,
    Joins,
    Pressed,
    Swapped,
)
from judgekit.desk.news import News, Refused, Told
from judgekit.desk.others import COUNTDOWN_MS
from judgekit.desk.sitting import OF_HEAT, Sitting, hashes
from judgekit.desk.watch import ClockWatch, Standstill

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from judgekit.core.lanecheck import LaneCheck
    from judgekit.core.state import Lane
    from judgekit.desk.clock import Clock
    from judgekit.desk.seat import Heat, Seat
    from judgekit.store.book import Book

IDLE_S = 0.1
# Time is called a little after the thumb's lag, so that late presses are all in.
SETTLE_MS = 300
_NOT_STARTED = "The heat has not started yet."


class Desk:
    """One screen's door to one book; the module's words are its rules."""

    def __init__(self, seat: Seat, book: Book, clock: Clock) -> None:
        self.heat = seat.heat
        self.clock = clock
        self.second = seat.second
        self._queue: queue.SimpleQueue[Item] = queue.SimpleQueue()
        self._closing = threading.Event()
        self._thread: threading.Thread | None = None
        self._watch = ClockWatch(clock)
        self._still = Standstill(clock, round(IDLE_S * 1000))
        self._sitting = Sitting(
            seat, book, clock, waiting=self._queue.qsize, closing=self._closing
        )
        self._checking = Checking(self._sitting, seat.gear)
        self._hearing = Hearing(self._sitting, self._checking)
        # Counted on one side of the queue each, so that no lock is needed.
        self._given = 0
        self._taken = 0
        self._room = seat.room
        self._notes = list(seat.notes)

    # --- what anyone may ask, from any thread ---

    @property
    def book_id(self) -> str:
        """The id of the book this desk writes."""
        return self._sitting.book.id

    def lane(self, number: int) -> Lane:
        """The newest durable state of a lane."""
        return self._sitting.states[number]

    @property
    def checks_lanes(self) -> bool:
        """Whether lanes are checked before go."""
        return self._checking.on

    def lane_check(
        self, number: int, earlier: Sequence[Entry] = ()
    ) -> LaneCheck | None:
        """What of a lane was looked at, None where the event has no lane check.

        `earlier` are what this day's heats before this one say of the same lane.
        """
        return self._checking.of(number, earlier)

    def time_of(self, number: int) -> tuple[int, str]:
        """Which time a lane does its work, and why once more; as it stands by now."""
        return self._sitting.times.get(number, (1, ""))

    @property
    def lanes(self) -> tuple[int, ...]:
        """The lanes that are judged here."""
        return self._sitting.lanes

    @property
    def who(self) -> str:
        """Who sits here."""
        return self._sitting.who

    @property
    def zero_boot_ms(self) -> int | None:
        """Where zero lies on the boot clock, None before go."""
        return self._sitting.zero_boot_ms

    def heat_ms(self, boot_ms: int | None = None) -> int | None:
        """Heat time, negative in the countdown, None before go."""
        return self._sitting.heat_ms(
            self.clock.boot_ms() if boot_ms is None else boot_ms
        )

    @property
    def unsaved(self) -> int:
        """How many presses a closing desk had to give up; 0 but for a dead disk."""
        return self._sitting.pen.lost

    @property
    def at_stake(self) -> int:
        """How many presses are not saved: given up, waiting, or in hand."""
        return self.unsaved + self._given - self._taken

    def logging_code(self, number: int) -> str:
        """The lane's log code once there is a scorecard, else empty."""
        return self._sitting.codes.get(number, "")

    def submit(self, number: int, act: Act, *, boot_ms: int, key: str = "") -> None:
        """A press, with the time it was made on the boot clock; returns at once."""
        self._given += 1
        self._queue.put(Pressed(number=number, act=act, boot_ms=boot_ms, key=key))

    def call_go(self, *, boot_ms: int, why: str = "") -> None:
        """Go for all lanes: zero lies ten seconds ahead.

        With open items of a lane check it needs to know `why` they are left so.
        """
        self._queue.put(GoPressed(boot_ms=boot_ms, why=why))

    def call_late_go(self, number: int, *, boot_ms: int) -> None:
        """A late starter's own go, now."""
        self._queue.put(GoPressed(boot_ms=boot_ms, late=number, why=LATE_START))

    def swap(self, number: int, other: int, *, boot_ms: int) -> None:
        """The athletes of two lanes of the heat stand in each other's place."""
        self._queue.put(Swapped(number=number, other=other, boot_ms=boot_ms))

    def take_in(self, number: int, heat: Heat, *, boot_ms: int) -> None:
        """One more lane of the heat, which the files know by now.

        In a running heat it starts at that moment, later than the others.
        """
        self._queue.put(Joins(number=number, heat=heat, boot_ms=boot_ms))

    def ignored(
        self, number: int, key: str, *, why: str, first_ms: int, last_ms: int, many: int
    ) -> None:
        """A run of keys that did nothing, in one entry (times on the boot clock)."""
        body = Ignored(
            why=why,
            key=key,
            first_ms=self.heat_ms(first_ms) or 0,
            last_ms=self.heat_ms(last_ms) or 0,
            many=many,
        )
        self.submit(number, body, boot_ms=last_ms, key=key)

    def hear(self, entries: Sequence[Entry]) -> None:
        """Entries of the heat's other books, as the follower reads them."""
        if entries:
            self._queue.put(Heard(entries=tuple(entries)))

    def listen(self, listener: Callable[[News], None]) -> None:
        """Be told; the listener runs in a desk's thread and must return at once."""
        self._sitting.listeners.append(listener)
        notes, self._notes = self._notes, []
        if notes:
            listener(Told(says=" ".join(notes)))

    def listen_no_more(self) -> None:
        """Forget everyone who listens: another screen takes over."""
        self._sitting.listeners.clear()

    # --- opening, running, closing ---

    def begin(self, bodies: Sequence[tuple[int | None, Body]]) -> None:
        """The first entries of the sitting (claims, session), and where zero lies."""
        self._sitting.begin(bodies)

    def start(self) -> None:
        """Start the consumer's thread."""
        self._thread = threading.Thread(target=self._run, name="desk")
        self._thread.start()
        self._sitting.pen.slow.start()

    def close(self, why: str = "") -> None:
        """Drain, note the end of the session, close the book.

        Safe to call twice, and from any thread: whoever calls waits for the end.
        """
        first = not self._closing.is_set()
        self._closing.set()
        if first:
            self._queue.put(Close(why=why))
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
            self._safely(self._take, item)

    def _run(self) -> None:
        """Until it is closed; what kills a thread must not end a heat either."""
        while True:
            try:
                self._consume()
            except BaseException as error:  # noqa: BLE001 - see above
                self._failed(error)
            else:
                return

    def _consume(self) -> None:
        while True:
            self._still.waits()
            try:
                item = self._queue.get(timeout=IDLE_S)
            except queue.Empty:
                self._woke()
                self._safely(self.idle)
                continue
            self._woke()
            self._safely(self._take, item)
            if isinstance(item, Close):
                return

    def _woke(self) -> None:
        says = self._still.woke()
        if says and self.zero_boot_ms is not None:
            self._sitting.tell(Told(says=says))

    def _safely(self, do: Callable[..., None], *given: Item) -> None:
        """Whatever fails in one step is told; the next press is taken all the same."""
        try:
            do(*given)
        except Exception as error:  # noqa: BLE001 - one bad step must not end a heat
            self._failed(error)

    def _failed(self, error: BaseException) -> None:
        """Say so; what the step had made durable before it failed is shown."""
        try:
            self._sitting.catch_up()
        except Exception as worse:  # noqa: BLE001 - the count may lag; the log does not
            error = worse
        kind = type(error).__name__
        says = f"Something failed at the desk ({kind}). Check the count, then go on."
        self._sitting.tell(Told(says=says))

    def idle(self) -> None:
        """Off the key path: watch file, disk and clocks; call time at its end."""
        self._look_after()
        for body, says in self._watch.look():
            if self.zero_boot_ms is not None:
                self._sitting.write_all(body)
                self._sitting.tell(Told(says=says))
        now = self.heat_ms()
        for number in self.lanes if now is not None else ():
            lane = self._sitting.states[number]
            if now is not None:
                self._end_hold(number, lane, now)
            end = looking.end_ms(lane)
            if end is None or now is None or not _awaits_time(lane):
                continue
            at = end + lane.offset_ms + lane.start_shift_ms
            if now > at + lane.plan.horn_lag_ms + SETTLE_MS:
                draft = Draft(at=at, set=None, body=Time(), who=self.who)
                self._sitting.write([(number, draft)], boot_ms=self.clock.boot_ms())

    def _end_hold(self, number: int, lane: Lane, now: int) -> None:
        """A hold is over once it was long enough, whether anybody presses or not."""
        done, hold = looking.hold_done(lane), looking.work_now(lane).hold
        if done is None or hold is None or lane.holds:
            return
        at = done + lane.offset_ms + lane.start_shift_ms
        if now >= at:
            draft = Draft(at=at, set=hold.set, body=HoldOff(), who=self.who)
            self._sitting.write([(number, draft)], boot_ms=self.clock.boot_ms())

    def _look_after(self) -> None:
        self._sitting.pen.look_after()
        says = self._room.look(self.clock.boot_ms()) if self._room else ""
        if says:
            self._sitting.tell(Told(says=says))

    def _take(self, item: Item) -> None:
        match item:
            case Pressed():
                try:
                    self._press(item)
                finally:
                    self._taken += 1
            case GoPressed():
                self._go(item)
            case Swapped():
                self._swap(item)
            case Joins():
                self._join(item)
            case Heard(entries=entries):
                self._hearing.take(entries)
            case Close(why=why):
                try:
                    if not self.unsaved:
                        self._sitting.write_all(Session(start=False, why=why))
                finally:
                    self._sitting.pen.slow.close()
                    self._sitting.book.close()

    # --- presses ---

    def _press(self, item: Pressed) -> None:
        if item.number not in self._sitting.states:
            self._sitting.tell(
                Refused(lane=item.number, says="No such lane at this desk.")
            )
            return
        number = self._judged_for(item)
        if number in self._hearing.lost:
            says = "Another desk judges this lane now; this one only watches."
            self._sitting.tell(Refused(lane=item.number, says=says, key=item.key))
            return
        started = self.zero_boot_ms is not None
        doubts = self._still.doubts(item.boot_ms) if started else None
        if doubts is not None:
            self._sitting.write_all(doubts)
        press = Press(at=self.heat_ms(item.boot_ms), act=item.act, who=self.who)
        self._sitting.decide(number, press, boot_ms=item.boot_ms, key=item.key)
        if doubts is not None:
            # Said once more: the key itself has cleared the line.
            self._sitting.tell(Told(says=self._still.words))

    def _judged_for(self, item: Pressed) -> int:
        """The lane of a press; what is the whole heat's may be another one's here."""
        lost = self._hearing.lost
        if item.number in lost and isinstance(item.act, OF_HEAT):
            return next((n for n in self.lanes if n not in lost), item.number)
        return item.number

    def _swap(self, item: Swapped) -> None:
        """Two entries, one for each lane; the other lane's desk hears of its own."""
        sitting = self._sitting
        try:
            here = sitting.bib_in(item.number)
            there = sitting.bib_in(item.other)
        except JudgekitError as error:
            sitting.tell(Refused(lane=item.number, says=f"{error}.", key="w"))
            return
        for lane, bib in ((item.number, there), (item.other, here)):
            if lane in sitting.states:
                press = Press(at=self.heat_ms(item.boot_ms), act=Is(bib=bib))
                sitting.decide(lane, press, boot_ms=item.boot_ms, key="w")
            else:
                draft = sitting.draft(self.heat_ms(item.boot_ms), Is(bib=bib))
                sitting.write([(lane, draft)], boot_ms=item.boot_ms)

    def _join(self, item: Joins) -> None:
        number = item.number
        if number in self.lanes or not self._sitting.take_in(number, item.heat):
            return
        if self.zero_boot_ms is not None:
            self._go(GoPressed(boot_ms=item.boot_ms, late=number, why=LATE_START))

    def _go(self, item: GoPressed) -> None:
        late = item.late
        zero = self.zero_boot_ms
        lanes = self.lanes if late is None else (late,)
        says = self._no_go(late)
        if says:
            self._sitting.tell(Refused(lane=lanes[0], says=says, key="g"))
            return
        if late is None or zero is None:
            zero = item.boot_ms + COUNTDOWN_MS
        left = self._checking.going(lanes, item.why)
        if left is None:
            says = "Items of the lane check are open: say why it goes all the same."
            self._sitting.tell(Refused(lane=lanes[0], says=says, key="g"))
            return
        plans = self._sitting.plans(lanes)
        if plans is None:
            return
        body = Go(
            boot=self.clock.boot,
            boot_ms=zero,
            zero_ms=self._sitting.pen.wall_at(zero),
            plans=hashes(plans),
            offset_ms=0 if late is None else max(1, item.boot_ms - zero),
        )
        press = Press(at=item.boot_ms - zero, act=body, who=self.who)
        decided = decide(self._sitting.states[lanes[0]], press)
        if isinstance(decided, Refusal):
            self._sitting.tell(Refused(lane=lanes[0], says=decided.says, key="g"))
            return
        drafts = [*left, *((late, draft) for draft in decided)]
        self._sitting.write(drafts, boot_ms=item.boot_ms, plans=plans, key="g")
        self._sitting.set_zero(body)

    def _no_go(self, late: int | None) -> str:
        """Why nobody can be sent off now, empty if they can."""
        if late is not None:
            return "" if self.zero_boot_ms is not None else _NOT_STARTED
        return self._room.refusal() if self._room else ""


def _awaits_time(lane: Lane) -> bool:
    if not lane.started or lane.recalled or lane.closed:
        return False
    return lane.over_ms is None and lane.work.done_ms is None
