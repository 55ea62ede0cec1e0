"""Facts about a computer, and what is said of them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from judgekit.desk import room
from judgekit.reports import readiness
from judgekit.reports.readiness import (
    Clocks,
    Disk,
    Finding,
    Keys,
    Machine,
    Power,
    Terminal,
    findings,
    is_ready,
    ready_text,
)

READY = Machine(
    terminal=Terminal(
        columns=80, rows=24, encoding="UTF-8", colours=256, protocol=True
    ),
    disk=Disk(kind="ext4", locks_hold=True, free=10**10, save_ms=1),
    clocks=Clocks(
        shown="2027-05-08 09:30:00",
        zone="Europe/Berlin",
        event_zone="Europe/Berlin",
        event_date="2027-05-08",
        through_sleep=True,
    ),
    power=Power(on_battery=False, sleeps=("doing nothing: ignore",), system="Linux"),
    sqlite="3.51.3",
    keys=Keys(tried=True),
)
AWAKE = "systemd-inhibit --what=idle:sleep:handle-lid-switch judgekit floor ..."


def test_a_computer_that_is_ready() -> None:
    text = ready_text("Spring [b]heats[/b]", findings(READY), 60)
    assert is_ready(findings(READY))
    assert text == (
        "Ready for Spring [b]heats[/b]?\n\n"
        "ok    size           80 by 24\n"
        "ok    encoding       UTF-8\n"
        "ok    colours        256\n"
        "ok    keyboard       kitty protocol\n"
        "ok    keys           all came as they should\n"
        "ok    disk           ext4\n"
        "ok    room           10000 MB free\n"
        "ok    saving         1 ms a press\n"
        "ok    SQLite         3.51.3\n"
        "look  clock          2027-05-08 09:30:00 (Europe/Berlin)\n"
        "                     compare with the hall's clock; w on the\n"
        "                     Floor sets the heat's by it\n"
        "ok    power          plugged in\n"
        "look  staying awake  doing nothing: ignore\n"
        "                     systemd-inhibit\n"
        "                     --what=idle:sleep:handle-lid-switch\n"
        "                     judgekit floor ...\n"
    )


def found(machine: Machine, what: str) -> Finding:
    [one] = [one for one in findings(machine) if one.what == what]
    return one


@pytest.mark.parametrize(
    ("machine", "what", "mark", "says"),
    [
        (replace(READY, terminal=Terminal()), "terminal", "no", "none here"),
        (
            replace(READY, terminal=replace(READY.terminal, columns=39)),
            "size",
            "no",
            "39 by 24",
        ),
        (
            replace(READY, terminal=replace(READY.terminal, rows=23)),
            "size",
            "look",
            "80 by 23",
        ),
        (
            replace(READY, terminal=replace(READY.terminal, encoding="latin-1")),
            "encoding",
            "no",
            "latin-1",
        ),
        (
            replace(READY, terminal=replace(READY.terminal, colours=0)),
            "colours",
            "look",
            "none",
        ),
        (
            replace(READY, terminal=replace(READY.terminal, colours=0, no_color=True)),
            "colours",
            "ok",
            "none, as NO_COLOR asks",
        ),
        (
            replace(READY, disk=replace(READY.disk, kind="nfs4", locks_hold=False)),
            "disk",
            "no",
            "nfs4, shared with other computers",
        ),
        (
            replace(READY, disk=replace(READY.disk, free=9_999_999)),
            "room",
            "no",
            "9 MB free",
        ),
        (
            replace(READY, disk=replace(READY.disk, free=199_999_999)),
            "room",
            "look",
            "199 MB free",
        ),
        (
            replace(READY, disk=replace(READY.disk, save_ms=None)),
            "saving",
            "no",
            "refused",
        ),
        (
            replace(READY, disk=replace(READY.disk, save_ms=20)),
            "saving",
            "look",
            "20 ms a press",
        ),
        (
            replace(READY, disk=replace(READY.disk, save_ms=500)),
            "saving",
            "no",
            "500 ms a press",
        ),
        (replace(READY, sqlite_says="a fault"), "SQLite", "look", "3.51.3"),
        (
            replace(READY, clocks=replace(READY.clocks, event_date="2027-05-09")),
            "date",
            "look",
            "the event is on 2027-05-09",
        ),
        (
            replace(READY, clocks=replace(READY.clocks, event_zone="UTC")),
            "zone",
            "look",
            "the event's is UTC",
        ),
        (
            replace(READY, clocks=replace(READY.clocks, through_sleep=False)),
            "sleep",
            "look",
            "the clock may stand still in sleep",
        ),
        (
            replace(READY, power=Power(on_battery=True, percent=31)),
            "power",
            "look",
            "battery, 31 %",
        ),
        (replace(READY, power=Power()), "staying awake", "look", "not known here"),
        (replace(READY, keys=Keys()), "keys", "look", "not tried"),
        (
            replace(READY, keys=Keys(tried=True, missing=("k", "f5"))),
            "keys",
            "look",
            "never came: k, f5",
        ),
        (
            replace(READY, keys=Keys(tried=True, other=(("z", "y"),))),
            "key z",
            "look",
            "sends y",
        ),
    ],
)
def test_what_is_not_as_it_should_be(
    machine: Machine, what: str, mark: str, says: str
) -> None:
    one = found(machine, what)
    assert (one.mark, one.found) == (mark, says)
    assert is_ready(findings(machine)) == (mark != "no")


def test_a_remote_that_the_terminal_cannot_hear() -> None:
    keys = Keys(tried=True, remote=("media_stop",))
    plain = replace(READY.terminal, protocol=False)
    assert found(replace(READY, keys=keys, terminal=plain), "remote").mark == "no"
    heard = [one.what for one in findings(replace(READY, keys=keys))]
    assert "remote" not in heard


def test_the_bounds_are_those_of_the_desk() -> None:
    assert readiness._LOW_BYTES == room.LOW_BYTES
    assert readiness._LEAST_BYTES == room.LEAST_BYTES
    assert readiness._SLOW_MS == room.SLOW_MS
