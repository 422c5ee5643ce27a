"""All that is wanted of one moulding: scarfs and sticks chosen together (17.2, 17.4).

Each piece takes its overall extent of a stick. Mouldings are never turned nor flipped, so no two
pieces share a mitre, and what a stick holds does not hang on the order in which it is sawn.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.cutting.effort import EFFORTS, TRIAL
from service.cutting.records import Need as Piece
from service.cutting.sticks.bounds import material_bound
from service.joints.records import Blocked, Jointed
from service.products.goods.moulding.jointing import SHORT, LineJoints, with_laps
from service.products.goods.moulding.needs import MouldingShare, Need
from service.products.goods.moulding.rulings import Task, squared
from service.products.sticks.plain import StickPlan
from service.products.sticks.saw import Saw, saw_of
from service.products.sticks.sawn import Blade, Sawn, sawn
from service.products.sticks.shortage import reaching
from service.products.sticks.solving import solved, without_leftovers
from service.products.stock import StartTrim, stocks_of
from service.products.supplied import SearchSettings


def plan(
    needs: Sequence[Need], settings: SearchSettings
) -> tuple[StickPlan, tuple[MouldingShare, ...]]:
    """Scarfs and sticks for all needs, with the share of each.

    Raises TradeRefused where a line cannot be made of what there is, or stock runs short.
    """
    task = needs[0].task
    lap = max(need.wanted.lap for need in needs)
    stocks, objective = stocks_of(task, StartTrim(squared(task)), settings)
    kept = tuple(stock for stock in stocks if stock.usable > lap)
    saw = saw_of(task, kept, objective)
    chosen = [LineJoints(task, need.wanted, lap) for need in needs]
    short = {name: cut for one in chosen for name, cut in one.short.items()}
    found = _solved(task, chosen, _without_laps(saw, lap, len(short)), settings)
    made = _told_surely(with_laps(found, lap, list(short.values())), saw, bool(short))
    fixed = [(Piece(cut), f"{name}.1") for name, cut in short.items()]
    names = _names(chosen, made)
    blade = Blade(saw.kerf, task.rules.keep_offcut)
    out = sawn(task.product.id, made, names, saw.stocks, blade, fixed, saw.owned)
    return StickPlan(task, saw, made, out, len(made.cuts)), tuple(_shares(chosen, made, out))


def _without_laps(saw: Saw, lap: int, short: int) -> Saw:
    """The stock and the saw cuts by which lines are planned without their laps."""
    stocks = tuple(replace(stock, usable=stock.usable - lap) for stock in saw.stocks)
    return replace(saw, stocks=stocks, kerf=saw.kerf + lap, fixed=(SHORT,) * short)


def _told_surely(made: Jointed, saw: Saw, is_short: bool) -> Jointed:
    """With the bound of the bare length alone where short pieces were planned as longer ones."""
    if not is_short:
        return made
    lengths = Counter(need for stick in made.plan.sticks for need in stick.pieces)
    bare = material_bound(saw.stocks, lengths, 0)
    return replace(made, plan=replace(made.plan, bound=min(made.plan.bound, bare)))


def _solved(
    task: Task, chosen: Sequence[LineJoints], saw: Saw, settings: SearchSettings
) -> Jointed:
    effort = TRIAL if settings.trial else EFFORTS[settings.effort]
    made = solved(chosen, saw, effort) or reaching(task, chosen, saw, effort, "sticks")
    if isinstance(made, Blocked):
        raise chosen[made.stack].refused()
    return without_leftovers(task, chosen, saw, made, effort)


def _names(chosen: Sequence[LineJoints], made: Jointed) -> list[list[str]]:
    """Ids of the pieces, line by line: its name, and their place in it."""
    lines = [name for one in chosen for name in one.names]
    return [
        [f"{name}.{k + 1}" for k in range(len(own))]
        for name, own in zip(lines, made.cuts, strict=True)
    ]


def _shares(chosen: Sequence[LineJoints], made: Jointed, out: Sawn) -> Iterator[MouldingShare]:
    cuts = iter(made.cuts)
    for one in chosen:
        yield MouldingShare(one.sawn([next(cuts) for _ in one.names]), out.of_piece)
