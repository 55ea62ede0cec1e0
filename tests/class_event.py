"""A class of twelve under way, written for one test."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.desk import SystemClock
from judgekit.desk.opening import Wish, open_desk
from judgekit.files.folder import load_event
from tests.small_event import EVENT, WORKOUT, write_event

if TYPE_CHECKING:
    from pathlib import Path

    from judgekit.files.folder import EventFolder

LANES = tuple(range(1, 13))
HEAT = "7"


def a_class(folder: Path, settings: str = "", reps: int = 5000) -> EventFolder:
    """Twelve lanes under one coach, under way for 20 s, with one long set each."""
    event = write_event(folder)
    (event / "event.toml").write_text(EVENT + settings, encoding="utf-8")
    head, one, _ = WORKOUT.split("[[part.movement]]")
    long = head.replace("rounds = 2", "rounds = 1") + "[[part.movement]]"
    long += one.replace("[3, 2]", str(reps))
    (event / "workouts" / "quayside.toml").write_text(long, encoding="utf-8")
    with (event / "people.csv").open("a", encoding="utf-8") as people:
        people.writelines(f"1{lane:02},Athlete {lane},women,\n" for lane in LANES)
    with (event / "heats.csv").open("a", encoding="utf-8") as heats:
        heats.writelines(f"{HEAT},12:00,quayside,{n},1{n:02},kb\n" for n in LANES)
    loaded = load_event(event)
    clock = SystemClock()
    desk, _ = open_desk(loaded, Wish(heat=HEAT, lanes=LANES), clock)
    desk.call_go(boot_ms=clock.boot_ms() - 30_000)
    desk.close()
    return loaded
