"""The proof of a bound of boards, asked for with `certificate` (8.8)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import reduce
from math import floor, gcd, lcm

from service.cutting.effort import Effort
from service.cutting.records import Stock
from service.cutting.sticks.bounds import grain_of
from service.joints.certificate import Apart, Prices, ProvedRun, ProvedStock, Question
from service.joints.certified_prices import best_prices
from service.joints.certified_programme import Programmes
from service.joints.certified_sum import caps
from service.joints.records import JointRules, JointRun, Places
from service.joints.uncut import is_single
from service.products.bought_rows import CutPlanRow
from service.products.certificate_rows import (
    CertificateRow,
    ProofRow,
    ProvedRunRow,
    RipShareRow,
    WindowRow,
    WorthRow,
    not_certified,
)
from service.products.costs import certified_words
from service.products.goods.board.board import Board, board_of
from service.products.goods.board.rulings import Task
from service.products.sticks.needs import Jointing
from service.products.sticks.saw import Saw
from service.products.stock import Objective, Trims
from service.units.ticks import ceiling, down, nearest, up

FINEST = 1 << 36
"""Worths of the dearest stick, about: enough that rounding them shows in no cost."""

EACH = 1 << 20
"""Worths of one stick or joint, where these are counted."""


@dataclass(frozen=True, slots=True)
class Covered:
    """Runs of one board, by surface and layer; whether they are courses of it, all of them."""

    task: Task
    layers: tuple[tuple[str, str], ...]
    jointings: tuple[Jointing, ...]
    in_courses: bool


def certificate_row(
    covered: Covered, saw: Saw, row: CutPlanRow, effort: Effort, *, parted: bool
) -> CertificateRow:
    """What of a plan's bound can be checked.

    `parted`: runs are jointed that one board would hold, of which there are too few.
    """
    why_not = _why_not(covered, saw, parted=parted)
    found = None if why_not else _proof(covered, saw, Fraction(row.bound), effort)
    if found is None:
        return not_certified(row, why_not or "no prices were found that prove anything")
    certified = min(found[0], bound := Fraction(row.bound))
    return CertificateRow(
        product=row.product,
        measured_in=row.measured_in,
        bound=row.bound,
        bound_by="proof" if certified == bound else "search",
        certified_bound=_plain(certified),
        why_not=None,
        in_words=certified_words(bound, certified, saw.objective, covered.task.unit, "boards"),
        proof=found[1],
    )


def proved_bound(
    covered: Covered, saw: Saw, cost: int, effort: Effort, *, parted: bool
) -> int | None:
    """What prices prove that no plan costs less than, in the unit of a plan's `cost`.

    None where they prove nothing.
    """
    objective = saw.objective
    if _why_not(covered, saw, parted=parted):
        return None
    unit = Fraction(1, objective.per) if objective.measured_in == "money" else objective.per
    found = _proof(covered, saw, Fraction(cost) * unit, effort)
    return None if found is None else floor(found[0] / unit)


def _plain(value: Fraction) -> int | str:
    return int(value) if value.denominator == 1 else str(float(value))


def _why_not(covered: Covered, saw: Saw, *, parted: bool) -> str | None:
    if saw.objective.name == "fewest_lengths":
        return "with the fewest lengths in mind no prices hold for all of them"
    if saw.rests is not None:
        return "kept offcuts count for something, and that is no price of a piece"
    if saw.fixed or not covered.in_courses:
        return "other pieces than courses are cut from the same boards"
    if parted:
        return "runs are jointed that one board would hold, of which there are too few"
    return None


def _proof(
    covered: Covered, saw: Saw, bound: Fraction, effort: Effort
) -> tuple[Fraction, ProofRow] | None:
    """What the best prices prove, as the cost is read, and these."""
    per = _per(covered.task, saw.objective)
    asked = _question(covered, saw, per)
    found = best_prices(asked, _in_steps(saw, per, effort), ceiling(bound * per))
    if found is None:
        return None
    least, prices = found
    certified = _attainable(asked, saw.objective, Fraction(least, per), per)
    return certified, _proof_row(asked, covered, prices, per)


def _per(task: Task, objective: Objective) -> int:
    """Worths in one of what a cost is measured in; in a tick of length."""
    if objective.measured_in == "length":
        return 1
    if objective.measured_in != "money":
        return EACH
    dearest = max(row.price or 0 for row in task.product.stock)
    return max(1, FINEST // max(1, ceiling(Fraction(dearest))))


def _in_steps(saw: Saw, per: int, effort: Effort) -> Programmes:
    """Stocks and joint cost as programmes have them, and the worth of a step of cost."""
    objective = saw.objective
    if objective.measured_in in ("money", "length"):
        step = grain_of(saw.stocks, objective.joint_cost)
        stocks = tuple(replace(one, cost=one.cost // step, turned=True) for one in saw.stocks)
        money = objective.measured_in == "money"
        worth = Fraction(per * step, objective.per) if money else Fraction(step * objective.per)
        return Programmes(stocks, objective.joint_cost // step, worth, effort.rounds)
    counts = objective.measured_in != "joints"
    stocks = tuple(
        replace(one, cost=int(counts and not one.owned), turned=True) for one in saw.stocks
    )
    return Programmes(stocks, int(not counts), Fraction(per), effort.rounds)


def _cost(objective: Objective, price: Fraction | None, length: int, per: int) -> Fraction:
    """What one bought stick costs, in worths."""
    if objective.measured_in == "money":
        return Fraction(price or 0) * per
    return Fraction({"length": length, "joints": 0}.get(objective.measured_in, per))


def _question(covered: Covered, saw: Saw, per: int) -> Question:
    task = covered.task
    trims, board = task.rules.trims(task.product), board_of(task.product)
    return Question(
        runs=tuple(_runs(covered.jointings, saw, board)),
        layers=tuple(
            Apart(one.rules.min_piece, one.rules.stagger, one.rules.repeat, one.rules.cut_to)
            for one in covered.jointings
        ),
        stocks=tuple(_stocks(task, saw.objective, trims, per)),
        kerf=saw.kerf,
        joint=floor(_price_of_a_joint(saw.objective) * per),
        spared=(trims.joint != trims.wall, trims.spares_joints),
        face=board.coverage,
        board=None if saw.board is None else saw.board.width,
    )


def _stocks(task: Task, objective: Objective, trims: Trims, per: int) -> Iterator[ProvedStock]:
    """Each row of the product's stock, and of what is owned."""
    for row in (*task.product.stock, *(task.product.owned or ())):
        stock = trims.trimmed(Stock("", row.length, row.length, 0), row.raw)
        cost = Fraction(0)
        if not row.is_owned:
            cost = _cost(objective, row.price, row.length, per)
        yield ProvedStock(stock.usable, stock.spare, cost, row.on_hand, row.is_owned)


def _runs(jointings: Sequence[Jointing], saw: Saw, board: Board) -> Iterator[ProvedRun]:
    for number, one in enumerate(jointings):
        for run in one.runs(number, saw.stocks):
            yield _run(number, one.rules, run, saw, board)


def _run(number: int, rules: JointRules, run: JointRun, saw: Saw, board: Board) -> ProvedRun:
    """A run as far in as its pieces may be cut.

    They are rounded, a step shorter where the gap gives, and by what a slanted cut that is shared
    in the stick saves (0.2, 4.5).
    """
    step = rules.cut_to
    low = up(run.low + run.mitres[0], step) + step * run.gives[0]
    high = down(run.high - run.mitres[1], step) - step * run.gives[1]
    if low > high:
        low = high = run.low
    stations: tuple[int, ...] | None = None
    if rules.places is Places.NONE or is_single(run, rules, saw.stocks):
        stations = ()
    elif rules.places is Places.FRAMING:
        nearby = {nearest(at, step) for at in run.line.stations}
        stations = tuple(sorted(at for at in nearby if low < at < high))
    width = board.coverage
    if run.strip is not None:
        width = run.strip.width - (board.lap if run.strip.high_edge else 0)
    return ProvedRun(number, run.course, low, high, stations, width, run.high - run.low)


def _attainable(asked: Question, objective: Objective, least: Fraction, per: int) -> Fraction:
    """The lowest sum of sticks and joints that is no less, as it is read."""
    costs = [Fraction(one.cost) / per for one in asked.stocks if not one.owned]
    costs.append(_price_of_a_joint(objective))
    scale = reduce(lcm, (cost.denominator for cost in costs), 1)
    step = Fraction(reduce(gcd, (int(cost * scale) for cost in costs), 0), scale)
    return max(Fraction(0), ceiling(least / step) * step) if step else Fraction(0)


def _price_of_a_joint(objective: Objective) -> Fraction:
    """What a joint costs, as it is read; lengths in ticks."""
    if objective.measured_in == "money":
        return Fraction(objective.joint_cost, objective.per)
    if objective.measured_in == "length":
        return Fraction(objective.joint_cost * objective.per)
    return Fraction(objective.measured_in == "joints")


# --- as it is answered --------------------------------------------------------------------------


def _proof_row(asked: Question, covered: Covered, prices: Prices, per: int) -> ProofRow:
    layers = covered.layers
    over = caps(asked, prices) or [0] * len(asked.stocks)
    return ProofRow(
        grid=prices.grid,
        per=per,
        joint=asked.joint,
        worths=tuple(
            WorthRow(ends=ends, cells=steps.starts, worths=steps.worths)
            for ends, steps in prices.worths.items()
            if steps.starts
        ),
        widths=tuple(
            RipShareRow(width=width, share=share)
            for width, share in zip(prices.widths.starts, prices.widths.worths, strict=True)
        ),
        windows=tuple(
            WindowRow(surface=layers[one.layer][0], layer=layers[one.layer][1],
                      low=one.low, high=one.high, price=one.price)
            for one in prices.windows
        ),
        caps=tuple(over),
        runs=tuple(_alike(asked.runs, [name for one in covered.jointings for name in one.names])),
    )  # fmt: skip


def _alike(runs: Sequence[ProvedRun], names: Iterable[str]) -> Iterator[ProvedRunRow]:
    """Runs of one extent and the same stations in one row, in their order."""
    found: dict[ProvedRun, list[str]] = defaultdict(list)
    for run, name in zip(runs, names, strict=True):
        found[replace(run, course=0, width=0, long=0)].append(name)
    for run, own in found.items():
        yield ProvedRunRow(
            runs=tuple(own),
            low=run.low,
            high=run.high,
            anywhere=run.stations is None,
            stations=run.stations or (),
        )
