"""Works the formulas of a trace again, in exact fractions: it knows arithmetic and nothing else."""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Final

_SIGNS: Final[Mapping[type, Callable[[Fraction, Fraction], Fraction]]] = {
    ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv,
}  # fmt: skip
_ROUND: Final = {"ceil": math.ceil, "floor": math.floor}


def worked(formula: str, inputs: Mapping[str, Fraction]) -> Fraction:
    """What a formula comes to; KeyError where it names what is no input."""
    return _of(ast.parse(formula, mode="eval").body, inputs)


def names_of(formula: str) -> set[str]:
    """The inputs that a formula names."""
    return {
        node.id for node in ast.walk(ast.parse(formula)) if isinstance(node, ast.Name)
    } - _ROUND.keys()


def _of(node: ast.expr, inputs: Mapping[str, Fraction]) -> Fraction:
    if isinstance(node, ast.Name):
        return inputs[node.id]
    if isinstance(node, ast.Constant):
        return Fraction(node.value)  # type: ignore[arg-type]  # a number, or it raises
    if isinstance(node, ast.BinOp):
        return _SIGNS[type(node.op)](_of(node.left, inputs), _of(node.right, inputs))
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        return Fraction(_ROUND[node.func.id](_of(node.args[0], inputs)))
    raise ValueError(f"no arithmetic: {ast.dump(node)}")
