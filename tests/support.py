"""Small plans, and a desk without a desk: decide and evolve, nothing else."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from judgekit.core.decide import decide
from judgekit.core.entry import Claim, Entry, Go
from judgekit.core.errors import Refusal
from judgekit.core.lane import empty, evolve
from judgekit.core.plan import (
    Plan,
    PlanCard,
    PlanCriterion,
    PlanFault,
    PlanMovement,
    PlanPart,
    SetKey,
)
from judgekit.core.press import Act, Press
from judgekit.core.state import Lane

if TYPE_CHECKING:
    from judgekit.core.entry import Body

ZERO_WALL = 1_809_763_200_000  # 2027-05-08 08:00:00 UTC


def fault(id_: str, key: str, *, cue: bool = False) -> PlanFault:
    return PlanFault(
        id=id_,
        weight="cue" if cue else "void",
        breaks="" if cue else id_,
        key=key,
        call=id_.upper(),
        cues=("one", "two", "three"),
        drill="Ten slow ones",
    )


def card(id_: str, *, floor: int = 1200, changeover: int = 1500) -> PlanCard:
    return PlanCard(
        id=id_,
        name=id_.replace("-", " ").capitalize(),
        revision=1,
        ends="top",
        view="from the side",
        floor_ms=floor,
        brisk_ms=floor + 500,
        ordinary_ms=2 * floor,
        changeover_ms=changeover,
        source="common practice",
        start="Standing tall",
        finish="Standing tall again",
        criteria=(
            PlanCriterion(
                id="depth", kind="depth", at="bottom", says="Hip crease below the knee"
            ),
            PlanCriterion(
                id="lock", kind="lockout", at="finish", says="Knees and hips straight"
            ),
        ),
        settings=(),
        faults=(fault("depth", "d"), fault("lock", "k"), fault("heels", "h", cue=True)),
        stop_signs=("Sharp pain",),
        caution="",
    )


def movement(id_: str, *targets: int, unit: str = "reps") -> PlanMovement:
    return PlanMovement(card=id_, unit=unit, targets=targets)  # type: ignore[arg-type]


SQUAT, TOES, ROW = (
    card("front-squat"),
    card("toes-to-bar", floor=850),
    card("row", floor=900),
)


def for_time(**changes: object) -> Plan:
    """Two rounds of 3 + 2, a rest of 60 s, then 4 calories and 2 squats."""
    plan = Plan(
        event="Quayside Saturday",
        date="2027-05-08",
        zone="Europe/Berlin",
        heat="3",
        lane=4,
        bib="27",
        name="Ines Varga",
        show="name",
        division="women-open",
        division_name="Women",
        workout="quayside",
        workout_name="Quayside",
        revision=1,
        score="time",
        rest="excluded",
        cap_ms=600_000,
        capped="below",
        precision_ms=1000,
        parts=(
            PlanPart(
                id="A",
                kind="rounds",
                rounds=2,
                movements=(movement("front-squat", 3), movement("toes-to-bar", 2)),
            ),
            PlanPart(id="", kind="rest", length_ms=60_000),
            PlanPart(
                id="B",
                kind="rounds",
                rounds=1,
                movements=(
                    movement("row", 4, unit="calories"),
                    movement("front-squat", 2),
                ),
            ),
        ),
        cards=(SQUAT, TOES, ROW),
    )
    return replace(plan, **changes)  # type: ignore[arg-type]


def window(**changes: object) -> Plan:
    """As many rounds of 5 squats and 8 toes-to-bar as fit in five minutes."""
    part = PlanPart(
        id="A",
        kind="window",
        length_ms=300_000,
        movements=(movement("front-squat", 5), movement("toes-to-bar", 8)),
    )
    return replace(
        for_time(score="reps", cap_ms=0, parts=(part,), cards=(SQUAT, TOES)),
        **changes,  # type: ignore[arg-type]
    )


def simple(reps: int = 10, **changes: object) -> Plan:
    """One set of one movement, for time, without a cap."""
    part = PlanPart(
        id="A", kind="rounds", rounds=1, movements=(movement("front-squat", reps),)
    )
    return replace(
        for_time(cap_ms=0, parts=(part,), cards=(SQUAT,)),
        **changes,  # type: ignore[arg-type]
    )


@dataclass
class Played:
    """A lane under the judge's keys, with every entry and every refusal."""

    plan: Plan
    book: str = "b"
    lane: Lane = field(init=False)
    entries: list[Entry] = field(default_factory=list)
    refusals: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.lane = empty(self.plan)
        self.put(Claim(judge="kb"), None)

    def go(self) -> Played:
        self.put(Go(boot="boot", boot_ms=0, zero_ms=ZERO_WALL), 0)
        return self

    def put(self, body: Body, at: int | None, key: SetKey | None = None) -> None:
        """An entry straight into the log."""
        self._add(
            Entry(
                book=self.book,
                number=len(self.entries) + 1,
                lane=None if isinstance(body, Go) else self.plan.lane,
                at=at,
                wall=ZERO_WALL + (at or 0),
                who="kb",
                set=key,
                body=body,
            )
        )

    def press(self, seconds: float, act: Act) -> Lane:
        """A press at so many seconds of heat time."""
        at = round(seconds * 1000)
        decided = decide(self.lane, Press(at=at, act=act, who="kb"))
        if isinstance(decided, Refusal):
            self.refusals.append(decided.says)
            return self.lane
        for draft in decided:
            self._add(
                Entry(
                    book=self.book,
                    number=len(self.entries) + 1,
                    lane=self.plan.lane,
                    at=draft.at,
                    wall=ZERO_WALL + at,
                    who=draft.who,
                    set=draft.set,
                    body=draft.body,
                )
            )
        return self.lane

    def each(self, act: Act, *seconds: float) -> Lane:
        """The same press at several times."""
        for moment in seconds:
            self.press(moment, act)
        return self.lane

    def _add(self, entry: Entry) -> None:
        self.entries.append(entry)
        self.lane = evolve(self.lane, entry)

    def counts(self) -> list[tuple[int, int, int, int, int]]:
        """part, round, movement, good, no-reps of each set touched."""
        return [(*s.key, s.good, s.no_reps) for s in self.lane.work.sets]
