"""out/drills.toml: what was planned for the class after an event; no person in it.

Annotations are evaluated here, since the models are made of them.
"""

from datetime import date
from pathlib import Path
from typing import Annotated, Literal, Self

import tomli_w
from pydantic import Field, model_validator

from judgekit.files.fields import Call, Id, Short
from judgekit.files.toml import FileModel, read, validated
from judgekit.review.judged import Watched
from judgekit.review.sessions import FaultKey
from judgekit.review.skillplan import MOST, Kept, Planned

PLACE = Path("out", "drills.toml")
_HEAD = (
    "# What was planned for the class after this event. judgekit drills of a later\n"
    "# event beside it says whether it moved.\n"
)
_Many = Annotated[int, Field(ge=0, le=1_000_000)]


class _DrillModel(FileModel):
    card: Id
    movement: Short
    fault: Id
    call: Call
    watched: Watched
    no_reps: Annotated[_Many, Field(alias="no-reps")]
    attempts: Annotated[int, Field(ge=1, le=1_000_000)]

    @model_validator(mode="after")
    def _no_more_than_tried(self) -> Self:
        if self.no_reps > self.attempts:
            raise ValueError("no-reps are more than attempts")
        return self


class _DrillsModel(FileModel):
    format: Literal[1]
    date: date
    drill: Annotated[list[_DrillModel], Field(min_length=1, max_length=MOST)]


def drills_text(plan: Kept) -> str:
    """The file's text."""
    table = {
        "format": 1,
        "date": date.fromisoformat(plan.date),
        "drill": [
            {
                "card": one.of.card,
                "movement": one.movement,
                "fault": one.of.fault,
                "call": one.call,
                "watched": one.of.watched,
                "no-reps": one.no_reps,
                "attempts": one.attempts,
            }
            for one in plan.drills
        ],
    }
    return _HEAD + tomli_w.dumps(table)


def read_drills(folder: Path, shown: str) -> Kept | None:
    """What an event's folder keeps, or None; InputError for a file that is broken."""
    path = folder / PLACE
    if not path.exists():
        return None
    document = read(path, f"{shown}/{PLACE.as_posix()}")
    model = validated(_DrillsModel, document.table, document)
    return Kept(
        date=model.date.isoformat(),
        drills=tuple(
            Planned(
                of=FaultKey(one.card, one.fault, one.watched),
                movement=one.movement,
                call=one.call,
                no_reps=one.no_reps,
                attempts=one.attempts,
            )
            for one in model.drill
        ),
    )
