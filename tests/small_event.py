"""A small event folder, written for one test."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

EVENT = """\
name = "Quayside Saturday"
date = 2027-05-08
zone = "Europe/Berlin"
place = "The boat shed"

[[division]]
id = "women"
name = "Women"

[[division]]
id = "men"
name = "Men"

[[judge]]
id = "kb"
name = "Kim Brandt"

[[judge]]
id = "mo"
name = "Mo Oduya"

[settings]
lane-check = "off"
"""

PEOPLE = """\
bib,name,division,reach
27,Ines Varga,women,2.10 m
007,Zoé Marr,women,2.05 m
31,Bo Lindt,men,2.30 m
"""

HEATS = """\
heat,start,workout,lane,bib,judge
1,10:00,quayside,1,27,kb
1,10:00,quayside,2,007,mo
2,10:20,quayside,1,31,kb
"""

WORKOUT = """\
id = "quayside"
name = "Quayside"
revision = 1
score = "time"
cap = "10:00"

[[part]]
id = "A"
rounds = 2
[[part.movement]]
card = "front-squat"
reps = [3, 2]
load = { men = "60 kg", women = "42.5 kg" }
[[part.movement]]
card = "toes-to-bar"
reps = 2
"""

TALLY = """\
# lane 1, Quayside
0:00.0  go
0:03.0  rep
0:06.0  rep
0:08.0  no-rep shallow
0:09.0  rep
0:14.0  rep x2
0:20.0  rep
0:23.0  rep
0:30.0  rep
0:33.5  rep
0:50.0  accept athlete
0:51.0  accept judge
"""


def write_event(folder: Path) -> Path:
    """The event's files in a folder of that name."""
    (folder / "workouts").mkdir(parents=True)
    (folder / "event.toml").write_text(EVENT, encoding="utf-8")
    (folder / "people.csv").write_text(PEOPLE, encoding="utf-8")
    (folder / "heats.csv").write_text(HEATS, encoding="utf-8")
    (folder / "workouts" / "quayside.toml").write_text(WORKOUT, encoding="utf-8")
    return folder
