"""The instance files as jobs for the solver, with what is known of their optimum."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from service.cutting.records import Need, Stock
from service.joints.job import Pool
from service.joints.records import JointRules, JointRun, Places
from service.layout.bearings import BearingLine
from tests.benchmark.cutting.stations import free_stations
from tests.independent.cut_plans import Bar, CourseRules

PUBLISHED = "oned_published"
MULTISTOCK = "oned_multistock_generated"
COURSES = "course_layout_generated"
SHEETS = "twod_guillotine"

PARTS_OF_AN_INCH = 16
HALF_A_SUPPORT = 12


@dataclass(frozen=True)
class CutJob:
    """One cutting job: its class, stock, needs, kerf, and the optimum if it is known."""

    name: str
    group: str
    stocks: tuple[Stock, ...]
    needs: Counter[Need]
    kerf: int
    optimum: int | None = None

    @property
    def bars(self) -> list[Bar]:
        """The stock as the verifier wants it."""
        return [Bar(s.usable, s.cost, s.supply) for s in self.stocks]


@dataclass(frozen=True)
class CourseJob:
    """One layout job: what the solver gets, what the verifier gets.

    `floor` is a bound that was known before, `best` the least cost that was.
    """

    name: str
    group: str
    pool: Pool
    rules: CourseRules
    floor: int = 0
    best: int | None = None


def rows_of(folder: Path, name: str) -> list[dict[str, Any]]:
    """The records of the file of that name; none if the folder has no such file."""
    path = folder / f"{name}.json"
    found: list[dict[str, Any]] = json.loads(path.read_text()) if path.exists() else []
    return found


def published(folder: Path) -> list[CutJob]:
    """One stock length, fewest bars."""
    return [
        CutJob(
            row["name"], row["set"],
            (Stock("0", row["capacity"], row["capacity"], 1),),
            Counter(dict(zip(map(Need, row["sizes"]), row["demands"], strict=True))),
            0, row["optimum"],
        )
        for row in rows_of(folder, PUBLISHED)
    ]  # fmt: skip


def multistock(folder: Path) -> list[CutJob]:
    """Several stock lengths with prices; those with limited supply are a class of their own."""
    jobs = []
    for row in rows_of(folder, MULTISTOCK):
        stocks = tuple(
            Stock(str(k), s["length"], s["length"], s["price_cents"], s["supply"])
            for k, s in enumerate(row["stocks"])
        )
        limited = any(stock.supply is not None for stock in stocks)
        needs: Counter[Need] = Counter()
        for piece in row["pieces"]:
            needs[Need(piece["length"])] += piece["demand"]
        group = "limited" if limited else row["size"]
        jobs.append(CutJob(row["name"], group, stocks, needs, row["kerf"], row["optimum_cents"]))
    return jobs


def layouts(folder: Path) -> list[CourseJob]:
    """Boards in courses."""
    return [_layout(row) for row in rows_of(folder, COURSES)]


def _parts(inches: float) -> int:
    return round(inches * PARTS_OF_AN_INCH)


def _layout(row: dict[str, Any]) -> CourseJob:
    length = _parts(row["clear_length_in"])
    stocks = tuple(
        Stock(str(k), _parts(s["length_in"]), _parts(s["length_in"]), s["price_cents"])
        for k, s in enumerate(row["stocks"])
    )
    rules = CourseRules(
        length, None, _parts(row["min_piece_in"]), _parts(row["stagger_in"]),
        _parts(row["repeat_tolerance_in"]),
    )  # fmt: skip
    if row["joints"] == "on supports":
        first, spacing = _parts(row["first_support_in"]), _parts(row["support_spacing_in"])
        rules = replace(rules, supports=frozenset(range(first, length, spacing)))
    extents = [(course, 0, length) for course in range(1, row["courses"] + 1)]
    pool = pool_of(rules, extents, stocks, _parts(row["kerf_in"]))
    return CourseJob(
        row["name"], row["joints"], pool, rules,
        round(row["lower_bound_cents"]), row["best_known_cents"],
    )  # fmt: skip


def pool_of(
    asked: CourseRules, extents: Sequence[tuple[int, int, int]], stocks: tuple[Stock, ...],
    kerf: int, *, whole_where_it_fits: bool = False,
) -> Pool:  # fmt: skip
    """Runs (course, low, high) by the rules of the verifier, as the solver is asked for them."""
    rules = JointRules(
        Places.ANYWHERE if asked.supports is None else Places.FRAMING,
        asked.min_piece, 0, asked.stagger, asked.repeat, 1, 1, end_matched=False,
        whole_where_it_fits=whole_where_it_fits,
    )  # fmt: skip
    supports = tuple(sorted(asked.supports or ()))
    line = BearingLine(supports, tuple(range(1, len(supports) + 1)), HALF_A_SUPPORT)
    runs = []
    for number, (course, low, high) in enumerate(extents):
        stations = supports or free_stations(low, high, rules, stocks)
        first, last = low + asked.min_piece, high - asked.min_piece
        allowed = tuple(at for at in stations if first <= at <= last)
        runs.append(JointRun(0, course, low, high, allowed, line, str(number)))
    return Pool(tuple(runs), (rules,), stocks, kerf)
