"""The programs that callers use: each must be there, and its absence is a fault that names it."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOOLS = Path(__file__).with_name("tools")
MADE = ROOT / ".build/callers"
"""Where `make callers-tools` puts the packages of `tools/package-lock.json`."""


def program(name: str) -> str:
    """The path of a program: of one of those packages, or of the system."""
    own = MADE / "node_modules/.bin" / name  # a path stands for itself
    found = str(own) if own.exists() else shutil.which(name)
    if found is None:
        pytest.fail(f"{name} is not here: make callers-tools brings it")
    return found


def ran(name: str, *arguments: str | Path, sent: bytes = b"", seconds: float = 120) -> bytes:
    """What a program writes; a fault where it does not end well."""
    ended = subprocess.run(
        [program(name), *map(str, arguments)], input=sent, cwd=MADE, capture_output=True,
        timeout=seconds, check=False,
    )  # fmt: skip
    said = (ended.stdout + ended.stderr).decode(errors="replace")[-4_000:]
    assert ended.returncode == 0, f"{name}: {said}"
    return ended.stdout


def scripts() -> Path:
    """A folder with the scripts of `tools/`, from which they find the packages; a process' own."""
    folder = MADE / f"scripts-{os.environ.get('PYTEST_XDIST_WORKER', 'alone')}"
    folder.mkdir(exist_ok=True)
    for file in TOOLS.glob("*.mjs"):
        shutil.copy(file, folder / file.name)
    return folder


def script(name: str, *arguments: str | Path, sent: bytes = b"") -> bytes:
    """What a script of `tools/` writes, run by Node beside the packages."""
    return ran("node", scripts() / name, *arguments, sent=sent)
