"""Every registered kind with its examples: what the laws over all kinds are tried on.

Further folders of kinds are taken from the service's own setting, TAKEOFF_KINDS_PATH, so that a
kind that lies elsewhere is held to the same laws.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import pytest

from service.api.settings import Settings
from service.products import kinds, registry
from tests.independent.measure import TICKS, written
from tests.strategies import transforms

Request = dict[str, Any]

registry.add_folders(Settings().kinds_path)

FOLDERS: Final = sorted(
    folder
    for path in kinds.__path__
    for folder in Path(path).iterdir()
    if folder.is_dir() and folder.name != "__pycache__"
)
"""The folder of each kind."""


KINDS_FOR_TESTS: Final = Path(__file__).parents[1] / "architecture" / "kinds_for_tests"
"""Kinds that exist only in the tests."""


@contextmanager
def with_kinds_for_tests() -> Iterator[None]:
    """Those kinds beside the service's own; they are forgotten afterwards."""
    registry.add_folders((str(KINDS_FOR_TESTS),))
    try:
        yield
    finally:
        forget_kinds_for_tests()


def forget_kinds_for_tests() -> None:
    """As if they had never been there."""
    kinds.__path__.remove(str(KINDS_FOR_TESTS))
    for folder in KINDS_FOR_TESTS.iterdir():
        sys.modules.pop(f"{kinds.__name__}.{folder.name}", None)
    registry.forget()


def files(part: str, pattern: str) -> list[Path]:
    """The files of one part of every kind, such as its `examples`."""
    return [file for folder in FOLDERS for file in sorted((folder / part).glob(pattern))]


def name_of(file: Path) -> str:
    """Kind, part and file, as a test is called after it."""
    return "/".join(file.parts[-3:])


def request_of(file: Path) -> Request:
    """The request of an example."""
    request: Request = json.loads(file.read_text(encoding="utf-8"))
    return request


def each_example() -> Callable[..., Any]:
    """Runs a test once for every example of every kind."""
    return pytest.mark.parametrize("example", files("examples", "*.json"), ids=name_of)


def layers_of(request: Request) -> Iterator[tuple[Request, Request]]:
    """Every layer with its surface."""
    for surface in request["surfaces"]:
        for layer in surface["layers"]:
            yield surface, layer


def kind_of(file: Path) -> str:
    """The kind that a file belongs to."""
    return file.parents[1].name


def resized(request: Request, along: float, across: float) -> Request:
    """Every surface a rectangle of a share of its extent, without openings."""
    made = []
    for surface in in_numbers(request)["surfaces"]:
        long, wide = _extent(surface)
        rest = {key: value for key, value in surface.items() if key not in _SHAPE}
        made.append(rest | {"rectangle": [round(long * along, 3), round(wide * across, 3)]})
    return request | {"surfaces": made}


_SHAPE: Final = {"rectangle", "outline", "sides", "diagonals", "edges", "openings", "slope"}


def _extent(surface: Request) -> tuple[float, float]:
    corners = transforms.as_outline(surface)["outline"]
    xs, ys = zip(*corners, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def in_numbers(request: Request) -> Request:
    """The same request with every place on its surfaces a number in its unit."""
    unit = request["unit"]

    def read(node: Any) -> Any:
        if isinstance(node, list):
            return [read(one) for one in node]
        return float(written(node, unit) / TICKS[unit]) if isinstance(node, str) else node

    def placed(shape: Request) -> Request:
        return shape | {key: read(shape[key]) for key in shape.keys() & _PLACED}

    return request | {
        "surfaces": [
            placed(surface)
            | (
                {"openings": [placed(one) for one in surface["openings"]]}
                if "openings" in surface
                else {}
            )
            for surface in request["surfaces"]
        ]
    }


_PLACED: Final = {"rectangle", "outline", "circle"}
