"""How many examples each law is tried on; the same ones on every run, so a red run repeats.

`make wide` tries TIMES as many, of the seed that it is given.
"""

from __future__ import annotations

import os
from typing import Final

from hypothesis import HealthCheck, settings

TIMES: Final = int(os.environ.get("LAWS_TIMES", "0"))
"""How many times as many examples are tried; 0 in a usual run, where they are always the same."""


def examples(count: int) -> settings:
    """The settings of a law that is tried on so many examples in a usual run."""
    return settings(
        max_examples=count * (TIMES or 1),
        deadline=None,
        derandomize=not TIMES,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )


LAW = examples(15)
"""For laws that take one answer an example."""

FEW = examples(7)
"""For laws that take several."""
