"""Subtitles as the WebVTT specification has them (W3C, "WebVTT file body"), read back
by webvtt-py, and by a strict reader of the timestamp grammar.

Values: the specification's section on timestamps, and timings of web-platform-tests.
"""

from __future__ import annotations

import io
import re

import pytest
import webvtt
from hypothesis import given
from hypothesis import strategies as st

from judgekit.reports.subtitles import Call, as_srt, as_vtt, cues

# Optional hours of two digits or more, then minutes and seconds up to 59, and exactly
# three digits after a full stop.
STAMP = re.compile(r"(?:(\d{2,}):)?([0-5]\d):([0-5]\d)\.(\d{3})", re.ASCII)
BLANKS = r"[ \t]+"


def seconds(text: str) -> float | None:
    """The time of a stamp as an author may write it; None for any other text."""
    found = STAMP.fullmatch(text)
    if found is None:
        return None
    hours, minutes, whole, thousandths = (int(part or 0) for part in found.groups())
    return (hours * 3600_000 + minutes * 60_000 + whole * 1000 + thousandths) / 1000


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("00:00.000", 0),
        ("00:01.000", 1),
        ("00:00:01.000", 1),
        ("01:02:03.004", 3723.004),
        ("59:59.999", 3599.999),
        ("100:00:00.000", 360_000),
        ("0:00:00.000", None),
        ("60:00.000", None),
        ("00:60.000", None),
        ("00:00:60.000", None),
        ("000:00.000", None),
        ("00:00.00", None),
        ("00:00.0000", None),
        ("00:00:00,000", None),
        ("00:00:00", None),
        (":00.000", None),
        ("00:0:00.000", None),
    ],
)
def test_the_reader_knows_what_an_author_may_write(
    text: str, value: float | None
) -> None:
    assert seconds(text) == value


@pytest.mark.parametrize("ms", [0, 1000, 3_723_004, 3_599_999, 360_000_000, 59_999])
def test_a_time_is_written_as_an_author_may(ms: int) -> None:
    [line] = [x for x in as_vtt(cues([Call(ms, "a")])).splitlines() if "-->" in x]
    start, end = re.split(f"{BLANKS}-->{BLANKS}", line)
    assert (seconds(start), seconds(end)) == (ms / 1000, (ms + 2000) / 1000)


calls = st.lists(
    st.builds(
        Call,
        st.integers(0, 400_000_000),
        st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
        | st.sampled_from(
            [
                "a --> b",
                "\n\n7\n00:00.000 --> 00:01.000\nx",
                "<c>",
                "&lt;",
                "NOTE",
                "\0",
            ]
        ),
    ),
    max_size=12,
)


@given(calls)
def test_whatever_is_called_the_file_is_valid_and_read_back_cue_by_cue(
    called: list[Call],
) -> None:
    found = cues(called)
    text = as_vtt(found)
    head, *blocks = text.rstrip("\n").split("\n\n")
    assert head == "WEBVTT"
    assert len(blocks) == len(found)
    before = -1.0
    for number, block in enumerate(blocks, 1):
        identity, times, *payload = block.split("\n")
        start, end = (seconds(x) for x in re.split(f"{BLANKS}-->{BLANKS}", times))
        assert identity == str(number)
        assert start is not None
        assert end is not None
        assert before <= start < end
        before = start
        for line in payload:
            assert "-->" not in line
            assert "<" not in line
            assert re.sub(r"&(amp|lt|gt);", "", line).find("&") == -1


@given(
    st.lists(
        st.builds(
            Call, st.integers(0, 9_999_999), st.text("ab<>&é- ", min_size=1, max_size=9)
        )
    )
)
def test_webvtt_py_reads_both_kinds_of_file(called: list[Call]) -> None:
    found = cues(called)
    if not found:
        return
    times = [(cue.start, cue.end, len(cue.lines)) for cue in found]
    for kind, text in (("vtt", as_vtt(found)), ("srt", as_srt(found))):
        read = webvtt.from_buffer(io.StringIO(text), format=kind, strict=True)
        assert [(ms(c.start), ms(c.end), len(c.lines)) for c in read.captions] == times


def ms(stamp: str) -> int:
    value = seconds(stamp)
    assert value is not None
    return round(value * 1000)
