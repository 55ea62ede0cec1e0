"""What is told in a line once an entry has been made."""

from __future__ import annotations

from judgekit.core.entry import Stop
from judgekit.core.plan import PlanPart
from judgekit.core.press import ReportSet
from judgekit.ui.views.telling import telling
from tests.support import Played, for_time, movement


def test_a_report_tells_its_set_where_that_is_not_the_one_under_way() -> None:
    parts = tuple(
        PlanPart(id=id_, kind="window", length_ms=60_000, movements=(movement(c, n),))
        for id_, c, n in (("A", "front-squat", 5), ("B", "toes-to-bar", 4))
    )
    played = Played(for_time(parts=parts, score="reps", watching="reported")).go()
    told = []
    for at, act in (
        (30, ReportSet(n=2)),
        (62, ReportSet(n=4)),
        (90, ReportSet(n=1)),
        (91, Stop()),
        (99, ReportSet(n=3, at_stop=True)),
    ):
        played.press(at, act)
        told.append(telling(played.lane, played.entries[-1], ()))
    assert told == [
        "",
        "Front squat, part A round 1: 4 reported.",
        "",
        "",
        "Toes to bar, part B round 1: 3 by the stop.",
    ]
