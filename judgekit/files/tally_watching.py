"""The line forms of a tally for reported sets, looks and whole results."""

from __future__ import annotations

from judgekit.core.press import Act, EndLook, ReportSet
from judgekit.core.watchentry import Look
from judgekit.files.resulttext import read_result
from judgekit.files.tally_words import SET, Form, Reader, form, number, set_of


def _set_reported(r: Reader) -> Act:
    key = set_of(r) if SET.fullmatch(r.peek()) else None
    n = number(r, "how many are done") if r.peek() else None
    return ReportSet(n=n, set=key)


def _look_end(r: Reader) -> Act:
    return EndLook(seen=number(r, "how many were seen") if r.peek() else None)


WATCHING: tuple[Form, ...] = (
    form(
        "set-reported [PART.ROUND.MOVEMENT] [N]",
        "the athlete says that the set is done, or N of it; at the very time of a "
        "stop, what was done by it",
        "set-reported 8",
        _set_reported,
    ),
    form(
        "look",
        "a coach begins to watch rep by rep: what follows is seen, not counted",
        "look",
        lambda _: Look(),
    ),
    form(
        "look-end [N]",
        "the look is over: N attempts were seen, as many as were pressed if not said",
        "look-end 12",
        _look_end,
    ),
    form(
        "result RESULT",
        "the athlete's own score: 7:41, 5+8 (rounds and reps), 132 reps, 80 kg",
        "result 5+8",
        lambda r: read_result(r.text("the result"), r.plan),
    ),
)
