"""All that is wanted of one board, from its joints and sticks to its order and ledger."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from service.cutting.effort import EFFORTS, TRIAL, Effort
from service.cutting.records import Need as Piece
from service.errors import Cure, Fault, TradeRefused
from service.joints.records import Jointed
from service.ledger.book import Ledger
from service.products.certificate_rows import CertificateRow
from service.products.costs import Planned, plan_row
from service.products.goods.board.board import Board, board_of
from service.products.goods.board.certifying import certificate_row
from service.products.goods.board.choices import Plans, best_of, choice_rows, other_plans
from service.products.goods.board.claiming import covered_by, evened, parted, proved
from service.products.goods.board.needs import BoardShare, Need
from service.products.goods.board.plan_findings import say_laps, say_parted, say_rips
from service.products.goods.board.raw_ends import say_raw_ends
from service.products.goods.board.rule_costs import rule_costs
from service.products.goods.board.rulings import Task
from service.products.goods.board.saw import board_saw
from service.products.remarks import Remarks
from service.products.sticks.accounts import close, compare, flat_length, order_of, owned_of
from service.products.sticks.needs import Jointing, Lengths
from service.products.sticks.saw import Saw
from service.products.sticks.sawn import Blade, Sawn, sawn
from service.products.sticks.shortage import reaching
from service.products.sticks.solving import solved, without_leftovers
from service.products.supplied import SearchSettings, Supplied

MOST_EASED = 4
"""How often each need may be eased before the boards are called impossible."""


@dataclass(frozen=True, slots=True)
class BoardPlan:
    """Joints and sticks for all needs of one board.

    `parted` runs are jointed that one board would hold, of which there are too few.
    """

    task: Task
    saw: Saw
    jointings: tuple[Jointing, ...]
    made: Jointed
    sawn: Sawn
    choices: Plans
    parted: int


def plan(
    needs: Sequence[Need], settings: SearchSettings
) -> tuple[BoardPlan, tuple[BoardShare, ...]]:
    """Joints and sticks for all needs, with the share of each.

    Raises TradeRefused where rules or stock block them.
    """
    task = needs[0].task
    fixed = _fixed(needs)
    saw = board_saw(task, settings, [piece for piece, _ in fixed])
    asked = [need.wanted for need in needs if not isinstance(need.wanted, Lengths)]
    jointings, found = _solve(task, asked, saw, settings)
    made = _by_method(task, found, settings)
    choices: Plans = {}
    if settings.choices and saw.objective.measured_in in ("money", "length"):
        choices = other_plans(jointings, saw, EFFORTS[settings.effort])
        made = made if settings.method == "as_you_go" else best_of(made, choices, saw)
    effort = _effort(settings)
    runs = [(one.rules, run) for one in jointings for run in one.runs(0, saw.stocks)]
    few = parted(made, runs, saw)
    made = evened(task, made, runs, jointings, saw, effort)
    made = proved(made, covered_by(task, needs, jointings), saw, effort, parted=few > 0)
    names = _names(jointings, made)
    blade = Blade(saw.kerf, task.rules.keep_offcut)
    out = sawn(task.product.id, made, names, saw.stocks, blade, fixed, saw.owned)
    shares = tuple(_shares(needs, jointings, saw, made, out))
    return BoardPlan(task, saw, tuple(jointings), made, out, choices, few), shares


def _fixed(needs: Sequence[Need]) -> list[tuple[Piece, str]]:
    """Every plain length that is wanted, with its piece's id."""
    return [
        (Piece(length), name)
        for need in needs
        if isinstance(need.wanted, Lengths)
        for name, length in need.wanted.pieces.items()
    ]


def _solve(
    task: Task, asked: Sequence[Jointing], saw: Saw, settings: SearchSettings
) -> tuple[list[Jointing], Jointed]:
    """Solve, with what is owned as far as it goes with what can be bought.

    Rules give way as they would if nothing were owned: to own more is no reason to ask less.
    """
    if not saw.owned:
        return _eased(task, asked, saw, settings)
    found = _with_owned(task, asked, saw, settings)
    if found is not None:
        return list(asked), found
    try:
        chosen, made = _eased(task, asked, saw.without_owned(), settings)
    except TradeRefused:
        return _eased(task, asked, saw, settings)
    return chosen, _with_owned(task, chosen, saw, settings) or made


def _with_owned(
    task: Task, chosen: Sequence[Jointing], saw: Saw, settings: SearchSettings
) -> Jointed | None:
    """A plan that takes of what is owned, of all of it or of what is no longer than can be bought.

    A length that would do for whole runs may be too few for all of them.
    """
    effort = _effort(settings)
    longest = max((one.reach for one in saw.stocks if not one.owned), default=0)
    for one in (saw, saw.without_owned(longest)):
        made = solved(chosen, one, effort)
        if isinstance(made, Jointed):
            return without_leftovers(task, chosen, one, made, effort)
    return None


def _effort(settings: SearchSettings) -> Effort:
    return TRIAL if settings.trial else EFFORTS[settings.effort]


def _eased(
    task: Task, asked: Sequence[Jointing], saw: Saw, settings: SearchSettings
) -> tuple[list[Jointing], Jointed]:
    """Solve; where runs are blocked, ask less of them if that is allowed, and solve again."""
    chosen = list(asked)
    effort = _effort(settings)
    bought = [stock for stock in saw.stocks if not stock.owned]
    for _ in range(len(asked) * MOST_EASED + 1):
        made = solved(chosen, saw, effort)
        if made is None:
            # Short stock may want more joints than a run should have (6.3).
            chosen = [one.with_any_joints() for one in chosen]
            made = solved(chosen, saw, effort)
        made = made or reaching(task, chosen, saw, effort, "boards", may_part=True)
        if isinstance(made, Jointed):
            return chosen, without_leftovers(task, chosen, saw, made, effort)
        chosen[made.stack] = chosen[made.stack].eased(made, bought, saw.kerf, relax=settings.relax)
    raise asked[0].refused()


def _by_method(task: Task, made: Jointed, settings: SearchSettings) -> Jointed:
    """The best that was found, or the layout cut as you go where that is asked for (8.10)."""
    if settings.method != "as_you_go":
        return made
    owns = any(row.is_owned for row in task.product.rows)
    if made.as_you_go is None or owns:
        why = "what is owned is used first, whatever its lengths"
        if not owns:
            why = (
                "that takes one stock length without a limit from which every run can be made in "
                "order, and ends that need no match"
            )
        raise TradeRefused(
            Fault(
                "not-as-you-go",
                f"the boards of {task.product.id} cannot be cut as you go: {why}",
                "/method",
                cure=Cure("/method", "together"),
                rule="8.10",
            )
        )
    return replace(made.as_you_go, as_you_go=made.as_you_go)


def _names(jointings: Sequence[Jointing], made: Jointed) -> list[list[str]]:
    """Ids of the pieces, run by run: that of the run, and their place in it."""
    runs = [name for one in jointings for name in one.names]
    return [
        [f"{name}.{k + 1}" for k in range(len(own))]
        for name, own in zip(runs, made.cuts, strict=True)
    ]


def _shares(
    needs: Sequence[Need], jointings: Sequence[Jointing], saw: Saw, made: Jointed, out: Sawn
) -> Iterator[BoardShare]:
    """What each need gets of the sticks."""
    met, cuts = iter(jointings), iter(made.cuts)
    leads = _leads(needs, out.beside)
    for need in needs:
        jointing = None if isinstance(need.wanted, Lengths) else next(met)
        runs = () if jointing is None else jointing.names
        yield BoardShare(
            jointing=jointing,
            cuts=tuple(next(cuts) for _ in runs),
            sticks=out.of_piece,
            beside=out.beside,
            leads=leads,
            kerf=saw.kerf,
        )


def _leads(needs: Sequence[Need], beside: Mapping[str, Sequence[str]]) -> dict[str, str]:
    """The surface of the piece beside which each further rip of a board is made."""
    surfaces = {need.task.at: need.task.surface.id for need in needs}
    return {
        second: surfaces[".".join(first.split(".")[:2])]
        for first, seconds in beside.items()
        for second in seconds
    }


def supplied(
    plan: BoardPlan,
    needs: Sequence[Need],
    made: Supplied,
    ledger: Ledger,
    settings: SearchSettings,
    said: Remarks,
) -> None:
    """Sticks, order, plan, ledger and comparison; the pieces are in the ledger already.

    Where thorough work was asked for also what each rule costs.
    """
    task, saw = plan.task, plan.saw
    board = board_of(task.product)
    made.sticks = plan.sawn.sticks
    say_rips(task.product.id, plan.made, said)
    say_laps(task.product.id, plan.sawn.sticks, said)
    say_parted(task.product.id, plan.parted, said)
    say_raw_ends(task, saw, plan.made.plan.sticks, said)
    taken = saw.rows_taken(plan.made, task)
    made.order, extra = order_of(task, taken, said)
    made.owned = owned_of(task, taken)
    made.plans = (plan_row(task, _planned(plan), saw.objective, "boards", made.order, extra),)
    _enter_laps(made, board, ledger)
    close(made, ledger, extra, board.overall)
    total = sum((row.length or 0) * row.bought.buy for row in made.order) + made.owned_length
    made.covers_half_square_ticks = 2 * board.coverage * total
    drawn = sum(need.wanted.drawn for need in needs if not isinstance(need.wanted, Lengths))
    plain = sum(piece.length for piece in saw.fixed)
    flat = flat_length(task, Fraction(drawn, 2 * board.coverage) + plain)
    made.compared = (compare(task, made, flat, plan.made, saw.stocks),)
    made.relaxed = tuple(one for jointing in plan.jointings for one in jointing.relaxed)
    if settings.certificate and not settings.trial:
        made.certificates = (_certificate(plan, needs, made, settings),)
    if plan.choices:
        made.choices = choice_rows(task, plan.made, plan.choices, saw)
    if settings.effort == "thorough":
        made.rule_costs = rule_costs(task, plan.jointings, saw, plan.made, said)


def _enter_laps(made: Supplied, board: Board, ledger: Ledger) -> None:
    """What pieces that share slanted cuts overlap is cut away of neither: face and tongue (4.5)."""
    laps = 2 * sum(lap for stick in made.sticks for lap in stick.laps)
    ledger.enter("mitre", -laps * board.coverage)
    ledger.enter("lap_or_tongue", -laps * (board.overall - board.coverage))


def _planned(plan: BoardPlan) -> Planned:
    found = plan.made.plan
    rests = 0 if plan.saw.rests is None else plan.saw.spent(plan.made) - found.cost
    runs, joints, sticks = len(plan.made.cuts), plan.made.joints, plan.saw.bought(plan.made)
    return Planned(found.cost, found.bound, found.work, sticks, rests, joints, runs)


def _certificate(
    plan: BoardPlan, needs: Sequence[Need], made: Supplied, settings: SearchSettings
) -> CertificateRow:
    covered = covered_by(plan.task, needs, plan.jointings)
    return certificate_row(
        covered, plan.saw, made.plans[0], _effort(settings), parted=plan.parted > 0
    )
