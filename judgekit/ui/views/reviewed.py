"""What Review has to show, and what of it is asked for."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Literal, NamedTuple, get_args

from judgekit.core.values import dataclass
from judgekit.review.frequencies import Person, frequencies
from judgekit.review.sessions import Sessions
from judgekit.review.tiring import ALONG, Tiring, tiring
from judgekit.ui.views.bars import ASCII, BLOCKS
from judgekit.ui.views.signs import signs_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.review.attempts import AttemptRow, CueRow, LaneRows
    from judgekit.review.frequencies import Key
    from judgekit.review.pieces import LanePieces
    from judgekit.ui.views.bars import Marks

Look = Literal["faults", "when", "time", "pace", "since"]
LOOKS: tuple[Look, ...] = get_args(Look)
GROUPS: tuple[tuple[Key, ...], ...] = (
    ("movement", "fault"),
    ("movement",),
    ("athlete",),
    ("athlete", "movement", "fault"),
    ("division",),
    ("part",),
    ("round",),
    ("judge",),
    ("workout",),
    ("heat",),
    ("date",),
)
_SEED = 1


class Also(NamedTuple):
    """What is shown beside the faults: how sets were done, and other sessions."""

    pieces: Sequence[LanePieces] = ()
    sessions: Sessions = Sessions()


_NOTHING_ELSE = Also()


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is looked at: grouped how, along what, whose, and which movement alone.

    An empty bib is everybody, an empty card every movement.
    """

    look: Look = "faults"
    group: int = 0
    along: int = 0
    bib: str = ""
    card: str = ""

    @property
    def keys(self) -> tuple[Key, ...]:
        """What faults are counted by; one athlete need not stand in each row."""
        whole = GROUPS[self.group]
        less = tuple(key for key in whole if key != "athlete")
        return less if self.bib and less else whole

    def holds(self, row: AttemptRow | CueRow) -> bool:
        """Whether an attempt or a cue is of whom and what is looked at."""
        mine = self.bib in ("", row.by, row.lane.plan.bib)
        return mine and self.card in ("", row.set.card)

    def turned(self, by: int) -> Asked:
        """Grouped another way, or along something else; a time line has one way."""
        if self.look == "when":
            return replace(self, along=(self.along + by) % len(ALONG))
        if self.look == "faults":
            return replace(self, group=(self.group + by) % len(GROUPS))
        return self

    def next_look(self) -> Asked:
        """Looked at in the next way."""
        at = (LOOKS.index(self.look) + 1) % len(LOOKS)
        return replace(self, look=LOOKS[at])


class Reviewed:
    """An event's rows; what takes long to reckon is reckoned once."""

    def __init__(
        self,
        event: str,
        lanes: Sequence[LaneRows],
        judges: Mapping[str, str],
        *,
        ascii_only: bool = False,
        also: Also = _NOTHING_ELSE,
    ) -> None:
        self.event = event
        self._also = also
        self.judges = judges
        self.marks: Marks = ASCII if ascii_only else BLOCKS
        self._lanes = tuple(lanes)
        self._tiring: dict[tuple[int, str, str], Tiring] = {}

    @cached_property
    def people(self) -> Mapping[str, Person]:
        """Whoever tried something, by bib."""
        found = frequencies(self._lanes, ("athlete",)).people
        return {person.bib: person for person in found.values()}

    @cached_property
    def signs(self) -> Mapping[str, str]:
        """The letter of each call, the same whatever is looked at."""
        return signs_of(self._lanes)

    @cached_property
    def cards(self) -> Mapping[str, str]:
        """The movements of which anything was tried, as they came, and their names."""
        return {
            row.set.card: row.set.movement
            for lane in self._lanes
            for row in lane.attempts
        }

    def next_movement(self, asked: Asked) -> Asked:
        """The same of the next movement alone; of all of them after the last one."""
        every = ["", *self.cards]
        return replace(asked, card=every[(every.index(asked.card) + 1) % len(every)])

    def lanes(self, asked: Asked) -> tuple[LaneRows, ...]:
        """All lanes, or what one athlete tried, of one movement or of all."""
        if not asked.bib and not asked.card:
            return self._lanes
        own = (
            replace(
                lane,
                attempts=tuple(row for row in lane.attempts if asked.holds(row)),
                cues=tuple(cue for cue in lane.cues if asked.holds(cue)),
            )
            for lane in self._lanes
        )
        return tuple(lane for lane in own if lane.attempts)

    def pieces(self, asked: Asked) -> tuple[LanePieces, ...]:
        """How sets were done, of one movement or of all."""
        return tuple(
            replace(
                lane,
                sets=tuple(s for s in lane.sets if asked.card in ("", s.set.card)),
            )
            for lane in self._also.pieces
        )

    def sessions(self, asked: Asked) -> Sessions:
        """What other sessions tell of one movement, or of all."""
        found = self._also.sessions
        return Sessions(
            changes=tuple(c for c in found.changes if asked.card in ("", c.of.card)),
            recurring=tuple(
                one for one in found.recurring if asked.card in ("", one.of.card)
            ),
        )

    def tiring(self, asked: Asked) -> Tiring:
        """When in the work no-reps come; the same draws each time."""
        key = (asked.along, asked.bib, asked.card)
        if key not in self._tiring:
            chance = random.Random(_SEED)  # noqa: S311 - draws, not secrets
            found = tiring(self.lanes(asked), ALONG[asked.along], chance)
            self._tiring[key] = found
        return self._tiring[key]
