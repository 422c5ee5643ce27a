"""Joints and sticks for all that is wanted of one board, by what the job asks for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, combinations, pairwise

from service.cutting.effort import Effort
from service.cutting.records import Stock
from service.cutting.sticks.heuristic import cost_of
from service.cutting.sticks.offcuts import with_rests
from service.cutting.sticks.solve import solve
from service.joints.job import Pool
from service.joints.mitres import with_mitres
from service.joints.nesting import nested
from service.joints.records import Blocked, Jointed, JointRules, JointRun
from service.joints.sharing import least_shared, place_and_share
from service.joints.uncut import is_single
from service.products.sticks.needs import Jointing
from service.products.sticks.saw import Saw
from service.products.sticks.task import StickTask


def solved(
    chosen: Sequence[Jointing], saw: Saw, effort: Effort, *, parted: bool = False
) -> Jointed | Blocked | None:
    """Joints and sticks; `Blocked` where a layer cannot be jointed, None if stock runs short.

    `parted`: a run may be jointed too that only a length at hand would hold, of which there may be
    too few (6.1, 8.9).
    """
    if saw.objective.name == "fewest_lengths" and not parted:
        return _fewest_lengths(chosen, saw, effort)
    return _pooled(chosen, saw, effort, range(len(saw.stocks)), parted=parted)


def _pooled(
    chosen: Sequence[Jointing],
    saw: Saw,
    effort: Effort,
    numbers: Sequence[int],
    *,
    parted: bool = False,
) -> Jointed | Blocked | None:
    """From some of the stocks alone."""
    asked = _asked(chosen, saw, numbers, parted=parted)
    if asked is None:
        return None
    made = place_and_share(asked.pool, effort)
    if isinstance(made, Blocked):
        return replace(made, stack=asked.order[made.stack])
    if made is None:
        return None
    if saw.rests is None:
        made = nested(asked.pool, made, effort)
    return saw.cheapest_first(_as_asked(_renumbered(made, asked.kept), asked.numbers))


def least_a_step_shorter(
    chosen: Sequence[Jointing], saw: Saw, made: Jointed, effort: Effort
) -> int:
    """What a plan costs at least whose pieces may be a step shorter in gaps that give (0.2).

    Of all stocks, or of the lengths that were chosen where they are to be few.
    """
    used = {saw.stocks[stick.stock].length for stick in made.plan.sticks}
    few = saw.objective.name == "fewest_lengths"
    numbers = [k for k, one in enumerate(saw.stocks) if not few or one.length in used]
    asked = _asked(chosen, saw, numbers, parted=False)
    if asked is None:
        return 0
    pool = asked.pool
    runs = tuple(_shorter(run, pool.rules[run.stack], pool.stocks) for run in pool.runs)
    return least_shared(replace(pool, runs=runs), effort, made.plan.bound)


def cut_again(task: StickTask, saw: Saw, made: Jointed, effort: Effort) -> Jointed:
    """The same pieces cut anew, where that buys less: they were shortened since (0.2).

    What shares a board or a slanted cut is left as it is.
    """
    if made.plan.optimal or made.together or any(one.between for one in made.plan.sticks):
        return made
    wanted = Counter(need for stick in made.plan.sticks for need in stick.pieces)
    under = made.plan.cost - saw.objective.joint_cost * made.joints
    under -= effort.least_gain(made.plan.cost)
    plan = solve(saw.stocks, wanted, saw.kerf, effort, under=under)
    if plan is None:
        return made
    cost = cost_of(plan.sticks, saw.stocks) + saw.objective.joint_cost * made.joints
    bound = min(made.plan.bound, cost)
    found = replace(made, plan=replace(made.plan, sticks=plan.sticks, cost=cost, bound=bound))
    found, multiples = saw.cheapest_first(found), _multiples(task, saw)
    less = _bought(found, saw, multiples) < _bought(made, saw, multiples)
    return found if less and cost < made.plan.cost else made


def _shorter(run: JointRun, rules: JointRules, stocks: Sequence[Stock]) -> JointRun:
    """A run whose ends are a step shorter where they may be; a whole one is so by one step."""
    low, high = (rules.cut_to * gives for gives in run.gives)
    if is_single(run, rules, stocks):
        low, high = max(low, high), 0
    return replace(run, shorter=(low, high))


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked of the joint solver: stocks by the numbers they have, layers in its order.

    `numbers` are those that the runs had.
    """

    pool: Pool
    kept: list[int]
    order: list[int]
    numbers: list[int]


def _asked(
    chosen: Sequence[Jointing], saw: Saw, numbers: Sequence[int], *, parted: bool
) -> _Asked | None:
    """None where there is nothing of the stocks."""
    kept = [k for k in numbers if saw.stocks[k].supply != 0]
    if not kept:
        return None
    stocks = saw.only(kept).stocks
    if saw.rests is not None:
        stocks, whole = with_rests(stocks, saw.kerf, saw.rests)
        kept = [kept[number] for number in whole]
    held_by = _without_limit(stocks) if parted else stocks
    runs = [one.runs(k, held_by, len(chosen)) for k, one in enumerate(chosen)]
    rules = [replace(one.rules, whole_where_it_fits=not parted) for one in chosen]
    order = list(range(len(chosen)))
    if len(order) > 1:
        order.sort(key=lambda k: (_place(runs[k], rules[k]), k))
    every = [
        run if run.stack == place else replace(run, stack=place)
        for place, k in enumerate(order)
        for run in runs[k]
    ]
    pool = Pool(
        runs=with_mitres(every, turns=any(stock.turned for stock in stocks)),
        rules=tuple(rules[k] for k in order),
        stocks=stocks,
        kerf=saw.kerf,
        joint_cost=saw.objective.joint_cost,
        fixed=saw.fixed,
        board=saw.board,
        lifted=any(one.lifted for one in chosen),
    )
    return _Asked(pool, kept, order, [number for k in order for number in _numbers(runs)[k]])


def _without_limit(stocks: Sequence[Stock]) -> Sequence[Stock]:
    """The stocks that hold whatever they are long enough for; the shortest where there is none."""
    free = [stock for stock in stocks if stock.supply is None]
    return free or [min(stocks, key=lambda stock: stock.reach)]


def _place(runs: Sequence[JointRun], rules: JointRules) -> tuple[object, ...]:
    """Where a layer stands among the others, whatever place it has in the request."""
    sizes = tuple(
        (
            run.course,
            run.low,
            run.high,
            run.stations,
            run.strip or (),
            run.slants,
            run.spared,
            run.takes_more,
            run.wild,
            run.turned,
        )
        for run in runs
    )
    return sizes, tuple(str(getattr(rules, name)) for name in rules.__slots__)


def _numbers(runs: Sequence[Sequence[JointRun]]) -> list[range]:
    """The numbers of each layer's runs among all of them."""
    ends = list(accumulate((len(own) for own in runs), initial=0))
    return [range(low, high) for low, high in pairwise(ends)]


def _as_asked(made: Jointed, numbers: Sequence[int]) -> Jointed:
    """With the runs as they were asked for; `numbers` are theirs in the order solved."""
    cuts = [own for _, own in sorted(zip(numbers, made.cuts, strict=True))]
    together = tuple(tuple((numbers[run], k) for run, k in own) for own in made.together)
    usual = None if made.as_you_go is None else _as_asked(made.as_you_go, numbers)
    return replace(made, cuts=tuple(cuts), together=together, as_you_go=usual)


def _renumbered(made: Jointed, kept: Sequence[int]) -> Jointed:
    """Stock numbers of the full list again."""
    if kept == list(range(len(kept))):
        return made
    sticks = tuple(replace(stick, stock=kept[stick.stock]) for stick in made.plan.sticks)
    usual = None if made.as_you_go is None else _renumbered(made.as_you_go, kept)
    return replace(made, plan=replace(made.plan, sticks=sticks), as_you_go=usual)


def _fewest_lengths(
    chosen: Sequence[Jointing], saw: Saw, effort: Effort
) -> Jointed | Blocked | None:
    """The cheapest plan from as few different lengths as can be; rows of one length are one.

    What is owned can be of any.
    """
    last: Jointed | Blocked | None = None
    lengths = sorted({one.length for k, one in enumerate(saw.stocks) if k not in saw.owned})
    for count in range(0 if saw.owned else 1, len(lengths) + 1):
        found = []
        for some in combinations(lengths, count):
            numbers = [
                k for k, one in enumerate(saw.stocks) if k in saw.owned or one.length in some
            ]
            last = _pooled(chosen, saw, effort, numbers) or last
            if isinstance(last, Jointed):
                found.append(last)
        if found:
            return min(found, key=lambda made: made.plan.cost)
    return last


def without_leftovers(
    task: StickTask, chosen: Sequence[Jointing], saw: Saw, made: Jointed, effort: Effort
) -> Jointed:
    """Solve again without a length whose multiple leaves sticks over, if that buys less (8.9)."""
    if effort.any_legal:
        return made
    multiples = _multiples(task, saw)
    best = made
    for k, count in enumerate(_counts(made, saw)):
        if count % multiples[k] == 0:
            continue
        others = [j for j in range(len(saw.stocks)) if j != k]
        fewer = _pooled(chosen, saw, effort, others)
        if isinstance(fewer, Jointed) and _bought(fewer, saw, multiples) < _bought(
            best, saw, multiples
        ):
            bound = min(made.plan.bound, fewer.plan.cost)
            best = replace(fewer, plan=replace(fewer.plan, bound=bound))
    return best


def _multiples(task: StickTask, saw: Saw) -> list[int]:
    """In what multiple each stock is sold."""
    return [task.product.rows[int(stock.key)].multiple or 1 for stock in saw.stocks]


def _counts(made: Jointed, saw: Saw) -> list[int]:
    return [sum(s.stock == k for s in made.plan.sticks) for k in range(len(saw.stocks))]


def _bought(made: Jointed, saw: Saw, multiples: Sequence[int]) -> int:
    """What the sticks cost in whole multiples, and the joints."""
    trios = zip(_counts(made, saw), multiples, saw.stocks, strict=True)
    sticks = sum(-(-count // many) * many * stock.cost for count, many, stock in trios)
    return sticks + saw.objective.joint_cost * made.joints
