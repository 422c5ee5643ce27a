"""Jobs drawn by seed: trim, courses, framing and mixed, in three size classes.

Lengths are in 1/16 in, prices in cents. A job depends on its seed and number alone.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from random import Random

from service.cutting.records import Need, Stock
from tests.benchmark.cutting.reading import CutJob

FOOT = 192
FEET = (6, 7, 8, 9, 10, 12, 14, 16, 18, 20)


@dataclass(frozen=True)
class SizeClass:
    """How many different lengths, pieces and stock lengths a job has."""

    lengths: tuple[int, int]
    pieces: tuple[int, int]
    stocks: tuple[int, int]
    jobs: int


SIZES = {
    "S": SizeClass((5, 20), (20, 100), (1, 5), 100),
    "M": SizeClass((10, 40), (60, 400), (1, 8), 60),
    "L": SizeClass((40, 120), (300, 2000), (1, 8), 30),
}


def drawn(size: str, seed: int) -> list[CutJob]:
    """All jobs of one class."""
    return [_job(size, seed, number) for number in range(SIZES[size].jobs)]


def _job(size: str, seed: int, number: int) -> CutJob:
    rng = Random(f"{size}/{seed}/{number}")
    limits = SIZES[size]
    stocks = _stocks(rng, rng.randint(*limits.stocks))
    longest = max(stock.usable for stock in stocks)
    lengths = _lengths(rng, rng.randint(*limits.lengths), longest)
    needs = Counter({Need(length): 1 for length in lengths})
    weights = [rng.random() ** 2 + 0.05 for _ in lengths]
    for length in rng.choices(lengths, weights, k=rng.randint(*limits.pieces) - len(lengths)):
        needs[Need(length)] += 1
    return CutJob(f"{size}-{seed}-{number}", size, stocks, needs, rng.choice((0, 2, 2, 3)))


def _stocks(rng: Random, count: int) -> tuple[Stock, ...]:
    """Stock of 6 to 20 ft: price by the foot, dearer when longer, or by chance."""
    feet = sorted(rng.sample(FEET, count))
    rate, kind = rng.randint(60, 300), rng.choice(("linear", "premium", "chance"))
    rates = {
        "linear": lambda _: 1.0,
        "premium": lambda size: 1 + 0.015 * max(0, size - 8),
        "chance": lambda _: rng.uniform(0.9, 1.1),
    }
    return tuple(
        Stock(str(k), size * FOOT, size * FOOT, round(rate * size * rates[kind](size)))
        for k, size in enumerate(feet)
    )


def _lengths(rng: Random, count: int, longest: int) -> list[int]:
    """Different lengths of one family."""
    family = rng.choice(("trim", "courses", "framing", "mixed"))
    step = {"trim": 1, "courses": 16, "framing": 4, "mixed": 2}[family]
    low = {"trim": 0.05, "courses": 0.15, "framing": 0.25, "mixed": 0.03}[family]
    high = {"trim": 0.95, "courses": 1.0, "framing": 0.8, "mixed": 1.0}[family]
    choices = range(int(low * longest) // step, int(high * longest) // step + 1)
    return [max(step, at * step) for at in rng.sample(choices, min(count, len(choices)))]
