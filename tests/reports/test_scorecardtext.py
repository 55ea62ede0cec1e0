from __future__ import annotations

import csv
import io
import json
from dataclasses import asdict, replace

from judgekit.core.press import Called
from judgekit.core.score import score
from judgekit.reports import layout, scorecardtext
from judgekit.reports.page import page_html
from judgekit.reports.scorecard import Scorecard, scorecard
from tests.reports.test_scorecard import a_whole_heat
from tests.support import Played, simple


def whole() -> Scorecard:
    lane = a_whole_heat().lane
    return scorecard(
        lane, score(lane), log_code="22.0123456789", runs="run 2 of 2: rig moved"
    )


TEXT = """\
Heat 3, lane 4: 27 Ines Varga, Women

What      Says
--------  -----------------------------
event     Quayside Saturday, 2027-05-08
workout   Quayside, revision 1
judge     kb
status    finished
score     0:49
log code  22.0123456789

run 2 of 2: rig moved
amended: signed 0:44, now 0:49
provisional: disputed
read aloud: 0:49 (1:44 less 1:00 rest, ruling: left early +0:05.000), amended
from 0:44, two no-reps, reasons: depth 1, lock 1, no reason given 1
The log code shows that this card was read from the log's entries as they stood:
a later change to any of them no longer fits it. It shows nothing more.

Splits

Part  Round  Movement     Good  Of  Unit      No-reps  Done  Took  Note
----  -----  -----------  ----  --  --------  -------  ----  ----  ----
A         1  Front squat     3   3  reps            0  0:08  0:08  @
A         1  Toes to bar     2   2  reps            1  0:16  0:08  @
A         2  Front squat     3   3  reps            0  0:26  0:10  @
A         2  Toes to bar     2   2  reps            1  0:35  0:09  @
B         1  Row             4   4  calories        0  1:36  0:01  @
B         1  Front squat     2   2  reps            0  1:44  0:08  @

No-reps

In each row: Movement Toes to bar. No row has anything under "Remark".
    At  Call             Must be
------  ---------------  --------------------------------------------------
0:11.0  DEPTH + LOCK     Hip crease below the knee; Knees and hips straight
0:27.0  no reason given  @

Arithmetic

Step                    Value
------------------  ---------
last rep at          1:44.500
planned rest        -1:00.000
ruling: left early  +0:05.000
score                    0:49

cue: HEELS 1
dispute 1: depth of rep 2; not answered yet
ruling by kb: +5 s on the score (left early)
judge: accepted
athlete: not signed

Rules in force

Rule                       Set to
-------------------------  -----------------------------------
watching                   every rep is judged
in doubt                   the rep counts
rep before a rest is over  the rep does not count
press after the horn       asked about up to 1 s after it
questions                  about count and time
times cut to               1 s
cap                        10:00
capped athletes            ranked below finishers by reps done
planned rest               comes off the score
""".replace("@", layout.EMPTY)


def test_a_scorecard_for_a_terminal_is_the_same_to_the_letter() -> None:
    assert scorecardtext.as_text(whole(), 80) == TEXT


def test_without_a_limit_nothing_is_cut() -> None:
    text = scorecardtext.as_text(whole())
    assert "Hip crease below the knee; Knees and hips straight" in text
    assert "…" not in text


def test_parts_with_nothing_in_them_are_left_out() -> None:
    played = Played(simple())
    card = scorecard(played.lane, score(played.lane))
    titles = [table.title for table in scorecardtext.tables(card)]
    assert titles == [
        "Heat 3, lane 4: 27 Ines Varga, Women",
        "Arithmetic",
        "Rules in force",
    ]


def test_json_holds_every_field_of_every_card() -> None:
    card = whole()
    data = json.loads(scorecardtext.as_json([card, card]))
    one = json.loads(json.dumps(asdict(card)))
    assert data == {"format": 1, "scorecards": [one, one]}


def test_csv_has_a_row_for_each_set_with_lane_and_score_before_it() -> None:
    rows = list(csv.DictReader(io.StringIO(scorecardtext.as_csv([whole()]))))
    assert len(rows) == 6
    assert rows[0] == {
        "heat": "3",
        "lane": "4",
        "bib": "27",
        "name": "Ines Varga",
        "division": "Women",
        "workout": "Quayside",
        "status": "finished",
        "score": "0:49",
        "scaled": "",
        "watched": "judged",
        "part": "A",
        "round": "1",
        "movement": "Front squat",
        "good": "3",
        "target": "3",
        "unit": "reps",
        "no_reps": "0",
        "done": "0:08",
        "took": "0:08",
        "note": "",
    }


def test_markdown_says_the_same_as_the_tables() -> None:
    card = whole()
    assert scorecardtext.as_markdown([card]) == "\n".join(
        layout.as_markdown(table) for table in scorecardtext.tables(card)
    )


def test_each_scorecard_is_a_page_of_its_own_in_one_file() -> None:
    cards = (whole(), replace(whole(), lane=5))
    page = page_html(*map(scorecardtext.card_page, cards))
    assert page.count("<!DOCTYPE html>") == 1
    assert page.count("<h1>") == 2
    assert page.count("<h2>") == 10
    assert "Heat 3, lane 5" in page


def test_a_name_is_never_markup() -> None:
    played = Played(simple(name="<script>alert(1)</script> *x*")).go()
    played.press(5, Called(fault="depth"))
    card = scorecard(played.lane, score(played.lane))
    assert "<script>" not in page_html(scorecardtext.card_page(card))
    assert "\\<script\\>" in scorecardtext.as_markdown([card])
