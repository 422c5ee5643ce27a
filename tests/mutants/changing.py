"""Small mistakes, one at a time: the changes that a module can suffer, and their code."""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass
from types import CodeType
from typing import Any

_COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
_COUNTED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.FloorDiv, ast.FloorDiv: ast.Mult,
    ast.Div: ast.Mult, ast.Mod: ast.FloorDiv,
}  # fmt: skip
_NAMED = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True, slots=True)
class Change:
    """One change: where, and what it does, for the list of those that no test noticed.

    `within` is the outermost function round it, from its first to its last line of `lines`.
    """

    line: int
    what: str
    within: str
    lines: range
    source: str

    def code(self) -> CodeType:
        """The code of `within`, with the change in it."""
        whole = compile(self.source, f"<{self.within} with a mistake>", "exec")
        return next(one for one in _codes(whole) if one.co_qualname == self.within)


def changes(source: str) -> list[Change]:
    """Every change that `source` can suffer; types, decorators, guards and texts are left alone."""
    tree = ast.parse(source)
    found = []
    for index, (node, within, lines) in enumerate(_touchable(tree)):
        for number, (what, _) in enumerate(_mistakes(node)):
            changed = copy.deepcopy(tree)
            twin = list(_touchable(changed))[index][0]
            _put(changed, twin, list(_mistakes(twin))[number][1])
            line = getattr(node, "lineno", lines.start)
            found.append(Change(line, what, within, lines, ast.unparse(changed)))
    return found


def _codes(code: CodeType) -> Iterator[CodeType]:
    yield code
    for one in code.co_consts:
        if isinstance(one, CodeType):
            yield from _codes(one)


def _touchable(tree: ast.AST, outer: str = "") -> Iterator[tuple[ast.AST, str, range]]:
    """The nodes inside functions, but for annotations and decorators; with the function's name."""
    for one in ast.iter_child_nodes(tree):
        name = f"{outer}{getattr(one, 'name', '')}"
        if isinstance(one, ast.ClassDef):
            yield from _touchable(one, f"{name}.")
        elif isinstance(one, ast.FunctionDef):
            lines = range(one.body[0].lineno, (one.end_lineno or 0) + 1)
            for statement in one.body:
                yield from ((node, name, lines) for node in _inside(statement))


def _inside(node: ast.AST) -> Iterator[ast.AST]:
    yield node
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list"):
            continue
        if isinstance(node, ast.keyword) and node.arg == "strict":
            continue  # a guard of `zip` that acts on no input
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST):
                yield from _inside(child)


def _mistakes(node: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    """What `node` may be taken for by mistake."""
    made: Any = copy.deepcopy(node)
    match node:
        case ast.Compare(ops=[op]) if type(op) in _COMPARED:
            made.ops = [_COMPARED[type(op)]()]
        case ast.BinOp(op=op) if type(op) in _COUNTED:
            made.op = _COUNTED[type(op)]()
        case ast.BoolOp(op=op):
            made.op = ast.Or() if isinstance(op, ast.And) else ast.And()
        case ast.UnaryOp(op=ast.Not()):
            made = made.operand
        case ast.Constant(value=bool()):
            made.value = not made.value
        case ast.Constant(value=int()):
            made.value = made.value + 1
        case ast.Call(func=ast.Name(id=name)) if name in _NAMED:
            made.func.id = _NAMED[name]
        case _:
            return
    yield f"{ast.unparse(node)} -> {ast.unparse(made)}"[:160], made


def _put(tree: ast.AST, old: ast.AST, new: ast.AST) -> None:
    """Put `new` in the place of the node `old`."""
    for parent in ast.walk(tree):
        for name, value in ast.iter_fields(parent):
            if value is old:
                setattr(parent, name, new)
            elif isinstance(value, list):
                value[:] = [new if one is old else one for one in value]
