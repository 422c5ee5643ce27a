"""Choices in turn that go through everything evenly, never by chance."""

from __future__ import annotations

GOLDEN = 0x9E3779B97F4A7C15
"""The golden section as a fraction of 2**64."""


class LowDiscrepancy:
    """Numbers spread evenly over a range: multiples of the golden section by the square numbers.

    H. Weyl, Mathematische Annalen 77, 1916: such fractions fill the range alike.
    """

    def __init__(self) -> None:
        self._count = 0

    def below(self, limit: int) -> int:
        """The next number from 0 to `limit` - 1."""
        self._count += 1
        return (self._count**2 * GOLDEN & (1 << 64) - 1) * limit >> 64
