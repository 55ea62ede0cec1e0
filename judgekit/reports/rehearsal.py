"""What came of a rehearsal, in words: for a screen, for paper, and to read aloud."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.quantity import show_time
from judgekit.core.values import dataclass
from judgekit.reports.layout import wrapped

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from judgekit.core.plan import Plan, PlanCriterion
    from judgekit.review.calling import Marks, Outcome, Verdict
    from judgekit.review.performing import Performed

_INDENT = " " * 5
_HALF, _NEARLY_ALL = 50, 90
_WRONG: tuple[tuple[Outcome, str], ...] = (
    ("missed", "bad, and counted"),
    ("other reason", "bad, and another reason named"),
    ("no reason", "bad, and no reason named"),
    ("false", "good, and called a no-rep"),
    ("silent", "not called"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """What stands together: a heading, and rows of a label and what is said."""

    heading: str
    rows: tuple[tuple[str, str], ...]


def sections(plan: Plan, marks: Marks, before: Marks | None) -> tuple[Section, ...]:
    """All of it, most worth knowing first; `before` is the last time's, if any."""
    found = (
        Section(heading=_share(marks), rows=tuple(_totals(marks, before))),
        *_criteria(plan, marks.verdicts),
        Section(heading="Keys mixed up", rows=tuple(_confused(plan, marks))),
    )
    return tuple(section for section in found if section.rows)


def as_text(title: str, found: Iterable[Section]) -> str:
    """The sections as they are printed."""
    lines = [title]
    for section in found:
        wide = max(len(label) for label, _ in section.rows)
        lines += ["", section.heading]
        lines += [f"  {label:<{wide}}  {says}" for label, says in section.rows]
    return "\n".join(lines) + "\n"


def script_text(
    plan: Plan, shown: Sequence[Performed], title: str, width: int | None
) -> str:
    """A performance with its right calls, to be read aloud to a partner."""
    room = None if width is None else max(1, width - len(_INDENT))
    lines = [title]
    for number, one in enumerate(shown, 1):
        name = plan.card(one.card).name
        lines += ["", f"{number:>3}  {show_time(one.at_ms)}  {name}"]
        key, call = _right(plan, one.card, one.fault)
        lines += [f"{_INDENT}{line}" for line in wrapped(one.says, room)]
        lines.append(f"{_INDENT}{key}  {call}")
    return "\n".join(lines) + "\n"


def _right(plan: Plan, card: str, fault: str) -> tuple[str, str]:
    """The key of a call, and the call."""
    found = plan.card(card).fault(fault)
    return (found.key, found.call) if found is not None else ("space", "good rep")


def _share(marks: Marks) -> str:
    many = len(marks.verdicts)
    share = "" if marks.percent is None else f", {marks.percent} %"
    return f"{marks.right} of {many} right{share}"


def _totals(marks: Marks, before: Marks | None) -> Iterator[tuple[str, str]]:
    if before is not None and before.percent is not None:
        yield f"{before.percent} %", "last time"
    for outcome, says in _WRONG:
        if marks.count(outcome):
            yield str(marks.count(outcome)), says
    if marks.extra:
        yield str(marks.extra), "pressed once more than there was a rep"
    if marks.late:
        yield str(marks.late), "called late: the rep was over"
    half, nearly = marks.reaction_ms(_HALF), marks.reaction_ms(_NEARLY_ALL)
    if half is not None and nearly is not None:
        yield _seconds(half), "within this came half of the calls"
        yield _seconds(nearly), "within this came nine of ten"


def _criteria(plan: Plan, verdicts: Iterable[Verdict]) -> Iterator[Section]:
    """A section for each movement: its good reps, and each criterion missed in one."""
    by_card: dict[str, list[Verdict]] = {}
    for one in verdicts:
        by_card.setdefault(one.shown.card, []).append(one)
    for card, of_card in by_card.items():
        good = [one for one in of_card if not one.shown.fault]
        rows = [(_of(good), "good reps")] if good else []
        for criterion in plan.card(card).criteria:
            bad = [one for one in of_card if _breaks(plan, one, criterion)]
            if bad:
                rows.append((_of(bad), criterion.says))
        yield Section(heading=plan.card(card).name, rows=tuple(rows))


def _breaks(plan: Plan, one: Verdict, criterion: PlanCriterion) -> bool:
    fault = plan.card(one.shown.card).fault(one.shown.fault)
    return fault is not None and fault.breaks == criterion.id


def _of(verdicts: Sequence[Verdict]) -> str:
    right = sum(1 for one in verdicts if one.outcome == "right")
    return f"{right} of {len(verdicts)}"


def _confused(plan: Plan, marks: Marks) -> Iterator[tuple[str, str]]:
    for card, fault, pressed, many in marks.confused():
        meant = " ".join(_right(plan, card, fault))
        yield meant, f"pressed {_pressed(plan, card, pressed)}: {_times(many)}"


def _pressed(plan: Plan, card: str, fault: str) -> str:
    """The key and call of a fault, on its card or on that of the next movement."""
    cards = (plan.card(card), *plan.cards)
    found = next(f for c in cards if (f := c.fault(fault)) is not None)
    return f"{found.key} {found.call}"


def _times(many: int) -> str:
    return "once" if many == 1 else f"{many} times"


def _seconds(ms: int) -> str:
    return f"{ms // 100 / 10:.1f} s"
