"""What holds for all tests."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

# how fast examples are made or run says something of the machine and what else runs there, nothing of what is tested
settings.register_profile("house", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("house")

HERE = Path(__file__).parent
# files whose tests try much at random, kill runs or go through whole weekends: a third of the suite's time
LONG = {
    "beer/test_ranking.py",
    "brewing/test_domains.py",
    "cli/test_register_commands.py",
    "cli/test_streams.py",
    "cli/test_weekend.py",
    "entering/planning/test_plan.py",
    "paper/test_pages.py",
    "paper/test_qr.py",
    "paper/test_slips.py",
    "receiving/test_checkin.py",
    "receiving/test_flights.py",
    "receiving/test_frozen.py",
    "receiving/test_judges.py",
    "receiving/test_placing.py",
    "receiving/test_register.py",
    "records/test_anonymity.py",
    "records/test_stylenames.py",
    "test_damage.py",
    "test_one_place.py",
    "test_output.py",
    "test_planted_faults.py",
    "test_two_sides.py",
}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark the long ones, so that ``-m "not long"`` leaves them out."""
    for item in items:
        if item.path.is_relative_to(HERE) and item.path.relative_to(HERE).as_posix() in LONG:
            item.add_marker(pytest.mark.long)
