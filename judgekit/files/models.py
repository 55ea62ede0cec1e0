"""The shapes of a card file and a workout file, before they become the core's.

What one table says about another is checked where the file is read. Annotations are
evaluated here, since the models are made of them.
"""

from collections.abc import Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, Field, PlainValidator, model_validator

from judgekit.core.card import (
    CountedIn,
    CriterionKind,
    Ends,
    MeasuredTo,
    MeasureKind,
    Moment,
    Weight,
)
from judgekit.core.quantity import Quantity
from judgekit.core.workout import CapRule, LastLift, RestRule, Take, Watching
from judgekit.files.fields import (
    Call,
    Cues,
    Duration,
    Id,
    Key,
    Length,
    Long,
    PartId,
    Revision,
    Short,
    Source,
    Text,
    different,
    duration_of,
)
from judgekit.files.toml import FileModel
from judgekit.files.wording import quoted, shown_value

MOST_ROUNDS = 1000


class SaysModel(FileModel):
    """[start] and [finish]."""

    says: Text


class SecondsModel(FileModel):
    """How long one rep takes."""

    floor: Duration
    brisk: Duration
    ordinary: Duration

    @model_validator(mode="after")
    def _rises(self) -> Self:
        if not self.floor <= self.brisk <= self.ordinary:
            raise ValueError(
                "do not rise; floor is the shortest, then brisk, then ordinary"
            )
        return self


class CriterionModel(FileModel):
    """[[criterion]]."""

    id: Id
    kind: CriterionKind
    at: Moment
    says: Text
    measured_to: MeasuredTo | None = None
    height: dict[str, Length] | None = None

    @model_validator(mode="after")
    def _height_fits(self) -> Self:
        given = self.height is not None, self.measured_to is not None
        if self.kind != "target-height":
            if any(given):
                raise ValueError(
                    f"is of the kind {quoted(self.kind)}, which has no height and no "
                    'measured-to; take them out, or write kind = "target-height"'
                )
        elif not all(given):
            raise ValueError(
                "is a target height without its height or measured-to; write "
                'height = { men = "10 ft", women = "9 ft" } and measured-to = "centre"'
            )
        if self.height is not None:
            _check_heights(self.height)
        return self


def _check_heights(heights: Mapping[str, Quantity]) -> None:
    if not heights:
        raise ValueError('has an empty height; write { men = "10 ft" }')
    if "above-reach" in heights and len(heights) > 1:
        raise ValueError(
            "has a height above reach beside other heights; keep the one or the others"
        )
    zero = [key for key, value in heights.items() if not value.amount]
    if zero and zero != ["above-reach"]:
        raise ValueError(f"has no height for {quoted(zero[0])}; it is above zero")


class ValueModel(FileModel):
    """One value of a setting."""

    is_: Id
    criterion: str
    says: Text
    waives: bool = False


class SettingModel(FileModel):
    """[[setting]]."""

    id: Id
    default: str
    values: Annotated[list[ValueModel], Field(min_length=2, max_length=20)]

    @model_validator(mode="after")
    def _default_is_a_value(self) -> Self:
        values = different([value.is_ for value in self.values])
        if self.default not in values:
            raise ValueError(
                f"has the default {quoted(self.default)}, which is none of its values; "
                f"they are {', '.join(map(quoted, values))}"
            )
        return self


class FaultModel(FileModel):
    """[[fault]]."""

    id: Id
    weight: Weight
    breaks: str | None = None
    key: Key
    call: Call
    cues: Cues
    drill: Text

    @model_validator(mode="after")
    def _breaks_fits(self) -> Self:
        if self.weight == "void" and self.breaks is None:
            raise ValueError(
                'voids the rep but breaks nothing; write breaks = "..." with the id '
                'of a criterion, or weight = "cue"'
            )
        if self.weight == "cue" and self.breaks is not None:
            raise ValueError(
                "is a cue, which breaks nothing; take breaks out, "
                'or write weight = "void"'
            )
        return self


class StopModel(FileModel):
    """[stop]."""

    signs: Annotated[list[Text], Field(min_length=1, max_length=20)]


class CautionModel(FileModel):
    """[caution]."""

    volume: Long


class SubstituteModel(FileModel):
    """[[substitute]]."""

    card: Id
    why: Text
    caution: Text | None = None


class ExampleModel(FileModel):
    """[[example]]: one rep described, for the briefing and for practice."""

    says: Text
    fault: str | None = None
    under: dict[str, list[str]] = Field(default_factory=dict)


class MeasureModel(FileModel):
    """[[measure]]; its value's shape is read elsewhere, as it hangs on the kind."""

    id: Id
    kind: MeasureKind
    says: Short
    value: Any


class CardModel(FileModel):
    """A whole card file."""

    id: Id
    name: Short
    revision: Revision
    counts: Annotated[
        list[CountedIn], Field(min_length=1, max_length=5), AfterValidator(different)
    ]
    ends: Ends
    view: Text
    seconds: SecondsModel | None = None
    changeover: Duration | None = None
    equipment: list[Short] = Field(default_factory=list, max_length=20)
    source: Source
    start: SaysModel
    finish: SaysModel
    criterion: Annotated[list[CriterionModel], Field(min_length=1, max_length=20)]
    measure: list[MeasureModel] = Field(default_factory=list, max_length=20)
    setting: list[SettingModel] = Field(default_factory=list, max_length=20)
    fault: list[FaultModel] = Field(default_factory=list, max_length=20)
    stop: StopModel
    caution: CautionModel | None = None
    substitute: list[SubstituteModel] = Field(default_factory=list, max_length=20)
    example: list[ExampleModel] = Field(default_factory=list, max_length=20)


class TieBreakModel(FileModel):
    """One tie-break: exactly one of them."""

    after_part: str | None = None
    last_full_round: Literal[True] | None = None
    at_rep: Annotated[int, Field(ge=1, le=100_000)] | None = None
    last_rep: Literal[True] | None = None
    fewer_no_reps: Literal[True] | None = None
    lighter: Literal[True] | None = None
    lighter_in: str | None = None
    earlier_attempt: Literal[True] | None = None
    interval_seconds: Literal[True] | None = None

    @model_validator(mode="after")
    def _is_one(self) -> Self:
        if len(self.model_fields_set) != 1:
            raise ValueError(
                'is not one tie-break; write { after-part = "A" }, '
                "{ last-full-round = true }, { at-rep = 60 }, { last-rep = true }, "
                "{ fewer-no-reps = true }, { lighter = true }, "
                '{ lighter-in = "B" }, '
                "{ earlier-attempt = true } or { interval-seconds = true }"
            )
        return self


Pieces = Annotated[
    list[Annotated[int, Field(ge=1, le=100_000)]], Field(min_length=1, max_length=1000)
]


class MovementModel(FileModel):
    """[[part.movement]]; what may be one value or a table is read elsewhere."""

    card: Any
    reps: Any = None
    calories: Any = None
    metres: Any = None
    seconds: Any = None
    segments: Any = None
    load: Any = None
    height: Any = None
    rise: Any = None
    pieces: list[Pieces] = Field(default_factory=list, min_length=1, max_length=1000)
    watch: Annotated[list[str], AfterValidator(different)] = Field(default_factory=list)
    unit: Any = None


def _attempts(value: object) -> object:
    whole = isinstance(value, int) and not isinstance(value, bool)
    if value != "free" and not (whole and 1 <= int(str(value)) <= MOST_ROUNDS):
        raise ValueError(
            f"is {shown_value(value)}; write a whole number from 1 to {MOST_ROUNDS}, "
            'or "free"'
        )
    return value


def _hold(value: object) -> object:
    return value if value == "max" else duration_of(value)


class PartModel(FileModel):
    """[[part]]; which keys go together is read elsewhere."""

    id: PartId | None = None
    rounds: Annotated[int, Field(ge=1, le=MOST_ROUNDS)] | None = None
    rest_between: Duration | None = None
    window: Duration | None = None
    window_until: Duration | None = None
    every: Duration | None = None
    times: Annotated[int, Field(ge=1, le=MOST_ROUNDS)] | None = None
    work: Duration | None = None
    in_turn: bool = False
    until_failed: bool = False
    attempts: Annotated[Any, PlainValidator(_attempts)] = None
    within: Duration | None = None
    hold: Annotated[Any, PlainValidator(_hold)] = None
    rest: Duration | None = None
    rest_until: Duration | None = None
    score: Literal["time", "reps", "load", "reading"] | None = None
    take: Take | None = None
    scored: bool = True
    movement: list[MovementModel] = Field(default_factory=list, max_length=50)


class TeamModel(FileModel):
    """[team]."""

    size: Annotated[int, Field(ge=2, le=20)]
    how: Literal["shared", "relay", "together"]
    least: Annotated[int, Field(ge=1, le=100_000)] | None = None
    judges: Annotated[int, Field(ge=1, le=20)] = 1


class WorkoutModel(FileModel):
    """A whole workout file."""

    id: Id
    name: Short
    revision: Revision
    aim: Long | None = None
    score: Any
    rest: RestRule = "excluded"
    cap: Any = None
    capped: CapRule = "below"
    precision: Literal["1 s", "0.1 s", "0.01 s"] = "1 s"
    tiebreak: list[TieBreakModel] = Field(default_factory=list, max_length=5)
    settings: dict[str, Any] = Field(default_factory=dict)
    last_lift: LastLift = "complete"
    watching: Watching | None = None
    team: TeamModel | None = None
    part: Annotated[list[PartModel], Field(min_length=1, max_length=99)]
