"""Pieces for all runs that share a product: joints and sticks chosen together."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from service.cutting.master import Master
from service.cutting.records import Need, Plan, Stick, Stock
from service.cutting.solve import Effort, material_bound, shorter, solve
from service.joints.graph import Graph, Needs
from service.joints.master import JointMaster
from service.joints.records import Blocked, Cut, Jointed, JointRules, JointRun, Places
from service.joints.search import Found, Guide, beam, walk
from service.joints.stack import Stack, stack_of
from service.solver.programme import Solved
from service.units.ticks import INCH

ARC_BUDGET = 600_000
MOST_NEEDS = 160
GRAINS = (1, INCH // 4, INCH // 2, INCH, 2 * INCH, 4 * INCH)
"""Ticks to which lengths are rounded up while sticks are chosen; 1 leaves them as they are."""

TRIES = ((0.3, 0.02), (0.3, 0.005), (1.0, 0.0), (0.0, 0.01), (0.1, 0.0), (3.0, 0.02))
"""How dear it is to use a need beyond its share, and a joint as a share of a stick, try by try."""


@dataclass(frozen=True, slots=True)
class Pool:
    """All runs of a product: by stack, with the rules of each, and the stock."""

    runs: tuple[JointRun, ...]
    rules: tuple[JointRules, ...]
    stocks: tuple[Stock, ...]
    kerf: int
    joint_cost: int = 0


def is_single(run: JointRun, rules: JointRules, stocks: Sequence[Stock]) -> bool:
    """Whether one stick holds the whole run (6.1)."""
    length = rules.cut_length(run.low, run.high, True, True)
    return any(stock.usable >= length and stock.supply != 0 for stock in stocks)


def place_joints(pool: Pool, effort: Effort) -> Jointed | Blocked | None:
    """Pieces and plan; `Blocked` where a stack has no legal layout; None if stock runs short."""
    needs, stacks, numbers, fixed = _prepared(pool)
    for number, stack in enumerate(stacks):
        if stack.jointed:
            blocked = _impossible(number, stack, len(needs.all))
            if blocked is not None:
                return blocked
    wanted = sorted({*needs.all, *fixed})
    cutting = Master(pool.stocks, wanted, pool.kerf, needs.grain - 1)
    if not any(stack.jointed for stack in stacks):
        plan = solve(pool.stocks, fixed, pool.kerf, effort, cutting)
        return None if plan is None else _result(pool, stacks, numbers, {}, needs, plan)
    return _together(pool, effort, stacks, numbers, needs, fixed, cutting)


def _prepared(
    pool: Pool,
) -> tuple[Needs, list[Stack], list[list[int]], Counter[Need]]:
    """Stacks and needs, on the finest grain that leaves few enough different needs."""
    usable = [stock.usable for stock in pool.stocks]
    for grain in GRAINS:
        needs = Needs(grain, usable)
        stacks, numbers, fixed = _stacks(pool, needs)
        if len({*needs.all, *fixed}) <= MOST_NEEDS:
            break
    return needs, stacks, numbers, fixed


def _stacks(pool: Pool, needs: Needs) -> tuple[list[Stack], list[list[int]], Counter[Need]]:
    """The stacks, the run numbers in each, and the pieces that need no choice."""
    numbers: list[list[int]] = [[] for _ in pool.rules]
    for k, run in enumerate(pool.runs):
        numbers[run.stack].append(k)
    fixed: Counter[Need] = Counter()
    stacks = []
    for rules, members in zip(pool.rules, numbers, strict=True):
        runs = [pool.runs[k] for k in members]
        single = [is_single(run, rules, pool.stocks) for run in runs]
        for run, alone in zip(runs, single, strict=True):
            if alone:
                fixed[needs.standing_for(_whole_run(run, rules))] += 1
        stacks.append(stack_of(runs, single, rules, pool.stocks, needs))
    return stacks, numbers, fixed


def _whole_run(run: JointRun, rules: JointRules) -> Need:
    """A run of one piece."""
    return Need(rules.cut_length(run.low, run.high, True, True))


def _impossible(number: int, stack: Stack, needs: int) -> Blocked | None:
    """A run that no set of joints can make, whatever its neighbours do."""
    free = [0.0] * needs
    seen: set[int] = set()
    for k in stack.jointed:
        graph = stack.graphs[k]
        assert graph is not None
        if id(graph) in seen:
            continue
        seen.add(id(graph))
        if graph.best(free, [0.0] * len(graph.places)) is None:
            return Blocked(number, k, proved=True)
    return None


def _together(
    pool: Pool,
    effort: Effort,
    stacks: list[Stack],
    numbers: list[list[int]],
    needs: Needs,
    fixed: Counter[Need],
    cutting: Master,
) -> Jointed | Blocked | None:
    master = JointMaster(cutting, stacks, needs.all, fixed, pool.joint_cost)
    solved, bound = master.run(_rounds(effort, master, needs))
    if not all(_on_stations(rules) for rules in pool.rules):
        bound = 0
    bound = max(bound, _material(pool, stacks, fixed, needs.grain - 1))
    best: tuple[Plan, dict[tuple[int, int], tuple[int, ...]]] | None = None
    for attempt in range(effort.tries):
        laid = _lay(stacks, master, solved, effort, TRIES[attempt % len(TRIES)], needs)
        if isinstance(laid, Blocked):
            return laid
        plan = _cut(pool, effort, stacks, needs, fixed, cutting, laid)
        if plan is not None and (best is None or _rank(plan, laid) < _rank(*best)):
            best = plan, laid
        if best is not None and best[0].cost <= bound:
            break
    if best is None:
        return None
    plan = Plan(best[0].sticks, best[0].cost, min(bound, best[0].cost), cutting.work)
    return _result(pool, stacks, numbers, best[1], needs, plan)


def _rank(plan: Plan, laid: Mapping[tuple[int, int], tuple[int, ...]]) -> tuple[int, int]:
    """Cost, then joints (6.7)."""
    return plan.cost, sum(len(joints) for joints in laid.values())


def _rounds(effort: Effort, master: JointMaster, needs: Needs) -> int:
    """Rounds of pricing within the work limit: fewer where each is large."""
    size = sum(kind.graph.size for kind in master.kinds) + 60 * len(needs.all)
    return max(4, min(effort.rounds, effort.rounds * 20_000 // max(size, 1)))


def _on_stations(rules: JointRules) -> bool:
    """Whether joints can only be at the listed stations, so that the programme is a bound."""
    return rules.places is Places.FRAMING and not rules.end_matched


def _material(pool: Pool, stacks: list[Stack], fixed: Mapping[Need, int], slack: int) -> int:
    """What the bare length of all runs must cost."""
    lengths: Counter[Need] = Counter(shorter(fixed, slack))
    for stack in stacks:
        for k in stack.jointed:
            run = stack.runs[k]
            length = stack.rules.cut_length(run.low, run.high, True, True)
            lengths[Need(length)] += 1
    if pool.joint_cost:
        return pool.joint_cost * _least_joints(stacks)
    return material_bound(pool.stocks, lengths, 0)


def _least_joints(stacks: list[Stack]) -> int:
    """Joints that no layout can do without: the fewest of each run by itself."""
    found = 0
    for stack in stacks:
        for graph in stack.graphs:
            if graph is not None:
                best = graph.best([1.0] * (1 + max(graph.need_of.values())), graph_zeros(graph))
                found += 0 if best is None else len(best[1])
    return found


def graph_zeros(graph: Graph) -> list[float]:
    """No cost at any node."""
    return [0.0] * len(graph.places)


def _lay(
    stacks: list[Stack],
    master: JointMaster,
    solved: Solved | None,
    effort: Effort,
    weights: tuple[float, float],
    needs: Needs,
) -> dict[tuple[int, int], tuple[int, ...]] | Blocked:
    """Joints of every run, stack by stack."""
    laid: dict[tuple[int, int], tuple[int, ...]] = {}
    for number, stack in enumerate(stacks):
        if not stack.jointed:
            continue
        guide = _guide(number, master, solved, weights, needs)
        size = sum(graph.size for graph in stack.graphs if graph is not None)
        width = max(1, min(effort.beam, ARC_BUDGET // max(size, 1)))
        found = beam(stack, guide, width)
        if found.joints is None:
            found = _after_beam(stack, found, guide, width, effort)
        if found.joints is None:
            return Blocked(number, found.stopped, proved=found.stopped >= 0)
        laid |= {(number, k): joints for k, joints in found.joints.items()}
    return laid


def _after_beam(stack: Stack, found: Found, guide: Guide, width: int, effort: Effort) -> Found:
    """Search again after a dead end; a stop below zero proves nothing.

    Dearer joints leave the next courses more room; then a wider beam, then the exact walk.
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
    exact = walk(stack)
    return Found(None, -1 - found.stopped) if exact is None else exact


def _with_dearer_joints(guide: Guide, by: float) -> Guide:
    nodes = {graph: [price + by for price in own] for graph, own in guide.nodes.items()}
    return replace(guide, nodes=nodes)


def _guide(
    number: int,
    master: JointMaster,
    solved: Solved | None,
    weights: tuple[float, float],
    needs: Needs,
) -> Guide:
    pull, joint = weights
    dear = joint * max(stock.cost for stock in master.cutting.stocks)
    kinds = [kind for kind in master.kinds if kind.stack == number]
    if solved is None:
        lengths = [float(need.length) for need in needs.all]
        flat = {id(kind.graph): [0.0] * len(kind.windows) for kind in kinds}
        return Guide(lengths, flat, {id(kind.graph): [] for kind in kinds}, {}, 0.0)
    prices = [max(0.0, solved.duals[row]) for row in master.rows]
    layouts = {}
    target: Counter[int] = Counter()
    for kind in kinds:
        used = [(j, solved.values[c]) for j, c in kind.layouts.items() if solved.values[c] > 1e-7]
        layouts[id(kind.graph)] = [joints for joints, _ in used]
        for joints, share in used:
            for need in kind.graph.needs(joints):
                target[need] += share  # type: ignore[assignment]
    nodes = {
        id(kind.graph): [price + dear for price in master.node_prices(kind, solved.duals)]
        for kind in kinds
    }
    return Guide(prices, nodes, layouts, target, pull)


def _cut(
    pool: Pool,
    effort: Effort,
    stacks: list[Stack],
    needs: Needs,
    fixed: Counter[Need],
    cutting: Master,
    laid: Mapping[tuple[int, int], tuple[int, ...]],
) -> Plan | None:
    """A cutting plan for the pieces of a layout; its cost counts joints where they cost."""
    wanted = Counter(fixed)
    for (number, k), joints in laid.items():
        graph = stacks[number].graphs[k]
        assert graph is not None
        wanted.update(needs.all[need] for need in graph.needs(joints))
    plan = solve(pool.stocks, wanted, pool.kerf, effort, cutting)
    if plan is None or not pool.joint_cost:
        return plan
    joints_cost = pool.joint_cost * sum(len(joints) for joints in laid.values())
    return Plan(plan.sticks, plan.cost + joints_cost, 0, plan.work)


def _result(
    pool: Pool,
    stacks: list[Stack],
    numbers: list[list[int]],
    laid: Mapping[tuple[int, int], tuple[int, ...]],
    needs: Needs,
    plan: Plan,
) -> Jointed:
    """The pieces at their own lengths, and the plan with them in place of what stood for them."""
    cuts: list[tuple[Cut, ...]] = [()] * len(pool.runs)
    for number, (stack, members) in enumerate(zip(stacks, numbers, strict=True)):
        for k, (run, place) in enumerate(zip(stack.runs, members, strict=True)):
            graph = stack.graphs[k]
            if graph is None:
                cuts[place] = (Cut(run.low, run.high, _whole_run(run, stack.rules)),)
            else:
                cuts[place] = graph.cuts(laid[number, k], stack.rules)
    waiting: dict[Need, list[Need]] = defaultdict(list)
    for own in cuts:
        for cut in own:
            waiting[needs.standing_for(cut.need)].append(cut.need)
    sticks = tuple(
        Stick(stick.stock, tuple(waiting[need].pop() for need in stick.pieces))
        for stick in plan.sticks
    )
    return Jointed(tuple(cuts), replace(plan, sticks=sticks))


def least_pieces(run: JointRun, rules: JointRules, stocks: Sequence[Stock]) -> int | None:
    """The fewest pieces that a run can be made of; None if it cannot be made."""
    if is_single(run, rules, stocks):
        return 1
    needs = Needs()
    stack = stack_of([run], [False], rules, stocks, needs)
    graph = stack.graphs[0]
    assert graph is not None
    found = graph.best([1.0] * len(needs.all), [0.0] * len(graph.places))
    return None if found is None else round(found[0])
