"""What an event's folder holds, once it is read; knows nothing of how it is read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from judgekit.core.card import Card
from judgekit.core.checkitems import Gear
from judgekit.core.errors import Problem
from judgekit.core.people import Athlete, Event, HeatLane
from judgekit.core.setup import athlete_of, resolve, team_of
from judgekit.core.values import dataclass
from judgekit.core.workout import Workout
from judgekit.files.order import bib_order

if TYPE_CHECKING:
    from judgekit.core.entry import Entry
    from judgekit.core.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class EventFolder:
    """Everything that a coach wrote for one event, checked, and advice about it."""

    folder: Path
    event: Event
    athletes: tuple[Athlete, ...]
    heats: tuple[HeatLane, ...]
    workouts: Mapping[str, Workout]
    cards: Mapping[str, Card]
    advice: tuple[Problem, ...] = ()

    def athlete(self, bib: str) -> Athlete | None:
        """The athlete with that bib, or None."""
        return next((a for a in self.athletes if a.bib == bib), None)

    def lanes(self, heat: str) -> tuple[HeatLane, ...]:
        """The lanes of a heat by their numbers; none if there is no such heat."""
        found = [lane for lane in self.heats if lane.heat == heat]
        return tuple(sorted(found, key=lambda lane: lane.lane))

    @property
    def log(self) -> Path:
        """Where the event's books are."""
        return self.folder / "log"

    def plan_of(self, row: HeatLane, day: Sequence[Entry]) -> Plan:
        """The plan of one lane as the files have it now, after the day's entries.

        Raises InputError with every problem found.
        """
        workout = self.workouts[row.workout]
        who = team_of if workout.team else athlete_of
        return resolve(
            event=self.event,
            heat=row,
            athlete=who(row, self.athletes, day),
            workout=workout,
            cards=self.cards,
            day=day,
        )

    def written_cards(self, plan: Plan) -> tuple[Card, ...]:
        """The cards that a plan's workout names for its division."""
        workout = self.workouts.get(plan.workout)
        division = self.event.division(plan.division)
        if workout is None or division is None:
            return ()
        movements = (m for part in workout.parts for m in part.movements)
        ids = (m.card.value_for(division.id, division.standard) for m in movements)
        named = (card for card in ids if card is not None and card in self.cards)
        return tuple(self.cards[card] for card in dict.fromkeys(named))

    @property
    def gear(self) -> Gear | None:
        """What lanes are checked against; None where the event has no lane check."""
        if self.event.rules.lane_check == "off":
            return None
        return Gear(event=self.event, cards=self.cards)

    def workouts_held(self) -> tuple[str, ...]:
        """The workouts in the order in which they are held."""
        order = {name: at for at, name in enumerate(self.heat_names())}
        rows = sorted(self.heats, key=lambda row: order[row.heat])
        return tuple(dict.fromkeys(row.workout for row in rows))

    def heat_names(self) -> tuple[str, ...]:
        """The heats in the order of their starts."""
        ordered = sorted(
            self.heats, key=lambda h: (h.date, h.start_ms, bib_order(h.heat))
        )
        return tuple(dict.fromkeys(lane.heat for lane in ordered))
