"""Small files for the tests of the readers; two cards and a workout that are right."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from judgekit.core.errors import InputError, Problem
from judgekit.core.people import Division

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

CARD = """\
id = "crate-throw"
name = "Crate throw"
revision = 2
counts = ["reps"]
ends = "top"
view = "from the side"
seconds = { floor = "1.4 s", brisk = "1.8 s", ordinary = "2.4 s" }
changeover = "1.5 s"
equipment = ["crate", "wall"]
source = "common practice"

[start]
says = "Standing tall"

[finish]
says = "Crate at the mark"

[[criterion]]
id = "depth"
kind = "depth"
at = "bottom"
says = "Hip below the knee"

[[criterion]]
id = "target"
kind = "target-height"
at = "finish"
says = "Centre at or above the mark"
measured-to = "centre"
height = { men = "10 ft", women = "9 ft" }

[[setting]]
id = "line"
default = "counts"
values = [
  { is = "counts", criterion = "target", says = "Touching the line or above" },
  { is = "above", criterion = "target", says = "Whole crate above the line" },
]

[[fault]]
id = "shallow"
weight = "void"
breaks = "depth"
key = "d"
call = "DEPTH"
cues = ["sit lower", "touch the box", "lower, then drive"]
drill = "Ten slow squats"

[[fault]]
id = "low"
weight = "void"
breaks = "target"
key = "T"
call = "AIM HIGHER"
cues = ["look up", "legs send it", "step closer"]
drill = "Five single throws"

[[fault]]
id = "late-catch"
weight = "cue"
key = "h"
call = "CATCH"
cues = ["meet it", "ride it down", "hands ready"]
drill = "Catch and hold, five times"

[stop]
signs = ["Crate on the face"]

[caution]
volume = "Build up over weeks."

[[substitute]]
card = "bench-row"
why = "no throwing today"
"""

ROW_CARD = """\
id = "bench-row"
name = "Bench row"
revision = 1
counts = ["calories", "metres"]
ends = "monitor"
view = "beside the monitor"
seconds = { floor = "1 s", brisk = "2 s", ordinary = "3 s" }
source = "common practice"
start = { says = "Seated" }
finish = { says = "The monitor shows it" }
stop = { signs = ["Sharp pain"] }

[[criterion]]
id = "units"
kind = "units"
at = "finish"
says = "The monitor shows the target"
"""

WORKOUT = """\
id = "harbour"
name = "Harbour"
revision = 1
aim = "Small sets"
score = "time"
rest = "excluded"
cap = "24:00"
capped = "below"
precision = "0.1 s"
tiebreak = [{ after-part = "A" }]

[[part]]
rounds = 3
[[part.movement]]
card = "crate-throw"
reps = [12, 10, 8]
load = { men = "70 kg", women = ["47.5 kg", "105 lb"] }
pieces = [[7, 5], [6, 4], [8]]
watch = ["shallow"]

[[part]]
rest = "4:00"

[[part]]
rounds = 4
[[part.movement]]
card = "bench-row"
calories = 15

[settings]
"crate-throw.line" = "above"
"""

DIVISIONS = (
    Division(id="women-open", name="Women", standard="women"),
    Division(id="men-open", name="Men", standard="men"),
)


def changed(text: str, *changes: tuple[str, str]) -> str:
    """The text with each first part replaced once by its second part."""
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def put(folder: Path, name: str, text: str | bytes) -> Path:
    """A file of that name in the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def problems_of(read: Callable[[], object]) -> list[str]:
    """Each problem that a read ends in, as shown."""
    with pytest.raises(InputError) as caught:
        read()
    return [str(problem) for problem in caught.value.problems]


def problems_if_any(read: Callable[[], object]) -> tuple[Problem, ...]:
    """The problems that a read ends in, none if it succeeds."""
    try:
        read()
    except InputError as error:
        return error.problems
    return ()
