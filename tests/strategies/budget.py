"""How many examples each law is tried on; the same ones on every run, so a red run repeats."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

_common = {
    "deadline": None,
    "derandomize": "LAWS_AT_RANDOM" not in os.environ,
    "suppress_health_check": [HealthCheck.too_slow, HealthCheck.data_too_large],
}

LAW = settings(max_examples=30, **_common)  # type: ignore[arg-type]
"""For laws that take one answer an example."""

FEW = settings(max_examples=15, **_common)  # type: ignore[arg-type]
"""For laws that take several."""
