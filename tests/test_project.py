"""The project as a whole: its layout, its words, and the wheel that people install."""

from __future__ import annotations

import re
import subprocess
import sys
import venv
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
_ALLOWED = {
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "pyproject.toml",
    "judgekit",
    "standards",
    "tests",
    "demo",
}


def tracked() -> list[Path]:
    listed = subprocess.run(
        ["git", "ls-files"],  # noqa: S607 - whatever git is on the path
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if listed.returncode:
        pytest.skip("not a git checkout")
    return [ROOT / line for line in listed.stdout.splitlines()]


def test_the_top_level_holds_what_was_agreed_and_nothing_else() -> None:
    top = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert {name for name in top if not name.startswith(".")} <= _ALLOWED


def test_no_file_names_a_package_registry_or_a_path_of_a_machine() -> None:
    forbidden = re.compile(r"https?://[^ \"]*/(simple|packages)/|/(home|root|Users)/\w")
    found = [
        f"{path.relative_to(ROOT)}: {line}"
        for path in tracked()
        if path != Path(__file__) and path.suffix not in {".png", ".sqlite"}
        for line in path.read_text(encoding="utf-8").splitlines()
        if forbidden.search(line)
    ]
    assert found == []


def test_every_module_is_under_four_hundred_and_fifty_lines() -> None:
    long = {
        str(path.relative_to(ROOT)): lines
        for path in (ROOT / "judgekit").rglob("*.py")
        if (lines := len(path.read_text(encoding="utf-8").splitlines())) > 450
    }
    assert long == {}


def test_the_wheel_alone_plays_the_demo_away_from_the_checkout(tmp_path: Path) -> None:
    built = subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "-o", tmp_path],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert built.returncode == 0, built.stdout + built.stderr
    [wheel] = tmp_path.glob("*.whl")
    place = tmp_path / "venv"
    venv.create(place)
    pip = [sys.executable, "-m", "pip", "--python", str(place / "bin" / "python")]
    installed = subprocess.run(
        [*pip, "install", "--quiet", "--no-compile", str(wheel)],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert installed.returncode == 0, installed.stderr
    outputs = []
    for _ in range(2):
        played = subprocess.run(
            [place / "bin" / "judgekit", "demo", "--plain"],
            cwd=tmp_path,
            env={"PATH": "/usr/bin:/bin", "PYTHONUTF8": "1"},
            capture_output=True,
            text=True,
            check=False,
        )
        assert played.returncode == 0, played.stderr
        outputs.append(played.stdout)
    assert outputs[0] == outputs[1]
    assert "Millrace Saturday" in outputs[0]
    assert "6:02" in outputs[0]
    # The cards are there with the reps that they describe.
    rehearsed = subprocess.run(
        [place / "bin" / "judgekit", "rehearse", "--plain", "--seed", "1"],
        cwd=tmp_path,
        env={"PATH": "/usr/bin:/bin", "PYTHONUTF8": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert rehearsed.returncode == 0, rehearsed.stderr
    assert "  space  good rep" in rehearsed.stdout
