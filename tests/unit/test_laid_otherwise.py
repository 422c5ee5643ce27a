"""Layouts of other weights: tried where the best is far over its bound, kept where cheaper."""

from __future__ import annotations

from dataclasses import replace

from service.cutting.effort import EFFORTS
from service.joints.construct import lay
from service.joints.improving import Best, better, laid_otherwise
from service.joints.records import Blocked
from service.joints.solve import TRIES
from tests.property.test_courses_side_by_side import programme, slanted

EFFORT = replace(EFFORTS["standard"], beam=2, changes=0, last_nodes=0)


def test_other_weights_are_tried_until_the_best_is_near_its_bound() -> None:
    """Fifteen runs, each 3 shorter than the last, laid first as if a piece cost its length."""
    job, master = programme(slanted([[(0, 175 - 3 * k) for k in range(15)]], 1))
    solved, bound = master.run(50)
    laid = lay(job, master, None, EFFORT, (0.0, 0.0), {})
    assert not isinstance(laid, Blocked)
    best: Best | None = better(None, job, master, EFFORT, laid)
    assert best is not None
    found = laid_otherwise(best, job, master, EFFORT, solved, bound, TRIES)
    assert bound <= found.plan.cost < best.plan.cost
    assert laid_otherwise(found, job, master, EFFORT, solved, found.plan.cost, TRIES) is found
    assert laid_otherwise(best, job, master, EFFORT, solved, bound, ()) is best
