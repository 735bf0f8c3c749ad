"""What holds for all tests."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

# how fast examples are made or run says something of the machine and what else runs there, nothing of what is tested
settings.register_profile("house", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("house")
