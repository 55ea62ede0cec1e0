"""The lane check as texts: its items, what was answered, and what to do with each."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from judgekit.core.values import dataclass
from judgekit.ui.panels import digits
from judgekit.ui.views.checkwords import because, fits, unit_of
from judgekit.ui.views.naming import who

if TYPE_CHECKING:
    from judgekit.core.checkentry import Check
    from judgekit.core.checkitems import Item
    from judgekit.core.lanecheck import LaneCheck
    from judgekit.core.plan import Plan
    from judgekit.ui.checkkeys import CheckKeys

# The first to give way where there is no room for all keys.
MOVES = "arrows move"
OPEN, DONE, WRONG, AGREED = "□", "✓", "✗", "≠"


class CheckRow(NamedTuple):
    """One item: a sign, its name, what is planned, and what was answered."""

    sign: str
    name: str
    planned: str
    state: str
    focus: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckView:
    """Every text of the lane check; `title` is said fully first, then ever shorter.

    `how` tells how to look at the item in focus.

    `prompt` is what is being typed, empty while nothing is; `big` is drawn in block
    letters where there is room. `keys` are those of the moment.
    """

    title: tuple[str, ...]
    left: str
    athlete: str
    rows: tuple[CheckRow, ...]
    planned: str
    how: str
    prompt: str
    big: str
    keys: tuple[str, ...]


def check_view(plan: Plan, check: LaneCheck, keys: CheckKeys) -> CheckView:
    """The lane check as it stands, with what is being typed."""
    focus = keys.item(check)
    many = len(check.open)
    where = f"heat {plan.heat}  lane {plan.lane}"
    left = f"{many} of {len(check.items)} open" if many else "all answered"
    return CheckView(
        title=(
            f"LANE CHECK   {plan.workout_name}   {where}",
            f"LANE CHECK   {where}",
            f"CHECK  lane {plan.lane}",
        ),
        left=left,
        athlete=f"{who(plan.name, plan.show, plan.bib)}   {plan.division_name}",
        rows=tuple(
            _row(item, check.answer(item), item is focus) for item in check.items
        ),
        planned=f"{focus.name}: {focus.planned}",
        how=f"{focus.how}.",
        prompt=_prompt(keys, focus),
        big=_big(keys, focus, plan),
        keys=_keys(check, keys, focus),
    )


def _row(item: Item, answer: Check | None, focus: bool) -> CheckRow:
    sign, state = _state(answer)
    return CheckRow(sign, item.name, item.planned, state, focus)


def _state(answer: Check | None) -> tuple[str, str]:
    if answer is None:
        return OPEN, "open"
    match answer.answer:
        case "measured":
            return DONE, fits(answer)
        case "refused":
            return WRONG, f"{answer.value} refused"
        case "as planned":
            return DONE, "as planned"
        case _:
            sign = AGREED if answer.by else WRONG
            return sign, f"not as planned{because(answer)}"


def _prompt(keys: CheckKeys, focus: Item) -> str:
    match keys.mode:
        case "value":
            return f"{focus.name} measures: {keys.typed}_"
        case "words":
            asked = (
                "Which limit" if focus.kind == "limits" else "What is not as planned"
            )
            return f"{asked}: {keys.typed}_"
        case "who":
            listed = (f"{n} {name}" for n, name in enumerate(keys.people, 1))
            return f"Who agreed? {', '.join(listed)}; space: nobody yet"
        case _:
            return ""


def _keys(check: LaneCheck, keys: CheckKeys, focus: Item) -> tuple[str, ...]:
    match keys.mode:
        case "value":
            return f"in {unit_of(focus)}", "enter that is it", "escape back"
        case "words":
            return "enter that is it", "escape back"
        case "who":
            return f"press {digits(len(keys.people))}, or space", "escape back"
        case _:
            return tuple(_of_list(check, focus))


def _of_list(check: LaneCheck, focus: Item) -> list[str]:
    found = [] if focus.must else ["space as planned"]
    if focus.takes is not None:
        found.append("digits measure")
    found.append("n not as planned")
    if check.unchanged:
        found.append(f"a all {len(check.unchanged)} unchanged")
    if not check.open:
        found.insert(0, "all answered: g on the Floor")
    return [*found, "enter Floor", MOVES]


def _big(keys: CheckKeys, focus: Item, plan: Plan) -> str:
    """What a judge with a tape in hand reads from a step away."""
    if keys.mode == "value":
        return keys.typed.upper()
    if focus.wanted is not None:
        return focus.wanted.markings[0].written.upper()
    return plan.bib if focus.kind == "athlete" else focus.name.upper()
