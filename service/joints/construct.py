"""Joints of every run, stack by stack, steered by the prices of the programme."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace

from service.cutting.effort import Effort
from service.joints.flow import Flow
from service.joints.job import Laid, Prepared
from service.joints.listing import Listing, listing_of
from service.joints.master import JointMaster, RunGroup
from service.joints.records import Blocked
from service.joints.search import Found, Guide, beam, exact_search
from service.joints.stack import Stack
from service.solver.programme import Solved

ARC_BUDGET = 600_000
WIDTH_OF_A_WALK = 4
"""A walk through a flow costs little, so it is this many times as wide as a beam."""


def lay(
    job: Prepared,
    master: JointMaster,
    solved: Solved | None,
    effort: Effort,
    weights: tuple[float, float],
    flows: Mapping[int, Flow],
) -> Laid | Blocked:
    """Joints of every run; stacks that have a flow are laid along it.

    `weights` say how dear it is to use a need beyond its share, and a joint as a share of a
    stick.
    """
    laid: dict[tuple[int, int], tuple[int, ...]] = {}
    for number, stack in enumerate(job.stacks):
        if not stack.jointed:
            continue
        found = _flowing(stack, master, solved, effort, flows.get(number))
        if found is None:
            found = _beamed(job, number, master, solved, effort, weights)
        if found.joints is None:
            return Blocked(number, found.stopped, proved=found.stopped >= 0)
        laid |= {(number, k): joints for k, joints in found.joints.items()}
    return laid


def _flowing(
    stack: Stack, master: JointMaster, solved: Solved | None, effort: Effort, flow: Flow | None
) -> Found | None:
    if flow is None or solved is None:
        return None
    order = flow.order(master, solved, WIDTH_OF_A_WALK * effort.beam)
    return None if order is None else Found(dict(zip(stack.jointed, order, strict=True)))


def _beamed(
    job: Prepared,
    number: int,
    master: JointMaster,
    solved: Solved | None,
    effort: Effort,
    weights: tuple[float, float],
) -> Found:
    stack = job.stacks[number]
    guide = _guide(job, number, master, solved, weights)
    size = sum(graph.size for graph in stack.graphs if graph is not None)
    width = max(1, min(effort.beam, ARC_BUDGET // max(size, 1)))
    found = beam(stack, guide, width)
    return found if found.joints is not None else _after_beam(stack, found, guide, width, effort)


def _after_beam(stack: Stack, found: Found, guide: Guide, width: int, effort: Effort) -> Found:
    """Search again after a dead end; a stop below zero proves nothing.

    Dearer joints leave the next courses more room; then a wider beam, then the exact search.
    """
    few = Guide(
        [1.0] * len(guide.prices),
        {graph: [0.0] * len(nodes) for graph, nodes in guide.nodes.items()},
        guide.layouts, {}, 0.0,
    )  # fmt: skip
    stick = max(guide.prices, default=0.0)
    dearer = [_with_dearer_joints(guide, stick * share) for share in (0.05, 0.2)]
    plain = [(one, width + 1) for one in (*dearer, few)]
    for other, beamed in (*plain, (dearer[1], effort.beam * 4), (few, effort.beam * 8)):
        again = beam(stack, other, beamed)
        if again.joints is not None:
            return again
    exact = exact_search(stack)
    return Found(None, -1 - found.stopped) if exact is None else exact


def _with_dearer_joints(guide: Guide, by: float) -> Guide:
    nodes = {graph: [price + by for price in own] for graph, own in guide.nodes.items()}
    return replace(guide, nodes=nodes)


def _guide(
    job: Prepared,
    number: int,
    master: JointMaster,
    solved: Solved | None,
    weights: tuple[float, float],
) -> Guide:
    """What the solution says of one stack; with none, bare lengths."""
    pull, joint = weights
    groups = [group for group in master.groups if group.stack == number]
    if solved is None:
        lengths = [float(need.length) for need in job.needs.all]
        flat = {id(group.graph): [0.0] * len(group.windows) for group in groups}
        return Guide(
            lengths,
            flat,
            {id(group.graph): listing_of(group.graph, ()) for group in groups},
            {},
            0.0,
        )
    dear = joint * max(stock.cost for stock in master.cutting.stocks)
    layouts: dict[int, Listing] = {}
    target: dict[int, float] = defaultdict(float)
    for group in groups:
        used = _used(group, solved)
        layouts[id(group.graph)] = listing_of(group.graph, list(used))
        for joints, share in used.items():
            for need in group.graph.needs(joints):
                target[need] += share
    nodes = {
        id(group.graph): [price + dear for price in master.node_prices(group, solved.duals)]
        for group in groups
    }
    prices = master.prices(solved.duals)
    return Guide(prices, nodes, layouts, target, pull)


def _used(group: RunGroup, solved: Solved) -> dict[tuple[int, ...], float]:
    """The layouts that the solution uses, each with its share."""
    shares = {joints: _value(solved, column) for joints, column in group.layouts.items()}
    return {joints: share for joints, share in shares.items() if share > 1e-7}


def _value(solved: Solved, column: int) -> float:
    """The value of a column; none for one that came after the solution."""
    return solved.values[column] if column < len(solved.values) else 0.0
