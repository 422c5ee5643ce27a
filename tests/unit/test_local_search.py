"""Layouts changed a few courses at a time: never dearer, always legal, and the same every time."""

from __future__ import annotations

import itertools

import pytest

from service.cutting.effort import EFFORTS
from service.cutting.records import Stock
from service.cutting.sticks.master import Master
from service.joints import local_search
from service.joints.construct import lay
from service.joints.job import Laid, Pool, Prepared, cut, prepared
from service.joints.local_search import LocalSearch
from service.joints.master import JointMaster
from service.joints.records import Blocked
from tests.independent.cut_plans import CourseRules, layout_faults
from tests.property.test_course_layouts import LEAST, REPEAT, RULES, STAGGER, courses

LENGTH = 260
STOCKS = (Stock("0", 80, 80, 80), Stock("1", 120, 120, 124))
STANDARD = EFFORTS["standard"]
PARTS = 5


def begun(count: int, joint_cost: int = 0, length: int = LENGTH) -> tuple[Prepared, LocalSearch]:
    """A first layout by the beam, ready to be changed."""
    job = prepared(Pool(courses(length, count), (RULES,), STOCKS, 1, joint_cost))
    cutting = Master(STOCKS, tuple(sorted({*job.needs.all, *job.fixed})), 1)
    master = JointMaster(cutting, job.stacks, job.needs.all, job.fixed, joint_cost)
    solved, _ = master.run(STANDARD.rounds)
    assert solved is not None
    laid = lay(job, master, solved, STANDARD, (0.3, 0.02), {})
    assert not isinstance(laid, Blocked)
    plan = cut(job, master, STANDARD, laid)
    assert plan is not None
    return job, LocalSearch(job, master, solved.duals, laid, plan)


def joints(job: Prepared, laid: Laid) -> list[list[int]]:
    """Stations of the joints, course by course."""
    stack = job.stacks[0]
    found = []
    for k, graph in enumerate(stack.graphs):
        assert graph is not None
        found.append([graph.places[node] for node in laid[0, k]])
    return found


@pytest.mark.parametrize("joint_cost", [0, 5])
@pytest.mark.parametrize("most", [1, 160])
@pytest.mark.parametrize("count", [2, 9, 16])
def test_every_change_is_legal_and_costs_no_more(
    monkeypatch: pytest.MonkeyPatch, count: int, most: int, joint_cost: int
) -> None:
    """Also where only the needs of the best layouts are used."""
    monkeypatch.setattr(local_search, "MOST_NEEDS", most)
    job, search = begun(count, joint_cost)
    rules = CourseRules(LENGTH, frozenset(job.stacks[0].stations), LEAST, STAGGER, REPEAT)
    costs = [search.cost]
    for _ in range(PARTS):
        search.run(20, 0)
        costs.append(search.cost)
        assert layout_faults(rules, joints(job, search.laid)) == []
    assert all(after <= before + 1e-4 for before, after in itertools.pairwise(costs))


def test_changes_make_a_first_layout_cheaper() -> None:
    """Of eight rooms some; in the others the beam's layout cannot be bettered so."""
    gains = []
    for length in range(200, 400, 25):
        _, search = begun(14, length=length)
        first = search.cost
        search.run(100, 0)
        gains.append(first - search.cost)
    assert sum(gain > 1 for gain in gains) >= 2


def test_nothing_is_changed_where_the_cost_is_enough() -> None:
    _, search = begun(9)
    before = search.laid.copy()
    search.run(100, 10**9)
    assert search.laid == before
    assert search.work == 1


def test_the_same_changes_every_time() -> None:
    (_, one), (_, other) = begun(12), begun(12)
    for search in (one, other):
        search.run(60, 0)
    assert one.laid == other.laid
    assert (one.cost, one.work) == (other.cost, other.work)
