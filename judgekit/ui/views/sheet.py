"""The scorecard on screen: the report's texts in lines, each of a kind."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from judgekit.core.recalls import AFTER_RECALL
from judgekit.reports.layout import Column, Table, as_table
from judgekit.ui.views.phase import closed_words, horn_question

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.core.state import Lane
    from judgekit.reports.scorecard import AttemptRow, Scorecard

_TIMES = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh")
Kind = Literal["head", "score", "plain", "soft", "ask", "code"]
_SPLITS = (
    Column(name="part", key="part"),
    Column(name="round", key="round", align="right"),
    Column(name="movement", key="movement"),
    Column(name="good", key="good", align="right"),
    Column(name="of", key="of", align="right"),
    Column(name="no-reps", key="no_reps", align="right"),
    Column(name="done", key="done", align="right"),
    Column(name="took", key="took", align="right"),
    Column(name="note", key="note"),
)
_ATTEMPTS = (
    Column(name="at", key="at", align="right"),
    Column(name="movement", key="movement"),
    Column(name="called", key="called"),
    Column(name="what must be there", key="says"),
    Column(name="remarks", key="remarks"),
)


class SheetLine(NamedTuple):
    """One line and how it is drawn."""

    kind: Kind
    text: str


def sheet(card: Scorecard, width: int) -> tuple[SheetLine, ...]:
    """The whole scorecard in lines of at most so many cells."""
    lines = [
        *(SheetLine("head", text) for text in card.title),
        SheetLine("plain", ""),
        SheetLine("soft", "READ ALOUD"),
        SheetLine("score", card.aloud),
    ]
    if not card.aloud.startswith(card.status):
        lines.append(SheetLine("plain", card.status))
    if card.judges:
        lines.append(SheetLine("plain", card.judges))
    if card.standing:
        kind: Kind = "plain" if card.standing == "official" else "ask"
        lines.append(SheetLine(kind, card.standing))
    if card.amended:
        lines.append(SheetLine("ask", card.amended))
    lines += _listed("Still open", card.provisional, "ask")
    lines += _listed("Signed", card.signed, "plain")
    lines += _section("Splits", _splits(card, width))
    lines += _section("The arithmetic", _steps(card))
    lines += _section("No-reps", _attempts(card.no_reps, width))
    lines += _section("Reps with a remark", _attempts(card.remarked, width))
    lines += _listed("Corrections", card.corrections, "plain")
    lines += _listed("Undone late", card.late, "plain")
    lines += _listed("Cues", (f"{call}  {n}" for call, n in card.cues), "plain")
    lines += _listed("Remarks", card.remarks, "plain")
    lines += _listed("Rules fixed at the start", map(": ".join, card.settings), "soft")
    if card.log_code:
        lines += _listed("Log code", (card.log_code, card.proves), "soft")
    return tuple(lines)


def _listed(title: str, texts: Iterable[str], kind: Kind) -> Iterator[SheetLine]:
    found = [text for text in texts if text]
    if found:
        yield SheetLine("plain", "")
        yield SheetLine("soft", title.upper())
        yield from (SheetLine(kind, text) for text in found)


def _section(title: str, rows: list[str]) -> Iterator[SheetLine]:
    return _listed(title, rows, "plain")


def _laid(
    columns: tuple[Column, ...], rows: Sequence[tuple[str, ...]], width: int
) -> list[str]:
    """The rows below their headings; columns without anything in them are left out."""
    if not rows:
        return []
    kept = [i for i in range(len(columns)) if any(row[i] for row in rows)]
    table = Table(
        title="",
        columns=tuple(columns[i] for i in kept),
        rows=tuple(tuple(row[i] for i in kept) for row in rows),
    )
    return [line for line in as_table(table, width).splitlines() if line.strip()]


def _splits(card: Scorecard, width: int) -> list[str]:
    whole = _split_lines(card, width, brief=False)
    cut_off = any("…" in line for line in whole)
    return _split_lines(card, width, brief=True) if cut_off else whole


def _split_lines(card: Scorecard, width: int, *, brief: bool) -> list[str]:
    """A row for each set; in brief without loads and heights."""
    rows = [
        (
            row.part,
            str(row.round),
            row.movement.split(", ")[0] if brief else row.movement,
            str(row.good),
            str(row.target),
            str(row.no_reps) if row.no_reps else "",
            row.done,
            row.took,
            row.note,
        )
        for row in card.splits
    ]
    return _laid(_SPLITS, rows, width)


def _attempts(found: tuple[AttemptRow, ...], width: int) -> list[str]:
    rows = [(row.at, row.movement, row.what, row.says, row.marks) for row in found]
    return _laid(_ATTEMPTS, rows, width)


def _steps(card: Scorecard) -> list[str]:
    wide = max((len(step.label) for step in card.steps), default=0)
    return [f"{step.label:<{wide}}  {step.value}" for step in card.steps]


def times_words(number: int, why: str) -> str:
    """Which time a lane does its work and why; empty for a usual first time."""
    if number == 1 and not why:
        return ""
    time = f"{_TIMES[number - 1]} time" if number <= len(_TIMES) else f"time {number}"
    if why == AFTER_RECALL:
        return f"{time}, {why}"
    return f"{time}, because {why}" if why else time


# --- signing --------------------------------------------------------------------------


class Signing(NamedTuple):
    """A key of the scorecard, its words, and the answer it gives."""

    key: str
    says: str
    who: Literal["athlete", "judge"]
    signed: bool


SIGNINGS: tuple[Signing, ...] = (
    Signing("1", "athlete accepts", "athlete", signed=True),
    Signing("2", "judge accepts", "judge", signed=True),
    Signing("3", "athlete not signed", "athlete", signed=False),
    Signing("4", "judge not signed", "judge", signed=False),
)
Keys = tuple[str, ...]


def footer(lane: Lane, *, others_work: bool = False) -> tuple[Keys, Keys]:
    """The keys: what can be answered now, and the rest."""
    answers, rest = _footer(lane)
    if others_work:
        rest = tuple(words for words in rest if words != _DISPUTE)
        return answers, ("0 STOP, all lanes", "f freeze all", *rest)
    return answers, rest


_DISPUTE = "d dispute"


def _footer(lane: Lane) -> tuple[Keys, Keys]:
    rest: Keys = ("b to the Floor", "q, y close")
    if lane.stopped and not lane.closed:
        rest = ("g STOP a mistake?", *rest)
    if lane.closed:
        says = f"{closed_words(lane)}. Only a head judge's ruling changes it."
        return (says,), rest
    if lane.horn_asks:
        return (horn_question(lane), "y yes", "n no"), rest
    answered = {signature.who for signature in lane.signatures}
    open_ = [s for s in SIGNINGS if s.who not in answered]
    return tuple(f"{s.key} {s.says}" for s in open_), (_DISPUTE, *rest)


def more_words(*, above: bool, below: bool) -> str:
    """What the arrows would show; nothing where the whole card is on the screen."""
    named = (("above", above), ("below", below))
    where = " and ".join(word for word, there in named if there)
    return f"arrows: more {where}" if where else ""


MOST_WORDS = more_words(above=True, below=True)
