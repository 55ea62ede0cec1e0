"""Codes of athletes' sheets, as a server would have told them to this process."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui import athletecodes

if TYPE_CHECKING:
    import pytest


def told(monkeypatch: pytest.MonkeyPatch, codes: str) -> None:
    """Tell codes, as packed, until the test ends."""
    monkeypatch.setattr(athletecodes, "_TOLD", athletecodes._Told())
    athletecodes.told_anew(codes)
