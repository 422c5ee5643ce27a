"""What joints and sticks together must cost: of pieces cut apart, and of pieces that nest.

Where slanted ends lie against each other in a stick one cut may serve two pieces (4.5). The search
cuts all pieces apart, and is steered by prices of such sticks alone: at those of nested pieces it
would lay what cannot be cut. So they are priced only for the bound, and given up again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from service.cutting.effort import Effort
from service.cutting.sticks.master import Prices
from service.joints.course_order import is_plain
from service.joints.flow import Flow, flow_of
from service.joints.job import Prepared
from service.joints.master import JointMaster
from service.solver.programme import Solved

MANY_NEEDS = 100
"""With more needs, nested pieces are priced only where that promises a higher bound."""

MOST_LAYOUTS = 80
"""Layouts of a flow at most, unless all are listed."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """What all pieces cost at least: each cut from its own length of stick, or as they can nest.

    The search cuts pieces apart, so it can find nothing under the first; plans are bound by the
    second, for a crew may share slanted cuts (4.5).
    """

    apart: int
    nested: int


def with_nested(
    job: Prepared, master: JointMaster, rounds: int, solved: Solved | None, apart: int,
    before: Bounds, flows: Mapping[int, Flow],
) -> tuple[Solved | None, Bounds]:  # fmt: skip
    """The solution for pieces cut apart, and both bounds, none lower than `before`.

    Where shared cuts save more than the programme adds to what is known without it, it will
    hardly show more of nested pieces; with many needs it is not worth its time.
    """
    apart = max(before.apart, apart if job.bounded else 0)
    if not job.needs.nests:
        return solved, Bounds(apart, apart)
    added, shared = apart - before.apart, before.apart - before.nested
    many = len(job.needs.all) > MANY_NEEDS
    if not job.bounded or (many and shared > added):
        return solved, Bounds(apart, before.nested)
    laid = master.layouts
    master.cutting.nest(job.needs.least, cut_to_least=not job.large)
    known = range(before.nested, apart)
    nested = master.best_bound(rounds, known, lambda sure: _worths(flows, master, sure))
    master.cutting.part()
    if master.layouts > laid:
        solved = master.cutting.programme.solve()
    return solved, Bounds(apart, nested)


def with_flows(
    job: Prepared, master: JointMaster, effort: Effort, solved: Solved | None, bounds: Bounds
) -> tuple[Solved | None, dict[int, Flow], Bounds]:
    """The solution with the courses of plain stacks in order, and bounds that may be higher."""
    flows = {} if solved is None else _flows(job, master, effort, solved)
    if not flows:
        return solved, {}, bounds
    again, sure = master.cutting.priced(effort.rounds)
    if again is None or sure is None:
        return solved, {}, bounds
    apart = master.bound(again, sure, _worths(flows, master, sure)) if job.bounded else 0
    again, bounds = with_nested(job, master, effort.rounds, again, apart, bounds, flows)
    return again, flows, bounds


def _flows(job: Prepared, master: JointMaster, effort: Effort, solved: Solved) -> dict[int, Flow]:
    """A flow for every plain stack, by its number; they share the arcs that the effort allows."""
    plain = [number for number, stack in enumerate(job.stacks) if is_plain(stack)]
    found = {}
    for number in plain:
        stack = job.stacks[number]
        group = master.group_of[number, stack.jointed[0]]
        share = len(plain)
        flow = flow_of(master, stack, group, solved.duals, MOST_LAYOUTS, effort.arcs, share)
        if flow is not None:
            found[number] = flow
    return found


def _worths(flows: Mapping[int, Flow], master: JointMaster, sure: Prices) -> dict[int, int]:
    """What the courses of each flow are worth at least, by the row of their group, where known."""
    known = {flow.group.row: flow.bound(master, sure) for flow in flows.values()}
    return {row: worth for row, worth in known.items() if worth is not None}
