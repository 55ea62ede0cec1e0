"""Codes of athletes' own sheets, as a server hands them to the screen behind a page.

A link lets whoever has it read a sheet, so it comes through the server's pipe: in no
list of arguments, and not in the environment, which holds too little for a long heat
and is handed on to whatever is begun from here. Without a server there is none.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from judgekit.core.values import dataclass
from judgekit.reports.names import beside_bib, numbered_name, shown_name

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from judgekit.core.plan import Plan

OPENS, CLOSES = "s", "escape"
_ALONE = (
    "No code of the sheet: this address is this computer's alone, no phone reaches it. "
    "judgekit serve --network serves phones, too."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A link and its code: a text for each row of squares, `1` where one is dark."""

    link: str
    rows: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AthleteCode:
    """A code, and in words whose it is."""

    who: str
    code: Code


class _Told:
    """What the server told last, by bib; another thread reads it as a whole.

    None without a server, and before it told anything.
    """

    codes: Mapping[str, Code] | None = None


_TOLD = _Told()


def packed(codes: Mapping[str, Code]) -> str:
    """Codes by bib as one text."""
    return json.dumps({bib: [one.link, *one.rows] for bib, one in codes.items()})


def told_anew(codes: str) -> None:
    """From now on these are the codes, as packed."""
    _TOLD.codes = {
        bib: Code(link=link, rows=tuple(rows))
        for bib, (link, *rows) in json.loads(codes).items()
    }


def codes_of(plan: Plan) -> tuple[AthleteCode, ...]:
    """The codes of a lane's athlete, or of each member; none without a server."""
    codes = _TOLD.codes or {}
    return tuple(
        AthleteCode(who=who, code=codes[bib])
        for bib, who in _whose(plan)
        if bib in codes
    )


def why_none() -> str:
    """Why a server gives no code to anybody; empty where it does, or where none is."""
    return _ALONE if _TOLD.codes == {} else ""


def _whose(plan: Plan) -> Iterable[tuple[str, str]]:
    if not plan.team.members:
        return ((plan.bib, numbered_name(plan)),)
    return (
        (one.bib, beside_bib(one.bib, shown_name(one.name, one.show, one.bib)))
        for one in plan.team.members
    )


class CodeKeys:
    """Which code is shown: `s` opens the first, then each next one, then none."""

    def __init__(self) -> None:
        self._place = 0

    def shown(self, plan: Plan) -> AthleteCode | None:
        """The code that is shown."""
        codes = codes_of(plan)
        return codes[self._place - 1] if 0 < self._place <= len(codes) else None

    def is_last(self, plan: Plan) -> bool:
        """Whether no further one comes."""
        return self._place >= len(codes_of(plan))

    def takes(self, key: str, plan: Plan) -> bool:
        """Whether a key is about codes; while one is shown, every key is."""
        many = len(codes_of(plan))
        if self.shown(plan) is None and (key != OPENS or not many):
            return False
        if key == OPENS:
            self._place = (self._place + 1) % (many + 1)
        elif key == CLOSES:
            self.close()
        return True

    def close(self) -> None:
        """Show none."""
        self._place = 0
