"""event.toml: the event, its divisions and judges, its rules and extra keys.

Annotations are evaluated here, since the models are made of them.
"""

import datetime as dt
import re
import zoneinfo
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import field, replace
from pathlib import Path
from typing import Annotated, Any, Literal, get_args

from pydantic import Field, PlainValidator

from judgekit.core import quantity
from judgekit.core.card import RESERVED_KEYS, Card
from judgekit.core.errors import InputError, Problem
from judgekit.core.people import (
    CueKeys,
    Disputes,
    Division,
    Doubt,
    EarlyStart,
    Emergency,
    Event,
    Judge,
    LaneChecks,
    Rules,
)
from judgekit.core.plates import Plates
from judgekit.core.points import Overall
from judgekit.core.quantity import Quantity
from judgekit.core.values import dataclass
from judgekit.core.workout import Watching
from judgekit.files import keynames, toml
from judgekit.files.cleaning import clean
from judgekit.files.fields import Id, Short, Text, mass_of
from judgekit.files.overallfile import OverallModel, read_overall
from judgekit.files.platesfile import PlatesModel, read_plates
from judgekit.files.sharedfile import read_shared
from judgekit.files.toml import Document, FileModel
from judgekit.files.wording import kind_of, listed, nearest, one_of, quoted

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_MS = re.compile(r"(\d{1,5}) ?ms", re.ASCII)
_LANE_ACTION = re.compile(r"[1-9]\.(.+)", re.ASCII)
_PAIR = 2
_ALL_CARDS = "the command judgekit cards lists them all"

# A thumb's lag and a second reason are matters of seconds; a longer repeat guard
# would swallow reps of the quickest movements.
_LONGEST_MS = {
    "horn-lag": 10_000,
    "second-reason": 10_000,
    "repeat": 200,
    "dispute-time": 86_400_000,
}
_WORDS: dict[str, tuple[str, ...]] = {
    "doubt": get_args(Doubt),
    "early-start": get_args(EarlyStart),
    "cues": get_args(CueKeys),
    "lane-check": get_args(LaneChecks),
    "disputes": get_args(Disputes),
    "watching": get_args(Watching),
}


def read_event(
    path: Path,
    shown: str,
    *,
    cards: Mapping[str, Card] | None,
    actions: Collection[str] | None,
) -> Event:
    """The event that a file describes.

    `cards` (with the event's overlays) and `actions` are what [settings] and [keys]
    may name, with a dot before what one lane may have a key for (".good"); where one
    is None its names are taken as they are. Raises InputError with every problem of
    the file.
    """
    document = toml.read(path, shown)
    problems: list[Problem] = []
    model = None
    try:
        model = toml.validated(_EventModel, document.table, document)
    except InputError as error:
        problems.extend(error.problems)
    settings = _Settings(document=document, problems=problems, cards=cards)
    settings.read()
    keys = _Keys(document=document, problems=problems, cards=cards, actions=actions)
    keys.read()
    plates, overall = Plates(), Overall()
    shared = read_shared(document, cards, problems)
    if model:
        _check_once(model, document, problems)
        plates = read_plates(model.plates, document, problems)
        overall = read_overall(model.overall, document, problems)
    if problems or model is None:
        raise InputError(sorted(problems, key=lambda problem: problem.line))
    return replace(
        _event(model, settings, keys), plates=plates, shared=shared, overall=overall
    )


def divisions_in(path: Path) -> tuple[Division, ...] | None:
    """The divisions of an event file of which other things may be wrong, or None."""
    try:
        document = toml.read(path, "")
        rows = {"division": document.table.get("division", [])}
        return _divisions(toml.validated(_DivisionsModel, rows, document))
    except InputError:
        return None


def _date(value: object) -> str:
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return value.isoformat()
    if isinstance(value, str) and _DATE.fullmatch(value):
        try:
            return dt.date.fromisoformat(value).isoformat()
        except ValueError:
            pass
    said = quoted(value) if isinstance(value, str) else kind_of(value)
    raise ValueError(f"is {said}, not a date; write it like 2027-05-08")


def _zone(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError(  # noqa: TRY004 pydantic reads ValueError alone
            f'is {kind_of(value)}; write it in quotes, such as "Europe/Berlin"'
        )
    try:
        zoneinfo.ZoneInfo(value)
    except (LookupError, ValueError, OSError):
        named = {zone.casefold(): zone for zone in zoneinfo.available_timezones()}
        near = nearest(value, sorted(named))
        advice = f"did you mean {quoted(named[near])}?" if near else 'write "UTC"'
        raise ValueError(f"is {quoted(value)}, no known zone; {advice}") from None
    return value


def _bar(value: object) -> Quantity:
    if isinstance(value, list) and len(value) == _PAIR:
        first, second = mass_of(value[0]), mass_of(value[1])
        if first.unit == second.unit:
            raise ValueError(
                "is not one bar marked in two units; "
                'write it as "20 kg" or ["20 kg", "45 lb"]'
            )
        return quantity.pair(first, second)
    return mass_of(value)


class _DivisionModel(FileModel):
    """[[division]]."""

    id: Id
    name: Short
    standard: Id | None = None
    bar: Annotated[Quantity | None, PlainValidator(_bar)] = None


class _JudgeModel(FileModel):
    """[[judge]]."""

    id: Id
    name: Short


class _EmergencyModel(FileModel):
    """[emergency]."""

    call: Short = ""
    say: Text = ""
    defibrillator: Text = ""
    first_aid: Text = ""


class _DivisionsModel(FileModel):
    """The divisions alone."""

    division: list[_DivisionModel] = Field(min_length=1, max_length=99)


class _EventModel(_DivisionsModel):
    """A whole event file; tables whose keys are names are read by themselves."""

    name: Short
    date: Annotated[str, PlainValidator(_date)]
    zone: Annotated[str | None, PlainValidator(_zone)] = None
    place: Text = ""
    units: Literal["kg", "lb"] = "kg"
    judge: list[_JudgeModel] = Field(default_factory=list, max_length=999)
    emergency: _EmergencyModel = _EmergencyModel()
    plates: PlatesModel | None = None
    overall: OverallModel | None = None
    settings: Any = None
    keys: Any = None
    shared: Any = None


@dataclass(slots=True, kw_only=True)
class _Table:
    """A table of the file whose keys are names; what is wrong joins `problems`."""

    document: Document
    problems: list[Problem]
    cards: Mapping[str, Card] | None

    def wrong(self, path: Sequence[str | int], what: str, right: str = "") -> None:
        self.problems.append(self.document.problem(path, what, right))

    def items(self, name: str) -> Iterator[tuple[tuple[str, ...], str, object]]:
        """Each key with its path, `a.b` for both "a.b" = and the unquoted a.b =."""
        table = self.document.table.get(name, {})
        if not isinstance(table, dict):
            self.wrong(
                (name,), f"is {kind_of(table)}", f"write [{name}] above its keys"
            )
            return
        seen: set[str] = set()
        for path, key, value in _flat(table, (name,)):
            if key in seen:
                self.wrong(path, "is given twice", "keep one of them")
            seen.add(key)
            yield path, key, value


def _flat(
    table: Mapping[str, object], path: tuple[str, ...]
) -> Iterator[tuple[tuple[str, ...], str, object]]:
    for key, value in table.items():
        if isinstance(value, dict) and len(path) == 1:
            for inner, name, item in _flat(value, (*path, key)):
                yield inner, f"{key}.{name}", item
        else:
            yield (*path, key), key, value


@dataclass(slots=True, kw_only=True)
class _Settings(_Table):
    """[settings]: the event's rules, and "card.setting" choices."""

    words: dict[str, Any] = field(default_factory=dict)
    durations: dict[str, int] = field(default_factory=dict)
    of_cards: dict[str, str] = field(default_factory=dict)

    def read(self) -> None:
        for path, key, value in self.items("settings"):
            if key in _WORDS:
                self._word(path, key, value)
            elif key in _LONGEST_MS:
                self._duration(path, key, value)
            elif "." in key:
                self._of_card(path, key, value)
            else:
                known = (*_WORDS, *_LONGEST_MS)
                self.wrong(path, "is not a known setting", one_of(key, known))

    def rules(self) -> Rules:
        default = Rules()
        return Rules(
            doubt=self.words.get("doubt", default.doubt),
            early_start=self.words.get("early-start", default.early_start),
            cues=self.words.get("cues", default.cues),
            horn_lag_ms=self.durations.get("horn-lag", default.horn_lag_ms),
            second_reason_ms=self.durations.get(
                "second-reason", default.second_reason_ms
            ),
            repeat_ms=self.durations.get("repeat", default.repeat_ms),
            lane_check=self.words.get("lane-check", default.lane_check),
            disputes=self.words.get("disputes", default.disputes),
            dispute_ms=self.durations.get("dispute-time", default.dispute_ms),
            watching=self.words.get("watching", default.watching),
        )

    def _word(self, path: Sequence[str], key: str, value: object) -> None:
        if value in _WORDS[key]:
            self.words[key] = value
        else:
            self.wrong(path, f"is {_said(value)}", f"use one of {listed(_WORDS[key])}")

    def _duration(self, path: Sequence[str], key: str, value: object) -> None:
        most = _LONGEST_MS[key]
        try:
            ms = _milliseconds(value)
        except ValueError as error:
            self.wrong(path, f"cannot be used: {error}", 'write it like "0.5 s"')
            return
        self.durations[key] = ms
        if ms > most:
            self.wrong(
                path, f"is {_said(value)}", f"it must be at most {most / 1000:g} s"
            )

    def _of_card(self, path: Sequence[str], key: str, value: object) -> None:
        if not isinstance(value, str):
            self.wrong(
                path, f"is {kind_of(value)}", "write one of its values in quotes"
            )
            return
        self.of_cards[key] = value
        if self.cards is None:
            return
        card_id, _, setting_id = key.partition(".")
        card = self.cards.get(card_id)
        if card is None:
            near = nearest(card_id, self.cards)
            right = f"did you mean {quoted(near)}?" if near else _ALL_CARDS
            self.wrong(path, "names no known card", right)
            return
        values = {s.id: [v.value for v in s.values] for s in card.settings}
        if setting_id not in values:
            right = one_of(setting_id, values) if values else "the card has no settings"
            self.wrong(path, "is no setting of that card", right)
        elif value not in values[setting_id]:
            self.wrong(
                path, f"is {quoted(value)}", f"use one of {listed(values[setting_id])}"
            )


@dataclass(slots=True, kw_only=True)
class _Keys(_Table):
    """[keys]: extra keys for the desk's actions, which take no key in use."""

    actions: Collection[str] | None
    by_action: dict[str, tuple[str, ...]] = field(default_factory=dict)
    faults: dict[str, str] | None = None

    def read(self) -> None:
        taken = dict(RESERVED_KEYS)
        for path, action, value in self.items("keys"):
            self._known(path, action)
            keys = self._names(path, value)
            for key in keys:
                means = taken.get(key) or self._fault(key)
                if means:
                    self.wrong(
                        path,
                        f"takes {quoted(key)}, which already means {means}",
                        "choose another key",
                    )
                taken[key] = action
            self.by_action[action] = keys

    def _known(self, path: tuple[str, ...], action: str) -> None:
        """Name an action that is none, or none that one lane may have a key for."""
        if self.actions is None:
            return
        lane = _LANE_ACTION.fullmatch(action)
        plain = lane[1] if lane else action
        names = sorted(a for a in self.actions if not a.startswith("."))
        if plain not in names:
            self.wrong(path, "is not a known action", one_of(plain, names))
        elif lane and f".{plain}" not in self.actions:
            of_lane = (a[1:] for a in self.actions if a.startswith("."))
            self.wrong(
                path,
                "is not done by a key of one lane",
                f"write {plain}, or one of {', '.join(sorted(of_lane))} for a lane",
            )

    def _fault(self, key: str) -> str:
        """The fault whose key it is, empty if none; theirs are single letters."""
        if len(key) != 1:
            return ""
        if self.faults is None:
            self.faults = {
                fault.key: f"{fault.call} of {card.id}"
                for card in (self.cards or {}).values()
                for fault in card.faults
            }
        return self.faults.get(key, "")

    def _names(self, path: Sequence[str], value: object) -> tuple[str, ...]:
        names = value if isinstance(value, list) else [value]
        cleaned = [clean(name) for name in names if isinstance(name, str)]
        given = [name for name in cleaned if name]
        if len(given) != len(names):
            self.wrong(path, "holds something that is no key", 'write ["pagedown"]')
        for name in given:
            if not keynames.is_key(name):
                what = f"holds {quoted(name)}, which is no key"
                self.wrong(path, what, keynames.advice(name))
        return tuple(name.casefold() for name in given if keynames.is_key(name))


def _said(value: object) -> str:
    return quoted(value) if isinstance(value, str) else kind_of(value)


def _milliseconds(value: object) -> int:
    """Whole ms from "1.0 s" or "80 ms"; none is meant by "0 s"."""
    if not isinstance(value, str):
        raise ValueError(f"it is {kind_of(value)}")  # noqa: TRY004 caught as one
    short = _MS.fullmatch(value.strip())
    return int(short[1]) if short else quantity.parse_duration(clean(value))


def _check_once(
    model: _EventModel, document: Document, problems: list[Problem]
) -> None:
    """Ids of divisions and of judges are each given once."""
    for name, ids in (
        ("division", [division.id for division in model.division]),
        ("judge", [judge.id for judge in model.judge]),
    ):
        for at, id_ in enumerate(ids):
            if id_ in ids[:at]:
                problems.append(
                    document.problem((name, at), "has an id given before", "change it")
                )


def _divisions(model: _DivisionsModel) -> tuple[Division, ...]:
    return tuple(
        Division(
            id=division.id,
            name=division.name,
            standard=division.standard or division.id,
            bar=division.bar,
        )
        for division in model.division
    )


def _event(model: _EventModel, settings: _Settings, keys: _Keys) -> Event:
    emergency = model.emergency
    return Event(
        name=model.name,
        date=model.date,
        divisions=_divisions(model),
        zone=model.zone or "UTC",
        zone_given=model.zone is not None,
        place=model.place,
        units=model.units,
        judges=tuple(Judge(id=judge.id, name=judge.name) for judge in model.judge),
        rules=settings.rules(),
        card_settings=tuple(settings.of_cards.items()),
        keys=tuple(keys.by_action.items()),
        emergency=Emergency(
            call=emergency.call,
            say=emergency.say,
            defibrillator=emergency.defibrillator,
            first_aid=emergency.first_aid,
        ),
    )
