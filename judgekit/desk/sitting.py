"""What one sitting writes, and the lanes that its entries make: append, evolve, tell.

Used by one thread at a time: the desk's consumer.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
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
    Is,
    Recall,
    Scale,
    Time,
    Unfreeze,
    WallSet,
)
from judgekit.core.errors import InputError, JudgekitError, Refusal
from judgekit.core.lane import evolve, fold
from judgekit.core.lanecheck import checks_in
from judgekit.core.press import Draft, Press
from judgekit.core.recalls import (
    AFTER_RECALL,
    since_recall,
    standing_after_recall,
)
from judgekit.core.ruling import Ref
from judgekit.desk.news import Joined, Judged, News, Refused, Started, Told
from judgekit.desk.others import COUNTDOWN_MS, Others
from judgekit.desk.pen import Pen, Unwritable
from judgekit.store import chain
from judgekit.store.codec import encode_plan, plan_hash

if TYPE_CHECKING:
    import threading
    from collections.abc import Callable, Mapping, Sequence

    from judgekit.core.entry import Source
    from judgekit.core.plan import Plan
    from judgekit.core.state import Lane
    from judgekit.desk.clock import Clock
    from judgekit.desk.seat import Heat, Seat
    from judgekit.store.book import Book

# What is about all lanes of a heat; everything else is a lane's own.
OF_HEAT = (Recall, Freeze, Unfreeze, Time, WallSet)


class Sitting:
    """The lanes of one desk, its pen, and where zero lies.

    `began` is the wall time at which the present start was called. `codes` are the
    log codes of lanes that have a scorecard.
    """

    def __init__(
        self,
        seat: Seat,
        book: Book,
        clock: Clock,
        *,
        waiting: Callable[[], int],
        closing: threading.Event,
    ) -> None:
        self.lanes = tuple(sorted(seat.lanes))
        self.states = dict(seat.lanes)
        self.day = list(seat.day)
        self.checks = list(seat.checks)
        self.times = dict(seat.times)
        self.codes: dict[int, str] = {}
        self.zero_boot_ms: int | None = None
        self.began = 0
        self.others = Others(book=book.id, boot=clock.boot, second=seat.second)
        self.listeners: list[Callable[[News], None]] = []
        self.who = seat.who
        self.clock = clock
        self.book = book
        self._seat = seat
        self._shown = dict.fromkeys(self.lanes, book.last)
        self.pen = Pen(book, clock, tell=self.tell, waiting=waiting, closing=closing)

    def heat_ms(self, boot_ms: int) -> int | None:
        """Heat time at a moment of the boot clock, None before go."""
        return None if self.zero_boot_ms is None else boot_ms - self.zero_boot_ms

    def bib_in(self, lane: int) -> str:
        """Whose bib stands in a lane of the heat; JudgekitError if it has none."""
        return self._seat.bib_in(lane, self.day)

    def begin(self, bodies: Sequence[tuple[int | None, Body]]) -> None:
        """The first entries of the sitting, and where zero lies."""
        drafts = [(lane, self.draft(None, body)) for lane, body in bodies]
        entries = self.pen.write_first(drafts)
        self.others.remember([*self._seat.past, *entries])
        self._spread(entries, {}, "")
        self._find_zero()

    def decide(
        self,
        number: int,
        press: Press,
        *,
        boot_ms: int | None = None,
        key: str = "",
        alone: bool = False,
    ) -> None:
        """Write what a press comes to; `alone`: for this lane, if of the heat."""
        decided = decide(self.states[number], press)
        if isinstance(decided, Refusal):
            self.tell(Refused(lane=number, says=decided.says, key=key))
            return
        if isinstance(press.act, Claim):
            decided = (replace(decided[0], body=self._carried_on(number, press.act)),)
        drafts = [
            (number if alone else _lane_of(draft.body, number), draft)
            for draft in decided
        ]
        plans: dict[int, Plan] = {}
        body = decided[0].body
        if isinstance(body, Scale | Is):
            try:
                plans, changed = self._change_of_day(number, decided[0], body)
            except InputError as error:
                says = error.problems[0].what
                self.tell(Refused(lane=number, says=says, key=key))
                return
            drafts = [(number, changed)]
        when = self.clock.boot_ms() if boot_ms is None else boot_ms
        if isinstance(body, Claim):
            self.who = body.judge
        if isinstance(body, WallSet) and body.copies is None:
            moment = replace(body, boot=self.clock.boot, boot_ms=when)
            drafts = [(None, replace(decided[0], body=moment))]
        try:
            self.write(drafts, boot_ms=when, plans=plans, key=key)
        except Unwritable as error:
            self.tell(Refused(lane=number, says=f"Not written: {error}.", key=key))

    def _carried_on(self, number: int, claim: Claim) -> Claim:
        """Another judge at this desk carries the same run on."""
        books = dict.fromkeys(e.book for e in self.states[number].entries)
        last = {e.book: e.number for e in self.states[number].entries}
        covers = tuple(
            Ref(b, self.book.last if b == self.book.id else last[b]) for b in books
        )
        return replace(claim, covers=covers)

    def _change_of_day(
        self, number: int, draft: Draft, body: Scale | Is
    ) -> tuple[dict[int, Plan], Draft]:
        """Another plan for the lane; after go it is sealed beside the entry."""
        entry = self.pen.entry(self.book.last + 1, number, draft, 2**62)
        plan = self._seat.resolve(number, [*self.day, entry])
        if self.zero_boot_ms is None:
            return {number: plan}, draft
        # What was pressed so far stays what it was, whatever the files say by now.
        plan = replace(plan, watching=self.states[number].plan.watching)
        sealed = replace(body, plan=plan_hash(encode_plan(plan)))
        return {number: plan}, replace(draft, body=sealed)

    def plans(self, lanes: Sequence[int]) -> dict[int, Plan] | None:
        """The lanes' plans of today, or None (told why) if one cannot be made."""
        try:
            return {n: self._seat.resolve(n, self.day) for n in lanes}
        except InputError as error:
            self.tell(Refused(lane=lanes[0], says=error.problems[0].what, key="g"))
            return None

    def draft(self, at: int | None, body: Body) -> Draft:
        return Draft(at=at, set=None, body=body, who=self.who)

    def write_all(self, body: Body) -> None:
        now = self.clock.boot_ms()
        self.write([(None, self.draft(self.heat_ms(now), body))], boot_ms=now)

    def write(
        self,
        drafts: Sequence[tuple[int | None, Draft]],
        *,
        boot_ms: int,
        plans: Mapping[int, Plan] | None = None,
        key: str = "",
    ) -> None:
        known = plans or {}
        entries = self.pen.write(drafts, boot_ms=boot_ms, plans=known.values())
        self._spread(entries, known, key)

    def catch_up(self) -> None:
        """Show what is durable and was not shown: a step failed halfway."""
        missed = self.book.entries(after=min(self._shown.values()))
        for number, shown in self._shown.items():
            new = [e for e in missed if e.number > shown and e.lane in (None, number)]
            if new:
                self._evolve(number, tuple(new), None, "")

    def _spread(
        self, entries: Sequence[Entry], plans: Mapping[int, Plan], key: str
    ) -> None:
        self.others.note(entries)
        self._set_clock(entries)
        self.day += [e for e in entries if isinstance(e.body, Is | Scale | Absent)]
        self.checks += checks_in(entries)
        for number in self.lanes:
            mine = tuple(e for e in entries if e.lane in (None, number))
            if mine:
                self._evolve(number, mine, plans.get(number), key)

    def _set_clock(self, entries: Sequence[Entry]) -> None:
        """Zero moves before anyone hears of it, as the stamps do."""
        sets = [(e.at, e.body) for e in entries if isinstance(e.body, WallSet)]
        for at, body in sets:
            if self.zero_boot_ms is not None and at is not None:
                self.zero_boot_ms -= body.shows_ms - at
                self.tell(Started(zero_boot_ms=self.zero_boot_ms))

    def _evolve(
        self, number: int, entries: tuple[Entry, ...], plan: Plan | None, key: str
    ) -> None:
        lane = self.states[number]
        if plan is not None and plan != lane.plan:
            lane = fold(plan, lane.entries)
        for entry in entries:
            lane = evolve(lane, entry)
        self.states[number] = lane
        self._shown[number] = entries[-1].number
        self._note_code(number, lane)
        self.tell(Judged(lane=number, state=lane, entries=entries, key=key))
        if lane.recalled:
            self._back_to_the_line(number, lane)

    def _back_to_the_line(self, number: int, lane: Lane) -> None:
        """After a recall a new run begins in the same book."""
        self.zero_boot_ms = None
        state = fold(lane.plan, standing_after_recall(lane.entries, number))
        self.states[number] = state
        time, _ = self.times.get(number, (1, ""))
        self.times[number] = time + 1, AFTER_RECALL
        self.tell(Judged(lane=number, state=state, entries=()))
        if lane.absent:
            # Whoever was not here is not here in the new run either.
            self.decide(number, Press(at=None, act=Absent(), who=self.who))

    def _note_code(self, number: int, lane: Lane) -> None:
        # Only a scorecard shows the code, so a rep need not pay for it.
        if looking.is_over(lane) or lane.signatures:
            pieces = [
                chain.piece(ref.number, self._hash_of(ref))
                for ref in looking.read_up_to(lane)
            ]
            self.codes[number] = chain.code_of(pieces)

    def _hash_of(self, ref: Ref) -> str:
        if ref.book == self.book.id:
            return self.book.hash_at(ref.number)
        return self._seat.hash_of(ref)

    # --- a lane more ---

    def take_in(self, number: int, heat: Heat) -> bool:
        """One more lane, claimed in this book; whether it is there.

        What was said to the whole heat since its start holds there too, as it will for
        whoever reads the book. `heat` is the heat as its files have it by now.
        """
        source: Source = "second" if self._seat.second else "live"
        try:
            plan = heat.plan_of(number, self.day)
        except JudgekitError as error:
            self.tell(Refused(lane=self.lanes[0], says=f"{error}", key="w"))
            return False
        claim = self.draft(None, Claim(judge=self.who, source=source))
        entries = self.pen.write([(number, claim)], boot_ms=self.clock.boot_ms())
        if not entries:
            return False
        self._seat = replace(self._seat, resolve=heat.plan_of, bib_in=heat.bib_in)
        said = [e for e in self.book.entries() if e.lane is None]
        before = since_recall([*said, *entries], entries[-1])[:-1]
        self.states[number] = fold(plan, before)
        self.lanes = tuple(sorted(self.states))
        self._shown[number] = entries[-1].number - 1
        self.others.remember(entries)
        self.tell(Joined(lane=number))
        self._spread(entries, {}, "w")
        return True

    # --- zero ---

    def _find_zero(self) -> None:
        """Where zero lies after opening: exact in the same boot, else by the wall."""
        found = [
            (e.wall, e.ref, number)
            for number in self.lanes
            for e in looking.heat_gos(self.states[number])[-1:]
        ]
        if not found:
            return
        _, ref, number = max(found)
        lane = self.states[number]
        gos = [e.body for e in looking.heat_gos(lane) if isinstance(e.body, Go)]
        # When it was called is the first go's to say, whatever moved zero since.
        self.began = gos[0].zero_ms - COUNTDOWN_MS
        go = replace(
            gos[-1],
            boot_ms=gos[-1].boot_ms - lane.zero_moved_ms,
            zero_ms=gos[-1].zero_ms - lane.zero_moved_ms,
        )
        if go.boot == self.clock.boot:
            self._zero_is(go.boot_ms)
        else:
            self._zero_by_the_wall(go, ref)

    def _zero_by_the_wall(self, go: Go, ref: Ref) -> None:
        """In another boot only the wall clock still knows where zero was."""
        zero = self.clock.boot_ms() - (self.clock.wall_ms() - go.zero_ms)
        found = replace(go, boot=self.clock.boot, boot_ms=zero, plans=(), copies=ref)
        self._zero_is(zero)
        # Kept, so that a later step of the wall clock cannot move it again.
        why = "opened in another boot: heat time goes by the wall clock"
        now = self.clock.boot_ms()
        bodies = (found, Gap(off_ms=1000, why=why))
        drafts = [(None, self.draft(now - zero, body)) for body in bodies]
        self.write(drafts, boot_ms=now)
        self.tell(Told(says=f"{why}, so it may be a second off"))

    def set_zero(self, go: Go) -> None:
        """A start was just called, here or at another desk."""
        self.began = go.zero_ms - COUNTDOWN_MS
        self._zero_is(go.boot_ms)

    def _zero_is(self, boot_ms: int) -> None:
        self.zero_boot_ms = boot_ms
        self.tell(Started(zero_boot_ms=boot_ms))

    def tell(self, news: News) -> None:
        for listener in self.listeners:
            # A screen that fails has its own alarm; the desk must go on.
            with suppress(Exception):
                listener(news)


def _lane_of(body: Body, number: int) -> int | None:
    return None if isinstance(body, OF_HEAT) else number


def hashes(plans: Mapping[int, Plan]) -> tuple[tuple[int, str], ...]:
    return tuple((n, plan_hash(encode_plan(p))) for n, p in sorted(plans.items()))
