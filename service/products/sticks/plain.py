"""Pieces that are cut whole from sticks, none of them joined: planned, ordered and booked (8)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from service.cutting.effort import EFFORTS, TRIAL, Effort
from service.cutting.records import Need as Piece
from service.cutting.sticks.heuristic import cost_of
from service.cutting.sticks.nested import Blade as Slanting
from service.cutting.sticks.nested import nested_sticks
from service.cutting.sticks.solve import least_cost
from service.errors import Fault, TradeRefused
from service.joints.records import Jointed
from service.ledger.book import Ledger
from service.products.costs import Planned, plan_row
from service.products.remarks import Remarks
from service.products.sticks.accounts import close, compare, flat_length, order_of, owned_of
from service.products.sticks.saw import Saw, saw_of
from service.products.sticks.sawn import Blade, Sawn, sawn
from service.products.sticks.shortage import reaching
from service.products.sticks.solving import solved, without_leftovers
from service.products.sticks.task import StickTask
from service.products.stock import Trims, stocks_of
from service.products.supplied import SearchSettings, Supplied
from service.units.writing import both


@dataclass(frozen=True, slots=True)
class StickPlan:
    """The sticks for all pieces of one product, and how many `runs` they make."""

    task: StickTask
    saw: Saw
    made: Jointed
    sawn: Sawn
    runs: int


def cut_whole(
    task: StickTask,
    wanted: Sequence[tuple[Piece, str]],
    trims: Trims,
    settings: SearchSettings,
    face: int = 0,
) -> StickPlan:
    """Sticks for pieces, each with its id; slanted ends across a `face` so wide may share cuts.

    Raises TradeRefused where a piece is too long or stock runs short.
    """
    stocks, objective = stocks_of(task, trims, settings)
    saw = saw_of(task, stocks, objective, [piece for piece, _ in wanted])
    _check_reach(task, saw)
    effort = TRIAL if settings.trial else EFFORTS[settings.effort]
    made = solved((), saw, effort) or reaching(task, (), saw, effort, "sticks")
    assert isinstance(made, Jointed)  # without runs there is nothing to be blocked
    made = without_leftovers(task, (), saw, made, effort)
    made = _with_shared_cuts(made, saw, face, effort)
    blade = Blade(saw.kerf, task.rules.keep_offcut)
    out = sawn(task.product.id, made, (), saw.stocks, blade, wanted, saw.owned)
    return StickPlan(task, saw, made, out, len(saw.fixed))


def _with_shared_cuts(made: Jointed, saw: Saw, face: int, effort: Effort) -> Jointed:
    """With sticks in which slanted ends share cuts, where those cost less (4.5, 8.5).

    Two ends save no more than they are behind their long points in the mean, together: so much
    shorter are pieces for the bound, each by the half of its slants.
    """
    if not any(need.low_cut or need.high_cut for need in saw.fixed):
        return made
    plan = made.plan
    least = Counter(_nested(need) for need in saw.fixed)
    bound = min(plan.bound, least_cost(saw.stocks, least, saw.kerf, effort, plan.bound))
    slanted = Slanting(saw.kerf, face)
    found = nested_sticks(saw.stocks, plan.sticks, slanted, effort, plan.cost - 1)
    if found is None:
        return replace(made, plan=replace(plan, bound=bound))
    cost = cost_of(found, saw.stocks)
    shared = replace(plan, sticks=found, cost=cost, bound=min(bound, cost))
    return saw.cheapest_first(replace(made, plan=shared))


def _nested(need: Piece) -> Piece:
    """What a piece takes of a stick at least."""
    less = (abs(need.low_cut) + abs(need.high_cut) + 1) // 2
    return need._replace(length=max(1, need.length - less), low_cut=0, high_cut=0)


def _check_reach(task: StickTask, saw: Saw) -> None:
    """Every piece is one piece: each must come from some stick (8.2)."""
    longest = max(stock.reach for stock in saw.stocks)
    wanted = [need for need in saw.fixed if not any(stock.holds(need) for stock in saw.stocks)]
    if wanted:
        most = max(need.length for need in wanted)
        text = (
            f"a piece of {both(most)} is wanted, and the longest stick gives {both(longest)}; a "
            "longer one is needed in `stock`"
        )
        at = f"{task.product_pointer}/stock"
        raise TradeRefused(
            Fault("piece-too-long", text, at, rule="8.2", measure=most, limit=longest)
        )


def supplied(
    plan: StickPlan,
    needs: Sequence[object],
    made: Supplied,
    ledger: Ledger,
    settings: SearchSettings,
    said: Remarks,
) -> None:
    """What is bought, as a form of stock is asked for it: the plan has all that is needed."""
    supply(plan, made, ledger, said)


def supply(plan: StickPlan, made: Supplied, ledger: Ledger, said: Remarks) -> None:
    """Sticks, order, plan, ledger and comparison; the pieces are in the ledger already."""
    task, saw, found = plan.task, plan.saw, plan.made.plan
    made.sticks = plan.sawn.sticks
    taken = saw.rows_taken(plan.made, task)
    made.order, extra = order_of(task, taken, said)
    made.owned = owned_of(task, taken)
    planned = Planned(
        found.cost,
        found.bound,
        found.work,
        saw.bought(plan.made),
        joints=plan.made.joints,
        runs=plan.runs,
    )
    made.plans = (plan_row(task, planned, saw.objective, "sticks", made.order, extra),)
    ledger.enter("mitre", -sum(lap for stick in made.sticks for lap in stick.laps))
    close(made, ledger, extra, None)
    total = sum(piece.length for stick in found.sticks for piece in stick.pieces)
    flat = flat_length(task, Fraction(total))
    made.compared = (compare(task, made, flat, plan.made, saw.stocks),)
