"""Boards in courses drawn by seed: rectangular rooms, irregular outlines, and one large hall.

Lengths are ticks, multiples of 1/16 in, prices in cents. A job depends on its class, seed and
number alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random

from service.cutting.records import Stock
from service.units.ticks import FOOT, INCH, SIXTEENTH
from tests.benchmark.cutting.reading import CourseJob, pool_of
from tests.independent.cut_plans import CourseRules

FACE = 41 * INCH // 8
"""Covered width of a board."""

KERF = INCH // 8
JOBS = 20

Extents = list[tuple[int, int, int]]
"""Course, low and high end of each run."""


def rectangle(rng: Random, length: int, courses: int) -> Extents:
    """Every course from wall to wall."""
    return [(k, 0, length) for k in range(courses)]


def corner(rng: Random, length: int, courses: int) -> Extents:
    """An L: from some course on the boards end at an inner corner."""
    turn, short = rng.randint(3, courses - 3), _between(rng, length, 0.4, 0.8)
    return [(k, 0, length if k < turn else short) for k in range(courses)]


def notch(rng: Random, length: int, courses: int) -> Extents:
    """A hole in the middle of the room: the courses there have two runs."""
    first = rng.randint(2, courses // 2)
    last = rng.randint(first + 1, courses - 2)
    low, high = _between(rng, length, 0.2, 0.45), _between(rng, length, 0.55, 0.8)
    extents = []
    for k in range(courses):
        inside = first <= k < last
        extents += [(k, 0, low), (k, high, length)] if inside else [(k, 0, length)]
    return extents


def gable(rng: Random, length: int, courses: int) -> Extents:
    """Boards under two slopes: every course is shorter than the one before it."""
    least = _between(rng, length, 0.3, 0.6)
    step = (length - least) // (2 * courses * SIXTEENTH) * SIXTEENTH
    return [(k, k * step, length - k * step) for k in range(courses)]


def slant(rng: Random, length: int, courses: int) -> Extents:
    """One wall out of square: the far end moves by the same step from course to course."""
    step = rng.randint(4, 48) * SIXTEENTH
    return [(k, 0, length - k * step) for k in range(courses)]


OUTLINES: Mapping[str, tuple[Callable[[Random, int, int], Extents], ...]] = {
    "rectangular": (rectangle,),
    "irregular": (corner, notch, gable, slant),
}


def drawn(group: str, seed: int) -> list[CourseJob]:
    """All jobs of one class."""
    return [_job(group, seed, number) for number in range(JOBS)]


def _job(group: str, seed: int, number: int) -> CourseJob:
    """A room of 12 to 40 ft by 5 to 30 ft, joints on supports 12, 16 or 24 in apart."""
    rng = Random(f"{group}/{seed}/{number}")
    length, courses = rng.randint(12 * 12, 40 * 12) * INCH, rng.randint(12, 70)
    outlines = OUTLINES[group]
    extents = outlines[number % len(outlines)](rng, length, courses)
    rules = _rules(rng, length)
    pool = pool_of(rules, extents, _stocks(rng), KERF, whole_where_it_fits=True)
    return CourseJob(f"{group}-{seed}-{number}", group, pool, rules)


def _rules(rng: Random, length: int) -> CourseRules:
    spacing = rng.choice((12, 16, 16, 24)) * INCH
    first = rng.randint(4 * INCH // SIXTEENTH, spacing // SIXTEENTH) * SIXTEENTH
    supports = frozenset(range(first, length, spacing))
    return CourseRules(length, supports, 24 * INCH, 24 * INCH, rng.choice((1, 6 * INCH)))


def _stocks(rng: Random) -> tuple[Stock, ...]:
    """Two to four lengths of 10 to 20 ft, clear lengths 1/2 in short."""
    feet = [*sorted(rng.sample((8, 10, 12, 14, 16), rng.randint(1, 3))), rng.choice((18, 20))]
    return tuple(_stock(k, size, rng.choice((0.0, 0.015))) for k, size in enumerate(feet))


def _stock(number: int, feet: int, premium: float) -> Stock:
    usable = feet * FOOT - INCH // 2
    cost = round(150 * feet * (1 + premium * max(0, feet - 8)))
    return Stock(str(number), usable, usable, cost)


def _between(rng: Random, length: int, low: float, high: float) -> int:
    sixteenths = length // SIXTEENTH
    return rng.randint(int(low * sixteenths), int(high * sixteenths)) * SIXTEENTH


def halls() -> list[CourseJob]:
    """A hall of 60 ft by 100 ft, boards along either side, at two scales of prices."""
    return [
        _hall(f"{along}-{name}", along, across, premium)
        for along, across in ((100, 60), (60, 100))
        for name, premium in (("linear", 0.0), ("premium", 0.015))
    ]


def _hall(name: str, along: int, across: int, premium: float) -> CourseJob:
    length = along * FOOT
    extents = rectangle(Random(0), length, -(-across * FOOT // FACE))
    supports = frozenset(range(16 * INCH, length, 16 * INCH))
    rules = CourseRules(length, supports, 24 * INCH, 24 * INCH, 1)
    stocks = tuple(_stock(k, feet, premium) for k, feet in enumerate((8, 10, 12, 14, 16)))
    return CourseJob(name, "hall 60 x 100 ft", pool_of(rules, extents, stocks, KERF), rules)
