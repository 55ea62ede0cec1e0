"""The library of cards that come with judgekit, and what an event lays over it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from judgekit.core.card import Card
from judgekit.core.cardcheck import circle_from, findings
from judgekit.core.errors import InputError, Problem
from judgekit.core.values import dataclass
from judgekit.files import cardfile, toml
from judgekit.files.cleaning import clean
from judgekit.files.shelf import CardFiles, Cards
from judgekit.files.toml import Document
from judgekit.files.wording import nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

_PACKAGE = Path(__file__).resolve().parent.parent
_MOST_FILES = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFile:
    """A card, the document it was read from, and so its raw table and its lines."""

    card: Card
    document: Document

    @property
    def raw(self) -> dict[str, object]:
        """The file's own table, on which an event's differences are laid."""
        return self.document.table

    @property
    def shown(self) -> str:
        """The file's path as shown to the user."""
        return self.document.file


def standards_folder() -> Path:
    """Where the cards are: inside the installed package, else in the checkout."""
    packaged = _PACKAGE / "data" / "standards"
    return packaged if packaged.is_dir() else _PACKAGE.parent / "standards"


def load_library(folder: Path | None = None) -> dict[str, CardFile]:
    """Every card of a folder by its id, in the order of the ids.

    Without a folder, the cards that come with judgekit. InputError holds the problems
    of all files.
    """
    place = standards_folder() if folder is None else folder
    problems: list[Problem] = []
    library, names = _read_all(place, str(place), {}, problems)
    _check_substitutes(library.values(), names, problems)
    _check_circles(library, {i: file.card for i, file in library.items()}, problems)
    if problems:
        raise InputError(problems)
    return library


def advice_on(files: Iterable[CardFile]) -> tuple[Problem, ...]:
    """What would make cards better to judge by; advice never stops anything."""
    return tuple(
        replace(
            file.document.problem(finding.at, finding.what, finding.right), advice=True
        )
        for file in files
        for finding in findings(file.card)
    )


def own_cards(
    library: Mapping[str, CardFile], cards_folder: Path, shown: str
) -> dict[str, CardFile]:
    """An event's own cards and changed ones that can be read, each with its lines."""
    found, _names = _read_all(cards_folder, shown, library, [])
    return found


def open_library() -> Mapping[str, CardFile]:
    """The cards that come with judgekit, each read when it is first asked for.

    They are right as they come; whoever wants to know loads the library.
    """
    place = standards_folder()
    problems: list[Problem] = []
    paths = _card_paths(place, str(place), problems)
    if problems:
        raise InputError(problems)
    return CardFiles({path.stem: path for path in paths}, str(place))


def read_file(path: Path, shown: str) -> CardFile:
    """The whole card at a path in a folder shown so; InputError holds all problems."""
    document = toml.read(path, f"{shown}/{clean(path.name)}")
    return CardFile(card=cardfile.card_from(document, path.stem), document=document)


def with_overlays(
    library: Mapping[str, CardFile], cards_folder: Path, shown: str
) -> Mapping[str, Card]:
    """The cards in force at an event: the library's, under those in its own folder.

    A file named after a card of the library says only what differs; any other is a
    whole card. `shown` is the folder as shown to the user, who may have none.
    InputError holds the problems of all files.
    """
    problems: list[Problem] = []
    own: dict[str, CardFile] = {}
    names: list[str] = []
    if cards_folder.is_dir():
        own, names = _read_all(cards_folder, shown, library, problems)
    _check_substitutes(own.values(), [*library, *names], problems)
    cards = Cards(library, own)
    if not problems:
        _check_circles(own, cards, problems)
    if problems:
        raise InputError(problems)
    return cards


def _read_all(
    folder: Path,
    shown: str,
    bases: Mapping[str, CardFile],
    problems: list[Problem],
) -> tuple[dict[str, CardFile], list[str]]:
    """The cards of a folder that are right, and the names of all that are there.

    What is wrong with the others is added to `problems`.
    """
    found: dict[str, CardFile] = {}
    paths = _card_paths(folder, shown, problems)
    for path in paths:
        try:
            document = toml.read(path, f"{shown}/{clean(path.name)}")
            base = bases.get(path.stem)
            if base is not None:
                document = cardfile.read_overlay(document, base.raw)
            else:
                _check_names_a_card(document, path.stem, bases)
            card = cardfile.card_from(document, path.stem)
        except InputError as error:
            problems.extend(error.problems)
        else:
            found[path.stem] = CardFile(card=card, document=document)
    return found, [path.stem for path in paths]


def _check_names_a_card(document: Document, file_id: str, bases: Iterable[str]) -> None:
    """InputError where a file says what differs, but from no card there is."""
    near = nearest(file_id, bases)
    if near and cardfile.is_a_change(document):
        what = f"there is no card {quoted(file_id)} to change"
        right = f"did you mean {quoted(near)}? Call the file {near}.toml"
        raise InputError([document.problem((), what, right)])


def _card_paths(folder: Path, shown: str, problems: list[Problem]) -> list[Path]:
    try:
        found = (path for path in folder.iterdir() if path.suffix == ".toml")
        paths = sorted(found, key=lambda path: path.stem)
    except OSError as error:
        what = f"the cards cannot be read: {error.strerror or 'the system refused'}"
        problems.append(Problem(file=shown, line=1, what=what))
        return []
    if len(paths) > _MOST_FILES:
        what = f"the folder holds more than {_MOST_FILES} cards"
        problems.append(Problem(file=shown, line=1, what=what))
    return paths[:_MOST_FILES]


def _check_circles(
    files: Mapping[str, CardFile],
    cards: Mapping[str, Card],
    problems: list[Problem],
) -> None:
    """Substitutes that lead back: nobody would end at anything easier."""
    told: set[str] = set()
    for card_id, file in files.items():
        circle = () if card_id in told else circle_from(card_id, cards)
        if circle:
            told.update(circle)
            problems.append(
                file.document.problem(
                    ("substitute",),
                    f"leads back to itself: {', '.join(circle)}",
                    "a substitute is always easier; take one of them out",
                )
            )


def _check_substitutes(
    files: Iterable[CardFile], known: list[str], problems: list[Problem]
) -> None:
    for file in files:
        for at, substitute in enumerate(file.card.substitutes):
            if substitute.card not in known:
                near = nearest(substitute.card, known)
                problems.append(
                    file.document.problem(
                        ("substitute", at, "card"),
                        f"is {quoted(substitute.card)}, and there is no such card",
                        f"did you mean {quoted(near)}?" if near else "add that card",
                    )
                )
