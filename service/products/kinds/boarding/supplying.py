"""Stock for all layers of one board: joints and sticks, with the reason where it cannot be."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace
from itertools import chain

from service.cutting.offcuts import RestValue
from service.cutting.solve import EFFORTS
from service.errors import Cure, Fault, TradeRefused
from service.joints.records import Blocked, Jointed, Places
from service.joints.solve import Pool, place_joints
from service.products.kind import LaidLayer, Said, Settings, Supplied
from service.products.kinds.boarding.bans import Bans, bans_of
from service.products.kinds.boarding.easing import (
    LOWEST,
    Easing,
    blocked_refusal,
    easings,
    together,
)
from service.products.kinds.boarding.joint_places import check_places
from service.products.kinds.boarding.lifting import lifted, widening
from service.products.kinds.boarding.placing import placed
from service.products.kinds.boarding.pooling import joint_rules, places_of
from service.products.kinds.boarding.rule_costs import rule_costs
from service.products.kinds.boarding.shortage import reaching
from service.products.kinds.boarding.solving import Saw, Setting, solved, without_leftovers
from service.products.stock import Objective, stocks_of
from service.units.ticks import FOOT, MM


def supply(layers: Sequence[LaidLayer], settings: Settings, said: Said) -> Supplied:
    """Pieces, sticks, order and ledger of one board; raises TradeRefused where rules block it."""
    saw = _saw(layers[0], settings)
    chosen, made, eased = _solve([_setting(layer) for layer in layers], saw, settings)
    supplied = placed(chosen, _by_method(layers[0], made, settings), saw, said)
    supplied.relaxed = tuple(relaxed for one in eased for relaxed in one.relaxed)
    if settings.effort == "thorough":
        supplied.rule_costs = rule_costs(chosen, saw, made, said)
    return supplied


def _saw(layer: LaidLayer, settings: Settings) -> Saw:
    """What the boards are cut from; refused where no stock is left after its end trims."""
    task = layer.task
    end_matched = task.product.ends == "end_matched"
    trim_default = "end_trim_end_matched" if end_matched else "end_trim_square"
    kerf, trim = task.rules.get("kerf"), task.rules.get("end_trim", trim_default)
    stocks, objective = stocks_of(task, trim, settings)
    if not stocks:
        raise TradeRefused(
            Fault(
                "stock-too-short",
                "no stock length is left after its end trims",
                f"{task.product_pointer}/stock",
                rule="8.1",
            )
        )
    rests = _rests(layer, objective)
    if rests is not None:
        # Values of rests are rounded down in the unit of costs, so that must be fine enough.
        stocks = tuple(replace(stock, cost=100 * stock.cost) for stock in stocks)
        objective = replace(objective, per=100 * objective.per)
    return Saw(stocks, kerf, objective, rests)


def _rests(layer: LaidLayer, objective: Objective) -> RestValue | None:
    """What kept rests count for; refused where there is no price to count them at.

    End-matched boards have none: a rest has lost one of its ends.
    """
    task = layer.task
    percent = task.rules.get("offcut_value")
    if not percent or task.product.ends == "end_matched":
        return None
    if objective.name != "least_cost":
        at = f"{task.pointer}/rules/offcut_value"
        text = "rests can only be valued where the job is solved for least_cost"
        raise TradeRefused(Fault("rests-need-prices", text, at, cure=Cure(at, 0), rule="8.8"))
    step = FOOT if task.unit in ("in", "ft") else 300 * MM
    return RestValue(percent, step, task.rules.get("keep_offcut"))


def _setting(layer: LaidLayer) -> Setting:
    task = layer.task
    places = places_of(task, layer.detail)
    check_places(layer, places)
    return Setting(
        layer,
        joint_rules(task, layer.detail, places),
        bans_of(task, layer.detail),
        task.rules.get("end_bearing"),
    )


def _by_method(layer: LaidLayer, made: Jointed, settings: Settings) -> Jointed:
    """The best that was found, or the layout cut as you go where that is asked for (8.10)."""
    if settings.method != "as_you_go":
        return made
    if made.as_you_go is None:
        raise TradeRefused(
            Fault(
                "not-as-you-go",
                f"the boards of {layer.task.product.id} cannot be cut as you go: that takes one "
                "stock length without a limit from which every run can be made in order, and "
                "ends that need no match",
                "/method",
                cure=Cure("/method", "together"),
                rule="8.10",
            )
        )
    return replace(made.as_you_go, as_you_go=made.as_you_go)


def _solve(
    asked: list[Setting], saw: Saw, settings: Settings
) -> tuple[list[Setting], Jointed, list[Easing]]:
    """Solve; where a layer is blocked, ease one rule of it if that is allowed, and solve again."""
    chosen = list(asked)
    eased: list[Easing] = []
    effort = replace(EFFORTS[settings.effort], any_legal=settings.trial)
    for _ in range(len(asked) * 4 + 1):
        made = solved(chosen, saw, effort) or reaching(chosen, saw, effort)
        if isinstance(made, Jointed):
            return chosen, without_leftovers(chosen, saw, made, effort), eased
        setting = chosen[made.stack]
        lower = lifted(setting, saw.stocks)
        if lower is not None:
            chosen[made.stack] = replace(setting, bans=lower)
            continue
        easing = _eased(setting, saw, made.run)
        if settings.relax and (easing is None or easing.rules is None):
            easing = _eased_together(setting, saw, made.run) or easing
        if easing is None or not (easing.soft or settings.relax) or easing.rules is None:
            raise blocked_refusal(setting.layer, made, easing)
        chosen[made.stack] = setting.eased(easing)
        eased.append(easing)
    raise blocked_refusal(asked[0].layer, Blocked(0, 0, proved=False), None)


def _eased(setting: Setting, saw: Saw, near: int) -> Easing | None:
    """The first single easing of a layer's rules that lets it be laid."""

    def frees(easing: Easing) -> bool:
        return _frees(easing, setting, saw)

    found = easings(setting.layer, setting.rules, setting.bans, saw.stocks, near, frees)
    return next((easing for easing in found if frees(easing)), None)


def _frees(easing: Easing, setting: Setting, saw: Saw) -> bool:
    """Whether a layer can be laid with an easing, if stock does not run short."""
    pool = easing.stocks or saw.stocks
    trial = setting.eased(easing)
    free = tuple(replace(stock, supply=None) for stock in pool)
    tried = Pool(tuple(trial.runs(0, pool)), (trial.rules,), free, saw.kerf)
    return isinstance(place_joints(tried, EFFORTS["quick"]), Jointed)


def _eased_together(setting: Setting, saw: Saw, near: int) -> Easing | None:
    """Several rules lowered at once, as few as will do; None if even all of them do not.

    The bans near openings are kept if they can be, and given up no further than they must be.
    """
    if setting.rules.places is Places.NONE:
        return None

    def frees(keys: list[str], bans: Bans) -> bool:
        return _frees(together(setting.layer, setting.rules, bans, keys), setting, saw)

    keys = list(LOWEST)
    tried = [setting.bans, *chain(*widening(setting.bans, setting.layer.detail, near))]
    if not frees(keys, tried[-1]):
        return None
    bans = tried[bisect_left(tried[:-1], True, key=lambda bans: frees(keys, bans))]
    for key in LOWEST:
        fewer = [other for other in keys if other != key]
        if frees(fewer, bans):
            keys = fewer
    return together(setting.layer, setting.rules, bans, keys)
