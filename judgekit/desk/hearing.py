"""Hearing the heat's other desks: their go, their orders, their day, their claims."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.entry import (
    Absent,
    Claim,
    Entry,
    Freeze,
    Go,
    Is,
    Recall,
    Scale,
    Stop,
    Time,
    Unfreeze,
    WallSet,
)
from judgekit.core.lane import fold
from judgekit.core.lanecheck import OTHER_DESK
from judgekit.core.press import Press
from judgekit.desk.news import Judged, Lost
from judgekit.desk.others import OBEYED
from judgekit.desk.sitting import hashes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from judgekit.desk.checking import Checking
    from judgekit.desk.sitting import Sitting


class Hearing:
    """What entries of other books mean for one sitting. `lost` lanes count no more."""

    def __init__(self, sitting: Sitting, checking: Checking) -> None:
        self._sitting = sitting
        self._checking = checking
        self.lost: set[int] = set()

    def take(self, entries: Sequence[Entry]) -> None:
        """Entries as the follower read them, in the order of their wall times."""
        self._sitting.others.note(entries)
        for entry in entries:
            self._hear(entry)

    def _hear(self, entry: Entry) -> None:
        body = entry.body
        if isinstance(body, Claim):
            self._hear_claim(entry, body)
        elif isinstance(body, Is | Scale | Absent):
            self._hear_day(entry, body)
        elif isinstance(body, Go):
            self._hear_go(entry)
        elif isinstance(body, OBEYED) and self._sitting.zero_boot_ms is not None:
            self._hear_order(entry, body)

    def _hear_order(
        self, entry: Entry, body: Recall | Freeze | Unfreeze | Stop | Time | WallSet
    ) -> None:
        if self._sitting.others.obeys(entry, self._sitting.states, self._sitting.began):
            number = self._sitting.lanes[0] if entry.lane is None else entry.lane
            act = replace(body, copies=entry.ref)
            if isinstance(act, WallSet):
                self._set_clock(number, entry, act)
                return
            press = Press(at=entry.at, act=act, who=entry.who)
            # A head judge may freeze one lane of a desk that has several.
            self._sitting.decide(number, press, alone=entry.lane is not None)

    def _set_clock(self, number: int, entry: Entry, act: WallSet) -> None:
        """The wall was read at another desk: the moment counts, not its stamp there.

        Of two readings the later one stands, whichever is heard last.
        """
        sitting = self._sitting
        moment = act.boot_ms
        if act.boot != sitting.clock.boot:
            moment = sitting.clock.boot_ms() - (sitting.clock.wall_ms() - entry.wall)
        sets = (e.body for e in sitting.states[number].entries)
        own = [b.boot_ms for b in sets if isinstance(b, WallSet) and b.boot == act.boot]
        if moment >= max(own, default=moment):
            at = sitting.heat_ms(moment)
            sitting.decide(number, Press(at=at, act=act, who=entry.who))

    def _hear_day(self, entry: Entry, body: Is | Scale | Absent) -> None:
        """A change of the day that was made at another desk."""
        number = entry.lane
        known = any(e.ref == entry.ref for e in self._sitting.day)
        if known or number not in self._sitting.states or number is None:
            return
        self._sitting.day.append(entry)
        if isinstance(body, Absent):
            if body.absent != self._sitting.states[number].absent:
                self._sitting.decide(number, Press(at=None, act=body, who=entry.who))
        elif self._sitting.zero_boot_ms is None:
            self._replan(number)
        else:
            # The sealed plan is this desk's own affair: it seals another one.
            now = self._sitting.heat_ms(self._sitting.clock.boot_ms())
            self._sitting.decide(number, Press(at=now, act=body, who=entry.who))

    def _replan(self, number: int) -> None:
        plans = self._sitting.plans((number,))
        if plans is not None:
            self._sitting.states[number] = fold(
                plans[number], self._sitting.states[number].entries
            )
            self._sitting.tell(
                Judged(lane=number, state=self._sitting.states[number], entries=())
            )

    def _hear_claim(self, entry: Entry, claim: Claim) -> None:
        mine = entry.lane in self._sitting.states and entry.lane not in self.lost
        if mine and entry.lane is not None and self._sitting.others.loses_to(entry):
            self.lost.add(entry.lane)
            self._sitting.tell(Lost(lane=entry.lane, to=claim.judge or entry.who))

    def _hear_go(self, entry: Entry) -> None:
        now = self._sitting.clock.boot_ms()
        go = self._sitting.others.takes_go(
            entry,
            zero=self._sitting.zero_boot_ms,
            lane=self._sitting.states[self._sitting.lanes[0]],
            now_boot_ms=now,
        )
        if go is None:
            return
        plans = self._sitting.plans(self._sitting.lanes)
        if plans is None:
            return
        body = replace(go, copies=entry.ref, plans=hashes(plans))
        draft = self._sitting.draft(now - go.boot_ms, body)
        left = self._checking.going(self._sitting.lanes, OTHER_DESK) or []
        self._sitting.write([*left, (None, draft)], boot_ms=now, plans=plans)
        self._sitting.set_zero(go)
