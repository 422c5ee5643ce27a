"""The rules of a layer as they hold: typed as they are sent, read once, and said in the basis."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from types import SimpleNamespace
from typing import Annotated, Any, get_args, get_origin

import pytest

from service.errors import Basis, Ticks
from service.products import registry
from service.products.kinds.sheathing.rulings import SheathingRulings
from service.products.kinds.wrap.rulings import WrapRulings
from service.products.rulings import Ruling
from service.units.ticks import INCH

KINDS = registry.all_kinds()


def rulings_of(name: str, *levels: tuple[str, object], layer: object = None) -> Any:
    """The rules of a layer of a kind, by what was sent at each level, the nearest first."""
    kind = KINDS[name]
    return kind.rulings("wall.layer", layer, levels, registry.defaults_of(kind))


def plain(annotation: Any) -> set[type]:
    """The types that a rule may be sent as, `None` and bounds left out: {int} of a length."""
    if get_origin(annotation) is Annotated:
        return plain(get_args(annotation)[0])
    if get_args(annotation):
        return {one for part in get_args(annotation) for one in plain(part)}
    return set() if annotation is type(None) else {annotation}


SIMPLE = [
    (name, key)
    for name, kind in KINDS.items()
    for key in kind.rules.model_fields
    if isinstance(getattr(kind.rulings, key), Ruling)
]
"""Each rule of each kind whose default is one, whatever the case."""


def test_most_rules_have_one_default() -> None:
    assert len(SIMPLE) > len(KINDS) * 10


@pytest.mark.parametrize(("name", "key"), SIMPLE)
def test_a_rule_is_of_the_type_in_which_it_is_sent(name: str, key: str) -> None:
    kind = KINDS[name]
    asked = plain(kind.rules.model_fields[key].annotation)
    assert {one if isinstance(one, type) else type(one) for one in asked} == {
        getattr(kind.rulings, key).of
    }


@pytest.mark.parametrize(("name", "key"), SIMPLE)
def test_what_is_read_is_said_and_nothing_else(name: str, key: str) -> None:
    rules = rulings_of(name)
    assert rules.basis == ()
    value = getattr(rules, key)
    assert isinstance(value, getattr(type(rules), key).of)
    (said,) = rules.basis
    assert (said.at, said.key, said.source) == ("wall.layer", key, "default")


@pytest.mark.parametrize(("name", "key"), SIMPLE)
def test_a_rule_cannot_be_set(name: str, key: str) -> None:
    with pytest.raises(AttributeError):
        setattr(rulings_of(name), key, 1)


def sent(**rules: object) -> SimpleNamespace:
    """The rules that one level of a request sends."""
    return SimpleNamespace(**rules)


def test_the_nearest_that_was_sent_holds() -> None:
    levels = (("layer", None), ("surface", sent(wrap_lap=7)), ("job", sent(wrap_lap=9, spare=3)))
    rules = rulings_of("wrap", *levels)
    assert (rules.wrap_lap, rules.spare) == (7, 3)
    assert rules.basis == (
        Basis("wall.layer", "10.2", "spare", 3, "job"),
        Basis("wall.layer", "13.1", "wrap_lap", Ticks(7), "surface"),
    )


def test_nothing_said_of_culls_is_not_none_asked_for() -> None:
    assert rulings_of("wrap").silent_of_culls
    assert not rulings_of("wrap", ("job", sent(cull=Fraction(0)))).silent_of_culls
    assert not rulings_of("wrap", ("job", sent(cull=Fraction(5)))).silent_of_culls


def test_a_value_of_another_type_is_no_answer() -> None:
    """A rule that a level of a request did not check is not taken for a length."""
    rules = rulings_of("wrap", ("layer", sent(wrap_lap="6 in")))
    with pytest.raises(AssertionError, match="the rule wrap_lap is no int"):
        assert rules.wrap_lap


def test_a_choice_decides_a_default() -> None:
    turned = rulings_of("wrap", layer=sent(at_walls=None))
    joined = rulings_of("wrap", layer=sent(at_walls="joined"))
    assert isinstance(turned, WrapRulings)
    # Common practice: 2 in at an edge, 6 in where it joins the wall's (13.1).
    assert joined.turn_down == 3 * turned.turn_down
    assert [(one.key, one.source) for one in joined.basis] == [
        ("at_walls", "layer"),
        ("turn_down", "default"),
    ]


@pytest.mark.parametrize(
    ("lengths", "gap", "wall"),
    [
        ([95.875], 0.125, 0.0625), ([95.875, 119.875], 0.125, 0.0625), ([95.9], 0.1, 0.05),
        ([2397 / 25.4], 0.125, 0.0625), ([96], 0.125, 0.125), ([95.875, 96], 0.125, 0.125),
        ([96], 0, 0.125), ([95.5], 0.125, 0.125),
    ],
)  # fmt: skip
def test_sheets_made_for_gaps_have_half_a_gap_at_walls(
    lengths: list[float], gap: float, wall: float
) -> None:
    """All lengths with the gap fill 12 in or 300 mm to 1/64 in; without a gap none is made so."""
    rules = rulings_of("sheathing", ("layer", sent(panel_gap=round(gap * INCH))))
    assert isinstance(rules, SheathingRulings)
    stock = [sent(length=round(length * INCH)) for length in lengths]
    sheet: Any = sent(stock=stock, shows=False)
    assert rules.panel_wall_gap(sheet) == round(wall * INCH)


class Watched(dict[str, Any]):
    """A table of defaults that remembers which of them were read."""

    def __init__(self, table: dict[str, Any]) -> None:
        super().__init__(table)
        self.read: set[str] = set()

    def __getitem__(self, name: str) -> Any:
        self.read.add(name)
        return super().__getitem__(name)


SHEET = sent(stock=[sent(length=96 * INCH)], shows=False)
SHOWN = sent(stock=[sent(length=96 * INCH)], shows=True)
MADE_FOR_GAPS = sent(stock=[sent(length=95 * INCH + 7 * INCH // 8)], shows=False)

CASES: dict[str, tuple[tuple[SimpleNamespace, SimpleNamespace, Callable[[Any], object]], ...]] = {
    "boarding": (
        (sent(), sent(edges=None), lambda rules: rules.gap),
        (sent(), sent(edges="bare"), lambda rules: rules.gap),
        (sent(), sent(), lambda rules: rules.trims(sent(profile="lapped", ends=None))),
        (sent(), sent(), lambda rules: rules.end_trim),
        (sent(), sent(), lambda rules: rules.most_joints),
        (sent(), sent(), lambda rules: rules.joint_cost(sent(stock=[]), "least_cost", "in")),
        (sent(), sent(), lambda rules: rules.preferred_rip(8)),
        (sent(), sent(), lambda rules: rules.least_exposure(8)),
        (sent(), sent(), lambda rules: rules.bite_in("wood")),
        (sent(), sent(), lambda rules: rules.bite_in("panel")),
        (sent(per_crossing=2), sent(), lambda rules: rules.per_crossing),
    ),
    "box_beams": (
        (sent(), sent(), lambda rules: rules.tuck(10**9)),
        (sent(), sent(), lambda rules: rules.joint_cost(sent(stock=[]), "least_cost", "in")),
        (sent(), sent(), lambda rules: rules.bite_in("wood")),
    ),
    "strapping": ((sent(), sent(), lambda rules: rules.bite_in("wood")),),
    "trim": ((sent(), sent(), lambda rules: rules.joint_cost(sent(stock=[]), "least_cost", "in")),),
    "sheathing": (
        (sent(), sent(), lambda rules: rules.panel_stagger(8)),
        (sent(), sent(), lambda rules: rules.panel_wall_gap(SHEET)),
        (sent(), sent(), lambda rules: rules.panel_gap(SHOWN)),
        (sent(), sent(), lambda rules: rules.panel_wall_gap(MADE_FOR_GAPS)),
        (sent(), sent(fastening=None), lambda rules: rules.spacings),
        (sent(), sent(), lambda rules: rules.bite_in("wood")),
    ),
    "wrap": (
        (sent(), sent(at_walls=None), lambda rules: rules.turn_down),
        (sent(), sent(at_walls="joined"), lambda rules: rules.turn_down),
    ),
}
"""What is sent, the layer, and what is read: each case of a rule with more than one default."""

OF_SURFACES = {"cut_gap", "member_thickness"}
"""Defaults that are read with the measure of a surface, before any layer is there."""


@pytest.mark.parametrize("name", KINDS)
def test_no_default_stands_in_a_table_unread(name: str) -> None:
    kind = KINDS[name]
    table = Watched(registry.defaults_of(kind))
    for rules, layer, read in CASES.get(name, ()):
        read(kind.rulings("wall.layer", layer, (("layer", rules),), table))
    plainly = kind.rulings("wall.layer", sent(), (), table)
    for of_kind, key in SIMPLE:
        if of_kind == name:
            getattr(plainly, key)
    assert set(table) - table.read - OF_SURFACES == set()
