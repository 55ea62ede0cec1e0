from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import SetKey
from judgekit.core.press import WriteNoReps
from judgekit.reports.frequencies import (
    NOTHING,
    Named,
    as_csv,
    as_json,
    frequency_table,
    frequency_tables,
)
from judgekit.reports.layout import as_html, as_markdown, as_table
from judgekit.review.attempts import CueRow, LaneRows, lane_rows
from judgekit.review.frequencies import KEYS, frequencies
from tests.review.made_rows import counted, facts
from tests.support import Played, card, fault, for_time

JUDGES = {"kb": "Kim Brandt"}
LANES = [
    counted(facts("1", show="initials"), 27, ("depth",), ("depth",), ()),
    counted(facts("2", show="number", judge="mo"), 2, ("gone",)),
]


def named(*by: str) -> Named:
    keys = tuple(key for word in by for key in KEYS if key == word)
    return Named(found=frequencies(LANES, keys), judges=JUDGES)


def test_a_table_says_names_calls_and_what_to_mind() -> None:
    table = frequency_table(named("athlete", "movement", "fault", "judge"))
    assert [column.name for column in table.columns] == [
        *("Athlete", "Movement", "Fault", "Judge", "No-reps", "Rate", "Likely"),
        "",
    ]
    assert {row[:5] for row in table.rows} == {
        ("1 A. 1.", "Front squat", "DEPTH", "Kim Brandt", "2 of 30"),
        ("1 A. 1.", "Front squat", "no reason given", "Kim Brandt", "1 of 30"),
        ("2", "Front squat", "gone (no longer on the card)", "mo", "1 of 3"),
    }
    assert {row[0]: row[-1] for row in table.rows} == {
        "1 A. 1.": "",
        "2": "few",
    }


def test_without_its_movement_a_fault_has_its_id_beside_the_call() -> None:
    other = replace(card("lunge"), faults=(fault("shallow", "d"),))
    odd = replace(other, faults=(replace(other.faults[0], call="DEPTH"),))
    plan = LANES[0].facts.plan
    with_other = counted(facts("3", cards=(*plan.cards, odd)), 30, ("depth",))
    found = frequencies([with_other], ("fault",))
    table = frequency_table(Named(found=found, judges={}))
    assert table.rows[0][0] == "DEPTH (depth)"
    (alone,) = frequency_tables(named("fault"))
    assert alone.rows[0][0] == "DEPTH"
    assert (
        "out of the attempts at all movements that can have the fault"
        in (alone.notes[0])
    )


def test_a_part_without_a_round_says_that_it_is_from_paper() -> None:
    played = Played(for_time()).go()
    squats = SetKey(1, 1, 1)
    played.press(0, WriteNoReps(set=squats, n=2, fault="depth", any_round=True))
    played.press(461, PaperTime())
    found = frequencies([lane_rows(played.lane)], ("round",))
    of = Named(found=found, judges={})
    rounds = {of.data(row, 0): of.shown(row, 0) for row in found.rows}
    assert rounds == {
        "A": "A, from paper",
        **{round_: round_ for round_ in ("A.1", "A.2", "B.1")},
    }


def test_several_keys_are_a_list_in_words() -> None:
    table = frequency_table(named("athlete", "movement", "fault"))
    assert table.title == "Faults by athlete, movement and fault"
    # A share of everything says hardly anything of one person's one fault.
    assert "Share" not in [column.name for column in table.columns]
    assert "Share" not in table.notes[0]
    of_faults = frequency_table(named("movement", "fault"))
    assert "Share: of all reasons." in of_faults.notes[0]
    (by_judge,) = frequency_tables(named("judge"))
    assert "Athletes" in [column.name for column in by_judge.columns]
    assert by_judge.title == "Faults by judge"
    assert "Share: of all no-reps." in by_judge.notes[0]


def test_cues_are_a_table_of_their_own_beside_faults() -> None:
    """A cue that was told five times is no fault with a rate of nought."""
    one = LANES[0]
    cue = CueRow(one.facts, one.attempts[0].set, 4000, "heels", "1")
    found = frequencies([replace(one, cues=(cue, cue))], ("movement", "fault"))
    faults, cues = frequency_tables(Named(found=found, judges={}))
    assert {row[1] for row in faults.rows} == {"DEPTH", "no reason given"}
    assert "Cues" not in [column.name for column in faults.columns]
    assert cues.rows == (("Front squat", "HEELS", 2, 30),)
    (whole,) = frequency_tables(
        Named(found=frequencies([replace(one, cues=(cue,))], ("athlete",)), judges={})
    )
    assert "Cues" in [column.name for column in whole.columns]


def test_of_cues_before_anybody_tried_no_rate_is_told() -> None:
    one = LANES[0]
    cue = CueRow(one.facts, one.attempts[0].set, 4000, "heels", "1")
    alone = LaneRows(facts=one.facts, cues=(cue,))
    (table,) = frequency_tables(
        Named(found=frequencies([alone], ("judge",)), judges=JUDGES)
    )
    shown = dict(zip([c.key for c in table.columns], table.rows[0], strict=True))
    assert (shown["judge"], shown["no_reps"], shown["cues"]) == ("Kim Brandt", None, 1)
    assert not any("0 of 0" in str(cell) for cell in table.rows[0])


def test_csv_has_ids_bibs_and_rates_between_nought_and_one() -> None:
    text = as_csv(named("athlete", "fault"))
    found = list(csv.DictReader(io.StringIO(text)))
    assert found[1] == {
        "athlete": "1",
        "fault": "depth",
        "watched": "judged",
        "attempts": "30",
        "good": "27",
        "no_reps": "2",
        "rate": "0.0667",
        "low": "0.0185",
        "high": "0.2132",
        "share": "0.5",
        "athletes": "1",
        "of_athletes": "1",
        "cues": "0",
        "few": "",
    }
    assert {row["fault"] for row in found} == {"depth", "gone", "no reason given"}


def test_json_has_its_totals() -> None:
    data = json.loads(as_json(named("judge")))
    assert (data["format"], data["by"], data["noticed"]) == (1, ["judge"], 0)
    assert {row["judge"]: row["no_reps"] for row in data["rows"]} == {"kb": 3, "mo": 1}
    assert (data["total"]["attempts"], data["sampled"]["rate"]) == (33, None)


def test_nothing_says_so_in_every_format() -> None:
    """C21: no nan, no inf, no None."""
    none = Named(found=frequencies([LaneRows(facts=facts("1"))], KEYS), judges={})
    table = frequency_table(none)
    assert (table.rows, table.notes) == ((), (NOTHING,))
    every = as_csv(none) + as_table(table) + as_json(none)
    assert not any(word in every.lower() for word in ("nan", "inf", "none"))


def test_a_hostile_name_is_text_in_every_format() -> None:
    bad = '=1+1<script>"x"</script>|\x1b[2J'
    lanes = [counted(facts("9", judge="kb"), 30, ("depth",))]
    plan = replace(lanes[0].facts.plan, name=bad)
    lane = replace(lanes[0], facts=replace(lanes[0].facts, plan=plan))
    rows = tuple(row._replace(lane=lane.facts) for row in lane.attempts)
    found = frequencies([replace(lane, attempts=rows)], ("athlete", "judge"))
    one = Named(found=found, judges={"kb": bad})
    page = as_html(frequency_table(one))
    assert "<script>" not in page
    assert "\x1b" not in as_table(frequency_table(one)) + as_markdown(
        frequency_table(one)
    )
    assert "=1+1" not in as_csv(one)
