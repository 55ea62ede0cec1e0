"""Which presses count: a held key and a paste are told from the work of a hand.

No clock in here: times come in with the presses, whole ms on the boot clock. What does
not count is kept in runs, each to be told and logged once.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from judgekit.core.values import dataclass

# Keys closer than this came from the terminal in one go.
AT_ONCE_MS = 5
# A slow line hands over a few taps together: a hand makes one in 110 ms at best, so
# four are a stall of a third of a second. More of them are a paste, a scanner, or what
# a held key did while the line stood.
MOST_AT_ONCE = 4
# Bundles of one key that follow each other this closely are a held key on a slow line.
AGAIN_MS = 400
# Enough of a paste to know it again in the log.
_SHOWN_KEYS = 12

HELD = "held key"
TOO_FAST = "came at once, faster than a hand"

Verdict = Literal["counts", "at once", "held", "too fast"]


def repeat_limit_ms(setting_ms: int, floor_ms: int) -> int:
    """How soon after itself a key counts as held: less where real reps are that fast.

    Half the card's floor time leaves room for a double press, which is told as one.
    """
    return min(setting_ms, floor_ms // 2) if floor_ms else setting_ms


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """One key, and when, on the boot clock.

    `read` is the same for all keys that were read from the terminal in one go, and
    `many` says how many those are. `place` is the lane it is about, where a screen has
    several: the same key for another lane is no repeat.
    """

    key: str
    at: int
    read: float = 0.0
    many: int = 1
    place: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Presses in a row that did not count, and why; times on the boot clock."""

    key: str
    first_ms: int
    last_ms: int
    many: int
    why: str = HELD
    place: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """The last press of a key, and how often it came in a row in that read."""

    press: Press
    times: int = 1
    held: bool = False
    run: Run | None = None


class Guard:
    """Tells presses from repeats, for each key on its own, and from pastes.

    `most` keys that came at once may all be a hand's.
    """

    def __init__(self, most: int = MOST_AT_ONCE) -> None:
        self._most = most
        self._seen: dict[tuple[int, str], _Seen] = {}
        self._last: Press | None = None
        self._together = 0
        self._burst: Run | None = None
        self._finished: list[Run] = []

    def press(self, press: Press, limit_ms: int) -> Verdict:
        """Whether this press counts; one that does not is kept in a run.

        "at once" counts too: it is one of a few that came together.
        """
        last, self._last = self._last, press
        near = last is not None and _at_once(last, press)
        self._together = self._together + 1 if near else 1
        too_many = max(self._together, press.many) > self._most
        # A held key sends nothing else in between.
        in_a_row = last is not None and _same_key(last, press)
        if self._is_held(press, limit_ms, too_many=too_many, in_a_row=in_a_row):
            return "held"
        if too_many:
            self._add_to_burst(press, near=near)
            return "too fast"
        return "at once" if self._together > 1 else "counts"

    def _is_held(
        self, press: Press, limit_ms: int, *, too_many: bool, in_a_row: bool
    ) -> bool:
        which = press.place, press.key
        before = self._seen.get(which)
        if before is None:
            self._seen[which] = _Seen(press=press)
            return False
        bundled = in_a_row and _one_read(before.press, press)
        times = before.times + 1 if bundled else 1
        seen = _Seen(press=press, times=times, run=before.run)
        # In a paste a letter that comes again is no repeat, unless it was one before.
        held = before.held or not too_many
        if not (held and _repeats(before, press, limit_ms)):
            self._finish(before.run)
            self._seen[which] = replace(seen, run=None)
            return False
        run = before.run or Run(
            key=press.key,
            first_ms=press.at,
            last_ms=press.at,
            many=0,
            place=press.place,
        )
        run = replace(run, last_ms=press.at, many=run.many + 1)
        self._seen[which] = replace(seen, held=True, run=run)
        return True

    def _add_to_burst(self, press: Press, *, near: bool) -> None:
        burst = self._burst
        if burst is None or not near:
            self._finish(burst)
            burst = Run(
                key="", first_ms=press.at, last_ms=press.at, many=0, why=TOO_FAST
            )
        self._burst = replace(
            burst,
            key=_listed(burst.key, press.key, burst.many),
            last_ms=max(burst.last_ms, press.at),
            many=burst.many + 1,
        )

    def _finish(self, run: Run | None) -> None:
        if run is not None:
            self._finished.append(run)

    def ended(self, now: int, limit_ms: int) -> tuple[Run, ...]:
        """The runs that have ended by `now`; each is given once."""
        done, self._finished = self._finished, []
        for which, seen in self._seen.items():
            run = seen.run
            limit = AGAIN_MS if seen.times > 1 else limit_ms
            if run is not None and now - run.last_ms > limit:
                done.append(run)
                self._seen[which] = replace(seen, run=None)
        burst = self._burst
        if burst is not None and now - burst.last_ms > AT_ONCE_MS:
            done.append(burst)
            self._burst = None
        return tuple(done)

    @property
    def waiting(self) -> bool:
        """Whether a run has not been given yet."""
        runs = [seen.run for seen in self._seen.values()]
        return any(run is not None for run in (*runs, self._burst, *self._finished))


def _one_read(before: Press, press: Press) -> bool:
    return bool(press.read) and before.read == press.read


def _same_key(before: Press, press: Press) -> bool:
    return (before.key, before.place) == (press.key, press.place)


def _at_once(before: Press, press: Press) -> bool:
    return _one_read(before, press) or 0 <= press.at - before.at < AT_ONCE_MS


def _repeats(before: _Seen, press: Press, limit_ms: int) -> bool:
    """Whether the press is a repeat of the same key's last one."""
    if _at_once(before.press, press):
        # Within a run, repeats that a slow line delivered together are repeats still.
        return before.held
    bundles = before.times > 1 and (before.held or press.many > 1)
    limit = AGAIN_MS if bundles else limit_ms
    return 0 <= press.at - before.press.at <= limit


def _listed(listed: str, key: str, many: int) -> str:
    if many < _SHOWN_KEYS:
        return f"{listed} {key}" if listed else key
    return listed if listed.endswith("…") else f"{listed} …"
