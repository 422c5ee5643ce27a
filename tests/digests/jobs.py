"""The jobs whose answers have digests: the examples, drawn ones, and bodies that are no job."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from service.compute import CSV, JSON, SVG

ROOT: Final = Path(__file__).parents[2]
DRAWN: Final = Path(__file__).with_name("jobs.jsonl")
"""A job a line, {"name", "request"}; written by `tests.digests.choosing`."""

NO_JOBS: Final = {
    "no-json": b'{"unit": "in", "surfaces": [],}',
    "no-object": b"[[1, 2], [3,]]",
    "twice-the-same-key": b'{"unit": "in", "unit": "mm"}',
    "nothing-asked": b"{}",
}


def bodies() -> dict[str, bytes]:
    """Every job by its name, as it is sent."""
    return dict([*_examples(), *_drawn(), *NO_JOBS.items()])


def asked() -> list[tuple[str, str, bytes]]:
    """Name, media type and body: each job's tables, of every third its drawing and order too."""
    every = list(bodies().items())
    rendered = [(name, media, body) for name, body in every[::3] for media in (SVG, CSV)]
    return [*((name, JSON, body) for name, body in every), *rendered]


def _examples() -> Iterator[tuple[str, bytes]]:
    folders = [ROOT / "openapi" / "examples", *(ROOT / "service/products/kinds").glob("*/examples")]
    for path in sorted(path for folder in folders for path in folder.glob("*.json")):
        room = path.parents[1].name
        yield f"example-{room}-{path.stem}", path.read_bytes()


def _drawn() -> Iterator[tuple[str, bytes]]:
    for line in DRAWN.read_text(encoding="utf-8").splitlines():
        job = json.loads(line)
        yield job["name"], json.dumps(job["request"]).encode()
