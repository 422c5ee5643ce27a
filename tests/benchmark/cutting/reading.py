"""The instance files as jobs for the solver, with what is known of their optimum."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from service.cutting.records import Need, Stock
from service.cutting.sheets import Part, SheetStock
from service.joints.records import JointRules, JointRun, Places
from service.joints.solve import Pool
from service.joints.stations import free_stations
from service.layout.bearings import BearingLine
from tests.independent.cut_plans import Bar, CourseRules

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
    """One layout job: what the solver gets, what the verifier gets, bounds known before."""

    name: str
    group: str
    pool: Pool
    rules: CourseRules
    bound: int
    best: int


def rows_of(folder: Path, name: str) -> list[dict[str, Any]]:
    """The records of one file; none if the folder has no such file."""
    path = folder / name
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
        for row in rows_of(folder, "oned_published.json")
    ]  # fmt: skip


def multistock(folder: Path) -> list[CutJob]:
    """Several stock lengths with prices; those with limited supply are a class of their own."""
    jobs = []
    for row in rows_of(folder, "oned_multistock_generated.json"):
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


@dataclass(frozen=True)
class SheetJob:
    """One sheet job: equal sheets, parts that keep their axis, the fewest sheets known."""

    name: str
    group: str
    stock: SheetStock
    parts: dict[Part, int]
    optimum: int


def sheets(folder: Path) -> list[SheetJob]:
    """Fewest sheets without turning; other kinds of problem are not what the service solves."""
    jobs = []
    for row in rows_of(folder, "twod_guillotine.json"):
        if row["problem"] != "min-sheets" or row["rotation"]:
            continue
        parts: Counter[Part] = Counter()
        for item in row["items"]:
            parts[Part(item["w"], item["h"])] += item["demand"]
        stock = SheetStock("sheet", *row["sheet"], 1)
        jobs.append(SheetJob(row["name"], row["set"], stock, dict(parts), row["optimum"]))
    return jobs


def layouts(folder: Path) -> list[CourseJob]:
    """Boards in courses."""
    return [_layout(row) for row in rows_of(folder, "course_layout_generated.json")]


def _parts(inches: float) -> int:
    return round(inches * PARTS_OF_AN_INCH)


def _layout(row: dict[str, Any]) -> CourseJob:
    length = _parts(row["clear_length_in"])
    on_supports = row["joints"] == "on supports"
    stocks = tuple(
        Stock(str(k), _parts(s["length_in"]), _parts(s["length_in"]), s["price_cents"])
        for k, s in enumerate(row["stocks"])
    )
    rules = JointRules(
        Places.FRAMING if on_supports else Places.ANYWHERE,
        _parts(row["min_piece_in"]), 0, _parts(row["stagger_in"]),
        _parts(row["repeat_tolerance_in"]), 1, 1, covered=True, end_matched=False,
        whole_where_it_fits=False,
    )  # fmt: skip
    supports: tuple[int, ...] = ()
    if on_supports:
        first, spacing = _parts(row["first_support_in"]), _parts(row["support_spacing_in"])
        supports = tuple(range(first, length, spacing))
    stations = supports or free_stations(0, length, rules, stocks)
    low, high = rules.min_piece, length - rules.min_piece
    line = BearingLine(supports, tuple(range(1, len(supports) + 1)), HALF_A_SUPPORT)
    allowed = tuple(at for at in stations if low <= at <= high)
    runs = tuple(
        JointRun(0, course, 0, length, allowed, line, str(course))
        for course in range(1, row["courses"] + 1)
    )
    checked = CourseRules(
        length, frozenset(supports) if on_supports else None,
        rules.min_piece, rules.stagger, rules.repeat,
    )  # fmt: skip
    return CourseJob(
        row["name"], row["joints"],
        Pool(runs, (rules,), stocks, _parts(row["kerf_in"])), checked,
        round(row["lower_bound_cents"]), row["best_known_cents"],
    )  # fmt: skip
