"""No rule without bounds that its sense asks for, and they are the published ones."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from service.products import registry
from service.schemas.bounds import Within
from service.units.ticks import TICKS_PER_UNIT

UNITS = ("in", "ft", "mm", "cm", "m")
LONGEST_OF_ALL = 10_000_000
"""What the published document says of a length of which nothing more is known."""


def _rules() -> Iterator[tuple[str, type[BaseModel], str]]:
    for name, kind in registry.all_kinds().items():
        for key in kind.rules.model_fields:
            yield name, kind.rules, key


RULES = list(_rules())


def _named(one: object) -> str:
    return one.__name__ if isinstance(one, type) else str(one)


def _shapes(model: type[BaseModel], key: str) -> list[dict[str, Any]]:
    """The shapes that a rule can have, without the one of being left out."""
    found: list[dict[str, Any]] = []
    open_ones = [model.model_json_schema()["properties"][key]]
    while open_ones:
        shape = open_ones.pop()
        open_ones += shape.get("anyOf", ())
        found += [shape] if "type" in shape and shape["type"] != "null" else []
    return found


def _within(model: type[BaseModel], key: str) -> Within | None:
    """The bounds of a rule that is a length, found on the annotation wherever it stands."""
    open_ones = [model.model_fields[key].annotation]
    while open_ones:
        one = open_ones.pop()
        for mark in getattr(one, "__metadata__", ()):
            if isinstance(mark, Within):
                return mark
        open_ones += getattr(one, "__args__", ())
    return None


LENGTHS = [(model, key, within) for _, model, key in RULES if (within := _within(model, key))]


@pytest.mark.parametrize(("kind", "model", "key"), RULES, ids=_named)
def test_every_number_of_a_rule_has_both_bounds(
    kind: str, model: type[BaseModel], key: str
) -> None:
    shapes = _shapes(model, key)
    assert shapes, f"{kind}: {key} is of no known shape"
    for shape in shapes:
        if shape["type"] in ("number", "integer"):
            assert {"minimum", "maximum"} <= set(shape) or "exclusiveMinimum" in shape, key
            assert shape["maximum"] < LONGEST_OF_ALL, f"{kind}: {key} has no bound of its own"


def test_there_are_lengths_among_the_rules() -> None:
    assert {"kerf", "cut_to", "gap", "panel_gap", "cap_spacing"} <= {key for _, key, _ in LENGTHS}


@pytest.mark.parametrize(("model", "key", "within"), LENGTHS, ids=_named)
@pytest.mark.parametrize("unit", UNITS)
def test_both_ends_are_taken_and_what_is_beyond_is_refused_by_name(
    model: type[BaseModel], key: str, within: Within, unit: str
) -> None:
    """A length written in millimetres, with six decimals, says every tick."""
    ends = within.ticks
    for ticks in ends:
        assert getattr(_read(model, key, ticks, unit), key) == ticks
    for ticks in (ends[0] - 1, ends[1] + 1):
        if ticks < 0:
            continue
        with pytest.raises(ValidationError) as refused:
            _read(model, key, ticks, unit)
        (fault,) = refused.value.errors()
        assert f"`{key}` must be from " in fault["msg"]


def _read(model: type[BaseModel], key: str, ticks: int, unit: str) -> BaseModel:
    millionths = Fraction(ticks * 10**6, TICKS_PER_UNIT["mm"])
    assert millionths.denominator == 1
    whole, part = divmod(millionths.numerator, 10**6)
    return model.model_validate({key: f"{whole}.{part:06d} mm"}, context={"unit": unit})


@pytest.mark.parametrize(("model", "key", "within"), LENGTHS, ids=_named)
def test_a_number_that_the_document_refuses_is_refused_in_every_unit(
    model: type[BaseModel], key: str, within: Within
) -> None:
    """A number's bounds are published for whatever unit is declared: none is refused falsely."""
    (shape,) = [one for one in _shapes(model, key) if one["type"] == "number"]
    for unit in UNITS:
        least, most = (Fraction(ticks, TICKS_PER_UNIT[unit]) for ticks in within.ticks)
        assert Fraction(str(shape["minimum"])) <= least
        assert most <= Fraction(str(shape["maximum"]))


@pytest.mark.parametrize("kind", registry.names())
def test_every_default_lies_within_the_bounds_of_its_rule(kind: str) -> None:
    found = registry.all_kinds()[kind]
    table = registry.defaults_of(found)
    model = found.rules
    read = 0
    for name, row in table.items():
        key = row.get("key", name)
        if key in model.model_fields and _within(model, key) and "value" in row:
            model.model_validate({key: row["value"]}, context={"unit": "in"})
            read += 1
    assert read
