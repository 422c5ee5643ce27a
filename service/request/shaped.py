"""What was asked against the shape that it must have: all its faults at once, each at its place."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final, TypeVar

from pydantic import BaseModel, ValidationError

from service.errors import Fault, ShapeRefused, escaped, meant
from service.request.known_keys import keys_at, needed_at, said_of
from service.units.writing import listed

UNITS = ("in", "ft", "mm", "cm", "m")

Model = TypeVar("Model", bound=BaseModel)


def unit_of(asked: object) -> str:
    """The unit that a request declares; inches where it declares none that there is."""
    unit = asked.get("unit") if isinstance(asked, dict) else None
    return unit if isinstance(unit, str) and unit in UNITS else "in"


def shaped(
    model: type[Model], asked: object, known: Sequence[Fault] = (), unit: str | None = None
) -> Model:
    """The request as validated; all its faults of shape are raised at once, the `known` besides.

    Bare lengths are in `unit`, or in the one that it declares.
    """
    try:
        return model.model_validate(asked, context={"unit": unit or unit_of(asked)})
    except ValidationError as wrong:
        found = wrong.errors(include_url=False, include_input=False)
        told = [
            Fault(str(one["type"]).replace("_", "-"), _sentence(one, model), _pointer(asked, one))
            for one in found[: 2 * ShapeRefused.most]
        ]
        faults = _as_meant(told)
        count = len(found) - len(told) + len(faults) + len(known)
        raise ShapeRefused(*faults, *known, count=count) from None


_OTHER_SORTS: Final = {
    "literal-error", "list-type", "bool-type", "int-type", "string-type", "model-type",
    "model-attributes-type", "dict-type",
}  # fmt: skip
"""Faults of a value that is of another sort than what is wanted at its place."""


def _as_meant(faults: Sequence[Fault]) -> list[Fault]:
    """One fault for each place: where it may be said in several ways, of the way that was meant.

    A fault within a value, or of its length, says that its sort was right.
    """
    found: list[Fault] = []
    for one in faults:
        here = [other for other in faults if other is not one and _is_within(other, one)]
        if one.code in _OTHER_SORTS and any(_is_nearer(other, one) for other in here):
            continue
        same = next((k for k, other in enumerate(found) if other.pointer == one.pointer), None)
        if same is None or not {found[same].code, one.code} <= _OTHER_SORTS:
            found.append(one)
        elif found[same].detail != one.detail:
            both = f"{found[same].detail}; or {one.detail}"
            found[same] = replace(found[same], detail=both)
    return found


def _is_within(fault: Fault, other: Fault) -> bool:
    """Whether a fault lies at the place of another, or within it."""
    return f"{fault.pointer}/".startswith(f"{other.pointer}/")


def _is_nearer(fault: Fault, other: Fault) -> bool:
    """Whether it says more of what was meant than one of another sort at that place."""
    return fault.pointer != other.pointer or fault.code not in _OTHER_SORTS


_PLAIN = {
    "list_type": "a list is needed here",
    "bool_type": "true or false is needed here",
    "int_type": "a whole number is needed here, without quotes",
    "string_type": "a text is needed here",
    "union_tag_not_found": "{discriminator} is needed here, to say what it is",
    "greater_than": "this must be over {gt}",
    "greater_than_equal": "this must be {ge} or more",
    "less_than_equal": "this must be {le} or less",
    "literal_error": "this must be one of {expected}",
    "string_too_short": "this text must have {min_length} or more characters",
    "string_too_long": "this text must have {max_length} or fewer characters",
    "string_pattern_mismatch": "this text must match {pattern}",
}
"""What is said of the library's own faults, in the words of who sends the request."""


def _sentence(error: Mapping[str, Any], model: type[BaseModel]) -> str:
    """What is wrong, without any string that was sent: the tag of a union would be one."""
    special = _SPECIAL.get(error["type"])
    if special is not None:
        return special(error, model)
    plain = _PLAIN.get(error["type"])
    return str(error["msg"]) if plain is None else plain.format(**error.get("ctx", {}))


def _wrong_tag(error: Mapping[str, Any], _: type[BaseModel]) -> str:
    words = error["msg"].rpartition("expected tags: ")[2]
    known = [word.strip("'") for word in words.split(", ")]
    said = meant(str(error["ctx"]["tag"]), known)
    return f"this must be one of {words}" + (f": {said}" if said.endswith("?") else "")


def _unknown(error: Mapping[str, Any], model: type[BaseModel]) -> str:
    *ways, key = error["loc"]
    return f"this key is not known here: {meant(str(key), keys_at(model, ways))}"


def _missing(error: Mapping[str, Any], model: type[BaseModel]) -> str:
    *ways, key = error["loc"]
    said = said_of(model, ways, str(key))
    return f"this key is needed: {said}" if said else "this key is needed"


def _no_object(error: Mapping[str, Any], model: type[BaseModel]) -> str:
    keys = [f"`{key}`" for key in needed_at(model, error["loc"])]
    return f"an object is needed here, with {listed(keys)}" if keys else "an object is needed here"


def _wrong_count(error: Mapping[str, Any], _: type[BaseModel]) -> str:
    bound = re.search(r"at (?:least|most) \d+ items?", error["msg"])
    return f"this list must have {bound[0]}" if bound else "this list has a wrong length"


_SPECIAL: dict[str, Callable[[Mapping[str, Any], type[BaseModel]], str]] = {
    "union_tag_invalid": _wrong_tag,
    "extra_forbidden": _unknown,
    "missing": _missing,
    "model_type": _no_object,
    "model_attributes_type": _no_object,
    "too_short": _wrong_count,
    "too_long": _wrong_count,
}
"""What is said of faults whose sentence depends on what the contract has at the place."""


def _pointer(asked: object, error: Mapping[str, Any]) -> str:
    """A JSON Pointer to the fault; names of union members that pydantic adds are left out.

    A quantity that is read as a whole says which of its parts is wrong.
    """
    places: Sequence[str | int] = error["loc"]
    absent = error["type"] == "missing"
    parts: list[str] = []
    at: Any = asked
    for k, place in enumerate(places):
        if _stands_in(at, place):
            at = at[place]
        elif not (absent and isinstance(at, dict) and k == len(places) - 1):
            continue
        parts.append(escaped(str(place)[:64]))
    within = error.get("ctx", {}).get("place")
    parts += [] if within is None else [str(within)]
    return "".join(f"/{part}" for part in parts)


def _stands_in(at: object, place: str | int) -> bool:
    if isinstance(at, list):
        return isinstance(place, int) and place < len(at)
    return isinstance(at, dict) and place in at
