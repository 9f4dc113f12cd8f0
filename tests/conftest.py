"""What every test shares: quiet, repeatable property tests; services that may be missing."""

from __future__ import annotations

import os
from typing import NoReturn

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "house",
    deadline=None,
    derandomize=True,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("house")

REQUIRE_SERVICES = "PITWRIGHT_REQUIRE_SERVICES"
"""Set to 1 (as `.ci/run` does), a missing browser or database fails the tests that need it."""


def require_or_skip(reason: str) -> NoReturn:
    """Leave a test that needs what is not here: skip it at home, fail it where all must run."""
    if os.environ.get(REQUIRE_SERVICES, "") not in ("", "0"):
        pytest.fail(f"{reason} ({REQUIRE_SERVICES} is set)", pytrace=False)
    pytest.skip(reason)
