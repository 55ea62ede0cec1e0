"""The questions of `judgekit new`: a workout asked for in a coach's order."""

from __future__ import annotations

import string
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from judgekit.cli.output import plain, say
from judgekit.core.errors import InputError
from judgekit.files import newworkout
from judgekit.files.library import open_library, with_overlays
from judgekit.files.workoutfile import read_workout

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from judgekit.core.card import Card

T = TypeVar("T")

_SCORES = ("time", "reps", "load", "reading")
_CARDS = "cards"
_SHAPES = "3 rounds, window 8:00, every 2:00 x 5, 3 attempts in 6:00"


def ask_workout(here: Path) -> Path:
    """Ask, write the workout's file beside the others of this folder, and name it.

    Nothing is written before the last answer, nor over a file that is there.
    """
    say("Enter alone takes what stands in brackets, or ends a list.")
    name, path = _asked("Name of the workout", lambda text: _place(here, text))
    cards = with_overlays(open_library(), here / _CARDS, _CARDS)
    parts = _parts(cards)
    cap = _asked_or_none("Cap", newworkout.duration)
    text = _scored(name, tuple(parts), cap or "", path.stem, cards)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("x", encoding="utf-8") as file:
        file.write(text)
    return path


def _place(here: Path, name: str) -> tuple[str, Path]:
    stem = newworkout.file_id(name)
    if not stem:
        raise newworkout.AnswerError("write a name with letters or digits")
    inside = here / "workouts" if (here / "event.toml").is_file() else here
    path = inside / f"{stem}.toml"
    if path.exists():
        raise newworkout.AnswerError(f"{path} is there already; give another name")
    return name, path


def _parts(cards: Mapping[str, Card]) -> list[dict[str, object]]:
    parts: list[dict[str, object]] = []
    for letter in string.ascii_uppercase:
        part = {
            "id": letter,
            **_asked(f"Part {letter} ({_SHAPES})", newworkout.shape),
        }
        part["movement"] = _movements(letter, cards)
        parts.append(part)
        if not click.confirm("Another part", default=False, err=True):
            break
        rest = _asked_or_none("Rest before it", newworkout.rest)
        if rest is not None:
            parts.append(rest)
    return parts


def _movements(letter: str, cards: Mapping[str, Card]) -> list[dict[str, object]]:
    found: list[dict[str, object]] = []
    while True:
        question = f"Part {letter}, movement {len(found) + 1}"

        def card_of(text: str) -> Card:
            return newworkout.card_for(text, cards.values())

        ask = _asked_or_none if found else _asked
        card = ask(question, card_of)
        if card is None:
            return found
        row: dict[str, object] = {"card": card.id}
        row |= _asked(f"{card.name}: how many", _reader_of(card))
        if any(measure.kind == "load" for measure in card.measures):
            row |= _asked_or_none(f"{card.name}: load", newworkout.load) or {}
        found.append(row)


def _reader_of(card: Card) -> Callable[[str], dict[str, object]]:
    return lambda text: newworkout.amounts(text, card)


def _asked(question: str, read: Callable[[str], T]) -> T:
    """An answer that means something."""
    while True:
        text: str = click.prompt(plain(question), err=True)
        try:
            return read(text.strip())
        except newworkout.AnswerError as error:
            say(f"  {error}")


def _asked_or_none(question: str, read: Callable[[str], T]) -> T | None:
    """The same, or None for an empty answer."""

    def read_or_none(text: str) -> T | None:
        return None if text.casefold() in {"none", "no"} else read(text)

    while True:
        text: str = click.prompt(
            plain(question), default="none", show_default=True, err=True
        )
        try:
            return read_or_none(text.strip())
        except newworkout.AnswerError as error:
            say(f"  {error}")


def _scored(
    name: str,
    parts: tuple[dict[str, object], ...],
    cap: str,
    stem: str,
    cards: Mapping[str, Card],
) -> str:
    """The workout's file, once a score goes with all that was answered."""
    usual = newworkout.usual_score(parts)
    while True:
        score = click.prompt(
            "Score", type=click.Choice(_SCORES), default=usual, err=True
        )
        answers = newworkout.Answers(name=name, score=score, parts=parts, cap=cap)
        text = newworkout.text_of(answers)
        wrong = _wrong(text, stem, cards)
        if not wrong:
            return text
        say(f"  {wrong}")


def _wrong(text: str, stem: str, cards: Mapping[str, Card]) -> str:
    """What `judgekit check` would say of the whole workout; empty if nothing."""
    with tempfile.TemporaryDirectory(prefix="judgekit-") as folder:
        path = Path(folder) / f"{stem}.toml"
        path.write_text(text, encoding="utf-8")
        try:
            read_workout(path, path.name, cards, ())
        except InputError as error:
            found = [one for one in error.problems if not one.advice]
            return "; ".join(f"{one.what} ({one.right})" for one in found)
    return ""
