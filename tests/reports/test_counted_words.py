from __future__ import annotations

from judgekit.reports.drills import called_words
from judgekit.reports.names import counted_words
from judgekit.review.faults import rate


def test_one_of_a_thing_has_no_plural() -> None:
    assert [counted_words(n, "reps") for n in (0, 1, 2)] == [
        "0 reps",
        "1 rep",
        "2 reps",
    ]
    assert counted_words(1, "calories") == "1 calorie"
    assert called_words(rate(1, 1)).startswith("1 of 1 attempt, ")
    assert called_words(rate(1, 2)).startswith("1 of 2 attempts, ")
