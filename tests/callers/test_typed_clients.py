"""Clients with types made from the document: they are those of today, compile, and get answers."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import httpx
import pytest

from service.api.settings import Settings
from service.app import create_app
from tests.callers.clients import MAKERS, PYTHON, TYPESCRIPT
from tests.callers.programs import MADE, ran
from tests.contract.serving import serving

STRICT = ("--strict", "--target", "es2022", "--module", "nodenext", "--types", "node")


@pytest.fixture(scope="module")
def client() -> Iterator[httpx.Client]:
    with serving(create_app(Settings(processes=1, deadline_seconds=60))) as one:
        yield one


@pytest.mark.parametrize("file", MAKERS, ids=lambda file: file.name)
def test_the_committed_types_are_those_of_the_document(file: Path) -> None:
    assert file.read_bytes() == MAKERS[file](), "make clients writes them anew"


@pytest.fixture(scope="module")
def compiled() -> Path:
    """The worked example beside the packages that it imports, as JavaScript."""
    folder = MADE / "typescript"
    folder.mkdir(exist_ok=True)
    for file in (TYPESCRIPT, TYPESCRIPT.with_name("order.ts")):
        (folder / file.name).write_bytes(file.read_bytes())
    ran("tsc", *STRICT, folder / "order.ts")
    return folder / "order.js"


def order(client: httpx.Client) -> list[str]:
    """The lines of the order of the example, as the service gives them."""
    sys.path.insert(0, str(PYTHON.parent))
    try:
        job = import_module("order").JOB
    finally:
        sys.path.remove(str(PYTHON.parent))
    answer = client.post("/v1/takeoffs", json=job).json()
    return [f"{row['buy']} {row['item']}" for row in answer["order"]]


def test_the_typescript_client_compiles_and_gets_its_order(
    client: httpx.Client, compiled: Path
) -> None:
    said = ran("node", compiled, str(client.base_url)).decode().splitlines()
    assert said == order(client) != []


def test_what_is_misspelt_does_not_compile() -> None:
    folder = MADE / "misspelt"
    folder.mkdir(exist_ok=True)
    (folder / TYPESCRIPT.name).write_bytes(TYPESCRIPT.read_bytes())
    text = TYPESCRIPT.with_name("order.ts").read_text(encoding="utf-8")
    assert text.count("direction: 0 }") == 1
    (folder / "order.ts").write_text(text.replace("direction: 0 }", "directoin: 0 }"))
    with pytest.raises(AssertionError, match="directoin"):
        ran("tsc", *STRICT, folder / "order.ts")


def test_the_python_client_checks_and_gets_its_order(client: httpx.Client) -> None:
    where = PYTHON.parent
    checked = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", "--config-file=", "order.py"],
        cwd=where, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert checked.returncode == 0, checked.stdout
    said = subprocess.run(
        [sys.executable, "order.py", str(client.base_url)],
        cwd=where, capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    assert said.stdout.splitlines() == order(client) != []
