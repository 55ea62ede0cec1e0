"""The movements of a workout: card, target, load, height, pieces, faults of the day."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, TypeVar, get_args

from judgekit.core.card import Card
from judgekit.core.values import dataclass
from judgekit.core.workout import ByDivision, Movement, Unit
from judgekit.files.wording import listed, nearest, one_of, quoted
from judgekit.files.workout_targets import (
    Around,
    Target,
    check_counted,
    check_holdable,
    check_target,
    held,
    per_of,
    rise_of,
)
from judgekit.files.workout_values import Reader

if TYPE_CHECKING:
    from collections.abc import Callable

    from judgekit.core.card import Height
    from judgekit.core.people import Division
    from judgekit.files.lines import KeyPath

T = TypeVar("T")

_UNITS: tuple[Unit, ...] = get_args(Unit)
_WATCHED = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class MovementReader:
    """Reads the movements of one document against the cards in force."""

    reader: Reader
    cards: Mapping[str, Card]

    def movement(
        self, path: KeyPath, row: Mapping[str, object], around: Around
    ) -> Movement | None:
        """One movement, or None with the reasons among the reader's problems."""
        reader, rounds = self.reader, around.rounds
        card = self._read(path, row, "card", self._card_id)
        unit, amounts = self._amounts(path, row, around)
        load = self._read(path, row, "load", lambda p, v: reader.loads(p, v, rounds))
        height = self._read(path, row, "height", reader.height)
        if card:
            self._check_cards(path, row, card, around)
        if not (card and unit and amounts):
            return None
        target = Target(path=path, row=row, unit=unit, amounts=amounts)
        if unit in row:
            check_target(reader, target, around)
        return Movement(
            card=card,
            unit=unit,
            amounts=amounts,
            load=load,
            height=height,
            pieces=() if target.is_max else self._pieces(path, row, amounts, rounds),
            watch=tuple(_texts(row.get("watch"))),
            rise=rise_of(reader, target, around),
            per=per_of(reader, target),
        )

    def _amounts(
        self, path: KeyPath, row: Mapping[str, object], around: Around
    ) -> tuple[Unit | None, ByDivision[tuple[int, ...]] | None]:
        """The unit and the target; an attempt is one rep if nothing else is said."""
        given = [unit for unit in _UNITS if unit in row]
        if not given and around.kind == "hold":
            return "seconds", held(around)
        if not given and around.kind == "attempts":
            return "reps", ByDivision(same=(1,))
        unit = self._unit(path, given)
        if unit is None:
            return None, None
        reader, rounds = self.reader, around.rounds
        return unit, self._read(
            path, row, unit, lambda p, v: reader.amounts(p, v, rounds)
        )

    def _check_cards(
        self,
        path: KeyPath,
        row: Mapping[str, object],
        card: ByDivision[str],
        around: Around,
    ) -> None:
        used = self._used(card)
        given = [unit for unit in _UNITS if unit in row]
        if around.kind == "hold":
            check_holdable(self.reader, (*path, "card"), used)
        elif len(given) == 1:
            check_counted(self.reader, (*path, given[0]), given[0], used)
        elif not given and around.kind == "attempts":
            check_counted(self.reader, (*path, "card"), "reps", used)
        self._check_watch(path, row, used)
        if "height" not in row:
            self._check_heights(path, card)

    def _read(
        self,
        path: KeyPath,
        row: Mapping[str, object],
        key: str,
        read: Callable[[KeyPath, object], T | None],
    ) -> ByDivision[T] | None:
        if key not in row:
            return None
        return self.reader.by_division((*path, key), row[key], read)

    def _card_id(self, path: KeyPath, value: object) -> str | None:
        if isinstance(value, str) and value in self.cards:
            return value
        if isinstance(value, str):
            near = nearest(value, self.cards)
            self.reader.wrong(
                path,
                f"is {quoted(value)}, and there is no such card",
                f"did you mean {quoted(near)}?" if near else "see: judgekit cards",
            )
        else:
            self.reader.wrong(path, "is not text", "write the id of a card in quotes")
        return None

    def _used(self, card: ByDivision[str]) -> list[Card]:
        ids = [card.same, *(card_id for _key, card_id in card.by_key)]
        return [self.cards[card_id] for card_id in dict.fromkeys(ids) if card_id]

    def _unit(self, path: KeyPath, given: list[Unit]) -> Unit | None:
        if len(given) == 1:
            return given[0]
        self.reader.wrong(
            path,
            f"has {' and '.join(given)}" if given else "has no target",
            f"write exactly one of {', '.join(_UNITS)}",
        )
        return None

    def _check_watch(
        self, path: KeyPath, row: Mapping[str, object], used: list[Card]
    ) -> None:
        watch = _texts(row.get("watch"))
        if len(watch) > _WATCHED:
            self.reader.wrong(
                (*path, "watch"), f"names {len(watch)} faults", "name at most two"
            )
        known = dict.fromkeys(fault.id for card in used for fault in card.faults)
        for at, fault in enumerate(watch):
            if fault not in known:
                self.reader.wrong(
                    (*path, "watch", at),
                    f"is {quoted(fault)}, which is no fault of "
                    f"{listed(card.id for card in used)}",
                    one_of(fault, known),
                )

    def _check_heights(self, path: KeyPath, card: ByDivision[str]) -> None:
        """Every division needs a target height, of the card if not of the workout."""
        without: dict[str, list[str]] = {}
        for division in self.reader.divisions:
            card_id = card.value_for(division.id, division.standard)
            if card_id and not _has_heights(self.cards[card_id], division):
                without.setdefault(card_id, []).append(division.id)
        for card_id, divisions in without.items():
            self.reader.wrong(
                path,
                f"has no height for {listed(divisions)}, nor has the card "
                f"{quoted(card_id)}",
                'add height = { ... } to the movement, such as { men = "10 ft" }',
            )

    def _pieces(
        self,
        path: KeyPath,
        row: Mapping[str, object],
        amounts: ByDivision[tuple[int, ...]],
        rounds: int | None,
    ) -> tuple[tuple[int, ...], ...]:
        """How each round's set is broken up; one list does for all rounds."""
        path = (*path, "pieces")
        pieces = _numbers(row.get("pieces"))
        if not pieces:
            return ()
        if rounds is not None and len(pieces) not in (1, rounds):
            self.reader.wrong(
                path,
                f"has {len(pieces)} lists for {rounds} rounds",
                "write one list for each round, or one for all",
            )
            return pieces
        sets = [amounts.same, *(sets for _key, sets in amounts.by_key)]
        for targets in sets:
            if targets and self._sums_differ(path, pieces, targets):
                break
        return pieces * rounds if rounds and len(pieces) == 1 else pieces

    def _sums_differ(
        self,
        path: KeyPath,
        pieces: tuple[tuple[int, ...], ...],
        targets: tuple[int, ...],
    ) -> bool:
        for at in range(max(len(pieces), len(targets))):
            parts = pieces[min(at, len(pieces) - 1)]
            target = targets[min(at, len(targets) - 1)]
            if sum(parts) != target:
                self.reader.wrong(
                    (*path, min(at, len(pieces) - 1)),
                    f"makes {' + '.join(map(str, parts))} = {sum(parts)}, but the set "
                    f"of round {at + 1} has {target}",
                    "make the pieces add up to the set",
                )
                return True
        return False


def _has_heights(card: Card, division: Division) -> bool:
    return all(
        _reaches(criterion.height, division)
        for criterion in card.criteria
        if criterion.kind == "target-height"
    )


def _reaches(height: Height | None, division: Division) -> bool:
    if height is None:
        return False
    keys = [key for key, _height in height.by_key]
    return (
        height.above_reach is not None
        or division.id in keys
        or division.standard in keys
    )


def _texts(value: object) -> list[str]:
    items = value if isinstance(value, list) else []
    return [item for item in items if isinstance(item, str)]


def _numbers(value: object) -> tuple[tuple[int, ...], ...]:
    """Lists of whole numbers as they stand, or nothing if they are anything else."""
    rows = value if isinstance(value, list) else []
    right = all(
        isinstance(row, list) and row and all(type(item) is int for item in row)
        for row in rows
    )
    return tuple(tuple(row) for row in rows) if right else ()
