from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, cast

from judgekit.review.faults import rate
from judgekit.review.season import (
    Fault,
    Group,
    Month,
    Recurring,
    groups,
    months,
    recurring,
    total,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.review.judged import Watched
    from judgekit.review.season import Word

DAYS = ("2027-03-06", "2027-03-27", "2027-05-08", "2027-05-09")


def group(
    *of: str,
    attempts: int = 100,
    no_reps: int = 0,
    watched: str = "judged",
    rated: bool = True,
    athletes: int = 1,
) -> Group:
    return Group(
        of=of,
        watched=cast("Watched", watched),
        rated=rated,
        attempts=attempts,
        good=attempts - no_reps,
        no_reps=no_reps,
        athletes=athletes,
        of_athletes=9,
    )


class Season:
    """Groups as they were written down for a test."""

    def __init__(self, found: Mapping[tuple[str, ...], list[Group]]) -> None:
        self.found = found

    def by(self, words: Sequence[Word]) -> list[Group]:
        return self.found.get(tuple(words), [])


def season(seen: Sequence[str], *, watched: str = "judged") -> Season:
    return Season(
        {
            ("movement", "fault"): [
                group("squat", "shallow", watched=watched),
                group("squat", "narrow", no_reps=9),
            ],
            ("movement", "fault", "date"): [
                *(
                    group("squat", "shallow", d, no_reps=1, watched=watched)
                    for d in seen
                ),
                *(group("squat", "", d) for d in DAYS),
            ],
            ("movement", "date"): [group("squat", d, watched=watched) for d in DAYS],
            ("movement", "fault", "month"): [
                group("squat", "shallow", "2027-05", no_reps=7, watched=watched)
            ],
            ("movement", "month"): [
                group("squat", "2027-05", attempts=40, watched=watched),
                group("squat", "2027-03", attempts=60, watched=watched),
                group("squat", "2027-03", attempts=5, watched="reported", rated=False),
            ],
        }
    )


def test_a_fault_seen_on_three_days_comes_again_whatever_lies_between() -> None:
    of = Fault("squat", "shallow", "judged")
    assert recurring(season(DAYS[:2])) == ()
    found = recurring(season((DAYS[3], DAYS[0], DAYS[1])))
    assert found == (Recurring(of, (DAYS[0], DAYS[1], DAYS[3]), 4),)


def test_a_cue_alone_is_no_day_on_which_it_was_seen() -> None:
    told = season(DAYS[:2])
    told.found["movement", "fault", "date"].append(group("squat", "shallow", DAYS[2]))
    assert recurring(told) == ()


def test_of_those_seen_as_often_first_comes_what_to_act_on_first() -> None:
    told = season(DAYS)
    narrow = [group("squat", "narrow", day, no_reps=1) for day in DAYS]
    told.found["movement", "fault", "date"].extend(narrow)
    assert [one.of.fault for one in recurring(told)] == ["narrow", "shallow"]


def test_looks_are_held_against_the_days_with_looks() -> None:
    (found,) = recurring(season(DAYS[:3], watched="sampled"))
    assert found.of.watched == "sampled"


def test_a_month_without_the_fault_is_told_as_one_with_none() -> None:
    of = Fault("squat", "shallow", "judged")
    told = season(DAYS[:3])
    assert months(told, recurring(told)) == (
        Month(of, "2027-03", rate(0, 60)),
        Month(of, "2027-05", rate(7, 40)),
    )
    assert months(told, ()) == ()


def test_first_comes_what_is_surely_frequent_and_shared_by_many() -> None:
    shared = group("a", no_reps=10, athletes=5)
    loud = group("b", attempts=1, no_reps=1)
    alone = group("c", no_reps=12)
    unrated = group("d", no_reps=50, rated=False, athletes=9)
    found = groups(Season({("fault",): [loud, unrated, alone, shared]}), ("fault",))
    assert [one.of for one in found] == [("a",), ("b",), ("c",), ("d",)]
    assert unrated.rate == rate(50, None)


def test_cues_given_without_attempts_need_no_group_of_their_own() -> None:
    tried = replace(group("kb", no_reps=2), cues=1)
    noted = replace(group("kb", attempts=0, rated=False), cues=2)
    other = replace(noted, of=("aw",))
    season = Season({("judge",): [noted, tried, other]})
    assert groups(season, ("judge",)) == (replace(tried, cues=3), other)


def test_a_total_is_of_one_way_of_watching_and_has_a_rate() -> None:
    every = [
        group(attempts=50, no_reps=5),
        group(attempts=9, no_reps=3, rated=False),
        group(attempts=20, no_reps=2, watched="sampled"),
    ]
    told = Season({(): every})
    assert total(told, "judged") == rate(5, 50)
    assert total(told, "sampled") == rate(2, 20)
