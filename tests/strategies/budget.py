"""How many examples each law is tried on; the same ones on every run, so a red run repeats.

`make wide` tries TIMES as many, of the seed that it is given.
"""

from __future__ import annotations

import os
from fractions import Fraction
from math import ceil
from typing import Final

from hypothesis import HealthCheck, settings

TIMES: Final = int(os.environ.get("LAWS_TIMES", "0"))
"""How many times as many examples are tried; 0 in a usual run, where they are always the same."""

USUAL: Final = Fraction(1, 6)
"""The share of the examples that a usual run tries, so that it stays within its time."""


def many(count: int) -> int:
    """So many examples as are tried in this run where there are `count`."""
    return count * TIMES or ceil(count * USUAL)


def examples(count: int) -> settings:
    """The settings of a law of so many examples."""
    return settings(
        max_examples=many(count),
        deadline=None,
        derandomize=not TIMES,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )


LAW = examples(15)
"""For laws that take one answer an example."""

FEW = examples(7)
"""For laws that take several."""
