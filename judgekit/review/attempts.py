"""Lanes as tidy rows: every attempt, set and cue, with all that it is counted by.

Tables over many lanes, exports and the season's files are made of these rows alone.
An attempt stands here if it tells how the athlete moves (see `judged.py`); what an
athlete reported is no attempt, and stands in the sets.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.entry import Claim
from judgekit.core.looking import line_of_work
from judgekit.core.plan import OPEN, Plan, SetKey
from judgekit.core.seeing import seen_in
from judgekit.core.teams import worker
from judgekit.core.values import dataclass
from judgekit.core.workout import Unit
from judgekit.review.judged import (
    Watched,
    closed_looks,
    is_missed,
    is_told,
    on_paper,
    verdict,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from judgekit.core.ruling import Ref
    from judgekit.core.state import Attempt, CueGiven, Lane, SetDone
    from judgekit.core.timeline import Timeline


# What is pressed rep by rep; monitors and clocks count the rest.
_BY_PRESS = ("reps", "segments")
_new = tuple.__new__


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneFacts:
    """What all rows of one lane share.

    `who` is the person, whichever event it is (empty: nobody knows); `judge` an id. Of
    a lane it is the judge who had it last; a row has the one who judged it.
    """

    plan: Plan
    who: str = ""
    judge: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetFacts:
    """What all attempts at one set share.

    `part` is the part's id, `load` as shown. `rated`: each attempt was one press, so
    that no-reps are out of a number of attempts.
    """

    key: SetKey
    part: str
    card: str
    movement: str
    unit: Unit
    load: str = ""
    instead_of: str = ""
    rated: bool = True


def athlete_of(facts: LaneFacts, by: str) -> str:
    """Who tried: a person over all events, else a bib; of a team the member, if said.

    In a lane that is somebody's own it is that person.
    """
    if by in ("", facts.plan.bib):
        return facts.who or facts.plan.bib
    return by


class AttemptRow(NamedTuple):
    """One press: `n` attempts, all good or one no-rep with its faults.

    `at` is ms on the lane's own clock. `rep` is the rep of the set that was being
    tried (the last of `n`), counted from 1: after three good reps every try is at the
    fourth; `attempt` counts the tries at the set. `by` is the bib of who tried, empty
    where a team's judge did not say. Sampled attempts have no `rep` (0), and those a
    look only counted have its end's time. From paper nothing has a time: such a row is
    not `timed`, has neither `rep` nor `attempt`, and round 0 where nobody wrote it.
    """

    lane: LaneFacts
    set: SetFacts
    watched: Watched
    at: int
    rep: int
    attempt: int
    good: bool
    n: int
    faults: tuple[str, ...]
    by: str
    timed: bool = True

    @property
    def rated(self) -> bool:
        """Whether it is one of a known number of attempts."""
        return self.set.rated and self.watched != "reported"

    @property
    def is_placed(self) -> bool:
        """Whether it is known at which rep of its set, and when, it was judged."""
        return self.watched == "judged" and self.timed and self.set.rated


class SetRow(NamedTuple):
    """One set touched: `target` is None where there is none.

    Times are ms on the lane's own clock: `opened` when its round opened or the set
    before was done, `first` and `last` its first and last attempts, `done` when full.
    A set from paper is not `timed`: it has none of the last three, and no-reps only
    where they are known to be its own.
    """

    lane: LaneFacts
    set: SetFacts
    watched: Watched
    target: int | None
    good: int
    no_reps: int
    opened: int
    first: int | None
    last: int | None
    done: int | None
    left: str
    pieces: tuple[int, ...]
    timed: bool = True


class CueRow(NamedTuple):
    """A cue fault seen, which changed no count; `by` as in an AttemptRow."""

    lane: LaneFacts
    set: SetFacts
    at: int
    fault: str
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneRows:
    """All rows of one lane, each kind in the order of the log."""

    facts: LaneFacts
    attempts: tuple[AttemptRow, ...] = ()
    sets: tuple[SetRow, ...] = ()
    cues: tuple[CueRow, ...] = ()

    @property
    def cues_watched(self) -> Watched:
        """How cues were seen: where athletes told what they did, they were noticed."""
        told = self.facts.plan.watching == "reported"
        told = told or any(done.watched != "judged" for done in self.sets)
        return "reported" if told else "judged"


def lane_rows(lane: Lane, who: str = "") -> LaneRows:
    """The rows of a lane whose run counts."""
    reader = _Reader(lane, LaneFacts(plan=lane.plan, who=who, judge=lane.judge))
    return LaneRows(
        facts=reader.facts,
        attempts=tuple(reader.attempts()),
        sets=tuple(reader.sets()),
        cues=tuple(reader.cues()),
    )


def _by_earlier_judges(lane: Lane, facts: LaneFacts) -> Mapping[Ref, LaneFacts]:
    """What was judged before the lane's last judge had it, by its entries."""
    judges = {
        entry.body.judge for entry in lane.entries if isinstance(entry.body, Claim)
    }
    if len(judges) < 2:  # noqa: PLR2004 - nobody relieved anybody
        return {}
    of = {judge: replace(facts, judge=judge) for judge in judges}
    found: dict[Ref, LaneFacts] = {}
    judge = lane.judge
    for entry in lane.entries:
        if isinstance(entry.body, Claim):
            judge = entry.body.judge
        elif judge != lane.judge:
            found[entry.ref] = of[judge]
    return found


@dataclass(slots=True)
class _Tried:
    """A set while its attempts are gone through: how many so far, good and in all."""

    of: SetFacts
    good: int = 0
    tried: int = 0


class _Reader:
    """One lane while its rows are made; a set's facts are made once."""

    def __init__(self, lane: Lane, facts: LaneFacts) -> None:
        self.lane = lane
        self.facts = facts
        self.earlier = _by_earlier_judges(lane, facts)
        self.known: dict[tuple[SetKey, bool], SetFacts] = {}

    def set(self, key: SetKey, *, looked_at: bool = False) -> SetFacts:
        """The facts of a set; each attempt that a look saw was looked at."""
        found = self.known.get((key, looked_at))
        if found is None:
            found = _set_facts(self.lane.plan, key, looked_at=looked_at)
            self.known[key, looked_at] = found
        return found

    def attempts(self) -> Iterator[AttemptRow]:
        """Every row of an attempt, however the lane was kept."""
        if self.lane.work.paper is not None:
            return self.written()
        return self.told() if is_told(self.lane) else self.judged()

    def written(self) -> Iterator[AttemptRow]:
        """What totals from paper stand for, together where no round is known."""
        missed = on_paper(self.lane)
        loose = {_movement(one.set) for one in missed if one.any_round}
        counted: dict[SetKey, int] = {}
        for done in self.lane.work.sets:
            if self.lane.plan.movement(done.key).unit in _BY_PRESS:
                key = _somewhere(done.key, loose)
                counted[key] = counted.get(key, 0) + done.good
        for key, good in counted.items():
            if good:
                yield self._written(key, good, good=True)
        for one in missed:
            faults = (one.fault,) if one.fault else ()
            row = self._written(_somewhere(one.set, loose), 1, good=False)
            yield from [row._replace(faults=faults)] * one.n

    def _written(self, key: SetKey, n: int, *, good: bool) -> AttemptRow:
        of = self.set(key)
        by = self._own
        return AttemptRow(
            self.facts, of, "judged", 0, 0, 0, good, n, (), by, timed=False
        )

    def judged(self) -> Iterator[AttemptRow]:
        """Every attempt that tells, with which rep of its set was being tried."""
        facts, earlier = self.facts, self.earlier
        own, alone = self._own, not self.lane.plan.team.members
        known: dict[SetKey, _Tried] = {}
        key, at_set = None, None
        for attempt in self.lane.work.attempts:
            fine = verdict(attempt)
            if fine is None:
                continue
            if at_set is None or attempt.set is not key:
                key = attempt.set
                at_set = known.get(key)
                if at_set is None:
                    at_set = known[key] = _Tried(self.set(key))
            n = attempt.n
            at_set.tried += n
            if fine:
                at_set.good += n
            by = own if alone else worker(self.lane, attempt)
            place = at_set.good if fine else at_set.good + 1, at_set.tried
            faults = () if fine else attempt.faults
            # As AttemptRow(...) makes it, in half of the time: there is one for each.
            rest = fine, n, faults, by, True
            whose = earlier.get(attempt.ref, facts) if earlier else facts
            row = whose, at_set.of, "judged", attempt.at, *place, *rest
            yield _new(AttemptRow, row)

    def told(self) -> Iterator[AttemptRow]:
        """What looks saw, and faults noticed where nobody counted the attempts."""
        for look in self.lane.work.looks:
            if look.seen is None:
                missed = (press for press in look.presses if not press.good)
                yield from self._unrated(missed)
                continue
            of = self.set(look.set, looked_at=True)
            for press in look.presses:
                yield self._row(press, of, "sampled", 0, 0)
            unpressed = look.seen - seen_in(look.presses)
            if unpressed:
                at = look.until_ms or look.from_ms
                yield AttemptRow(
                    self.facts, of, "sampled", at, 0, 0, True, unpressed, (), self._own
                )
        yield from self._unrated(iter(self.lane.work.noticed))

    def _unrated(self, seen: Iterator[Attempt]) -> Iterator[AttemptRow]:
        for press in seen:
            yield self._row(press, self.set(press.set), "reported", 0, 0)

    def cues(self) -> Iterator[CueRow]:
        """Every cue fault, and whose it was."""
        for cue in self.lane.work.cues:
            by = self._by(cue)
            facts = self.earlier.get(cue.ref, self.facts)
            yield CueRow(facts, self.set(cue.set), cue.at, cue.fault, by)

    def _by(self, made: Attempt | CueGiven) -> str:
        members = self.lane.plan.team.members
        return worker(self.lane, made) if members else self._own

    def _row(
        self, attempt: Attempt, of: SetFacts, watched: Watched, rep: int, tried: int
    ) -> AttemptRow:
        missed = is_missed(attempt)
        return AttemptRow(
            self.earlier.get(attempt.ref, self.facts),
            of,
            watched,
            attempt.at,
            rep,
            tried,
            not missed,
            attempt.n,
            attempt.faults if missed else (),
            self._by(attempt),
        )

    @property
    def _own(self) -> str:
        """Who works in a lane of one."""
        plan = self.lane.plan
        return "" if plan.team.members else plan.bib

    def sets(self) -> Iterator[SetRow]:
        """Every set touched, in the plan's order."""
        line = line_of_work(self.lane, self.lane.work)
        looked = {look.set for look in closed_looks(self.lane)}
        told = is_told(self.lane)
        ended = 0
        for done in self.lane.work.sets:
            seen: Watched = "sampled" if done.key in looked else "reported"
            yield self._set_row(done, seen if told else "judged", line, ended)
            ended = done.done_ms or done.last_ms or ended

    def _set_row(
        self, done: SetDone, watched: Watched, line: Timeline, ended: int
    ) -> SetRow:
        plan = self.lane.plan
        pieces = plan.movement(done.key).pieces
        timed = self.lane.work.paper is None
        return SetRow(
            self.facts,
            self.set(done.key),
            watched,
            None if done.target == OPEN else done.target,
            done.good,
            done.no_reps if timed else _no_reps_in(self.lane, done.key),
            max(line.opening(done.key) or 0, ended),
            done.first_ms,
            done.last_ms,
            done.done_ms if timed else None,
            done.moved_on,
            pieces[min(done.key.round, len(pieces)) - 1] if pieces else (),
            timed,
        )


def _movement(key: SetKey) -> tuple[int, int]:
    return key.part, key.movement


def _somewhere(key: SetKey, loose: set[tuple[int, int]]) -> SetKey:
    """The set, or its movement in whichever round."""
    return key._replace(round=0) if _movement(key) in loose else key


def _no_reps_in(lane: Lane, key: SetKey) -> int:
    known = (o for o in on_paper(lane) if o.set == key and not o.any_round)
    return sum(one.n for one in known)


def _set_facts(plan: Plan, key: SetKey, *, looked_at: bool) -> SetFacts:
    movement = plan.movement(key)
    return SetFacts(
        key=key,
        part=plan.part(key).id,
        card=movement.card,
        movement=plan.card(movement.card).name,
        unit=movement.unit,
        load=_load(plan, key),
        instead_of=movement.instead_of,
        rated=looked_at or movement.unit == "reps",
    )


def _load(plan: Plan, key: SetKey) -> str:
    """The load of a set; in whichever round only if it is that of all."""
    if key.round:
        return plan.load(key)
    loads = set(plan.movement(key).loads)
    return loads.pop() if len(loads) == 1 else ""
