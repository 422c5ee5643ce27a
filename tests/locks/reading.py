"""The locks as pins, what they are made for, and what each package asks for."""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from packaging.markers import Marker
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT: Final = Path(__file__).parents[2]
DOCKER: Final = ROOT / "docker"
ASKED: Final = DOCKER / "requires.json"
"""What every pinned package asks for, by its own metadata; written by `make lock`."""

_BLOCK: Final = re.compile(
    r"^(?P<name>[a-z0-9][a-z0-9._-]*)==(?P<version>[^ ]+)(?: ; (?P<marker>.*?))? \\\n"
    r"(?P<hashes>(?:    --hash=.*\n?)+)",
    re.MULTILINE,
)


@dataclass(frozen=True, slots=True)
class Pin:
    """A line of a lock: a package, its version, where it is installed, the digests of its files."""

    name: str
    version: Version
    marker: Marker | None
    hashes: str


@dataclass(frozen=True, slots=True)
class Package:
    """What a release says of itself: the versions of Python it runs on, and what it asks for."""

    python: SpecifierSet
    requires: tuple[Requirement, ...]


Packages = dict[tuple[str, Version], Package]


def pins(lock: str) -> list[Pin]:
    """The lines of a lock."""
    return [
        Pin(
            canonicalize_name(row["name"]),
            Version(row["version"]),
            Marker(row["marker"]) if row["marker"] else None,
            row["hashes"],
        )
        for row in _BLOCK.finditer(lock)
    ]


def roots() -> dict[str, list[Requirement]]:
    """What the packages of each lock are installed for, as pyproject.toml says and `make lock`."""
    written = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    run: list[str] = written["project"]["dependencies"]
    extras, groups = written["project"]["optional-dependencies"], written["dependency-groups"]
    asked = {
        "requirements.lock": run,
        "requirements-dev.lock": [*run, *groups["dev"]],
        "requirements-traces.lock": [*run, *extras["traces"]],
        "requirements-bulk.lock": [*run, *extras["bulk"]],
        "requirements-manifests.lock": groups["manifests"],
        "requirements-callers.lock": groups["callers"],
        "requirements-audit.lock": groups["audit"],
    }
    return {lock: [Requirement(one) for one in lines] for lock, lines in asked.items()}


def packages() -> Packages:
    """Every pinned release, by its name and version."""
    rows: dict[str, dict[str, Any]] = json.loads(ASKED.read_text(encoding="utf-8"))
    return {
        (canonicalize_name(name), Version(version)): Package(
            SpecifierSet(row["python"]), tuple(Requirement(line) for line in row["requires"])
        )
        for key, row in rows.items()
        for name, _, version in [key.partition("==")]
    }
