"""What differs between two revisions of a standard, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.quantity import shown
from judgekit.core.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from judgekit.core.card import Card, Criterion, Fault, Measure, Setting

Place = tuple[str, ...]
_MS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One difference; `at` is the table, the row's id and the key, as far as it goes.

    `before` is empty where it was added, `after` where it is gone.
    """

    at: Place
    before: str
    after: str

    @property
    def what(self) -> str:
        """What differs: "fault shallow, call"."""
        *row, last = self.at
        return f"{' '.join(row)}, {last}" if len(row) > 1 else " ".join(self.at)


def changes(old: Card, new: Card) -> tuple[Change, ...]:
    """What differs from the old card to the new one, in the order of the file.

    A row that one of them lacks is told once, by its own words.
    """
    was, now = dict(_texts(old)), dict(_texts(new))
    found: dict[Place, Change] = {}
    for at in dict.fromkeys((*was, *now)):
        before, after = was.get(at, ""), now.get(at, "")
        if before == after:
            continue
        row = at[:-1]
        if len(row) > 1 and (_lacks(was, row) or _lacks(now, row)):
            whole = Change(at=row, before=_head(was, row), after=_head(now, row))
            found.setdefault(row, whole)
        else:
            found[at] = Change(at=at, before=before, after=after)
    return tuple(found.values())


def _lacks(texts: Mapping[Place, str], row: Place) -> bool:
    return not any(at[:-1] == row for at in texts)


def _head(texts: Mapping[Place, str], row: Place) -> str:
    """The first words of a row, which name it best; empty if it is not there."""
    return next((text for at, text in texts.items() if at[:-1] == row and text), "")


def _texts(card: Card) -> Iterator[tuple[Place, str]]:
    """Each thing that a card says, by its place."""
    yield from (
        (("name",), card.name),
        (("counts",), ", ".join(card.counts)),
        (("ends",), card.ends),
        (("view",), card.view),
        (("start",), card.start),
        (("finish",), card.finish),
        (("changeover",), _seconds(card.changeover_ms)),
        (("equipment",), ", ".join(card.equipment)),
        (("source",), card.source),
        (("stop signs",), "; ".join(card.stop_signs)),
        (("caution",), card.caution),
    )
    if card.seconds is not None:
        yield ("seconds", "floor"), _seconds(card.seconds.floor_ms)
        yield ("seconds", "brisk"), _seconds(card.seconds.brisk_ms)
        yield ("seconds", "ordinary"), _seconds(card.seconds.ordinary_ms)
    for criterion in card.criteria:
        yield from _of_criterion(criterion)
    for measure in card.measures:
        yield from _of_measure(measure)
    for setting in card.settings:
        yield from _of_setting(setting)
    for fault in card.faults:
        yield from _of_fault(fault)
    for substitute in card.substitutes:
        yield ("substitute", substitute.card, "why"), substitute.why
        yield ("substitute", substitute.card, "caution"), substitute.caution


def _seconds(ms: int) -> str:
    return f"{ms / _MS:g} s"


def _of_criterion(criterion: Criterion) -> Iterator[tuple[Place, str]]:
    row = ("criterion", criterion.id)
    yield (*row, "says"), criterion.says
    yield (*row, "kind"), criterion.kind
    yield (*row, "at"), criterion.at
    yield (*row, "measured to"), criterion.measured_to or ""
    height = criterion.height
    if height is None:
        return
    if height.above_reach is not None:
        yield (*row, "height above reach"), shown(height.above_reach)
    for key, quantity in height.by_key:
        yield (*row, f"height for {key}"), shown(quantity)


def _of_measure(measure: Measure) -> Iterator[tuple[Place, str]]:
    row = ("measure", measure.id)
    yield (*row, "says"), measure.says
    for key, quantity in measure.by_key:
        yield (*row, f"for {key}"), shown(quantity)


def _of_setting(setting: Setting) -> Iterator[tuple[Place, str]]:
    row = ("setting", setting.id)
    yield (*row, "default"), setting.default
    for value in setting.values:
        waives = " (not asked)" if value.waives else ""
        yield (*row, value.value), f"{value.says}{waives}"


def _of_fault(fault: Fault) -> Iterator[tuple[Place, str]]:
    row = ("fault", fault.id)
    yield (*row, "call"), fault.call
    yield (*row, "key"), fault.key
    weight = "no rep" if fault.weight == "void" else "cue only"
    yield (*row, "weight"), weight
    yield (*row, "breaks"), fault.breaks or ""
    yield (*row, "cues"), " · ".join(fault.cues)
    yield (*row, "drill"), fault.drill
