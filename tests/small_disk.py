"""A disk so small that a test can fill it, where the system lets one be mounted."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

Mount = Callable[[str], Path]


@contextmanager
def small_disk(place: Path) -> Iterator[Mount]:
    """Mounts at `place`, with the options given; a test is skipped where it may not."""
    place.mkdir()
    tool = shutil.which("mount")

    def mounted(options: str) -> Path:
        words = [str(tool), "-t", "tmpfs", "-o", options, "tmpfs", str(place)]
        done = tool and subprocess.run(words, capture_output=True, check=False)
        if not done or done.returncode:
            pytest.skip("this test needs the right to mount a small file system")
        return place

    yield mounted
    subprocess.run(
        [shutil.which("umount") or "umount", str(place)],
        capture_output=True,
        check=False,
    )


def fill(folder: Path) -> Path:
    """A file that takes all the room there is, to the last byte."""
    rest = folder / "holiday-video"
    with rest.open("wb", buffering=0) as file:
        for size in (1 << 16, 1 << 12, 1):
            try:
                while file.write(bytes(size)):
                    pass
            except OSError:
                continue
    return rest
