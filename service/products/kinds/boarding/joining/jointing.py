"""How one layer is jointed, and what may give way where its runs cannot be."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain

from service.cutting.effort import TRIAL
from service.cutting.records import Stock
from service.errors import JsonValue, Relaxed, Ticks, TradeRefused
from service.joints.job import Pool
from service.joints.records import Blocked, Jointed, JointRules, JointRun, LooseRule, Places
from service.joints.solve import place_joints
from service.products.goods.board import FORM as BOARD
from service.products.goods.board.needs import Need
from service.products.goods.lumber.needs import Need as LumberNeed
from service.products.kinds.boarding.joining.bans import SOFT, Bans, Key, bans_of
from service.products.kinds.boarding.joining.joint_places import check_places
from service.products.kinds.boarding.joining.joint_runs import (
    joint_rules,
    joint_runs,
    most_joints,
    places_of,
)
from service.products.kinds.boarding.joining.lifting import lifted, widening
from service.products.kinds.boarding.joining.relaxations import (
    LOWEST,
    RULE_OF,
    Easing,
    blocked_refusal,
    easings,
    together,
)
from service.products.kinds.boarding.records import LaidBoards
from service.products.kinds.boarding.starter import starter_of
from service.products.laths import need_of
from service.products.sticks.needs import Lowering

ANY_JOINTS = 1_000
MORE_JOINTS = (1, 2, 4, ANY_JOINTS)
"""How many joints beyond the most a run is given in turn where it cannot be laid with those."""

BANS: dict[Key, str] = {
    "joint_from_hole": "5.5",
    "joint_beside_hole": "5.5",
    "joint_from_panel_joint": "6.5",
}
"""The bans on joints, with their rules."""


def needs(layer: LaidBoards) -> tuple[Need | LumberNeed, ...]:
    """The runs of a layer, to be jointed, and its starter strip.

    Raises TradeRefused where joints cannot be as asked.
    """
    task = layer.task
    places = places_of(task, layer.detail)
    check_places(layer, places)
    setting = Setting(
        layer,
        joint_rules(task, layer.detail, places),
        bans_of(task, layer.detail),
        task.rules.end_bearing,
    )
    starter = starter_of(layer)
    strip = () if starter is None else (need_of(starter.task, starter.laths),)
    return (BOARD.need(task, setting), *strip)


@dataclass(frozen=True, slots=True)
class Setting:
    """How one layer is jointed: its rules, bans and end bearing, easings applied.

    `relaxed` are those easings that the caller allowed.
    """

    layer: LaidBoards
    rules: JointRules
    bans: Bans
    end_bearing: int
    relaxed: tuple[Relaxed, ...] = ()
    _known: dict[tuple[int, tuple[Stock, ...], int], tuple[JointRun, ...]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )
    """Its runs, for they are asked for more than once."""

    @property
    def lifted(self) -> bool:
        """Whether its runs may have more joints than are asked for at most (6.3)."""
        return self.rules.extra > 0

    def with_any_joints(self) -> Setting:
        """With as many joints in a run as it takes."""
        most = most_joints(self.layer.task)
        limited = most is not None and any(map(most, self.layer.detail.laid.runs))
        return self._with_extra(ANY_JOINTS) if limited else self

    def _with_extra(self, joints: int) -> Setting:
        return replace(self, rules=replace(self.rules, extra=joints))

    @property
    def drawn(self) -> int:
        """Twice the area of the surface less its openings."""
        return self.layer.task.surface.net

    @property
    def lies_in_courses(self) -> bool:
        """They do."""
        return True

    @property
    def names(self) -> list[str]:
        """The names of the layer's runs."""
        at, runs = self.layer.task.at, self.layer.detail.laid.runs
        return [f"{at}.{run.course}.{run.number}" for run in runs]

    def runs(self, stack: int, stocks: Sequence[Stock], layers: int = 1) -> list[JointRun]:
        """The layer's runs for the solver, which weighs the joints of so many layers together."""
        asked = stack, tuple(stocks), layers
        if asked not in self._known:
            found = joint_runs(
                stack, self.layer, self.rules, self.bans, self.end_bearing, stocks, layers
            )
            self._known[asked] = tuple(found)
        return list(self._known[asked])

    def eased(
        self, blocked: Blocked, stocks: Sequence[Stock], kerf: int, *, relax: bool
    ) -> Setting:
        """With less asked where the search was blocked; TradeRefused where nothing may give way.

        More joints in a run, and bans near holes, give way first and need no leave; a rule only
        where the caller relaxes.
        """
        if not self.lifted and self.with_any_joints() != self:
            more = map(self._with_extra, MORE_JOINTS)
            freed = next((one for one in more if one.can_be_laid(stocks, kerf)), None)
            return freed or self.with_any_joints().eased(blocked, stocks, kerf, relax=relax)
        if relax and self.bans.asked["stagger"]:
            return self._beside_what_is_up()
        free = replace(self, bans=self.bans.without(*SOFT)).runs(0, stocks)
        lower = lifted(self.layer, self.rules, self.bans, free, stocks)
        if lower is not None:
            return replace(self, bans=lower)
        trial = _Trial(self, stocks, kerf, blocked.run)
        easing = trial.first()
        if relax and (easing is None or easing.rules is None):
            easing = trial.together() or easing
        if easing is None or not (easing.soft or relax) or easing.rules is None:
            raise blocked_refusal(self.layer, blocked, easing)
        return self.with_easing(easing)

    def _beside_what_is_up(self) -> Setting:
        """With joints as near to those of boards that are up as they must be (21.4)."""
        asked = Ticks(self.bans.asked["stagger"])
        told = Relaxed("6.5", "stagger", asked, Ticks(0), (self.layer.task.at,))
        bans = self.bans.without("stagger", "repeat")
        return replace(self, bans=bans, relaxed=(*self.relaxed, told))

    def can_be_laid(self, stocks: Sequence[Stock], kerf: int) -> bool:
        """Whether it can be laid alone, if stock does not run short."""
        free = tuple(replace(stock, supply=None) for stock in stocks)
        tried = Pool(tuple(self.runs(0, stocks)), (self.rules,), free, kerf)
        return isinstance(place_joints(tried, TRIAL), Jointed)

    def with_easing(self, easing: Easing) -> Setting:
        """This setting with an easing applied."""
        return replace(
            self,
            rules=easing.rules or self.rules,
            bans=easing.bans,
            end_bearing=self.end_bearing if easing.end_bearing is None else easing.end_bearing,
            relaxed=(*self.relaxed, *easing.relaxed),
        )

    def refused(self) -> TradeRefused:
        """That no layout was found at all."""
        return blocked_refusal(self.layer, Blocked(0, 0, proved=False), None)

    def lowered(self, stocks: Sequence[Stock]) -> Iterator[Lowering]:
        """Each rule of its joints alone lowered as far as a caller may relax it."""
        for key, least in LOWEST.items():
            yield from self._rule(key, least)
        for ban, rule in BANS.items():
            yield from self._ban(ban, rule, stocks)
        if self.rules.places is Places.FRAMING and not self.layer.detail.on_rows:
            rules = replace(self.rules, places=Places.FRAMING_OR_BLOCK)
            freed = replace(self, rules=rules)
            yield Lowering("6.2", "joints", "framing", "framing_or_block", freed)

    def _rule(self, key: LooseRule, least: int) -> Iterator[Lowering]:
        """Stagger, repeat, bearings or piece length at the lowest that is ever allowed."""
        asked = self.rules.asked(key)
        if asked <= least:
            return
        count = key == "min_bearings"
        was: JsonValue = asked if count else Ticks(asked)
        now: JsonValue = least if count else Ticks(least)
        freed = replace(self, rules=self.rules.lowered(key, least))
        yield Lowering(RULE_OF[key], key, was, now, freed)

    def _ban(self, key: Key, rule: str, stocks: Sequence[Stock]) -> Iterator[Lowering]:
        """A ban near openings or panel joints given up, where it shuts out any station."""
        asked = self.bans.asked[key]
        freed = replace(self, bans=self.bans.without(key))
        if asked and freed.runs(0, stocks) != self.runs(0, stocks):
            yield Lowering(rule, key, Ticks(asked), Ticks(0), freed)


@dataclass(frozen=True, slots=True)
class _Trial:
    """Easings of one setting tried by themselves, around the run where the search stopped."""

    setting: Setting
    stocks: Sequence[Stock]
    kerf: int
    near: int

    def first(self) -> Easing | None:
        """The first single easing that lets the layer be laid."""
        one = self.setting
        found = easings(one.layer, one.rules, one.bans, self.stocks, self.near, self._frees)
        return next((easing for easing in found if self._frees(easing)), None)

    def together(self) -> Easing | None:
        """Several rules lowered at once, as few as will do; None if even all of them do not.

        The bans near openings are kept if they can be, and given up no further than they must be.
        """
        one = self.setting
        if one.rules.places is Places.NONE:
            return None

        def frees(keys: Sequence[LooseRule], bans: Bans) -> bool:
            return self._frees(together(one.layer, one.rules, bans, keys))

        keys = list(LOWEST)
        bans = _least(lambda bans: frees(keys, bans), self._bans())
        if bans is None:
            return None
        for key in LOWEST:
            fewer = [other for other in keys if other != key]
            if frees(fewer, bans):
                keys = fewer
        return together(one.layer, one.rules, bans, keys)

    def _bans(self) -> list[Bans]:
        """The bans as they are, and given up further and further."""
        wider = widening(self.setting.bans, self.setting.layer.detail, self.near)
        return [self.setting.bans, *chain.from_iterable(wider)]

    def _frees(self, easing: Easing) -> bool:
        """Whether the layer can be laid with an easing, if stock does not run short."""
        return self.setting.with_easing(easing).can_be_laid(easing.stocks or self.stocks, self.kerf)


def _least(frees: Callable[[Bans], bool], tried: Sequence[Bans]) -> Bans | None:
    """The first of ever weaker bans that frees; None if not even the last does."""
    if not frees(tried[-1]):
        return None
    return tried[bisect_left(tried[:-1], True, key=frees)]
