"""When no joints can be placed: which single change of the rules or the stock would free them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from service.cutting.records import Stock
from service.errors import Cure, Fault, JsonValue, Relaxed, Ticks, TradeRefused
from service.joints.records import Blocked, JointRules, LooseRule, Places
from service.products.kinds.boarding.joining.bans import Bans, Key
from service.products.kinds.boarding.joining.lifting import widening
from service.products.kinds.boarding.records import LaidBoards
from service.units.ticks import FOOT, INCH, down
from service.units.writing import both

LONGEST_STOCK = 40 * FOOT
RULE_OF: Mapping[LooseRule, str] = {
    "stagger": "6.5",
    "repeat": "6.5",
    "min_bearings": "6.3",
    "min_piece": "6.3",
}


@dataclass(frozen=True, slots=True)
class Easing:
    """One change that may free a layer: rules or bans (`soft` ones need no leave), or stock."""

    text: str
    cure: Cure
    rules: JointRules | None
    bans: Bans
    soft: bool = False
    stocks: tuple[Stock, ...] | None = None
    relaxed: tuple[Relaxed, ...] = ()
    end_bearing: int | None = None


def easings(
    layer: LaidBoards,
    rules: JointRules,
    bans: Bans,
    stocks: Sequence[Stock],
    near: int,
    frees: Callable[[Easing], bool],
) -> Iterator[Easing]:
    """Changes to try where the search stopped at run `near`, the gentlest first."""
    yield from _bearing(layer, rules, bans)
    yield from _bans(layer, rules, bans, near, frees)
    yield from _panels(layer, rules, bans)
    if rules.places is not Places.NONE:
        yield from _rules(layer, rules, bans, frees)
    yield from _more_stock(layer, bans, stocks)
    if rules.places is Places.NONE:
        carried = "framing_or_block" if layer.detail.on_rows else "framing"
        cure = Cure(f"{layer.task.pointer}/joints", carried)
        yield Easing("joints on framing", cure, replace(rules, places=Places.FRAMING), bans)


def _bearing(layer: LaidBoards, rules: JointRules, bans: Bans) -> Iterator[Easing]:
    """Members too thin for two ends: let each end bear on its half (6.2)."""
    half = layer.detail.lines[1].seated
    asked = layer.task.rules.end_bearing
    if rules.places is Places.FRAMING and 0 < half < asked:
        relaxed = Relaxed("6.2", "end_bearing", Ticks(asked), Ticks(half), (layer.task.at,))
        yield Easing(
            f"end bearing of {both(half)}, half a member,",
            Cure(f"{layer.task.pointer}/rules/end_bearing", Ticks(half)),
            rules,
            bans,
            relaxed=(relaxed,),
            end_bearing=half,
        )


def _bans(
    layer: LaidBoards, rules: JointRules, bans: Bans, near: int, frees: Callable[[Easing], bool]
) -> Iterator[Easing]:
    """Soft bans given up around the run where the search stopped, no further than they must be."""

    def easing(lower: Bans) -> Easing:
        cure = Cure(f"{layer.task.pointer}/rules/joint_from_hole", 0)
        return Easing("joints nearer to the openings", cure, rules, lower, soft=True)

    for wider in widening(bans, layer.detail, near):
        tried = [easing(lower) for lower in wider]
        if tried and frees(tried[-1]):
            yield tried[bisect_left(tried[:-1], True, key=frees)]


def _panels(layer: LaidBoards, rules: JointRules, bans: Bans) -> Iterator[Easing]:
    """Joints may come as near to panel joints as they must (6.5)."""
    key: Key = "joint_from_panel_joint"
    asked = bans.asked[key]
    if asked:
        task = layer.task
        relaxed = Relaxed("6.5", key, Ticks(asked), Ticks(0), (task.at,))
        yield Easing(
            "joints on the joints of the panels behind",
            Cure(f"{task.pointer}/rules/{key}", 0),
            rules,
            bans.without(key),
            relaxed=(relaxed,),
        )


def _rules(
    layer: LaidBoards, rules: JointRules, bans: Bans, frees: Callable[[Easing], bool]
) -> Iterator[Easing]:
    """Stagger, repeat, bearings and piece length, each lowered by itself as little as will do.

    What a lower value frees, a still lower one frees too, so each is found by halving.
    """
    lower: dict[LooseRule, list[int]] = {
        "stagger": _smaller(rules.stagger, layer),
        "repeat": [0] if rules.repeat else [],
        "min_bearings": list(range(rules.min_bearings - 1, 1, -1)),
        "min_piece": list(range(down(rules.min_piece - 1, 4 * INCH), 12 * INCH - 1, -4 * INCH)),
    }
    for key, values in lower.items():
        tried = [_eased(layer, rules, bans, key, value) for value in values]
        first = bisect_left(tried, True, key=frees)
        yield from tried[first : first + 1]


LOWEST: Mapping[LooseRule, int] = {
    "stagger": 6 * INCH,
    "repeat": 0,
    "min_bearings": 2,
    "min_piece": 12 * INCH,
}
"""How far each rule may be lowered where several must be lowered together."""


def together(layer: LaidBoards, rules: JointRules, bans: Bans, keys: Sequence[LooseRule]) -> Easing:
    """The rules of `keys` lowered all at once, for a caller who relaxes."""
    eased = rules
    relaxed: list[Relaxed] = []
    for key in keys:
        if LOWEST[key] < rules.asked(key):
            one = _eased(layer, eased, bans, key, LOWEST[key])
            eased = one.rules or eased
            relaxed += one.relaxed
    cure = Cure(f"{layer.task.pointer}/rules/stagger", Ticks(LOWEST["stagger"]))
    text = "several rules lowered together"
    return Easing(text, cure, eased, bans, relaxed=tuple(relaxed))


def _smaller(stagger: int, layer: LaidBoards) -> list[int]:
    """Distances that members allow under the stagger asked for, the largest first, to 6 in."""
    line = layer.detail.lines[1].stations
    apart = {b - a for a, b in pairwise(line)}
    steps = {k * step for step in apart for k in range(1, stagger // step + 1)}
    wished = sorted({*steps, 24 * INCH, 6 * INCH}, reverse=True)
    return [at for at in wished if at < stagger]


def _eased(layer: LaidBoards, rules: JointRules, bans: Bans, key: LooseRule, used: int) -> Easing:
    """One rule of the layer lowered to `used`."""
    task = layer.task
    asked = rules.asked(key)
    count = key == "min_bearings"
    text = f"{key.replace('_', ' ')} of {used if count else both(used)}"
    was: JsonValue = asked if count else Ticks(asked)
    now: JsonValue = used if count else Ticks(used)
    return Easing(
        text,
        Cure(f"{task.pointer}/rules/{key}", now),
        rules.lowered(key, used),
        bans,
        relaxed=(Relaxed(RULE_OF[key], key, was, now, (task.at,)),),
    )


def _more_stock(layer: LaidBoards, bans: Bans, stocks: Sequence[Stock]) -> Iterator[Easing]:
    """One further stock length, in steps of 2 ft."""
    trims = layer.task.rules.trims(layer.task.product)
    have = {stock.length for stock in stocks}
    task = layer.task
    step = 2 * FOOT
    first = (max(have) // step + 1) * step
    for length in range(first, LONGEST_STOCK + 1, step):
        dear = max(stock.cost for stock in stocks) * 2
        added = trims.trimmed(Stock("added", length, length, dear))
        cure = Cure(f"{task.product_pointer}/stock/-", {"length": f"{length // FOOT} ft"})
        yield Easing(f"stock {length // FOOT} ft long", cure, None, bans, stocks=(*stocks, added))


def blocked_refusal(layer: LaidBoards, blocked: Blocked, easing: Easing | None) -> TradeRefused:
    """No legal joints: which layer, whether that is proved, and the change that frees it."""
    task = layer.task
    sure = "no layout exists" if blocked.proved else "no layout was found"
    if easing is None:
        return TradeRefused(
            Fault(
                "joints-blocked",
                f"{sure} that keeps the joint rules, and no single change of "
                "a rule or a stock length frees it",
                task.pointer,
                rule="6.8",
            )
        )
    return TradeRefused(
        Fault(
            "joints-blocked",
            f"{sure} that keeps the joint rules with this stock; {easing.text} would free it",
            task.pointer,
            cure=easing.cure,
            rule="6.8",
        )
    )
