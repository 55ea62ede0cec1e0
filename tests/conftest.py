"""Settings of every test run."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    import pytest

# These wait or compute longest; begun last, each would keep the other workers idle.
LONGEST = (
    "two_hundred_kills",
    "wheel_alone",
    "random_presses",
    "each_key_is_in_the_log",
)

# How long an example takes says how busy the machine is, and nothing of the program.
patient = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("patient", patient)
# The gate that every change passes must say the same twice; searching with new
# examples goes on at each developer's own runs.
settings.register_profile("gate", patient, derandomize=True)
settings.load_profile("gate" if os.environ.get("CI") else "patient")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Several workers end together only if the longest tests begin first."""
    items.sort(key=lambda item: not any(name in item.name for name in LONGEST))
