"""When sets open and when the clock ends them, read a second time: part after part.

All times are ms on the lane's own clock. It knows of the work only when parts and
rounds were done.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from judgekit.core.plan import Plan, SetKey

if TYPE_CHECKING:
    from collections.abc import Callable

LIFT_MS = 10_000


@dataclass
class Rest:
    """A rest that was reached; `round` is the one it follows, 0 for a part."""

    part: int
    round: int
    until: int


@dataclass
class Hours:
    """The opening of each part reached, the horn of each part, and the rests."""

    plan: Plan
    part_ends: Mapping[int, int]
    round_ends: Mapping[tuple[int, int], int]
    opens: dict[int, int] = field(default_factory=dict)
    ends: dict[int, int] = field(default_factory=dict)
    rests: list[Rest] = field(default_factory=list)

    def __post_init__(self) -> None:
        begins: int | None = 0
        for number, part in enumerate(self.plan.parts, 1):
            if begins is None:
                return
            self.opens[number] = begins
            if part.kind == "rest":
                begins += part.length_ms
                self.rests.append(Rest(number, 0, begins))
            elif part.kind == "rest-until":
                begins = max(begins, part.until_ms)
                self.rests.append(Rest(number, 0, begins))
            elif by_work(self.plan, number):
                self._own_rests(number)
                begins = self.part_ends.get(number)
            else:
                begins = self.ends[number] = self._clock_end(number, begins)

    def _own_rests(self, number: int) -> None:
        part = self.plan.parts[number - 1]
        for round_ in range(1, part.rounds):
            done = self.round_ends.get((number, round_))
            if part.rest_ms and done is not None:
                self.rests.append(Rest(number, round_, done + part.rest_ms))

    def _clock_end(self, number: int, begins: int) -> int:
        part = self.plan.parts[number - 1]
        if part.kind == "every":
            return begins + (part.rounds - 1) * part.every_ms + part.work_ms
        if part.until_ms:
            return max(begins, part.until_ms)
        return begins + part.length_ms

    def bell(self) -> int | None:
        """When all work is over, wherever the athlete is."""
        last = [part for part in self.plan.parts if part.is_work][-1]
        known = [ms for ms in (self.plan.cap_ms, last.until_ms) if ms]
        return min(known) if known else None

    def horn(self, key: SetKey) -> int | None:
        """When the clock ends that set."""
        part = self.plan.parts[key.part - 1]
        ends = [self.bell(), self.ends.get(key.part)]
        if part.kind == "every" and key.part in self.opens:
            opens = self.opens[key.part]
            ends.append(opens + (key.round - 1) * part.every_ms + part.work_ms)
        return min((ms for ms in ends if ms is not None), default=None)

    def opening(self, key: SetKey) -> int | None:
        """When that set's round opens; None while that is not known."""
        part = self.plan.parts[key.part - 1]
        opens = self.opens.get(key.part)
        if opens is None or key.round == 1:
            return opens
        if part.kind == "every":
            return opens + (key.round - 1) * part.every_ms
        if part.rest_ms:
            before = self.round_ends.get((key.part, key.round - 1))
            return None if before is None else before + part.rest_ms
        return opens

    def shut(self, key: SetKey) -> int | None:
        """Until when a rest or the clock keeps the set shut; None if nothing does."""
        part = self.plan.parts[key.part - 1]
        if key.round > 1:
            waits = part.kind == "every" or part.rest_ms > 0
            return self.opening(key) if waits else None
        if key.part == 1 or by_work(self.plan, key.part - 1):
            return None
        return self.opens.get(key.part)

    def lag(self, key: SetKey) -> int:
        """How long after its horn a press may still be meant for that set."""
        part = self.plan.parts[key.part - 1]
        if part.kind == "attempts" and self.plan.last_lift == "started":
            return LIFT_MS
        at_once = self._at_once(key)
        if at_once is None:
            return self.plan.horn_lag_ms
        soonest = self.plan.card_of(at_once).floor_ms - 1
        return min(self.plan.horn_lag_ms, max(soonest, 0))

    def _at_once(self, key: SetKey) -> SetKey | None:
        part = self.plan.parts[key.part - 1]
        if part.kind == "every" and key.round < part.rounds:
            return self.plan.after_round(key) if part.work_ms == part.every_ms else None
        if by_work(self.plan, key.part) or key.part == len(self.plan.parts):
            return None
        if not self.plan.parts[key.part].is_work:
            return None
        return SetKey(key.part + 1, 1, 1)

    def next_by_clock(
        self, key: SetKey, is_open: Callable[[SetKey], bool]
    ) -> SetKey | None:
        """The set that the clock puts on at the horn of one."""
        part = self.plan.parts[key.part - 1]
        if by_work(self.plan, key.part):
            return None
        if part.kind == "every" and key.round < part.rounds:
            left_short = any(map(is_open, self.plan.round_sets(key.part, key.round)))
            if part.until_failed and left_short:
                return None
            found = self.plan.after_round(key)
        else:
            found = self.plan.first_from(key.part + 1)
        while found is not None and not is_open(found):
            found = self.plan.after(found)
        return found

    def on_by_clock(
        self, key: SetKey, at: int, is_open: Callable[[SetKey], bool]
    ) -> SetKey:
        """The set that is on the screen at a time, with that one under way."""
        over = self._over(is_open)
        now = at if over is None else min(at, over)
        while not by_work(self.plan, key.part):
            horn, following = self.horn(key), self.next_by_clock(key, is_open)
            if horn is None or now <= horn or following is None:
                break
            key = following
        return key

    def _over(self, is_open: Callable[[SetKey], bool]) -> int | None:
        """When the clock ends the last work of all."""
        number = max(n for n, part in enumerate(self.plan.parts, 1) if part.is_work)
        part = self.plan.parts[number - 1]
        if by_work(self.plan, number) or number not in self.opens:
            return self.bell()
        if part.until_failed:
            for round_ in range(1, part.rounds + 1):
                keys = self.plan.round_sets(number, round_)
                if any(map(is_open, keys)):
                    return self.horn(keys[0])
        return min(
            (ms for ms in (self.bell(), self.ends[number]) if ms is not None),
            default=None,
        )

    def never_opened(self, key: SetKey, at: int) -> bool:
        """Whether the clock ended all while a rest still kept the set shut."""
        breaks = any(not part.is_work for part in self.plan.parts[: key.part - 1])
        horn = self.horn(key)
        if horn is None or at <= horn or (self.shut(key) is None and not breaks):
            return False
        opening = self.opening(key)
        if opening is not None and key.round > 1 and opening >= horn:
            return True
        here = key.part, key.round
        return any(r.until >= horn for r in self.rests if (r.part, r.round) < here)


def by_work(plan: Plan, number: int) -> bool:
    """Whether a part is over when its work is done, and not by the clock."""
    part = plan.parts[number - 1]
    in_turns = part.kind == "attempts" and part.length_ms == 0
    return part.kind in ("rounds", "hold") or in_turns
