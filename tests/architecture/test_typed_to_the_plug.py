"""What plugs together is typed: the type checker refuses parts of another kind or form."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from service.products import registry
from service.schemas.base import Asked

ROOT = Path(__file__).parents[2]
KINDS = {
    path.parent.name: path.read_text(encoding="utf-8")
    for path in sorted((ROOT / "tests/architecture/kinds_for_tests").glob("*/__init__.py"))
}

pytestmark = pytest.mark.xdist_group("mypy")  # one run of the checker for all

WRAP = "service.products.kinds.wrap"
WRONG: dict[str, tuple[str, str, str, str, str]] = {
    "the_layer_of_another_kind_is_laid": (
        "battens",
        f"from {WRAP}.rulings import Task as WrapTask",
        "def lay(task: BattenTask",
        "def lay(task: WrapTask",
        'Argument "lay" to "Kind"',
    ),
    "what_another_kind_laid_is_placed": (
        "battens",
        f"from {WRAP}.records import LaidWrap",
        "def place(\n    layer: LaidBattens",
        "def place(\n    layer: LaidWrap",
        'Cannot infer value of type parameter "Laid" of "Kind"',
    ),
    "the_share_of_another_form_is_placed": (
        "battens",
        "from service.products.goods.sheet.needs import SheetShare",
        "shares: Sequence[BoardShare]",
        "shares: Sequence[SheetShare]",
        'Cannot infer value of type parameter "Share" of "Kind"',
    ),
    "what_another_kind_placed_is_fastened": (
        "battens",
        f"from {WRAP}.records import PlacedWrap",
        "def fasten(placed: PlacedBattens",
        "def fasten(placed: PlacedWrap",
        'Cannot infer value of type parameter "Placed" of "Kind"',
    ),
    "what_another_kind_placed_is_drawn": (
        "battens",
        f"from {WRAP}.records import PlacedWrap",
        "def draw(placed: PlacedBattens",
        "def draw(placed: PlacedWrap",
        'Cannot infer value of type parameter "Placed" of "Kind"',
    ),
    "the_laws_of_another_kind_are_held_to": (
        "battens",
        f"from {WRAP}.records import PlacedWrap",
        "def violations(placed: PlacedBattens",
        "def violations(placed: PlacedWrap",
        'Cannot infer value of type parameter "Placed" of "Kind"',
    ),
    "what_another_form_gives_is_wanted_of_boards": (
        "battens",
        "from service.products.goods.roll.needs import Widths",
        "Lengths({one.id: _cut(one, step) for one in layer.detail.all})",
        "Widths(strips=())",
        'Argument 2 to "need" of "Form"',
    ),
    "boards_are_wanted_for_another_product": (
        "battens",
        "from service.products.goods.sheet.spec import SheetProduct",
        "BattenTask = Task[BattenLayer, BoardProduct",
        "BattenTask = Task[BattenLayer, SheetProduct",
        'Argument 1 to "need" of "Form"',
    ),
    "boards_are_wanted_without_their_rules": (
        "battens",
        "from service.products.rulings import Rulings",
        "class BattenRulings(BoardRulings)",
        "class BattenRulings(Rulings)",
        'Argument 1 to "need" of "Form"',
    ),
    "a_rule_is_misspelt": (
        "battens",
        "",
        "task.rules.batten_spacing",
        "task.rules.batten_spacings",
        '"BattenRulings" has no attribute "batten_spacings"',
    ),
    "what_is_bought_is_of_another_plan": (
        "wash",
        "",
        "    plan: Cans, needs: Sequence[Need]",
        "    plan: str, needs: Sequence[Need]",
        'Cannot infer value of type parameter "Plan" of "Form"',
    ),
    "a_plan_gives_shares_that_nobody_wants": (
        "wash",
        "",
        "Need = NeedOf[LiquidTask, int, None]",
        "Need = NeedOf[LiquidTask, int, str]",
        'Cannot infer value of type parameter "Share" of "Form"',
    ),
}
"""The kind of the tests, what is imported and changed in it, to what, and what the checker says."""


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What the type checker says of the kinds of the tests, as they are and with each change."""
    folder = tmp_path_factory.mktemp("typed")
    texts = {f"right_{name}": text for name, text in KINDS.items()}
    for name, (kind, imported, right, wrong, _) in WRONG.items():
        assert KINDS[kind].count(right) == 1, name
        text = KINDS[kind].replace(right, wrong)
        start = "from service.products.drawing"
        texts[name] = text.replace(start, f"{imported}\n{start}", 1)
    for name, text in texts.items():
        (folder / f"{name}.py").write_text(text, encoding="utf-8")
    files = [str(folder / f"{name}.py") for name in texts]
    run = subprocess.run(
        [sys.executable, "-m", "mypy", "--no-error-summary", *files],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert not run.stderr, run.stderr
    return run.stdout


@pytest.mark.parametrize("kind", KINDS)
def test_a_right_kind_is_well_typed(kind: str, told: str) -> None:
    assert f"right_{kind}.py" not in told, told


@pytest.mark.parametrize("name", WRONG)
def test_a_kind_of_wrong_parts_is_refused_by_the_type_checker(name: str, told: str) -> None:
    lines = [line for line in told.splitlines() if f"{name}.py" in line and ": error:" in line]
    assert any(WRONG[name][-1] in line for line in lines), told


PLUGS = sorted(
    path
    for room in ("products", "takeoff")
    for path in (ROOT / "service" / room).rglob("*.py")
    if path.name != "registry.py"  # it has kinds and forms of many types, and gives JSON
)


def untyped(text: str) -> list[int]:
    """The lines on which `Any` is said, but for those that give a reason beside it."""
    lines = text.splitlines()
    return [
        node.lineno
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Name) and node.id == "Any" and "  # " not in lines[node.lineno - 1]
    ]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("x: Any", [1]),
        ("x: list[Any] = []", [1]),
        ("def f(x: object) -> Any: ...", [1]),
        ("x: Any  # a reason", []),
        ("from typing import Any", []),
    ],
)
def test_what_is_not_typed_is_seen(text: str, found: list[int]) -> None:
    assert untyped(text) == found


def test_nothing_between_kinds_and_forms_is_untyped() -> None:
    found = {
        str(path.relative_to(ROOT)): lines
        for path in PLUGS
        if (lines := untyped(path.read_text(encoding="utf-8")))
    }
    assert found == {}


def test_needs_are_made_by_their_form_alone() -> None:
    """So that the share which a layer gets is that of the form whose product it wants."""
    made = [
        str(path.relative_to(ROOT))
        for path in (ROOT / "service" / "products").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
        and node.module == "service.products.form"
        and {"Need"} & {one.name for one in node.names}
    ]
    assert [name for name in made if not name.endswith("/needs.py")] == ["service/products/kind.py"]


def models_of_rules() -> set[str]:
    """Names of the models of the rules that a request can send."""
    plugs = (*registry.all_kinds().values(), *registry.forms().values())
    return {
        shape.__name__
        for plug in plugs
        for shape in plug.rules.__mro__
        if issubclass(shape, Asked) and shape is not Asked
    }


def test_models_of_requests_end_where_rulings_begin() -> None:
    """Only the spec of a kind or form, and its plug, see the model of the rules that are sent."""
    models, found = models_of_rules(), set()
    assert {"BoardingRules", "StockRules"} <= models
    for path in PLUGS:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and models & {one.name for one in node.names}:
                found.add(path.name)
    assert found == {"spec.py", "__init__.py"}


def test_no_module_reads_a_rule_of_the_layer_as_it_was_sent() -> None:
    reads = [
        f"{path.relative_to(ROOT)}:{node.lineno}"
        for path in PLUGS
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute)
        and node.attr == "rules"
        and isinstance(node.value, ast.Attribute)
        and node.value.attr == "layer"
    ]
    assert reads == []
