"""What is claimed of a plan of boards once it is found: how its pieces are cut, and its bound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from service.cutting.effort import Effort
from service.joints.records import Jointed, JointRules, JointRun
from service.products.goods.board.certifying import Covered, proved_bound
from service.products.goods.board.needs import Need
from service.products.goods.board.rulings import Task
from service.products.sticks.even_lengths import CutRun
from service.products.sticks.even_lengths import evened as cut_alike
from service.products.sticks.needs import Jointing, Lengths
from service.products.sticks.saw import Saw
from service.products.sticks.solving import cut_again, least_a_step_shorter


def parted(made: Jointed, runs: Sequence[tuple[JointRules, JointRun]], saw: Saw) -> int:
    """How many runs are jointed that one board would hold, of which there are too few (6.1)."""
    few = [stock for stock in saw.stocks if stock.supply is not None and not stock.owned]
    jointed = [own for own, cuts in zip(runs, made.cuts, strict=True) if len(cuts) > 1]
    return sum(
        any(stock.holds(rules.need(run, run.low, run.high)) for stock in few if stock.supply)
        for rules, run in jointed
    )


def evened(
    task: Task,
    made: Jointed,
    runs: Sequence[tuple[JointRules, JointRun]],
    jointings: Sequence[Jointing],
    saw: Saw,
    effort: Effort,
) -> Jointed:
    """With lengths cut alike that nearly are; as it is where what is left of sticks has a value.

    The bound holds for pieces as short as they may be. They are cut anew where they became so much
    shorter together that it may be worth its time.
    """
    if saw.rests is not None:
        return made
    cut = [
        CutRun(rules, run.gives, cuts) for (rules, run), cuts in zip(runs, made.cuts, strict=True)
    ]
    found = cut_alike(made, cut, saw.fixed)
    if found is made or effort.any_legal:
        return found
    least = least_a_step_shorter(jointings, saw, made, effort)
    found = replace(found, plan=replace(found.plan, bound=min(found.plan.bound, least)))
    shorter = _length(made) - _length(found)
    worth = shorter >= effort.least_gain(_length(made))
    return cut_again(task, saw, found, effort) if worth else found


def _length(made: Jointed) -> int:
    """All that is cut from the sticks of a plan, ticks."""
    return sum(need.length for stick in made.plan.sticks for need in stick.pieces)


def proved(made: Jointed, covered: Covered, saw: Saw, effort: Effort, *, parted: bool) -> Jointed:
    """With the bound that prices prove, where runs have more joints than they should (6.3).

    The search has only bare material to show for those.
    """
    plan, objective = made.plan, saw.objective
    if effort.any_legal or plan.optimal or not _has_more(made, covered, saw):
        return made
    least = proved_bound(covered, saw, plan.cost, effort, parted=parted)
    if least is None or objective.measured_in not in ("money", "length"):
        return made
    return replace(made, plan=replace(plan, bound=min(plan.cost, max(plan.bound, least))))


def _has_more(made: Jointed, covered: Covered, saw: Saw) -> bool:
    """Whether any run has more joints than it should, or may have."""
    runs = [run for one in covered.jointings for run in one.runs(0, saw.stocks)]
    return any(one.lifted for one in covered.jointings) or any(
        run.most is not None and len(cuts) - 1 > run.most
        for run, cuts in zip(runs, made.cuts, strict=True)
    )


def covered_by(task: Task, needs: Sequence[Need], jointings: Sequence[Jointing]) -> Covered:
    """The runs of a board, whichever layers they lie in."""
    own = [(need.task, need.wanted) for need in needs if not isinstance(need.wanted, Lengths)]
    return Covered(
        task,
        tuple((one.surface.id, one.layer_id) for one, _ in own),
        tuple(jointings),
        all(wanted.lies_in_courses for _, wanted in own),
    )
