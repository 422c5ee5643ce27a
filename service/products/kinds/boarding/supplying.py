"""Stock for all layers of one board: joints and sticks, with the reason where it cannot be."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final

from service.cutting.records import Stock
from service.cutting.solve import EFFORTS, Effort
from service.errors import Cure, Fault, TradeRefused
from service.joints.records import Blocked, Jointed, JointRules, JointRun, Places
from service.joints.sharing import place_and_share
from service.joints.solve import Pool, place_joints
from service.products.kind import LaidLayer, Said, Settings, Supplied
from service.products.kinds.boarding.easing import (
    LOWEST,
    Easing,
    blocked_refusal,
    easings,
    keep_said,
    together,
)
from service.products.kinds.boarding.placing import placed
from service.products.kinds.boarding.pooling import (
    Bans,
    bans_of,
    joint_rules,
    joint_runs,
    places_of,
    sawn_from,
)
from service.products.stock import Objective, stock_short, stocks_of


@dataclass(frozen=True, slots=True)
class Setting:
    """How one layer is jointed: its rules, bans and end bearing; easings already applied."""

    layer: LaidLayer
    rules: JointRules
    bans: Bans
    end_bearing: int

    def runs(self, stack: int, stocks: Sequence[Stock]) -> list[JointRun]:
        """The layer's runs for the solver."""
        return joint_runs(stack, self.layer, self.rules, self.bans, self.end_bearing, stocks)

    def eased(self, easing: Easing) -> Setting:
        """This setting with an easing applied."""
        return replace(
            self,
            rules=easing.rules or self.rules,
            bans=easing.bans,
            end_bearing=self.end_bearing if easing.end_bearing is None else easing.end_bearing,
        )


def supply(layers: Sequence[LaidLayer], settings: Settings, said: Said) -> Supplied:
    """Pieces, sticks, order and ledger of one board; raises TradeRefused where rules block it."""
    first = layers[0].task
    end_matched = first.product.ends == "end_matched"
    trim_default = "end_trim_end_matched" if end_matched else "end_trim_square"
    kerf, trim = first.rules.get("kerf"), first.rules.get("end_trim", trim_default)
    stocks, objective = stocks_of(first.product, trim, settings)
    if not stocks:
        raise TradeRefused(
            Fault(
                "stock-too-short",
                "no stock length is left after its end trims",
                f"{first.product_pointer}/stock",
                rule="8.1",
            )
        )
    asked = [_setting(layer) for layer in layers]
    solved, chosen, eased = _solve(asked, stocks, kerf, objective, settings, said)
    keep_said(eased, said)
    made = placed(chosen, solved, stocks, kerf, objective, said)
    made.relaxed = tuple(relaxed for one in eased for relaxed in one.relaxed)
    return made


def _setting(layer: LaidLayer) -> Setting:
    task = layer.task
    places = places_of(task, layer.detail)
    _check_places(layer, places)
    return Setting(
        layer,
        joint_rules(task, layer.detail, places),
        bans_of(task),
        task.rules.get("end_bearing"),
    )


@dataclass(frozen=True, slots=True)
class Misplaced:
    """Joint places that cannot be: when, and what the refusal says and cures it with."""

    code: str
    holds: Callable[[LaidLayer, Places], bool]
    text: str
    cure: str
    rule: str


ON_MEMBERS = (Places.FRAMING, Places.FRAMING_OR_BLOCK)

MISPLACED: Final = (
    Misplaced(
        "no-sheathing",
        lambda layer, places: places is Places.SHEATHING and layer.task.backing is None,
        "joints on sheathing need a `backing` behind the boards",
        "framing",
        "6.2",
    ),
    Misplaced(
        "floating-needs-end-matched",
        lambda layer, places: places is Places.FLOATING and not layer.detail.board.end_matched,
        "joints may float only where end-matched boards hold each other",
        "framing",
        "6.2",
    ),
    Misplaced(
        "end-matched-on-framing",
        lambda layer, places: places in ON_MEMBERS and layer.detail.board.end_matched,
        "the joints of end-matched boards fall where the stock lengths put them, not on members",
        "floating",
        "7.2",
    ),
    Misplaced(
        "no-member-crossed",
        lambda layer, places: (
            places in (*ON_MEMBERS, Places.FLOATING) and layer.detail.along_framing
        ),
        "the boards cross no member, so no joint can be on one",
        "sheathing",
        "6.2",
    ),
)
"""Joint places that nothing behind the boards, or nothing in the boards, can carry."""


def _check_places(layer: LaidLayer, places: Places) -> None:
    """Refuse joint places that cannot be."""
    at = f"{layer.task.pointer}/joints"
    for one in MISPLACED:
        if one.holds(layer, places):
            cure = Cure(at, one.cure)
            raise TradeRefused(Fault(one.code, one.text, at, cure=cure, rule=one.rule))


def _solve(
    asked: list[Setting],
    stocks: tuple[Stock, ...],
    kerf: int,
    objective: Objective,
    settings: Settings,
    said: Said,
) -> tuple[Jointed, list[Setting], list[Easing]]:
    """Solve; where a layer is blocked, ease one rule of it if that is allowed, and solve again."""
    chosen = list(asked)
    eased: list[Easing] = []
    for _ in range(len(asked) * 3 + 1):
        solved = _attempt(chosen, stocks, kerf, objective, EFFORTS[settings.effort])
        if isinstance(solved, Jointed):
            solved = _without_leftovers(
                chosen, stocks, kerf, objective, solved, EFFORTS[settings.effort]
            )
            return solved, chosen, eased
        if solved is None:
            raise _short(chosen, stocks, kerf, objective)
        easing = _eased(chosen[solved.stack], stocks, kerf)
        if settings.relax and (easing is None or easing.rules is None):
            easing = _eased_together(chosen[solved.stack], stocks, kerf) or easing
        if easing is None or not (easing.soft or settings.relax) or easing.rules is None:
            raise blocked_refusal(chosen[solved.stack].layer, solved, easing)
        chosen[solved.stack] = chosen[solved.stack].eased(easing)
        eased.append(easing)
    raise blocked_refusal(asked[0].layer, Blocked(0, 0, proved=False), None)


def _multiples(layer: LaidLayer, stocks: tuple[Stock, ...]) -> list[int]:
    """In what multiple each stock is sold."""
    return [layer.task.product.stock[int(stock.key)].multiple or 1 for stock in stocks]


def _without_leftovers(
    chosen: list[Setting],
    stocks: tuple[Stock, ...],
    kerf: int,
    objective: Objective,
    solved: Jointed,
    effort: Effort,
) -> Jointed:
    """Solve again without a length whose multiple leaves sticks over, if that buys less (8.9)."""
    multiples = _multiples(chosen[0].layer, stocks)

    def counts(made: Jointed) -> list[int]:
        return [sum(s.stock == k for s in made.plan.sticks) for k in range(len(stocks))]

    def buys(made: Jointed) -> int:
        pairs = zip(counts(made), multiples, stocks, strict=True)
        return sum(-(-count // many) * many * stock.cost for count, many, stock in pairs)

    best = solved
    for k, count in enumerate(counts(solved)):
        if count % multiples[k] == 0 or len(stocks) == 1:
            continue
        limited = tuple(replace(s, supply=0) if j == k else s for j, s in enumerate(stocks))
        kept = _without_empty(limited)
        if not kept:
            continue
        made = _pooled(chosen, kept, kerf, effort, objective.joint_cost)
        if isinstance(made, Jointed):
            renumbered = _renumbered(made, limited)
            bound = min(best.plan.bound, renumbered.plan.cost)
            trial = replace(renumbered, plan=replace(renumbered.plan, bound=bound))
            best = min(best, trial, key=buys)
    return best


def _eased(setting: Setting, stocks: tuple[Stock, ...], kerf: int) -> Easing | None:
    """The first single easing of a layer's rules that lets it be laid."""

    def frees(easing: Easing) -> bool:
        return _frees(easing, setting, stocks, kerf)

    found = easings(setting.layer, setting.rules, setting.bans, stocks, frees)
    return next((easing for easing in found if frees(easing)), None)


def _frees(easing: Easing, setting: Setting, stocks: tuple[Stock, ...], kerf: int) -> bool:
    """Whether a layer can be laid with an easing, if stock does not run short."""
    pool = easing.stocks or stocks
    trial = setting.eased(easing)
    free = tuple(replace(stock, supply=None) for stock in pool)
    tried = Pool(tuple(trial.runs(0, pool)), (trial.rules,), free, kerf)
    return isinstance(place_joints(tried, EFFORTS["quick"]), Jointed)


def _eased_together(setting: Setting, stocks: tuple[Stock, ...], kerf: int) -> Easing | None:
    """Several rules lowered at once, as few as will do; None if even all of them do not.

    The bans near openings are kept if they can be.
    """
    if setting.rules.places is Places.NONE:
        return None
    for near_holes in (False, True):

        def lowered(keys: list[str], near_holes: bool = near_holes) -> Easing:
            return together(setting.layer, setting.rules, setting.bans, keys, near_holes=near_holes)

        keys = list(LOWEST)
        if not _frees(lowered(keys), setting, stocks, kerf):
            continue
        for key in LOWEST:
            fewer = [other for other in keys if other != key]
            if _frees(lowered(fewer), setting, stocks, kerf):
                keys = fewer
        return lowered(keys)
    return None


def _attempt(
    chosen: list[Setting],
    stocks: tuple[Stock, ...],
    kerf: int,
    objective: Objective,
    effort: Effort,
) -> Jointed | Blocked | None:
    if objective.name == "fewest_lengths":
        return _fewest_lengths(chosen, stocks, kerf, effort)
    return _pooled(chosen, stocks, kerf, effort, objective.joint_cost)


def _pooled(
    chosen: list[Setting], stocks: tuple[Stock, ...], kerf: int, effort: Effort, joint_cost: int
) -> Jointed | Blocked | None:
    runs = tuple(run for k, one in enumerate(chosen) for run in one.runs(k, stocks))
    rules = tuple(one.rules for one in chosen)
    board = sawn_from(chosen[0].layer.detail.board, kerf)
    return place_and_share(Pool(runs, rules, stocks, kerf, joint_cost, board=board), effort)


def _fewest_lengths(
    chosen: list[Setting], stocks: tuple[Stock, ...], kerf: int, effort: Effort
) -> Jointed | Blocked | None:
    """The cheapest plan from as few different lengths as can be."""
    last: Jointed | Blocked | None = None
    for count in range(1, len(stocks) + 1):
        found = []
        for some in combinations(range(len(stocks)), count):
            limited = tuple(
                stock if k in some else replace(stock, supply=0) for k, stock in enumerate(stocks)
            )
            last = _pooled(chosen, _without_empty(limited), kerf, effort, 0)
            if isinstance(last, Jointed):
                found.append(_renumbered(last, limited))
        if found:
            return min(found, key=lambda made: made.plan.cost)
    return last


def _without_empty(stocks: tuple[Stock, ...]) -> tuple[Stock, ...]:
    return tuple(stock for stock in stocks if stock.supply != 0)


def _renumbered(made: Jointed, limited: tuple[Stock, ...]) -> Jointed:
    """Stock numbers of the full list again."""
    kept = [k for k, stock in enumerate(limited) if stock.supply != 0]
    sticks = tuple(replace(stick, stock=kept[stick.stock]) for stick in made.plan.sticks)
    return replace(made, plan=replace(made.plan, sticks=sticks))


def _short(
    chosen: list[Setting], stocks: tuple[Stock, ...], kerf: int, objective: Objective
) -> TradeRefused:
    """The boards at hand do not reach: how many of which length would."""

    def needed(number: int) -> int | None:
        free = tuple(replace(s, supply=None) if k == number else s for k, s in enumerate(stocks))
        made = _pooled(chosen, free, kerf, EFFORTS["quick"], objective.joint_cost)
        if not isinstance(made, Jointed):
            return None
        return sum(stick.stock == number for stick in made.plan.sticks)

    return stock_short(chosen[0].layer.task, stocks, "boards", needed)
