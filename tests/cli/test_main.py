from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from judgekit.cli import floor, main
from judgekit.cli.home import HOW_TO_BEGIN
from judgekit.cli.versions import sqlite_warning
from judgekit.core.entry import Claim, Entry
from judgekit.core.ruling import Ref
from judgekit.core.runs import Run
from judgekit.reports.names import run_words, unscored_words
from judgekit.ui import start
from tests.cli.running import judged_event, run, tally
from tests.small_event import TALLY, write_event

if TYPE_CHECKING:
    from judgekit.desk import Coming
    from judgekit.desk.opening import Wish
    from judgekit.files.folder import EventFolder

ROOT = Path(__file__).parent.parent.parent
HEAVY = ("textual", "rich", "pydantic", "sqlite3", "filelock")


def python(code: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )


def loaded_after(code: str, heavy: tuple[str, ...]) -> list[str]:
    found = f"print([m for m in {heavy!r} if m in sys.modules], file=sys.stderr)"
    done = python(f"import sys\n{code}\n{found}")
    assert done.returncode == 0, done.stderr
    names: list[str] = eval(done.stderr.splitlines()[-1], {})  # noqa: S307 - our own list
    return names


def test_help_loads_nothing_heavy() -> None:
    code = "from judgekit.cli.main import cli\ncli(['--help'], standalone_mode=False)"
    assert loaded_after(code, HEAVY) == []


def test_help_imports_no_command() -> None:
    names = [f"judgekit.cli.{name}" for name in main.COMMANDS]
    heavy = ("judgekit.cli.output", "judgekit.core.errors", *names)
    code = "from judgekit.cli.main import cli\ncli(['--help'], standalone_mode=False)"
    assert loaded_after(code, tuple(heavy)) == []


def test_the_list_of_cards_loads_no_database_and_no_screen() -> None:
    heavy = ("textual", "rich", "sqlite3", "filelock", "judgekit.core.score")
    assert loaded_after(command("cards"), heavy) == []


def test_a_briefing_in_print_loads_no_screen(tmp_path: Path) -> None:
    event = str(write_event(tmp_path / "event"))
    for how in ([], ["--speak"], ["--heat", "1"]):
        assert loaded_after(command("brief", event, *how), ("textual", "rich")) == []


def test_checking_and_exporting_a_log_needs_no_files_of_the_event(
    tmp_path: Path,
) -> None:
    event = str(judged_event(tmp_path))
    heavy = ("textual", "rich", "pydantic")
    for name in ("verify", "export"):
        assert loaded_after(command("log", name, event), heavy) == []


def test_without_a_terminal_the_floor_is_refused_before_anything_is_read() -> None:
    args = ("floor", "nowhere", "--heat", "1")
    assert loaded_after(command(*args), HEAVY) == []


def command(*args: str) -> str:
    """Code that runs a command to its end."""
    run_it = f"cli({list(args)!r}, standalone_mode=False)"
    return f"from judgekit.cli.main import cli\n{run_it}"


def test_pure_layers_and_reports_load_nothing_heavy() -> None:
    names = [
        ".".join(path.relative_to(ROOT).with_suffix("").parts)
        for layer in ("core", "review", "reports")
        for path in sorted((ROOT / "judgekit" / layer).glob("*.py"))
        if path.stem != "__init__"
    ]
    assert len(names) > 30
    assert loaded_after(f"import {', '.join(names)}", (*HEAVY, "click")) == []


def test_every_command_has_help_and_is_listed() -> None:
    listing = run("--help").out
    for name in main.COMMANDS:
        done = run(name, "--help")
        assert (done.code, done.err) == (0, "")
        [line] = [row for row in listing.splitlines() if row.startswith(f"  {name} ")]
        assert "..." not in line
        assert line.endswith(main.COMMANDS[name])
    assert run("-h").out == listing


def test_the_exit_codes_are_in_the_help() -> None:
    assert "0 done; 1 done, and something is wrong" in " ".join(
        run("--help").out.split()
    )


def test_an_unknown_command_is_refused() -> None:
    done = run("sing")
    assert (done.code, done.out) == (2, "")
    assert "No such command 'sing'" in done.err


def test_versions_name_what_a_report_of_a_fault_needs() -> None:
    names = [line.split()[0] for line in run("--version").out.splitlines()]
    assert names == ["judgekit", "Python", "Textual", "SQLite"]


@pytest.mark.parametrize(
    ("version", "warns"),
    [
        ((3, 6, 23), False),
        ((3, 7, 0), True),
        ((3, 40, 1), True),
        ((3, 44, 5), True),
        ((3, 44, 6), False),
        ((3, 45, 0), True),
        ((3, 50, 6), True),
        ((3, 50, 7), False),
        ((3, 51, 2), True),
        ((3, 51, 3), False),
        ((3, 52, 0), False),
    ],
)
def test_an_sqlite_with_the_wal_reset_bug_is_warned_of(
    version: tuple[int, int, int], warns: bool
) -> None:
    assert bool(sqlite_warning(version)) is warns


def test_alone_outside_an_event_it_says_how_to_begin(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run() == (0, HOW_TO_BEGIN, "")


def test_a_screen_without_a_terminal_is_refused_in_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    event = write_event(tmp_path / "event")
    done = run("floor", event, "--heat", "1", "--lane", "1")
    assert (done.code, done.err) == (2, "")
    assert "terminal" in done.out
    assert not (event / "log").exists()
    nowhere = run("floor", tmp_path / "nowhere", "--heat", "1")
    assert (nowhere.code, nowhere.out) == (2, done.out)
    monkeypatch.chdir(event)
    assert run().code == 2


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--heat", "9", "--lane", "1"), 'there is no heat "9"'),
        (("--heat", "1"), "say which lane with --lane: 1 (bib 27, judge kb), 2"),
        (("--heat", "1", "--lane", "1,3"), "say which lane with --lane: 1 (bib 27"),
        (
            ("--heat", "1", "--lane", "one"),
            "2 (bib 007, judge mo); several: 1,2 or all",
        ),
        (("--heat", "1", "--judge", "xx"), 'there is no judge "xx"; there is kb, mo'),
    ],
)
def test_a_floor_that_cannot_be_opened_says_why(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    options: tuple[str, ...],
    says: str,
) -> None:
    monkeypatch.setattr(start, "terminal_problem", lambda *_: "")
    done = run("floor", write_event(tmp_path / "event"), *options)
    assert (done.code, done.out) == (2, "")
    assert says in done.err


@pytest.mark.parametrize("heat", ["1", "Über heat"])
def test_a_lane_judged_by_a_tally_is_refused_before_any_screen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, heat: str
) -> None:
    shown: list[int] = []

    def floor_of(coming: Coming, **_: object) -> int:
        shown.extend(coming.lanes)
        return 0

    monkeypatch.setattr(start, "terminal_problem", lambda *_: "")
    monkeypatch.setattr(start, "run_floor", floor_of)
    event = write_event(tmp_path / "event")
    heats = (
        (event / "heats.csv").read_text(encoding="utf-8").replace("\n1,", f"\n{heat},")
    )
    (event / "heats.csv").write_text(heats, encoding="utf-8")
    lane = ("--heat", heat, "--lane", "1")
    assert run("transcribe", event, tally(tmp_path, TALLY), *lane).code == 0
    refused = run("floor", event, *lane)
    assert (refused.code, shown) == (2, [])
    assert "is judged already, from a tally; to judge it once more" in refused.err
    # Other lanes, and another try with its reason, are shown.
    assert run("floor", event, "--heat", heat, "--lane", "2").code == 0
    assert run("floor", event, *lane, "--again", "the video was cut").code == 0
    assert shown == [2, 1]


def test_a_judge_s_own_lane_needs_no_number(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lanes: list[tuple[int, ...]] = []

    def seat(_: EventFolder, wish: Wish, *, pads: bool) -> int:
        assert not pads
        lanes.append(wish.lanes)
        return 0

    monkeypatch.setattr(start, "terminal_problem", lambda *_: "")
    monkeypatch.setattr(floor, "sit_down", seat)
    event = write_event(tmp_path / "event")
    assert run("floor", event, "--heat", "1", "--judge", "mo").code == 0
    # One judge has all of heat 2.
    assert run("floor", event, "--heat", "2").code == 0
    for lane in ("2", "2,1", "1-2", "all"):
        assert run("floor", event, "--heat", "1", "--lane", lane).code == 0
    assert lanes == [(2,), (1,), (2,), (1, 2), (1, 2), (1, 2)]


@pytest.mark.parametrize(
    ("text", "lanes"),
    [
        ("4", (4,)),
        ("5, 1,2", (1, 2, 5)),
        ("1-3,9", (1, 2, 3, 9)),
        ("10-12", (10, 11, 12)),
        ("3-1", ()),
        ("", ()),
        ("0", ()),
        ("1,", ()),
        ("1-2-3", ()),
        ("١", ()),  # noqa: RUF001 - a digit of another script
    ],
)
def test_lanes_are_named_by_number_as_lists_and_from_one_to_another(
    text: str, lanes: tuple[int, ...]
) -> None:
    assert floor.lanes_named(text) == lanes


def test_a_closed_pipe_ends_without_a_traceback(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "judgekit", "cards", "--format", "html"]
    with subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as started:
        assert started.stdout is not None
        assert started.stderr is not None
        started.stdout.close()
        assert "Traceback" not in started.stderr.read()


def test_a_terminal_without_the_letters_still_gets_the_table() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "judgekit", "demo", "--plain"],
        cwd=ROOT,
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": "latin-1"},
    )
    assert done.returncode == 0
    assert b"Se\xe1n Lindqvold" in done.stdout
    assert b"9 kg ? 20 lb" in done.stdout


def claimed(**changes: object) -> Run:
    claim = Entry(
        book="a",
        number=1,
        lane=1,
        at=None,
        wall=0,
        who="kb",
        set=None,
        body=Claim(judge="kb"),
    )
    facts: dict[str, object] = {
        "number": 1,
        "why": "",
        "source": "live",
        "claims": (claim,),
        "entries": (claim,),
    }
    return Run(**{**facts, **changes})  # type: ignore[arg-type]


def test_a_run_is_named_only_where_there_is_something_to_say() -> None:
    only = claimed()
    assert run_words([only], only) == ""
    again = claimed(number=2, why="rig moved")
    second = claimed(number=3, source="second")
    assert run_words([only, again, second], again) == "run 2 of 2: rig moved"
    short = claimed(missing=(Ref("x", 7),))
    assert run_words([short], short) == "entries up to 7 of the log x are not here"


def test_a_run_that_does_not_count_says_why() -> None:
    quarrel = claimed(conflict=True)
    assert run_words([quarrel], None) == unscored_words([quarrel], None)
    assert unscored_words([quarrel], None) == (
        "not scored: two desks went on with this lane, a ruling must choose"
    )
    assert unscored_words([claimed(source="second")], None).endswith(
        "second judge counted"
    )
    assert unscored_words([], None) == ""
