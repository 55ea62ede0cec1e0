"""Results as text: what is read, what is written, and names before them."""

from __future__ import annotations

import pytest

from judgekit.core.resulting import result_text
from judgekit.core.watchentry import Result
from judgekit.files.resultlines import ResultLine, read_line
from judgekit.files.resulttext import read_result
from judgekit.files.tally_words import LineError
from tests.support import for_time, window


@pytest.mark.parametrize(
    ("text", "result", "written"),
    [
        ("7:41", Result(unit="ms", amount=461_000), "7:41.0"),
        ("7:41.25", Result(unit="ms", amount=461_250), "7:41.25"),
        ("5+8", Result(unit="reps", rounds=5, amount=8), "5+8"),
        ("5 + 8", Result(unit="reps", rounds=5, amount=8), "5+8"),
        ("0+8", Result(unit="reps", amount=8), "8 reps"),
        ("132 reps", Result(unit="reps", amount=132), "132 reps"),
        ("1 Rep", Result(unit="reps", amount=1), "1 rep"),
        ("1 s", Result(unit="seconds", amount=1), "1 second"),
        ("1 rounds", Result(unit="rounds", rounds=1), "1 round"),
        ("54cal", Result(unit="calories", amount=54), "54 calories"),
        ("2000 m", Result(unit="metres", amount=2000), "2000 metres"),
        ("4 rounds", Result(unit="rounds", rounds=4), "4 rounds"),
        ("80 kg", Result(unit="load", load="80 kg"), "80 kg"),
        ("82.5 kg", Result(unit="load", load="82.5 kg"), "82.5 kg"),
    ],
)
def test_a_result_is_read_and_written(text: str, result: Result, written: str) -> None:
    assert read_result(text) == result
    assert result_text(result) == written
    assert read_result(written) == result


@pytest.mark.parametrize("text", ["", "x", "8", "7.41", "80", "7:4x", "5+", "10 ft"])
def test_what_is_no_result_is_refused(text: str) -> None:
    with pytest.raises(LineError):
        read_result(text)


def test_a_bare_number_is_in_the_unit_of_the_score() -> None:
    assert read_result("132", window()) == Result(unit="reps", amount=132)
    with pytest.raises(LineError):
        read_result("132", for_time())


@pytest.mark.parametrize(
    ("text", "who", "result", "instead"),
    [
        ("Ana 7:41", "Ana", "7:41", ()),
        ("Ines Varga 5 + 8", "Ines Varga", "5 + 8", ()),
        ("27 132", "27", "132", ()),
        ("27 132 reps", "27", "132 reps", ()),
        ("Cy: 82.5 kg", "Cy", "82.5 kg", ()),
        ("Team 7 132", "Team 7", "132", ()),
        ("Bo 5+8 with ring row", "Bo", "5+8", ("ring row",)),
        ("Bo 5+8 WITH ring row and air squat", "Bo", "5+8", ("ring row", "air squat")),
    ],
)
def test_a_line_is_a_name_a_result_and_what_was_done_instead(
    text: str, who: str, result: str, instead: tuple[str, ...]
) -> None:
    line = ResultLine(text=text, who=who, result=result, instead=instead)
    assert read_line(text) == line


@pytest.mark.parametrize("text", ["Ana", "7:41", "with ring row", "Ana with 7:41"])
def test_a_line_without_a_name_or_a_result_is_refused(text: str) -> None:
    with pytest.raises(LineError, match="there is no result"):
        read_line(text)
