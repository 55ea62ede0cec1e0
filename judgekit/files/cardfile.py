"""Card files: one movement's standard as a coach writes it, checked whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core.card import (
    Card,
    Criterion,
    Example,
    Fault,
    Height,
    Measure,
    Seconds,
    Setting,
    SettingValue,
    Substitute,
    overlaid,
)
from judgekit.core.errors import InputError, Problem
from judgekit.files import toml
from judgekit.files.cardmeasures import read_measures
from judgekit.files.cleaning import clean
from judgekit.files.lines import KeyPath, Lines
from judgekit.files.models import (
    CardModel,
    CriterionModel,
    ExampleModel,
    FaultModel,
    SecondsModel,
    SettingModel,
)
from judgekit.files.wording import one_of, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from judgekit.files.toml import Document

_ABOVE_REACH = "above-reach"
_WITH_IDS = ("criterion", "measure", "setting", "fault")


def read_card(path: Path, shown: str) -> Card:
    """The card at a path, whose file name is its id; InputError holds all problems."""
    return card_from(toml.read(path, shown), path.stem)


def read_overlay(document: Document, base: Mapping[str, object]) -> Document:
    """A base card's raw table with a document's differences laid over it.

    Lines are the document's own: what stands in the base alone has line 1. InputError
    if the document names a criterion, fault or setting twice.
    """
    twice = [p for name in _WITH_IDS for p in _twice(document, name, "id")]
    if twice:
        raise InputError(twice)
    merged = overlaid(base, document.table)
    lines = {
        target: document.lines.at(path)
        for target, path in _places(document.table, merged, (), ())
        if path
    }
    return toml.Document(file=document.file, table=merged, lines=Lines(lines))


def is_a_change(document: Document) -> bool:
    """Whether a document says only what differs from a card: most of one is missing."""
    needed = {name for name, f in CardModel.model_fields.items() if f.is_required()}
    return 2 * len(needed & document.table.keys()) < len(needed)


def card_from(document: Document, file_id: str) -> Card:
    """The card that a document holds; InputError holds all problems."""
    problems = _relations(document, file_id)
    try:
        model = toml.validated(CardModel, document.table, document)
    except InputError as error:
        problems.extend(error.problems)
        raise InputError(sorted(problems, key=lambda p: p.line)) from None
    measures = read_measures(document, model.measure, problems)
    if problems:
        raise InputError(sorted(problems, key=lambda p: p.line))
    return _card(model, measures)


def _places(
    over: object, merged: object, path: KeyPath, target: KeyPath
) -> Iterator[tuple[KeyPath, KeyPath]]:
    """Each part of the whole that an overlay gives, and its place in the overlay."""
    yield target, path
    if isinstance(over, dict) and isinstance(merged, Mapping):
        for key, value in over.items():
            yield from _places(value, merged[key], (*path, key), (*target, key))
    elif isinstance(over, list) and isinstance(merged, list):
        for at, item in enumerate(over):
            to = _place_in(merged, item, at)
            yield from _places(item, merged[to], (*path, at), (*target, to))


def _place_in(merged: list[object], item: object, at: int) -> int:
    """Where a list's item came to stand: rows with an id are merged by it."""
    if isinstance(item, dict) and "id" in item:
        for place, row in enumerate(merged):
            if isinstance(row, Mapping) and row.get("id") == item["id"]:
                return place
    return min(at, len(merged) - 1)


def _rows(
    document: Document, name: str
) -> Iterator[tuple[KeyPath, Mapping[str, object]]]:
    """The tables of a list of tables, however wrong the rest of the file is."""
    rows = document.table.get(name)
    if isinstance(rows, list):
        for at, row in enumerate(rows):
            if isinstance(row, dict):
                yield (name, at), row


def _texts(document: Document, name: str, key: str) -> list[tuple[KeyPath, str]]:
    return [
        ((*path, key), text)
        for path, row in _rows(document, name)
        if isinstance(text := row.get(key), str)
    ]


def _relations(document: Document, file_id: str) -> list[Problem]:
    """What is wrong between the tables, found even where other things are wrong."""
    return [
        *_wrong_id(document, file_id),
        *(p for name in _WITH_IDS for p in _twice(document, name, "id")),
        *_keys_twice(document),
        *_twice(document, "substitute", "card"),
        *_unknown_criteria(document),
        *_wrong_seconds(document),
        *_wrong_examples(document),
        *_wrong_conditions(document),
        *_stands_in_for_itself(document),
    ]


def _wrong_id(document: Document, file_id: str) -> Iterator[Problem]:
    card_id = document.table.get("id")
    if isinstance(card_id, str) and card_id != file_id:
        yield document.problem(
            ("id",),
            f"is {quoted(card_id)}, but the file is called {quoted(file_id)}",
            "make the two the same",
        )


def _twice(document: Document, name: str, key: str) -> Iterator[Problem]:
    """Rows of a list that share what each must have alone; letters match caseless."""
    first: dict[str, KeyPath] = {}
    for path, text in _texts(document, name, key):
        folded = text.casefold()
        if folded in first:
            other = first[folded]
            written = _is_written(document, other)
            where = f" (line {document.lines.at(other)})" if written else ""
            yield document.problem(
                path,
                f"is {quoted(text)}, which another {name} has already{where}",
                "give each its own",
            )
        first.setdefault(folded, path)


def _keys_twice(document: Document) -> Iterator[Problem]:
    """Faults that share a key, each told of the one that this file gives."""
    faults = dict(_rows(document, "fault"))
    owners: dict[str, KeyPath] = {}
    texts = _texts(document, "fault", "key")
    # What the card below has comes first, so that it is the one that had the key.
    for path, text in sorted(texts, key=lambda row: _is_written(document, row[0])):
        owner = owners.setdefault(text.casefold(), path)
        if owner == path:
            continue
        where = f" (line {document.lines.at(owner)})"
        problem = document.problem(
            path[:-1],
            f"{quoted(text)} is the key of {_fault_words(faults[owner[:-1]])} already"
            f"{where if _is_written(document, owner) else ''}",
            "give each its own",
        )
        yield replace(problem, line=document.lines.at(path))


def _is_written(document: Document, path: KeyPath) -> bool:
    """Whether the file gives this itself, rather than the card it lies over."""
    return document.lines.walked(path) == path


def _fault_words(row: Mapping[str, object]) -> str:
    """A fault by its call and its id, as far as it has them: LOCK (soft-elbows)."""
    call, fault_id = (
        clean(text) if isinstance(text := row.get(name), str) else ""
        for name in ("call", "id")
    )
    return (
        f"{call} ({fault_id})" if call and fault_id else call or fault_id or "another"
    )


def _unknown_criteria(document: Document) -> Iterator[Problem]:
    known = [text for _path, text in _texts(document, "criterion", "id")]
    named = _texts(document, "fault", "breaks")
    for path, row in _rows(document, "setting"):
        values = row.get("values")
        for at, value in enumerate(values if isinstance(values, list) else []):
            criterion = value.get("criterion") if isinstance(value, dict) else None
            if isinstance(criterion, str):
                named.append(((*path, "values", at, "criterion"), criterion))
    for path, criterion in named:
        if criterion not in known:
            yield document.problem(
                path,
                f"is {quoted(criterion)}, which is no criterion of this card",
                one_of(criterion, known),
            )


def _wrong_seconds(document: Document) -> Iterator[Problem]:
    counts = document.table.get("counts")
    given = "seconds" in document.table
    if counts == ["seconds"] and given:
        yield document.problem(
            ("seconds",),
            "is given, but the card counts seconds alone and so has no reps to time",
            "take it out",
        )
    if counts != ["seconds"] and not given:
        yield document.problem(
            ("seconds",),
            "is missing: how long one rep takes",
            'add [seconds] with floor = "1.4 s", brisk = "1.8 s", ordinary = "2.4 s"',
        )


def _wrong_examples(document: Document) -> Iterator[Problem]:
    """Examples of a fault that does not void a rep on this card, or of none at all."""
    voids = [
        fault_id
        for _path, row in _rows(document, "fault")
        if row.get("weight") == "void" and isinstance(fault_id := row.get("id"), str)
    ]
    for path, fault in _texts(document, "example", "fault"):
        if fault not in voids:
            yield document.problem(
                path,
                f"is {quoted(fault)}, which voids no rep on this card",
                one_of(fault, voids),
            )


def _wrong_conditions(document: Document) -> Iterator[Problem]:
    """Examples that hold under a setting, or a value of it, that the card has not."""
    known = {
        setting: list(_values_of(row))
        for _path, row in _rows(document, "setting")
        if isinstance(setting := row.get("id"), str)
    }
    for path, row in _rows(document, "example"):
        under = row.get("under")
        for setting, values in under.items() if isinstance(under, dict) else ():
            at = (*path, "under", setting)
            if setting not in known:
                right = one_of(setting, list(known))
                yield document.problem(at, "is no setting of this card", right)
                continue
            for value in values if isinstance(values, list) else ():
                if isinstance(value, str) and value not in known[setting]:
                    what = f"has {quoted(value)}, which the setting never is"
                    yield document.problem(at, what, one_of(value, known[setting]))


def _values_of(setting: Mapping[str, object]) -> Iterator[str]:
    values = setting.get("values")
    for value in values if isinstance(values, list) else ():
        if isinstance(value, dict) and isinstance(found := value.get("is"), str):
            yield found


def _stands_in_for_itself(document: Document) -> Iterator[Problem]:
    for path, card in _texts(document, "substitute", "card"):
        if card == document.table.get("id"):
            yield document.problem(path, "is this very card", "name another one")


def _card(model: CardModel, measures: tuple[Measure, ...]) -> Card:
    seconds = _seconds(model.seconds)
    floor_ms = seconds.floor_ms if seconds else 0
    return Card(
        id=model.id,
        name=model.name,
        revision=model.revision,
        counts=tuple(model.counts),
        ends=model.ends,
        view=model.view,
        seconds=seconds,
        # No one is quicker after another movement than between two reps of this one.
        changeover_ms=floor_ms if model.changeover is None else model.changeover,
        equipment=tuple(model.equipment),
        source=model.source,
        start=model.start.says,
        finish=model.finish.says,
        criteria=tuple(_criterion(row) for row in model.criterion),
        measures=measures,
        settings=tuple(_setting(row) for row in model.setting),
        faults=tuple(_fault(row) for row in model.fault),
        stop_signs=tuple(model.stop.signs),
        caution=model.caution.volume if model.caution else "",
        substitutes=tuple(
            Substitute(card=row.card, why=row.why, caution=row.caution or "")
            for row in model.substitute
        ),
        examples=tuple(
            Example(says=row.says, fault=row.fault, under=_under(row))
            for row in model.example
        ),
    )


def _under(row: ExampleModel) -> tuple[tuple[str, tuple[str, ...]], ...]:
    return tuple((setting, tuple(values)) for setting, values in row.under.items())


def _seconds(row: SecondsModel | None) -> Seconds | None:
    if row is None:
        return None
    return Seconds(floor_ms=row.floor, brisk_ms=row.brisk, ordinary_ms=row.ordinary)


def _criterion(row: CriterionModel) -> Criterion:
    heights = row.height or {}
    by_key = tuple((k, q) for k, q in heights.items() if k != _ABOVE_REACH)
    height = Height(by_key=by_key, above_reach=heights.get(_ABOVE_REACH))
    return Criterion(
        id=row.id,
        kind=row.kind,
        at=row.at,
        says=row.says,
        measured_to=row.measured_to,
        height=height if heights else None,
    )


def _setting(row: SettingModel) -> Setting:
    return Setting(
        id=row.id,
        default=row.default,
        values=tuple(
            SettingValue(
                value=value.is_,
                criterion=value.criterion,
                says=value.says,
                waives=value.waives,
            )
            for value in row.values
        ),
    )


def _fault(row: FaultModel) -> Fault:
    return Fault(
        id=row.id,
        weight=row.weight,
        breaks=row.breaks,
        key=row.key,
        call=row.call,
        cues=tuple(row.cues),
        drill=row.drill,
    )
