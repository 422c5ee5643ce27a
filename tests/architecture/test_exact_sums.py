"""No sum depends on the version of Python: the builtin adds what is exact, floats are folded.

`sum` of floats is corrected since Python 3.12 (its changelog: "sum() now uses Neumaier summation").
The rule stands in `exact_sums.py`, a plugin of the type checker; here it is shown to be able to
fail, and what the type checker cannot see is forbidden by name.
"""

import ast
from pathlib import Path

import pytest
from mypy import api

ROOT = Path(__file__).parents[2]
MODULES = sorted((ROOT / "service").rglob("*.py"))
OTHER_SUMS = {
    "math": {"fsum", "sumprod", "dist"},
    "statistics": {"mean", "fmean", "stdev", "variance", "correlation", "linear_regression"},
}
"""Sums of floats under other names, some of them added otherwise from one version to the next."""

EXACT = (
    "sum(n for n in [1, 2])\nsum(n > 1 for n in [1])\nsum([Fraction(1, 3)])\nsum(map(len, ['a']))"
)
INEXACT = {
    "a float": "sum([0.1, 0.2])",
    "one float of many": "sum((1, 0.5))",
    "a float for some": "sum(n / 2 if n else 0 for n in [1])",
    "a float to start from": "sum([1], 0.5)",
    "what may be a float": "found: int | float = 1\nsum([found])",
    "what has no type": "bare: Any = [1]\nsum(bare)",
    "items without a type": "bare: list[Any] = [1]\nsum(n['length'] for n in bare)",
}


def checked(code: str, folder: Path) -> tuple[str, int]:
    """What the type checker says of `code`, with the plugins of the project."""
    module = folder / "snippet.py"
    module.write_text(f"from fractions import Fraction\nfrom typing import Any\n{code}\n")
    settings = ["--config-file", str(ROOT / "pyproject.toml"), "--cache-dir", str(folder / "cache")]
    told, _, status = api.run([*settings, str(module)])
    return told, status


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("sums")


def test_exact_sums_are_let_through(folder: Path) -> None:
    assert checked(EXACT, folder) == ("Success: no issues found in 1 source file\n", 0)


@pytest.mark.parametrize("code", INEXACT.values(), ids=INEXACT.keys())
def test_a_sum_that_may_be_of_floats_is_an_error(code: str, folder: Path) -> None:
    told, status = checked(code, folder)
    assert status == 1
    assert "service.units.folding" in told


def uses(module: Path) -> list[str]:
    """Where a module adds floats by another name, or hands `sum` to something that calls it."""
    nodes = list(ast.walk(ast.parse(module.read_text(encoding="utf-8"))))
    called = {id(node.func) for node in nodes if isinstance(node, ast.Call)}
    found = []
    for node in nodes:
        match node:
            case ast.Name(id="sum") if id(node) not in called:
                found.append(f"line {node.lineno}: sum, not called")
            case ast.ImportFrom(module=str(library), names=names):
                hidden = {alias.name for alias in names} & OTHER_SUMS.get(library, set())
                found += [f"line {node.lineno}: {name}" for name in sorted(hidden)]
            case ast.Attribute(value=ast.Name(id=library), attr=name):
                hidden = {name} & OTHER_SUMS.get(library, set())
                found += [f"line {node.lineno}: {name}" for name in hidden]
    return found


def test_no_sum_hides_from_the_type_checker() -> None:
    found = {str(module.relative_to(ROOT)): uses(module) for module in MODULES}
    assert {module: lines for module, lines in found.items() if lines} == {}


def test_a_hidden_sum_is_found(tmp_path: Path) -> None:
    module = tmp_path / "hidden.py"
    module.write_text("import math\nfrom statistics import fmean\nmap(sum, [])\nmath.fsum([])\n")
    assert len(uses(module)) == 3
