"""Sticks and courses: one job solved, its plan verified, its score."""

from __future__ import annotations

import time

from service.cutting.effort import EFFORTS
from service.cutting.sticks.solve import solve
from service.joints.records import Jointed
from service.joints.solve import place_joints
from tests.benchmark.cutting.reading import CourseJob, CutJob
from tests.benchmark.cutting.scores import Score
from tests.independent.cut_plans import Bar, LaidRun, pieces_of_runs, plan_faults, run_faults


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
        file, job.group, job.name, plan.cost, plan.bound, job.optimum, seconds, tuple(faults),
        counted=[stock.cost for stock in job.stocks] == [1],
    )  # fmt: skip


def laid(file: str, job: CourseJob, effort: str) -> Score:
    """Solve one layout job and verify its runs and its plan."""
    start = time.process_time()
    made = place_joints(job.pool, EFFORTS[effort])
    seconds = time.process_time() - start
    if not isinstance(made, Jointed):
        return Score(file, job.group, job.name, 0, 0, None, seconds, ("no layout",))
    runs = [
        LaidRun(run.course, run.low, run.high, tuple(piece.low for piece in own[1:]))
        for run, own in zip(job.pool.runs, made.cuts, strict=True)
    ]
    bars = [Bar(s.usable, s.cost, s.supply) for s in job.pool.stocks]
    sticks = [(stick.stock, [need.length for need in stick.pieces]) for stick in made.plan.sticks]
    faults = run_faults(job.rules, runs)
    faults += plan_faults(bars, job.pool.kerf, pieces_of_runs(runs), sticks, made.plan.cost)
    least = [made.plan.cost, *([] if job.best is None else [job.best])]
    if max(made.plan.bound, job.floor) > min(least):
        faults.append(f"{made.plan.bound} or {job.floor} is over {min(least)}")
    return Score(
        file, job.group, job.name, made.plan.cost, made.plan.bound, None, seconds, tuple(faults),
        floor=job.floor,
    )  # fmt: skip
