"""Who was stopped on an earlier day and goes today, asked while the Floor is in use.

It is what `judgekit exposure` tells, by another process: reading the logs of weeks
would make keys wait in this one.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

# Whoever waits longer than this has the heat behind them.
_PATIENCE_S = 300.0


def stopped_before(event: Path, heat: str) -> Mapping[str, int]:
    """How many days ago whoever goes in a heat was last stopped, by bib.

    Empty where nobody was, or where it cannot be told: `judgekit exposure` says why.
    """
    # Without -P whatever lies in the current folder would be imported first.
    words = [sys.executable, "-P", "-m", "judgekit", "exposure"]
    words += [os.fspath(event.resolve()), "--heat", heat, "--format", "json"]
    try:
        done = subprocess.run(  # noqa: S603 - our own program, no shell
            words,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            check=False,
            timeout=_PATIENCE_S,
            # A key that ends the Floor is none of its business.
            start_new_session=True,
        )
        told = json.loads(done.stdout)
        stops = [(str(one["bib"]), int(one["days_ago"])) for one in told["stops"]]
    except (OSError, ValueError, KeyError, TypeError, subprocess.SubprocessError):
        return {}
    newest: dict[str, int] = {}
    for bib, days in stops:
        newest[bib] = min(days, newest.get(bib, days))
    return newest
