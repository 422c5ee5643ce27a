"""Sheets: published instances and drawn jobs, each plan verified.

`runs` gives them as the other jobs of this folder are given: a file's name and a call.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from random import Random
from typing import Any

from service.cutting.effort import EFFORTS
from service.cutting.sheets.nesting import Part, SheetPlan, SheetStock, nest
from service.cutting.sheets.values import Table
from tests.benchmark.cutting.reading import SHEETS, rows_of
from tests.benchmark.cutting.scores import Score
from tests.independent.sheet_verifier import sawing_faults, sheet_faults

SIXTEENTHS = 16
SIZES = {"S2": ((3, 10), (5, 40), 40), "M2": ((8, 25), (30, 150), 20)}
"""Classes of drawn jobs: how many sizes, how many pieces, how many jobs."""


@dataclass(frozen=True)
class Job:
    """Parts of one stock: the file and class it belongs to, and its optimum if that is known."""

    file: str
    group: str
    name: str
    parts: Counter[Part]
    stock: SheetStock
    kerf: int
    optimum: int | None = None


def runs(data: Path, seed: int, effort: str) -> Iterator[tuple[str, Callable[[], Score]]]:
    """Every job that is for through-cuts without turning, and the call that solves it."""
    for row in rows_of(data, SHEETS):
        if asked(row):
            yield SHEETS, partial(published, row, effort)
    for size in SIZES:
        for number in range(SIZES[size][2]):
            yield "drawn sheets", partial(drawn, size, seed, number, effort)


def left_out(data: Path) -> list[dict[str, Any]]:
    """The instances of the file that are other problems."""
    return [row for row in rows_of(data, SHEETS) if not asked(row)]


def asked(row: dict[str, Any]) -> bool:
    """Whether an instance is a problem that `nest` solves: any number of stages, no turning."""
    return not row["rotation"] and not row["cut"].startswith("2-stage")


def published(row: dict[str, Any], effort: str) -> Score:
    """One instance of the form of `twod_guillotine.json`, solved and verified.

    `row` has `name`, `set`, `problem`, `sheet` [width, height], `items` and `optimum`. With
    `min-sheets` each item has w, h and demand: the fewest sheets. With `max-value-one-sheet` each
    has w, h and value, its copies without limit: the most valuable sheet, whose cost and bound
    here are both its value. `effort` is a name in EFFORTS. Only for rows that are `asked`.
    """
    if row["problem"] == "max-value-one-sheet":
        return _valued(row)
    parts: Counter[Part] = Counter()
    for item in row["items"]:
        parts[Part(item["w"], item["h"])] += item["demand"]
    stock = SheetStock("sheet", *row["sheet"], 1)
    job = Job(SHEETS, row["set"], row["name"], parts, stock, 0, row["optimum"])
    return _nested(job, effort)


def drawn(size: str, seed: int, number: int, effort: str) -> Score:
    """A job drawn by seed and number: 4 ft by 8 ft sheets, kerf 1/8 in, in 1/16 in."""
    rng = Random(f"{size}/{seed}/{number}")
    sizes, pieces, _ = SIZES[size]
    length, width = 96 * SIXTEENTHS, 48 * SIXTEENTHS
    kinds = [
        Part(rng.randint(length // 16, length), rng.randint(width // 16, width))
        for _ in range(rng.randint(*sizes))
    ]
    more = max(0, rng.randint(*pieces) - len(kinds))
    parts = Counter(kinds + rng.choices(kinds, k=more))
    stock = SheetStock("sheet", length, width, 1)
    name = f"{size}-{seed}-{number}"
    return _nested(Job("drawn sheets", size, name, parts, stock, SIXTEENTHS // 8), effort)


def _nested(job: Job, effort: str) -> Score:
    start = time.process_time()
    plan = nest(job.parts, (job.stock,), job.kerf, EFFORTS[effort])
    seconds = time.process_time() - start
    made = partial(Score, job.file, job.group, job.name, counted=True)
    if plan is None:
        return made(0, 0, job.optimum, seconds, ("no plan",))
    faults = _faults(plan, job.parts, job.stock, job.kerf)
    if job.optimum is not None and not plan.bound <= job.optimum <= plan.cost:
        faults.append(f"{plan.bound} <= {job.optimum} <= {plan.cost} does not hold")
    return made(plan.cost, plan.bound, job.optimum, seconds, tuple(faults))


def _faults(plan: SheetPlan, parts: Counter[Part], stock: SheetStock, kerf: int) -> list[str]:
    found: list[str] = []
    for sheet in plan.sheets:
        boxes = [(p.at, p.across, p.part.length, p.part.width) for p in sheet.placed]
        cuts = [(one.block, one.cut, one.at) for one in sheet.cuts]
        side = (stock.length, stock.width, kerf)
        found += sheet_faults(*side, boxes, sheet.rests, sheet.kerf)
        found += sawing_faults(*side, cuts, [*boxes, *sheet.rests], sheet.kerf)
    if Counter(p.part for sheet in plan.sheets for p in sheet.placed) != parts:
        found.append("not every part is there once")
    if plan.cost != stock.cost * len(plan.sheets) or plan.bound > plan.cost:
        found.append("cost and bound are not those of the sheets")
    return found


def _valued(row: dict[str, Any]) -> Score:
    length, width = row["sheet"]
    values = {Part(item["w"], item["h"]): item["value"] for item in row["items"]}
    copies = {part: (length // part.length) * (width // part.width) for part in values}
    start = time.process_time()
    table = Table(copies, [(length, width)], 0, length + width)
    worth = table.price(list(values.values()))[0]
    seconds = time.process_time() - start
    faults = () if worth == row["optimum"] else (f"{worth} is not {row['optimum']}",)
    return Score(SHEETS, row["set"], row["name"], worth, worth, row["optimum"], seconds, faults)
