"""Sums of floats, for the places where floats must live: prices of a programme, ink on a page."""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from operator import add


def folded(amounts: Iterable[float]) -> float:
    """The sum taken from left to right, each step rounded to a double: the same on every Python.

    The builtin `sum` corrects floats as it adds them since Python 3.12, so it gives other bits
    there than before. It stays for whole numbers and fractions, whose sums are exact.
    """
    return reduce(add, amounts, 0.0)
