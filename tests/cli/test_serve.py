"""`judgekit serve`: what it tells the coach, and what keeps it from serving."""

from __future__ import annotations

import builtins
import socket
from typing import TYPE_CHECKING

import pytest

from judgekit.cli import serve as command
from judgekit.web import serving
from judgekit.web.serving import Opened
from tests.cli.running import run
from tests.small_event import write_event

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def event(tmp_path: Path) -> Path:
    return write_event(tmp_path / "event")


@pytest.fixture(autouse=True)
def _serves_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Everything is done but the serving itself."""

    async def told(
        _server: object, sockets: list[socket.socket], ready: object
    ) -> None:
        ready()  # type: ignore[operator]
        for one in sockets:
            one.close()

    monkeypatch.setattr(serving, "_serve", told)


def test_the_coach_is_told_the_link_and_every_lane_s_pin(event: Path) -> None:
    told = run("serve", event, "--port", "0")
    assert (told.code, told.err) == (0, "")
    assert "Quayside Saturday is served" in told.out
    assert "http://127.0.0.1:" in told.out
    assert "/#" in told.out
    assert "Only this computer is served" in told.out
    assert [line.split()[:2] for line in told.out.splitlines() if " lane" in line] == [
        ["lane", "1"],
        ["lane", "2"],
    ]


def test_other_devices_are_told_the_address_that_they_reach(event: Path) -> None:
    told = run("serve", event, "--port", "0", "--address", "127.0.0.2")
    assert told.code == 0
    assert "  http://127.0.0.2:" in told.out
    assert "Only this computer" not in told.out
    # What reads the text from a pipe needs no picture.
    assert "▀" not in told.out


def test_on_a_terminal_the_link_is_a_qr_code_too(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    opened = Opened(
        link="http://127.0.0.1:1/#a",
        others="http://192.0.2.7:1/#a",
        pins={"lane 1": "1"},
    )
    monkeypatch.setattr("sys.stdout.isatty", lambda: True)
    command._tell("E", opened)
    assert "▀" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (("--heat", "9"), 'no heat "9"; there is 1, 2'),
        (("--address", "0.0.0.0"), "every address: name the one"),  # noqa: S104
        (("--address", "gym"), "gym is no address; an address looks like"),
        (("--address", "192.0.2.7"), "192.0.2.7, port"),
        (("--origin", "desks.example"), "--origin desks.example is no origin"),
        (("--origin", "http://desks.example/x"), "is no origin"),
    ],
)
def test_what_cannot_be_served_is_said(
    event: Path, asked: tuple[str, ...], says: str
) -> None:
    told = run("serve", event, "--port", "0", *asked)
    assert told.code == 2
    assert says in told.err


def test_a_port_that_another_server_has_is_named(event: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        told = run("serve", event, "--port", str(port))
    assert (told.code, f"127.0.0.1, port {port}: " in told.err) == (2, True)


def test_without_a_network_it_says_so(
    event: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("judgekit.web.link.own_address", str)
    told = run("serve", event, "--network", "--port", "0")
    assert (told.code, "in no network" in told.err) == (2, True)


def test_without_the_extra_it_says_what_to_install(
    event: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    known = builtins.__import__

    def lacking(name: str, *more: object) -> object:
        if name == "judgekit.web.serving":
            raise ModuleNotFoundError(name="segno")
        return known(name, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(builtins, "__import__", lacking)
    told = run("serve", event)
    assert (told.code, "not installed (segno)" in told.out) == (2, True)
    assert "pip install 'judgekit[web]'" in told.out


def test_where_pipes_cannot_be_waited_for_it_is_not_offered(
    event: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.platform", "win32")
    told = run("serve", event)
    assert (told.code, "Linux and macOS" in told.out) == (2, True)
