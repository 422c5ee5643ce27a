"""A plugin of the type checker: `sum` adds only what is exact.

Since Python 3.12 the builtin adds floats with a correction, before that without, so the same floats
give other bytes. Whole numbers and fractions have one sum everywhere, in any order.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from mypy.maptype import map_instance_to_supertype
from mypy.plugin import CheckerPluginInterface, FunctionContext, Plugin
from mypy.typeops import try_getting_instance_fallback
from mypy.types import (
    AnyType,
    Instance,
    LiteralType,
    Type,
    TypeOfAny,
    UnionType,
    get_proper_type,
)

EXACT: Final = frozenset({"builtins.int", "builtins.bool", "fractions.Fraction", "decimal.Decimal"})


class ExactSums(Plugin):
    """Judges every call of the builtin."""

    def get_function_hook(self, fullname: str) -> Callable[[FunctionContext], Type] | None:
        """What mypy asks for each function that is called."""
        return _judged if fullname == "builtins.sum" else None


def _judged(call: FunctionContext) -> Type:
    """The result's type as it is; an error where anything that is added may be a float.

    An argument is judged by its own type: the one that mypy infers for the call is also drawn from
    what the call stands in.
    """
    given = [call.api.get_expression_type(one) for some in call.args for one in some]
    inexact = [kind for kind in (_items(given[0], call.api), *given[1:]) if not _is_exact(kind)]
    if inexact:
        call.api.fail(
            f'"sum" of {inexact[0]}: floats are added by service.units.folding.folded, '
            "what has no type gets one first",
            call.context,
        )
    return call.default_return_type


def _items(kind: Type, api: CheckerPluginInterface) -> Type:
    """What an iterable gives; Any where that cannot be told."""
    iterable = api.named_generic_type("typing.Iterable", [AnyType(TypeOfAny.special_form)])
    found = try_getting_instance_fallback(get_proper_type(kind))
    if found is None or not found.type.has_base("typing.Iterable"):
        return AnyType(TypeOfAny.special_form)
    return map_instance_to_supertype(found, iterable.type).args[0]


def _is_exact(kind: Type) -> bool:
    proper = get_proper_type(kind)
    if isinstance(proper, UnionType):
        return all(_is_exact(item) for item in proper.items)
    if isinstance(proper, LiteralType):
        return _is_exact(proper.fallback)
    return isinstance(proper, Instance) and proper.type.fullname in EXACT


def plugin(_: str) -> type[Plugin]:
    """What mypy looks for in a file of plugins."""
    return ExactSums
