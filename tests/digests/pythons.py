"""`python -m tests.digests.pythons` prints the other versions of Python that are found here.

A line for each: `3.12 /path/to/python`. Looked for on the path and under pyenv; a version that is
not here is named on standard error, so that nobody takes it for checked.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

VERSIONS: Final = ("3.11", "3.12", "3.13")


def candidates(version: str) -> Iterator[Path]:
    """Where an interpreter of a version may be; a shim of pyenv may stand for none."""
    pyenv = Path(os.environ.get("PYENV_ROOT", Path.home() / ".pyenv"))
    yield from sorted((pyenv / "versions").glob(f"{version}.*/bin/python"), reverse=True)
    found = shutil.which(f"python{version}")
    if found is not None:
        yield Path(found)


def is_of(version: str, python: Path) -> bool:
    """Whether it runs, says that it is of this version, and can make an environment."""
    ask = "import ensurepip, sys, venv; print('%d.%d' % sys.version_info[:2])"
    told = subprocess.run([python, "-c", ask], capture_output=True, text=True, check=False)
    return told.stdout.strip() == version


def others() -> dict[str, Path | None]:
    """Each version but the one that runs this, with its interpreter where there is one."""
    here = "{}.{}".format(*sys.version_info)
    return {
        version: next((one for one in candidates(version) if is_of(version, one)), None)
        for version in VERSIONS
        if version != here
    }


if __name__ == "__main__":
    for version, python in others().items():
        if python is None:
            print(f"Python {version} is not found here: not checked", file=sys.stderr)
        else:
            print(version, python)
