"""Published and proved cutting instances: sound plans, bounds that hold, optima that are met.

Sources stand in each record of tests/reference/cutting (`citation`, `optimum_source`).
`make bench-cutting` runs all instances and prints the table.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from service.cutting.effort import EFFORTS
from service.cutting.sticks.solve import solve
from tests.benchmark.cutting import reading
from tests.benchmark.cutting.reading import CourseJob, CutJob
from tests.benchmark.cutting.solving import cut, laid
from tests.independent.cut_plans import plan_faults

DATA = Path(__file__).parent / "cutting"
BY_DIVES = (
    "u1000_14", "t249_12", "N4W1B1R8", "Schwerin1_BPP76", "Waescher_TEST0005", "Hard28_BPP640",
    "Hard28_BPP814",
)  # fmt: skip
QUICKLY_SOLVED = ("Falkenauer-U", "Scholl-1", "Schwerin-2")


def small(jobs: list[CutJob]) -> list[CutJob]:
    """Jobs that take little time."""
    return [job for job in jobs if len(job.needs) <= 20]


@pytest.mark.parametrize("job", small(reading.multistock(DATA)), ids=lambda job: job.name)
def test_several_stock_lengths_at_the_proved_optimum(job: CutJob) -> None:
    """Optima proved twice by others: thorough work meets them, also with limited supply.

    Standard work comes within 0.1 %, the bar for several stock lengths.
    """
    plan = solve(job.stocks, job.needs, job.kerf, EFFORTS["thorough"])
    standard = cut("multistock", job, "standard")
    assert plan is not None
    wanted = {need.length: count for need, count in job.needs.items()}
    sticks = [(stick.stock, [need.length for need in stick.pieces]) for stick in plan.sticks]
    assert plan_faults(job.bars, job.kerf, wanted, sticks, plan.cost) == []
    assert job.optimum is not None
    assert plan.bound <= job.optimum == plan.cost
    assert standard.faults == ()
    assert standard.over <= 0.1


@pytest.mark.parametrize(
    "job", [j for j in reading.published(DATA) if j.group in QUICKLY_SOLVED], ids=lambda j: j.name
)
def test_published_bin_packing_at_the_optimum(job: CutJob) -> None:
    """E. Falkenauer 1996; A. Scholl, R. Klein, C. Juergens 1997; P. Schwerin, G. Waescher 1997."""
    score = cut("published", job, "standard")
    assert score.faults == ()
    assert score.cost == job.optimum


@pytest.mark.parametrize(
    "job", [j for j in reading.published(DATA) if j.name in BY_DIVES], ids=lambda j: j.name
)
def test_dives_alone_meet_the_optimum(job: CutJob) -> None:
    """Of up to 179 different lengths, without any search for whole numbers.

    E. Falkenauer 1996; A. Scholl, R. Klein, C. Juergens 1997; P. Schwerin, G. Waescher 1997;
    G. Waescher, T. Gau 1996; J. Schoenfield 2002.
    """
    plan = solve(job.stocks, job.needs, job.kerf, replace(EFFORTS["standard"], nodes=0))
    assert plan is not None
    assert plan.cost == job.optimum


@pytest.mark.parametrize("job", reading.layouts(DATA), ids=lambda job: job.name)
def test_courses_within_two_per_cent_of_the_proved_bound(job: CourseJob) -> None:
    """The bar for courses; the layout keeps the rules and every plan adds up."""
    score = laid("courses", job, "standard")
    assert score.faults == ()
    assert score.over <= 2
