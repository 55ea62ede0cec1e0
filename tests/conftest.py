"""Settings of every test run."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

# How long an example takes says how busy the machine is, and nothing of the program.
patient = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("patient", patient)
# The gate that every change passes must say the same twice; searching with new
# examples goes on at each developer's own runs.
settings.register_profile("gate", patient, derandomize=True)
settings.load_profile("gate" if os.environ.get("CI") else "patient")
