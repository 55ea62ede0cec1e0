"""The Floor without its clock: `python -m tests.bench.still floor ...`, as judgekit.

Only for the row that says what the clock costs a key.
"""

from __future__ import annotations

import os

from judgekit.cli.main import run
from judgekit.ui.start import FRAMES


def without_clock() -> None:
    """The second's tick happens once and never again."""
    os.environ.setdefault("TEXTUAL_FPS", FRAMES)
    from judgekit.ui.screens.floor import FloorScreen

    FloorScreen._tick = FloorScreen._expire  # type: ignore[method-assign]


if __name__ == "__main__":
    without_clock()
    run()
