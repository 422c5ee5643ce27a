"""The import contracts of pyproject.toml hold, and each of them is able to fail."""

import ast
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LINTER = Path(sys.executable).with_name("lint-imports")


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the import linter with the contracts of `folder`/pyproject.toml over its `service`."""
    return subprocess.run(
        [LINTER, "--no-logo", "--no-cache"],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A copy of the service and its contracts, to be spoilt."""
    shutil.copytree(
        ROOT / "service", tmp_path / "service", ignore=shutil.ignore_patterns("__pycache__")
    )
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def test_all_contracts_are_kept() -> None:
    found = lint(ROOT)
    assert found.returncode == 0, found.stdout + found.stderr


SPOILT = {
    "a lower room sees a higher one": (
        "service/geometry/spoilt.py",
        "import service.cutting",
        "Rooms see only the rooms below them",
    ),
    "two rooms side by side see each other": (
        "service/layout/spoilt.py",
        "import service.cutting",
        "Rooms see only the rooms below them",
    ),
    "a folder that nobody placed": (
        "service/attic/__init__.py",
        "",
        "Rooms see only the rooms below them",
    ),
    "a kind sees another kind": (
        "service/products/kinds/lattice/__init__.py",
        "import service.products.kinds.boarding",
        "No kind knows another kind",
    ),
    "a form of stock sees another": (
        "service/products/goods/board/spoilt.py",
        "import service.products.goods.sheet",
        "No form of stock knows another form",
    ),
    "a form of stock sees a kind": (
        "service/products/goods/board/spoilt.py",
        "import service.products.kinds.boarding",
        "The registry sees the kinds, the kinds see the goods, both see what they are",
    ),
    "the printout sees the takeoff": (
        "service/report/printout/spoilt.py",
        "import service.takeoff.pipeline",
        "Drawing and printout see what is to be shown, and no takeoff",
    ),
    "the drawing sees the takeoff": (
        "service/report/drawing/spoilt.py",
        "import service.takeoff.pipeline",
        "Drawing and printout see what is to be shown, and no takeoff",
    ),
    "a kind sees the registry": (
        "service/products/kinds/boarding/spoilt.py",
        "import service.products.registry",
        "The registry sees the kinds, the kinds see the goods, both see what they are",
    ),
    "the web framework in the core": (
        "service/ledger/spoilt.py",
        "import fastapi",
        "The web framework stays in api and app",
    ),
    "the web framework's base in the renderers": (
        "service/report/spoilt.py",
        "import starlette.responses",
        "The web framework stays in api and app",
    ),
    "the server in the core": (
        "service/takeoff/spoilt.py",
        "import uvicorn",
        "The server is started from the entry point and the shell",
    ),
    "validation in the core": (
        "service/order/spoilt.py",
        "import pydantic",
        "Validation stays in schemas, products, request and api",
    ),
    "topology outside geometry": (
        "service/layout/spoilt.py",
        "import shapely",
        "The topology library stays in geometry",
    ),
    "the solver library outside solver": (
        "service/cutting/spoilt.py",
        "import highspy",
        "The solver library stays in solver",
    ),
    "the units library outside written lengths": (
        "service/schemas/spoilt.py",
        "import pint",
        "The units library stays in schemas.written",
    ),
    "a clock in the core": (
        "service/joints/spoilt.py",
        "import time",
        "The core has no clock, no chance and no outside",
    ),
}


@pytest.mark.parametrize(("file", "line", "contract"), SPOILT.values(), ids=SPOILT)
def test_a_forbidden_import_breaks_its_contract(
    house: Path, file: str, line: str, contract: str
) -> None:
    spoilt = house / file
    spoilt.parent.mkdir(exist_ok=True)
    spoilt.write_text(line + "\n", encoding="utf-8")
    found = lint(house)
    assert found.returncode == 1
    assert f"{contract} BROKEN" in found.stdout


def imports_of(source: Path) -> set[str]:
    """The first names of all absolute imports in a file."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add("." if node.level else str(node.module).split(".")[0])
    return names


def test_the_independent_readers_use_nothing_of_the_service() -> None:
    files = sorted((ROOT / "tests" / "independent").glob("*.py"))
    readers = [file for file in files if not file.name.startswith("test_")]
    assert readers
    assert [file.name for file in readers if "service" in imports_of(file)] == []
