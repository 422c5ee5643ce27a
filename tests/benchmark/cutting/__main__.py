"""Solve the instances of a folder and drawn jobs, verify every plan, print and write the table.

`--data` is a folder with files of the four names of `tests/reference/cutting`. Work is limited by
the named effort alone, so costs and bounds are the same on any machine; times are processor time.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import asdict
from functools import partial
from pathlib import Path

from service.cutting.sheets import nest
from service.cutting.solve import EFFORTS, solve
from service.demo import OUT
from service.joints.records import Jointed
from service.joints.solve import place_joints
from service.solver.programme import warm_up
from tests.benchmark.cutting import drawn, reading
from tests.benchmark.cutting.reading import CourseJob, CutJob, SheetJob
from tests.benchmark.cutting.scores import Score, show, table
from tests.independent.cut_plans import layout_faults, pieces_of, plan_faults
from tests.independent.sheet_verifier import sheet_faults

DATA = Path(__file__).parents[2] / "reference/cutting"


def cut(file: str, job: CutJob, effort: str) -> Score:
    """Solve one cutting job and verify its plan."""
    start = time.process_time()
    plan = solve(job.stocks, job.needs, job.kerf, EFFORTS[effort])
    seconds = time.process_time() - start
    if plan is None:
        return Score(file, job.group, job.name, 0, 0, job.optimum, seconds, ("no plan",))
    wanted = {need.length: count for need, count in job.needs.items()}
    sticks = [(stick.stock, [need.length for need in stick.pieces]) for stick in plan.sticks]
    faults = plan_faults(job.bars, job.kerf, wanted, sticks, plan.cost)
    if job.optimum is not None and not plan.bound <= job.optimum <= plan.cost:
        faults.append(f"{plan.bound} <= {job.optimum} <= {plan.cost} does not hold")
    return Score(
        file, job.group, job.name, plan.cost, plan.bound, job.optimum, seconds, tuple(faults)
    )


def laid(file: str, job: CourseJob, effort: str) -> Score:
    """Solve one layout job and verify its courses and its plan."""
    start = time.process_time()
    made = place_joints(job.pool, EFFORTS[effort])
    seconds = time.process_time() - start
    if not isinstance(made, Jointed):
        return Score(file, job.group, job.name, 0, 0, None, seconds, ("no layout",))
    courses = [[piece.low for piece in own[1:]] for own in made.cuts]
    bars = [reading.Bar(s.usable, s.cost, s.supply) for s in job.pool.stocks]
    sticks = [(stick.stock, [need.length for need in stick.pieces]) for stick in made.plan.sticks]
    wanted = pieces_of(job.rules.length, courses)
    faults = layout_faults(job.rules, courses)
    faults += plan_faults(bars, job.pool.kerf, wanted, sticks, made.plan.cost)
    bound = max(made.plan.bound, job.bound)
    return Score(file, job.group, job.name, made.plan.cost, bound, None, seconds, tuple(faults))


def nested(file: str, job: SheetJob, effort: str) -> Score:
    """Solve one sheet job and verify every sheet."""
    start = time.process_time()
    plan = nest(job.parts, (job.stock,), 0, EFFORTS[effort])
    seconds = time.process_time() - start
    if plan is None:
        return Score(file, job.group, job.name, 0, 0, job.optimum, seconds, ("no plan",))
    faults = []
    for sheet in plan.sheets:
        boxes = [(p.at, p.across, p.part.length, p.part.width) for p in sheet.placed]
        size = job.stock.length, job.stock.width
        faults += sheet_faults(*size, 0, boxes, sheet.rests, sheet.kerf)
    if Counter(p.part for sheet in plan.sheets for p in sheet.placed) != Counter(job.parts):
        faults.append("not every part is there once")
    if not plan.bound <= job.optimum <= plan.cost == len(plan.sheets):
        faults.append(f"{plan.bound} <= {job.optimum} <= {plan.cost} does not hold")
    return Score(
        file, job.group, job.name, plan.cost, plan.bound, job.optimum, seconds, tuple(faults)
    )


Run = Callable[[], Score]


def runs(data: Path, seed: int, effort: str) -> Iterator[tuple[str, Run]]:
    """Every job: the file that it belongs to, and the call that solves it."""
    for job in reading.published(data):
        yield "published", partial(cut, "published", job, effort)
    for job in reading.multistock(data):
        yield "multistock", partial(cut, "multistock", job, effort)
    for course_job in reading.layouts(data):
        yield "courses", partial(laid, "courses", course_job, effort)
    for sheet_job in reading.sheets(data):
        yield "sheets", partial(nested, "sheets", sheet_job, effort)
    for size in drawn.SIZES:
        for job in drawn.drawn(size, seed):
            yield "drawn", partial(cut, "drawn", job, effort)


def asked() -> argparse.Namespace:
    """The command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--data", type=Path, default=DATA)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--effort", choices=sorted(EFFORTS), default="standard")
    parser.add_argument("--only", default="", help="only the files whose name starts so")
    parser.add_argument("--jobs", action="store_true", help="print every job too")
    return parser.parse_args()


def written(scores: list[Score], options: argparse.Namespace) -> None:
    """Write the table and every job to .build/bench-cutting.json."""
    OUT.mkdir(exist_ok=True)
    made = {
        "data": str(options.data),
        "seed": options.seed,
        "effort": options.effort,
        "table": table(scores),
        "jobs": [asdict(score) | {"gap": score.gap} for score in scores],
    }
    (OUT / "bench-cutting.json").write_text(json.dumps(made, indent=1) + "\n")


def main() -> int:
    """Run everything; the exit code tells whether every plan was sound."""
    options = asked()
    warm_up()
    scores = []
    for file, run in runs(options.data, options.seed, options.effort):
        if not file.startswith(options.only):
            continue
        scores.append(run())
        if options.jobs or scores[-1].faults:
            print(scores[-1])
    show(table(scores))
    written(scores, options)
    return int(any(score.faults for score in scores))


if __name__ == "__main__":
    sys.exit(main())
