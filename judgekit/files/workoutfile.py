"""Workout files: parts, rounds and movements as a coach writes them, checked whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.errors import InputError
from judgekit.core.workout import ByDivision, Workout
from judgekit.files import toml
from judgekit.files.models import WorkoutModel
from judgekit.files.wording import one_of, quoted, shown_value
from judgekit.files.workout_checks import (
    check_clock,
    check_complexes,
    check_until_failed,
    score_of,
)
from judgekit.files.workout_movements import MovementReader
from judgekit.files.workout_parts import parts_of, read_parts
from judgekit.files.workout_ties import check_last_lift, team_of, tiebreaks_of
from judgekit.files.workout_values import Reader

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from judgekit.core.card import Card
    from judgekit.core.people import Division
    from judgekit.files.lines import KeyPath
    from judgekit.files.toml import Document

_PRECISION_MS = {"1 s": 1000, "0.1 s": 100, "0.01 s": 10}


def read_workout(
    path: Path, shown: str, cards: Mapping[str, Card], divisions: Sequence[Division]
) -> Workout:
    """The workout at a path, whose file name is its id.

    `cards` are those in force; tables by division must hold a value for each of
    `divisions`. InputError holds all problems.
    """
    return workout_from(toml.read(path, shown), path.stem, cards, divisions)


def workout_from(
    document: Document,
    file_id: str,
    cards: Mapping[str, Card],
    divisions: Sequence[Division],
) -> Workout:
    """The workout that a document holds; InputError holds all problems."""
    reader = Reader(document=document, divisions=divisions)
    model = _model(reader)
    table = document.table
    _check_id(reader, table, file_id)
    parts = read_parts(reader, table, MovementReader(reader=reader, cards=cards))
    cap = _cap(reader, table)
    check_clock(reader, parts, _shortest(cap))
    check_until_failed(reader, parts)
    check_complexes(reader, parts)
    check_last_lift(reader, table, parts)
    scores = score_of(reader, table, parts)
    settings = settings_in(reader, table.get("settings"), cards)
    tiebreaks = tiebreaks_of(reader, table, parts)
    team = team_of(reader, model.team if model else None, parts)
    if reader.problems or model is None:
        raise InputError(sorted(reader.problems, key=lambda p: p.line))
    return Workout(
        id=model.id,
        name=model.name,
        revision=model.revision,
        score=model.score,
        parts=parts_of(parts, scores),
        aim=model.aim or "",
        rest=model.rest,
        cap_ms=cap,
        capped=model.capped,
        precision_ms=_PRECISION_MS[model.precision],
        tiebreaks=tiebreaks,
        settings=settings,
        last_lift=model.last_lift,
        watching=model.watching,
        team=team,
    )


def settings_in(
    reader: Reader, value: object, cards: Mapping[str, Card]
) -> tuple[tuple[str, str], ...]:
    """The [settings] table as pairs of "card.setting" and a value, checked.

    The key may stand in quotes or not (then TOML makes a table of it).
    """
    found: list[tuple[str, str]] = []
    for path, name, chosen in _flat(value):
        card_id, _, setting_id = name.partition(".")
        card = cards.get(card_id)
        settings = {s.id: s for s in card.settings} if card else {}
        setting = settings.get(setting_id)
        known = [v.value for v in setting.values] if setting else []
        if card is None:
            near = one_of(card_id, cards) if cards else ""
            reader.wrong(path, f"is for {quoted(card_id)}, which is no card", near)
        elif setting is None:
            right = one_of(setting_id, settings) if settings else "take it out"
            what = f"is no setting of the card {quoted(card_id)}"
            reader.wrong(path, what, right)
        elif chosen not in known:
            reader.wrong(path, f"is {shown_value(chosen)}", one_of(chosen, known))
        else:
            found.append((name, str(chosen)))
    return tuple(found)


def _flat(value: object) -> Iterator[tuple[KeyPath, str, object]]:
    if not isinstance(value, dict):
        return
    for key, item in value.items():
        if isinstance(item, dict):
            for inner, chosen in item.items():
                yield ("settings", key, inner), f"{key}.{inner}", chosen
        else:
            yield ("settings", key), key, item


def _model(reader: Reader) -> WorkoutModel | None:
    try:
        return toml.validated(WorkoutModel, reader.document.table, reader.document)
    except InputError as error:
        reader.problems.extend(error.problems)
        return None


def _check_id(reader: Reader, table: Mapping[str, object], file_id: str) -> None:
    workout_id = table.get("id")
    if isinstance(workout_id, str) and workout_id != file_id:
        reader.wrong(
            ("id",),
            f"is {quoted(workout_id)}, but the file is called {quoted(file_id)}",
            "make the two the same",
        )


def _cap(reader: Reader, table: Mapping[str, object]) -> ByDivision[int] | None:
    if "cap" not in table:
        return None
    return reader.by_division(("cap",), table["cap"], reader.duration)


def _shortest(cap: ByDivision[int] | None) -> int:
    """The shortest cap in ms, 0 without one."""
    if cap is None:
        return 0
    caps = [cap.same, *(value for _key, value in cap.by_key)]
    return min(value for value in caps if value is not None)
