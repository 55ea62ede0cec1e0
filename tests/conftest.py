"""Settings of every test run."""

from __future__ import annotations

import os

from hypothesis import settings

# The gate that every change passes must say the same twice; searching with new
# examples goes on at each developer's own runs.
settings.register_profile("gate", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("gate")
